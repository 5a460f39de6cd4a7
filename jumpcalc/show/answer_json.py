"""The JSON answer: keys carry units, always SI, angles in degrees; null is what does not apply or is not known."""

from __future__ import annotations

import json
import math
from typing import Any

from jumpcalc.plan.answer import Answer, JumpAnswer, LandingResult, Speeds
from jumpcalc.show import words

__all__ = ["as_dict", "as_json"]


def as_json(answer: Answer) -> str:
    """The answer as JSON text, indented, ending with a line break."""
    return json.dumps(as_dict(answer), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def as_dict(answer: Answer) -> dict[str, Any]:
    """The answer as a dictionary with the keys of the JSON answer."""
    return {
        "title": answer.complete.title,
        "model_date": answer.model_date,
        "fingerprint": answer.fingerprint,
        "cautions": list(words.CAUTIONS),
        "warnings": [words.sentence(words.note(said, jumps=len(answer.jumps))) for said in answer.warnings],
        "assumed": list(answer.assumed),
        "air": {"density_kgm3": answer.density},
        "jumps": [_jump(jump) for jump in answer.jumps],
        "ride": None,
    }


def _jump(jump: JumpAnswer) -> dict[str, Any]:
    window = jump.window
    speeds = window.speeds
    return {
        "name": jump.name,
        "lip_speed_mps": _speeds(speeds),
        "no_window": None if window.why_none is None else words.note(window.why_none),
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
        "heights": {
            "lip_m": jump.heights.lip,
            "runout_start_below_foot_m": jump.heights.runout_start_below_foot,
        },
        "rollable": {"yes": jump.rollable.yes, "why": words.note(jump.rollable.why)},
        "landings": [_landing(landing) for landing in jump.landings],
        "sensitivity": _sensitivity(jump),
        "stop": _stop(jump),
        "run_in": None,
        "abort": None,
    }


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
        "descent_deg": math.degrees(landing.descent),
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
