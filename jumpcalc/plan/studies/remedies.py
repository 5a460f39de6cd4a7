"""What lets all of a sure window land the next jump clean where it does not: each change by itself, solved before it is told."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.plan.answer import Answer, JumpAnswer, Speeds
from jumpcalc.plan.ask.clean import clean_speeds
from jumpcalc.plan.inputs.assume import strokes_that_fit
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.notes import Code
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.arrive import Arriving, arrivals, even_ground, leaving, with_ground
from jumpcalc.plan.studies.between import Stretch, between
from jumpcalc.plan.studies.carry import BRAKE_TIME, GAP_STEP, brakes_in_time, gap_steps
from jumpcalc.plan.studies.earth import moved
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import vary

__all__ = ["Remedy", "Together", "confirmed", "remedies", "together"]

_MOST_STROKES = 6
_SPARE, _SHARE = 0.1, 0.25  # m/s, and of what there is to spare at best: a change that just will do is none, a judgement
_INWARD, _FALL_STEP = 6, 0.05  # m
_CHAINS = 6  # stretches whose changes are sought for a whole line
_LONGER, _LONGER_STEP = 3.0, 0.25  # m of landing, a judgement


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """One change with which everybody who lands a jump in its sure window comes to the next inside its clean one.

    `kind` is ``"strokes"`` from the end of the landing on, ``"brake"`` over `becomes` metres from there on, ``"landing"`` (length of
    the next one) or ``"gap"`` [m], ``"fall"`` of the ground between at the same spacing, or ``"spacing"`` at the same fall [m]. `was`
    and `becomes` are its value before and after, `slow` and `fast` the margins then [m/s], `earth` what is cut and filled up to the
    end of the next landing [m³]. `line` is the line then, None for what a rider does, and `rides` whether any start mark rides all of
    it clean, None where that is not known.
    """

    kind: str
    was: float
    becomes: float
    slow: float
    fast: float
    earth: float = 0.0
    line: Line | None = None
    rides: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """The cheapest change to dig in each stretch that misses, one after the other: its first jump and what changes; the line solved."""

    changes: tuple[tuple[int, Remedy], ...]
    answer: Answer


def together(answer: Answer) -> Together | None:
    """What makes a whole line carry, where more than one of its stretches does not.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.

    Returns
    -------
    Together or None
        None where no more than one stretch misses, where one of them has no such change, and where no start mark rides the line then.
    """
    found = _chain(answer, 0, [_CHAINS])
    if found is None or len(found[0]) < 2 or found[1].ride is None or found[1].ride.window is None:
        return None
    return Together(changes=found[0], answer=found[1])


def _chain(answer: Answer, index: int, left: list[int]) -> tuple[tuple[tuple[int, Remedy], ...], Answer] | None:
    """Changes from a stretch on with which all of them carry, the cheapest first where it leads on; `left` counts down what is tried."""
    while index < len(answer.jumps) - 1:
        stretch = between(answer, index, strokes=0)
        if stretch.why_none is not None or left[0] < 1:
            return None
        if not stretch.today.carries:
            left[0] -= 1
            for one in remedies(answer, stretch):
                if one.line is not None:
                    rest = _chain(solve(one.line), index + 1, left)
                    if rest is not None:
                        return ((index, one), *rest[0]), rest[1]
            return None
        index += 1
    return (), answer


def confirmed(answer: Answer, index: int) -> tuple[float, float] | None:
    """The margins of a stretch of a line that was solved, over its ground as it lies, where all of them carry.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    index : int
        The first of the two jumps, from 0.

    Returns
    -------
    tuple of float or None
        On the slow and on the fast side at the next foot [m/s]; None where one is missed, where the wheels leave the ground, or
        where a jump has no window.
    """
    first, second = answer.jumps[index], answer.jumps[index + 1]
    if first.window.speeds is None or second.window.foot is None:
        return None
    return _enough(arrivals(answer.line, index)[0], second.window.foot, 0.0)


def _enough(one: Arriving, wanted: Speeds, spare: float) -> tuple[float, float] | None:
    """The margins of who comes to the next foot, where there is so much to spare on both sides; None where not."""
    slow, fast = one.margins(wanted)
    return (slow, fast) if min(slow, fast) >= spare and not one.lifts else None


def _spare(one: Arriving, wanted: Speeds) -> float:
    """What a change must leave on both sides: little, where the window is hardly wider than what arrives."""
    if one.speeds is None:
        return 0.0
    return max(0.0, min(_SPARE, _SHARE * (wanted.max - wanted.min - (one.speeds[1] - one.speeds[0]))))


def remedies(answer: Answer, stretch: Stretch) -> tuple[Remedy, ...]:
    """What would carry the whole sure window, what moves least earth first.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    stretch : Stretch
        From `between`, of the same line.

    Returns
    -------
    tuple of Remedy
        Empty where the ground of today carries, where nothing is known of it, and where nothing that was tried helps.
    """
    today = stretch.today
    if today is None or today.carries or any(jump.no_ride is not None for jump in answer.jumps):
        return ()
    found = [*_ridden(answer, stretch), *_built(answer, stretch)]
    return tuple(sorted(found, key=lambda one: one.earth))


def _ridden(answer: Answer, stretch: Stretch) -> Iterator[Remedy]:
    """The fewest strokes, or the shortest braking, on the ground as it lies."""
    line, index, wanted = answer.line, stretch.index, answer.jumps[stretch.index + 1].window.foot
    here, full = prepare(line).jumps[index], prepare(line).line
    room, spare = here.terrain.runout_end - here.terrain.runout_start, _spare(stretch.arriving, wanted)
    if stretch.today.slow < 0:
        counts = range(1, min(strokes_that_fit(full, room), _MOST_STROKES) + 1)
        tried = [("strokes", float(n), one) for n, one in zip(counts, arrivals(line, index, strokes=counts), strict=True)]
    elif here.conditions.braking is not None:
        begun = leaving(here)
        if not brakes_in_time(here, np.array(begun.along), np.array(begun.speed)):
            return
        least = math.ceil(BRAKE_TIME * max(begun.speed))
        last = math.floor(room - here.rig.wheelbase)  # the brakes are off again before the lip
        tried = [("brake", float(over), arrivals(line, index, braked=float(over))[0]) for over in range(least, last + 1)]
    else:
        return
    for kind, amount, one in tried:
        margins = _enough(one, wanted, spare)
        if margins is not None:
            yield Remedy(kind=kind, was=0.0, becomes=amount, slow=margins[0], fast=margins[1])
            return


def _built(answer: Answer, stretch: Stretch) -> Iterator[Remedy]:
    """The least change of each measure of the ground or of the next jump."""
    line, index, today = answer.line, stretch.index, stretch.today
    landing, number = prepare(line).line.jumps[index + 1].landing, index + 2

    def ground(spacing: float, fall: float) -> Line | None:
        pieces = even_ground(line, index, spacing=spacing, fall=fall)
        return None if pieces is None else with_ground(line, index, pieces)

    way = 1 if today.fast < 0 else -1  # who comes in too fast needs a longer gap, a longer way
    spare = _spare(stretch.arriving, answer.jumps[index + 1].window.foot)
    limits = next(one for one in stretch.ways[0].falls if one.spacing == today.spacing)
    if limits.low is not None:
        first, inward = (limits.high.fall, -_FALL_STEP) if today.fall > limits.high.fall else (limits.low.fall, _FALL_STEP)
        row = [cell for cell in stretch.ways[0].cells[stretch.spacings.index(today.spacing)] if cell.built and cell is not today]
        falls, left = [cell.fall for cell in row], [[cell.slow for cell in row], [cell.fast for cell in row]]
        inside = [first + inward * step for step in range(_INWARD)]
        to = next((f for f in inside if min(float(np.interp(f, falls, side)) for side in left) >= spare), inside[-1])
        yield from _kept(answer, index, "fall", today.fall, to, ground(today.spacing, to), spare)
    column = stretch.falls.index(today.fall)
    apart = [row[column] for row in stretch.ways[0].cells]
    apart = [cell for cell in apart if cell.carries and min(cell.slow, cell.fast) >= spare and cell is not today]
    if apart:
        to = min(apart, key=lambda cell: abs(cell.spacing - today.spacing)).spacing
        yield from _kept(answer, index, "spacing", today.spacing, to, ground(to, today.fall), spare)

    def measure(key: str, was: float, step: float) -> Callable[[int], tuple[float, dict[str, Any]]]:
        def at(steps: int) -> tuple[float, dict[str, Any]]:
            value = round(was + steps * step, 2)
            return value, {f"jump[{number}].landing.{key}_m": value}

        return at

    knobs = [("gap", measure("gap", landing.gap, way * GAP_STEP), gap_steps(landing.gap, longer=way > 0))]
    if today.fast < 0:
        knobs.append(("landing", measure("length", landing.length, _LONGER_STEP), round(_LONGER / _LONGER_STEP)))
    for kind, at, most in knobs:
        steps = _fewest(lambda n, at=at: _enough_next(line, stretch, at(n)[1], spare), most)
        if steps is not None:
            value, changes = at(steps)
            yield from _kept(answer, index, kind, landing.gap if kind == "gap" else landing.length, value, vary(line, changes), spare)


def _kept(answer: Answer, index: int, kind: str, was: float, becomes: float, line: Line | None, spare: float) -> Iterator[Remedy]:
    """A change, if the line that it makes carries when solved."""
    if line is None:
        return
    solved = solve(line)
    margins = confirmed(solved, index)
    if margins is None or min(margins) < spare or any(jump.no_ride is not None for jump in solved.jumps):
        return
    if any(_outside(now) - _outside(was) for was, now in zip(answer.jumps, solved.jumps, strict=True)):
        return  # what nobody checked is no cure
    rides = None if solved.ride is None else solved.ride.window is not None
    yield Remedy(
        kind=kind, was=was, becomes=becomes, slow=margins[0], fast=margins[1], earth=moved(answer.line, line, index), line=line,
        rides=rides,
    )  # fmt: skip


def _outside(jump: JumpAnswer) -> set[Code]:
    """What of a jump was not checked."""
    return {of.code for of in jump.unchecked}


def _enough_next(line: Line, stretch: Stretch, changes: dict[str, Any], spare: float) -> tuple[bool, bool]:
    """Whether a changed next jump leaves so much to spare [m/s] on the slow and on the fast side: what comes to it stays the same."""
    try:
        wanted = clean_speeds(prepare(vary(line, changes)).jumps[stretch.index + 1]).window.foot
    except InputError:
        return False, False
    if wanted is None:
        return False, False
    slow, fast = stretch.arriving.margins(wanted)
    return slow >= spare, fast >= spare


def _fewest(enough: Callable[[int], tuple[bool, bool]], most: int) -> int | None:
    """The fewest steps with which there is enough on both sides; None where none up to the most does."""
    if most < 1:
        return None
    last = enough(most)
    if not any(last):
        return None
    low, high, there = 0, most, all(last)
    while high - low > 1:
        middle = (low + high) // 2
        now = enough(middle)
        # too far is where the side that was enough at first no longer is
        if all(now) or (not there and now == last):
            high, there = middle, all(now)
        else:
            low = middle
    return high if there or all(enough(high)) else None
