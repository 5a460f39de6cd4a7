"""The page: inputs into one Line, one Answer, one panel after the other. Start it with ``streamlit run app.py``."""

import streamlit as st

from jumpcalc.errors import InputError
from jumpcalc.show.page import address, common, inputs, looks, panels, state, ways

state.start()
way = ways.chosen()
line = shown = refused = None
try:
    line = state.line()
    shown = common.shown(line)
    panels.PREPARE[way](shown)
except InputError as error:
    line, shown, refused = None, None, error
st.set_page_config(page_title="jumpcalc", layout="centered", initial_sidebar_state="auto")
panels.top.show()
ways.choose()
if shown is None:
    panels.top.refused(refused)
    panels.notes.cautions()
else:
    panels.top.example_band(shown)
    for show in panels.FIRST[way]:
        show(shown)
    shown = shown.complete()
    state.remember(shown.answer)
    for show in panels.WAYS[way]:
        show(shown)
    panels.notes.cautions()
inputs.show(line)
looks.show()
address.keep(line, example=None if line is None else state.example_of(line), units=state.units())
