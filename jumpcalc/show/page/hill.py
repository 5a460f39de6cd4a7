"""The whole line on its hill, with the speed along it."""

from __future__ import annotations

from functools import lru_cache

import streamlit as st

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.hill import hill_view
from jumpcalc.show import draw_hill, words
from jumpcalc.show.page.common import Shown, drawing, plain, small

__all__ = ["message", "show"]


def show(shown: Shown) -> None:
    """Hill, marks and speed; nothing where the run-in is not measured."""
    if shown.answer.ride is None:
        return
    st.subheader("The hill", anchor=False)
    answer, _, units, stamp = shown.drawn
    drawing(_drawn(answer, units, stamp), alt=message(shown))
    small(
        plain(
            "The ride from the start mark as measured. Triangles: start marks; bar: where dirt, wind and a misread slope put "
            "the aim's; square: the last place to decide to stop before the first lip."
        )
    )


@lru_cache(maxsize=100)
def _drawn(answer: Answer, units: str, stamp: str) -> str:
    return draw_hill.hill(hill_view(answer), units, stamp=stamp).svg()


def message(shown: Shown) -> str:
    """The drawing in words."""
    first = shown.answer.jumps[0]
    said = ["The hill to true scale with the speed along it.", *words.start_words(first, shown.units)[:1]]
    said += [words.abort_words(first, shown.units), *words.ride_words(shown.answer, shown.units)[:1]]
    return " ".join(text for text in said if text)
