"""Where to start on the run-in, how sure that is, and what the day changes of it."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from jumpcalc.physics.ground import Straight, chain
from jumpcalc.physics.roller import Roller
from jumpcalc.physics.rolling import Track, roll
from jumpcalc.plan import limits
from jumpcalc.plan.answer import Change, JumpAlone, RunInAnswer, Span, StrokePlan
from jumpcalc.plan.ask.brake import brake_before
from jumpcalc.plan.ask.run_in import MOST_STROKES, RunIn
from jumpcalc.plan.inputs.assume import ground_pieces
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.notes import Code, Note

__all__ = ["least_start", "run_in_answer", "too_short", "with_room"]

AVERAGED = 3  # readings

_ROLLING_STEP = 0.01
_SLOPE_STEP = math.radians(1)
_AREA_STEP = 0.1  # m²
_FARTHEST_UP = 30.0  # m above the top, where a start is looked for
_ROUNDED = 0.02 / 3.6  # m/s, of the aim
_DIRT = np.linspace(0.0, 0.15, 16)  # rolling resistances that a stopwatch is asked about


def run_in_answer(line: Line, run_in: RunIn, jump: JumpAlone) -> tuple[RunInAnswer, list[Note], list[Track]]:
    """What the run-in gives, where to start, and how sure that is; and the ride for the aim.

    Parameters
    ----------
    line : Line
        With its defaults filled in.
    run_in : RunIn
        The run-in.
    jump : JumpAlone
        The first jump's window.

    Returns
    -------
    answer : RunInAnswer
        Marks [m before the foot].
    notes : list of Note
        Where the wheels leave the ground, what does not fit or is too fast; what is too short is told by `too_short`.
    ridden : list of Track
        The way to the foot for the aim, from the top where the run-in is too short for it; one row each.
    """
    speeds = jump.window.speeds
    if speeds is None:
        foot, edge, _, tracks = run_in.forward(np.zeros(1), run_in.roller(), track=True)
        nothing = (None, None, None)
        answer = RunInAnswer(
            **_from_top(run_in, foot[0], edge[0], tracks),
            marks=nothing,
            roll_times=nothing,
            span=None,
            strokes=None,
            missing=None,
            from_top=False,
            higher=None,
            too_fast=None,
            slow_time=None,
            fast_time=None,
            brake=None,
            changes=(),
        )
        return answer, _ground_notes(run_in, tracks), _to_foot(tracks, 0, waits=False)
    # all starts in one call: those of the window, then the aim's with one doubt each
    doubts = _doubts(line, run_in)
    wanted = np.array([speeds.min, speeds.aim, speeds.max] + [speeds.aim] * len(doubts))
    starts = run_in.starts(wanted, _varied(run_in, ({}, {}, {}, *doubts)))
    aim_start = starts[1] if np.isfinite(starts[1]) else 0.0
    # all rides in one call: from the top, from the window's starts, from the aim's with each change, by stopwatch
    changes = _changes(run_in)
    dirt = tuple({"rolling_resistance": value} for value in _DIRT)
    begin = np.concatenate([[0.0], np.nan_to_num(starts[:3]), np.full(len(changes) + len(dirt), aim_start)])
    varied = _varied(run_in, ({}, {}, {}, {}, *changes.values(), *dirt))
    foot, edge, time, tracks = run_in.forward(begin, varied, track=True)
    marks = tuple(_known(run_in.foot - s) if run_in.fits(s) else None for s in starts[:3])
    top = edge[0] if np.isfinite(edge[0]) else 0.0
    if marks[1] is None and speeds.aim - _ROUNDED <= top <= speeds.aim and run_in.fits(0.0):
        marks = (marks[0], run_in.foot, marks[2])  # short of the aim by less than is printed
    missing = float(speeds.aim - top) if marks[1] is None and top < speeds.aim else None
    from_top = missing is not None and run_in.fits(0.0) and _still_starts(jump, top)
    by_change = edge[4 : 4 + len(changes)]
    from_aim = edge[2] if marks[1] is not None else top
    slow_time = fast_time = None
    if not jump.window.from_rest:  # where nothing is too slow no reading is either
        slow_time, fast_time = _stopwatch(edge[4 + len(changes) :], time[4 + len(changes) :], speeds.min, speeds.max)
    notes, begun = _ground_notes(run_in, tracks), run_in.foot if marks[1] is None else marks[1]
    answer = RunInAnswer(
        **_from_top(run_in, foot[0], edge[0], tracks),
        marks=marks,
        roll_times=tuple(_known(t) if m is not None else None for t, m in zip(time[1:4], marks, strict=True)),
        span=_span(run_in, marks[1], run_in.foot - starts[3:]),
        strokes=_strokes(run_in, jump, starts[1], marked=marks[1] is not None),
        missing=missing,
        from_top=from_top,
        higher=None if missing is None else _higher(line, run_in, speeds.aim),
        too_fast=float(top - speeds.max) if top > speeds.max + limits.SAME_SPEED.value else None,
        slow_time=slow_time,
        fast_time=fast_time,
        brake=brake_before(run_in, jump.window.foot.aim, _to_foot(tracks, 0, waits=False)) if top > speeds.max else None,
        changes=tuple(
            Change(code=code, by=_known(speed - from_aim), stays=bool(speeds.min <= speed <= speeds.max))
            for code, speed in zip(changes, by_change, strict=True)
        ),
        beware=tuple(of for of in notes if of.code is Code.WHEELS_LEAVE_THE_RUN_IN and of["mark"] <= begun),
    )
    if np.isfinite(starts[1]) and marks[1] is None:
        place = float(run_in.foot - starts[1])
        fit = int(place / run_in.development + 1e-9)
        values = (("made", run_in.strokes), ("mark", place), ("fit", fit))
        notes.append(Note(code=Code.THE_STROKES_DO_NOT_FIT_FROM_THE_MARK, values=values))
    if answer.too_fast is not None:
        notes.append(Note(code=Code.THE_START_MARK_IS_TOO_HIGH, values=(("over", answer.too_fast),)))
    row = 0 if marks[1] is None else 2
    waits = run_in.strokes_at is not None and begin[row] >= run_in.strokes_at
    return answer, notes, _to_foot(tracks, row, waits=waits)


def _to_foot(tracks: list[Track], row: int, *, waits: bool) -> list[Track]:
    """The tracks of one row of rides down to the foot; one that waits at its strokes has none before them."""
    ridden = [track.row(row) for track in tracks[:-1]]
    return ridden[-1:] if waits else ridden


def _from_top(run_in: RunIn, foot: float, edge: float, tracks: list[Track]) -> dict[str, float | None]:
    """What the ride from the top gives; row 0 of the tracks."""
    ridden = tracks[:-1]
    halts = None
    if not np.isfinite(foot):
        # with strokes further down there are two tracks, and the rider may halt before the strokes
        ridden = ridden[: 1 + next(i for i, track in enumerate(ridden) if not track.reached[0])]
        halts = float(run_in.foot - ridden[-1].s[0])
    return {
        "length": run_in.foot,
        "lip_speed": _known(edge),
        "foot_speed": _known(foot),
        "halts_at": halts,
        "lip_load": None if run_in.course.terrain.lip is None or halts is not None else float(tracks[-1].peak_load[0]),
        "arc_load": float(max(track.peak_load[0] for track in ridden)),
    }


def _known(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def _ground_notes(run_in: RunIn, tracks: list[Track]) -> list[Note]:
    """Where the wheels leave the ground, where it turns down at a kink, and where the rider halts."""
    notes = []
    on_lip = len(tracks) - 1
    for number, track in enumerate(tracks):
        for code, places in ((Code.WHEELS_LEAVE_THE_RUN_IN, track.lifted), (Code.THE_RUN_IN_HAS_A_KINK_DOWN, track.dropped)):
            if np.isfinite(places[0]) and number != on_lip:
                notes.append(Note(code=code, values=(("mark", float(run_in.foot - places[0])),)))
        if track.stopped[0]:
            if number == on_lip:
                notes.append(Note(code=Code.HALTS_ON_THE_LIP))
            else:
                notes.append(Note(code=Code.HALTS_ON_THE_RUN_IN, values=(("mark", float(run_in.foot - track.s[0])),)))
            break
    return notes


def _doubts(line: Line, run_in: RunIn) -> tuple[dict[str, float], ...]:
    """One change each: what makes the run-in faster, then what makes it slower."""
    course, tilt = run_in.course, line.run_in.slope_accuracy
    rolling, wind = course.conditions.lip_rolling, course.conditions.tailwind
    doubt, calm = limits.ROLLING_DOUBT.value, limits.WIND_DOUBT.value
    return (
        {"rolling_resistance": rolling * (1 - doubt)},
        {"tailwind": wind + calm},
        {"tilt": -tilt},
        {"rolling_resistance": rolling * (1 + doubt)},
        {"tailwind": wind - calm},
        {"tilt": tilt},
    )


def _span(run_in: RunIn, mark: float | None, doubted: np.ndarray) -> Span | None:
    """The marks that plausible dirt, wind and slope put in place of the aim's.

    Each doubt on its own, their shifts added as independent ones are: root of the sum of squares (JCGM
    100:2008, eq. 10).
    """
    if mark is None:
        return None
    faster, slower = doubted[:3], doubted[3:]
    down = np.sqrt(np.nansum(np.square(np.minimum(faster - mark, 0.0))))
    up = np.sqrt(np.sum(np.square(np.maximum(slower - mark, 0.0)))) if np.isfinite(slower).all() else math.inf
    farthest = mark + up
    return Span(
        mark=mark, short=max(float(mark - down), 0.0), long=float(farthest) if farthest <= run_in.foot else None
    )


def _varied(run_in: RunIn, changes: tuple[dict[str, float], ...]) -> Roller:
    """A roller of one row for each set of changes."""
    plain = run_in.roller()
    names = {name for change in changes for name in change}
    rows = {name: np.array([change.get(name, getattr(plain, name)) for change in changes]) for name in names}
    return replace(plain, **rows)


def _changes(run_in: RunIn) -> dict[str, dict[str, float]]:
    """What may be different on the day, one change each."""
    plain = run_in.roller()
    drag = _AREA_STEP / run_in.area_per_drag
    return {
        "tailwind_1_mps": {"tailwind": plain.tailwind + 1},
        "headwind_1_mps": {"tailwind": plain.tailwind - 1},
        "rolling_resistance_plus_0_01": {"rolling_resistance": plain.rolling_resistance + _ROLLING_STEP},
        "rolling_resistance_minus_0_01": {"rolling_resistance": max(plain.rolling_resistance - _ROLLING_STEP, 0.0)},
        "slope_1_deg_steeper": {"tilt": -_SLOPE_STEP},
        "slope_1_deg_flatter": {"tilt": _SLOPE_STEP},
        "drag_area_plus_0_1_m2": {"drag": plain.drag + drag},
        "drag_area_minus_0_1_m2": {"drag": max(plain.drag - drag, 0.0)},
    }


def _higher(line: Line, run_in: RunIn, aim: float) -> float | None:
    """How much further up [m] there is a start that leaves the edge with the aim [m/s], where the ground goes on as it begins."""
    slope = float(run_in.ground.slope[0])
    if slope >= 0:
        return None
    ground = chain([Straight(length=_FARTHEST_UP, slope=slope), *ground_pieces(line.run_in, "run-in")])
    at = None if run_in.strokes_at is None else run_in.strokes_at + _FARTHEST_UP
    longer = replace(run_in, ground=ground, foot=run_in.foot + _FARTHEST_UP, strokes_at=at)
    start = float(longer.starts(np.array([aim]), longer.roller())[0])
    return _FARTHEST_UP - start if np.isfinite(start) and longer.fits(start) else None


def too_short(found: RunInAnswer) -> Note | None:
    """That the run-in does not give the aim.

    Parameters
    ----------
    found : RunInAnswer
        From `run_in_answer`.

    Returns
    -------
    Note or None
        None where it does, and where the bike does not get to the edge.
    """
    if found.missing is None or found.lip_speed is None:
        return None
    code = Code.THE_RUN_IN_ENDS_BEFORE_THE_AIM if found.from_top else Code.THE_RUN_IN_IS_TOO_SHORT
    return Note(code=code, values=(("missing", found.missing),))


def _still_starts(jump: JumpAlone, top: float) -> bool:
    """Whether a lip speed [m/s] under the aim is one to start with all the same."""
    speeds = jump.window.speeds
    return least_start(speeds.min, speeds.aim, None if jump.sure is None else jump.sure[0]) <= top <= speeds.aim


def least_start(low: float, aim: float, sure: float | None) -> float:
    """The least speed, under the aim, that the top of a run-in must give to be a start.

    Parameters
    ----------
    low, aim : float
        The slowest clean speed and the aim [m/s], at the edge or at the foot.
    sure : float or None
        The slowest that lands clean whatever the rider does at the lip [m/s]; None where there is none.

    Returns
    -------
    float
        Short of the aim by less than anyone can tell, or sure and with enough room [m/s].
    """
    hardly = max(low, aim - limits.SAME_SPEED.value)
    return hardly if sure is None else min(hardly, max(sure, with_room(low, aim)))


def with_room(low: float, aim: float) -> float:
    """The least speed that leaves enough of the aim's room to the slow side to start with it.

    Parameters
    ----------
    low, aim : float
        The slowest clean speed and the aim [m/s].

    Returns
    -------
    float
        By `limits.ROOM_KEPT` [m/s].
    """
    return low + limits.ROOM_KEPT.value * (aim - low)


def _works(run_in: RunIn, jump: JumpAlone, strokes: int) -> bool:
    """Whether there is a start with so many strokes, as it is found for those of the line."""
    ridden = replace(run_in, strokes=strokes)
    start = ridden.starts(np.array([jump.window.speeds.aim]), ridden.roller())[0]
    if np.isfinite(start):
        return ridden.fits(float(start))
    return ridden.fits(0.0) and _still_starts(jump, float(np.nan_to_num(ridden.forward(np.zeros(1), ridden.roller())[1][0])))


def _strokes(run_in: RunIn, jump: JumpAlone, start: float, *, marked: bool) -> StrokePlan | None:
    """Fewest whole strokes from the top for the aim's foot speed, how many fit and how many work; None where their place is not reached.

    `start` is the start found for the aim, NaN where there is none, `marked` whether it is a start mark.
    Beyond what fits, and beyond any number that may be asked for, they are not counted: over a long, flat or soft run-in
    what is needed at its top grows without bounds.
    """
    plain = run_in.roller()
    fit = int(
        (run_in.foot if run_in.strokes_at is None else run_in.foot - run_in.strokes_at) / run_in.development + 1e-9
    )
    works = run_in.strokes if marked else None
    if run_in.strokes == 0 and run_in.strokes_at is None and np.isfinite(start):
        return StrokePlan(made=0, needed=0, fit=fit, works=works)
    at = 0.0 if run_in.strokes_at is None else run_in.strokes_at
    back = roll(run_in.ground, run_in.foot, jump.window.foot.aim, plain, end=at, back=True)
    if back.stopped[0]:
        return StrokePlan(made=run_in.strokes, needed=0, fit=fit, works=works)
    here = run_in.start_speed
    if at > 0:
        rolled = roll(run_in.ground, 0.0, here, plain, end=at)
        if not rolled.reached[0]:
            return None
        here = rolled.speed[0]
    lacking = (back.speed[0] ** 2 - here**2) / 2
    # what is lacking may be too much for a whole number; a ride given up on the way back lacks that already
    needed = math.ceil(min(lacking / run_in.stroke_energy, 1e9) - 1e-9) if run_in.stroke_energy else 0
    needed = min(max(0, needed), max(fit, MOST_STROKES) + 1)
    if not marked and needed <= fit:
        tried = (count for count in (needed, needed - 1) if count >= 0 and count != run_in.strokes)
        works = next((count for count in tried if _works(run_in, jump, count)), None)
    return StrokePlan(made=run_in.strokes, needed=needed, fit=fit, works=works)


def _stopwatch(edge: np.ndarray, time: np.ndarray, slowest: float, fastest: float) -> tuple[float | None, float | None]:
    """Readings [s] from the start to the foot that mean in the window: not more than, not less than.

    The dirt is what is least known, so the rides are those with rolling resistances from none to very
    soft, hardest dirt first; the timing error of the average is taken off on both sides.
    """
    there = np.isfinite(edge)
    edge, time = edge[there][::-1], time[there][::-1]
    error = limits.HAND_TIMING.value / math.sqrt(AVERAGED)
    if not len(edge) or edge[0] > slowest or edge[-1] < slowest:
        return None, None
    slow = float(np.interp(slowest, edge, time)) - error
    fast = float(np.interp(fastest, edge, time)) + error if edge[-1] >= fastest else None
    if fast is not None and slow - fast < limits.ROLL_TIME.value:
        return None, None
    return slow, fast
