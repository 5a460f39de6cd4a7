"""Coast-downs as JSON: keys carry units, always SI, angles in degrees; null is what does not apply or is not known."""

from __future__ import annotations

import json
import math
from typing import Any

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.studies.field.coast import Fit
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.coast import found
from jumpcalc.show.words.numbers import Reader

__all__ = ["as_json"]

_KEYS = {"rolling_resistance": "rolling_resistance", "drag_area": "drag_area_m2", "slope": "slope_error_deg", "wind": "wind_error_mps"}


def as_json(fit: Fit, before: Answer, after: Answer, *, on: str) -> str:
    """The fit as JSON text, indented, ending with a line break; `before` and `after` are the line without and with it."""
    content = {
        "title": before.complete.title,
        "model_date": before.model_date,
        "fingerprint": before.fingerprint,
        "cautions": list(CAUTIONS),
        "of": on,
        "reckoned_on": [
            {"run": one.run, "ground": one.of or "as given", "slope_deg": [math.degrees(slope) for slope in one.slopes]}
            for one in fit.grounds
        ],
        "offered": fit.offered,
        **{key: _one(fit, name) for name, key in _KEYS.items()},
        "told": [_KEYS[name] for name in fit.told if fit.offered],
        "correlation": fit.correlation if fit.offered else None,
        "region_90_of_100": [{"rolling_resistance": c, "drag_area_m2": area} for c, area in fit.region if fit.offered],
        "scatter": fit.scatter,
        "furthest_off": {"run": fit.worst[0], "times_stated": fit.worst[1]},
        "numbers": fit.readings,
        "runs": fit.runs,
        "start_m_for_aim": {"before": _mark(before), "after": _mark(after) if fit.offered else None},
        "said": Reader.metric.texts(found(fit)),
    }
    return json.dumps(content, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _one(fit: Fit, name: str) -> dict[str, Any]:
    """One value with its uncertainty, null where none is offered, and what was taken before."""
    turn = math.degrees(1) if name == "slope" else 1.0
    taken, spread = fit.prior[name]
    return {
        "value": turn * fit.values[name] if fit.offered else None,
        "uncertainty": turn * fit.uncertainties[name] if fit.offered else None,
        "before": turn * taken,
        "before_uncertainty": None if spread is None else turn * spread,
    }


def _mark(answer: Answer) -> float | None:
    found = answer.jumps[0].run_in
    return None if found is None else found.mark
