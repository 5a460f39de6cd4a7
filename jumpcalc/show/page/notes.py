"""What to look at, what was assumed, what is left out, and the cautions."""

from __future__ import annotations

import streamlit as st

from jumpcalc.plan.inputs import given
from jumpcalc.show import words
from jumpcalc.show.page.common import Shown, plain, said, small, table

__all__ = ["show"]


def show(shown: Shown) -> None:
    """Warnings first, then the lists that every answer carries."""
    answer, units = shown.answer, shown.units
    if answer.warnings:
        st.subheader("Look at", anchor=False)
        said([words.sentence(words.note(note, units, jumps=len(answer.jumps))) for note in answer.warnings])
    st.subheader("Before the first test", anchor=False)
    said([*words.CHECKLIST, *words.CAUTIONS[1:]])
    with st.expander("What was assumed, not measured", key="assumed list"):
        labels = {path: declaration.label for path, declaration, _ in given(answer.complete)}
        rows = [[labels.get(path) or path, value, source] for path, value, source in words.assumed(answer, units)]
        if rows:
            table(["what", "assumed", "where that comes from"], rows)
        else:
            st.markdown("Nothing: every number was given.")
    with st.expander("What the model leaves out", key="left out list"):
        said(words.LEFT_OUT)
    small(plain(f"Ground {answer.fingerprint}, model of {answer.model_date}."))
