"""Every rule of guidance and every range that an answer is held against, once, with its source.

Guidance is no limit of the model: an answer names the rule and who says so, and leaves it to its reader. Values are SI
and radians; grades and seconds as they are printed in their sources.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from jumpcalc.units import to_si

__all__ = [
    "ASKS_FOR_CARRYING",
    "BOARD",
    "DRAG_DOUBT",
    "DRIFT_SPOKEN_OF",
    "DROP_DOUBT",
    "FALL_ZONE",
    "FARTHEST_GAP",
    "FASTEST_FOOT",
    "GUST",
    "GUST_SHARE",
    "HALF_A_BAR",
    "HAND_TIMING",
    "KINK",
    "PRACTICE",
    "RAMPS",
    "RIDDEN_TO",
    "ROLLED_DIP",
    "ROLLED_DROP",
    "ROLLED_HEIGHT",
    "ROLLED_SLOPE",
    "ROLLING_DOUBT",
    "ROLL_TIME",
    "SAID_TO",
    "ROOM_KEPT",
    "SAME_SPEED",
    "SIDE_WIND",
    "SNOW_STRAIGHT",
    "STEEPEST_LIP",
    "STEP_UP",
    "STRAIGHT",
    "STIFF_LOAD",
    "TAPE",
    "TAPE_SHARE",
    "TEMPLATE",
    "TIGHT_ROOM",
    "TRANSITION",
    "UNMEASURED_SLOPE",
    "WIND_DOUBT",
    "Limit",
]

PRACTICE = "common practice, no source"
JUDGEMENT = "a judgement, no source"
NEW_ZEALAND = "Recreation Aotearoa, Mountain Bike Trail Design & Construction Guidelines (2023)"
FLOW_TRAILS = "IMBA flow trails"
QUEBEC = "municipal bike-park guide, Quebec"
SNOW = "U.S. snow-park criteria, from memory; not made for bikes"
NORDIC = "Nordic ski-jump norm, from memory; not made for bikes"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A value that something is held against.

    `value` is in SI, `kind` a kind of quantity of `units.KINDS`, `source` who says so, `for_bikes` whether it was
    written for bikes.
    """

    value: float
    kind: str
    source: str
    for_bikes: bool = True


ROLLED_DIP = Limit(value=0.4, kind="length", source=NEW_ZEALAND)
"""Deepest dip of a double that counts as rollable."""

ROLLED_DROP = Limit(value=0.4, kind="length", source=PRACTICE)
"""Highest drop that counts as rollable."""

ROLLED_SLOPE = Limit(value=math.radians(45), kind="angle", source=FLOW_TRAILS)
"""Lips and landings of flow trails lie below it."""

ROLLED_HEIGHT = Limit(value=1.0, kind="length", source=FLOW_TRAILS)
"""Highest lip of a flow trail."""

RAMPS = tuple(
    (grade, Limit(value=math.radians(steepest), kind="angle", source=NEW_ZEALAND))
    for grade, steepest in ((2, 20), (3, 25), (4, 30), (5, 35))
)
"""Steepest ramps by grade of trail."""

STRAIGHT = Limit(value=1.0, kind="number", source=NEW_ZEALAND)
"""Length of the straight face before the edge, in wheelbases."""

STEP_UP = Limit(value=math.radians(5), kind="angle", source=NEW_ZEALAND)
"""How much steeper the ramp of a step-up may be."""

FALL_ZONE = Limit(value=2.0, kind="length", source=QUEBEC)
"""Clear ground on each side, to which the height of the riding surface is added."""

SAME_SPEED = Limit(value=0.3 / 3.6, kind="speed", source=JUDGEMENT)
"""Difference of speed that nobody can measure or ride: closer than this is the same."""

ROOM_KEPT = Limit(value=0.5, kind="number", source=JUDGEMENT)
"""Share of the aim's room to the slow side that the top of a run-in must leave to be a start where it does not give the aim."""

ROLL_TIME = Limit(value=0.4, kind="time", source=JUDGEMENT)
"""Span of roll times from too slow to too fast below which a stopwatch is no speed check."""

