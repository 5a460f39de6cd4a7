"""Line -> Pocket: answers worked out beforehand for what a day may ask: bike, ground, wind along the course, strokes, start mark.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
w        wind along the course, from behind                    m/s
m        start mark, before the foot of the first lip          m
v        speed at the foot of the first lip                    m/s
=======  ====================================================  =========

Every row is `solve` of the line with other wind, ground or bike. Between two rows whoever reads it takes what lies on the straight
line between them: of speeds, times and room over w; of v² over m and over w. How far off that may be is kept with them: for rows it
is found from straight lines over spans of two, whose middle is solved, for v by riding from halfway between. Where it is more than
anyone can ride, nothing is told between the rows.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.plan.answer import Abort, Answer, JumpAnswer
from jumpcalc.plan.ask.run_in import RunIn, run_in_of
from jumpcalc.plan.ask.start import least_start, with_room
from jumpcalc.plan.inputs.dug import RunIn as RunInGiven
from jumpcalc.plan.inputs.dug import Runout
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.surfaces import BIKES
from jumpcalc.plan.limits import SAME_SPEED
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.card import damped
from jumpcalc.plan.studies.field.check import Band, check
from jumpcalc.plan.studies.field.cones import Cones, last_place
from jumpcalc.plan.studies.field.kinds import Reading, Sensor, Timed
from jumpcalc.plan.studies.field.readings import shown
from jumpcalc.plan.studies.field.way import way_before
from jumpcalc.plan.studies.field.window import Window, window_alone, window_of
from jumpcalc.plan.studies.rideable import Refused, marks, refused
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import vary, with_bike
from jumpcalc.units import to_si

__all__ = ["MARKS", "WINDS", "Off", "Pocket", "PocketRow", "Ridden", "Setting", "pocket"]

WINDS = tuple(to_si(w, kind="speed", unit="kmh") for w in (-10.0, -5.0, 0.0, 5.0, 10.0))
"""Winds along the course that are solved, and ridden in from each start mark [m/s]; nothing is told of more."""

MARKS = 33
"""Start marks, evenly from the foot to the top of the run-in."""

_MOST_OFF = {"go": to_si(0.1, kind="speed", unit="kmh"), "room": 0.5, "times": 0.02, "reads": to_si(0.1, kind="speed", unit="kmh")}
_SLOW = 0.5  # of the aim: a start that gives less is told to be far too slow, and no more
_STROKES = (0, 2, 4, 6)
_TO_BE_SURE = 1.25  # of what was found halfway between, for what was not looked at


@dataclass(frozen=True, slots=True, kw_only=True)
class PocketRow:
    """One wind on one ground on one bike, solved.

    `refused` is why there is nothing to ride by, other than missing room. `go` are least, aim and most speed at the first foot [m/s]
    that are to be checked for, `least` the least that a start from the top must give there, `times` what two cones show at `go` [s]
    and `reads` a wheel sensor at the last place before the foot [m/s]; `room` is what is left of the room to stop after the fastest
    clean landing [m]. With the line's own strokes `mark` is where to start [m], `stop` the last place to stop before the first lip
    riding for the aim, or from the top. What is not known is None.
    """

    answer: Answer
    refused: Refused | None
    go: tuple[float, float, float] | None
    least: float | None
    times: tuple[float, float, float] | None
    reads: tuple[float, float, float] | None
    room: float | None
    mark: float | None
    stop: Abort | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ridden:
    """What so many strokes give, in one setting.

    `speeds` holds v [m/s] for each of `WINDS` and each of the start marks, None where the strokes do not fit or the rider does not get
    there.
    """

    strokes: int
    speeds: tuple[tuple[float | None, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """A bike on a ground: its rows in order of `WINDS`, which of the spans between them are told of, and its rides."""

    bike: str
    ground: str
    rows: tuple[PocketRow, ...]
    spans: tuple[bool, ...]
    ridden: tuple[Ridden, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Off:
    """How far off what is read between rows may be.

    Speeds to go by, speeds from a start mark and speeds that a wheel sensor shows [m/s], room [m], times [s].
    """

    go: float
    ridden: float
    room: float
    times: float
    reads: float


_NONE = Off(go=0.0, ridden=0.0, room=0.0, times=0.0, reads=0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pocket:
    """Everything that the pocket page looks up.

    `marks` are the start marks [m] of all rides, empty where the run-in is not measured; `solved` how many rows were solved.
    """

    answer: Answer
    example: bool
    settings: tuple[Setting, ...]
    marks: tuple[float, ...]
    strokes: tuple[int, ...]
    cones: Cones | None
    bands: tuple[Band, ...]
    off: Off
    solved: int

    @property
    def own_strokes(self) -> int:
        """Strokes of the line as it was given."""
        return self.answer.complete.run_in.strokes


def pocket(line: Line, *, example: bool = False, progress: Callable[[int, int], None] | None = None) -> Pocket:
    """The answers of a pocket page.

    Parameters
    ----------
    line : Line
        As measured.
    example : bool
        Whether it is an example, not the reader's own line.
    progress : callable, optional
        Told how many rows are solved and of how many.

    Returns
    -------
    Pocket
        For every kind of bike where the line has one jump, else for its own; dry and, where it can be said, damp ground.

    Raises
    ------
    InputError
        Where inputs contradict each other.
    """
    answer = solve(line)
    found = check(answer, example=example)
    lines = [(bike, ground, one) for bike, other in _bikes(line) for ground, one in _grounds(other)]
    total, done = len(lines) * len(WINDS), 0
    places, strokes = _marks(line)
    why = refused(answer)
    # side wind is asked for on the page, unless the line as it was given is refused for it
    calm = {} if why is not None and why.why == "today" else {"air.crosswind_mps": 0.0}
    settings, offs = [], []
    for bike, ground, one in lines:
        rows = []
        for wind in WINDS:
            rows.append(_row(vary(one, {"air.tailwind_mps": wind, **calm}), found.cones))
            done += 1
            if progress is not None:
                progress(done, total)
        spans, bent = _spans(rows)
        aims = [row.go[1] for row in rows if row.go is not None]
        ridden, off = _ridden(one, places, strokes, slowest=_SLOW * min(aims) if aims else np.inf)
        offs += [*bent, replace(_NONE, ridden=off)]
        settings.append(Setting(bike=bike, ground=ground, rows=tuple(rows), spans=spans, ridden=ridden))
    return Pocket(
        answer=answer, example=example, settings=tuple(settings), marks=places, strokes=strokes, cones=found.cones, bands=found.bands,
        off=Off(**{name: _TO_BE_SURE * max((getattr(off, name) for off in offs), default=0.0) for name in Off.__slots__}), solved=total,
    )  # fmt: skip


def _bikes(line: Line) -> list[tuple[str, Line]]:
    """The line's own bike, and the other kinds where it has one jump: of several, every row takes several times as long."""
    own = prepare(line).line.bike.kind
    others = [kind for kind in BIKES if kind != own] if len(line.jumps) == 1 else []
    found = [(own, line)]
    for kind in others:
        try:
            other = with_bike(line, kind)
            run_in_of(prepare(other))
        except InputError:  # a line may be given so that only its own bike fits it
            continue
        found.append((kind, other))
    return found


