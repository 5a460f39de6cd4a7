"""Line -> Answer."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import fields, replace
from typing import Any

import numpy as np

from jumpcalc.physics.body import roll_off_speed
from jumpcalc.plan import limits
from jumpcalc.plan.answer import (
    Answer,
    Heights,
    JumpAlone,
    JumpAnswer,
    Jumps,
    LandingResult,
    Rollable,
    Sensitivity,
    Speeds,
    Window,
)
from jumpcalc.plan.ask.landings import land
from jumpcalc.plan.ask.ride import ride
from jumpcalc.plan.ask.run_in import abort_of, foot_speeds, run_in_answer, run_in_of
from jumpcalc.plan.ask.stop import stopping
from jumpcalc.plan.ask.window import Found, aim_speed, find_windows, targets
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.terrain import Prepared, PreparedLine, prepare
from jumpcalc.plan.vary import vary

__all__ = ["MODEL_DATE", "add_ride", "solve", "solve_jumps"]

MODEL_DATE = "2026-11-25"
"""Answers of models before this date no longer match."""

_SMALL = 1e-3  # m/s and rad, half the interval of the derivatives


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


def solve_jumps(line: Line) -> Jumps:
    """The jumps of a line each on its own: the first half of `solve`, without run-in and ride.

    Parameters
    ----------
    line : Line
        As measured.

    Returns
    -------
    Jumps
        A type of its own, so that nothing is said of a run-in that was not looked at.

    Raises
    ------
    InputError
        Where inputs contradict each other.
    """
    prepared = prepare(line)
    run_in_of(prepared)  # strokes that do not fit are refused before anything is worked out
    jumps, warnings = [], []
    for index, one in enumerate(prepared.jumps):
        answer, notes = _jump(prepared, one, index)
        jumps.append(answer)
        warnings += [replace(note, jump=index + 1) for note in notes]
    return Jumps(
        line=line,
        complete=prepared.line,
        assumed=prepared.assumed,
        model_date=MODEL_DATE,
        fingerprint=line.fingerprint,
        density=prepared.jumps[0].conditions.density,
        jumps=tuple(jumps),
        warnings=tuple(warnings),
    )


def add_ride(answer: Jumps) -> Answer:
    """The second half of `solve`: the run-in of the first jump and the ride through all of them.

    Parameters
    ----------
    answer : Jumps
        From `solve_jumps`.

    Returns
    -------
    Answer
        The whole one.
    """
    prepared = prepare(answer.line)
    run_in = run_in_of(prepared)
    found = abort = ridden_on = None
    warnings = list(answer.warnings)
    if run_in is not None:
        first, one = answer.jumps[0], prepared.jumps[0]
        found, notes, ridden = run_in_answer(prepared.line, run_in, first)
        if first.window.speeds is not None:
            abort = abort_of(run_in, ridden, one.reaction)
        warnings += (replace(note, jump=1) for note in notes)
    jumps = tuple(
        JumpAnswer(**_fields(jump), run_in=found if index == 0 else None, abort=abort if index == 0 else None)
        for index, jump in enumerate(answer.jumps)
    )
    if run_in is not None:
        ridden_on = ride(prepared, run_in, jumps)
    warnings = tuple(sorted(warnings, key=lambda note: note.jump))
    return Answer(**{**_fields(answer), "jumps": jumps, "warnings": warnings}, ride=ridden_on)


def _fields(part: JumpAlone | Jumps) -> dict[str, Any]:
    """What an answer in part knows, by name."""
    return {f.name: getattr(part, f.name) for f in fields(part)}


def _jump(prepared: PreparedLine, one: Prepared, index: int) -> tuple[JumpAlone, list[Note]]:
    """One jump's answer and the notes on it."""
    line = prepared.line
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
            elif stop.stops and stop.margin < limits.TIGHT_ROOM.value:
                notes.append(Note(code=Code.ROOM_TO_STOP_IS_TIGHT, values=(("margin", stop.margin),)))
        if f"jump[{index + 1}].landing.drop_m" in prepared.assumed:
            drop_matters = _drop_matters(line, index, window.speeds.min)
        notes += _landing_notes(line, one, index, landings)
    turn = one.terrain.exit_kink
    if one.terrain.runout_end is not None and turn > limits.KINK.value:
        notes.append(Note(code=Code.THE_LANDING_ENDS_IN_A_KINK, values=(("turn", turn),)))
    answer = JumpAlone(
        name=line.jumps[index].name,
        shape=one.terrain.shape,
        path=one.rig.path,
        window=window,
        point=point,
        sure=sure,
        sure_foot=sure_foot,
        why_not_sure=why_not_sure,
        heights=Heights(lip=one.terrain.lip_height, runout_start_below_foot=one.terrain.foot_z - _runout_start_z(one)),
        rollable=_rollable(one),
        landings=landings,
        sensitivity=sensitivity,
        stop=stop,
        why_no_stop=why_no_stop,
        drop_matters=drop_matters,
        roll_off=float(roll_off_speed(one.rolling_body, angle=one.terrain.angle)),
        posture=(one.rig.body_short, one.rig.body_long),
        clean_from=one.rig.wheelbase / 2,
    )
    return answer, notes


