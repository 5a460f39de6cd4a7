"""What lies between jumps as JSON: SI."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.studies.between import Cell, Stretch
from jumpcalc.plan.studies.remedies import Remedy, Together
from jumpcalc.show.words.between_report import ends
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.numbers import Reader

__all__ = ["as_dict"]


def as_dict(
    answer: Answer, stretches: Sequence[Sequence[Stretch]], found: Sequence[Sequence[Remedy]], *, all_of_it: Together | None = None
) -> dict[str, Any]:
    """What lies between the jumps of a line, for a program: SI.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    stretches : sequence of sequence of Stretch
        For each two jumps, on the line's own bike first, then on others.
    found : sequence of sequence of Remedy
        For each two jumps, on the line's own bike.
    all_of_it : Together, optional
        What makes the whole line carry.

    Returns
    -------
    dict
        For JSON.
    """
    return {
        "title": answer.complete.title, "model_date": answer.model_date, "fingerprint": answer.fingerprint, "cautions": list(CAUTIONS),
        "ends": Reader.metric.texts(ends(answer, [each[0] for each in stretches])),
        "stretches": [
            {
                "from": answer.jumps[each[0].index].name, "to": answer.jumps[each[0].index + 1].name,
                "bikes": [_stretch(one) for one in each], "cures": [_remedy(one) for one in helps],
            }
            for each, helps in zip(stretches, found, strict=True)
        ],
        "together": None if all_of_it is None else {
            "cures": [{"to": answer.jumps[index + 1].name, **_remedy(one)} for index, one in all_of_it.changes],
            "start_window_m": dict(zip(("shortest", "longest"), all_of_it.answer.ride.window, strict=True)),
        },
    }  # fmt: skip


def _stretch(one: Stretch) -> dict[str, Any]:
    if one.why_none is not None:
        return {"bike": one.bike, "why_none": one.why_none, "jump": one.jump}
    comes = one.arriving.speeds
    return {
        "bike": one.bike, "why_none": None, "sure": one.sure, "left_foot_speed_mps": {"min": one.left[0], "max": one.left[1]},
        "arrives_foot_speed_mps": None if comes is None else {"min": comes[0], "max": comes[1]},
        "clean_foot_speed_mps": {"min": one.wanted.min, "aim": one.wanted.aim, "max": one.wanted.max},
        "spacings_m": list(one.spacings), "falls_m": list(one.falls),
        "ways": [
            {
                "strokes": way.strokes, "today": _cell(way.today), "cells": [[_cell(cell) for cell in row] for row in way.cells],
                "carries": [
                    {"spacing_m": limit.spacing, "least": _cell(limit.low), "most": _cell(limit.high)} for limit in way.falls
                ],
            }
            for way in one.ways
        ],
    }  # fmt: skip


def _cell(cell: Cell | None) -> dict[str, Any] | None:
    if cell is None:
        return None
    known = cell.built and math.isfinite(cell.slow)
    return {
        "spacing_m": cell.spacing, "fall_m": cell.fall, "fall_share": cell.share, "can_be_built": cell.built, "carries": cell.carries,
        "slow_margin_mps": cell.slow if known else None, "fast_margin_mps": cell.fast if known else None,
    }  # fmt: skip


def _remedy(one: Remedy) -> dict[str, Any]:
    return {
        "kind": one.kind, "was": one.was, "becomes": one.becomes, "slow_margin_mps": one.slow, "fast_margin_mps": one.fast,
        "earth_m3": None if one.line is None else one.earth, "line_rides_clean": one.rides,
    }  # fmt: skip
