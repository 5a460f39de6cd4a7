"""From one jump to the next: what makes a jump's aim carry where it does not, and where the next foot belongs.

Every cure is ridden on the line that it makes before it is given: the aim of the first jump lands the second one clean.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from typing import Any

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.physics.ground import Straight, end_slope
from jumpcalc.physics.rolling import roll
from jumpcalc.plan.answer import Answer
from jumpcalc.plan.ask.landings import Landings, land
from jumpcalc.plan.ask.lip import climb
from jumpcalc.plan.ask.ride import onward, roll_on
from jumpcalc.plan.ask.window import Target, longest_run, targets
from jumpcalc.plan.inputs.assume import ground_pieces, stroke_energy, strokes_that_fit
from jumpcalc.plan.inputs.declare import declared
from jumpcalc.plan.inputs.line import Jump, Line, Piece
from jumpcalc.plan.terrain import Prepared, prepare
from jumpcalc.plan.vary import vary

__all__ = ["FARTHEST", "Cure", "Spacing", "cures", "spacing"]

FARTHEST = 60.0
"""How far [m] past the end of a landing the next foot is looked for."""

_NEAR = 0.1  # m along the face: the aim comes down where it is wanted
_STRAIGHTS = 2  # the longest ones, whose length is tried
_PLACES = 33  # of a window, evenly: enough for a share in whole percent
_LONGER, _LEFT, _LENGTH_STEP = 15.0, 2.0, 0.5  # m, a judgement: longer or shorter by so much, and what is left
_TILT = 8  # whole degrees, a judgement; slopes are built and said to whole ones
_GAP, _SMALLEST_GAP, _GAP_STEP = 2.0, 0.5, 0.1  # m, a judgement
_BRAKE_STEP = 0.5  # m
_FOOT_STEP = 0.2  # m between the places at which a foot is tried
_BEND = 1e-6  # rad, less than this is straight
_PAST = 1e-6  # m past the end of the landing, so that a kink there has been ridden over
_HALTED = 0.01  # m/s, stands for one who does not get there; its landing is not looked at


@dataclass(frozen=True, slots=True, kw_only=True)
class Cure:
    """One change with which the aim of a jump lands the next one clean.

    `kind` is ``"length"`` or ``"slope"`` of a straight between, ``"gap"`` of the next jump, ``"strokes"`` from the end of
    the landing on, or ``"brake"``. `was` and `becomes` are the value before and after [m, rad]; of strokes their number, of a
    brake the speed [m/s] where the runout begins and after the `over` metres of braking. `of` is the slope of the straight
    whose length changes, and the length of the one whose slope does. `share` is the part of the first window that then lands
    clean, `changes` what `vary` is told, empty for what a rider does.
    """

    kind: str
    was: float
    becomes: float
    share: float
    of: float | None = None
    over: float | None = None
    changes: tuple[tuple[str, Any], ...] = ()


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


@dataclass(frozen=True, slots=True)
class _Knob:
    """A value that may be changed in steps: what `vary` is told for a value, and how many steps there may be, negative down."""

    kind: str
    was: float
    step: float
    most: int
    changes: Callable[[float], dict[str, Any]]
    of: float | None = None

    def value(self, steps: int) -> float:
        value = self.was + steps * self.step
        return value if self.kind == "slope" else round(value, 1)  # what is said is what was ridden


def cures(answer: Answer, index: int) -> tuple[Cure, ...]:
    """What makes the aim of a jump land the next one clean, where it does not: each change by itself, each one ridden.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    index : int
        The first of the two jumps, from 0.

    Returns
    -------
    tuple of Cure
        Empty where the aim carries, where nothing is known of the ground between or of either window, and where nothing that can
        be built or done helps.
    """
    first, second = answer.jumps[index], answer.jumps[index + 1]
    if first.window.speeds is None or second.window.speeds is None:
        return ()
    speeds = first.window.speeds
    return _cures(answer.line, index, (speeds.min, speeds.aim, speeds.max), second.landings[1].along_face)


@lru_cache(maxsize=64)
def _cures(line: Line, index: int, speeds: tuple[float, float, float], wanted: float) -> tuple[Cure, ...]:
    """The cures of `cures`; `wanted` is where the aim of the second jump comes down on its face [m]."""
    here = prepare(line).jumps[index]
    if here.terrain.runout_end is None:
        return ()
    low, aim, high = speeds
    tried = np.append(np.linspace(low, high, _PLACES), aim)
    pair = _Pair(line, index, tried, land(here, tried, apex=False), wanted)
    off, room = pair.aims(line)
    if room >= 0:
        return ()
    found = [_least(pair, knobs, off) for knobs in _knobs(line, index, off)]
    found.append(_pedalled(pair) if off < 0 else _braked(pair))
    return tuple(cure for cure in found if cure is not None)


@dataclass(frozen=True, slots=True, eq=False)
class _Pair:
    """Two jumps that follow each other, and landings on the first over its window, its aim the last row."""

    line: Line
    index: int
    speeds: np.ndarray
    landed: Landings
    wanted: float

    def courses(self, line: Line) -> tuple[Prepared, Prepared]:
        jumps = prepare(line).jumps
        return jumps[self.index], jumps[self.index + 1]

    def aims(self, line: Line) -> tuple[float, float]:
        """How much further than wanted the aim comes down on the second jump of a line, and how far inside its window [m]."""
        here, following = self.courses(line)
        off, room = _arriving(following, onward(here, following, self.landed.rows(slice(-1, None))).edge)
        return float(off[0]) - self.wanted, float(room[0])

    def share(self, following: Prepared, edge: np.ndarray) -> float | None:
        """The part of the first window that lands clean, None where its aim does not."""
        room = _arriving(following, edge)[1]
        if room[-1] < 0:
            return None
        return _share(self.speeds[:-1], room[:-1])


def _arriving(following: Prepared, edge: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Where speeds at the edge of the next lip come down along it, and how far inside its window [m]; −∞ where nobody arrives."""
    there = np.isfinite(edge) & (edge > _HALTED)
    landed = land(following, np.where(there, edge, _HALTED), apex=False)
    target: Target = targets(following)[0]
    return np.where(there, landed.along, -np.inf), np.where(there, target.room(landed), -np.inf)


