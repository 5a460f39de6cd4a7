"""The pocket card: its rows are nothing but answers, and its pages hold what a rider must have in the pocket.

Page size: ISO 216, A6 is 105 × 148 mm. Type of at least 8 pt: the least that this project prints. Wind that moves leaves and
twigs taken as 10 km/h, damp ground as midway to the next softer surface: common practice and assumption, no source.
"""

import io
import math
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import matplotlib
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from pypdf import PdfReader

from jumpcalc import solve
from jumpcalc.plan.ask.from_mark import from_mark
from jumpcalc.plan.inputs.dug import Piece, RunIn, Runout
from jumpcalc.plan.inputs.line import Air
from jumpcalc.plan.studies.card import card, damped
from jumpcalc.plan.studies.rideable import marks, refused
from jumpcalc.plan.vary import vary
from jumpcalc.show.files.examples import is_example
from jumpcalc.show.files.linefile import parse_line, read_line
from jumpcalc.show.paper import card as sheet
from jumpcalc.show.paper.print_sheet import words_size
from jumpcalc.show.paper.print_type import STYLE
from jumpcalc.show.paper.svg import Words
from jumpcalc.show.words.card import answer, row_cells
from jumpcalc.show.words.cautions import CAUTIONS, CHECKLIST
from jumpcalc.show.words.numbers import Reader

ROOT = Path(__file__).parents[1]
NAMES = ("first_gap", "low_drop", "short_run_in", "two_in_a_row", "dirt_jump_bike", "step_up_table")
FIRST = read_line(ROOT / "examples" / "first_gap.toml")
PAIR = read_line(ROOT / "examples" / "two_in_a_row.toml")
NO_WINDOW = parse_line(
    'title = "steep"\n[[jump]]\nlip = { angle_deg = 28, radius_m = 5 }\n'
    'landing = { gap_m = 3, angle_deg = 20, length_m = 1 }'
)
NOT_MEASURED = replace(FIRST, run_in=RunIn(), jumps=(replace(FIRST.jumps[0], runout=Runout()),))
LONG = replace(
    FIRST,
    title="The very long name of a line $x_1$ 木 \n" * 20,
    measured_on="some day " * 40,
    jumps=(
        replace(
            FIRST.jumps[0],
            lip=replace(FIRST.jumps[0].lip, angle=0.84, radius=2.5, straight=0.0),
            landing=replace(FIRST.jumps[0].landing, gap=2.5, exit_radius=None, width=None),
        ),
    ),
)
WET = replace(FIRST, run_in=replace(FIRST.run_in, surface="wet grass or clay"))
OTHER = {"no window": NO_WINDOW, "not measured": NOT_MEASURED, "much to say": LONG, "wet": WET}
KMH = 1 / 3.6


@cache
def made(name):
    line = OTHER.get(name) or read_line(ROOT / "examples" / f"{name}.toml")
    return card(line, example=is_example(line))


@cache
def pages_of(name, reader=Reader.metric):
    return sheet.pages(made(name), reader)


@cache
def figures_of(name, reader=Reader.metric):
    return pages_of(name, reader).figures()


def texts_of(figures):
    """What stands on each page; that a PDF holds all of it is tested once."""
    return [" ".join(" ".join(piece.get_text() for piece in page.texts).split()) for page in figures]


@cache
def texts(name, reader=Reader.metric):
    return texts_of(figures_of(name, reader))


def text_of(name, reader=Reader.metric):
    return " ".join(texts(name, reader))


def told(row, reader=Reader.metric):
    return [reader.text(part.text) for column in row_cells(row) for part in column]


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
        found, jump = solve(changed), row.answer.jumps[0]
        assert jump.window.foot.aim == pytest.approx(found.jumps[0].window.foot.aim, rel=1e-9)
        assert jump.stop.margin == pytest.approx(found.jumps[0].stop.margin, rel=1e-6)
        assert jump.abort == found.jumps[0].abort
        if found.jumps[0].run_in.span is not None:
            assert row.marks.mark == pytest.approx(found.jumps[0].run_in.marks[1], rel=1e-9)


