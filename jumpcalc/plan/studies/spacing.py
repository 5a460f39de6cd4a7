"""Where the foot of the next lip belongs, so that the aim of a jump lands the next one clean."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.physics.ground import Straight, end_slope
from jumpcalc.physics.rolling import roll
from jumpcalc.plan.answer import Answer
from jumpcalc.plan.ask.lip import climb
from jumpcalc.plan.ask.window import longest_run
from jumpcalc.plan.inputs.assume import ground_pieces
from jumpcalc.plan.inputs.declare import declared
from jumpcalc.plan.inputs.dug import Jump, Piece
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.carry import arriving
from jumpcalc.plan.terrain import prepare

__all__ = ["FARTHEST", "Spacing", "spacing"]

FARTHEST = 60.0
"""How far [m] past the end of a landing the next foot is looked for."""

_FOOT_STEP = 0.2  # m between the places at which a foot is tried
_BEND = 1e-6  # rad, less than this is straight


@dataclass(frozen=True, slots=True, kw_only=True)
class Spacing:
    """Where the foot of the next lip belongs, along the ground from the end of the landing [m].

    `nearest` and `farthest` bound the stretch on which the aim lands the next jump clean: the one where the foot lies now,
    or the longest. Both are None where there is none up to `FARTHEST`; `farthest` is None where it goes on beyond that. `now`
    is where the foot lies, None where there is no next jump: then it is taken to be the same one `again`.
    """

    nearest: float | None
    farthest: float | None
    now: float | None
    again: bool


def spacing(answer: Answer, index: int) -> Spacing | None:
    """Where the foot of the next lip belongs for the aim of a jump, along the ground after it and on down its last slope.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    index : int
        Which jump, from 0.

    Returns
    -------
    Spacing or None
        None where no speed lands the jump clean, or its runout is not measured.
    """
    jump, one = answer.jumps[index], prepare(answer.line).jumps[index]
    if jump.window.speeds is None or one.terrain.runout_end is None:
        return None
    landing = jump.landings[1]
    return _spacing(answer.line, index, landing.along_face, landing.along_ground)


@lru_cache(maxsize=64)
def _spacing(line: Line, index: int, along: float, speed: float) -> Spacing:
    """The spacing of `spacing` for a landing [m past the knuckle, m/s along the ground]."""
    here = prepare(line).jumps[index]
    again = index == len(line.jumps) - 1
    following = line.jumps[index] if again else line.jumps[index + 1]
    end_of_face, ends = here.terrain.face, here.terrain.runout_end
    limit = end_of_face + FARTHEST
    track = roll(here.terrain.ground, along, speed, here.after_landing, end=max(limit, ends), track=True)
    feet, clean = [np.empty(0)], [np.empty(0, bool)]
    for places, pieces in _feet(line, index, limit):
        arrives = np.atleast_2d(track.speed_at(places))[0]
        feet.append(places - end_of_face)
        clean.append(_carries(line, index, following, pieces, arrives))
    feet, clean = np.concatenate(feet), np.concatenate(clean)
    now = None if again else ends - end_of_face
    run = _run_at(feet, clean, now) or longest_run(feet, clean)
    if run is None:
        return Spacing(nearest=None, farthest=None, now=now, again=again)
    near, far = (round(float(feet[at]), 9) for at in run)
    return Spacing(nearest=near, farthest=None if run[1] == len(feet) - 1 else far, now=now, again=again)


def _run_at(feet: np.ndarray, clean: np.ndarray, now: float | None) -> tuple[int, int] | None:
    """First and last of the clean places in a row around where the foot lies, None where it does not lie well."""
    at = None if now is None or not len(feet) else int(np.argmin(np.abs(feet - now)))
    if at is None or not clean[at]:
        return None
    bad = np.flatnonzero(~clean)
    return int(max(bad[bad < at], default=-1)) + 1, int(min(bad[bad > at], default=len(feet))) - 1


def _feet(line: Line, index: int, limit: float) -> Iterator[tuple[np.ndarray, tuple[Piece, ...]]]:
    """Places of a foot on the runout and beyond it, with the pieces of a runout that ends as the ground does there."""
    prepared = prepare(line)
    here = prepared.jumps[index]
    face, start, wheelbase = here.terrain.face, here.terrain.runout_start, here.rig.wheelbase
    ground = ground_pieces(prepared.line.jumps[index].runout, "runout")
    if here.terrain.runout_end < limit:
        ground.append(Straight(length=limit - here.terrain.runout_end, slope=end_slope(ground), name="beyond"))
    before: tuple[Piece, ...] = ()
    for one in ground:
        if start >= limit:
            return
        if isinstance(one, Straight):
            piece, length = _straight(one.length, one.slope), one.length
            first = math.ceil((start + wheelbase - face) / _FOOT_STEP)
            last = math.floor((min(start + length, limit) - face) / _FOOT_STEP + 1e-9)
            if first <= last:
                # the lip is the same anywhere on a straight: all its places in one go
                yield face + np.arange(first, last + 1) * _FOOT_STEP, (*before, piece)
        else:
            slope = before[-1].end_slope
            length = one.radius * abs(one.to_slope - slope)
            count = max(1, math.ceil(length))
            for share in np.arange(1, count + 1) / count:
                part = _curve(one.radius, slope, slope + float(share) * (one.to_slope - slope))
                yield np.array([start + share * length]), (*before, part)
            piece = _curve(one.radius, slope, one.to_slope)
        start, before = start + length, (*before, piece)


def _straight(length: float, slope: float) -> Piece:
    """A straight as an input, none of it shorter than inputs may be: ground through stakes begins with next to nothing."""
    return Piece(length=max(length, declared(Piece)["length"].bounds[0]), slope=slope)


def _curve(radius: float, slope: float, to_slope: float) -> Piece:
    """An arc as an input, as a straight where ground through stakes hardly bends."""
    least, most = declared(Piece)["radius"].bounds
    if radius <= most and abs(to_slope - slope) > _BEND:
        return Piece(radius=max(radius, least), to_slope=to_slope)
    return _straight(radius * abs(to_slope - slope), to_slope)


def _carries(line: Line, index: int, following: Jump, pieces: tuple[Piece, ...], arrives: np.ndarray) -> np.ndarray:
    """Whether foot speeds, NaN where nobody arrives, land a jump clean whose lip rises from the end of these pieces."""
    jump = line.jumps[index]
    runout = replace(jump.runout, pieces=pieces, stakes=None)
    try:
        made = replace(line, jumps=(*line.jumps[:index], replace(jump, runout=runout), following))
        there = prepare(made).jumps[index + 1]
    except InputError:  # such a lip does not rise from such ground
        return np.zeros(arrives.shape, bool)
    known = np.isfinite(arrives)
    edge, _ = climb(there, np.where(known, arrives, 0.0), there.up_the_lip)
    return arriving(there, np.where(known, edge, np.nan))[1] >= 0