def _share(speeds: np.ndarray, room: np.ndarray) -> float:
    """The part of evenly spaced speeds over which the room is not negative, in the longest run of it."""
    run = longest_run(speeds, room >= 0)
    if run is None:
        return 0.0
    first, last = run
    width = speeds[last] - speeds[first]
    for inner, outer in ((first, first - 1), (last, last + 1)):
        if 0 <= outer < len(speeds) and np.isfinite(room[outer]):
            width += abs(speeds[outer] - speeds[inner]) * room[inner] / (room[inner] - room[outer])
    return float(width / (speeds[-1] - speeds[0])) if speeds[-1] > speeds[0] else 1.0


def _knobs(line: Line, index: int, off: float) -> list[list[_Knob]]:
    """What a builder may change between two jumps, of each list one: lengths of straights, a slope, the gap of the second."""
    pieces, path = line.jumps[index].runout.pieces or (), f"jump[{index + 1}].runout.pieces"
    # whoever comes in too fast needs steeper ground up or a longer gap; how length works hangs on the slope
    up = off > 0

    def with_piece(number: int, **changes: float) -> dict[str, Any]:
        return {path: (*pieces[:number], replace(pieces[number], **changes), *pieces[number + 1 :])}

    straights = sorted((i for i, piece in enumerate(pieces) if piece.length is not None), key=lambda i: -pieces[i].length)
    lengths = []
    for i in straights[:_STRAIGHTS]:
        was = pieces[i].length
        for room in (-min(_LONGER, max(0.0, was - _LEFT)), _LONGER):
            steps = int(room / _LENGTH_STEP)
            lengths.append(_Knob("length", was, _LENGTH_STEP, steps, partial(_named, with_piece, i, "length"), pieces[i].slope))
    slopes = []
    for i in straights[:1]:
        was = math.radians(round(math.degrees(pieces[i].slope)))
        steps = _TILT if up else -_TILT
        slopes.append(_Knob("slope", was, math.radians(1), steps, partial(_named, with_piece, i, "slope"), pieces[i].length))
    gap, key = line.jumps[index + 1].landing.gap, f"jump[{index + 2}].landing.gap_m"
    steps = int((_GAP if up else min(_GAP, gap - _SMALLEST_GAP)) / _GAP_STEP + 1e-9)
    return [lengths, slopes, [_Knob("gap", gap, _GAP_STEP, steps if up else -steps, lambda value: {key: value})]]


def _named(with_piece: Callable[..., dict[str, Any]], number: int, name: str, value: float) -> dict[str, Any]:
    return with_piece(number, **{name: value})


def _least(pair: _Pair, knobs: list[_Knob], off: float) -> Cure | None:
    """The cure with the least change among those of several knobs of one kind."""
    found = [cure for knob in knobs if (cure := _turned(pair, knob, off)) is not None]
    return min(found, key=lambda cure: abs(cure.becomes - cure.was), default=None)


