"""Line -> Answer."""

from __future__ import annotations

from dataclasses import fields, replace
from functools import lru_cache
from typing import Any

import numpy as np

from jumpcalc.plan import limits
from jumpcalc.plan.answer import (
    Answer,
    Heights,
    JumpAlone,
    JumpAnswer,
    Jumps,
    LandingResult,
    Ride,
    Rollable,
    RunInAnswer,
    Stop,
    WayOut,
)
from jumpcalc.plan.ask.around import around
from jumpcalc.plan.ask.brake import abort_of
from jumpcalc.plan.ask.checks import carried, carried_or_pulled_up, departed, landing_notes, no_ride, pitched, unchecked
from jumpcalc.plan.ask.clean import clean_speeds
from jumpcalc.plan.ask.ride import ride
from jumpcalc.plan.ask.run_in import run_in_of
from jumpcalc.plan.ask.start import run_in_answer, too_short, with_room
from jumpcalc.plan.ask.stop import stopping
from jumpcalc.plan.ask.today import NOT_TODAY, beware, side_wind_limit, wet_ground
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.terrain import Prepared, PreparedLine, prepare
from jumpcalc.plan.vary import vary

__all__ = ["MODEL_DATE", "add_ride", "solve", "solve_jumps"]

MODEL_DATE = "2026-11-28"
"""Answers of models before this date no longer match."""


@lru_cache(maxsize=64)
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

    Notes
    -----
    Studies ask for the same lines again: the last answers are kept.
    """
    return add_ride(solve_jumps(line))


@lru_cache(maxsize=64)
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
    today = next((note for note in warnings if note.code in NOT_TODAY), None)
    return Jumps(
        line=line,
        complete=prepared.line,
        assumed=prepared.assumed,
        model_date=MODEL_DATE,
        fingerprint=line.fingerprint,
        density=prepared.jumps[0].conditions.density,
        jumps=tuple(replace(jump, no_ride=jump.no_ride or today) for jump in jumps),
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
    jumps = tuple(
        JumpAnswer(**_fields(jump), run_in=found if index == 0 else None, abort=abort if index == 0 else None)
        for index, jump in enumerate(answer.jumps)
    )
    if run_in is not None:
        ridden_on = ride(prepared, run_in, jumps)
        if found.from_top and not _top_rides_all(first, found, ridden_on):
            found = replace(found, from_top=False)
            jumps = (replace(jumps[0], run_in=found), *jumps[1:])
        short = too_short(found)
        if first.no_ride is None:  # else no start is to be looked at
            warnings += (replace(note, jump=1) for note in (*notes, *([short] if short else [])))
    warnings = tuple(sorted(warnings, key=lambda note: note.jump))
    return Answer(**{**_fields(answer), "jumps": jumps, "warnings": warnings}, ride=ridden_on)


def _top_rides_all(first: JumpAlone, found: RunInAnswer, ridden: Ride) -> bool:
    """Whether the top, good enough for the first jump although it does not give its aim, is so for the whole line."""
    if ridden.window is None:
        return False
    if len(ridden.carries) == 0:
        return True
    low, high = ridden.lip_speeds
    return found.lip_speed >= with_room(low, min(max(first.window.speeds.aim, low), high))


def _fields(part: JumpAlone | Jumps) -> dict[str, Any]:
    """What an answer in part knows, by name."""
    return {f.name: getattr(part, f.name) for f in fields(part)}


def _jump(prepared: PreparedLine, one: Prepared, index: int) -> tuple[JumpAlone, list[Note]]:
    """One jump's answer and the notes on it."""
    line = prepared.line
    clean = clean_speeds(one)
    window = clean.window
    landings: tuple[LandingResult, ...] = ()
    sensitivity = stop = drop_matters = None
    why_no_stop = None
    notes: list[Note] = []
    left = tilted = longer = moves = way_out = side_wind = None
    first: tuple[Note, ...] = ()
    only: tuple[Note, ...] = ()
    if index < len(line.jumps) - 1:
        following = line.jumps[index + 1]
        way_out = WayOut(way_round=following.way_round, side_clear=following.side_clear)
    if window.speeds is not None:
        near = around(one, window.speeds, window.foot)
        landings, sensitivity = tuple(near.window.result(row) for row in range(3)), near.sensitivity()
        stop, met = stopping(one, landings[-1])
        if stop is None:
            why_no_stop = met[0]
        else:
            notes += _room_notes(stop, met, way_out)
        if f"jump[{index + 1}].landing.drop_m" in prepared.assumed:
            drop_matters = _drop_matters(line, index, window.speeds.min)
        left, tilted = departed(one, window.speeds, landings[1]), pitched(one, landings[1])
        moves = None if one.terrain.shape == "drop" else near.rider_moves()
        longer = near.point_lands_longer()
        notes += landing_notes(line, index)
        only = carried(one, left)
        first = (*only, *beware(line.jumps[index], one, window, near))
        side_wind = side_wind_limit(line.jumps[index], near)
    unknown, refused = unchecked(one, left), no_ride(one, window) or carried_or_pulled_up(one, only, clean.sure)
    notes = [*([refused] if refused else []), *wet_ground(line, line.jumps[index]), *unknown, *first, *notes]
    turn = one.terrain.exit_kink
    if one.terrain.runout_end is not None and turn > limits.KINK.value:
        notes.append(Note(code=Code.THE_LANDING_ENDS_IN_A_KINK, values=(("turn", turn),)))
    answer = JumpAlone(
        name=line.jumps[index].name,
        shape=one.terrain.shape,
        path=one.rig.path,
        window=window,
        point=clean.point,
        sure=clean.sure,
        sure_foot=clean.sure_foot,
        why_not_sure=clean.why_not_sure if window.speeds is not None else None,
        heights=Heights(lip=one.terrain.lip_height, runout_start_below_foot=one.terrain.foot_z - _runout_start_z(one)),
        rollable=_rollable(one),
        landings=landings,
        sensitivity=sensitivity,
        stop=stop,
        why_no_stop=why_no_stop,
        way_out=way_out,
        drop_matters=drop_matters,
        moves=moves,
        clean_from=one.rig.wheelbase / 2,
        departed=left,
        pitched=tilted,
        point_lands_longer=longer,
        unchecked=unknown,
        no_ride=refused,
        beware=first,
        side_wind=side_wind,
    )
    return answer, notes


