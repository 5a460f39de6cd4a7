"""Line -> Answer."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from jumpcalc.physics.body import roll_off_speed
from jumpcalc.plan.answer import (
    Answer,
    Heights,
    JumpAnswer,
    LandingResult,
    Rollable,
    Sensitivity,
    Speeds,
    Window,
)
from jumpcalc.plan.ask.landings import land
from jumpcalc.plan.ask.ride import ride
from jumpcalc.plan.ask.run_in import RunIn, abort_of, before, descend, run_in_answer
from jumpcalc.plan.ask.stop import TIGHT, stopping
from jumpcalc.plan.ask.window import Found, aim_speed, find_windows, targets
from jumpcalc.plan.inputs.assume import complete
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.terrain import Course, course

__all__ = ["MODEL_DATE", "add_ride", "checked", "foot_speeds", "solve", "solve_jumps"]

MODEL_DATE = "2026-11-25"
"""Answers of models before this date no longer match."""

_SMALL = 1e-3  # m/s and rad, half the interval of the derivatives
_DROP_DOUBT = 0.2  # m, what is asked about a drop that was only assumed
_DEEPEST_DIP = 0.4  # m, New Zealand guidelines: a double can be rolled
_STEEPEST_ROLLED = math.radians(45)  # IMBA flow trails: lips and landings under 45°
_HIGHEST_ROLLED = 1.0  # m, IMBA flow trails


def solve(line: Line) -> Answer:
    """Everything that the outputs show of a line.

    Parameters
    ----------
    line : Line
        As measured.

    Returns
    -------
    Answer
        SI and radians.

    Raises
    ------
    InputError
        Where inputs contradict each other; never because no speed lands clean, which is an answer.
    """
    return add_ride(solve_jumps(line))


def solve_jumps(line: Line) -> Answer:
    """The jumps of a line each on its own: the first half of `solve`, without run-in and ride.

    Parameters
    ----------
    line : Line
        As measured.

    Returns
    -------
    Answer
        With no `ride`, and no `run_in` and `abort` of the first jump.

    Raises
    ------
    InputError
        Where inputs contradict each other.
    """
    filled, assumed, courses = checked(line)
    jumps, warnings = [], []
    for index, one in enumerate(courses):
        answer, notes = _jump(filled, assumed, one, index)
        jumps.append(answer)
        warnings += [replace(note, jump=index + 1) for note in notes]
    return Answer(
        line=line,
        complete=filled,
        assumed=assumed,
        model_date=MODEL_DATE,
        fingerprint=line.fingerprint,
        density=courses[0].density,
        jumps=tuple(jumps),
        ride=None,
        warnings=tuple(warnings),
    )


def checked(line: Line) -> tuple[Line, tuple[str, ...], list[Course]]:
    """All of a line that can be refused, found out before anything is worked out.

    Parameters
    ----------
    line : Line
        As measured.

    Returns
    -------
    complete : Line
        With its defaults filled in.
    assumed : tuple of str
        Key paths of what was filled in.
    courses : list of Course
        Its jumps.

    Raises
    ------
    InputError
        Where inputs contradict each other.
    """
    filled, assumed = complete(line)
    courses = [course(filled, index) for index in range(len(filled.jumps))]
    before(filled, courses[0])  # strokes that do not fit are refused here already
    return filled, assumed, courses


def add_ride(answer: Answer) -> Answer:
    """The second half of `solve`: the run-in of the first jump and the ride through all of them.

    Parameters
    ----------
    answer : Answer
        From `solve_jumps`.

    Returns
    -------
    Answer
        The same, complete; unchanged where the run-in is not measured.
    """
    line = answer.complete
    courses = [course(line, index) for index in range(len(line.jumps))]
    run_in = before(line, courses[0])
    if run_in is None:
        return answer
    first, notes = _with_run_in(line, run_in, answer.jumps[0], courses[0])
    jumps = (first, *answer.jumps[1:])
    warnings = [*answer.warnings, *(replace(note, jump=1) for note in notes)]
    return replace(
        answer,
        jumps=jumps,
        ride=ride(line, courses, run_in, jumps),
        warnings=tuple(sorted(warnings, key=lambda note: note.jump)),
    )


def _with_run_in(line: Line, run_in: RunIn, jump: JumpAnswer, one: Course) -> tuple[JumpAnswer, list[Note]]:
    """The first jump's answer with its run-in and the last place to stop before it."""
    answer, notes, ridden = run_in_answer(line, run_in, jump)
    abort = None
    if jump.window.speeds is not None:
        abort = abort_of(run_in, ridden, one.reaction)
    return replace(jump, run_in=answer, abort=abort), notes


