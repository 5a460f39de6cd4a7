"""Why a landing was short or long: from where the rear wheel hit back to the speed at the edge.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
v        lip speed                                             m/s
x        level distance of the wheels' midpoint from the edge  m
x_r      the same of the rear wheel's contact                  m
d        distance of the midpoint along the face               m
w        wheelbase                                             m
φ        fall of the landing                                   rad
=======  ====================================================  =========

Where the rear wheel lies is told by `ask.inverse`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from jumpcalc.plan.answer import Answer, LandingResult
from jumpcalc.plan.ask.inverse import Place, place_edges, rear_contact, rear_level, rear_place, shifted
from jumpcalc.plan.ask.landings import Landings, land
from jumpcalc.plan.ask.leaving import CARRIED
from jumpcalc.plan.ask.lip import climb, foot_speeds
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.terrain import Prepared, prepare
from jumpcalc.units import to_si

__all__ = ["PLACE_DOUBT", "Band", "Explanation", "Step", "Why", "explain"]

PLACE_DOUBT = 0.2  # m, how well a wheel mark is read, assumption
_THERE = 1e-6  # m, how near a found landing has to be to its place
_ONE = tuple(to_si(1, kind="speed", unit=unit) for unit in ("kmh", "mph"))
_FAN = np.linspace(0.7, 1.2, 201)  # of the aim's speed, where the point lands


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A span of speed with the most likely one in it [m/s]."""

    low: float
    mid: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """What one unit of speed just before the lip does at the aim (at the edge of a drop), towards the landing that was seen.

    `shorter` is how much shorter it lands [m, level], negative for further, None where it does not come down on the landing
    or past it; `on_level` what it would be on level ground at the height of the aim's landing; `by_bike` how much of it is
    there because the bike leaves the edge otherwise than the textbook's point, which would land in the aim's place.
    """

    shorter: float | None
    on_level: float
    by_bike: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """What makes the difference at this jump.

    `short` is how much shorter [m] the landing is than the aim's, level; `kmh` and `mph` what one of each does at the
    aim. `drag` [m] is what still air takes off the aim's flight, `wind` [m] what the wind adds to it.
    """

    short: float
    kmh: Step
    mph: Step
    drag: float
    wind: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """A landing explained; all but `place` and `why_none` are None where `why_none` says why.

    `rear` is the level distance of the rear contact from the edge [m]; `along` and `aim_along` [m] are those of
    their and the aim's from the knuckle, as in `Place`, `along` None on the near wall; `face` is the length of the
    landing. `lip` and `foot` span what the rider may have added at the lip and the reading of the place, `normal` the reading
    alone: the lip ridden as the model has it. `wall` is the range of lip speeds that hit the near wall [m/s], given for that
    place. `end_hit` and `past_hit` are the fall heights [m] at the end of the face and half a metre further
    (by the midpoint), None where no speed lands there.
    """

    place: Place
    why_none: Note | None = None
    lip: Band | None = None
    normal: Band | None = None
    foot: Band | None = None
    wall: tuple[float, float] | None = None
    landing: LandingResult | None = None
    aim: LandingResult | None = None
    shape: str | None = None
    face: float | None = None
    rear: float | None = None
    along: float | None = None
    aim_along: float | None = None
    why: Why | None = None
    end_hit: float | None = None
    past_hit: float | None = None

    @property
    def verdict(self) -> str:
        """``"too slow"``, ``"too fast"`` or ``"about right"``, the lip ridden normally."""
        if self.aim.lip_speed > self.normal.high:
            return "too slow"
        return "too fast" if self.aim.lip_speed < self.normal.low else "about right"

    @property
    def off(self) -> tuple[float, float]:
        """By how much the speed differed from the aim [m/s], least and most, the lip ridden normally."""
        return _off(self.normal, self.aim.lip_speed)

    @property
    def rider_explains(self) -> bool:
        """Whether the aim's speed lies in the span that squashing or springing leaves open."""
        return self.lip.low <= self.aim.lip_speed <= self.lip.high