def _turned(pair: _Pair, knob: _Knob, off: float) -> Cure | None:
    """As many steps of a knob as bring the aim nearest to where it is wanted, if it then lands clean."""

    def varied(steps: int) -> Line:
        return vary(pair.line, knob.changes(knob.value(steps)))

    def tried(steps: int) -> float:
        try:
            return pair.aims(varied(steps))[0]
        except InputError:
            return math.nan

    near, near_off, end = 0, off, knob.most
    far = tried(end) if end else math.nan
    while math.isnan(far) and abs(end) > 1:
        end = int(end / 2)
        far = tried(end)
    past = (far < 0) != (off < 0)
    if math.isnan(far) or (not past and abs(far) >= abs(off)):
        return None
    while past and abs(end - near) > 1:
        share = near_off / (near_off - far) if math.isfinite(near_off) and math.isfinite(far) else 0.5
        between = near + round(share * (end - near))
        between = min(max(between, min(near, end) + 1), max(near, end) - 1)
        there = tried(between)
        if math.isnan(there):
            return None
        if abs(there) < _NEAR:
            end, far = between, there
            break
        if (there < 0) == (off < 0):
            near, near_off = between, there
        else:
            end, far = between, there
    steps = near if near and abs(near_off) < abs(far) else end
    line = varied(steps)
    here, following = pair.courses(line)
    share = pair.share(following, onward(here, following, pair.landed).edge)
    if share is None:
        return None
    changes = tuple(knob.changes(knob.value(steps)).items())
    return Cure(kind=knob.kind, was=knob.was, becomes=knob.value(steps), share=share, of=knob.of, changes=changes)


def _from_runout(pair: _Pair) -> tuple[Prepared, Prepared, float, np.ndarray]:
    """Both jumps, where the runout of the first begins, and speeds there; NaN for who does not get there."""
    here, following = pair.courses(pair.line)
    start = here.terrain.runout_start + _PAST
    track = roll(here.terrain.ground, pair.landed.along, pair.landed.onward, here.after_landing, end=start)
    return here, following, start, np.where(track.reached, track.speed, np.nan)


def _edges(here: Prepared, following: Prepared, start: np.ndarray, speed: np.ndarray) -> np.ndarray:
    """Speeds at the next edge of who rolls on from places in the runout; NaN where they do not get there."""
    return roll_on(here, following, start, speed)[1]


def _pedalled(pair: _Pair) -> Cure | None:
    """Strokes from the end of the landing on: the number with which the aim comes down nearest to where it is wanted."""
    here, following, start, speed = _from_runout(pair)
    full = prepare(pair.line).line
    each = stroke_energy(full)
    fit = min(strokes_that_fit(full, here.terrain.runout_end - start), 100)
    if not fit or not np.isfinite(speed[-1]):
        return None
    faster = np.sqrt(speed[-1] ** 2 + 2 * each * np.arange(1, fit + 1))
    off, room = _arriving(following, _edges(here, following, np.full(fit, start), faster))
    if not (room >= 0).any():
        return None
    made = int(np.argmin(np.where(room >= 0, np.abs(off - pair.wanted), np.inf))) + 1
    share = pair.share(following, _edges(here, following, np.full(speed.shape, start), np.sqrt(speed**2 + 2 * each * made)))
    return None if share is None else Cure(kind="strokes", was=0.0, becomes=float(made), share=share)


def _braked(pair: _Pair) -> Cure | None:
    """So many metres of braking from where the runout begins: what brings the aim down nearest to where it is wanted."""
    here, following, start, speed = _from_runout(pair)
    end = here.terrain.runout_end
    if here.conditions.braking is None or not np.isfinite(speed[-1]):
        return None
    room = end - start - here.rig.wheelbase  # the brakes are off again before the lip
    over = np.arange(1, math.floor(room / _BRAKE_STEP + 1e-9) + 1) * _BRAKE_STEP
    if not len(over):
        return None
    braking = here.roller(here.conditions.landing_rolling, here.body.height, braking=here.conditions.braking)
    track = roll(here.terrain.ground, start, np.nan_to_num(speed), braking, end=end, track=True)
    slowed = track.speed_at(np.minimum(start + over, end))
    off, room = _arriving(following, _edges(here, following, start + over, slowed[-1]))
    if not (room >= 0).any():
        return None
    best = int(np.argmin(np.where(room >= 0, np.abs(off - pair.wanted), np.inf)))
    share = pair.share(following, _edges(here, following, np.full(speed.shape, start + over[best]), slowed[:, best]))
    if share is None:
        return None
    return Cure(kind="brake", was=float(speed[-1]), becomes=float(slowed[-1, best]), share=share, over=float(over[best]))


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
    return _arriving(there, np.where(known, edge, np.nan))[1] >= 0
