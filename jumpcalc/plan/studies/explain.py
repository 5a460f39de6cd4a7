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

import numpy as np

from jumpcalc.plan.answer import Answer, LandingResult
from jumpcalc.plan.ask.inverse import Place, place_edges, rear_contact, rear_level, rear_place, shifted
from jumpcalc.plan.ask.landings import land
from jumpcalc.plan.ask.run_in import foot_speeds, run_in_of
from jumpcalc.plan.inputs.assume import stroke_energy
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.terrain import prepare

__all__ = [
    "PLACE_DOUBT",
    "Band",
    "Cure",
    "Explanation",
    "Why",
    "cure_of",
    "explain",
]

PLACE_DOUBT = 0.2  # m, how well a wheel mark is read, assumption
_SAME = 1e-8  # m/s
_THERE = 1e-6  # m, how near a found landing has to be to its place


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A span of speed with the most likely one in it [m/s]."""

    low: float
    mid: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """What makes the difference at this jump.

    `slow` is how much slower than the aim [share], negative for faster; `squared` how much shorter a
    flight without air is for that, 1 − (v/v_aim)²; `short` how much shorter [m] the landing is, level.
    `drag` [m] is what still air takes off the aim's flight, `wind` [m] what the wind adds to it, `per_wind`
    what a tailwind would [m per m/s].
    """

    slow: float
    squared: float
    short: float
    drag: float
    wind: float
    per_wind: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Cure:
    """The smallest changes. Positive: faster, further up.

    `to_clean` and `to_aim` [m/s] at the edge, `foot` [m/s] to the aim just before the lip; `run_in` [m]
    how much further up to start, None where that is not known; `strokes` that make up for it, None where it
    was too fast or a stroke gives nothing; `fit` how many more fit, None where that is not known.
    """

    to_clean: float
    to_aim: float
    foot: float
    run_in: float | None
    strokes: int | None
    fit: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """A landing explained; all but `place` and `why_none` are None where `why_none` says why.

    `rear` is the level distance of the rear contact from the edge [m]; `along` and `aim_along` [m] are those of
    their and the aim's from the knuckle, as in `Place`, `along` None on the near wall; `face` is the length of the
    landing. `lip` and `foot` span posture and the reading of the place, `normal` the reading alone: the lip ridden
    as the model has it. `wall` is the range of lip speeds that hit the near wall [m/s], given for that
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
        bends = (0.0, 0.0), (0.0, one.rig.spring), (0.0, 0.0), (0.0, -one.rig.squash)
        normal_low, low, *_ = shifted(one, first.outside, bends)
        *_, normal_high, high = shifted(one, over.inside, bends)
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
        why=_why(aim, landing, still_x, vacuum_x, jump.sensitivity.per_wind),
        end_hit=None if at_end is None else hits[0].equivalent_fall,
        past_hit=None if past is None else hits[1].equivalent_fall,
    )


def _off(band: Band, aim: float) -> tuple[float, float]:
    least, most = sorted((abs(aim - band.low), abs(aim - band.high)))
    return (0.0, most) if band.low <= aim <= band.high else (least, most)


def _why(aim: LandingResult, landing: LandingResult, still: float, vacuum: float, per_wind: float) -> Why:
    """The parts of the difference, each by leaving one thing out of the aim's flight: where that lands, level [m]."""
    ratio = landing.lip_speed / aim.lip_speed
    return Why(
        slow=1 - ratio,
        squared=1 - ratio**2,
        short=aim.x - landing.x,
        drag=vacuum - still,
        wind=aim.x - still,
        per_wind=per_wind,
    )


def cure_of(answer: Answer, index: int, explained: Explanation) -> Cure:
    """The smallest changes to a clean landing and to the aim.

    Parameters
    ----------
    answer : Answer
        What `solve` gave; without run-in and ride, the cure knows nothing of them.
    index : int
        Which jump, from 0.
    explained : Explanation
        One with a landing.

    Returns
    -------
    Cure
        By speed, by start mark, by strokes.
    """
    jump, line = answer.jumps[index], answer.complete
    mid, foot = explained.normal.mid, explained.foot.mid
    speeds = jump.window.speeds
    run_in = run_in_of(prepare(answer.line)) if index == 0 else None
    moved = fit = strokes = None
    if run_in is not None and jump.run_in is not None and jump.run_in.marks[1] is not None:
        start = float(run_in.starts(np.array([mid]), run_in.roller())[0])
        moved = jump.run_in.marks[1] - (run_in.foot - start) if math.isfinite(start) else None
    each = stroke_energy(line)
    if mid < speeds.aim - _SAME and each > 0:
        # drag on the way is left out: where the stroke is made is not known
        strokes = max(0, math.ceil((jump.window.foot.aim**2 - foot**2) / 2 / each - 1e-9))
    if run_in is not None and jump.run_in is not None and jump.run_in.strokes is not None:
        fit = max(0, jump.run_in.strokes.fit - jump.run_in.strokes.made)
    to_clean = min(max(mid, speeds.min), speeds.max) - mid
    return Cure(
        to_clean=to_clean if abs(to_clean) > _SAME else 0.0,
        to_aim=speeds.aim - mid,
        foot=jump.window.foot.aim - foot,
        run_in=moved,
        strokes=strokes,
        fit=fit,
    )


