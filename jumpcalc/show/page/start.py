"""Where to start, and the last place to stop before the lip."""

from __future__ import annotations

import streamlit as st

from jumpcalc.show import words
from jumpcalc.show.page.common import Shown, plain, said

__all__ = ["show"]


def show(shown: Shown) -> None:
    """Start marks of the first jump, and the way to stop instead."""
    jump = shown.jump
    texts = words.start_words(jump, shown.units) if shown.index == 0 else []
    texts = [*texts, words.abort_words(jump, shown.units)]
    if any(texts):
        st.subheader("Where to start", anchor=False)
        if words.reach_words(jump):
            st.warning(plain(words.reach_words(jump)))
        said(texts)
