"""The test day: steps to the first flight, and the page of them to print; worked out only where it is asked for."""

from __future__ import annotations

from functools import lru_cache

import streamlit as st

from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.field.testday import DayPlan, day_plan
from jumpcalc.show.files.examples import is_example
from jumpcalc.show.page import names, save
from jumpcalc.show.page.common import Panel, Shown, plain, small
from jumpcalc.show.page.common import said as listed
from jumpcalc.show.paper import testday as sheet
from jumpcalc.show.paper.pages import Pages
from jumpcalc.show.words import testday as words
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.testday_report import parts, steps

__all__ = ["PANEL"]


def _body(shown: Shown) -> None:
    """Steps, what stands beside them, and two buttons."""
    with st.spinner("Working out the test day …"):
        plan = _plan(shown.line)
    st.markdown(plain(shown.text(words.headline(plan))))
    told = [plain(shown.text(step)) for step, _ in steps(plan)]
    if told:
        st.markdown("\n".join(f"{number}. {step}" for number, step in enumerate(told, start=1)))
    for head, sentences in parts(plan).items():
        st.markdown(f"**{plain(head)}**")
        listed(shown.texts(sentences))
    if not plan.steps:
        return
    small(plain(words.SOURCE))
    save.buttons(shown, "Test day", names.TESTDAY, _pages)


@lru_cache(maxsize=20)
def _plan(line: Line) -> DayPlan:
    return day_plan(line, example=is_example(line))


def _pages(line: Line, reader: Reader) -> Pages:
    return sheet.pages(_plan(line), reader)


PANEL = Panel("A test day, step by step", _body)
