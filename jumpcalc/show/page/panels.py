"""The panels of each way in, in the order in which they stand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

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

__all__ = ["WAYS", "WayIn", "notes", "top"]


@dataclass(frozen=True, slots=True, kw_only=True)
class WayIn:
    """What a way in shows, from above: `answer` in words, `drawing`, `rest`.

    The drawing is worked out by `prepare` before anything is sent, and sent first; it needs no more than the line and what
    was picked.
    """

    prepare: Callable[[Shown], object]
    answer: Callable[[Shown], None]
    drawing: Callable[[Shown], None]
    rest: tuple[Callable[[Shown], None], ...]


_LISTS = (guidance.PANEL, notes.CHECKLIST, notes.ASSUMED, notes.LEFT_OUT)

WAYS = {
    "size": WayIn(
        prepare=side.drawn, answer=answer.show, drawing=side.show,
        rest=(
            notes.show, size_it.show, landings.PANEL.show, stopping.PANEL.show, start.PANEL.show, heights.PANEL.show, guidance.left,
            more.more(
                "more size", sizes.PANEL, mistakes.PANEL, hits.PANEL, window.PANEL, hill.PANEL, ride.PANEL, bikes.PANEL, *_LISTS
            ),
            card.show, notes.made_of,
        ),
    ),
    "ride": WayIn(
        prepare=ride_it.drawn, answer=ride_it.show, drawing=ride_it.picture,
        rest=(
            notes.show, ride_it.ask, ride_it.whole_hill, ride_it.check,
            more.more("more ride", ride.PANEL, bikes.PANEL, *_LISTS[1:]), card.show, notes.made_of,
        ),
    ),
    "explain": WayIn(
        prepare=explain.drawn, answer=explain.show, drawing=explain.picture,
        rest=(
            explain.why, notes.show, more.more("more explain", side.PANEL, mistakes.PANEL, hits.PANEL, window.PANEL, *_LISTS[1:]),
            card.show, notes.made_of,
        ),
    ),
}  # fmt: skip
"""The ways in; on a phone too, answer and drawing come before any question."""
