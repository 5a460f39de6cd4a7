"""Set down on a face off a drop, rolled off and carried, against a two-wheel simulation made for this project.

Wheelbase 1.2 m, centre of mass 0.62 m behind the front and 1.05 m high, pitch radius 0.45 m, g 9.80665 m/s², no drag; d is
the wheels' midpoint's place down the face. The speed is that as the front contact passes the edge, and the point's too.
"""

import math

import numpy as np
import pytest

from jumpcalc.plan.ask.landings import land
from jumpcalc.plan.ask.leaving import CARRIED, Style, curve_of
from jumpcalc.plan.inputs.dug import Jump, Landing, Lip
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.rider import Bike, Limits, Rider
from jumpcalc.plan.terrain import prepare

G = 9.80665
RIDER = Rider(
    drag_area=0.0, centre_of_mass_height=1.05, centre_of_mass_behind_front=0.62, pitch_radius=0.45, landing_height=1.05
)


@pytest.mark.parametrize(
    ("v", "slope", "gap", "drop", "fall", "rolled", "carried", "pitch"),
    [
        (5.0, 0, 1.2, 1.0, 25, 0.8584, 2.0981, -66.5),
        (7.0, -5, 2.0, 1.2, 30, 2.0903, 3.4051, -65.8),
        (8.0, 0, 3.0, 1.0, 20, 0.3400, 1.5783, -41.3),
    ],
)
def test_where_both_riders_come_down(v, slope, gap, drop, fall, rolled, carried, pitch):
    slope = math.radians(slope)
    landing = Landing(gap=gap, drop=drop, angle=math.radians(fall), length=8.0)
    line = Line(
        rider=RIDER,
        bike=Bike(wheelbase=1.2),
        jumps=(Jump(shape="drop", lip=Lip(angle=slope), landing=landing),),
        limits=Limits(equivalent_fall=3.0),
    )
    one = prepare(line).jumps[0]
    # by energy: on the straight the middle of the bike passes the edge where the centre of mass has moved on by 0.62 m
    lip = math.sqrt(v * v - 2 * G * 0.62 * math.sin(slope))
    by_itself = land(one, [lip], style=Style())
    assert by_itself.along[0] == pytest.approx(rolled, abs=5e-5)
    assert land(one, [v], style=CARRIED).along[0] == pytest.approx(carried, abs=5e-5)
    left = curve_of(one).leaving(np.array([lip]))
    passive = left.pitch[0] + left.pitch_rate[0] * by_itself.time[0]
    assert math.degrees(passive) == pytest.approx(pitch, abs=0.05)
