"""What to look at, what was assumed, what is left out, and the cautions."""

from __future__ import annotations

import streamlit as st

from jumpcalc.show.page.common import Panel, Shown, plain, said, small, table
from jumpcalc.show.words import cautions as fixed
from jumpcalc.show.words.inputs import assumed
from jumpcalc.show.words.notes import look_at, unsaid

__all__ = ["ASSUMED", "CHECKLIST", "LEFT_OUT", "cautions", "made_of", "show"]


def show(shown: Shown) -> None:
    """What to look at first."""
    answer = shown.answer
    warnings = unsaid(answer, headlines=[shown.index])
    if warnings:
        said(shown.texts(look_at(warnings, jumps=len(answer.jumps))), title="Look at this first")


def cautions() -> None:
    """What holds for every answer, and while there is none."""
    said(fixed.CAUTIONS[1:])


def made_of(shown: Shown) -> None:
    """Which ground and which model the answer is of."""
    small(plain(f"Ground {shown.answer.fingerprint}, model of {shown.answer.model_date}."))


def _assumed(shown: Shown) -> None:
    """What was not given, with the value taken for it and where that comes from."""
    rows = [[f"{each.table}: {each.name}", shown.text(each.value), each.source] for each in assumed(shown.answer)]
    if rows:
        table(["what", "assumed", "where that comes from"], rows)
    else:
        st.markdown("Nothing: every number was given.")


CHECKLIST = Panel("Before the first test", lambda shown: said(fixed.CHECKLIST))
ASSUMED = Panel("What was assumed, not measured", _assumed)
LEFT_OUT = Panel("What the model leaves out", lambda shown: said(fixed.LEFT_OUT))
