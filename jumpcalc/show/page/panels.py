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
    more,
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
from jumpcalc.show.page.common import Shown

__all__ = ["FIRST", "PREPARE", "WAYS", "notes", "top"]

PREPARE = {"size": side.drawn, "ride": hill.drawn, "explain": Shown.complete}
"""What is worked out before anything is shown, so that a new drawing reaches the browser in one piece with its words."""

FIRST = {"size": (answer.below(side.show),), "ride": (), "explain": ()}
"""What each way in shows before run-in and ride are worked out."""

_LISTS = (guidance.PANEL, notes.CHECKLIST, notes.ASSUMED, notes.LEFT_OUT)

WAYS = {
    "size": (
        notes.show, size_it.show, landings.PANEL.show, stopping.PANEL.show, start.PANEL.show, heights.PANEL.show, guidance.left,
        more.more(
            "more size", sizes.PANEL, mistakes.PANEL, hits.PANEL, window.PANEL, hill.PANEL, ride.PANEL, bikes.PANEL, *_LISTS
        ),
        card.show, notes.made_of,
    ),
    "ride": (
        ride_it.show, notes.show, hill.PANEL.show, ride_it.ask, ride_it.check,
        more.more("more ride", side.PANEL, ride.PANEL, bikes.PANEL, *_LISTS[1:]), card.show, notes.made_of,
    ),
    "explain": (
        explain.show, notes.show, more.more("more explain", side.PANEL, mistakes.PANEL, hits.PANEL, window.PANEL, *_LISTS[1:]),
        card.show, notes.made_of,
    ),
}  # fmt: skip
"""What follows; on a phone too, answer and drawing come before any question."""
