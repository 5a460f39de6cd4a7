"""The page's wiring, through Streamlit's own test harness: inputs reach the answer, the answer reaches the panels."""

import ast
import math
import re
from dataclasses import fields
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from jumpcalc import solve
from jumpcalc.plan.inputs.declare import given
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.vary import with_bike
from jumpcalc.plan.views.hit import impact_curve
from jumpcalc.show.files import examples
from jumpcalc.show.files.linefile import parse_line, read_line, write_line
from jumpcalc.show.page import hits, inputs, names, notes, odds, panels
from jumpcalc.show.page.common import Panel
from jumpcalc.show.words import jump as told
from jumpcalc.show.words.cautions import CAUTIONS, CHECKLIST, LEFT_OUT
from jumpcalc.show.words.inputs import assumed
from jumpcalc.show.words.numbers import Reader

ROOT = Path(__file__).parent.parent
EXAMPLES = sorted(path.stem for path in (ROOT / "examples").glob("*.toml"))
PANELS = [one for module in vars(panels).values() for one in getattr(module, "__dict__", {}).values() if isinstance(one, Panel)]
GAP, ANGLE = "in jump[1].landing.gap_m", "in jump[1].lip.angle_deg"


read = Reader.metric.text


def opened(example="first_gap", *more, groups=None, **address):
    """The page at an example, with panels and groups of the form that are named; all of them are worked out in one test.

    What else is named stands in the address, such as the way in.
    """
    page = AppTest.from_file(str(ROOT / "app.py"), default_timeout=60)
    for name, value in {"example": example, **address}.items():
        page.query_params[name] = value
    page.session_state["more size"] = [panel.title for panel in more]
    if groups is not None:
        page.session_state["groups"] = list(groups)
    return checked(page.run())


def checked(page):
    assert not page.exception
    seen = [element.value for kind in (page.markdown, page.caption, page.main.error) for element in kind] + [figures_of(page)]
    assert not any("nan" in str(value).lower().split() or "Traceback" in str(value) for value in seen)
    return page


def unmarked(text):
    return text.replace("\\", "")


def titles(page):
    lines = (line for element in page.main.markdown for line in element.value.split("\n"))
    return [unmarked(line.removeprefix("### ")) for line in lines if line.startswith("### ")]


def answer_of(page):
    return titles(page)[0]


def figures_of(page):
    """The large figures as text; empty where there are none."""
    return " ".join(element.proto.body for element in page.get("html") if "figures" in element.proto.body and "<dl" in element.proto.body)


@pytest.mark.parametrize("example", EXAMPLES)
def test_what_is_loaded_is_what_is_built_and_each_example_shows_its_own_answer(example):
    """With all groups of the form and the lists; the one that has several jumps with all panels but the odds, which have their own test."""
    lists = (notes.ASSUMED, notes.CHECKLIST, notes.LEFT_OUT)
    more = [panel for panel in PANELS if panel is not odds.PANEL] if example == "two_in_a_row" else lists
    page = opened(example, *more, groups=inputs.GROUPS)
    line = read_line(ROOT / "examples" / f"{example}.toml")
    assert page.session_state["typed"].keys() == {path for path, _, _ in given(line)}
    built = built_from(page)
    assert built == line and parse_line(write_line(built)) == line
    answer = solve(line)
    assert answer_of(page) == read(told.headline(answer.jumps[0]))
    for speed in (answer.jumps[0].window.speeds, answer.jumps[0].window.foot)[: 1 if answer.jumps[0].shape == "drop" else 2]:
        assert speed is None or Reader.metric.speed(speed.aim) in figures_of(page)
    assert unmarked(page.warning[0].value).startswith("EXAMPLE")
    shown = "\n".join(unmarked(element.value) for element in page.markdown)
    for text in (*CAUTIONS, *CHECKLIST, *LEFT_OUT, read(told.heights(answer.jumps[0]))):
        assert text in shown
    for each in assumed(answer):
        assert f"{each.name} | {read(each.value)} | {each.source}" in shown, each.path


