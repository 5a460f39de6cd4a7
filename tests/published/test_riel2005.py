"""Tipping over the front wheel, level and downhill.

J. Riel, "Maximal Braking on a Standard Bicycle" (2005): 0.7 g on the level is about 0.6 g on −10 % (exactly
0.597).
"""

import math

import pytest

from jumpcalc.physics.roller import Roller, brake_limit

LIMIT = brake_limit(grip=1.0, brakes="both", height=1.0, behind_front=0.7, wheelbase=1.1)


def slowing(slope: float) -> float:
    """Deceleration in multiples of gravity."""
    return -float(Roller(braking=LIMIT).slowing(10.0, slope, 0.0)) / 9.80665


def test_level():
    assert slowing(0.0) == pytest.approx(0.7, abs=1e-12)


def test_ten_percent_down():
    assert slowing(-math.atan(0.10)) == pytest.approx(0.6, abs=0.05)
    assert slowing(-math.atan(0.10)) == pytest.approx(0.597, abs=5e-4)


def test_the_rear_wheel_just_carries_nothing():
    # moments about the front contact on the slope: load square to it at l_f, slowing force at h
    slope = -math.atan(0.10)
    force = LIMIT * math.cos(slope)
    assert math.cos(slope) * 0.7 - force * 1.0 == pytest.approx(0.0, abs=1e-12)
    assert slowing(slope) == pytest.approx(force + math.sin(slope), abs=1e-12)
