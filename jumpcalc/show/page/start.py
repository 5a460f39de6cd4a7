"""Where to start, and the last place to stop before the lip."""

from __future__ import annotations

import streamlit as st

from jumpcalc.show import words
from jumpcalc.show.page.common import Panel, Shown, plain, said

__all__ = ["PANEL"]


def _body(shown: Shown) -> None:
    """Start marks of the first jump, and the way to stop instead."""
    jump = shown.jump
    if words.reach_words(jump):
        st.warning(plain(words.reach_words(jump)))
    said(_texts(shown))


def _texts(shown: Shown) -> list[str]:
    jump = shown.jump
    texts = words.start_words(jump, shown.units) if shown.index == 0 else []
    return [text for text in (*texts, words.abort_words(jump, shown.units)) if text]


PANEL = Panel("Where to start", _body, lambda shown: bool(_texts(shown)))