def _windows(
    one: Prepared, found: Found, sure: Found, point: Found
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


def _landings(one: Prepared, speeds: Speeds) -> tuple[tuple[LandingResult, ...], Sensitivity]:
    """Landings at min, aim and max, and what a mistake does, in one call."""
    aim = speeds.aim
    shown = [speeds.min, aim, speeds.max, 0.9 * aim, 0.95 * aim, 1.05 * aim, 1.1 * aim]
    moved = [aim - _SMALL, aim + _SMALL, aim, aim, aim, aim]
    count = len(shown)
    angle = np.full(count + 6, one.terrain.angle)
    angle[count + 2 : count + 4] += (-_SMALL, _SMALL)
    wind = np.full(count + 6, one.conditions.tailwind)
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
    for drop in (-limits.DROP_DOUBT.value, limits.DROP_DOUBT.value):
        other = prepare(vary(line, {f"jump[{index + 1}].landing.drop_m": line.jumps[index].landing.drop + drop})).jumps[index]
        found = find_windows(other, targets(other)[:1])[0]
        if found.low is not None:
            moves.append(abs(found.low - slowest))
    return max(moves) if moves else None


def _runout_start_z(one: Prepared) -> float:
    """Height of the start of the runout above the lip edge [m]."""
    return float(one.terrain.ground.point(np.array([one.terrain.runout_start]))[1][0])


def _rollable(one: Prepared) -> Rollable:
    """Whether the jump can be rolled: no deeper dip than published guidance has, nothing steeper or higher."""
    ground = one.terrain
    if ground.shape == "tabletop":
        steepest = max(ground.angle, ground.fall)
        highest = max(ground.lip_height, ground.lip_height - ground.drop)
        if steepest >= limits.ROLLED_SLOPE.value:
            return _rolled(False, Code.TOO_STEEP_TO_ROLL, limits.ROLLED_SLOPE, angle=steepest)
        low = highest <= limits.ROLLED_HEIGHT.value
        return _rolled(low, Code.A_DECK_TO_ROLL_ON if low else Code.TOO_HIGH_TO_ROLL, limits.ROLLED_HEIGHT, height=highest)
    dip = max(0.0, -ground.drop) - ground.floor
    limit, codes = limits.ROLLED_DIP, (Code.THE_DIP_IS_TOO_DEEP_TO_ROLL, Code.THE_DIP_CAN_BE_ROLLED)
    if ground.shape == "drop":
        limit, codes = limits.ROLLED_DROP, (Code.THE_DROP_IS_TOO_HIGH_TO_ROLL, Code.THE_DROP_CAN_BE_ROLLED)
    shallow = dip <= limit.value
    return _rolled(shallow, codes[shallow], limit, dip=dip)


def _rolled(yes: bool, code: Code, limit: limits.Limit, **values: float) -> Rollable:
    return Rollable(yes=yes, why=Note(code=code, values=tuple(values.items()), limit=limit))


def _range_notes(line: Line, one: Prepared, index: int) -> list[Note]:
    """What lies outside the range in which the path was checked."""
    if one.rig.path == "point":
        code = Code.DROP_FLOWN_AS_A_POINT if one.terrain.shape == "drop" and line.rider.path is None else Code.FLOWN_AS_A_POINT
        return [Note(code=code)]
    notes = []
    if one.terrain.shape == "drop":
        notes.append(Note(code=Code.DROPS_WERE_NOT_SIMULATED))
    if not math.radians(20) - 1e-9 <= one.terrain.angle <= math.radians(45) + 1e-9:
        notes.append(Note(code=Code.LIP_ANGLE_OUTSIDE_THE_CHECKED_RANGE, values=(("angle", one.terrain.angle),)))
    if not 3 - 1e-9 <= one.terrain.gap <= 8 + 1e-9:
        notes.append(Note(code=Code.GAP_OUTSIDE_THE_CHECKED_RANGE, values=(("gap", one.terrain.gap),)))
    if one.terrain.lip is not None:
        radius = 1 / float(one.terrain.lip.curvature[one.terrain.lip.piece_at(0.0)])
        straight = line.jumps[index].lip.straight
        if radius < 3.5 - 1e-9 or (radius < 4.5 - 1e-9 and straight < 0.6 - 1e-9):
            notes.append(
                Note(code=Code.LIP_TIGHTER_THAN_THE_CHECKED_RANGE, values=(("radius", radius), ("straight", straight)))
            )
    return notes


def _landing_notes(line: Line, one: Prepared, index: int, landings: tuple[LandingResult, ...]) -> list[Note]:
    """What a clean landing should be told besides."""
    notes = []
    if line.jumps[index].way_round is False:
        notes.append(Note(code=Code.NO_WAY_ROUND))
    width = line.jumps[index].landing.width
    drift = max(abs(landing.side_drift) for landing in landings)
    if width is not None and drift > width / 2:
        notes.append(Note(code=Code.DRIFTS_OFF_THE_LANDING, values=(("drift", drift), ("width", width))))
    return notes