def _room_notes(stop: Stop, met: tuple[Note, ...], way_out: WayOut | None) -> list[Note]:
    """What is to be said of the room after a landing: between two jumps nobody stops, but may want to leave the line."""
    if way_out is None or stop.stops:
        if not stop.stops and stop.margin is not None:
            return [*met, Note(code=Code.NOT_ENOUGH_ROOM_TO_STOP, values=(("missing", -stop.margin),))]
        if stop.stops and stop.margin < limits.TIGHT_ROOM.value:
            return [*met, Note(code=Code.ROOM_TO_STOP_IS_TIGHT, values=(("margin", stop.margin),))]
        return list(met)
    code = {
        True: Code.TURN_OFF_BEFORE_THE_NEXT,
        False: Code.NO_TURNING_OFF_BEFORE_THE_NEXT,
        None: Code.TURNING_OFF_BEFORE_THE_NEXT_NOT_KNOWN,
    }[way_out.way_round]
    clear = () if way_out.side_clear is None else (("clear", way_out.side_clear),)
    kept = [note for note in met if note.code is not Code.THE_LAST_SLOPE_IS_TOO_STEEP_TO_STOP_ON]
    return [*kept, Note(code=code, values=clear)]


def _drop_matters(line: Line, index: int, slowest: float) -> float | None:
    """How far the slowest clean lip speed moves for 0.2 m of drop either way [m/s], the larger of the two."""
    moves = []
    for drop in (-limits.DROP_DOUBT.value, limits.DROP_DOUBT.value):
        other = prepare(vary(line, {f"jump[{index + 1}].landing.drop_m": line.jumps[index].landing.drop + drop})).jumps[index]
        found = clean_speeds(other).window.speeds
        if found is not None:
            moves.append(abs(found.min - slowest))
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