SNOW_STRAIGHT = Limit(value=0.3, kind="time", source=SNOW, for_bikes=False)
"""Time on the straight before the edge."""

TRANSITION = Limit(value=0.14, kind="number", source=NORDIC, for_bikes=False)
"""Least radius of the curve up to a lip, divided by the square of the speed."""

TIGHT_ROOM = Limit(value=3.0, kind="length", source=PRACTICE)
"""Room to stop below which it is called tight."""

STIFF_LOAD = Limit(value=4.0, kind="number", source=PRACTICE)
"""Load in a curve, in multiples of gravity, up to which a rider stays stiff."""

KINK = Limit(value=math.radians(3), kind="angle", source=PRACTICE)
"""Kink at the end of a landing above which it is spoken of."""

DROP_DOUBT = Limit(value=0.2, kind="length", source=JUDGEMENT)
"""How far off a height that was only assumed may be."""

ASKS_FOR_CARRYING = Limit(value=math.radians(20), kind="angle", source=JUDGEMENT)
"""Dip of the front wheel off a drop above which a rider must be able to carry it."""

FARTHEST_GAP = Limit(value=15.0, kind="length", source=JUDGEMENT)
"""Gap beyond which no speed to ride is given: nothing stands behind one."""

FASTEST_FOOT = Limit(value=60 / 3.6, kind="speed", source=JUDGEMENT)
"""Speed before the lip beyond which no speed to ride is given."""

STEEPEST_LIP = Limit(value=math.radians(60), kind="angle", source=JUDGEMENT)
"""Lip beyond which no speed to ride is given."""

HALF_A_BAR = Limit(value=0.4, kind="length", source=PRACTICE)
"""Half a handlebar's width, taken off half the width of a landing: an assumption."""

DRIFT_SPOKEN_OF = Limit(value=0.1, kind="length", source=JUDGEMENT)
"""Drift in a side wind that is spoken of where the landing's width is not measured."""

RIDDEN_TO = Limit(value=1 / 3.6, kind="speed", source=JUDGEMENT)
"""Half of a window below which nobody measures or rides it."""

SAID_TO = Limit(value=to_si(0.1, kind="speed", unit="mph"), kind="speed", source=JUDGEMENT)
"""Half of a window that is no wider than speeds are printed to: no sensor shows it, no number says it."""

GUST = Limit(value=10 / 3.6, kind="speed", source=JUDGEMENT)
"""Least gust that is reckoned with, more or less than the mean wind along the course."""

GUST_SHARE = Limit(value=0.5, kind="number", source=PRACTICE)
"""Gust that is reckoned with, as a share of the mean wind."""

SIDE_WIND = Limit(value=25 / 3.6, kind="speed", source=JUDGEMENT)
"""Side wind at the rider's height from which on it is not today, however little the drift: it turns the bike, which is left out."""

TAPE = Limit(value=0.05, kind="length", source=PRACTICE)
"""How far off a length by tape may be, at least."""

TAPE_SHARE = Limit(value=0.01, kind="number", source=PRACTICE)
"""How far off a long one may be, as a share of it."""

BOARD = Limit(value=math.radians(1), kind="angle", source=PRACTICE)
"""How far off an angle may be that is read from a level or a phone on a board."""

TEMPLATE = Limit(value=0.05, kind="number", source=PRACTICE)
"""How far off a radius by template or chord may be, as a share of it."""

WIND_DOUBT = Limit(value=1.0, kind="speed", source=JUDGEMENT)
"""How far off the wind along the course may be on a calm day."""

ROLLING_DOUBT = Limit(value=0.5, kind="number", source=JUDGEMENT)
"""How far off the rolling resistance of a surface may be, as a share of it."""

DRAG_DOUBT = Limit(value=0.1, kind="area", source=JUDGEMENT)
"""How far off a drag area may be that nobody measured."""

UNMEASURED_SLOPE = Limit(value=math.radians(3), kind="angle", source=JUDGEMENT)
"""How far off the slope before a foot may be where nothing was measured."""

HAND_TIMING = Limit(value=0.10, kind="time", source="Am. J. Phys. 87 (2019) 110-115")
"""Standard deviation of one time from start to stop by hand."""