def test_a_changed_input_changes_the_answer_and_ends_the_example():
    page = opened()
    before = answer_of(page)
    checked(page.number_input(key=GAP).set_value(5.0).run())
    assert answer_of(page) != before
    assert not any("EXAMPLE" in warning.value for warning in page.warning)
    checked(page.selectbox(key="example").set_value("low_drop").run())
    checked(page.selectbox(key="example").set_value("first_gap").run())
    assert answer_of(page) == before and page.number_input(key=GAP).value == 4.2


def test_a_changed_rider_is_still_an_example():
    page = opened(groups=["Rider and bike"])
    checked(page.number_input(key="in rider.mass_kg").set_value(60).run())
    assert page.warning


def test_no_window_says_why():
    page = opened()
    checked(page.number_input(key="in jump[1].landing.length_m").set_value(0.9).run())
    assert "the landing is shorter than the bike" in answer_of(page)
    assert not figures_of(page)


def test_a_value_out_of_range_is_one_line_and_nothing_is_lost():
    page = opened()
    checked(page.number_input(key=ANGLE).set_value(95.0).run())
    assert len(page.main.error) == 1 and not titles(page)
    said = unmarked(page.main.error[0].value)
    assert "Lip angle at the edge" in said and "95°" in said and "-45 to 75°" in said and "\n" not in said
    assert page.number_input(key=ANGLE).value == 95 and page.number_input(key=GAP).value == 4.2
    checked(page.number_input(key=ANGLE).set_value(28.0).run())
    assert not page.main.error and answer_of(page).startswith("Ride at")


def test_a_needed_input_left_empty_is_one_line():
    page = opened()
    checked(page.number_input(key=GAP).set_value(None).run())
    assert len(page.main.error) == 1
    assert unmarked(page.main.error[0].value).startswith("Gap, level from edge to knuckle")


def test_what_is_not_typed_stays_assumed():
    page = opened(groups=["Rider and bike", "Finer points of rider and bike"])
    box = page.number_input(key="in rider.drag_area_m2")
    assert box.value is None and box.placeholder.startswith("assumed 0.56")
    mass = checked(page.number_input(key="in rider.mass_kg").set_value(None).run()).number_input(key="in rider.mass_kg")
    assert mass.placeholder == "assumed 85 kg"


def test_units_convert_what_was_typed_and_lose_nothing():
    page = opened()
    before = answer_of(page)
    checked(page.number_input(key="in jump[1].landing.length_m").set_value(4.7).run())
    metric = answer_of(page)
    checked(page.radio(key="units").set_value("imperial").run())
    assert page.number_input(key="in jump[1].landing.length_m").value == pytest.approx(4.7 / 0.3048, abs=1e-3)
    assert page.number_input(key=ANGLE).value == 28
    assert "mph" in answer_of(page) and "km/h" not in answer_of(page)
    checked(page.radio(key="units").set_value("metric").run())
    assert page.number_input(key="in jump[1].landing.length_m").value == 4.7
    assert answer_of(page) == metric
    checked(page.number_input(key="in jump[1].landing.length_m").set_value(4.5).run())
    assert answer_of(page) == before and page.warning  # the example again, to the last bit


def test_up_and_down_are_asked_in_words():
    page = opened("step_up_table", groups=["Gap and landing", "Run-in"])
    assert page.selectbox(key="way jump[1].landing.drop_m").value == "higher"
    assert page.number_input(key="in jump[1].landing.drop_m").value == pytest.approx(14 * 0.0254, abs=1e-4)
    checked(page.selectbox(key="way jump[1].landing.drop_m").set_value("lower").run())
    assert page.session_state["typed"]["jump[1].landing.drop_m"] == pytest.approx(14 * 0.0254, abs=1e-4)
    assert page.selectbox(key="way run_in.pieces 0").value == "falls"
    assert page.number_input(key="slope run_in.pieces 0").value == 13


