"""The line as one ride."""

from __future__ import annotations

import streamlit as st

from jumpcalc.show import words
from jumpcalc.show.page.common import Shown, said

__all__ = ["show"]


def show(shown: Shown) -> None:
    """How a ride from the start mark goes through a line of several jumps."""
    texts = words.ride_words(shown.answer, shown.units)
    if texts:
        st.subheader("The line as one ride", anchor=False)
        said(texts)
