"""Odds as JSON: SI, shares never more sure than they are said."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.studies.best_mark import Best, Cost
from jumpcalc.plan.studies.odds import Odds, Share
from jumpcalc.plan.studies.smallest import Smallest
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.odds import LEAST, MOST, none, not_to_ride

__all__ = ["as_dict"]


def as_dict(
    found: Odds | None, answer: Answer, *, start: Best | None = None, smallest: Sequence[Smallest] | None = None
) -> dict[str, Any]:
    """The odds for a program: SI, shares as they are said.

    Parameters
    ----------
    found : Odds or None
        From `odds`.
    answer : Answer
        The answer it belongs to.
    start : Best, optional
        The start that costs least.
    smallest : sequence of Smallest, optional
        The smallest changes, where they were asked for.

    Returns
    -------
    dict
        For JSON.
    """
    head = {"title": answer.complete.title, "model_date": answer.model_date, "fingerprint": answer.fingerprint, "cautions": list(CAUTIONS)}
    if found is None:
        return {**head, "no_odds": Reader.metric.text(none(answer))}
    spread = found.taken.spread
    return {
        **head,
        "not_to_ride": Reader.metric.text(not_to_ride(answer)) or None,
        "rider": found.taken.rider,
        "spread": {
            "speed_sd_share": spread.speed, "angle_sd_rad": spread.angle, "spring_mean_mps": spread.spring_mean,
            "spring_sd_mps": spread.spring, "tailwind_sd_mps": spread.tailwind, "drag_area_sd_share": spread.drag,
            "pitch_sd_rad": spread.pitch,
        },
        "assumed_spread": list(found.taken.assumed),
        "start_m": found.mark, "foot_speed_mps": found.foot_speed, "tries": found.rows,
        "all_clean": _share_dict(found.all_good),
        "matters": [
            {"error": one.error, "total_order_index": one.total, "all_clean_halved": _said_share(one.halved)} for one in found.matters
        ],
        "all_clean_with_a_longer_landing": [_said_share(found.all_good.value + gain) for gain in found.longer],
        "jumps": [
            {
                "name": jump.name, "comes_to_it": _share_dict(jump.comes),
                "outcomes": {str(outcome): _share_dict(share) for outcome, share in jump.outcomes},
                "unknown_share": jump.unknown, "clean_within_limit": _share_dict(jump.good), "clean_but_too_hard": _share_dict(jump.hard),
                "equivalent_fall_m": dict(zip(("p05", "p25", "p50", "p75", "p95"), jump.fall, strict=True)) if jump.fall else None,
                "limit_m": jump.limit, "rear_wheel": {"from_knuckle_m": list(jump.places), "share": list(jump.wheels)},
            }
            for jump in found.jumps
        ],
        "smallest_changes": None if smallest is None else [
            {"path": one.path, "was": one.was, "becomes": one.becomes, "all_clean": _said_share(one.good)} for one in smallest
        ],
        "best_start": None if start is None else _best_dict(start),
    }  # fmt: skip


def _said_share(value: float) -> dict[str, Any]:
    """A share to a whole percent, never more than is said of it."""
    value = min(max(value, 0.0), 1.0)
    bound = "more than" if value > MOST else "fewer than" if value < LEAST else None
    return {"in_100": round(100 * min(max(value, LEAST), MOST)), "is": bound}


def _share_dict(share: Share) -> dict[str, Any]:
    return {**_said_share(share.value), "sampling_sd_in_100": 100 * share.error}


def _best_dict(found: Best) -> dict[str, Any]:
    costs = found.costs

    def one(cost: Cost) -> dict[str, Any]:
        return {
            "start_m": cost.mark, "foot_speed_mps": cost.foot_speed, "cost": cost.cost, "short": _said_share(cost.short),
            "clean_within_limit": _said_share(cost.good), "long": _said_share(cost.long),
        }  # fmt: skip

    return {
        "costs": {"short": costs.short, "rear short": costs.rear_short, "front long": costs.front_long, "long": costs.long,
                  "hard": costs.hard},
        "best": one(found.best), "aim": one(found.aim), "aim_reached": found.aim_reached, "ends_at_top_of_run_in": found.ends_at_top,
    }  # fmt: skip
