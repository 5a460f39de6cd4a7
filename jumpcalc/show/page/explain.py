"""The coach's way in: from where the rear wheel hit to the speed it was, why, and what to change."""

from __future__ import annotations

from functools import lru_cache

import streamlit as st

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.explain import Explanation, Place, Strip, explain, strip
from jumpcalc.plan.pick import pick_view, place_at
from jumpcalc.show import explain as told
from jumpcalc.show.draw_pick import landing, step_between
from jumpcalc.show.draw_strip import flights
from jumpcalc.show.page import fields, state
from jumpcalc.show.page.answer import which
from jumpcalc.show.page.common import Shown, drawing, heading, plain, said, small
from jumpcalc.show.page.tap import tapped
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
    heading("Explain a landing", over=which(shown))
    if shown.jump.window.speeds is None:
        st.markdown(plain("No lip speed lands this jump clean, so there is no aim to compare with."))
        return
    place = _asked(shown)
    if place is None:
        small("The answer follows once the place is given: a tap, or the distance from the knuckle along the ground.")
        return
    units = shown.units
    explained, seen = _explained(shown.answer, shown.index, place)
    if explained.why_none is not None:
        st.warning(plain(told.refusal(explained)))
        return
    st.markdown(f"**{plain(told.first_sentence(explained, units))}**")
    st.markdown(plain(told.cost(explained, units)))
    drawing(flights(explained, seen, units, stamp=shown.stamp).svg(), alt=told.alt(explained, seen, units))
    st.markdown("**Why**")
    said([told.posture(explained, units), *told.why(explained, units)])
    st.markdown("**What to change, in this order**")
    st.markdown(
        "\n".join(f"{number}. {plain(text)}" for number, text in enumerate(told.cures(explained, units), start=1))
    )
    import pandas as pd  # dear to import, and only needed here

    names, aim, theirs = zip(*told.rows(explained, units), strict=True)
    st.table(pd.DataFrame({"the aim": map(plain, aim), "this landing": map(plain, theirs)}, index=map(plain, names)))
    small(plain("The place is taken to be right within 0.2 m. The rear wheel counts, not the front one."))


def _asked(shown: Shown) -> Place | None:
    """The place as it was picked, on the drawing or in words; None where the distance is not given."""
    ways = [_PAST, _BEFORE, *([_WALL] if shown.jump.shape == "gap" else [])]
    key = f"explain way {shown.jump.shape}"
    stored = st.session_state.setdefault("explain place", None)
    if st.session_state.get(key) not in ways:
        st.session_state[key] = _PAST
    st.markdown("**Where did the rear wheel touch?** Tap the place on the drawing, or say it in words.")
    far = st.session_state["explain place"]
    way = st.session_state[key]
    _pointed(
        shown,
        key,
        Place(wall=True) if way == _WALL else None if far is None else Place(along=far if way == _PAST else -far),
    )
    way = st.selectbox("The rear wheel touched", ways, key=key)
    if way == _WALL:
        return Place(wall=True)
    unit = "ft" if shown.units == "imperial" else "m"
    state.bind("explain far", fields.shown(stored, "length", unit))
    label = "Distance from the knuckle, along the ground"
    fields.number(label, "explain far", kind="length", unit=unit, on_change=_take, args=(unit, key))
    far = st.session_state["explain place"]
    if far is None:
        return None
    return Place(along=far if way == _PAST else -far)


def _pointed(shown: Shown, key: str, place: Place | None) -> None:
    """The landing to tap; a tap is taken over into the words."""
    answer, index, units, stamp = shown.drawn
    sheet, frame = landing(pick_view(answer, index, place, step=step_between(units)), units, stamp=stamp)

    def take(across: float, down: float) -> None:
        found = place_at(answer, index, *frame.place(across, down))
        st.session_state[key] = _WALL if found.wall else _PAST if found.along >= 0 else _BEFORE
        if not found.wall:
            st.session_state["explain place"] = min(round(abs(found.along), 2), _FARTHEST)
            state.refill()

    shown_in = "metres" if units == "metric" else "feet"
    tapped(
        sheet.svg(),
        key="explain tapped",
        take=take,
        alt=f"The landing to true scale with {shown_in} from the knuckle; tapped, it takes the place. The fields below say it in words.",
    )


def _take(unit: str, key: str) -> None:
    """Keep the distance in SI, so that a switch of units does not change it; a negative one is the other way."""
    value = st.session_state["explain far"]
    metres = None if value is None else float(to_si(value, kind="length", unit=unit))
    if metres is not None and metres < 0:
        st.session_state[key] = _BEFORE if st.session_state[key] == _PAST else _PAST
    st.session_state["explain place"] = None if metres is None else min(abs(metres), _FARTHEST)
    state.refill()  # the field shows what is used
