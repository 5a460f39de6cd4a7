"""The odds of the line: worked out only where they are asked for."""

from __future__ import annotations

from dataclasses import fields, replace
from functools import lru_cache

import numpy as np
import streamlit as st

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.studies.best_mark import Best, Costs, best_mark, costs_of
from jumpcalc.plan.studies.odds import Odds, odds
from jumpcalc.plan.studies.spread import RIDERS
from jumpcalc.plan.views.wheels import wheels_view
from jumpcalc.show.page import names, state
from jumpcalc.show.page.common import Panel, Shown, drawing, plain, said, small, solved, table
from jumpcalc.show.paper.wheels import wheels
from jumpcalc.show.words import odds as told
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import joined

__all__ = ["PANEL"]

_DEAREST = 1e6
_ROWS = 32768  # a person waits for them


@lru_cache(maxsize=50)
def _found(answer: Answer, rider: str) -> Odds | None:
    return odds(answer, np.random.default_rng(0), rider=rider, rows=_ROWS)


@lru_cache(maxsize=50)
def _best(answer: Answer, rider: str, costs: Costs) -> Best | None:
    return best_mark(answer, np.random.default_rng(0), rider=rider, costs=costs)


@lru_cache(maxsize=50)
def _drawn(answer: Answer, index: int, rider: str, reader: Reader, stamp: str) -> str:
    jump = _found(answer, rider).jumps[index]
    return wheels(wheels_view(answer, index, jump), jump, reader, stamp=stamp).svg()


def _body(shown: Shown) -> None:
    """Who rides it, how often it goes well, where the rear wheel lands, and what matters."""
    rider = st.selectbox("Who rides it", list(RIDERS), key=names.ODDS_RIDER.name, format_func=lambda name: told.RIDERS[name].capitalize())
    answer = solved(shown.line)
    with st.spinner("Riding it many times …"):
        found = _found(answer, rider)
    if found is None or shown.index >= len(found.jumps):
        none = told.none(answer) if found is None else "No odds: nobody comes to this jump, or the ground before it is not measured."
        st.markdown(plain(shown.text(none)))
        return
    headline = joined([told.not_to_ride(answer), told.headline(found, answer)])
    st.markdown(plain(shown.text(headline)))
    jump = found.jumps[shown.index]
    alt = f"Bars over the landing where the rear wheel comes down. {shown.text(headline)}"
    drawing(_drawn(answer, shown.index, rider, shown.reader, shown.stamp), alt=alt)
    table(list(told.HEAD), [shown.texts(row) for row in told.rows(jump, shown.jump.shape)])
    said(shown.texts([told.hits(jump), *told.matters(found)]))
    if shown.index == 0:
        _cheapest(shown, answer, rider)
    small(plain(f"{shown.text(told.rests_on(found))} {told.sampling(found)}"))


def _cheapest(shown: Shown, answer: Answer, rider: str) -> None:
    """The start that costs least, and what each landing is thought to cost, which may be changed."""
    usual, shape = costs_of(answer), answer.jumps[0].shape
    changed = names.ODDS_COSTS.value.get(shape, {})
    with st.spinner("Trying other starts …"):
        start = _best(answer, rider, replace(usual, **changed))
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
