"""The coach's way in: from where the rear wheel hit to the speed it was, why, and what to change."""

from __future__ import annotations

from functools import lru_cache

import streamlit as st

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.explain import Explanation, Place, Strip, explain, strip
from jumpcalc.show import explain as told
from jumpcalc.show.draw_strip import flights
from jumpcalc.show.page import fields, state
from jumpcalc.show.page.common import Shown, drawing, plain, said, small
from jumpcalc.units import to_si

__all__ = ["show"]

_PAST, _BEFORE, _WALL = "past the knuckle, down the landing", "before the knuckle", "into the near wall"
_FARTHEST = 60.0  # m


@lru_cache(maxsize=100)
def _explained(answer: Answer, index: int, place: Place) -> tuple[Explanation, Strip | None]:
    found = explain(answer, index, place)
    return found, None if found.why_none is not None else strip(answer, index, found)


def show(shown: Shown) -> None:
    """Where the rear wheel hit, asked in words, and what that says."""
    st.subheader("Explain a landing", anchor=False)
    if shown.jump.window.speeds is None:
        st.markdown(plain("No lip speed lands this jump clean, so there is no aim to compare with."))
        return
    place = _asked(shown)
    if place is None:
        small("Give the distance from the knuckle, along the ground, to where the rear wheel first touched.")
        return
    units = shown.units
    explained, seen = _explained(shown.answer, shown.index, place)
    if explained.why_none is not None:
        st.warning(plain(told.refusal(explained)))
        return
    st.markdown(f"**{plain(told.first_sentence(explained, units))}**")
    st.markdown(plain(told.cost(explained, units)))
    stamp = shown.drawn[-1]
    drawing(flights(explained, seen, units, stamp=stamp).svg(), alt=told.alt(explained, seen, units))
    st.markdown("**Why**")
    said([told.posture(explained, units), *told.why(explained, units)])
    st.markdown("**What to change, in this order**")
    st.markdown("\n".join(f"{number}. {plain(text)}" for number, text in enumerate(told.cures(explained, units), start=1)))
    import pandas as pd  # dear to import, and only needed here

    names, aim, theirs = zip(*told.rows(explained, units), strict=True)
    st.table(pd.DataFrame({"the aim": map(plain, aim), "this landing": map(plain, theirs)}, index=map(plain, names)))
    small(plain("The place is taken to be right within 0.2 m. The rear wheel counts, not the front one."))


def _asked(shown: Shown) -> Place | None:
    """The place as it was picked; None where the distance is not given."""
    ways = [_PAST, _BEFORE, *([_WALL] if shown.jump.shape == "gap" else [])]
    key = f"explain way {shown.jump.shape}"
    stored = st.session_state.setdefault("explain place", 0.3)
    if st.session_state.get(key) not in ways:
        st.session_state[key] = _PAST
    way = st.selectbox("The rear wheel touched", ways, key=key)
    if way == _WALL:
        return Place(wall=True)
    unit = "ft" if shown.units == "imperial" else "m"
    state.bind("explain far", fields.shown(stored, "length", unit))
    label = "Distance from the knuckle, along the ground"
    fields.number(label, "explain far", kind="length", unit=unit, on_change=_take, args=(unit,))
    far = st.session_state["explain place"]
    if far is None:
        return None
    return Place(along=far if way == _PAST else -far)


def _take(unit: str) -> None:
    """Keep the distance in SI, so that a switch of units does not change it."""
    value = st.session_state["explain far"]
    metres = None if value is None else float(to_si(value, kind="length", unit=unit))
    st.session_state["explain place"] = None if metres is None else min(abs(metres), _FARTHEST)
