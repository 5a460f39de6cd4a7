"""The four ways in: size it, check it, ride it, explain it, over one line underneath."""

from __future__ import annotations

import streamlit as st

from jumpcalc.show.page import names

__all__ = ["WAYS", "choose", "chosen"]

WAYS = {"size": "Size it", "check": "Check it", "ride": "Ride it", "explain": "Explain it"}  # builder, the day itself, rider, coach
"""Ways in, by the word in the address."""

def chosen() -> str:
    """The way in that was chosen, at first the one in the address."""
    if names.WAY.value not in WAYS:
        asked = names.IN_WAY.value
        names.WAY.put(asked if asked in WAYS else "size")
    return names.WAY.value


def choose() -> None:
    """The ways in to choose from; the chosen one stands in the address."""
    st.segmented_control(
        "What do you want to do?",
        list(WAYS),
        key=names.WAY.name,
        format_func=WAYS.__getitem__,
        required=True,
        width="stretch",
        label_visibility="collapsed",
    )
    way = chosen()
    if (names.IN_WAY.value or "size") != way:
        names.IN_WAY.put(way)
