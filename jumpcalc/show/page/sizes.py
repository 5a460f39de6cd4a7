"""Smaller and larger gaps on the same lip and landing."""

from __future__ import annotations

import streamlit as st

from jumpcalc.show.page import asked
from jumpcalc.show.page.common import Panel, Shown, plain, small, table
from jumpcalc.show.words import sizes as size_words

__all__ = ["PANEL"]


def _body(shown: Shown) -> None:
    """A row for each gap: clean speeds, start mark and room to stop."""
    with st.spinner("Trying smaller and larger gaps …"):
        found = asked.sizes(shown.line, shown.index)
    columns = {"run_in": shown.jump.run_in is not None, "last": shown.jump.way_out is None}
    head = size_words.size_head(drop=shown.jump.shape == "drop", **columns)
    table(shown.texts(head), [shown.texts(size_words.size_row(size, **columns)) for size in found])
    small(
        plain(
            "All else stays: lip, drop, landing and run-in. Begin with the smallest, and dig the larger gap only when its speed "
            "comes every time."
        )
    )


PANEL = Panel("Smaller and larger gaps, all else as it is", _body)
