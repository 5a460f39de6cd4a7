"""A ball thrown straight up.

J. R. Taylor, *Classical Mechanics* (University Science Books, 2005), vertical motion with quadratic
drag (from memory, recomputed from its inputs): 20 m/s, terminal speed 35 m/s, g 9.8 m/s²; apex 17.66 m,
y = (v_t²/2g) ln(1 + v0²/v_t²), back at 17.365 m/s, v_t v0/√(v_t² + v0²).
"""

import math

import pytest

from jumpcalc.physics.body import POINT, depart
from jumpcalc.physics.flight import touchdown
from jumpcalc.physics.ground import Straight, chain

GRAVITY, START, TERMINAL = 9.8, 20.0, 35.0


@pytest.fixture(scope="module")
def back():
    up = depart(POINT, START, angle=math.pi / 2, gap=1.0, fall=0.0, gravity=GRAVITY)
    level = chain([Straight(length=1.0, slope=0.0)])
    return touchdown(up, level, drag=GRAVITY / TERMINAL**2, gravity=GRAVITY)


def test_apex(back):
    assert back.apex[0] == pytest.approx(17.66, abs=0.005)
    exact = TERMINAL**2 / (2 * GRAVITY) * math.log(1 + START**2 / TERMINAL**2)
    assert back.apex[0] == pytest.approx(exact, abs=1e-8)


def test_speed_at_the_return(back):
    assert -back.v_z[0] == pytest.approx(17.365, abs=5e-4)
    assert -back.v_z[0] == pytest.approx(TERMINAL * START / math.hypot(TERMINAL, START), abs=1e-8)


def test_times(back):
    # up: v_t/g atan(v0/v_t); down: v_t/g artanh(v1/v_t)
    rise = TERMINAL / GRAVITY * math.atan(START / TERMINAL)
    fall = TERMINAL / GRAVITY * math.atanh(START / math.hypot(TERMINAL, START))
    assert back.time[0] == pytest.approx(rise + fall, abs=1e-8)
    assert back.x[0] == pytest.approx(0.0, abs=1e-12)