def explain(answer: Answer, index: int, place: Place, *, doubt: float = PLACE_DOUBT) -> Explanation:
    """The lip speed that puts the rear wheel at a place, as a span, and why it is not the aim.

    Parameters
    ----------
    answer : Answer
        What `solve` or `solve_jumps` gave.
    index : int
        Which jump, from 0.
    place : Place
        Where the rear wheel hit.
    doubt : float
        How far off the place may be read [m].

    Returns
    -------
    Explanation
        With `why_none` where the jump has no aim, or no speed puts the rear wheel there.

    Notes
    -----
    The rear contact is the wheels' midpoint less half a wheelbase along the attitude −φ. The span holds
    the doubt of the place and what the rider may have added (`skill.squash`, `skill.spring`), both flown: whoever
    squashed the lip and landed there was faster than the place says. For the near wall it is the range of speeds
    that hit it, widened by what the rider added alone.
    """
    jump, one = answer.jumps[index], prepare(answer.line).jumps[index]
    if jump.window.speeds is None:
        return Explanation(place=place, why_none=Note(code=Code.NO_AIM))
    aim, level = jump.landings[1], None if place.wall else rear_level(one, place)
    first, over, at_end, past = place_edges(one, level)
    wall, mid = None, None if first is None else first.inside
    if place.wall and first is not None and over is not None:
        wall = first.inside, over.outside
        mid = 0.5 * sum(wall)
    air = one.conditions
    today, calm, vacuum = (air.drag, air.tailwind, air.crosswind), (air.drag, 0.0, 0.0), (0.0, 0.0, 0.0)
    flights = [
        (1.0 if mid is None else mid, *today),
        (1.0 if at_end is None else at_end.outside, *today),
        (1.0 if past is None else past.inside, *today),
        (aim.lip_speed, *calm),
        (aim.lip_speed, *vacuum),
    ]
    speed, drag, tailwind, crosswind = zip(*flights, strict=True)
    landed = land(one, speed, drag=drag, tailwind=tailwind, crosswind=crosswind)
    landing, *hits = (landed.result(row) for row in range(3))
    still_x, vacuum_x = (float(x) for x in landed.x[3:])
    if place.wall:
        if wall is None or landing.surface != "wall":
            return Explanation(place=place, why_none=Note(code=Code.NO_NEAR_WALL))
        normal_low, normal_high = wall
        sprung, squashed = (place_edges(one, None, spring=spring) for spring in (one.rig.spring, -one.rig.squash))
        low = normal_low if sprung[0] is None else min(sprung[0].inside, normal_low)
        high = normal_high if squashed[1] is None else max(squashed[1].outside, normal_high)
    else:
        if mid is None or landing.x is None or abs(rear_contact(one, landing.x) - level) > _THERE:
            return Explanation(place=place, why_none=Note(code=Code.NO_SPEED_LANDS_THERE, values=(("level", level),)))
        bends = (-doubt, 0.0), (-doubt, one.rig.spring), (doubt, 0.0), (doubt, -one.rig.squash)
        normal_low, low, normal_high, high = shifted(one, mid, bends)
    normal, lip = Band(low=normal_low, mid=mid, high=normal_high), Band(low=low, mid=mid, high=high)
    feet = [float(v) for v in foot_speeds(one, [lip.low, mid, lip.high], heights=one.body.height)]
    return Explanation(
        place=place,
        lip=lip,
        normal=normal,
        foot=Band(low=feet[0], mid=feet[1], high=feet[2]),
        wall=wall,
        landing=landing,
        aim=aim,
        rear=float(rear_contact(one, landing.x)),
        shape=one.terrain.shape,
        face=one.terrain.face,
        along=rear_place(one, landing).along,
        aim_along=rear_place(one, aim).along,
        why=_why(one, jump.window.foot.aim, aim, landing, still_x, vacuum_x),
        end_hit=None if at_end is None else hits[0].equivalent_fall,
        past_hit=None if past is None else hits[1].equivalent_fall,
    )


def _off(band: Band, aim: float) -> tuple[float, float]:
    least, most = sorted((abs(aim - band.low), abs(aim - band.high)))
    return (0.0, most) if band.low <= aim <= band.high else (least, most)


def _why(one: Prepared, foot: float, aim: LandingResult, landing: LandingResult, still: float, vacuum: float) -> Why:
    """The parts of the difference: what a little speed does here, and what air does to the aim's flight [m, level]."""
    way = -1.0 if landing.lip_speed <= aim.lip_speed else 1.0
    kmh, mph = _steps(one, foot, aim, way)
    return Why(short=aim.x - landing.x, kmh=kmh, mph=mph, drag=vacuum - still, wind=aim.x - still)


@lru_cache(maxsize=128)
def _steps(one: Prepared, foot: float, aim: LandingResult, way: float) -> tuple[Step, Step]:
    """What one km/h and one mph of speed do at the aim; `way` is -1 for less, 1 for more."""
    speeds = foot + way * np.array(_ONE)
    edge, _ = climb(one, np.maximum(speeds, 1e-3), one.up_the_lip)
    landed = land(one, np.nan_to_num(edge, nan=1e-3), apex=False)
    point = _point_shorter(one, foot, aim.x, way)
    return tuple(_step(aim, landed, row, point[row]) for row in range(2))


def _step(aim: LandingResult, landed: Landings, row: int, point: float) -> Step:
    """One unit of speed: what it does on this landing, on level ground, and of the bike's own."""
    if not landed.reached[row]:
        return Step(shorter=None, on_level=0.0, by_bike=0.0)
    shorter = aim.x - float(landed.x[row])
    # between both heights the path is as steep as both come down in the mean
    steep = 0.5 * (math.tan(aim.descent) - float(landed.v_z[row] / landed.v_x[row]))
    on = (float(landed.z[row]) - aim.z) / steep if steep > 0 else 0.0
    return Step(shorter=shorter, on_level=shorter - on, by_bike=shorter - float(point) if math.isfinite(point) else 0.0)


def _point_shorter(one: Prepared, foot: float, x: float, way: float) -> np.ndarray:
    """How much shorter the textbook's point lands for one unit of speed before the lip where it lands at a place x [m]."""
    if one.rig.path == "point":
        return np.full(len(_ONE), np.nan)
    speeds = _FAN * foot
    edge, _ = climb(one, speeds, one.roller(one.conditions.lip_rolling, 0.0))
    speeds, edge = speeds[np.isfinite(edge)], edge[np.isfinite(edge)]
    landed = land(one, edge, style=CARRIED, apex=False)
    speeds, places = speeds[landed.reached], landed.x[landed.reached]
    if len(places) < 2 or not places[0] <= x <= places[-1]:
        return np.full(len(_ONE), np.nan)
    here = float(np.interp(x, places, speeds)) + way * np.array(_ONE)
    return x - np.interp(here, speeds, places, left=np.nan, right=np.nan)