def test_runout_rows_decide_about_stopping():
    page = opened(groups=["Runout"])
    how = "how jump[1].runout"
    checked(page.selectbox(key=how).set_value("not measured").run())
    assert any("runout was not measured" in element.value for element in page.markdown)
    checked(page.selectbox(key=how).set_value("pieces").run())
    pieces = read_line(ROOT / "examples" / "first_gap.toml").jumps[0].runout.pieces
    assert page.number_input(key="size jump[1].runout.pieces 1").value == pieces[1].length
    checked(page.number_input(key="size jump[1].runout.pieces 1").set_value(10.0).run())
    assert any("are missing" in element.value for element in page.markdown)
    checked(page.button(key="add jump[1].runout.pieces").click().run())
    assert "piece 3" in page.main.error[0].value
    checked(page.number_input(key="size jump[1].runout.pieces 2").set_value(40.0).run())
    checked(page.number_input(key="slope jump[1].runout.pieces 2").set_value(0.0).run())
    assert not page.main.error and any("to spare" in element.value for element in page.markdown)


def test_a_gap_made_a_drop_has_no_lip_and_gets_it_back():
    page = opened()
    before = answer_of(page)
    checked(page.selectbox(key="in jump[1].shape").set_value("drop").run())
    assert answer_of(page).startswith(("Leave the edge", "No lip speed"))
    checked(page.selectbox(key="in jump[1].shape").set_value("gap").run())
    assert answer_of(page) == before


def test_second_jump_of_a_line():
    page = opened("two_in_a_row")
    checked(page.selectbox(key="jump").set_value(2).run())
    answer = solve(read_line(ROOT / "examples" / "two_in_a_row.toml"))
    assert answer_of(page) == read(told.headline(answer.jumps[1]))
    checked(page.selectbox(key="example").set_value("first_gap").run())
    assert answer_of(page).startswith("Ride at")


def built_from(page):
    """The line that the page's state builds, asked for in the page's own session."""
    code = "import streamlit as st\nfrom jumpcalc.show.page import state\nst.session_state['built'] = state.line()\n"
    other = AppTest.from_string(code)
    for name in ("typed", "jumps", "units"):
        other.session_state[name] = page.session_state[name]
    return other.run().session_state["built"]


def test_every_input_has_its_field():
    page = opened(groups=inputs.GROUPS)
    have = {element.key for kind in (page.number_input, page.selectbox, page.text_input) for element in kind}
    for path, declaration, _ in given(read_line(ROOT / "examples" / "first_gap.toml")):
        if declaration.kind in ("pieces", "stakes"):
            assert f"how {path.rpartition('.')[0]}" in have
        else:
            assert f"in {path}" in have
    keys = [element.key for kind in (page.number_input, page.selectbox, page.text_input, page.button) for element in kind]
    assert len(keys) == len(set(keys)) and all(keys)


def test_panels_have_names_of_their_own():
    titles = [panel.title for panel in set(PANELS)]
    assert len(titles) == len(set(titles)) > 10


def test_a_panel_that_is_not_picked_is_not_worked_out(monkeypatch):
    worked = []
    monkeypatch.setattr("jumpcalc.show.page.hits.impact_curve", lambda *args: worked.append(args) or impact_curve(*args))
    page = opened("first_gap", hits.PANEL, notes.CHECKLIST)
    worked.clear()
    page.session_state["more size"] = [notes.CHECKLIST.title]
    checked(page.number_input(key=GAP).set_value(4.77).run())
    assert not worked
    page.session_state["more size"] = ["How hard it hits"]
    checked(page.run())
    assert len(worked) == 1


def test_a_group_that_is_not_picked_has_no_fields_and_loses_nothing():
    page = opened(groups=["Rider and bike"])
    mass = "in rider.mass_kg"
    checked(page.number_input(key=mass).set_value(61.5).run())
    before = answer_of(page)
    page.session_state["groups"] = ["Shape and lip"]
    checked(page.run())
    assert mass not in {box.key for box in page.number_input} and answer_of(page) == before
    page.session_state["groups"] = ["Rider and bike"]
    assert checked(page.run()).number_input(key=mass).value == 61.5


def _switched(page, way):
    page.session_state["way"] = way
    return checked(page.run())


def refused_and_back(page):
    checked(page.number_input(key=ANGLE).set_value(95.0).run())
    assert page.main.error
    return checked(page.number_input(key=ANGLE).set_value(28.0).run())


