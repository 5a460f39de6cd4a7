"""The panels of each way in, in the order in which they stand."""

from __future__ import annotations

from jumpcalc.show.page import (
    answer,
    bikes,
    card,
    explain,
    guidance,
    heights,
    hill,
    hits,
    landings,
    mistakes,
    notes,
    ride,
    ride_it,
    side,
    size_it,
    sizes,
    start,
    stopping,
    top,
    window,
)

__all__ = ["FIRST", "WAYS", "top"]

FIRST = {"size": (answer.show, side.show), "ride": (), "explain": ()}
"""What each way in shows before run-in and ride are worked out, so that a new drawing is there at once."""

WAYS = {
    "size": (
        size_it.show, landings.PANEL.show, stopping.PANEL.show, start.PANEL.show, heights.PANEL.show, guidance.show,
        sizes.PANEL.fold, mistakes.PANEL.fold, hits.PANEL.fold, window.PANEL.fold, hill.PANEL.fold, ride.PANEL.fold, bikes.PANEL.fold,
        card.show, notes.show,
    ),
    "ride": (
        ride_it.show, hill.PANEL.show, ride_it.ask, ride_it.check, side.PANEL.fold, ride.PANEL.fold, bikes.PANEL.fold,
        card.show, notes.show,
    ),
    "explain": (
        explain.show, side.PANEL.fold, mistakes.PANEL.fold, hits.PANEL.fold, window.PANEL.fold, card.show, notes.show,
    ),
}  # fmt: skip
"""What follows; on a phone too, answer and drawing come before any question. What is folded costs nothing."""
