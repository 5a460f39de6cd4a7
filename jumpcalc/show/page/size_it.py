"""The builder's first question: does the jump stand, or is it to be built?"""

from __future__ import annotations

import streamlit as st

from jumpcalc.show.page import names
from jumpcalc.show.page.common import Shown, said
from jumpcalc.show.words import sizes as size_words
from jumpcalc.show.words.jump import heights

__all__ = ["show"]

_KINDS = {"stands": "It stands: I measure it", "planned": "It is planned: I choose it"}


def show(shown: Shown) -> None:
    """The question, and what to do with the numbers in either case."""
    st.radio("This jump", list(_KINDS), key=names.SIZE_KIND.name, format_func=_KINDS.__getitem__, horizontal=True)
    check = shown.text(heights(shown.jump))
    if names.SIZE_KIND.value == "planned":
        said(
            [
                "Peg out foot, edge, knuckle, end of the landing and start of the runout before you dig. "
                f"{check}",
                "Not chosen yet? Further down the page looks for jumps that fit your ground and your riders.",
                shown.text(size_words.spacing(shown.answer, shown.index)),
                "Choose the gap for the slowest speed that riders will really bring, not the fastest; leave the deck in until the "
                "speed is right every time.",
                "Where guidance is not met, it is said under what published guidance says, with its source.",
            ]
        )
    else:
        said(
            [
                "Measure lip angle with a board on its last straight part, gap and drop with a string and a line level, landing "
                "angle and length on the face itself, and the runout to the end of the room.",
                check,
                "Measure again after digging, rain or a season: old start marks and cards no longer apply.",
            ]
        )