@pytest.mark.parametrize("away", [lambda page: _switched(_switched(page, "ride"), "size"), refused_and_back])
def test_what_was_picked_is_still_picked_after_another_way_or_a_refused_value(away):
    page = opened()
    page.session_state["more size"] = ["How hard it hits"]
    checked(page.radio(key="size kind").set_value("planned").run())
    away(page)
    assert page.session_state["more size"] == ["How hard it hits"]
    assert page.radio(key="size kind").value == "planned"


@pytest.mark.parametrize("away", [lambda page: _switched(_switched(page, "size"), "explain"), refused_and_back])
def test_where_it_touched_is_not_forgotten(away):
    page = opened(way="explain")
    way, before = "explain way", "before the knuckle"
    checked(page.selectbox(key=way).set_value(before).run())
    checked(page.number_input(key="explain far").set_value(1.5).run())
    said = [element.value for element in page.markdown if "too slow" in element.value]
    assert said
    away(page)
    assert page.selectbox(key=way).value == before and page.number_input(key="explain far").value == 1.5
    assert [element.value for element in page.markdown if "too slow" in element.value] == said


def test_a_distance_is_taken_as_it_is_shown():
    page = opened(way="explain")
    checked(page.number_input(key="explain far").set_value(-2.0).run())
    assert page.selectbox(key="explain way").value == "before the knuckle"
    assert page.number_input(key="explain far").value == 2.0
    checked(page.number_input(key="explain far").set_value(100.0).run())
    assert page.number_input(key="explain far").value == 60.0


@pytest.mark.parametrize("away", [lambda page: _switched(_switched(page, "size"), "ride"), refused_and_back])
def test_not_today_stays_not_today(away):
    page = opened(way="ride")
    checked(page.selectbox(key="ride wind").set_value("gusty, or not sure").run())
    assert any("not today" in error.value.lower() for error in page.main.error)
    away(page)
    assert any("not today" in error.value.lower() for error in page.main.error)


def test_wind_and_start_mark_are_those_of_the_line():
    page = opened(groups=["Air and wind"], way="ride")
    ahead = "leaves and twigs move, from ahead"
    checked(page.selectbox(key="ride wind").set_value(ahead).run())
    checked(page.number_input(key="ride mark field").set_value(31.0).run())
    assert page.selectbox(key="ride wind").value == ahead
    checked(page.number_input(key="in air.tailwind_kmh").set_value(3.0).run())
    assert page.selectbox(key="ride wind").value == "as typed with the line"
    checked(page.selectbox(key="ride wind").set_value(ahead).run())
    checked(page.selectbox(key="example").set_value("short_run_in").run())
    assert page.selectbox(key="ride wind").value == "as typed with the line"
    assert page.number_input(key="ride mark field").value is None


@pytest.mark.parametrize("way", ["size", "ride", "explain"])
def test_each_way_in_says_of_which_jump_it_is(way):
    page = opened("two_in_a_row", way=way)
    line = read_line(ROOT / "examples" / "two_in_a_row.toml")
    for number, jump in enumerate(line.jumps, start=1):
        checked(page.selectbox(key="jump").set_value(number).run())
        assert any(f"{line.title}: {jump.name}" in unmarked(one.value) for one in page.markdown)


def test_less_grip_never_leaves_more_room():
    """Whoever picks the ground of today rides out on it as well."""
    page = opened(way="ride")

    def room():
        text = next(unmarked(one.value) for one in page.markdown if "to spare" in one.value or "are missing" in one.value)
        spare = re.findall(r"([\d.]+) m to spare", text)
        return float(spare[0]) if spare else -float(re.findall(r": ([\d.]+) m are missing", text)[0])

    before = room()
    checked(page.selectbox(key="ride surface").set_value("loose or fresh dirt").run())
    assert page.session_state["typed"]["jump[1].runout.surface"] == "loose or fresh dirt"
    assert room() < before


def test_what_is_still_the_examples_is_said():
    page = opened()
    checked(page.number_input(key=GAP).set_value(4.9).run())
    said = [unmarked(one.value) for one in page.markdown if "Still the example's" in one.value]
    assert len(said) == 1 and "run-in" in said[0]


def test_a_run_in_that_is_too_short_is_in_the_first_sentence():
    page = opened("short_run_in")
    assert answer_of(page).startswith("It takes") and "does not give that speed" in answer_of(page)


