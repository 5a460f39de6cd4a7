"""Heights that must close, and whether the jump can be rolled."""

from __future__ import annotations

import streamlit as st

from jumpcalc.show import words
from jumpcalc.show.page.common import Shown, said

__all__ = ["show"]


def show(shown: Shown) -> None:
    """What to check with a level, and what happens to one who rolls it."""
    st.subheader("Check on the ground", anchor=False)
    said([words.heights_words(shown.jump, shown.units), words.rolled_words(shown.jump, shown.units)])
