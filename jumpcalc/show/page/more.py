"""Parts that are shown, and worked out, only when they are asked for by name."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import streamlit as st

from jumpcalc.show.page import names
from jumpcalc.show.page.common import Panel, Shown

__all__ = ["asked_for", "more"]


def asked_for(label: str, offered: Iterable[str], *, key: names.Kept, first: tuple[str, ...] = ()) -> list[str]:
    """Names to pick several of; folding boxes would cost the browser several times as much at every change.

    Parameters
    ----------
    label : str
        What they are.
    offered : iterable of str
        All that there are now.
    key : Kept
        Of the widget.
    first : tuple of str
        Those picked at the start.

    Returns
    -------
    list of str
        Those picked, in the order of `offered`.
    """
    offered = list(offered)
    picked = [name for name in (key.value if key.known else first) if name in offered]
    if picked != key.value:
        key.put(picked)
    picked = st.pills(label, offered, selection_mode="multi", key=key.name)
    return [name for name in offered if name in picked]


def more(key: names.Kept, *panels: Panel) -> Callable[[Shown], None]:
    """What shows the names of panels, and those that are picked.

    Parameters
    ----------
    key : Kept
        Of the widget.
    *panels : Panel
        In the order in which they stand.

    Returns
    -------
    callable
        Takes what is shown.
    """

    def show(shown: Shown) -> None:
        there = {panel.title: panel for panel in panels if panel.there(shown)}
        for title in asked_for("More about it", there, key=key):
            there[title].show(shown)

    return show