def test_all_jumps_of_a_line_are_on_it_and_its_marks_ride_all_of_them_clean():
    """Ridden once from the marks of all rows, clean; here from those of one on dry and one on damp ground."""
    found = made("two_in_a_row")
    assert found.answer == solve(PAIR)
    # a mark is missing only where the run-in ends before the aim does: then by how much is told, and no mark in its place
    for row in found.rows:
        first = row.answer.jumps[0].run_in
        assert (row.marks is None) == (row.refused is not None or first.short_of_aim is not None), (row.ground, row.wind)
    assert "too short by" in " ".join(texts("two_in_a_row")[0].split())
    rows = {(row.ground, row.wind): row for row in found.rows}
    for row in (rows["dry", "still air"], rows["damp", "still air"]):
        slow, aim, fast = row.marks.foot
        for mark, speed in zip((row.marks.short, row.marks.mark, row.marks.long), (slow + 1e-3, aim, fast - 1e-3), strict=True):
            on = started_at(row.answer.line, speed)
            assert [step.landing.outcome for step in on.ride.steps] == ["clean", "clean"] and on.ride.ended_by is None
            assert from_mark(row.answer.line, mark).foot_speed == pytest.approx(speed, abs=2e-3)
        assert len(row.arrives) == 2
    pages = texts("two_in_a_row")
    assert "Jump 1 of 2: setup table" in pages[0] and "Jump 2 of 2: second gap" in pages[1]


def started_at(line, speed):
    """The line solved with a run-in of no length, rolled in at that speed at the foot."""
    from jumpcalc.physics.ground import end_slope
    from jumpcalc.plan.inputs.assume import ground_pieces

    slope = end_slope(ground_pieces(line.run_in, "run-in"))
    here = replace(line.run_in, stakes=None, pieces=(Piece(length=0.02, slope=slope),), strokes=0, start_speed=speed)
    return solve(replace(line, run_in=here))


def test_a_line_s_own_wind_is_put_aside_in_the_rows_and_kept_in_the_headline():
    windy = replace(FIRST, air=replace(FIRST.air, tailwind=3.0, crosswind=2.0))
    found = card(windy)
    assert found.answer == solve(windy)
    assert [row.answer.jumps for row in found.rows] == [row.answer.jumps for row in made("first_gap").rows]
    assert found.answer.jumps[0].window.foot.aim != found.rows[0].answer.jumps[0].window.foot.aim


@pytest.mark.parametrize("name", ["first_gap", "two_in_a_row"])
def test_damp_ground_and_headwind_ask_for_a_higher_start(name):
    rows = {(row.ground, row.wind): row for row in made(name).rows}
    aims = {key: row.answer.jumps[0].run_in.marks[1] for key, row in rows.items()}
    assert aims["damp", "tailwind"] > aims["dry", "tailwind"] and aims["dry", "still air"] > aims["dry", "tailwind"]
    # where there is no mark, the top is too low: higher still
    ahead = rows["dry", "headwind"].answer.jumps[0].run_in
    assert ahead.missing > 0 if ahead.span is None else ahead.marks[1] > aims["dry", "still air"]
    for wind in ("still air", "headwind", "tailwind"):
        damp, dry = (rows[ground, wind].answer.jumps[-1].stop.margin for ground in ("damp", "dry"))
        assert damp < dry


def test_damp_ground_scales_what_was_measured_and_is_not_said_of_wood_or_wet_ground():
    own = damped(RunIn(surface="hardpack", rolling_resistance=0.05, grip=None))
    assert (own.rolling_resistance, own.grip) == (pytest.approx(0.075), pytest.approx(0.30))
    both = damped(Runout(rolling_resistance=0.28, grip=0.02))
    assert (both.rolling_resistance, both.grip) == (0.3, 0.02)  # bounds of the inputs
    wood = card(replace(FIRST, run_in=replace(FIRST.run_in, surface="dry wood")))
    assert [row.ground for row in wood.rows] == ["dry"] * 3 and wood.damp == ()
    assert all(row.answer.jumps[0].abort is None for row in wood.rows)
    assert damped(RunIn(surface="dry wood")) is None and damped(RunIn(surface="wet grass or clay")) is None


