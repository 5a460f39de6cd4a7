"""The answer in one sentence, and the speeds in large figures."""

from __future__ import annotations

import time
from collections.abc import Callable

import streamlit as st

from jumpcalc.show import words
from jumpcalc.show.page.common import Shown, plain, small

__all__ = ["below", "figures", "show", "which"]

_PAINT = 0.03  # s left to the browser to draw what it has before the rest is worked out


def figures(shown: Shown, before: str) -> None:
    """The aim's speed before the lip, named `before`, with the room either way, beside the one at the edge."""
    window = shown.jump.window
    drop = shown.jump.shape == "drop"
    checked = window.speeds if drop else window.foot
    less = words.number(shown.speed(checked.aim - checked.min, digits=1))
    more = shown.speed(checked.max - checked.aim, digits=1)
    with st.container(horizontal=True, gap="medium"):
        if not drop:
            st.metric(before, shown.speed(window.foot.aim, digits=1), width="content")
        st.metric("At the edge", shown.speed(window.speeds.aim, digits=1), width="content")
        st.metric("Room at the edge" if drop else "Room before the lip", f"−{less} / +{more}", width="content")


def which(shown: Shown) -> None:
    """Of which jump the answer is, in small type."""
    jump, title = shown.line.jumps[shown.index], shown.line.title
    name = title if len(shown.line.jumps) == 1 else ": ".join(part for part in (title, jump.name) if part)
    if name or jump.name:
        small(plain(name or jump.name))


def below(drawing: Callable[[Shown], None]) -> Callable[[Shown], None]:
    """The answer's words above a drawing that is there before they are worked out."""

    def show_both(shown: Shown) -> None:
        above = st.container()
        drawing(shown)
        time.sleep(_PAINT)
        with above:
            show(shown.complete())

    return show_both


def show(shown: Shown) -> None:
    """Sentence and figures, or why no speed lands clean."""
    jump = shown.jump
    which(shown)
    st.subheader(plain(words.headline(jump, shown.units)), anchor=False)
    if jump.window.speeds is None:
        return
    figures(shown, "Just before the lip")
    if jump.shape != "drop":
        small(
            "The two speeds differ: climbing the lip costs speed. Check yours on the run-in just before the lip."
        )
