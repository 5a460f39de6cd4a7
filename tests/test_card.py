"""The pocket card: its rows are nothing but answers, and its page holds what a rider must have in the pocket.

Page size: ISO 216, A6 is 105 × 148 mm. Wind that moves leaves and twigs taken as 10 km/h, damp ground as midway to the
next softer surface: common practice and assumption, no source.
"""

import io
import math
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from pypdf import PdfReader

from jumpcalc import solve
from jumpcalc.plan.inputs.line import Air, Piece, RunIn, Runout
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.studies.card import card, damped
from jumpcalc.show.files.examples import is_example
from jumpcalc.show.files.linefile import parse_line, read_line
from jumpcalc.show.paper import card as sheet
from jumpcalc.show.words.card import cells
from jumpcalc.show.words.cautions import CAUTIONS, CHECKLIST
from jumpcalc.show.words.jump import headline
from jumpcalc.show.words.numbers import Reader

ROOT = Path(__file__).parents[1]
NAMES = ("first_gap", "low_drop", "short_run_in", "two_in_a_row")
FIRST = read_line(ROOT / "examples" / "first_gap.toml")
NO_WINDOW = parse_line(
    'title = "steep"\n[[jump]]\nlip = { angle_deg = 28, radius_m = 5 }\n'
    'landing = { gap_m = 3, angle_deg = 20, length_m = 1 }'
)
NOT_MEASURED = replace(FIRST, run_in=RunIn(), jumps=(replace(FIRST.jumps[0], runout=Runout()),))
LONG = replace(
    FIRST,
    title="The very long name of a line $x_1$ 木 \n" * 20,
    measured_on="some day " * 40,
    air=replace(FIRST.air, crosswind=8.0),
    jumps=(
        replace(
            FIRST.jumps[0],
            lip=replace(FIRST.jumps[0].lip, angle=0.84, radius=2.5, straight=0.0),
            landing=replace(FIRST.jumps[0].landing, gap=2.5, exit_radius=None),
        ),
    ),
)
OTHER = {"no window": NO_WINDOW, "not measured": NOT_MEASURED, "much to say": LONG}
KMH = 1 / 3.6


@cache
def made(name):
    line = OTHER.get(name) or read_line(ROOT / "examples" / f"{name}.toml")
    return card(line, example=is_example(line.jumps[0]))


@cache
def pdf_of(name, reader=Reader.metric):
    return sheet.pdf(made(name), reader)


@cache
def text_of(name, reader=Reader.metric):
    read = PdfReader(io.BytesIO(pdf_of(name, reader)))
    assert len(read.pages) == 1
    return " ".join(read.pages[0].extract_text().split())


def test_rows_are_answers_to_the_line_in_other_wind_and_on_other_ground():
    grounds = {
        "dry": (FIRST.run_in, FIRST.jumps[0].runout),
        # hardpack 0.020 and 0.35, loose 0.040 and 0.25 in the table of surfaces; midway by hand
        "damp": (
            replace(FIRST.run_in, surface=None, rolling_resistance=0.030, grip=0.30),
            replace(FIRST.jumps[0].runout, surface=None, rolling_resistance=0.030, grip=0.30),
        ),
    }
    winds = {"still air": 0.0, "headwind": -10 * KMH, "tailwind": 10 * KMH}
    rows = made("first_gap").rows
    assert [(row.ground, row.wind) for row in rows] == [(ground, wind) for ground in grounds for wind in winds]
    for row in rows:
        run_in, runout = grounds[row.ground]
        changed = replace(
            FIRST,
            air=replace(FIRST.air, tailwind=winds[row.wind], crosswind=0.0),
            run_in=run_in,
            jumps=(replace(FIRST.jumps[0], runout=runout),),
        )
        jump = solve(changed).jumps[0]
        assert row.foot.aim == pytest.approx(jump.window.foot.aim, rel=1e-9)
        assert row.room_after == pytest.approx(jump.stop.margin, rel=1e-6)
        assert (row.start is None) == (jump.run_in.span is None)
        if row.start is not None:
            assert row.start.mark == pytest.approx(jump.run_in.marks[1], rel=1e-9)
            assert row.roll_time == pytest.approx(jump.run_in.roll_times[1], rel=1e-9)
        assert row.last_stop == jump.abort


def test_a_line_of_several_jumps_gives_the_same_first_jump_as_the_whole_line():
    line = read_line(ROOT / "examples" / "two_in_a_row.toml")
    found = made("two_in_a_row")
    assert found.jump == solve(line).jumps[0]
    assert found.fingerprint == line.fingerprint
    assert "Only the first of 2 jumps" in text_of("two_in_a_row")


