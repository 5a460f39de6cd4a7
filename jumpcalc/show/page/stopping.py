"""Stopping after the landing."""

from __future__ import annotations

from functools import lru_cache

import streamlit as st

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.views.stop import stop_view
from jumpcalc.show.page.common import Panel, Shown, drawing, plain, small
from jumpcalc.show.paper import side as draw
from jumpcalc.show.words import stopping as told
from jumpcalc.show.words.numbers import Reader

__all__ = ["PANEL"]


def _body(shown: Shown) -> None:
    """Whether there is room to stop, with the strip of landing and runout."""
    jump = shown.jump
    text = shown.text(told.after(jump))
    st.markdown(plain(text))
    if jump.stop is not None:
        drawing(_drawn(*shown.drawn), alt=f"Landing and runout to true scale. {text}")
        small("Brakes, grip and reaction are assumed unless they were typed; half a wheelbase is kept in front.")


@lru_cache(maxsize=100)
def _drawn(answer: Answer, index: int, reader: Reader, stamp: str) -> str:
    return draw.stopping(stop_view(answer, index), answer.jumps[index], reader, stamp=stamp).svg()


PANEL = Panel("Stopping", _body, lambda shown: bool(told.after(shown.jump)))