def _grounds(line: Line) -> list[tuple[str, Line]]:
    """The line as measured, and damp where that can be said."""
    parts: tuple[RunInGiven | Runout, ...] = (line.run_in, *(jump.runout for jump in line.jumps))
    damp = tuple(map(damped, parts))
    if None in damp:
        return [("dry", line)]
    paths = ("run_in", *(f"jump[{number}].runout" for number in range(1, len(parts))))
    return [("dry", line), ("damp", vary(line, dict(zip(paths, damp, strict=True))))]


def _marks(line: Line) -> tuple[tuple[float, ...], tuple[int, ...]]:
    """Start marks and numbers of strokes that are worked out."""
    run_in = run_in_of(prepare(line))
    if run_in is None:
        return (), ()
    most = run_in.most_strokes(0.0)
    strokes = sorted({run_in.strokes, *(count for count in _STROKES if count <= most)})
    return tuple(float(mark) for mark in np.linspace(0.0, run_in.foot, MARKS)), tuple(strokes)


def _row(line: Line, cones: Cones | None) -> PocketRow:
    """One row of the line in its wind."""
    answer = solve(line)
    jump, why, window = answer.jumps[0], refused(answer), window_of(answer, prepare(line).jumps[0])
    if not isinstance(window, Window):
        nothing = dict.fromkeys(("go", "least", "times", "reads", "room", "mark", "stop"))
        return PocketRow(answer=answer, refused=why or Refused(why="no speed"), **nothing)
    last = answer.jumps[-1].stop
    if why is not None and why.why == "no room":
        why = None  # told by the room itself
    go, found = (window.low, window.aim, window.high), marks(answer)
    timed = None if cones is None else Timed(length=cones.length, before_foot=cones.before_foot, time=1.0)
    sensor = Sensor(speed=10.0, before_foot=last_place(way_before(prepare(line), 0)))
    # the last place to stop is one of a ride for the aim, or from the top
    begun = jump.abort is not None and (jump.run_in.from_top or jump.run_in.marks[1] is not None)
    aims = begun and (jump.run_in.from_top or abs(jump.abort.foot_speed - window.aim) < SAME_SPEED.value)
    return PocketRow(
        answer=answer, refused=why, go=go, least=_least(jump, window), times=_shown(line, timed, go), reads=_shown(line, sensor, go),
        room=None if last is None else last.margin, mark=None if found is None else found.mark, stop=jump.abort if aims else None,
    )  # fmt: skip


