"""The page: inputs into one Line, one Answer, one panel after the other. Start it with ``streamlit run app.py``."""

import streamlit as st

from jumpcalc.errors import InputError
from jumpcalc.show.page import common, inputs, panels, state

st.set_page_config(page_title="jumpcalc", layout="centered", initial_sidebar_state=380)
state.start()
panels.top.show()
try:
    line = state.line()
    answer = common.solved(line)
except InputError as error:
    line = answer = None
    panels.top.refused(error)
if answer is not None:
    state.remember(answer)
    shown = common.Shown(answer=answer, index=state.index(), units=state.units(), example=state.is_example(line))
    for panel in panels.IN_ORDER:
        panel.show(shown)
inputs.show(line)
