"""The speed check as JSON: keys carry units, always SI, angles in degrees; null is what does not apply or is not known."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from typing import Any

from jumpcalc.plan.inputs.declare import declared, key_of
from jumpcalc.plan.studies.field.check import Band, Check
from jumpcalc.plan.studies.field.kinds import Filmed, Passing, Reading, Timed
from jumpcalc.plan.studies.field.readings import Measured
from jumpcalc.plan.studies.field.takes import Takes, what_it_takes
from jumpcalc.plan.studies.field.window import lies
from jumpcalc.show.words import check as told
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.check_report import sentences
from jumpcalc.show.words.numbers import Reader

__all__ = ["as_json"]


def as_json(found: Check, *, readings: Sequence[Measured] = ()) -> str:
    """The check as JSON text, indented, ending with a line break; `readings` is what was measured."""
    answer, window, cones = found.answer, found.window, found.cones
    content = {
        "title": answer.complete.title,
        "example": found.example,
        "model_date": answer.model_date,
        "fingerprint": answer.fingerprint,
        "headline": Reader.metric.text(told.headline(found)),
        "cautions": list(CAUTIONS),
        "assumed": list(answer.assumed),
        "run_in_measured": found.known_ground,
        "foot_speed_mps": None
        if window is None
        else {"slowest": None if window.from_rest else window.low, "aim": window.aim, "fastest": window.high, "of": window.of},
        "cones": None
        if cones is None
        else {
            "apart_m": cones.length,
            "second_before_foot_m": cones.before_foot,
            "first_before_foot_m": cones.before_foot + cones.length,
            "speed_change_percent": 100 * cones.change,
            "camera_beside_m": cones.camera,
        },
        "ways": [_band(band) for band in found.bands],
        "would_take": {kind.word: _takes(what_it_takes(found, kind)) for kind in (Timed, Filmed)},
        "measured": [_measured(found, one) for one in readings],
    }
    return json.dumps(content, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _band(band: Band) -> dict[str, Any]:
    frames = isinstance(band.reading, (Filmed, Passing))
    unit = "s" if isinstance(band.reading, Timed) else "frames" if frames else "mps"
    return {
        "way": band.reading.word,
        "runs": getattr(band.reading, "runs", None),
        "frames_per_s": getattr(band.reading, "rate", None),
        "wheel_rolled_out": getattr(band.reading, "rolled_out", None),
        f"slow_end_{unit}": band.slow,
        f"aim_{unit}": band.aim,
        f"fast_end_{unit}": band.fast,
        "within_90_of_100_mps": band.ninety,
        "grade": band.grade,
        "adds_mps": dict(band.shares),
    }


def _takes(needs: Takes | None) -> dict[str, Any] | None:
    if needs is None:
        return None
    return {
        "runs": needs.runs,
        "frames_per_s": needs.rate,
        "cones_apart_m": needs.length,
        "camera_beside_m": needs.camera,
        "digital_level": needs.level,
        "within_90_of_100_mps": needs.ninety,
    }


def _measured(found: Check, one: Measured) -> dict[str, Any]:
    def degrees(angle: float | None) -> float | None:
        return None if angle is None else math.degrees(angle)

    return {
        **_reading(one.reading),
        "foot_speed_mps": one.foot_speed,
        "foot_uncertainty_mps": one.foot_uncertainty,
        "foot_90_of_100_mps": list(one.foot_interval),
        "edge_speed_mps": one.edge_speed,
        "edge_uncertainty_mps": one.edge_uncertainty,
        "direction_deg": degrees(one.direction),
        "direction_uncertainty_deg": degrees(one.direction_uncertainty),
        "expected_direction_deg": degrees(one.expected),
        "adds_mps": dict(one.shares),
        "lies": None if found.window is None else lies(found.window, one),
        "said": " ".join(Reader.metric.texts(sentences(found, one))),
    }


def _reading(reading: Reading) -> dict[str, Any]:
    """What was measured, with SI units in its keys."""
    told = {"way": reading.word}
    for name, declaration in declared(type(reading)).items():
        key = f"{name}_mps" if declaration.kind == "speed" else key_of(name, declaration)
        told[key] = getattr(reading, name)
    return told