def test_a_line_s_own_wind_is_put_aside_in_the_rows_and_kept_in_the_headline():
    windy = replace(FIRST, air=replace(FIRST.air, tailwind=3.0, crosswind=2.0))
    found = card(windy)
    assert found.jump == solve(windy).jumps[0]
    assert [row.jump for row in found.rows] == [row.jump for row in made("first_gap").rows]
    assert found.jump.window.foot.aim != found.rows[0].foot.aim


@pytest.mark.parametrize("name", NAMES)
def test_spans_and_windows_are_in_order(name):
    rows = made(name).rows
    assert len(rows) == 6
    for row in rows:
        assert row.foot.min < row.foot.aim < row.foot.max
        if row.start is not None:
            assert row.start.short < row.start.mark < (row.start.long or 1e9)
        if row.last_stop is not None and row.last_stop.exists and row.start is not None:
            assert row.last_stop.last < row.start.mark


@pytest.mark.parametrize("name", ["first_gap", "two_in_a_row"])
def test_damp_ground_and_headwind_ask_for_a_higher_start(name):
    rows = {(row.ground, row.wind): row for row in made(name).rows}
    assert rows["damp", "tailwind"].start.mark > rows["dry", "tailwind"].start.mark
    assert rows["dry", "still air"].start.mark > rows["dry", "tailwind"].start.mark
    # where there is no mark, the top is too low: higher still
    ahead = rows["dry", "headwind"]
    assert ahead.jump.run_in.missing > 0 if ahead.start is None else ahead.start.mark > rows["dry", "still air"].start.mark
    for wind in ("still air", "headwind", "tailwind"):
        assert rows["damp", wind].room_after < rows["dry", wind].room_after


def test_damp_ground_scales_what_was_measured_and_is_not_said_of_wood_or_wet_ground():
    own = damped(RunIn(surface="hardpack", rolling_resistance=0.05, grip=None))
    assert (own.rolling_resistance, own.grip) == (pytest.approx(0.075), pytest.approx(0.30))
    both = damped(Runout(rolling_resistance=0.28, grip=0.02))
    assert (both.rolling_resistance, both.grip) == (0.3, 0.02)  # bounds of the inputs
    wood = card(replace(FIRST, run_in=replace(FIRST.run_in, surface="dry wood")))
    assert [row.ground for row in wood.rows] == ["dry"] * 3 and wood.damp == ()
    assert all(row.last_stop is None for row in wood.rows)
    wet = card(replace(FIRST, run_in=replace(FIRST.run_in, surface="wet grass or clay")))
    assert [row.ground for row in wet.rows] == ["wet"] * 3
    assert damped(RunIn(surface="dry wood")) is None


@pytest.mark.parametrize("reader", Reader)
@pytest.mark.parametrize("name", [*NAMES, *OTHER])
def test_the_page_holds_what_must_be_in_the_pocket(name, reader):
    found, text = made(name), text_of(name, reader)
    assert found.fingerprint in text and found.model_date in text
    for caution in CAUTIONS:
        assert caution in text
    for check in CHECKLIST:
        assert check in text
    assert reader.text(headline(found.jump)) in text
    assert "too slow · in the window · too fast" in text
    assert ("EXAMPLE" in text) == (name in NAMES or name == "not measured")
    factor, metres = (1 / 0.44704, 0.3048) if reader is Reader.imperial else (3.6, 1.0)
    for row in found.rows:
        if row.foot is not None:
            # rounded inward, so that what is printed lands clean
            low, high = math.ceil(10 * factor * row.foot.min - 1e-6) / 10, math.floor(10 * factor * row.foot.max + 1e-6) / 10
            assert f"({low:.1f}–{high:.1f})" in text
            assert f" {factor * row.foot.aim:.1f} " in text
        if row.start is not None:
            mark = row.start.mark / metres
            assert f" {mark:.{0 if reader is Reader.imperial and mark >= 30 else 1}f} (" in text
            assert f" {row.roll_time:.1f} " in text
    assert not re.search(r"\b(safe|go|nan|None|inf)\b", text)


@pytest.mark.parametrize("name", NAMES)
def test_no_text_is_lost_between_image_and_pdf(name):
    page = sheet.figure(made(name))
    text = text_of(name)
    for piece in page.texts:
        assert " ".join(piece.get_text().split()) in text


@pytest.mark.parametrize("name", NAMES)
def test_dates_are_on_the_card(name):
    assert f"Measured on {made(name).measured_on}" in text_of(name)


