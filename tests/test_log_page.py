"""The log on the page: tries are written down, kept where they belong, and teach."""

from dataclasses import replace

import pytest
from test_page import checked, opened, titles, unmarked

from jumpcalc.plan.studies.field.tries import Try
from jumpcalc.plan.views.lesson import curve_view, narrowed_view, off_view
from jumpcalc.show.files.examples import FOLDER
from jumpcalc.show.files.linefile import read_line
from jumpcalc.show.files.logs import log_of
from jumpcalc.show.files.tries_read import read_tries
from jumpcalc.show.page import asked, log
from jumpcalc.show.page.address import encoded
from jumpcalc.show.paper import lesson as draw
from jumpcalc.show.paper.svg import Dot, Line, Words
from jumpcalc.show.words.numbers import Reader

LINE = read_line(FOLDER / "first_gap.toml")
TRIES = read_tries(FOLDER / "first_gap_blunders.csv").tries


@pytest.fixture
def page():
    return opened(way="check")


def text(page):
    return unmarked(" ".join(one.value for kind in (page.main.markdown, page.main.info, page.main.warning) for one in kind))


def written(page, **fields):
    for name, value in fields.items():
        kind = {"outcome": page.selectbox, "measured": page.selectbox, "rider": page.text_input}.get(name, page.number_input)
        box = kind(key=f"try {name}").set_value(value)
        if kind == page.selectbox:  # which fields there are depends on it
            box.run()
    return checked(page.button(key="log add").click().run())


def test_a_try_is_written_down_and_is_the_visitors_own(page):
    assert "Tries" in titles(page) and "Nothing is stored here" in text(page)
    written(page, start_mark=32.0, touched=1.2, rider="Jo")
    one = page.session_state["tries"][0]
    assert one == Try(date=one.date, start_mark=32.0, touched=1.2, rider="Jo", fingerprint=one.fingerprint) and one.fingerprint
    assert "are in no file yet" in text(page) and page.session_state["tries new"]
    assert page.number_input(key="try start_mark").value is None and page.text_input(key="try rider").value == "Jo"


def test_what_is_no_try_is_said_and_stays_in_the_form(page):
    written(page, start_mark=31.0)
    assert "Not written down" in text(page) and "tries" not in page.session_state
    assert page.number_input(key="try start_mark").value == 31.0
    written(page, measured="wheel sensor", speed=34.0)
    assert "Measured before the foot by: not given" in text(page)
    written(page, before_foot=1.0)
    assert page.session_state["tries"][0].measured == "wheel sensor"


def test_on_ones_own_machine_tries_are_kept_in_the_data_folder(page, monkeypatch, tmp_path):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.setattr(log, "own_machine", lambda: True)
    written(page, start_mark=32.0, outcome="clean")
    assert [one.outcome for one in read_tries(log_of(LINE)).tries] == ["clean"]
    assert f"Kept on this machine in {log_of(LINE)}" in text(page) and "are in no file yet" not in text(page)


def test_a_page_behind_a_proxy_is_nobodys_own_machine():
    assert not log.own_machine()  # no browser, no name it was asked by


def test_the_lesson_stands_on_the_page(page):
    page.session_state["tries"] = TRIES
    checked(page.run())
    checked(page.checkbox(key="learn").check().run())
    assert {"The next try", "What these tries teach", "Not believed, or left out"} <= set(titles(page))
    assert "9 of 10 tries are expected" in text(page)


def test_drawings_of_the_lesson():
    found = asked.learned(LINE, TRIES)  # as the page keeps it
    view = curve_view(found)
    assert all(a < b for (a, _), (b, _) in zip(view.learned, view.learned[1:], strict=False))
    assert {one.number for one in view.tries} == {one.number for one in found.held if one.touched_seen is not None}
    sheets = [
        draw.curve(view, Reader.imperial, stamp="EXAMPLE"), draw.narrowed(narrowed_view(found), stamp="EXAMPLE"),
        draw.off(off_view(found), stamp="EXAMPLE"),
    ]  # fmt: skip
    for sheet in sheets:
        words = sheet.all(Words)
        assert any(one.text == "EXAMPLE" for one in words) and all(one.size >= 12 for one in words)
        for one in words:
            assert one.box[0] >= 0 and one.box[2] <= sheet.width and one.box[3] <= sheet.height, one.text
        assert "nan" not in sheet.svg()
    wrong = [dot for dot in sheets[2].all(Dot) if dot.color == draw.WRONG]
    assert len(wrong) >= 2
    for one, line in zip(narrowed_view(found), [line for line in sheets[1].all(Line) if line.name == "after"], strict=True):
        assert one.high - one.low == pytest.approx(2 * next(t.share for t in found.taught if (t.name, t.of) == (one.name, one.of)))
        assert line.points[1][0] > line.points[0][0]


def test_a_corrected_line_says_so_on_every_way_in_and_where_its_tries_are():
    line = replace(LINE, learned_from="5 tries of 2026-11-27")
    for way in ("size", "check", "ride"):
        page = opened(way=way, line=encoded(line))
        assert "corrected by 5 tries of 2026-11-27" in text(page), way
    assert "They stay in the log of the line as measured" in text(opened(way="check", line=encoded(line)))
