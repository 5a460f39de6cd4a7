"""The JSON answer: keys carry units, always SI, angles in degrees; null is what does not apply or is not known."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from typing import Any

from jumpcalc.plan.answer import Answer, JumpAnswer, LandingResult, Speeds
from jumpcalc.plan.studies.carry import Cure, cures
from jumpcalc.plan.studies.measures import Measure, Measures
from jumpcalc.plan.studies.spacing import spacing
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.notes import look_at, note
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.ride import headline

__all__ = ["as_dict", "as_json"]


def as_json(answer: Answer, *, tape: Sequence[Measures | None] = ()) -> str:
    """The answer as JSON text, indented, ending with a line break; `tape` holds what the tape does to each jump, where asked for."""
    return json.dumps(as_dict(answer, tape=tape), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def as_dict(answer: Answer, *, tape: Sequence[Measures | None] = ()) -> dict[str, Any]:
    """The answer as a dictionary with the keys of the JSON answer; `measures` of a jump is null where `tape` holds nothing."""
    return {
        "title": answer.complete.title,
        "model_date": answer.model_date,
        "fingerprint": answer.fingerprint,
        "headline": Reader.metric.text(headline(answer)) or None,
        "cautions": list(CAUTIONS),
        "warnings": Reader.metric.texts(look_at(answer.warnings, jumps=len(answer.jumps))),
        "assumed": list(answer.assumed),
        "air": {"density_kgm3": answer.density},
        "jumps": [
            _jump(answer, index) | {"measures": _measures(tape[index]) if tape else None} for index in range(len(answer.jumps))
        ],
        "ride": _ride(answer),
    }


def _jump(answer: Answer, index: int) -> dict[str, Any]:
    jump = answer.jumps[index]
    window = jump.window
    speeds = window.speeds
    return {
        "name": jump.name,
        "lip_speed_mps": _speeds(speeds),
        "no_window": None if window.why_none is None else Reader.metric.text(note(window.why_none)),
        "sure_lip_speed_mps": None if jump.sure is None else dict(zip(("min", "max"), jump.sure, strict=True)),
        "point_lip_speed_mps": _speeds(jump.point.speeds),
        "point_foot_speed_mps": _speeds(jump.point.foot),
        "foot_speed_mps": _speeds(window.foot),
        "room_percent": None
        if speeds is None
        else {
            "slow": 100 * (speeds.aim - speeds.min) / speeds.aim,
            "fast": 100 * (speeds.max - speeds.aim) / speeds.aim,
        },
        "max_limited_by": window.limited_by,
        "min_from_rest": window.from_rest,
        "heights": {
            "lip_m": jump.heights.lip,
            "runout_start_below_foot_m": jump.heights.runout_start_below_foot,
        },
        "rollable": {"yes": jump.rollable.yes, "why": Reader.metric.text(note(jump.rollable.why))},
        "landings": [_landing(landing) for landing in jump.landings],
        "sensitivity": _sensitivity(jump),
        "departure": _departure(jump),
        "rider_moves_m": None if jump.moves is None else dict(zip(("shorter", "longer"), jump.moves, strict=True)),
        "point_lands_longer_m": jump.point_lands_longer,
        "unchecked": [Reader.metric.text(note(of)) for of in jump.unchecked],
        "beware": [Reader.metric.text(note(of)) for of in jump.beware],
        "side_wind_limit_mps": jump.side_wind,
        "no_ride": None if jump.no_ride is None else Reader.metric.text(note(jump.no_ride)),
        "stop": _stop(jump),
        "before_the_next": None
        if jump.way_out is None
        else {"way_round": jump.way_out.way_round, "side_clear_m": jump.way_out.side_clear},
        "run_in": _run_in(answer, index),
        "abort": None
        if jump.abort is None
        else {
            "last_m_before_foot": jump.abort.last,
            "speed_there_mps": jump.abort.speed,
            "exists": jump.abort.exists,
        },
    }


def _run_in(answer: Answer, index: int) -> dict[str, Any] | None:
    """The run-in of a jump; beyond the first one only what the ride reaches it with."""
    found = answer.jumps[index].run_in
    steps = answer.ride.steps if answer.ride is not None else ()
    reached = steps[index].lip_speed if index < len(steps) else None
    names = ("min", "aim", "max")
    if found is None:
        if index == 0 or answer.ride is None:
            return None
        return {
            "lip_speed_mps": reached,
            **{f"start_m_for_{name}": None for name in names},
            "strokes_for_aim": None,
            "roll_time_s": None,
            "from_same_mark": None,
        }
    strokes = found.strokes
    return {
        "lip_speed_mps": found.lip_speed,
        "start_m": found.mark,
        **{f"start_m_for_{name}": mark for name, mark in zip(names, found.marks, strict=True)},
        "strokes_for_aim": None if strokes is None else strokes.works,
        "strokes_that_fit": None if strokes is None else strokes.fit,
        "roll_time_s": dict(zip(names, found.roll_times, strict=True)),
        "from_same_mark": {change.code: change.by for change in found.changes} or None,
        "leaves_window": [change.code for change in found.changes if not change.stays],
        "start_span_m": None if found.span is None else {"shortest": found.span.short, "longest": found.span.long},
        "stopwatch_s": {"too_slow_above": found.slow_time, "too_fast_below": found.fast_time},
        "brake": None
        if found.brake is None
        else {
            "from_m_before_foot": found.brake.begin,
            "to_m_before_foot": found.brake.end,
            "share_of_hardest": found.brake.use,
            "from_speed_mps": found.brake.from_speed,
            "to_speed_mps": found.brake.to_speed,
        },
        "missing_mps": found.missing,
        "aim_has_a_start_m_higher": found.higher,
        "halts_m_before_foot": found.halts_at,
        "lip_load_g": found.lip_load,
        "arc_load_g": found.arc_load,
    }


def _ride(answer: Answer) -> dict[str, Any] | None:
    ride = answer.ride
    if ride is None:
        return None
    names = [jump.name for jump in answer.jumps]
    said = ride.ended_by
    return {
        "landings": [_landing(step.landing) for step in ride.steps],
        "foot_speed_mps": [step.foot_speed for step in ride.steps],
        "lip_speed_mps": [step.lip_speed for step in ride.steps],
        "ended_by": None if said is None else Reader.metric.text(note(said, jumps=len(names))),
        "start_window_m": None if ride.window is None else {"shortest": ride.window[0], "longest": ride.window[1]},
        "no_start_window": None if ride.why_none is None else Reader.metric.text(note(ride.why_none, jumps=len(names))),
        "tight_jump": None
        if ride.tight is None
        else {"slow": names[ride.tight[0] - 1], "fast": names[ride.tight[1] - 1]},
        "carries": [
            None
            if carry is None
            else {
                "from_aim_mps": carry.from_aim,
                "lip_speed_mps": None if carry.speeds is None else dict(zip(("min", "max"), carry.speeds, strict=True)),
                "share_of_window": carry.share,
                "strokes_for_aim": carry.strokes,
                "strokes_that_fit": carry.fit,
                "brake_off_mps": carry.brake,
                "cures": [_cure(cure) for cure in cures(answer, index)],
                "next_foot_m": _next_foot(answer, index),
            }
            for index, carry in enumerate(ride.carries)
        ],
    }


_CURES = {
    "length": ("length_m", "slope_deg"),
    "slope": ("slope_deg", "length_m"),
    "gap": ("gap_m", None),
    "strokes": ("strokes", None),
    "brake": ("speed_mps", None),
}
"""What changes, and what tells the straight that is meant."""


def _cure(cure: Cure) -> dict[str, Any]:
    what, of = _CURES[cure.kind]
    value = math.degrees if what.endswith("_deg") else float
    told = {"kind": cure.kind, f"{what}_now": value(cure.was), what: value(cure.becomes), "share_of_window": cure.share}
    if of is not None:
        told[f"of_{of}"] = math.degrees(cure.of) if of.endswith("_deg") else cure.of
    return told if cure.over is None else {**told, "over_m": cure.over}


def _next_foot(answer: Answer, index: int) -> dict[str, float | None] | None:
    found = spacing(answer, index)
    return None if found is None else {"nearest": found.nearest, "farthest": found.farthest, "now": found.now}


def _speeds(speeds: Speeds | None) -> dict[str, float] | None:
    return None if speeds is None else {"min": speeds.min, "aim": speeds.aim, "max": speeds.max}


def _landing(landing: LandingResult) -> dict[str, Any]:
    return {
        "lip_speed_mps": landing.lip_speed,
        "outcome": landing.outcome,
        "x_m": landing.x,
        "z_m": landing.z,
        "along_face_m": landing.along_face,
        "flight_s": landing.flight,
        "apex_m": landing.apex,
        "speed_mps": landing.speed,
        "descent_deg": None if landing.descent is None else math.degrees(landing.descent),
        "into_ground_mps": landing.into_ground,
        "along_ground_mps": landing.along_ground,
        "equivalent_fall_m": landing.equivalent_fall,
        "side_drift_m": landing.side_drift,
    }


def _sensitivity(jump: JumpAnswer) -> dict[str, Any] | None:
    found = jump.sensitivity
    if found is None:
        return None
    return {
        "landing_m_per_mps": found.per_speed,
        "landing_m_per_deg": found.per_angle * math.radians(1),
        "landing_m_per_mps_wind": found.per_wind,
        "slow_10_percent": _landing(found.slow_10),
        "slow_5_percent": _landing(found.slow_5),
        "fast_5_percent": _landing(found.fast_5),
        "fast_10_percent": _landing(found.fast_10),
    }


def _departure(jump: JumpAnswer) -> dict[str, Any] | None:
    left, tilt = jump.departed, jump.pitched
    if left is None:
        return None
    return {
        "load_g": left.load,
        "greatest_load_g": left.greatest_load,
        "wheel_lifts": left.lifts,
        "lifts_m_before_edge": left.lift_before,
        "pitch_deg": math.degrees(left.pitch),
        "pitch_rate_degps": math.degrees(left.rate),
        "wanted_pitch_rate_degps": math.degrees(left.wanted_rate),
        "passive_pitch_deg": math.degrees(left.passive_pitch),
        "front_dip_deg": math.degrees(left.dip),
        "rear_earlier_at_10_deg_nose_up_m": None if tilt is None else tilt.rear_earlier,
        "front_earlier_at_10_deg_nose_down_m": None if tilt is None else tilt.front_earlier,
    }


def _measures(found: Measures | None) -> dict[str, Any] | None:
    if found is None:
        return None

    def ends(of: Measure | Measures) -> dict[str, float | None]:
        return {"slowest_mps": of.slowest, "aim_mps": of.aim, "fastest_mps": of.fastest}

    def error(of: Measure) -> dict[str, float | None]:
        angle = of.kind == "angle"
        return {"error_m": None if angle else of.error, "error_deg": math.degrees(of.error) if angle else None}

    return {"each": [{"name": of.name, **error(of), **ends(of)} for of in found.each], "together": ends(found)}


def _stop(jump: JumpAnswer) -> dict[str, Any] | None:
    stop = jump.stop
    if stop is None:
        return None
    return {
        "from_speed_mps": stop.from_speed,
        "reaction_m": stop.reaction,
        "braking_m": stop.braking,
        "total_m": stop.total,
        "available_m": stop.available,
        "margin_m": stop.margin,
        "stops": stop.stops,
    }
