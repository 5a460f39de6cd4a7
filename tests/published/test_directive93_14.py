"""Mean deceleration between two speeds.

Directive 93/14/EEC (braking of two-wheeled vehicles): d_m = (V_b² − V_e²)/(25.92 (S_e − S_b)) [m/s²], with V_b
0.8 and V_e 0.1 of the first speed in km/h, S in m.
"""

import pytest
from scipy.optimize import brentq

from jumpcalc.physics.ground import Straight, chain
from jumpcalc.physics.roller import Roller
from jumpcalc.physics.rolling import roll


@pytest.mark.parametrize("braking", [0.2, 0.35, 0.6])
def test_mean_deceleration(braking):
    ground = chain([Straight(length=100.0, slope=0.0)])
    track = roll(ground, 0.0, 36 / 3.6, Roller(braking=braking), track=True)

    def kmh(s: float) -> float:
        return 3.6 * float(track.speed_at([s])[0, 0])

    places = [brentq(lambda s, v=v: kmh(s) - v, 0.0, float(track.s[0]), xtol=1e-12) for v in (0.8 * 36, 0.1 * 36)]
    mean = ((0.8 * 36) ** 2 - (0.1 * 36) ** 2) / (25.92 * (places[1] - places[0]))
    assert mean == pytest.approx(braking * 9.80665, rel=1e-9)
