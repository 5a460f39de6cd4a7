"""The answer in one sentence, and the speeds in large figures."""

from __future__ import annotations

from html import escape

import streamlit as st

from jumpcalc.show import words
from jumpcalc.show.page.common import Shown, heading, small

__all__ = ["figures", "show", "which"]


def figures(shown: Shown, before: str) -> None:
    """The aim's speed before the lip, named `before`, with the room either way, beside the one at the edge."""
    window = shown.jump.window
    drop = shown.jump.shape == "drop"
    checked = window.speeds if drop else window.foot
    less = words.number(shown.speed(checked.aim - checked.min, digits=1))
    more = shown.speed(checked.max - checked.aim, digits=1)
    large = {} if drop else {before: shown.speed(window.foot.aim, digits=1)}
    large["At the edge"] = shown.speed(window.speeds.aim, digits=1)
    large["Room at the edge" if drop else "Room before the lip"] = f"−{less} / +{more}"
    # one element: three of Streamlit's own cost the browser several times as much at every change
    each = "".join(f"<div><dt>{escape(name)}</dt><dd>{escape(value)}</dd></div>" for name, value in large.items())
    st.html(f'<dl class="figures">{each}</dl>')


def which(shown: Shown) -> str:
    """Of which jump the answer is."""
    jump, title = shown.line.jumps[shown.index], shown.line.title
    name = title if len(shown.line.jumps) == 1 else ": ".join(part for part in (title, jump.name) if part)
    return name or jump.name


def show(shown: Shown) -> None:
    """Sentence and figures, or why no speed lands clean."""
    jump = shown.jump
    heading(words.headline(jump, shown.units), over=which(shown))
    if jump.window.speeds is None:
        return
    figures(shown, "Just before the lip")
    if jump.shape != "drop":
        small(
            "The two speeds differ: climbing the lip costs speed. Check yours on the run-in just before the lip."
        )