def test_assumed_inputs_have_their_names_in_both_units():
    page = opened("first_gap", notes.ASSUMED)
    for units in ("metric", "imperial"):
        checked(page.radio(key="units").set_value(units).run())
        rows = [unmarked(one.value) for one in page.markdown if "where that comes from" in one.value]
        assert len(rows) == 1 and not re.search(r"\b(rider|bike|skill|air|limits)\.", rows[0])


def test_cautions_stay_while_a_value_is_refused():
    page = opened()
    checked(page.number_input(key=ANGLE).set_value(95.0).run())
    shown = "\n".join(unmarked(element.value) for element in page.markdown)
    assert all(text in shown for text in CAUTIONS)


UPLOADS = {
    "not TOML": b"gap = = 4",
    "empty": b"",
    "not text": b"\xff\xfe\x00picture",
    "too large": b"#" * 1_100_000,
    "out of range": b"[[jump]]\nlip = { angle_deg = 95, radius_m = 4 }\nlanding = { gap_m = 4, angle_deg = 24, length_m = 4 }",
    "unknown key": b"[[jump]]\nlip = { angel_deg = 28, radius_m = 4 }\nlanding = { gap_m = 4, angle_deg = 24, length_m = 4 }",
}


@pytest.mark.parametrize("content", UPLOADS.values(), ids=UPLOADS.keys())
def test_a_bad_upload_is_one_line_and_changes_nothing(content):
    page = uploaded("mine.toml", content)
    message = page.session_state["message"]
    assert message.startswith("mine.toml: ") and "\n" not in message and len(message) < 400
    assert page.session_state["typed"]["jump[1].landing.gap_m"] == 4.2


def test_a_good_upload_takes_the_place_of_what_was_typed():
    text = "[[jump]]\nlip = { angle_deg = 30, radius_m = 5 }\nlanding = { gap_m = 3.3, angle_deg = 24, length_m = 4 }"
    page = uploaded("mine.toml", text.encode())
    assert page.session_state["message"] == ""
    assert page.session_state["typed"]["jump[1].landing.gap_m"] == 3.3
    assert built_from(page) == parse_line(text)


def test_a_file_name_is_not_trusted():
    page = uploaded("<b>x</b>\n" + "y" * 500, b"")
    assert "\n" not in page.session_state["message"] and len(page.session_state["message"]) < 300


def uploaded(name, content):
    code = (
        "import streamlit as st\nfrom jumpcalc.show.page import state\nstate.start()\n"
        "state.uploaded(st.session_state['name'], st.session_state['content'])\n"
    )
    page = AppTest.from_string(code)
    page.session_state["name"], page.session_state["content"] = name, content
    return checked(page.run())


def test_words_of_a_line_file_are_not_markup():
    page = opened(groups=["What, where, when"])
    checked(page.text_input(key="in title").set_value("**big** <script>alert(1)</script> [x](http://a.b) $x$").run())
    caption = next(element.value for element in page.markdown if "script" in element.value)
    assert "\\*\\*big\\*\\*" in caption and "\\<script\\>" in caption and "\\[x\\]\\(" in caption


def test_slopes_are_kept_in_radians():
    page = opened(groups=["Run-in"])
    checked(page.selectbox(key="way run_in.pieces 0").set_value("climbs").run())
    assert page.session_state["typed"]["run_in.pieces"][0][2] == pytest.approx(math.radians(12), abs=1e-12)


def test_examples_are_lines_and_the_first_one_is_first():
    assert next(iter(examples.examples())) == examples.FIRST
    assert {field.name for field in fields(Line)} >= {"jumps", "run_in"}


def test_the_riders_own_mark_is_drawn_and_one_off_the_run_in_leaves_the_drawing_as_it_was():
    page = opened(way="ride")

    def told():
        return page.get("image")[0].proto.imgs[0].alt

    before = told()
    checked(page.number_input(key="ride mark field").set_value(28.0).run())
    assert "From your start mark" in told() and "into the near wall" in told()
    checked(page.number_input(key="ride mark field").set_value(900.0).run())
    assert told() == before and any("the length of the run-in" in unmarked(one.value) for one in page.main.error)