@pytest.mark.parametrize("name", [*NAMES, *OTHER])
def test_one_page_of_a6_with_nothing_outside_and_nothing_overlapping(name):
    for reader in Reader:
        box = PdfReader(io.BytesIO(pdf_of(name, reader))).pages[0].mediabox
        assert (float(box.width) / 72 * 25.4, float(box.height) / 72 * 25.4) == pytest.approx((105, 148), abs=0.01)
        page = sheet.figure(made(name), reader)
        renderer = FigureCanvasAgg(page).get_renderer()
        boxes = [(t.get_text(), t.get_window_extent(renderer)) for t in page.texts if t.get_text() != "EXAMPLE"]
        width, height = page.bbox.width, page.bbox.height
        for text, extent in boxes:
            assert 0.03 * width < extent.x0 and extent.x1 < 0.97 * width, text
            assert 0.02 * height < extent.y0 and extent.y1 < 0.98 * height, text
        for i, (text, one) in enumerate(boxes):
            for other, two in boxes[i + 1 :]:
                # descenders may touch the line below by a hair
                apart = one.x1 <= two.x0 or two.x1 <= one.x0 or one.y0 >= two.y1 - 2 or two.y0 >= one.y1 - 2
                assert apart, (text, other)
        # 4.3 pt is the smallest print that is still read at arm's length: common practice, no source
        assert min(t.get_fontsize() for t in page.texts) > 4.3


@pytest.mark.parametrize("name", NAMES)
def test_no_word_is_broken_on_the_examples(name):
    text = text_of(name)
    for word, count in {"headwind": 2, "tailwind": 3, "still air": 2, "damp": 3}.items():  # one tailwind in the notes
        assert len(re.findall(rf"\b{word}\b", text)) == count, word


def test_many_warnings_are_counted_where_they_do_not_fit():
    found = made("much to say")
    tight = tuple(Note(code=Code.ROOM_TO_STOP_IS_TIGHT, values=(("margin", 0.1 * i),)) for i in range(30))
    crowded = replace(found, answer=replace(found.answer, warnings=found.answer.warnings + tight))
    text = " ".join(PdfReader(io.BytesIO(sheet.pdf(crowded))).pages[0].extract_text().split())
    assert re.search(r"\b\d+ more in the full answer\.", text)
    assert all(caution in text for caution in CAUTIONS)


def test_a_long_title_is_shortened_and_says_so():
    text = text_of("much to say")
    assert "…" in text and "The very long name of a line $x_1$ ?" in text
    assert len(made("much to say").answer.warnings) >= 4
    assert "Look at:" in text


def test_a_line_without_a_window_makes_a_card_that_says_so():
    text = text_of("no window")
    assert text.count("no speed lands clean") == 6
    assert "No lip speed lands both wheels on the landing" in text


def test_a_line_without_run_in_and_runout_makes_a_card_that_says_so():
    text = text_of("not measured")
    assert text.count("run-in not measured") == 6
    assert text.count("not known") >= 12
    assert made("not measured").rows[0].roll_time is None and made("not measured").rows[0].room_after is None


def test_a_run_in_that_is_too_short_is_said_with_what_is_missing():
    text = text_of("short_run_in")
    for row in made("short_run_in").rows:
        assert f"too short for the aim by {3.6 * row.jump.run_in.missing:.1f} km/h" in text


def test_missing_room_is_never_shown_as_room():
    runout = FIRST.jumps[0].runout
    short = replace(runout, pieces=(runout.pieces[0], Piece(length=8.0, slope=0.0)))
    for row in card(replace(FIRST, jumps=(replace(FIRST.jumps[0], runout=short),))).rows:
        assert row.room_after < 0
        told = [Reader.metric.text(cell.text) for column in cells(row) for cell in column]
        assert "do not ride" in told and f"{-row.room_after:.1f} missing" in told


def test_before_the_next_jump_nobody_stops():
    assert all(row.room_after < 0 for row in made("two_in_a_row").rows)
    assert "none: next jump" in text_of("two_in_a_row") and "missing" not in text_of("two_in_a_row")


def test_the_same_card_gives_the_same_bytes():
    found = made("first_gap")
    again = card(FIRST, example=True)
    assert pdf_of("first_gap") == sheet.pdf(again)
    assert sheet.png(found) == sheet.png(again)
    assert pdf_of("first_gap") != pdf_of("first_gap", Reader.imperial)


def test_a_line_of_one_s_own_is_no_example():
    assert is_example(FIRST.jumps[0])
    mine = replace(FIRST, jumps=(replace(FIRST.jumps[0], landing=replace(FIRST.jumps[0].landing, gap=4.3)),))
    assert not is_example(mine.jumps[0])
    assert is_example(replace(FIRST, air=Air()).jumps[0])