@pytest.mark.parametrize("reader", Reader)
@pytest.mark.parametrize("name", [*NAMES, *OTHER])
def test_the_pages_hold_what_must_be_in_the_pocket(name, reader):
    found, text = made(name), text_of(name, reader)
    assert found.answer.fingerprint in text and found.answer.model_date in text
    for caution in CAUTIONS:
        assert caution in text
    for check in CHECKLIST:
        assert check in text
    for page in texts(name, reader):
        assert "A model's numbers, not a permit" in page
        assert ("EXAMPLE" in page) == found.example
    assert reader.text(answer(found, 0)) in text
    factor, metres = (1 / 0.44704, 0.3048) if reader is Reader.imperial else (3.6, 1.0)
    for row in found.rows:
        jump = row.answer.jumps[0]
        if row.refused is not None or len(row.answer.jumps) > 1 or jump.run_in is None or jump.run_in.span is None:
            continue
        speeds = jump.window.speeds if jump.shape == "drop" else jump.window.foot
        # rounded inward, so that what is printed lands clean
        low, high = math.ceil(10 * factor * speeds.min - 1e-6) / 10, math.floor(10 * factor * speeds.max + 1e-6) / 10
        mark = row.marks.mark / metres
        shown = f"{mark:.{0 if reader is Reader.imperial and mark >= 30 else 1}f}"
        assert {f"({low:.1f}–{high:.1f})", f"{factor * speeds.aim:.1f}", shown} <= set(told(row, reader))
    assert not re.search(r"\b(safe|go|nan|None|inf)\b", text)


@pytest.mark.parametrize("reader", Reader)
@pytest.mark.parametrize("name", [*NAMES, *OTHER])
def test_pages_of_a6_in_large_enough_type_with_nothing_outside_and_nothing_overlapping(name, reader):
    with matplotlib.rc_context(STYLE):
        for page in figures_of(name, reader):
            assert 25.4 * page.get_size_inches() == pytest.approx((105, 148), abs=0.01)
            page.canvas = FigureCanvasAgg(page)
            renderer = page.canvas.get_renderer()
            texts = [t for t in page.texts if t.get_text() != "EXAMPLE"]
            assert min(t.get_fontsize() for t in page.texts) >= 8
            boxes = [(t.get_text(), t.get_window_extent(renderer)) for t in texts]
            width, height = page.bbox.width, page.bbox.height
            for text, extent in boxes:
                assert 0.03 * width < extent.x0 and extent.x1 < 0.97 * width, text
                assert 0.02 * height < extent.y0 and extent.y1 < 0.98 * height, text
            for i, (text, one) in enumerate(boxes):
                for other, two in boxes[i + 1 :]:
                    # descenders may touch the line below by a hair
                    apart = one.x1 <= two.x0 or two.x1 <= one.x0 or one.y0 >= two.y1 - 3 or two.y0 >= one.y1 - 3
                    assert apart, (text, other)


@pytest.mark.parametrize("name", NAMES)
def test_each_jump_is_drawn_to_scale_with_words_as_wide_as_was_planned(name):
    made_pages = pages_of(name)
    drawn = [placed for page in made_pages._pages for placed in page.sheets]
    assert len(drawn) == len(made(name).answer.jumps)
    for drawing, x, y, scale in drawn:
        assert x >= made_pages.edge and x + scale * drawing.width <= made_pages.width - made_pages.edge + 1e-6
        assert y + scale * drawing.height <= made_pages.height - made_pages.edge
        for words in drawing.all(Words):
            assert words_size(words, scale) >= 8, words.text
            left, top, right, bottom = words.box
            assert left >= 0 and top >= 0 and right <= drawing.width and bottom <= drawing.height, words.text


@pytest.mark.parametrize("name", ["two_in_a_row", "much to say"])
def test_a_pdf_is_as_large_and_holds_the_text_of_its_pages(name):
    """Run once on all the lines here: nothing was lost on any."""
    pages = PdfReader(io.BytesIO(pages_of(name).pdf())).pages
    for page, drawn in zip(pages, figures_of(name), strict=True):
        box, text = page.mediabox, " ".join(page.extract_text().split())
        assert (float(box.width) / 72 * 25.4, float(box.height) / 72 * 25.4) == pytest.approx((105, 148), abs=0.01)
        for piece in drawn.texts:
            assert " ".join(piece.get_text().split()) in text


def test_the_first_page_has_marks_and_drawing():
    for name in ("first_gap", "step_up_table", "short_run_in", "two_in_a_row"):
        assert pages_of(name)._pages[0].sheets, name


@pytest.mark.parametrize("name", NAMES)
def test_dates_are_on_the_card(name):
    assert f"Measured on {made(name).answer.line.measured_on}" in text_of(name)


def test_a_long_title_is_shortened_and_all_there_is_to_look_at_is_said():
    text, found = text_of("much to say"), made("much to say").answer
    assert "…" in text and "The very long name of a line $x_1$ ?" in text
    assert len(found.warnings) >= 4
    assert "Look at" in text and "ends in a kink" in text and "start lower, or brake" in text


