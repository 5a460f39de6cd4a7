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
    start,
    stopping,
    top,
    window,
)

__all__ = ["FIRST", "WAYS", "top"]

FIRST = {"size": (answer.show, side.show), "ride": (), "explain": ()}
"""What each way in shows before run-in and ride are worked out, so that a new drawing is there at once."""

WAYS = {
    "size": tuple(
        panel.show
        for panel in (
            size_it, landings, heights, guidance, stopping, start, hill, hits, mistakes, window, ride, bikes, card, notes
        )
    ),
    "ride": (
        ride_it.show, hill.show, ride_it.ask, ride_it.check, side.show, ride.show, bikes.show, card.show, notes.show,
    ),
    "explain": tuple(panel.show for panel in (explain, side, mistakes, hits, window, card, notes)),
}
"""What follows; on a phone too, answer and drawing come before any question."""
