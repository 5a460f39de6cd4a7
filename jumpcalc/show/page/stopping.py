"""Stopping after the landing."""

from __future__ import annotations

import streamlit as st

from jumpcalc.show.page import worked
from jumpcalc.show.page.common import Panel, Shown, drawing, plain, small
from jumpcalc.show.words import stopping as told

__all__ = ["PANEL"]


def _body(shown: Shown) -> None:
    """Whether there is room to stop, with the strip of landing and runout."""
    jump = shown.jump
    text = shown.text(told.after(jump))
    st.markdown(plain(text))
    if jump.stop is not None:
        drawing(worked.stopping(shown.line, shown.index, shown.reader, shown.stamp), alt=f"Landing and runout to true scale. {text}")
        small("Brakes, grip and reaction are assumed unless they were typed; half a wheelbase is kept in front.")


PANEL = Panel("Stopping", _body, lambda shown: bool(told.after(shown.jump)))
