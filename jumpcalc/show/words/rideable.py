"""Why there is nothing to ride by, in a few words."""

from __future__ import annotations

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.notes import Code
from jumpcalc.plan.studies.rideable import Refused
from jumpcalc.show.words import jump as told
from jumpcalc.show.words.said import Words, joined, said, sentence

__all__ = ["do_not", "in_full", "why"]

_WHY: dict[str, Words] = {
    "narrow": "the landing is narrower than a handlebar",
    "outside": "nothing stands behind a speed here",
    "exact": "nobody rides as exactly as it takes",
    "no speed": "no speed lands clean",
    "no stop": "it does not stop on the last slope",
    "no start": "no start lands all jumps clean",
}

_TODAY: dict[Code | None, Words] = {
    Code.THE_GROUND_IS_WET: "wet ground",
    Code.THE_SIDE_WIND_IS_TOO_STRONG: "wind from the side",
    Code.DRIFTS_OFF_THE_LANDING: "wind from the side",
}


def why(of: Refused, *, jumps: int = 1) -> Words:
    """Why an answer is none to ride by.

    Parameters
    ----------
    of : Refused
        The reason.
    jumps : int
        How many jumps the line has; with more than one, which it is of is said.

    Returns
    -------
    str or Said
        A sentence's body.
    """
    words = _TODAY.get(of.code) or _WHY.get(of.why) or said("{missing:length} to stop are missing", missing=of.missing)
    return said("jump {number:count}: {words}", number=of.jump, words=words) if of.jump is not None and jumps > 1 else words


def do_not(of: Refused, *, jumps: int = 1) -> Words:
    """That it is not to be ridden, and why.

    Parameters
    ----------
    of : Refused
        The reason.
    jumps : int
        How many jumps the line has.

    Returns
    -------
    Said
        A sentence's body.
    """
    start = "not today" if of.why == "today" else "do not ride"
    return said(f"{start}: {{why}}", why=why(of, jumps=jumps))


def in_full(of: Refused, answer: Answer) -> Words:
    """That it is not to be ridden, and all that the answer says of why.

    Parameters
    ----------
    of : Refused
        The reason.
    answer : Answer
        The answer that it is of.

    Returns
    -------
    str or Said
        Sentences.
    """
    more: Words = ""
    if of.jump is not None:
        # what the answer says of the day, or of what nothing stands behind, says more than the bare reason
        jump = answer.jumps[of.jump - 1]
        more = joined(["Do not ride it.", *told.before_speed(jump)]) if of.why == "narrow" else told.no_ride(jump)
    return more or sentence(do_not(of, jumps=len(answer.jumps)))
