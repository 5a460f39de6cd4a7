"""The answer in one sentence, and the speeds in large figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from html import escape

import streamlit as st

from jumpcalc.show.page.common import Shown, heading, small
from jumpcalc.show.words import jump as told
from jumpcalc.show.words.ride import no_start
from jumpcalc.show.words.said import joined, said

__all__ = ["checked", "figures", "show", "which"]


def figures(large: Mapping[str, tuple[str, str]]) -> None:
    """A few numbers in large type, each under its name and with a remark.

    Parameters
    ----------
    large : mapping of str to tuple of str
        By name: the number with its unit, and a remark in small type, which may be empty.
    """
    # one element: three of Streamlit's own cost the browser several times as much at every change
    each = "".join(
        f"<div><dt>{escape(name)}</dt><dd>{escape(value)}{f' <small>{escape(more)}</small>' if more else ''}</dd></div>"
        for name, (value, more) in large.items()
    )
    st.html(f'<dl class="figures">{each}</dl>')


def checked(shown: Shown, begun: float | None = None) -> tuple[str, str]:
    """The aim's speed where it is checked, or another that is begun with [m/s], before the lip or at a drop's edge; the room either way."""
    speeds, _ = told.checked_at(shown.jump)
    if begun is not None:
        speeds = replace(speeds, aim=begun)
    return shown.speed(speeds.aim), shown.text(said("−{slower:speed bare} / +{faster:speed bare}", **told.room(speeds)))


def which(shown: Shown) -> str:
    """Of which jump the answer is."""
    jump, title = shown.line.jumps[shown.index], shown.line.title
    name = title if len(shown.line.jumps) == 1 else ": ".join(part for part in (title, jump.name) if part)
    by = f", corrected by {shown.line.learned_from}" if shown.line.learned_from else ""
    return f"{name or jump.name}{by}"


def show(shown: Shown) -> None:
    """Sentence and figures, or why no speed lands clean."""
    jump = shown.jump
    if shown.no_ride:
        heading("No speed to ride by", over=which(shown))
        return
    none = no_start(shown.answer)
    heading(shown.text(joined([none, told.headline(jump, rides=not none)])), over=which(shown))
    if jump.window.speeds is None:
        return
    if jump.shape == "drop":
        figures({"At the edge": checked(shown)})
        return
    figures({"Just before the lip": checked(shown), "At the edge": (shown.speed(jump.window.speeds.aim), "")})
    small("The two speeds differ: climbing the lip costs speed. Check yours on the run-in just before the lip.")
