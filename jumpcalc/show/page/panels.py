"""The panels of the page in the order in which they stand."""

from __future__ import annotations

from jumpcalc.show.page import (
    answer,
    bikes,
    heights,
    hill,
    hits,
    landings,
    mistakes,
    notes,
    ride,
    side,
    start,
    stopping,
    top,
    window,
)

__all__ = ["IN_ORDER", "top"]

IN_ORDER = (answer, side, landings, start, hill, stopping, hits, mistakes, window, ride, bikes, heights, notes)
