"""The test day as JSON: keys carry units, always SI; null is what does not apply or is not known."""

from __future__ import annotations

import json
from typing import Any

from jumpcalc.plan.studies.field.steps import Step
from jumpcalc.plan.studies.field.testday import DayPlan, Version
from jumpcalc.show.words import testday as words
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.testday_report import parts

__all__ = ["as_json"]


def as_json(plan: DayPlan) -> str:
    """The test day as JSON text, indented, ending with a line break."""
    found: dict[str, Any] = {
        "title": plan.answer.complete.title,
        "example": plan.example,
        "model_date": plan.answer.model_date,
        "fingerprint": plan.answer.fingerprint,
        "headline": Reader.metric.text(words.headline(plan)),
        "refused": None if plan.refused is None else plan.refused.why,
        "cannot": list(plan.cannot),
        "steps": [_step(plan, one) for one in plan.steps],
        "easier": [_version(one) for one in plan.versions],
        "clear_beside_landing_m": plan.clear,
        "log": None
        if plan.shown is None
        else {
            "day": plan.day, "rides": plan.shown.rides, "rides_counted": plan.shown.counted, "rider": plan.shown.rider,
            "last_two_outside": plan.shown.outside, "called_off": plan.shown.off,
        },
        "words": {head: Reader.metric.texts(told) for head, told in parts(plan).items()},
        "cautions": list(CAUTIONS),
    }
    return json.dumps(found, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _step(plan: DayPlan, one: Step) -> dict[str, Any]:
    stop = one.stop
    return {
        "kind": one.kind,
        "jump": one.jump,
        "start_m_before_foot": one.mark,
        "foot_speed_mps": dict(zip(("min", "aim", "max"), one.go, strict=True)),
        "last_place_to_stop": None
        if stop is None
        else {"exists": stop.exists, "m_before_foot": stop.last, "speed_mps": stop.speed},
        "needs_in_a_row": one.needs,
        "done_in_a_row": one.done,
        "text": Reader.metric.text(words.step(plan, one)),
    }


def _version(one: Version) -> dict[str, Any]:
    return {
        "gap_m": one.gap,
        "table": one.table,
        "foot_speed_mps": dict(zip(("min", "aim", "max"), one.foot, strict=True)),
        "start_m_before_foot": one.mark,
    }
