"""The odds of the line: worked out only where they are asked for."""

from __future__ import annotations

from dataclasses import fields, replace

import streamlit as st

from jumpcalc.plan.studies.best_mark import costs_of
from jumpcalc.plan.studies.spread import RIDERS
from jumpcalc.show.page import asked, names, state
from jumpcalc.show.page.common import Panel, Shown, drawing, plain, said, small, table
from jumpcalc.show.words import odds as told
from jumpcalc.show.words.jump import known_first
from jumpcalc.show.words.said import joined

__all__ = ["PANEL"]

_DEAREST = 1e6


def _body(shown: Shown) -> None:
    """Who rides it, how often it goes well, where the rear wheel lands, and what matters."""
    rider = st.selectbox("Who rides it", list(RIDERS), key=names.ODDS_RIDER.name, format_func=lambda name: told.RIDERS[name].capitalize())
    answer = shown.answer
    with st.spinner("Riding it many times …"):
        found = asked.odds(shown.line, rider)
    if found is None or shown.index >= len(found.jumps):
        none = told.none(answer) if found is None else "No odds: nobody comes to this jump, or the ground before it is not measured."
        st.markdown(plain(shown.text(none)))
        return
    headline = joined([told.not_to_ride(answer), *known_first(answer), told.headline(found, answer)])
    st.markdown(plain(shown.text(headline)))
    jump = found.jumps[shown.index]
    alt = f"Bars over the landing where the rear wheel comes down. {shown.text(headline)}"
    drawing(asked.odds_drawn(shown.line, shown.index, rider, shown.reader, shown.stamp), alt=alt)
    table(list(told.HEAD), [shown.texts(row) for row in told.rows(jump, shown.jump.shape)])
    said(shown.texts([told.hits(jump), *told.matters(found)]))
    if shown.index == 0:
        _cheapest(shown, rider)
    small(plain(f"{shown.text(told.rests_on(found))} {told.sampling(found)}"))


def _cheapest(shown: Shown, rider: str) -> None:
    """The start that costs least, and what each landing is thought to cost, which may be changed."""
    answer = shown.answer
    usual, shape = costs_of(answer), answer.jumps[0].shape
    changed = names.ODDS_COSTS.value.get(shape, {})
    with st.spinner("Trying other starts …"):
        start = asked.best(shown.line, rider, replace(usual, **changed))
    if start is None:
        return
    said(shown.texts(told.best(start, answer)), title="Which start is best")
    small(plain("What each landing is thought to cost, beside a clean one that costs nothing:"))
    with st.container(horizontal=True, gap="small", vertical_alignment="bottom"):
        for field in fields(usual):
            widget, value = names.COST_FIELD.of(shape, field.name), getattr(usual, field.name)
            state.bind(widget, changed.get(field.name, value))
            st.number_input(
                told.COSTS[field.name].capitalize(), min_value=0.0, max_value=_DEAREST, step=1.0, format="%g", key=widget.name, width=150,
                on_change=_take, args=(shape, field.name),
            )  # fmt: skip


def _take(shape: str, name: str) -> None:
    """Keep a cost for jumps of a shape."""
    costs = {**names.ODDS_COSTS.value.get(shape, {}), name: names.COST_FIELD.of(shape, name).value}
    names.ODDS_COSTS.put({**names.ODDS_COSTS.value, shape: costs})


PANEL = Panel("How often it goes well: odds", _body, lambda shown: shown.jump.window.speeds is not None)
