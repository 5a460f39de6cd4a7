"""The speed check on small pages to save before there is no signal."""

from __future__ import annotations

import streamlit as st

from jumpcalc.plan.inputs.line import Line
from jumpcalc.show.page import names, save, worked
from jumpcalc.show.page.common import Shown, heading, plain
from jumpcalc.show.paper import check as sheet
from jumpcalc.show.paper.pages import Pages
from jumpcalc.show.words.numbers import Reader

__all__ = ["show"]


def show(shown: Shown) -> None:
    """Two buttons; the page is made only when one is pressed."""
    heading("The check for the pocket")
    st.markdown(plain("Small pages (A6) with large figures: where the cones stand, and what is too slow, in the window and too fast."))
    save.buttons(shown, "Check", names.CHECK_PAGE, _pages)


def _pages(line: Line, reader: Reader) -> Pages:
    return sheet.pages(worked.checked(line), reader)