def _least(jump: JumpAnswer, window: Window) -> float:
    """The least speed at the foot [m/s] that the top of a run-in must give to be a start, as `solve` has it."""
    alone, speeds = window_alone(jump), jump.window.speeds if jump.shape == "drop" else jump.window.foot
    least = least_start(speeds.min, speeds.aim, alone.low if alone.of == "sure" else None)
    return max(least, with_room(window.low, window.aim)) if window.of == "line" else least


def _shown(line: Line, reading: Reading | None, go: tuple[float, float, float]) -> tuple[float, float, float] | None:
    """What a way of measuring shows at speeds at the foot; None where nobody comes from there like that."""
    if reading is None:
        return None
    try:
        found = shown(line, reading, np.array(go))
    except InputError:
        return None
    return tuple(float(value) for value in found) if np.isfinite(found).all() else None


def _spans(rows: Sequence[PocketRow]) -> tuple[tuple[bool, ...], list[Off]]:
    """Which spans between neighbouring rows are told of, and how far off that may be."""
    spans, offs = [], []
    for i in range(0, len(rows) - 1, 2):
        three = rows[i : i + 3]
        off = None
        if all(row.refused is None and row.go is not None for row in three):
            off = replace(_NONE, **{name: _bent(three, name) for name in _MOST_OFF})
        told = off is not None and all(getattr(off, name) <= most for name, most in _MOST_OFF.items())
        spans += [told, told]
        offs += [off] if told else []
    return tuple(spans), offs


def _bent(rows: Sequence[PocketRow], name: str) -> float:
    """How far the middle one of three rows lies from the straight line between the others."""
    values = [getattr(row, name) for row in rows]
    if any(value is None for value in values):
        return 0.0
    first, middle, last = (np.atleast_1d(np.asarray(value, dtype=float)) for value in values)
    return float(np.max(np.abs(0.5 * (first + last) - middle)))


def _ridden(line: Line, marks: Sequence[float], strokes: Sequence[int], *, slowest: float) -> tuple[tuple[Ridden, ...], float]:
    """What each number of strokes gives, and how far off v may be between the marks and winds where it is over `slowest` [m/s]."""
    if not marks:
        return (), 0.0
    run_in = run_in_of(prepare(line))
    places, winds = _halved(marks), _halved(WINDS)
    known = _speeds(run_in, places, winds, np.array(strokes))
    squared, kept = np.square(known), known[:, ::2, ::2]
    off = 0.0
    ends, middles = slice(None, None, 2), slice(1, None, 2)
    for w, m in ((ends, middles), (middles, ends), (middles, middles)):
        read = squared[:, ::2, ::2]
        read = read if w.start is None else 0.5 * (read[:, :-1] + read[:, 1:])
        read = read if m.start is None else 0.5 * (read[:, :, :-1] + read[:, :, 1:])
        gap = np.abs(np.sqrt(read) - known[:, w, m])[known[:, w, m] > slowest]
        off = max(off, float(np.nanmax(gap)) if np.isfinite(gap).any() else 0.0)
    return tuple(
        Ridden(strokes=count, speeds=tuple(tuple(float(v) if np.isfinite(v) else None for v in row) for row in kept[i]))
        for i, count in enumerate(strokes)
    ), off


def _halved(places: Sequence[float]) -> np.ndarray:
    """Places, and the middles between them."""
    return np.interp(np.arange(2 * len(places) - 1) / 2, np.arange(len(places)), places)


def _speeds(run_in: RunIn, marks: np.ndarray, winds: np.ndarray, strokes: np.ndarray) -> np.ndarray:
    """v [m/s] by strokes, wind and mark, NaN where the strokes do not fit or the rider does not get there; all in one ride."""
    start = np.maximum(run_in.foot - marks, 0.0)
    pedalled = [replace(run_in, strokes=int(count)) for count in strokes]
    fits = np.array([[mark > 0 and one.fits(s) for mark, s in zip(marks, start, strict=True)] for one in pedalled])
    known = np.full((len(strokes), len(winds), len(marks)), np.nan)
    which = np.broadcast_to(fits[:, None, :], known.shape)
    if not which.any():
        return known
    made, wind, begin = (np.broadcast_to(a, known.shape)[which] for a in (strokes[:, None, None], winds[:, None], start))
    # rows may differ in their strokes too: what they add is a number of each row
    known[which] = replace(run_in, strokes=made).forward(begin, run_in.roller(tailwind=wind))[0]
    return known
