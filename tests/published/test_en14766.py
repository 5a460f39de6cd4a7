"""Braking distance corrected to the nominal speed.

EN 14766:2005, *Mountain-bicycles*, 4.6.7.5.1.9: S_c = S_m (V_s/V_m)²; 5.5 m at 26 km/h is 5.085 m at 25 km/h.
"""

import pytest

from jumpcalc.physics.ground import Straight, chain
from jumpcalc.physics.roller import Roller
from jumpcalc.physics.rolling import roll

LEVEL = chain([Straight(length=50.0, slope=0.0)])


def distance(kmh: float, braking: float) -> float:
    """Braking distance on the level without drag [m], as the standard's correction supposes."""
    return float(roll(LEVEL, 0.0, kmh / 3.6, Roller(braking=braking)).s[0])


def test_corrected_distance():
    braking = 0.4 * distance(26, 0.4) / 5.5
    assert distance(26, braking) == pytest.approx(5.5, abs=1e-9)
    assert distance(25, braking) == pytest.approx(5.085, abs=5e-4)
