"""What to look at, what was assumed, what is left out, and the cautions."""

from __future__ import annotations

import streamlit as st

from jumpcalc.plan.inputs.declare import given
from jumpcalc.show import words
from jumpcalc.show.page.common import Panel, Shown, plain, said, small, table

__all__ = ["ASSUMED", "CHECKLIST", "LEFT_OUT", "cautions", "made_of", "show"]


def show(shown: Shown) -> None:
    """What to look at first."""
    answer, units = shown.answer, shown.units
    if answer.warnings:
        texts = [words.sentence(words.note(note, units, jumps=len(answer.jumps))) for note in answer.warnings]
        said(texts, title="Look at this first")


def cautions() -> None:
    """What holds for every answer, and while there is none."""
    said(words.CAUTIONS[1:])


def made_of(shown: Shown) -> None:
    """Which ground and which model the answer is of."""
    small(plain(f"Ground {shown.answer.fingerprint}, model of {shown.answer.model_date}."))


def _assumed(shown: Shown) -> None:
    """What was not given, with the value taken for it and where that comes from."""
    answer = shown.answer
    labels = {words.named(path, one, shown.units): one.label for path, one, _ in given(answer.complete)}
    rows = [[labels.get(path) or path, value, source] for path, value, source in words.assumed(answer, shown.units)]
    if rows:
        table(["what", "assumed", "where that comes from"], rows)
    else:
        st.markdown("Nothing: every number was given.")


CHECKLIST = Panel("Before the first test", lambda shown: said(words.CHECKLIST))
ASSUMED = Panel("What was assumed, not measured", _assumed)
LEFT_OUT = Panel("What the model leaves out", lambda shown: said(words.LEFT_OUT))
