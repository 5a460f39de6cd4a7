"""Flight without drag, as in any mechanics textbook (identities; g 9.80665 m/s²).

Least speed to reach (d, h): v² = g (h + √(h² + d²)) at 45° + ½ atan(h/d), arriving square to the launch.
"""

import math

import numpy as np
import pytest

from jumpcalc.physics.body import POINT, depart
from jumpcalc.physics.flight import touchdown
from jumpcalc.physics.ground import Straight, chain
from jumpcalc.physics.hodograph import fly
from jumpcalc.units import STANDARD_GRAVITY

TABLE = [
    (5, 0.0, 7.002374597, 45.0),
    (5, 0.5, 7.360783340, 47.8552966),
    (8, -1.0, 8.322084471, 41.4374918),
    (4, -3.0, 4.428690551, 26.5650512),
]
LEVEL = chain([Straight(length=1.0, slope=0.0)])


def through(distance: float, speed, degrees):
    """Height [m] and velocity [m/s] of the flown path above a distance."""
    speed, angle = np.broadcast_arrays(np.asarray(speed, dtype=float), np.radians(degrees))
    speed, angle = np.atleast_1d(speed), np.atleast_1d(angle)
    time = distance / (speed * np.cos(angle))
    place, velocity = fly(speed * np.cos(angle), speed * np.sin(angle), duration=float(time.max())).at(time)
    assert place[:, 0] == pytest.approx(distance, abs=1e-10)
    return place[:, 2], velocity


@pytest.mark.parametrize(("distance", "height", "speed", "degrees"), TABLE)
def test_least_speed_reaches_and_arrives_square(distance, height, speed, degrees):
    z, velocity = through(distance, speed, degrees)
    assert z[0] == pytest.approx(height, abs=5e-9)
    launch = np.array([math.cos(math.radians(degrees)), math.sin(math.radians(degrees))])
    assert velocity[0, [0, 2]] @ launch == pytest.approx(0.0, abs=1e-7)


@pytest.mark.parametrize(("distance", "height", "speed", "degrees"), TABLE)
def test_a_little_less_reaches_at_no_angle(distance, height, speed, degrees):
    z, _ = through(distance, speed * (1 - 1e-6), np.linspace(0.0, 80.0, 1601))
    assert z.max() < height
    faster, _ = through(distance, speed * (1 + 1e-6), degrees)
    assert faster[0] > height


@pytest.mark.parametrize("degrees", [10, 25, 45, 60])
@pytest.mark.parametrize("speed", [3.0, 8.0, 15.0])
def test_range_time_and_apex_on_level_ground(speed, degrees):
    angle = math.radians(degrees)
    landed = touchdown(depart(POINT, speed, angle=angle, gap=1.0, fall=0.0), LEVEL)
    assert landed.x[0] == pytest.approx(speed**2 * math.sin(2 * angle) / STANDARD_GRAVITY, rel=1e-12)
    assert landed.time[0] == pytest.approx(2 * speed * math.sin(angle) / STANDARD_GRAVITY, rel=1e-12)
    assert landed.apex[0] == pytest.approx((speed * math.sin(angle)) ** 2 / (2 * STANDARD_GRAVITY), rel=1e-12)
    assert (landed.v_x[0], landed.v_z[0]) == pytest.approx((speed * math.cos(angle), -speed * math.sin(angle)))


@pytest.mark.parametrize(("x", "z", "degrees"), [(5.0, 0.3, 30), (6.0, -0.5, 25), (3.0, -2.0, -5)])
def test_slope_of_the_path_through_a_point(x, z, degrees):
    # v² = g x²/(2 cos²θ (x tanθ − z)); slope 2 z/x − tanθ
    tangent = math.tan(math.radians(degrees))
    speed = math.sqrt(STANDARD_GRAVITY * x**2 * (1 + tangent**2) / (2 * (x * tangent - z)))
    height, velocity = through(x, speed, degrees)
    assert height[0] == pytest.approx(z, abs=1e-12)
    assert velocity[0, 2] / velocity[0, 0] == pytest.approx(2 * z / x - tangent, abs=1e-12)
