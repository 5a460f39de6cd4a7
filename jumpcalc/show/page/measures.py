"""What the tape does: worked out only where it is asked for."""

from __future__ import annotations

import streamlit as st

from jumpcalc.show.page import asked
from jumpcalc.show.page.common import Panel, Shown, said, table
from jumpcalc.show.words import measures as told

__all__ = ["PANEL"]


def _body(shown: Shown) -> None:
    """The sentence, and the table under it."""
    with st.spinner("Trying what each measurement's own error does …"):
        found = asked.measures(shown.line, shown.index)
    if found is None:
        return
    drop = shown.jump.shape == "drop"
    said(shown.texts(told.in_short(found, drop=drop)))
    table(list(told.HEAD), [shown.texts(row) for row in told.rows(found, drop=drop)])


PANEL = Panel("What the tape does", _body, lambda shown: shown.jump.window.speeds is not None)
