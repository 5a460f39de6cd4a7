"""The three ways in: size it, ride it, explain it, over one line underneath."""

from __future__ import annotations

import streamlit as st

from jumpcalc.show.page.common import small

__all__ = ["WAYS", "choose", "chosen"]

WAYS = {"size": "Size it", "ride": "Ride it", "explain": "Explain it"}
"""Ways in, by the word in the address."""

_ASKS = {
    "size": "For the builder: does this jump fit, and what must be dug?",
    "ride": "For the rider: how fast today, from where, and where can I still stop?",
    "explain": "For the coach: where did they land, and why?",
}


def chosen() -> str:
    """The way in that was chosen, at first the one in the address."""
    if st.session_state.get("way") not in WAYS:
        asked = st.query_params.get("way")
        st.session_state["way"] = asked if asked in WAYS else "size"
    return st.session_state["way"]


def choose() -> None:
    """The three ways in to choose from; the chosen one stands in the address."""
    st.segmented_control(
        "What do you want to do?", list(WAYS), key="way", format_func=WAYS.__getitem__, required=True, width="stretch"
    )
    way = chosen()
    if st.query_params.get("way", "size") != way:
        st.query_params["way"] = way
    small(_ASKS[way])
