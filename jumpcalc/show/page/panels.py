"""The panels of each way in, in the order in which they stand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from jumpcalc.show.page import (
    answer,
    between,
    bikes,
    card,
    check_it,
    check_page,
    explain,
    fits,
    guidance,
    heights,
    hill,
    hits,
    landings,
    log,
    measures,
    mistakes,
    more,
    names,
    notes,
    odds,
    ride,
    ride_it,
    side,
    size_it,
    sizes,
    start,
    stopping,
    testday,
    top,
    window,
)
from jumpcalc.show.page.common import Shown

__all__ = ["WAYS", "WayIn", "notes", "top"]


@dataclass(frozen=True, slots=True, kw_only=True)
class WayIn:
    """What a way in shows: `answer` in words, `drawing`, what it asks, `rest`; `no_ride` takes the rest's place where none is given.

    The drawing is worked out by `prepare` before anything is sent, and sent first; it needs no more than the line and what
    was picked.
    """

    prepare: Callable[[Shown], object]
    answer: Callable[[Shown], None]
    drawing: Callable[[Shown], None]
    ask: Callable[[Shown], None]
    rest: tuple[Callable[[Shown], None], ...]
    no_ride: tuple[Callable[[Shown], None], ...]


_LISTS = (guidance.PANEL, notes.CHECKLIST, notes.ASSUMED, notes.LEFT_OUT)
_DUG = (landings.PANEL.show, stopping.PANEL.show)
_LEVEL = (heights.PANEL.show, guidance.left)
_FURTHER = (explain.PANEL, side.PANEL, mistakes.PANEL, hits.PANEL, window.PANEL, *_LISTS[1:])

WAYS = {
    "size": WayIn(
        prepare=side.drawn, answer=answer.show, drawing=side.show, ask=size_it.show,
        rest=(
            fits.PANEL.show, notes.show, *_DUG, start.PANEL.show, *_LEVEL,
            more.more(
                names.MORE_SIZE, sizes.PANEL, between.PANEL, odds.PANEL, measures.PANEL, mistakes.PANEL, hits.PANEL, window.PANEL,
                hill.PANEL, testday.PANEL, ride.PANEL, bikes.PANEL, *_LISTS
            ),
            card.show, notes.made_of,
        ),
        no_ride=(
            fits.PANEL.show, notes.show, *_DUG, *_LEVEL,
            more.more(names.MORE_SIZE, measures.PANEL, mistakes.PANEL, hits.PANEL, window.PANEL, *_LISTS), notes.made_of,
        ),
    ),
    "check": WayIn(
        prepare=check_it.drawn, answer=check_it.show, drawing=check_it.picture, ask=check_it.ask,
        rest=(
            check_it.bands, check_it.where, notes.show, log.PANEL.show, check_page.show,
            more.more(names.MORE_CHECK, testday.PANEL, notes.CHECKLIST, notes.ASSUMED, notes.LEFT_OUT), notes.made_of,
        ),
        no_ride=(more.more(names.MORE_CHECK, notes.CHECKLIST, notes.LEFT_OUT), notes.made_of),
    ),
    "ride": WayIn(
        prepare=ride_it.drawn, answer=ride_it.show, drawing=ride_it.picture, ask=ride_it.ask,
        rest=(
            notes.show, ride_it.whole_hill, ride_it.check,
            more.more(names.MORE_RIDE, log.PANEL, testday.PANEL, ride.PANEL, bikes.PANEL, *_LISTS[1:]), card.show, notes.made_of,
        ),
        no_ride=(more.more(names.MORE_RIDE, notes.CHECKLIST, notes.LEFT_OUT), notes.made_of),
    ),
    "explain": WayIn(
        prepare=explain.drawn, answer=explain.show, drawing=explain.picture, ask=explain.ask,
        rest=(
            explain.why, notes.show, more.more(names.MORE_EXPLAIN, log.PANEL, *_FURTHER[:2], odds.PANEL, *_FURTHER[2:]), card.show,
            notes.made_of,
        ),
        no_ride=(explain.why, notes.show, more.more(names.MORE_EXPLAIN, *_FURTHER), notes.made_of),
    ),
}  # fmt: skip
"""The ways in; on a phone too, answer and drawing come before any question."""
