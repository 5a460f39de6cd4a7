"""Brakes that the law asks of bicycles.

16 CFR 1512.5: hand brakes stop within 4.57 m (15 ft) from 15 mph (the speed from memory), which is 4.917 m/s².
Haw. Rev. Stat. §291C-147: one brake stops within 25 ft from 10 mph, which is 1.311 m/s².
"""

import pytest

from jumpcalc.physics.ground import Straight, chain
from jumpcalc.physics.roller import Roller, brake_limit
from jumpcalc.physics.rolling import roll
from jumpcalc.plan.inputs.assume import complete
from jumpcalc.plan.inputs.dug import Jump, Landing, Lip
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.rider import Bike
from jumpcalc.plan.inputs.surfaces import SURFACES

FOOT, MPH, G = 0.3048, 0.44704, 9.80665
LEVEL = chain([Straight(length=50.0, slope=0.0)])


@pytest.mark.parametrize(("mph", "feet", "slowing"), [(15, 15, 4.917), (10, 25, 1.311)])
def test_slowing_that_just_does(mph, feet, slowing):
    track = roll(LEVEL, 0.0, mph * MPH, Roller(braking=slowing / G))
    assert track.s[0] == pytest.approx(feet * FOOT, rel=0.0005 / slowing + 1e-6)
    assert track.time[0] == pytest.approx(mph * MPH / slowing, rel=1e-9)


@pytest.mark.parametrize(("brakes", "slowing"), [("both", 4.917), ("rear", 1.311)])
def test_our_bikes_can(brakes, slowing):
    # a bike that is sold meets the law on dry asphalt, so must the one that we assume
    jump = Jump(lip=Lip(angle=0.4, radius=5.0), landing=Landing(gap=3.0, angle=0.3, length=4.0))
    line, _ = complete(Line(bike=Bike(brakes=brakes), jumps=(jump,)))
    limit = brake_limit(
        grip=SURFACES["asphalt"].grip,
        brakes=line.bike.brakes,
        height=line.rider.centre_of_mass_height,
        behind_front=line.rider.centre_of_mass_behind_front,
        wheelbase=line.bike.wheelbase,
    )
    assert limit * G > slowing


def test_a_rear_brake_alone_cannot_stop_as_two_do():
    # the standing rider's rear wheel unloads: why a stop with a rear brake is worked out apart
    limit = brake_limit(grip=0.65, brakes="rear", height=1.05, behind_front=0.62, wheelbase=1.17)
    assert limit * G < 4.917
