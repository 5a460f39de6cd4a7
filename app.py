"""The page: inputs into one Line, one Answer, one panel after the other. Start it with ``streamlit run app.py``."""

import time

import streamlit as st

import jumpcalc.show.one_core  # noqa: F401, before numpy
from jumpcalc.errors import InputError
from jumpcalc.show.page import address, common, inputs, looks, names, panels, state, ways, workers

PAINT = 0.03  # s left to the browser to draw what it has before the rest is worked out

workers.start()
state.start()
head = st.container(key=names.HEAD.name, gap="xsmall")
with st.container(key=names.FIRST.name):
    answer, drawing, ask = (st.container(key=part.name, gap="small") for part in (names.ANSWER, names.DRAWING, names.ASK))
rest = st.container(key=names.REST.name)
way = panels.WAYS[ways.chosen()]
line = shown = refused = None
try:
    line = state.line()
    shown = common.shown(line)
    way.prepare(shown)
except InputError as error:
    line, shown, refused = None, None, error
if shown is not None:
    # a new drawing is sent before all else, also before what stands above it
    with drawing:
        way.drawing(shown)
with head:
    st.set_page_config(page_title="jumpcalc", layout="wide", initial_sidebar_state="auto")
    panels.top.show()
    ways.choose()
    panels.top.message()
    if shown is None:
        panels.top.refused(refused)
    else:
        panels.top.whose(shown)
if shown is not None:
    shown.begin()
    time.sleep(PAINT)
    shown = shown.complete()
    state.remember(shown.answer)
    with answer:
        panels.top.no_ride(shown)
        way.answer(shown)
    with ask:
        way.ask(shown)
    with rest:
        for show in way.no_ride if shown.no_ride else way.rest:
            show(shown)
with rest:
    panels.notes.cautions()
inputs.show(line, refused)
looks.show()
address.keep(line, example=None if line is None else state.example_of(line), units=state.units())
