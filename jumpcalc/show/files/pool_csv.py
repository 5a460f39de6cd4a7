"""The pooled table of many logs: a row for each rider's log on a line, units in the header, no names."""

from __future__ import annotations

import csv
import io
import json
import math

from jumpcalc.plan.studies.field.pool import SEVERAL, Pool, Pooled

__all__ = ["POOL_COLUMNS", "pool_csv", "pool_json"]

POOL_COLUMNS = {
    "surface": "ground of the run-in by its word; empty where its rolling resistance was given as a number",
    "bike": "kind of bike",
    "shape": "gap, tabletop or drop",
    "lip_angle_deg": "angle of the lip as measured",
    "gap_m": "gap as measured, level",
    "tries": "tries that were looked at",
    "not_believed": "of those the ones further than 3 standard deviations off",
    "spring_mps": "what the rider adds across the lip as a rule, by this log alone; empty where it says nothing",
    "spring_sd_mps": "standard deviation of that",
    "spring_scatter_mps": "standard deviation of what the rider adds from try to try",
    "speed_scatter_percent": "standard deviation of the speed before the lip from try to try",
    "rolling_resistance": "of tyres on this ground, by this log alone; empty where it says nothing",
    "rolling_resistance_sd": "standard deviation of that",
    "held": "tries inside the 90 % interval that the others of the log give",
    "checked": "tries that could be checked so",
    "ln_bike_over_point": "logarithm of how many times likelier the tries are if the bike flies than if the textbook's point does",
}
"""What each column of the pooled table holds."""


def pool_csv(found: Pool) -> bytes:
    """The pooled table.

    Parameters
    ----------
    found : Pool
        From `pool`.

    Returns
    -------
    bytes
        CSV in UTF-8.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(POOL_COLUMNS)
    writer.writerows([["" if value is None else value for value in _row(one)] for one in found.logs])
    return out.getvalue().encode()


def _row(one: Pooled) -> list[object]:
    spring, rolling = one.spring or (None, None), one.rolling or (None, None)
    short = lambda value: None if value is None else float(f"{value:.4g}")  # noqa: E731
    return [
        one.surface, one.bike, one.shape, short(math.degrees(one.lip_angle)), short(one.gap), one.tries, one.not_believed,
        short(spring[0]), short(spring[1]), short(one.spring_scatter), short(100 * one.speed_scatter), short(rolling[0]), short(rolling[1]),
        one.held, one.checked, short(one.for_bike),
    ]  # fmt: skip


def pool_json(found: Pool) -> str:
    """What many logs say together, as JSON.

    Parameters
    ----------
    found : Pool
        From `pool`.

    Returns
    -------
    str
        SI; the rows by the columns of the table.
    """
    one = lambda value: None if value is None else {"logs": value.count, "mean": value.mean, "sd": value.mean_sd, "differ_sd": value.differ}  # noqa: E731
    return json.dumps(
        {
            "logs": [dict(zip(POOL_COLUMNS, _row(row), strict=True)) for row in found.logs],
            "spring_mps": one(found.spring),
            "spring_scatter_mps": found.spring_scatter,
            "speed_scatter_percent": None if found.speed_scatter is None else 100 * found.speed_scatter,
            "rolling_resistance": {ground: one(value) for ground, value in found.rolling},
            "held": found.held,
            "checked": found.checked,
            "ln_bike_over_point": found.for_bike if len(found.logs) >= SEVERAL else None,
            "left_out": [{"file": number + 1, "why": why} for number, why in found.left],
        },
        indent=2,
        ensure_ascii=False,
    ) + "\n"
