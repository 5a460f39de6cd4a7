"""The three ways in: size it, ride it, explain it, over one line underneath."""

from __future__ import annotations

import streamlit as st

from jumpcalc.show.page.common import small

__all__ = ["WAYS", "choose"]

WAYS = {"size": "Size it", "ride": "Ride it", "explain": "Explain it"}
"""Ways in, by the word in the address."""

_ASKS = {
    "size": "For the builder: does this jump fit, and what must be dug?",
    "ride": "For the rider: how fast today, from where, and where can I still stop?",
    "explain": "For the coach: where did they land, and why?",
}


def choose() -> str:
    """The way in that was chosen; it stands in the address."""
    if "way" not in st.session_state:
        asked = st.query_params.get("way")
        st.session_state["way"] = asked if asked in WAYS else "size"
    way = st.segmented_control(
        "What do you want to do?", list(WAYS), key="way", format_func=WAYS.__getitem__, required=True, width="stretch"
    )
    way = way or "size"
    if st.query_params.get("way", "size") != way:
        st.query_params["way"] = way
    small(_ASKS[way])
    return way
