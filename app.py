"""The page: inputs into one Line, one Answer, one panel after the other. Start it with ``streamlit run app.py``."""

import sys

import streamlit as st

from jumpcalc.errors import InputError
from jumpcalc.show.examples import is_example
from jumpcalc.show.page import address, common, inputs, panels, state, ways

# the thread that sends to the browser gets its turn at once, also while a line is being solved
sys.setswitchinterval(2e-4)
st.set_page_config(page_title="jumpcalc", layout="centered", initial_sidebar_state="auto")
state.start()
panels.top.show()
way = ways.choose()
try:
    line = state.line()
    jumps = common.jumps_solved(line)
except InputError as error:
    line = None
    panels.top.refused(error)
else:
    shown = common.Shown(answer=jumps, index=state.index(), units=state.units(), example=is_example(line.jumps[state.index()]))
    panels.top.example_band(shown)
    for show in panels.FIRST[way]:
        show(shown)
    shown = shown.complete()
    state.remember(shown.answer)
    for show in panels.WAYS[way]:
        show(shown)
inputs.show(line)
address.keep(line, example=None if line is None else state.example_of(line), units=state.units())