def test_what_is_refused_is_said_in_the_form_too():
    """On a phone the form hides the page."""
    page = opened()
    checked(page.number_input(key=ANGLE).set_value(95.0).run())
    assert unmarked(page.sidebar.error[0].value).startswith("Lip angle at the edge: 95°")
    checked(page.number_input(key=ANGLE).set_value(28.0).run())
    assert not page.sidebar.error


def test_a_file_that_could_not_be_read_does_not_hide_what_is_refused_and_is_forgotten_after_it():
    page = opened()
    page.session_state["message"] = "x.toml: not a line file. Nothing was changed."
    checked(page.run())
    assert "x.toml" in page.main.error[0].value
    checked(page.number_input(key=ANGLE).set_value(95.0).run())
    assert "Lip angle" in page.sidebar.error[0].value and len(page.main.error) == 1
    page.session_state["message"] = "x.toml: not a line file. Nothing was changed."
    checked(page.run())
    assert "Lip angle" in page.sidebar.error[0].value and "x.toml" in page.sidebar.error[0].value
    checked(page.number_input(key=ANGLE).set_value(28.0).run())
    assert not page.sidebar.error and not page.main.error


def test_not_today_is_the_last_word():
    page = opened(way="ride")
    assert len(page.get("image")) == 2 and cards(page)
    checked(page.selectbox(key="ride wind").set_value("gusty, or not sure").run())
    assert nothing_to_ride_by(page)
    for way in ("size", "explain"):
        _switched(page, way)
        assert any("not today" in error.value.lower() for error in page.main.error)
        assert not figures_of(page) and not cards(page) and "Where to start" not in titles(page)
    again = opened_by_link(today=page.query_params["today"], way="ride")
    assert nothing_to_ride_by(again)
    checked(again.selectbox(key="example").set_value("low_drop").run())
    assert nothing_to_ride_by(again)  # the wind is the same over another line
    checked(again.selectbox(key="ride wind").set_value("still").run())
    assert figures_of(again) and cards(again) and "today" not in again.query_params


def test_the_pocket_page_is_made_with_its_progress_and_kept(monkeypatch):
    monkeypatch.setattr("jumpcalc.plan.studies.pocket.BIKES", {})  # the line's own alone, which is quicker
    page = opened(way="ride")
    saves = lambda: [one.proto.label for one in page.get("download_button") if one.proto.label == "Save the pocket page"]  # noqa: E731
    assert not saves()
    page.button(key="pocket make").click().run(timeout=120)
    assert not page.exception and saves()
    checked(page.run())
    assert saves()  # not worked out again


def cards(page):
    return [one.proto.label for one in page.get("download_button") if one.proto.label.startswith("Card")]


def nothing_to_ride_by(page):
    shown = " ".join(unmarked(one.value) for one in page.main.markdown)
    ridden = ("km/h", "mph", "Start ", "before the lip", "before the foot", "before the edge")
    return (
        any("not today" in error.value.lower() for error in page.main.error) and not page.get("image") and not figures_of(page)
        and not cards(page) and not any(text in shown for text in ridden)
    )  # fmt: skip


def opened_by_link(**parameters):
    page = AppTest.from_file(str(ROOT / "app.py"), default_timeout=60)
    for name, value in parameters.items():
        page.query_params[name] = value
    return checked(page.run())


def test_wet_ground_is_refused_with_a_check_for_dry_enough_and_in_a_link_too():
    page = opened(way="ride")
    checked(page.selectbox(key="ride surface").set_value("wet grass or clay").run())
    assert nothing_to_ride_by(page)
    said = unmarked(page.main.error[0].value)
    for check in ("sticks", "heel", "water", "common practice, no source"):
        assert check in said
    again = opened_by_link(line=page.query_params["line"], way="ride")
    assert nothing_to_ride_by(again)
    checked(page.selectbox(key="ride surface").set_value("hardpack").run())
    assert not page.main.error and figures_of(page) and cards(page)


