"""Rolling friction of two tyres.

H. D. Young, R. A. Freedman, *University Physics*, ch. 5, problem on bicycle tyres (g 9.8): set rolling at
3.50 m/s, the speed has halved after 18.1 m in one tyre and 92.9 m in the other; the coefficients are 0.0259
and 0.00505.
"""

import pytest

from jumpcalc.physics.ground import Straight, chain
from jumpcalc.physics.roller import Roller
from jumpcalc.physics.rolling import roll

LEVEL = chain([Straight(length=200.0, slope=0.0)])


@pytest.mark.parametrize(
    ("distance", "half_digit", "coefficient"), [(18.1, 0.05, 0.0259), (92.9, 0.1, 0.00505)]
)
def test_speed_halves(distance, half_digit, coefficient):
    # 0.00505 is printed to three digits, which is 0.1 m in 92.9
    track = roll(LEVEL, 0.0, 3.50, Roller(rolling_resistance=coefficient, gravity=9.8), stop_speed=1.75)
    assert track.stopped[0]
    assert track.s[0] == pytest.approx(distance, abs=half_digit)


@pytest.mark.parametrize(("distance", "coefficient", "half_digit"), [(18.1, 0.0259, 5e-5), (92.9, 0.00505, 5e-6)])
def test_coefficient_from_the_halving(distance, coefficient, half_digit):
    # two ridden energies differ by coefficient times g times distance
    unit = Roller(rolling_resistance=1.0, gravity=9.8).slowing(1.0, 0.0, 0.0)
    assert (3.50**2 - 1.75**2) / 2 / (-float(unit) * distance) == pytest.approx(coefficient, abs=half_digit)
