"""Smaller and larger gaps, and how far off the next feature belongs."""

import itertools
import math
from dataclasses import replace
from pathlib import Path

import pytest

from jumpcalc import solve
from jumpcalc.plan.studies.sizes import next_foot, sizes
from jumpcalc.show.files.linefile import parse_line, read_line
from jumpcalc.show.words import sizes as size_words
from jumpcalc.show.words.numbers import Reader

EXAMPLES = Path(__file__).parent.parent / "examples"
NAMES = ("first_gap", "low_drop", "short_run_in", "two_in_a_row")


@pytest.fixture(scope="module", params=[(name, 0) for name in NAMES] + [("two_in_a_row", 1)], ids=lambda p: f"{p[0]} {p[1] + 1}")
def case(request):
    name, index = request.param
    answer = solve(read_line(EXAMPLES / f"{name}.toml"))
    return answer, index, sizes(answer, index)


def test_the_jump_as_it_is_stands_among_them(case):
    answer, index, found = case
    jump, gap = answer.jumps[index], answer.line.jumps[index].landing.gap
    (here,) = [size for size in found if size.gap == gap]
    assert here.speeds == (jump.window.speeds if jump.shape == "drop" else jump.window.foot)
    assert here.spare == (jump.stop.margin if jump.way_out is None else None)
    if index == 0:
        assert here.start == jump.run_in.marks[1]


def test_a_larger_gap_asks_for_more_speed_and_a_longer_run_in(case):
    _, _, found = case
    assert len(found) >= 3
    lands = [size for size in found if size.speeds is not None]
    for smaller, larger in itertools.pairwise(lands):
        assert larger.gap > smaller.gap
        assert larger.speeds.min > smaller.speeds.min and larger.speeds.aim > smaller.speeds.aim
        if smaller.start is not None and larger.start is not None:
            assert larger.start > smaller.start
        assert not (smaller.missing is not None and larger.start is not None)


def test_level_and_without_air_the_speed_grows_with_the_root_of_the_distance():
    """Textbook: a point that leaves and lands at one height flies v² sin 2θ/g."""
    text = (
        "[[jump]]\nshape = 'tabletop'\nlip = { angle_deg = 30, radius_m = 5 }\n"
        "landing = { gap_m = 4, drop_m = 0, angle_deg = 1e-9, length_m = 6 }\n"
        "[rider]\npath = 'point'\ndrag_area_m2 = 0.01\n[air]\naltitude_m = 4000\n[limits]\nequivalent_fall_m = 3\n"
    )
    answer = solve(parse_line(text))
    half = answer.complete.bike.wheelbase / 2
    for size in sizes(answer, 0):
        other = replace(answer.line.jumps[0], landing=replace(answer.line.jumps[0].landing, gap=size.gap))
        edge = solve(replace(answer.line, jumps=(other,))).jumps[0].window.speeds
        assert edge.min == pytest.approx(math.sqrt(9.80665 * (size.gap + half) / math.sin(math.radians(60))), rel=2e-3)
        assert size.speeds.min > edge.min


def test_the_next_foot_is_where_the_front_wheel_stands(case):
    answer, index, _ = case
    jump, line = answer.jumps[index], answer.complete
    face = line.jumps[index].landing.length
    room = next_foot(answer, index)
    # a runout that ends just there has nothing to spare
    one = line.jumps[index]
    ground = sum(piece.length if piece.length is not None else 0.0 for piece in one.runout.pieces or ())
    assert room > 0
    stands = jump.landings[-1].along_face + jump.stop.total + line.bike.wheelbase / 2
    assert room == pytest.approx(stands - face, abs=1e-9)
    end = stands + jump.stop.margin - face
    assert end == pytest.approx(room + jump.stop.margin, abs=1e-9)
    assert ground <= 0 or end >= ground - 1e-6  # the curve out of the landing lies before the measured pieces


def test_without_a_measured_runout_nothing_is_said():
    text = "[[jump]]\nlip = { angle_deg = 28, radius_m = 5 }\nlanding = { gap_m = 4, angle_deg = 24, length_m = 4.5 }"
    answer = solve(parse_line(text))
    assert next_foot(answer, 0) is None and size_words.spacing(answer, 0) == ""
    (row, *_) = [size_words.size_row(size, run_in=False, last=True) for size in sizes(answer, 0)]
    assert row[-1] == "not known"


def test_where_every_start_is_too_fast_the_row_says_so():
    line = read_line(EXAMPLES / "first_gap.toml")
    found = sizes(solve(replace(line, run_in=replace(line.run_in, start_speed=9.0))), 0)
    cells = [size_words.size_row(size, run_in=True, last=True)[3] for size in found]
    assert "too fast from any start" in cells and "not measured" not in cells


def test_gaps_that_cannot_be_are_left_out_and_one_that_nobody_lands_says_why():
    text = "[[jump]]\nlip = { angle_deg = 28, radius_m = 5 }\nlanding = { gap_m = 0.8, drop_m = -0.3, angle_deg = 24, length_m = 4.5 }"
    found = sizes(solve(parse_line(text)), 0)
    assert [size.gap for size in found] == pytest.approx([0.8, 1.3, 1.8])
    none = [size for size in found if size.speeds is None]
    for size in none:
        assert size_words.size_row(size, run_in=False, last=True)[1] == "none"


@pytest.mark.parametrize(("reader", "unit"), [(Reader.metric, "km/h"), (Reader.imperial, "mph")])
def test_rows_have_a_cell_for_each_column(case, reader, unit):
    answer, index, found = case
    for columns in ({"run_in": True, "last": True}, {"run_in": False, "last": False}):
        head = size_words.size_head(drop=answer.jumps[index].shape == "drop", **columns)
        assert reader.text(head[2]).endswith(unit)
        for size in found:
            row = reader.texts(size_words.size_row(size, **columns))
            assert len(row) == len(head) and all(row)
            assert "nan" not in " ".join(row)
            if size.speeds is not None:
                assert float(row[2]) == pytest.approx(size.speeds.aim * (3.6 if reader is Reader.metric else 3600 / 1609.344), abs=0.051)