def test_a_strong_side_wind_leaves_nothing_to_ride_by():
    page = opened(groups=["Air and wind"], way="ride")
    checked(page.number_input(key="in air.crosswind_kmh").set_value(30.0).run())
    assert any("not today" in error.value.lower() for error in page.main.error)
    assert not page.get("image") and not figures_of(page) and not cards(page)


@pytest.mark.parametrize("other", ["loose or fresh dirt", "wet grass or clay"])
def test_what_was_typed_for_the_ground_comes_back_with_it(other):
    page = opened("two_in_a_row", groups=["Run-in", "Runout"], way="ride")
    for path, value in (("run_in.rolling_resistance", 0.023), ("jump[1].runout.grip", 0.41)):
        checked(page.number_input(key=f"in {path}").set_value(value).run())
    before = dict(page.session_state["typed"])
    checked(page.selectbox(key="ride surface").set_value(other).run())
    assert page.session_state["typed"]["run_in.rolling_resistance"] is None
    checked(page.number_input(key="in run_in.rolling_resistance").set_value(0.05).run())
    checked(page.selectbox(key="ride surface").set_value("hardpack").run())
    assert page.session_state["typed"] == before
    checked(page.selectbox(key="ride surface").set_value(other).run())
    assert page.session_state["typed"]["run_in.rolling_resistance"] == 0.05


def test_what_was_put_aside_belongs_to_its_line():
    page = opened(groups=["Run-in"], way="ride")
    checked(page.number_input(key="in run_in.rolling_resistance").set_value(0.023).run())
    checked(page.selectbox(key="ride surface").set_value("gravel").run())
    checked(page.selectbox(key="example").set_value("short_run_in").run())
    before = dict(page.session_state["typed"])
    checked(page.selectbox(key="ride surface").set_value("gravel").run())
    checked(page.selectbox(key="ride surface").set_value("hardpack").run())
    assert page.session_state["typed"]["run_in.rolling_resistance"] == before["run_in.rolling_resistance"]


def test_the_rider_is_told_mark_speed_and_last_place_to_stop_in_this_order():
    page = opened(way="ride")
    jump, metric = solve(read_line(ROOT / "examples" / "first_gap.toml")).jumps[0], Reader.metric
    told = re.sub(r"<[^>]+>", " ", figures_of(page))
    stop = metric.length(jump.abort.last) if jump.abort.exists else "nowhere"
    wanted = [metric.length(jump.run_in.marks[1]), metric.speed(jump.window.foot.aim), "Last place to stop", stop]
    places = [told.index(text) for text in wanted]
    assert places == sorted(places)


def test_after_a_file_is_loaded_the_page_says_which():
    page = uploaded("mine.toml", (ROOT / "examples" / "low_drop.toml").read_bytes().replace(b"gap_m = 2.0", b"gap_m = 2.1"))
    other = AppTest.from_file(str(ROOT / "app.py"), default_timeout=60)
    for name in ("typed", "jumps", "units", "example", "source", "round"):
        other.session_state[name] = page.session_state[name]
    assert any("Loaded from mine.toml" in unmarked(one.value) for one in checked(other.run()).markdown)
    checked(other.selectbox(key="example").set_value("step_up_table").run())
    assert not any("Loaded from" in one.value for one in other.markdown)


PAGE = [*sorted((ROOT / "jumpcalc" / "show" / "page").glob("*.py")), ROOT / "app.py"]


def test_state_and_address_are_touched_in_one_file_alone():
    for path in PAGE:
        if path.name == "names.py":
            continue
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.Attribute):
                assert node.attr not in ("session_state", "query_params"), (path.name, node.lineno)
            if isinstance(node, ast.Call) and ast.unparse(node.func).startswith(("st.", "left.", "right.", "_component")):
                for key in (word.value for word in node.keywords if word.arg == "key"):
                    assert ast.unparse(key).endswith(".name"), (path.name, key.lineno)


def test_every_name_is_declared_once_with_what_it_means_and_how_long_it_lives():
    kept, parameters = list(names.declared(names.Kept)), list(names.declared(names.Parameter))
    for kind in (names.Kept, names.Parameter, names.Family, names.Place):
        each = list(names.declared(kind))
        called = [getattr(one, "name", None) or one.prefix for one in each]
        assert len(called) == len(set(called)) and all(one.means for one in each)
    assert all((one.lives is names.Lives.LINK) == (one.by is not None) for one in kept)
    assert {one.by.name for one in kept if one.by} == {one.name for one in parameters}