def _jump(line: Line, assumed: Sequence[str], one: Course, index: int) -> tuple[JumpAnswer, list[Note]]:
    """One jump's answer and the notes on it."""
    found, sure_found, point_found = find_windows(one, targets(one))
    window, point, sure, sure_foot = _windows(one, found, sure_found, point_found)
    landings: tuple[LandingResult, ...] = ()
    sensitivity = stop = drop_matters = None
    why_not_sure = why_no_stop = None
    notes = _range_notes(line, one, index)
    if window.speeds is not None:
        landings, sensitivity = _landings(one, window.speeds)
        why_not_sure = sure_found.why_none
        stop, met = stopping(one, landings[-1])
        if stop is None:
            why_no_stop = met[0]
        else:
            notes += met
            if not stop.stops and stop.margin is not None:
                notes.append(Note(code=Code.NOT_ENOUGH_ROOM_TO_STOP, values=(("missing", -stop.margin),)))
            elif stop.stops and stop.margin < TIGHT:
                notes.append(Note(code=Code.ROOM_TO_STOP_IS_TIGHT, values=(("margin", stop.margin),)))
        if f"jump[{index + 1}].landing.drop_m" in assumed:
            drop_matters = _drop_matters(line, index, window.speeds.min)
        notes += _landing_notes(line, one, index, landings)
    slope = float(one.ground.slope[2])
    turn = slope + one.fall
    if one.ground.names[2] == "runout" and turn > math.radians(3):
        notes.append(Note(code=Code.THE_LANDING_ENDS_IN_A_KINK, values=(("turn", turn),)))
    answer = JumpAnswer(
        name=line.jumps[index].name,
        shape=one.shape,
        path=one.path,
        window=window,
        point=point,
        sure=sure,
        sure_foot=sure_foot,
        why_not_sure=why_not_sure,
        heights=Heights(lip=one.lip_height, runout_start_below_foot=one.foot_z - _runout_start_z(one)),
        rollable=_rollable(one),
        landings=landings,
        sensitivity=sensitivity,
        stop=stop,
        why_no_stop=why_no_stop,
        drop_matters=drop_matters,
        roll_off=float(roll_off_speed(one.rolling_body, angle=one.angle)),
        posture=(one.body_short, one.body_long),
        clean_from=one.wheelbase / 2,
        run_in=None,
        abort=None,
    )
    return answer, notes


def foot_speeds(one: Course, lip_speeds: Sequence[float], *, heights: Sequence[float] | float) -> np.ndarray:
    """Speeds at the foot of the lip that become these at its edge.

    Parameters
    ----------
    one : Course
        The jump.
    lip_speeds : sequence of float
        Speeds of the centre of mass at the edge [m/s], shape (n,).
    heights : float or sequence of float
        Height of the centre of mass above the wheel line [m], 0 for a point; one or shape (n,).

    Returns
    -------
    numpy.ndarray
        Speeds of the centre of mass at the foot [m/s], shape (n,); those at the edge for a drop.
    """
    speeds = np.asarray(lip_speeds, dtype=float)
    return descend(one, speeds, one.roller(one.lip_rolling, np.asarray(heights, dtype=float)))


def _windows(
    one: Course, found: Found, sure: Found, point: Found
) -> tuple[Window, Window, tuple[float, float] | None, tuple[float, float] | None]:
    """Lip speeds and foot speeds of what was found; those of the sure window as pairs."""
    height = one.body.height
    wanted = [(speed, height) for speed in _three(found)] + [(speed, 0.0) for speed in _three(point)]
    # the sure window is a part of the window, also where both end at the same knuckle and a rounding apart
    pair = None if sure.low is None else (max(sure.low, found.low), min(sure.high, found.high))
    wanted += [(speed, height) for speed in pair or ()]
    if not wanted:
        return _window(found, ()), _window(point, ()), None, None
    speeds, heights = zip(*wanted, strict=True)
    foot = [float(v) for v in foot_speeds(one, speeds, heights=heights)]
    own, points = foot[: len(_three(found))], foot[len(_three(found)) :]
    return (
        _window(found, own),
        _window(point, points[: len(_three(point))]),
        pair,
        None if pair is None else (foot[-2], foot[-1]),
    )


def _three(found: Found) -> tuple[float, ...]:
    """Slowest, aim and fastest lip speed of what was found."""
    return () if found.low is None else (found.low, aim_speed(found.low, found.high), found.high)


def _window(found: Found, foot: Sequence[float]) -> Window:
    """A window of what was found, with its speeds at the foot."""
    if found.low is None:
        return Window(speeds=None, foot=None, limited_by=None, why_none=found.why_none)
    (slow, aim, fast), (slow_foot, aim_foot, fast_foot) = _three(found), foot
    return Window(
        speeds=Speeds(min=slow, aim=aim, max=fast),
        foot=Speeds(min=slow_foot, aim=aim_foot, max=fast_foot),
        limited_by=found.limited_by,
        why_none=None,
    )


