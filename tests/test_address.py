"""The page's address: what stands in it is shown, and what cannot be used is said."""

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from jumpcalc.show.files.examples import FIRST, examples
from jumpcalc.show.page.address import encoded

ROOT = Path(__file__).parents[1]
LINE = encoded(examples()["low_drop"])


def begun(**address):
    """What a session begins with: the title of its line, and what is said."""
    page = AppTest.from_string("from jumpcalc.show.page import state\nstate.start()")
    for name, word in address.items():
        page.query_params[name] = word
    page.run()
    assert not page.exception
    return page.session_state["typed"]["title"], page.session_state["message"]


@pytest.mark.parametrize("address", [{}, {"example": ""}, {"line": ""}])
def test_an_empty_address_begins_on_the_first_example(address):
    assert begun(**address) == (examples()[FIRST].title, "")


@pytest.mark.parametrize("address", [{"example": "low_drop"}, {"line": LINE}, {"line": LINE, "example": "nowhere"}])
def test_what_can_be_used_is_shown_and_nothing_is_said(address):
    assert begun(**address) == (examples()["low_drop"].title, "")


@pytest.mark.parametrize("word", ["nowhere", "Low_Drop", "../secret", "<b>x</b>", "x" * 5000, "a\nb"])
def test_an_example_that_there_is_not_is_said(word):
    title, said = begun(example=word)
    assert title == examples()[FIRST].title
    assert said.startswith("example in the address: ") and all(name in said for name in examples())
    assert said.isprintable() and len(said) < 300


def test_a_bad_line_is_said_beside_the_example():
    title, said = begun(line=LINE[:-9], example="low_drop")
    assert title == examples()["low_drop"].title
    assert "line in the address" in said and said.endswith("The page starts on the example instead.")
    title, said = begun(line=LINE[:-9], example="nowhere")
    assert "line in the address" in said and "example in the address" in said and title == examples()[FIRST].title


@pytest.mark.parametrize(("parameter", "word"), [("way", "fly"), ("units", "furlongs"), ("today", "gust")])
def test_a_word_that_there_is_not_is_said(parameter, word):
    title, said = begun(example="low_drop", **{parameter: word})
    assert title == examples()["low_drop"].title
    assert said.startswith(f"{parameter} in the address: {word!r}; there is ") and said.endswith(" is shown instead.")
    assert begun(example="low_drop", way="ride", units="imperial", today="gusty")[1] == ""


def test_it_is_said_on_the_page():
    page = AppTest.from_file(str(ROOT / "app.py"), default_timeout=60)
    page.query_params["example"] = "frist_gap"
    page.run()
    assert not page.exception
    assert "example in the address: 'frist" in page.main.error[0].value.replace("\\", "")
