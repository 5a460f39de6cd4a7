"""Words for how far a rider's tries lie apart, and what that leaves of a window."""

from __future__ import annotations

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.studies.spread import steady
from jumpcalc.show.words.said import Words, said

__all__ = ["RIDERS", "often"]

RIDERS = {
    "practised": "a rider who has practised rolling from a mark",
    "pedalling": "a rider who makes pedal strokes",
    "new": "someone new to it",
}
"""Who a spread is taken from."""

_NEARLY_ALL = 0.95


def often(answer: Answer) -> Words:
    """How many tries at most come at a speed that lands clean.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.

    Returns
    -------
    str or Said
        Sentences; nothing where nearly all do.
    """
    found = steady(answer)
    if found is None or found.share > _NEARLY_ALL:
        return ""
    who = "this rider" if "speed" in found.taken.given else RIDERS[found.taken.rider]
    assumed = "" if "speed" in found.taken.given else " (assumed)"
    return said(
        "Of 100 tries by {who}, whose speed differs by {sd:share} from one to the next{assumed}, at best {count:count} come at a speed "
        "that lands clean; the odds count all else that differs.",
        who=who, sd=found.taken.spread.speed, assumed=assumed, count=int(100 * found.share),
    )  # fmt: skip
