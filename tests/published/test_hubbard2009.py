"""Equivalent fall height.

M. Hubbard, "Safer ski jump landing surface design limits normal impact velocity," J. ASTM Int. 6(1),
2009: h = v² sin²(γ − φ)/(2 g) (abstract read, form from memory); J. A. McNeil, M. Hubbard, A. D. Swedberg,
"Designing tomorrow's snow park jump," Sports Eng. 15 (2012) 1-20, doi 10.1007/s12283-012-0083-x. The speeds of
falls are g 9.81's. EN 1078 drops a helmet at 5.42 m/s (from 1.497 m, from memory).
"""

import math

import pytest

from jumpcalc.physics.impact import along_ground, equivalent_fall, into_ground

GRAVITY = 9.81


@pytest.mark.parametrize(("height", "speed"), [(0.5, 3.132), (1.0, 4.429), (1.5, 5.425)])
def test_fall_height_and_speed(height, speed):
    assert math.sqrt(2 * GRAVITY * height) == pytest.approx(speed, abs=5e-4)
    assert equivalent_fall(speed, gravity=GRAVITY) == pytest.approx(height, abs=4e-4)


def test_helmet():
    assert equivalent_fall(5.42, gravity=GRAVITY) == pytest.approx(1.497, abs=5e-4)


@pytest.mark.parametrize("path", [-60, -30, -5, 10])
@pytest.mark.parametrize("ground", [-40, -10, 0, 8])
def test_form(path, ground):
    # v_n = v sin(φ − γ) in slopes positive uphill; v_t = v cos(φ − γ)
    speed, path, ground = 9.0, math.radians(path), math.radians(ground)
    velocity = speed * math.cos(path), speed * math.sin(path)
    into = into_ground(*velocity, fall=-ground)
    assert into == pytest.approx(speed * math.sin(ground - path), abs=1e-12)
    assert along_ground(*velocity, fall=-ground) == pytest.approx(speed * math.cos(ground - path), abs=1e-12)
    height = (speed * math.sin(path - ground)) ** 2 / (2 * GRAVITY)
    assert equivalent_fall(into, gravity=GRAVITY) == pytest.approx(height, abs=1e-12)
