"""Check it, the page's way in for the day itself, through Streamlit's own test harness."""

import itertools
import math
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from jumpcalc import read_line, solve
from jumpcalc.plan.studies.field.check import check
from jumpcalc.plan.studies.field.kinds import KINDS
from jumpcalc.plan.studies.field.window import Grade
from jumpcalc.plan.views.cones import cones_view
from jumpcalc.show.paper.cones import cones
from jumpcalc.show.paper.svg import Area, Words
from jumpcalc.show.words import check as told
from jumpcalc.show.words.numbers import Reader

ROOT = Path(__file__).parent.parent


def opened(example="low_drop"):
    page = AppTest.from_file(str(ROOT / "app.py"), default_timeout=60)
    page.query_params["way"] = "check"
    page.query_params["example"] = example
    return seen(page.run())


def seen(page):
    assert not page.exception
    return page


def text_of(page):
    kinds = (page.main.markdown, page.main.warning, page.main.info, page.main.error)
    return "\n".join(element.value.replace("\\", "") for kind in kinds for element in kind)


def figures_of(page):
    return " ".join(element.proto.body for element in page.get("html") if "<dl" in element.proto.body)


def by_hand(page):
    return seen(page.selectbox(key="read way").set_value("by hand").run())


@pytest.mark.parametrize("example", ["first_gap", "low_drop", "short_run_in", "step_up_table"])
def test_it_shows_the_check_of_the_example(example):
    found = check(solve(read_line(ROOT / "examples" / f"{example}.toml")), example=True)
    page, read = opened(example), Reader.metric
    text, large = text_of(page), figures_of(page)
    assert read.text(told.headline(found)) in text and "EXAMPLE" in text
    for place in (found.cones.before_foot, found.cones.before_foot + found.cones.length):
        assert read.length(place) in large
    for words in (told.best(found), *told.where(found)):
        assert read.text(words) in text
    telling = [band.reading.word for band in found.bands if band.grade is not Grade.NOT]
    assert page.selectbox(key="read way").value == ([band.reading.word for band in found.good] + telling + ["by hand"])[0]
    for band in found.good:
        assert all(cell in text for cell in read.texts(told.row(band))[:4])


def test_what_is_typed_becomes_a_sentence_and_stays_in_other_units():
    page = by_hand(opened())
    assert "Still needed: time" in text_of(page)
    seen(page.number_input(key="read by hand time").set_value(1.1).run())
    assert "Stopwatch, one run: 1.10 s over 8.0 m" in text_of(page) and "no go" in text_of(page)
    seen(page.number_input(key="read by hand runs").set_value(10).run())
    assert "Stopwatch, mean of 10" in text_of(page)
    seen(page.selectbox(key="read way").set_value("wheel sensor").run())
    seen(page.number_input(key="read wheel sensor speed").set_value(26.0).run())
    seen(page.checkbox(key="read wheel sensor rolled_out").check().run())
    assert "Wheel sensor, rolled out: 26.0 km/h" in text_of(page) and page.main.info
    seen(page.radio(key="units").set_value("imperial").run())
    assert "16.2 mph" in text_of(page) and page.number_input(key="read wheel sensor speed").value == pytest.approx(16.156, abs=0.01)
    seen(page.selectbox(key="read way").set_value("by hand").run())
    assert "Stopwatch, mean of 10: 1.10 s over 26.2 ft" in text_of(page)


def test_another_line_lets_go_of_what_was_measured():
    page = by_hand(opened())
    seen(page.number_input(key="read by hand time").set_value(1.1).run())
    seen(page.selectbox(key="example").set_value("first_gap").run())
    assert by_hand(page).number_input(key="read by hand time").value is None


@pytest.mark.parametrize(
    ("field", "value", "why"),
    [
        ("time", -3.0, "allowed 0.05 to 200 s"),
        ("time", 90.0, "no speed before this lip"),
        ("length", 99.0, "the ground before it is"),
    ],
)
def test_what_cannot_be_is_one_line_and_nothing_is_lost(field, value, why):
    page = by_hand(opened())
    seen(page.number_input(key="read by hand time").set_value(1.1).run())
    seen(page.number_input(key=f"read by hand {field}").set_value(value).run())
    errors = [element.value.replace("\\", "") for element in page.main.error]
    assert len(errors) == 1 and why in errors[0]
    assert page.number_input(key=f"read by hand {field}").value == value


@pytest.mark.parametrize("way", KINDS)
def test_each_way_of_measuring_has_its_form(way):
    page = opened()
    seen(page.selectbox(key="read way").set_value(way).run())
    assert "Still needed" in text_of(page)


def test_on_a_day_that_is_none_nothing_is_checked():
    page = AppTest.from_file(str(ROOT / "app.py"), default_timeout=60)
    page.query_params["way"], page.query_params["today"] = "check", "gusty"
    seen(page.run())
    assert "not today" in text_of(page) and "What counts" not in text_of(page) and not figures_of(page)
    assert not page.selectbox or "read way" not in [box.key for box in page.selectbox]


def test_where_no_speed_lands_clean_there_is_none_to_check_for():
    page = opened("first_gap")
    seen(page.number_input(key="in jump[1].landing.length_m").set_value(0.9).run())
    assert "So there is no speed to check for." in text_of(page) and "What counts" not in text_of(page)


@pytest.mark.parametrize("example", ["first_gap", "low_drop", "two_in_a_row"])
def test_the_drawing_puts_the_cones_where_they_are_said_to_stand(example):
    found = check(solve(read_line(ROOT / "examples" / f"{example}.toml")))
    view = cones_view(found)
    along = sum(math.dist(a, b) for a, b in itertools.pairwise(zip(view.apart.x, view.apart.z, strict=True)))
    assert along == pytest.approx(found.cones.length, abs=0.01)
    sheet = cones(view, found, Reader.metric)
    assert len([area for area in sheet.all(Area) if area.name == "cone"]) == 2
    words = " ".join(word.text for word in sheet.all(Words))
    for length in (found.cones.before_foot, found.cones.before_foot + found.cones.length, found.cones.length):
        assert Reader.metric.length(length) in words
    for word in sheet.all(Words):
        left, top, right, bottom = word.box
        assert left >= 0 and top >= 0 and right <= sheet.width and bottom <= sheet.height and word.size >= 12
