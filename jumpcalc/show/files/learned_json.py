"""What tries taught as JSON, always SI; keys carry units."""

from __future__ import annotations

import json
import math
from typing import Any

from jumpcalc.plan.studies.field.corrected import Forecast
from jumpcalc.plan.studies.field.learn import Learned, Taught
from jumpcalc.plan.studies.field.why import Why
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.rideable import in_full

__all__ = ["learned_json", "why_json"]

_UNITS = {"rolling": "", "drag": "_m2", "lip": "_deg", "spring": "_mps", "slope": "", "sensor": "", "wind": "_mps"}


def learned_json(found: Learned) -> str:
    """What tries taught.

    Parameters
    ----------
    found : Learned
        From `learn`.

    Returns
    -------
    str
        JSON.
    """
    after = found.next
    return _text(
        {
            "title": found.line.title,
            "fingerprint": found.line.fingerprint,
            "learned_from": found.origin,
            "used": found.used,
            "enough": found.enough,
            "left_out": [{"try": one.number + 1, "why": one.why} for one in found.left],
            "of_other_ground": found.elsewhere,
            "taught": [_taught(one) for one in found.taught],
            "scatter": {"spring_sd_mps": found.scatter[0], "speed_sd_percent": 100 * found.scatter[1]},
            "cannot_be_told_apart": [{"one": a, "other": b, "correlation": c} for a, b, c in found.tied],
            "tries": [
                {
                    "try": one.number + 1, "date": one.date, "start_mark_m": one.mark,
                    "foot_speed_mps": {"expected": one.foot, "sd": one.foot_sd, "measured": one.foot_seen},
                    "touched_m": {"expected": one.touched, "sd": one.touched_sd, "taped": one.touched_seen},
                    "outcome": one.outcome, "standard_deviations_off": one.far, "believed": one.trusted,
                }
                for one in found.held
            ],
            "not_believed": [
                {
                    "try": one.number + 1, "standard_deviations_off": one.far,
                    "explained_by": [{"cause": c.name, "amount": c.amount, "explains": c.explains} for c in one.causes],
                }
                for one in found.blunders
            ],
            "next": {
                "refused": None if after.refused is None else Reader.metric.text(in_full(after.refused, after.answer)),
                "torn_between_short_and_long": found.torn, "tries_otherwise_in": list(found.otherwise),
                "start_mark_m": None if found.torn else after.mark, "too_short_from_m": after.top, "foot_speed_mps": after.foot_speed,
                "lip_speed_mps": after.edge_speed, "learned": _forecast(after.learned), "untried": _forecast(after.untried),
            },
            "cautions": list(CAUTIONS),
        }
    )  # fmt: skip


def why_json(found: Why) -> str:
    """What several landings have in common.

    Parameters
    ----------
    found : Why
        From `why`.

    Returns
    -------
    str
        JSON.
    """
    return _text(
        {
            "refused": None if found.refused is None else Reader.metric.text(in_full(found.refused, found.answer)),
            "tries": found.count, "short": found.short, "long": found.long,
            "offset_mps": found.offset, "offset_sd_mps": found.offset_sd, "is_offset": found.is_offset,
            "scatter_sd_mps": found.spread, "usual_sd_mps": found.usual, "is_scatter": found.is_scatter,
            "expected_short": found.expected_short,
            "days": [{"date": one.date, "tries": one.count, "offset_mps": one.offset} for one in found.days],
            "causes": [{"cause": one.name, "amount": one.amount, "explains": one.explains} for one in found.causes],
            "left_out": [{"try": one.number + 1, "why": one.why} for one in found.left],
            "cautions": list(CAUTIONS),
        }
    )  # fmt: skip


def _text(found: dict[str, Any]) -> str:
    return json.dumps(found, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _taught(one: Taught) -> dict[str, Any]:
    unit = _UNITS[one.name]
    scale = math.degrees(1) if unit == "_deg" else 1.0
    numbers = {"before": one.before, "before_sd": one.before_sd, "after": one.after, "after_sd": one.after_sd}
    return {
        "name": one.name, "of": one.of or None, **{f"{key}{unit}": scale * value for key, value in numbers.items()},
        "doubt_left": one.share, "told": one.told,
    }  # fmt: skip


def _forecast(one: Forecast | None) -> dict[str, list[float]] | None:
    if one is None:
        return None
    return {"foot_speed_mps": list(one.foot), "touched_m": list(one.touched), "start_mark_m": list(one.mark)}
