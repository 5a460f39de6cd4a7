"""What would explain a landing, and what confirms it at the spot, in words."""

from __future__ import annotations

from jumpcalc.plan.studies.field.blame import Cause
from jumpcalc.show.words.said import Words, said

__all__ = ["confirm", "told"]

_TOLD = {
    "mark": ("it began {by:length} further up than noted", "it began {by:length} closer to the lip than noted"),
    "shove": ("a shove of {by:speed} at the start", ""),
    "brake": ("a brake or something else that dragged and took {share:share} of the speed", ""),
    "wind": ("{by:speed} more wind from behind than noted", "{by:speed} more wind from ahead than noted"),
    "spring": ("springing off the lip by {by:speed} more than else", "squashing the lip by {by:speed} more than else"),
    "reading": ("a speed that was read {by:speed} too high", "a speed that was read {by:speed} too low"),
    "tape": ("a place that was taped {by:length} too far down", "a place that was taped {by:length} too far up"),
    "rolling": (
        "a run-in that rolls slower: {share:share} more rolling resistance",
        "a run-in that rolls faster: {share:share} less rolling resistance",
    ),
    "lip": ("a lip that is {by:angle.1} steeper than measured", "a lip that is {by:angle.1} flatter than measured"),
    "gap": (
        "a gap that is {by:length} longer than measured", "a gap that is {by:length} shorter, as when it was measured along the slope"
    ),
    "slope": ("a run-in that is {share:share} steeper than measured", "a run-in that is {share:share} flatter than measured"),
}  # fmt: skip
"""Of each cause what a positive and a negative amount mean."""

_CONFIRM = {
    "mark": "tape the distance from the mark to the foot of the lip again, along the ground.",
    "shove": "start again from a foot on the ground, with nobody's hand on the bike.",
    "brake": "lift each wheel and spin it: a brake that drags or a wheel that rubs stops it at once.",
    "wind": "hold a strip of tape up at the lip at the height of a rider's head, and wait until it hangs.",
    "spring": "film one try from the side, at the lip: do arms and legs stretch or fold there?",
    "reading": "time the same run between two cones as well.",
    "tape": "rake the landing, ride once, and tape to the first touch of the rear wheel.",
    "rolling": "roll out on the same ground from a known speed and tape how far; press a thumb into the dirt, and feel the tyres.",
    "lip": "lay a board on the last straight of the lip and read its slope again, at the edge where the wheels run.",
    "gap": "measure it again with a string and a line level, from the edge to the top edge of the landing: level, not along the ground.",
    "slope": "read the slope of the run-in again on a board, at three places or more.",
}
"""What to do at the spot before anyone rides on."""


def told(cause: Cause) -> Words:
    """A cause with its amount.

    Parameters
    ----------
    cause : Cause
        What would explain something.

    Returns
    -------
    Said
        Words inside a sentence.
    """
    template = _TOLD[cause.name][cause.amount < 0]
    return said(template, by=abs(cause.amount), share=abs(cause.amount))


def confirm(cause: Cause) -> str:
    """How to find out at the spot whether it is so.

    Parameters
    ----------
    cause : Cause
        What would explain something.

    Returns
    -------
    str
        Words after a colon.
    """
    return _CONFIRM[cause.name]
