"""Parts that are shown, and worked out, only when they are asked for by name."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import streamlit as st

from jumpcalc.show.page.common import Panel, Shown

__all__ = ["asked_for", "more"]


def asked_for(label: str, names: Iterable[str], *, key: str, first: tuple[str, ...] = ()) -> list[str]:
    """Names to pick several of; folding boxes would cost the browser several times as much at every change.

    Parameters
    ----------
    label : str
        What they are.
    names : iterable of str
        All that there are now.
    key : str
        Of the widget.
    first : tuple of str
        Those picked at the start.

    Returns
    -------
    list of str
        Those picked, in the order of `names`.
    """
    names = list(names)
    picked = st.session_state.setdefault(key, [name for name in first if name in names])
    if any(name not in names for name in picked):
        st.session_state[key] = [name for name in picked if name in names]
    picked = st.pills(label, names, selection_mode="multi", key=key)
    return [name for name in names if name in picked]


def more(key: str, *panels: Panel) -> Callable[[Shown], None]:
    """What shows the names of panels, and those that are picked.

    Parameters
    ----------
    key : str
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