def test_nothing_is_kept_that_is_not_declared():
    page = opened("two_in_a_row", groups=inputs.GROUPS)
    for way in ("ride", "explain", "size"):
        _switched(page, way)
    known = {one.name for one in names.declared(names.Kept)}
    prefixes = tuple(f"{one.prefix} " for one in names.declared(names.Family))
    for key in page.session_state._state.filtered_state:
        assert key in known or key.startswith(prefixes), key


def test_where_it_touched_belongs_to_one_jump():
    page = opened("two_in_a_row", way="explain")
    checked(page.number_input(key="explain far").set_value(0.5).run())
    assert "Why" in titles(page)
    checked(page.selectbox(key="jump").set_value(2).run())
    assert page.number_input(key="explain far").value is None and "Why" not in titles(page)
    checked(page.number_input(key="explain far").set_value(0.5).run())
    checked(page.selectbox(key="example").set_value("first_gap").run())
    assert page.number_input(key="explain far").value is None


def test_a_mark_on_a_run_in_that_is_not_measured_is_answered():
    page = opened(groups=["Run-in"], way="ride")
    checked(page.number_input(key="ride mark field").set_value(28.0).run())
    checked(page.selectbox(key="how run_in").set_value("not measured").run())
    assert any("not measured" in one.value and "start mark" in one.value for one in page.warning)


def test_a_mark_off_the_run_in_is_refused_in_the_units_on_the_screen():
    page = opened(way="ride")
    checked(page.radio(key="units").set_value("imperial").run())
    checked(page.number_input(key="ride mark field").set_value(900.0).run())
    said = unmarked(page.main.error[0].value)
    assert "900 ft" in said and "109 ft" in said and not re.search(r"\d m\b", said)


def test_names_stay_on_their_line():
    page = opened()
    page.session_state["typed"]["title"] = "one\n===\ntwo | # three"
    checked(page.run())
    assert any(unmarked(one.value).startswith(":small[one === two | # three]") for one in page.markdown)


def test_another_bike_brings_what_belongs_to_it_and_the_first_one_comes_back():
    page = opened(way="ride")
    before = dict(page.session_state["typed"])
    assert before["bike.wheelbase_m"] == 1.17
    checked(page.selectbox(key="ride bike").set_value("dirt jump").run())
    assert built_from(page) == with_bike(read_line(ROOT / "examples" / "first_gap.toml"), "dirt jump")
    checked(page.selectbox(key="ride bike").set_value("hardtail").run())
    assert page.session_state["typed"] == before


@pytest.mark.parametrize("back", ["as typed with the line", "gusty, or not sure"])
def test_the_wind_of_the_line_comes_back(back):
    page = opened(groups=["Air and wind"], way="ride")
    checked(page.number_input(key="in air.tailwind_kmh").set_value(4.0).run())
    before = dict(page.session_state["typed"])
    for seen in ("leaves and twigs move, from behind", "leaves and twigs move, from the left"):
        checked(page.selectbox(key="ride wind").set_value(seen).run())
        assert page.session_state["typed"] != before
    checked(page.selectbox(key="ride wind").set_value(back).run())
    assert page.session_state["typed"] == before


def test_the_hill_is_ridden_from_the_mark_that_is_advised_or_ones_own():
    page = opened("two_in_a_row", way="ride")

    def told():
        return "\n".join(unmarked(one.value) for one in page.markdown)

    mark = solve(read_line(ROOT / "examples" / "two_in_a_row.toml")).jumps[0].run_in.marks[1]
    assert f"The ride from the aim's start mark, {Reader.metric.length(mark)} before the foot of the lip" in told()
    assert told().count("| both wheels on the landing |") == 2
    checked(page.number_input(key="ride mark field").set_value(37.0).run())
    assert "The ride from your start mark, 37.0 m before the foot of the lip" in told()
    assert told().count("| front wheel past the landing |") >= 1
    checked(page.number_input(key="ride mark field").set_value(1.0).run())
    assert "comes to a halt" in told()
