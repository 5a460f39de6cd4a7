"""What the tape does: worked out only where it is asked for."""

from __future__ import annotations

from functools import lru_cache

import streamlit as st

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.studies.measures import Measures, measures
from jumpcalc.show.page.common import Panel, Shown, said, table
from jumpcalc.show.words import measures as told

__all__ = ["PANEL"]


@lru_cache(maxsize=100)
def _found(answer: Answer, index: int) -> Measures | None:
    return measures(answer, index)


def _body(shown: Shown) -> None:
    """The sentence, and the table under it."""
    with st.spinner("Trying what each measurement's own error does …"):
        found = _found(shown.answer, shown.index)
    if found is None:
        return
    drop = shown.jump.shape == "drop"
    said(shown.texts(told.in_short(found, drop=drop)))
    table(list(told.HEAD), [shown.texts(row) for row in told.rows(found, drop=drop)])


PANEL = Panel("What the tape does", _body, lambda shown: shown.jump.window.speeds is not None)
