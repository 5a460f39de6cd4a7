"""From one jump to the next: what makes a jump's aim carry where it does not.

Every cure is ridden on the line that it makes before it is given: the aim of the first jump lands the second one clean.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from typing import Any

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.physics.rolling import roll
from jumpcalc.plan.answer import Answer, Carry, JumpAlone
from jumpcalc.plan.ask.landings import Landings, land
from jumpcalc.plan.ask.ride import PAST_THE_LANDING, onward, roll_on
from jumpcalc.plan.ask.window import Target, longest_run, targets
from jumpcalc.plan.inputs.assume import stroke_energy, strokes_that_fit
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.terrain import Prepared, prepare
from jumpcalc.plan.vary import vary

__all__ = ["BRAKE_TIME", "GAP_STEP", "Cure", "aim_carries", "arriving", "brakes_in_time", "cures", "gap_steps"]

GAP_STEP = 0.1
"""Between the gaps that are tried [m], a judgement."""

_NEAR = 0.1  # m along the face: the aim comes down where it is wanted
_STRAIGHTS = 2  # the longest ones, whose length is tried
BRAKE_TIME = 0.5
"""Time in which a hand closes and opens at least [s]: assumption."""

_PLANNED = 1 / 3  # of the reaction time, after touchdown, for braking that was decided on before: assumption
_PLACES = 33  # of a window, evenly: enough for a share in whole percent
_LONGER, _LEFT, _LENGTH_STEP = 15.0, 2.0, 0.5  # m, a judgement: longer or shorter by so much, and what is left
_TILT = 8  # whole degrees, a judgement; slopes are built and said to whole ones
_GAP, _SMALLEST_GAP = 2.0, 0.5  # m, a judgement
_BRAKE_STEP = 0.5  # m
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
        off, room = arriving(following, onward(here, following, self.landed.rows(slice(-1, None))).edge)
        return float(off[0]) - self.wanted, float(room[0])

    def share(self, following: Prepared, edge: np.ndarray) -> float | None:
        """The part of the first window that lands clean, None where its aim does not."""
        room = arriving(following, edge)[1]
        if room[-1] < 0:
            return None
        return _share(self.speeds[:-1], room[:-1])


def arriving(following: Prepared, edge: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Where speeds at the edge of the next lip come down, and how far inside its window that is.

    Parameters
    ----------
    following : Prepared
        The next jump.
    edge : numpy.ndarray
        Speeds at its edge [m/s], NaN where nobody gets there, shape (n,).

    Returns
    -------
    along, room : numpy.ndarray
        Place along the landing [m] and room inside the window [m], negative outside; −∞ where nobody arrives.
    """
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
    steps = gap_steps(gap, longer=up)
    return [lengths, slopes, [_Knob("gap", gap, GAP_STEP, steps if up else -steps, lambda value: {key: value})]]


def gap_steps(gap: float, *, longer: bool) -> int:
    """How many steps a gap may be changed by.

    Parameters
    ----------
    gap : float
        As it is [m].
    longer : bool
        Or shorter.

    Returns
    -------
    int
        Of `GAP_STEP`: up to 2 m, and no gap under 0.5 m.
    """
    return max(int((_GAP if longer else min(_GAP, gap - _SMALLEST_GAP)) / GAP_STEP + 1e-9), 0)


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
    start = here.terrain.runout_start + PAST_THE_LANDING
    track = roll(here.terrain.ground, pair.landed.along, pair.landed.onward, here.after_landing, end=start)
    return here, following, start, np.where(track.reached, track.speed, np.nan)


def aim_carries(carry: Carry | None, following: JumpAlone) -> bool:
    """Whether the aim of a jump lands the next one clean on the ground between as it lies.

    Parameters
    ----------
    carry : Carry or None
        From one to the other.
    following : JumpAlone
        The next jump.

    Returns
    -------
    bool
        False too where that is not known.
    """
    speeds = following.window.speeds
    if carry is None or carry.from_aim is None or speeds is None:
        return False
    return speeds.min <= carry.from_aim <= speeds.max


def brakes_in_time(here: Prepared, along: np.ndarray, speed: np.ndarray) -> bool:
    """Whether whoever lands has a hand on the brakes where the runout begins.

    Parameters
    ----------
    here : Prepared
        The jump.
    along, speed : numpy.ndarray
        Where on the face they come down [m] and how fast they go on [m/s], shape (n,).

    Returns
    -------
    bool
        True where each of them gets there after a third of the reaction time: it was decided on before.
    """
    return bool(((here.terrain.runout_start - along) / speed >= _PLANNED * here.reaction).all())


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
    off, room = arriving(following, _edges(here, following, np.full(fit, start), faster))
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
    over = over[over >= BRAKE_TIME * speed[-1]]
    if not len(over) or not brakes_in_time(here, pair.landed.along[-1:], pair.landed.onward[-1:]):
        return None
    braking = here.roller(here.conditions.landing_rolling, here.body.height, braking=here.conditions.braking)
    track = roll(here.terrain.ground, start, np.nan_to_num(speed), braking, end=end, track=True)
    slowed = track.speed_at(np.minimum(start + over, end))
    off, room = arriving(following, _edges(here, following, start + over, slowed[-1]))
    if not (room >= 0).any():
        return None
    best = int(np.argmin(np.where(room >= 0, np.abs(off - pair.wanted), np.inf)))
    share = pair.share(following, _edges(here, following, np.full(speed.shape, start + over[best]), slowed[:, best]))
    if share is None:
        return None
    return Cure(kind="brake", was=float(speed[-1]), becomes=float(slowed[-1, best]), share=share, over=float(over[best]))