def test_a_line_without_a_window_makes_a_card_that_says_so():
    assert text_of("no window").count("do not ride: no speed lands clean") == 6
    assert "Do not ride: no speed lands clean." in text_of("no window")


def test_a_line_without_run_in_and_runout_makes_a_card_that_says_so():
    text = text_of("not measured")
    assert text.count("run-in not measured") == 6
    assert text.count("not known") >= 6
    assert made("not measured").rows[0].marks is None


def test_a_run_in_that_is_too_short_is_said_with_what_is_missing():
    for row in made("short_run_in").rows:
        if row.refused is None:
            assert row.marks is None and {"too short", f"by {3.6 * row.answer.jumps[0].run_in.missing:.1f} km/h"} <= set(told(row))


def test_a_run_in_that_ends_a_little_before_the_aim_is_started_from_its_top():
    """The first gap in a little wind from ahead; `tests/test_run_in.py` rides what lands from there."""
    row = made("first_gap").rows[0]
    ahead = solve(vary(FIRST, {"air.tailwind_kmh": -3, "air.crosswind_kmh": 0}))
    found = ahead.jumps[0].run_in
    assert found.from_top and row.marks.mark < found.length
    row = replace(row, answer=ahead, marks=marks(ahead))
    shown = told(row)
    at = shown.index(f"{found.length:.1f}")
    assert "to top" in shown[at + 1]
    assert shown[at + 2] == f"{found.foot_speed * 3.6:.1f}" and shown[at + 4] == "none" and not ahead.jumps[0].abort.exists


def test_missing_room_is_never_shown_as_room():
    runout = FIRST.jumps[0].runout
    short = replace(runout, pieces=(runout.pieces[0], Piece(length=8.0, slope=0.0)))
    found = card(replace(FIRST, jumps=(replace(FIRST.jumps[0], runout=short),)))
    for row in found.rows:
        assert row.refused.why == "no room" and row.refused.missing == -row.answer.jumps[0].stop.margin
        assert told(row)[2:] == [f"do not ride: {row.refused.missing:.1f} m to stop are missing"]
    text = " ".join(texts_of(sheet.pages(found).figures()))
    assert "Do not ride:" in text and not re.search(r"Ride at|km/h (just|at)", text)


def test_before_the_next_jump_nobody_stops():
    assert all(row.answer.jumps[0].stop.margin < 0 for row in made("two_in_a_row").rows)
    assert "leaves by the way round it" in text_of("two_in_a_row")


@pytest.mark.parametrize("line, why", [
    (WET, "today"),
    (replace(FIRST, jumps=(replace(FIRST.jumps[0], runout=replace(FIRST.jumps[0].runout, surface="wet grass or clay")),)), "today"),
    (replace(FIRST, air=replace(FIRST.air, crosswind=9.0)), "today"),
])  # fmt: skip
def test_nothing_to_ride_by_stands_on_the_card_of_no_day_to_ride(line, why):
    found = card(line)
    assert found.refused.why == why and found.rows == ()
    text = " ".join(texts_of(sheet.pages(found).figures()))
    assert "Not today:" in text and not re.search(r"Ride at|It takes|before lip|last stop|just before", text)


def test_reasons_not_to_ride():
    assert refused(solve(NO_WINDOW)).why == "no speed"
    far = replace(FIRST, jumps=(replace(FIRST.jumps[0], landing=replace(FIRST.jumps[0].landing, gap=20.0, length=9.0)),))
    assert refused(solve(far)).why == "outside"
    downhill = replace(FIRST.jumps[0].runout, pieces=(Piece(length=40.0, slope=-0.35),))
    assert refused(solve(replace(FIRST, jumps=(replace(FIRST.jumps[0], runout=downhill),)))).why == "no stop"
    assert refused(solve(FIRST)) is None and refused(solve(NOT_MEASURED)) is None
    assert marks(solve(NOT_MEASURED)) is None


def test_a_line_of_one_s_own_is_no_example():
    assert is_example(FIRST)
    mine = replace(FIRST, jumps=(replace(FIRST.jumps[0], landing=replace(FIRST.jumps[0].landing, gap=4.3)),))
    assert not is_example(mine)
    assert is_example(replace(FIRST, air=Air()))
    assert is_example(replace(mine, jumps=(*mine.jumps, *FIRST.jumps)))
