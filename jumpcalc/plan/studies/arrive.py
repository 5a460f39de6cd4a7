"""Who comes to the next jump of all that land one in its sure window, over the ground as it lies or one of an even slope.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
L        spacing: along the ground from the lower end of the   m
         landing to the foot of the next lip
F        fall: how much lower that foot lies                   m
σ        slope of the ground between                           rad
β        slope before the next lip, which stays as it is       rad
=======  ====================================================  =========
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from jumpcalc.physics.ground import GroundLine
from jumpcalc.physics.rolling import roll
from jumpcalc.plan.answer import Speeds
from jumpcalc.plan.ask.clean import clean_speeds
from jumpcalc.plan.ask.landings import land_each
from jumpcalc.plan.ask.ride import PAST_THE_LANDING
from jumpcalc.plan.ask.window import targets
from jumpcalc.plan.inputs.assume import foot_slope, stroke_energy
from jumpcalc.plan.inputs.dug import Piece
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.terrain import Prepared, prepare
from jumpcalc.plan.vary import vary

__all__ = ["LAST", "Arriving", "Leaving", "arrivals", "even_ground", "leaving", "lies", "over", "with_ground"]

LAST = 2.0
"""How much of the ground before the next lip keeps its slope [m]: more than any wheelbase, so that it is left the same way."""

_CURVE = 12.0  # m, radius from the even slope into that, a judgement
_SPEEDS = 5  # of a sure window: what they arrive with lies nearly on a line
_LEAST = 0.5  # m of even slope that a ground must have
_STEEPEST = math.radians(35)


@dataclass(frozen=True, slots=True, kw_only=True)
class Arriving:
    """Who comes to the next foot: slowest and fastest speed there [m/s], None where someone halts before; `lifts` on a crest."""

    speeds: tuple[float, float] | None
    lifts: bool

    def margins(self, wanted: Speeds) -> tuple[float, float]:
        """How far the slowest is above the slowest clean speed and the fastest below the fastest [m/s]; −∞ where someone halts."""
        if self.speeds is None:
            return -math.inf, math.inf
        return self.speeds[0] - wanted.min, wanted.max - self.speeds[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaving:
    """Landings of all that leave a jump in its sure window: places on the face [m] and speeds along it [m/s], one for each.

    `foot` are the speeds at its foot that they come with [m/s]. Where nothing is `sure`, they are those of the clean window, ridden
    stiffly.
    """

    along: tuple[float, ...]
    speed: tuple[float, ...]
    foot: tuple[float, float]
    sure: bool


@lru_cache(maxsize=128)
def leaving(one: Prepared) -> Leaving | None:
    """Landings over the whole sure window of a jump, squashed, stiff and sprung.

    Parameters
    ----------
    one : Prepared
        The jump.

    Returns
    -------
    Leaving or None
        None where no speed lands it clean.
    """
    found = clean_speeds(one)
    if found.window.speeds is None:
        return None
    sure = found.sure is not None
    own, all_styles, _ = targets(one)
    low, high = found.sure if sure else (found.window.speeds.min, found.window.speeds.max)
    styles = all_styles.styles if sure else own.styles
    speeds = np.linspace(low, high, _SPEEDS)
    landed = land_each(one, [(style, speeds) for style in styles])
    along = np.concatenate([each.along for each in landed])
    onward = np.concatenate([each.onward for each in landed])
    foot = found.sure_foot if sure else (found.window.foot.min, found.window.foot.max)
    return Leaving(along=tuple(along.tolist()), speed=tuple(np.maximum(onward, 0.0).tolist()), foot=foot, sure=sure)


def arrivals(line: Line, index: int, *, strokes: Sequence[int] = (0,), braked: float = 0.0) -> tuple[Arriving, ...]:
    """Who comes to the next foot over the ground as it lies, of all that land a jump in its sure window.

    Parameters
    ----------
    line : Line
        As measured; both jumps with a window and the ground between them.
    index : int
        The first of the two jumps, from 0.
    strokes : sequence of int
        How many are made where the runout begins, one after the other.
    braked : float
        For how many metres from there on the brakes are used.

    Returns
    -------
    tuple of Arriving
        One for each number of strokes.
    """
    prepared = prepare(line)
    here = prepared.jumps[index]
    ground = here.terrain
    return over(here, ground.ground, ground.runout_start, ground.runout_end, stroke_energy(prepared.line), strokes, braked)


def over(
    here: Prepared, ground: GroundLine, start: float, end: float, stroke: float, strokes: Sequence[int], braked: float = 0.0
) -> tuple[Arriving, ...]:
    """Who comes to the end of a ground after a jump, of all that land it in its sure window.

    Parameters
    ----------
    here : Prepared
        The jump.
    ground : GroundLine
        Face, curve and what lies between, s = 0 at the knuckle.
    start, end : float
        Where on it strokes are made and brakes begin, and where it ends [m].
    stroke : float
        Energy of a stroke [m²/s²].
    strokes : sequence of int
        How many are made, one after the other.
    braked : float
        For how many metres the brakes are used.

    Returns
    -------
    tuple of Arriving
        One for each number of strokes.
    """
    begun, start = leaving(here), start + PAST_THE_LANDING
    first = roll(ground, np.array(begun.along), np.array(begun.speed), here.after_landing, end=start)
    made = np.asarray(strokes, dtype=float)
    faster = np.sqrt(np.square(first.speed) + 2 * stroke * made[:, None])
    moving = np.broadcast_to(first.reached, faster.shape).ravel() & (faster.ravel() > 0)
    begin, faster = np.full(faster.size, start), np.where(moving, faster.ravel(), 1.0)
    if braked > 0:
        stopper = here.roller(here.conditions.landing_rolling, here.body.height, braking=here.conditions.braking)
        slowed = roll(ground, begin, faster, stopper, end=min(start + braked, end))
        moving, begin, faster = moving & slowed.reached, slowed.s, np.where(slowed.reached, slowed.speed, 1.0)
    on = roll(ground, begin, faster, here.after_landing, end=end)
    feet = np.where(moving & on.reached, on.speed, np.nan).reshape(len(made), -1)
    lifts = np.isfinite(np.where(moving, on.lifted, np.nan)).reshape(feet.shape)
    lifts |= np.isfinite(first.lifted)
    return tuple(
        Arriving(speeds=None if np.isnan(row).any() else (float(row.min()), float(row.max())), lifts=bool(up.any()))
        for row, up in zip(feet, lifts, strict=True)
    )


def even_ground(line: Line, index: int, *, spacing: float, fall: float) -> tuple[Piece, ...] | None:
    """The ground of one even slope between a landing and the next foot, whose last two metres keep the slope that they have.

    Parameters
    ----------
    line : Line
        As measured.
    index : int
        The jump that is landed, from 0.
    spacing, fall : float
        L and F [m].

    Returns
    -------
    tuple of Piece or None
        As a runout has it; None where there is no such ground: too short for its curves, or steeper than 35°.
    """
    from scipy.optimize import brentq

    full = prepare(line).line
    turn, radius, slope = -full.jumps[index].landing.angle, full.jumps[index].landing.exit_radius or 0.0, foot_slope(full, index + 1)

    def rest(even: float) -> tuple[float, float]:
        """Length [m] of the even slope that is left, and how much too high the foot would come to lie [m]."""
        length = spacing - radius * abs(even - turn) - _CURVE * abs(slope - even) - LAST
        rise = _rise(radius, turn, even) + _rise(_CURVE, even, slope) + LAST * math.sin(slope) + length * math.sin(even)
        return length, rise + fall

    if rest(-_STEEPEST)[1] > 0 or rest(_STEEPEST)[1] < 0:
        return None
    even = float(brentq(lambda s: rest(s)[1], -_STEEPEST, _STEEPEST, xtol=1e-10))
    length = rest(even)[0]
    if length < _LEAST:
        return None
    if abs(even - slope) < 1e-6:
        return (Piece(length=length + LAST, slope=slope),)
    return Piece(length=length, slope=even), Piece(radius=_CURVE, to_slope=slope), Piece(length=LAST, slope=slope)


def lies(here: Prepared) -> tuple[float, float, float]:
    """Where the next foot lies over the ground as it is.

    Parameters
    ----------
    here : Prepared
        The jump before, with its runout measured.

    Returns
    -------
    spacing, fall, level : float
        L, F and the level way from the lower end of the landing [m].
    """
    terrain = here.terrain
    (x0, x1), (z0, z1) = terrain.ground.point(np.array([terrain.face, terrain.runout_end]))
    return terrain.runout_end - terrain.face, float(z0 - z1), float(x1 - x0)


def _rise(radius: float, begin: float, end: float) -> float:
    """How much an arc rises from one slope to another [m]."""
    return math.copysign(radius, end - begin) * (math.cos(begin) - math.cos(end))


def with_ground(line: Line, index: int, pieces: tuple[Piece, ...]) -> Line:
    """The line with other ground after a jump.

    Parameters
    ----------
    line : Line
        As measured.
    index : int
        Which jump, from 0.
    pieces : tuple of Piece
        The ground to the next foot.

    Returns
    -------
    Line
        The same but for that.
    """
    return vary(line, {f"jump[{index + 1}].runout": replace(line.jumps[index].runout, pieces=pieces, stakes=None)})
