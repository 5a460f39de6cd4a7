"""Stopping after the landing."""

from __future__ import annotations

import streamlit as st

from jumpcalc.plan.picture import stop_view
from jumpcalc.show import draw, words
from jumpcalc.show.page.common import Shown, drawing, plain, small

__all__ = ["show"]


def show(shown: Shown) -> None:
    """Whether there is room to stop, with the strip of landing and runout."""
    jump = shown.jump
    text = words.stop_words(jump, shown.units)
    if not text:
        return
    st.subheader("Stopping", anchor=False)
    st.markdown(plain(text))
    if jump.stop is not None:
        drawing(
            shown,
            "stopping",
            lambda: draw.stopping(stop_view(shown.answer, shown.index), jump, shown.units, stamp=shown.stamp),
            alt=f"Landing and runout to true scale. {text}",
        )
        small("Brakes, grip and reaction are assumed unless they were typed; half a wheelbase is kept in front.")
