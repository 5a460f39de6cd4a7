"""Two bikes side by side on the same line."""

from __future__ import annotations

import streamlit as st

from jumpcalc.plan.inputs.surfaces import BIKES
from jumpcalc.show.page import asked, names
from jumpcalc.show.page.common import Panel, Shown, plain, said, small, table
from jumpcalc.show.words import side_by_side

__all__ = ["PANEL"]


def _body(shown: Shown) -> None:
    """The answer for the bike of the line and another, computed only when it is opened."""
    here = shown.answer.complete.bike.kind
    kinds = [here, *(kind for kind in BIKES if kind != here)]
    other = st.selectbox("The other bike", kinds[1:], key=names.OTHER_BIKE.name)
    with st.spinner("Riding it on both bikes …"):
        found = asked.bikes(shown.line, here, other)
    said(side_by_side.bike_words(found))
    rows = [shown.texts(row) for row in side_by_side.rows(found.jumps[shown.index])]
    table(["", here, other], rows)
    small(plain("All that belongs to a kind of bike is taken from it: wheelbase, brakes, suspension, wheels."))


PANEL = Panel("Two bikes side by side", _body)
