"""Lips whose foot lies higher than their edge: the window is cut at the slowest speed that can be had, or there is none, in words."""

import json
import math
import re
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from streamlit.testing.v1 import AppTest

from jumpcalc.plan.ask.clean import clean_speeds
from jumpcalc.plan.ask.landings import land
from jumpcalc.plan.ask.lip import slowest_edge
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.card import card
from jumpcalc.plan.studies.compare import compare
from jumpcalc.plan.studies.sizes import sizes
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.views.hit import impact_curve
from jumpcalc.plan.views.side import first_view, side_view
from jumpcalc.show.files.answer_json import as_json
from jumpcalc.show.files.linefile import parse_line
from jumpcalc.show.words import side_by_side
from jumpcalc.show.words.card import row_cells
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.report import report

ROOT = Path(__file__).parents[1]
STEEP = """
[run_in]
pieces = [ { length_m = 10, slope_deg = -%g } ]
[[jump]]
shape = "tabletop"
lip = { angle_deg = 0, radius_m = 15 }
landing = { gap_m = 0.8, drop_m = 0.4, angle_deg = 27, length_m = 3 }
"""
NONE_PRINTED = re.compile(r"(?<![\d.+−])0\.0 (km/h|mph)")  # changes with a sign are none of the speeds


def line_of(degrees):
    return parse_line(STEEP % degrees)


def rolled_from_rest(degrees, height, *, mass=85.0, area=0.55, rolling=0.020, rotating=2.0, radius=15.0, density=1.225):
    """Speed at the edge from a standstill at the foot: Newton's law along the arc over time, in variables of its own."""
    q = 1 - height / radius
    slope = math.radians(-degrees)

    def motion(_, state):
        s, v = state
        beta = slope + s / radius
        load = max(0.0, 9.80665 * math.cos(beta) + v * v / (q * radius))
        force = -9.80665 * math.sin(beta) - rolling * load / q - density * area / (2 * mass) * v * v
        return v / q, force / (1 + rotating / mass)

    def edge(_, state):
        return state[0] + slope * radius

    edge.terminal, edge.direction = True, 1
    halt = lambda t, state: state[1] if t > 0.1 else 1.0  # noqa: E731
    halt.terminal, halt.direction = True, -1
    found = solve_ivp(motion, (0, 60), (0.0, 0.0), events=(edge, halt), rtol=1e-10, atol=1e-12)
    return float(found.y_events[0][0][1]) if len(found.y_events[0]) else 0.0


@pytest.mark.parametrize("degrees", [10, 20, 30, 40, 55])
@pytest.mark.parametrize("height", [0.0, 1.05])
def test_slowest_edge_is_that_of_a_bike_rolled_from_rest_at_the_foot(degrees, height):
    one = prepare(line_of(degrees)).jumps[0]
    assert slowest_edge(one, heights=height)[0] == pytest.approx(rolled_from_rest(degrees, height), abs=3e-5)


@pytest.mark.parametrize("foot", [-0.5, 0.0, 4.0])
def test_a_lip_that_nothing_rolls_up_has_no_slowest_edge(foot):
    one = prepare(parse_line(STEEP.replace("-%g", f"{foot:g}").replace("angle_deg = 0", "angle_deg = 20"))).jumps[0]
    assert slowest_edge(one, heights=[0.0, 1.05]).tolist() == [0.0, 0.0]


def test_the_window_is_cut_at_the_slowest_that_can_be_had():
    one = prepare(line_of(30)).jumps[0]
    window = clean_speeds(one).window
    assert window.from_rest and window.why_none is None
    assert window.speeds.min == pytest.approx(rolled_from_rest(30, 1.05), abs=3e-5)
    assert land(one, [0.99 * window.speeds.min]).outcomes == ("clean",), "slower would be clean, but cannot be had"
    assert 0 < window.foot.min < 0.02 < window.foot.aim < window.foot.max
    assert not clean_speeds(prepare(line_of(0.5)).jumps[0]).window.from_rest


def test_where_even_from_rest_it_is_too_fast_there_is_none_in_words():
    window = clean_speeds(prepare(line_of(40)).jumps[0]).window
    assert window.speeds is None and window.why_none.code == "always too fast"
    assert window.why_none["least"] == pytest.approx(rolled_from_rest(40, 1.05), abs=3e-5)


def shown(degrees):
    """Everything that is printed or drawn of the line, as text."""
    line = line_of(degrees)
    answer = solve(line)
    sheets = card(line)
    for reader in Reader:
        yield report(answer, reader)
        yield side_by_side.report(compare(line, line_of(degrees - 1)), reader, names=("old", "new"))
        yield "\n".join(reader.text(cell.text) for row in sheets.rows for column in row_cells(row) for cell in column)
    yield as_json(answer)
    side_view(answer, 0), first_view(line, 0), sizes(answer, 0)
    curve = impact_curve(answer, 0)
    assert min(curve.foot) > 0 and np.isfinite(curve.foot).all()


@pytest.mark.parametrize("degrees", [30, 40])
@pytest.mark.filterwarnings("error")
def test_no_output_says_a_speed_of_nothing(degrees):
    for text in shown(degrees):
        assert not NONE_PRINTED.search(text), NONE_PRINTED.search(text)
        assert "nan" not in text.lower().split()


def test_report_and_json_say_that_even_a_standstill_is_fast_enough():
    answer = solve(line_of(30))
    text = " ".join(report(answer).split())
    assert "anything slower, even from a standstill there" in text
    assert "Even from a standstill at the foot of the lip the edge is left at 20.2 km/h" in text
    assert json.loads(as_json(answer))["jumps"][0]["min_from_rest"] is True
    assert "even from a standstill there the edge is left at" in " ".join(report(solve(line_of(40))).split())


PAGE = f"""
import runpy
import streamlit as st
from jumpcalc.show.page import state
if "taken" not in st.session_state:
    state.start()
    state.uploaded("mine.toml", st.session_state["content"])
    st.session_state["taken"] = True
runpy.run_path({str(ROOT / "app.py")!r})
"""


@pytest.mark.parametrize("degrees", [30, 40])
@pytest.mark.parametrize("way", ["size", "ride", "explain"])
def test_pages_show_it(degrees, way):
    page = AppTest.from_string(PAGE, default_timeout=60)
    page.session_state["content"] = (STEEP % degrees).encode()
    page.query_params["way"] = way
    page.run()
    assert not page.exception and not page.main.error
    text = " ".join(element.value for kind in (page.markdown, page.caption) for element in kind)
    assert not NONE_PRINTED.search(text), NONE_PRINTED.search(text)


def test_where_nothing_is_too_slow_no_stopwatch_says_so():
    found = solve(line_of(30)).jumps[0]
    assert found.window.from_rest
    assert (found.run_in.slow_time, found.run_in.fast_time) == (None, None)
