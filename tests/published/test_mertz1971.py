"""A fall that was measured.

H. J. Mertz, C. W. Gadd, SAE 710852 (1971): a drop of 57 ft arrived at 41 mph and was stopped in 34.6 in.
√(2 g h) is 41.3 mph without drag; the mean deceleration v²/(2 g s) from the rounded 41 mph
is 19.5 g, from the height 19.77 g (recomputed). The load of standing comes on top.
"""

import math

import pytest

from jumpcalc.physics.body import POINT, depart
from jumpcalc.physics.flight import touchdown
from jumpcalc.physics.ground import Straight, chain
from jumpcalc.physics.impact import equivalent_fall, into_ground

FOOT, INCH, MPH = 0.3048, 0.0254, 0.44704  # NIST SP 811
HEIGHT, STROKE = 57 * FOOT, 34.6 * INCH


def test_flown_fall_arrives_at_41_mph():
    # a step off the tower: 1 mm/s level
    start = depart(POINT, 1e-3, angle=0.0, gap=1.0, fall=0.0)
    landed = touchdown(start, chain([Straight(length=1.0, slope=0.0)], z=-HEIGHT))
    into = into_ground(landed.v_x, landed.v_z, fall=0.0)[0]
    assert into / MPH == pytest.approx(41, abs=0.5)
    assert into / MPH == pytest.approx(41.3, abs=0.05)
    assert equivalent_fall(into) == pytest.approx(HEIGHT, rel=1e-9)
    assert landed.time[0] == pytest.approx(math.sqrt(2 * HEIGHT / 9.80665), rel=1e-9)


@pytest.mark.parametrize(("speed", "load"), [(41 * MPH, 19.5), (math.sqrt(2 * 9.80665 * HEIGHT), 19.77)])
def test_mean_load_while_stopping_is_fall_height_over_stroke(speed, load):
    assert equivalent_fall(speed) / STROKE == pytest.approx(load, abs=0.05 if load == 19.5 else 0.005)
