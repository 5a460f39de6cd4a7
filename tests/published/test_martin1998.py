"""Power of road cycling, term by term.

J. C. Martin, D. L. Milliken, J. E. Cobb, K. L. McFadden, A. R. Coggan, "Validation of a mathematical
model for road cycling power," J. Appl. Biomech. 14 (1998) 276-291, worked example (quoted; recomputed from
its stated inputs, g 9.81). Tolerance half of the last printed digit.
"""

import math

import pytest

from jumpcalc.physics.flight import drag_constant
from jumpcalc.physics.roller import Roller

MASS, SPEED, GRADE = 90.0, 8.36, 0.003  # kg, m/s, rise per length
AIR_SPEED = 10.91  # m/s, along the course
SLOPE = math.asin(GRADE)
DRAG = float(drag_constant(density=1.2234, drag_area=0.2565 + 0.0044, mass=MASS))
ROLLING = 0.0032
ROTATING = 0.14 / 0.311**2  # kg, I/r²
AGAINST = (SPEED - AIR_SPEED) / math.cos(SLOPE)  # tailwind, negative ahead
E = SPEED**2 / 2


def power(slope: float, **roller: float) -> float:
    """What a ride at the example's speed takes [W]; the roller is given no rotating mass."""
    return -MASS * SPEED * float(Roller(gravity=9.81, **roller).slowing(E, slope, 0.0))


def test_air():
    assert power(0.0, drag=DRAG, tailwind=SPEED - AIR_SPEED) == pytest.approx(158.8, abs=0.05)


def test_rolling():
    assert power(0.0, rolling_resistance=ROLLING) == pytest.approx(23.6, abs=0.05)


def test_climbing():
    # printed 22.1; from the printed inputs 22.14
    assert power(SLOPE) == pytest.approx(22.1, abs=0.05)


def test_rotating_mass():
    assert pytest.approx(1.4475, abs=5e-5) == ROTATING
    free = Roller(gravity=9.81).slowing(E, SLOPE, 0.0)
    heavy = Roller(gravity=9.81, rotating_share=ROTATING / MASS).slowing(E, SLOPE, 0.0)
    assert free / heavy == pytest.approx((MASS + 1.4475) / MASS, rel=1e-6)


def test_power_balance():
    # 213 W at the cranks, 0.976 of it at the wheel, 1.37 W of it lost in bearings (no part of our model):
    # the rest must speed the rider up from 8.28 to 8.45 m/s in 56.42 s, 2.305 W
    roller = Roller(
        gravity=9.81,
        drag=DRAG,
        rolling_resistance=ROLLING,
        tailwind=AGAINST,
        rotating_share=ROTATING / MASS,
    )
    total = MASS + ROTATING
    kinetic = 0.5 * total * (8.45**2 - 8.28**2) / 56.42
    assert kinetic == pytest.approx(2.305, abs=5e-4)
    resisted = -float(roller.slowing(E, SLOPE, 0.0)) * total * SPEED
    assert resisted == pytest.approx(158.8 + 23.6 + 22.1, abs=0.15)
    assert (resisted + kinetic + 1.37) / 0.976 == pytest.approx(213, abs=0.5)
