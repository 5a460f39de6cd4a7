"""The odds of the line: worked out only where they are asked for."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import streamlit as st

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.studies.best_mark import Best, best_mark
from jumpcalc.plan.studies.odds import Odds, odds
from jumpcalc.plan.studies.spread import RIDERS
from jumpcalc.plan.views.wheels import wheels_view
from jumpcalc.show.page import names
from jumpcalc.show.page.common import Panel, Shown, drawing, plain, said, small, solved, table
from jumpcalc.show.paper.wheels import wheels
from jumpcalc.show.words import odds as told
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import joined

__all__ = ["PANEL"]

_ROWS = 32768  # a person waits for them


@lru_cache(maxsize=50)
def _found(answer: Answer, rider: str) -> tuple[Odds | None, Best | None]:
    return (
        odds(answer, np.random.default_rng(0), rider=rider, rows=_ROWS),
        best_mark(answer, np.random.default_rng(0), rider=rider),
    )


@lru_cache(maxsize=50)
def _drawn(answer: Answer, index: int, rider: str, reader: Reader, stamp: str) -> str:
    jump = _found(answer, rider)[0].jumps[index]
    return wheels(wheels_view(answer, index, jump), jump, reader, stamp=stamp).svg()


def _body(shown: Shown) -> None:
    """Who rides it, how often it goes well, where the rear wheel lands, and what matters."""
    rider = st.selectbox("Who rides it", list(RIDERS), key=names.ODDS_RIDER.name, format_func=lambda name: told.RIDERS[name].capitalize())
    answer = solved(shown.line)
    with st.spinner("Riding it many times …"):
        found, start = _found(answer, rider)
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
    best = told.best(start, answer) if start is not None and shown.index == 0 else []
    said(shown.texts([told.hits(jump), *told.matters(found), *best]))
    small(plain(f"{shown.text(told.rests_on(found))} {told.sampling(found)}"))


PANEL = Panel("How often it goes well: odds", _body, lambda shown: shown.jump.window.speeds is not None)