def _landings(one: Course, speeds: Speeds) -> tuple[tuple[LandingResult, ...], Sensitivity]:
    """Landings at min, aim and max, and what a mistake does, in one call."""
    aim = speeds.aim
    shown = [speeds.min, aim, speeds.max, 0.9 * aim, 0.95 * aim, 1.05 * aim, 1.1 * aim]
    moved = [aim - _SMALL, aim + _SMALL, aim, aim, aim, aim]
    count = len(shown)
    angle = np.full(count + 6, one.angle)
    angle[count + 2 : count + 4] += (-_SMALL, _SMALL)
    wind = np.full(count + 6, one.tailwind)
    wind[count + 4 :] += (-_SMALL, _SMALL)
    landed = land(one, shown + moved, angle=angle, tailwind=wind)
    per_speed, per_angle, per_wind = (
        float(landed.x[count + 2 * i + 1] - landed.x[count + 2 * i]) / (2 * _SMALL) for i in range(3)
    )
    results = [landed.result(row) for row in range(count)]
    return tuple(results[:3]), Sensitivity(
        per_speed=per_speed,
        per_angle=per_angle,
        per_wind=per_wind,
        slow_10=results[3],
        slow_5=results[4],
        fast_5=results[5],
        fast_10=results[6],
    )


def _drop_matters(line: Line, index: int, slowest: float) -> float | None:
    """How far the slowest clean lip speed moves for 0.2 m of drop either way [m/s], the larger of the two."""
    moves = []
    for drop in (-_DROP_DOUBT, _DROP_DOUBT):
        jump = line.jumps[index]
        landing = replace(jump.landing, drop=jump.landing.drop + drop)
        jumps = (*line.jumps[:index], replace(jump, landing=landing), *line.jumps[index + 1 :])
        other = course(replace(line, jumps=jumps), index)
        found = find_windows(other, targets(other)[:1])[0]
        if found.low is not None:
            moves.append(abs(found.low - slowest))
    return max(moves) if moves else None


def _runout_start_z(one: Course) -> float:
    """Height of the start of the runout above the lip edge [m]."""
    return float(one.ground.point(np.array([one.runout_start]))[1][0])


def _rollable(one: Course) -> Rollable:
    """Whether the jump can be rolled: no deeper dip than published guidance has, nothing steeper or higher."""
    if one.shape == "tabletop":
        steepest = max(one.angle, one.fall)
        highest = max(one.lip_height, one.lip_height - one.drop)
        if steepest >= _STEEPEST_ROLLED:
            return Rollable(yes=False, why=Note(code=Code.TOO_STEEP_TO_ROLL, values=(("angle", steepest),)))
        if highest > _HIGHEST_ROLLED:
            return Rollable(yes=False, why=Note(code=Code.TOO_HIGH_TO_ROLL, values=(("height", highest),)))
        return Rollable(yes=True, why=Note(code=Code.A_DECK_TO_ROLL_ON, values=(("height", highest),)))
    dip = max(0.0, -one.drop) - one.floor
    if one.shape == "drop":
        code = Code.THE_DROP_CAN_BE_ROLLED if dip <= _DEEPEST_DIP else Code.THE_DROP_IS_TOO_HIGH_TO_ROLL
        return Rollable(yes=dip <= _DEEPEST_DIP, why=Note(code=code, values=(("dip", dip),)))
    code = Code.THE_DIP_CAN_BE_ROLLED if dip <= _DEEPEST_DIP else Code.THE_DIP_IS_TOO_DEEP_TO_ROLL
    return Rollable(yes=dip <= _DEEPEST_DIP, why=Note(code=code, values=(("dip", dip),)))


def _range_notes(line: Line, one: Course, index: int) -> list[Note]:
    """What lies outside the range in which the path was checked."""
    if one.path == "point":
        code = Code.DROP_FLOWN_AS_A_POINT if one.shape == "drop" and line.rider.path is None else Code.FLOWN_AS_A_POINT
        return [Note(code=code)]
    notes = []
    if one.shape == "drop":
        notes.append(Note(code=Code.DROPS_WERE_NOT_SIMULATED))
    if not math.radians(20) - 1e-9 <= one.angle <= math.radians(45) + 1e-9:
        notes.append(Note(code=Code.LIP_ANGLE_OUTSIDE_THE_CHECKED_RANGE, values=(("angle", one.angle),)))
    if not 3 - 1e-9 <= one.gap <= 8 + 1e-9:
        notes.append(Note(code=Code.GAP_OUTSIDE_THE_CHECKED_RANGE, values=(("gap", one.gap),)))
    if one.lip is not None:
        radius = 1 / float(one.lip.curvature[one.lip.piece_at(0.0)])
        straight = line.jumps[index].lip.straight
        if radius < 3.5 - 1e-9 or (radius < 4.5 - 1e-9 and straight < 0.6 - 1e-9):
            notes.append(
                Note(code=Code.LIP_TIGHTER_THAN_THE_CHECKED_RANGE, values=(("radius", radius), ("straight", straight)))
            )
    return notes


def _landing_notes(line: Line, one: Course, index: int, landings: tuple[LandingResult, ...]) -> list[Note]:
    """What a clean landing should be told besides."""
    notes = []
    if line.jumps[index].way_round is False:
        notes.append(Note(code=Code.NO_WAY_ROUND))
    width = line.jumps[index].landing.width
    drift = max(abs(landing.side_drift) for landing in landings)
    if width is not None and drift > width / 2:
        notes.append(Note(code=Code.DRIFTS_OFF_THE_LANDING, values=(("drift", drift), ("width", width))))
    return notes
