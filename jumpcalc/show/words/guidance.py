"""Rules of published guidance in words, beside what the jump has of each."""

from __future__ import annotations

from collections.abc import Iterable

from jumpcalc.plan.limits import FALL_ZONE
from jumpcalc.plan.studies.guidance import Rule
from jumpcalc.show.words.said import Words, joined, said

__all__ = ["not_met", "rule"]

_RULES = {
    "ramp steeper than any grade": "ramps are at most {asks}, on grade 5",
    "height": "lips and landings are at most {asks} high and always rollable",
    "straight of a wheelbase": "the straight before the edge is at least a wheelbase, {asks}",
    "straight of 0.3 s": "the straight before the edge takes at least 0.3 s, here {asks}",
    "transition radius": "the curve of the lip has a radius of at least 0.14 v², here {asks}",
    "steepness": "lips and landings are less steep than {asks}",
    "step-up": "a step-up's ramp may be up to {asks} steeper",
    "fall zone": "clear on each side: {zone:length} and the height of the riding surface, {asks}",
}


def rule(of: Rule) -> tuple[Words, Words, str]:
    """A rule, what the jump has of it, and who says so.

    Parameters
    ----------
    of : Rule
        One rule beside one jump.

    Returns
    -------
    tuple of str or Said
        Rule, what is here, source.
    """
    kind = "height" if of.kind == "length" and of.code != "transition radius" else of.kind
    asks = said(f"{{asks:{kind}}}", asks=of.asks)
    text = said(_RULES.get(of.code, f"ramps of {of.code.removeprefix('ramp of ')} are at most {{asks}}"), asks=asks, zone=FALL_ZONE.value)
    has: Words = "not measured" if of.has is None else said(f"{{has:{kind}>asks}}", has=of.has, asks=of.asks)
    if of.code == "step-up":
        has = "a step-up"
    if of.code == "height" and not of.keeps and of.has <= of.asks:
        has = said("{has}, but it cannot be rolled", has=has)
    verdict = {True: "{has}: kept", False: "{has}: leaves it", None: "{has}"}[of.keeps]
    return text, said(verdict, has=has), of.source


def not_met(rules: Iterable[Rule]) -> Words:
    """Which of the rules that were written for bikes a jump leaves, with who says so.

    Parameters
    ----------
    rules : iterable of Rule
        Beside one jump.

    Returns
    -------
    str or Said
        A sentence, or nothing where it keeps all of them.
    """
    left = [rule(each) for each in rules if each.for_bikes and each.keeps is False]
    told = joined([said("{text} ({source})", text=text, source=source) for text, _, source in left], "; ")
    return said("Published guidance that this jump does not meet: {told}.", told=told) if told else ""
