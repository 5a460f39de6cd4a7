"""Pointing at a landing: what a place on the drawing stands for, and back."""

import itertools
import math
from functools import cache
from pathlib import Path

import pytest
from crossings import crossed
from hypothesis import given
from hypothesis import strategies as st

from jumpcalc import solve
from jumpcalc.plan.ask.inverse import Place
from jumpcalc.plan.views.pick import pick_view, place_at
from jumpcalc.show.files.linefile import parse_line, read_line
from jumpcalc.show.paper.labels import WIDTH
from jumpcalc.show.paper.pick import landing, step_between
from jumpcalc.show.paper.svg import Line, Words
from jumpcalc.show.words.numbers import Reader

EXAMPLES = Path(__file__).parent.parent / "examples"
JUMPS = {name: read_line(EXAMPLES / f"{name}.toml") for name in ("first_gap", "step_up_table", "low_drop", "two_in_a_row")}
JUMPS["long face"] = parse_line(
    "[[jump]]\nlip = { angle_deg = 28, radius_m = 5 }\nlanding = { gap_m = 15, angle_deg = 24, length_m = 40 }"
)
JUMPS["none lands"] = parse_line(
    "[[jump]]\nlip = { angle_deg = 28, radius_m = 5 }\nlanding = { gap_m = 3, angle_deg = 20, length_m = 1 }"
)


@cache
def answer_to(name):
    return solve(JUMPS[name])


@pytest.mark.parametrize("name", JUMPS)
def test_down_the_face_it_is_the_length_of_a_tape_on_it(name):
    """Pythagoras from the knuckle: the face is straight."""
    answer = answer_to(name)
    jump = answer.complete.jumps[0].landing
    for along in (0.0, 0.3, 0.5 * jump.length, jump.length):
        x, z = jump.gap + along * math.cos(jump.angle), -jump.drop - along * math.sin(jump.angle)
        assert place_at(answer, 0, x, z).along == pytest.approx(along, abs=1e-9)
        # a finger above or below it means the ground over which it is
        assert place_at(answer, 0, x, z + 0.7).along == pytest.approx(along, abs=1e-9)


def test_before_the_knuckle_it_is_the_deck_the_floor_or_the_wall():
    table, gap, drop = (answer_to(name) for name in ("step_up_table", "first_gap", "low_drop"))
    deck = table.complete.jumps[0].landing
    assert place_at(table, 0, 0.0, 0.0).along == pytest.approx(-math.hypot(deck.gap, deck.drop), abs=1e-9)
    edge, knuckle = gap.complete.jumps[0].landing.gap, -gap.complete.jumps[0].landing.drop
    assert place_at(gap, 0, edge - 1.0, knuckle).along == pytest.approx(-1.0, abs=1e-9)
    assert place_at(gap, 0, edge - 0.1, knuckle - 0.4).wall
    assert not place_at(gap, 0, edge + 0.3, knuckle - 0.4).wall
    assert place_at(drop, 0, 0.5, -3.0).along == pytest.approx(0.5 - drop.complete.jumps[0].landing.gap, abs=1e-9)
    # nobody lands behind the edge
    assert place_at(gap, 0, -2.0, 0.0).along == pytest.approx(-edge, abs=1e-9)


@given(name=st.sampled_from(list(JUMPS)), along=st.floats(-1.5, 9.0), reader=st.sampled_from(Reader))
def test_what_is_marked_is_what_a_tap_on_the_mark_gives(name, along, reader):
    answer = answer_to(name)
    view = pick_view(answer, 0, Place(along=along), step=step_between(reader))
    sheet, frame = landing(view, reader)
    x, y = frame.at(*view.here)
    assert 0 < x < sheet.width and 0 < y < sheet.height
    tapped = place_at(answer, 0, *frame.place(x / sheet.width, y / sheet.height))
    assert not tapped.wall and tapped.along == pytest.approx(along, abs=1e-9)


@pytest.mark.parametrize("reader", Reader)
@pytest.mark.parametrize("name", JUMPS)
def test_the_drawing_has_its_distances_and_nothing_is_cut_off(name, reader):
    answer = answer_to(name)
    shape = answer.jumps[0].shape
    places = [None, Place(along=0.3), Place(along=2.0), Place(along=60.0), *([Place(wall=True)] if shape == "gap" else [])]
    for place in places:
        view = pick_view(answer, 0, place, step=step_between(reader))
        sheet, _ = landing(view, reader, stamp="EXAMPLE")
        assert sheet.width == WIDTH
        texts = sheet.all(Words)
        for text in texts:
            left, top, right, bottom = text.box
            assert left >= 0 and top >= 0 and right <= sheet.width and bottom <= sheet.height, text.text
        for one, other in itertools.combinations(texts, 2):
            a, b = one.box, other.box
            assert min(a[2], b[2]) - max(a[0], b[0]) < 1 or min(a[3], b[3]) - max(a[1], b[1]) < 3, (one.text, other.text)
        assert list(crossed(sheet)) == []
        said = {text.text for text in texts}
        assert {"0", "EXAMPLE"} <= said
        assert ("this landing" in said) == (place is not None) == any(line.name == "this landing" for line in sheet.all(Line))
        assert ("the aim" in said) == bool(answer.jumps[0].landings)
