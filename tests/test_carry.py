"""Lines whose jumps do not carry: cures that are ridden before they are told, where the next foot belongs, and who stops."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest
from streamlit.testing.v1 import AppTest

from jumpcalc.physics.rolling import roll
from jumpcalc.plan.ask.lip import climb
from jumpcalc.plan.inputs.assume import stroke_energy
from jumpcalc.plan.inputs.dug import Piece, Runout
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.carry import cures
from jumpcalc.plan.studies.spacing import FARTHEST, spacing
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import vary
from jumpcalc.plan.views.hill import hill_view
from jumpcalc.show.files.answer_json import as_dict
from jumpcalc.show.files.examples import FOLDER
from jumpcalc.show.files.linefile import parse_line, read_line
from jumpcalc.show.words import jump as jump_words
from jumpcalc.show.words import run_in, stopping
from jumpcalc.show.words import sizes as size_words
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.report import report
from jumpcalc.show.words.ride import ride as ride_words
from jumpcalc.show.words.said import joined

DEG = math.pi / 180
TOO_FAST = parse_line("""
title = "Three in a row"
[rider]
mass_kg = 85
[bike]
kind = "dirt jump"
[run_in]
surface = "hardpack"
pieces = [ { length_m = 32, slope_deg = -12 }, { radius_m = 8, to_slope_deg = -2 }, { length_m = 3, slope_deg = -2 } ]
[[jump]]
name = "one"
shape = "tabletop"
lip = { angle_deg = 30, radius_m = 4.0 }
landing = { gap_m = 3.5, drop_m = 0.0, angle_deg = 26, length_m = 4.0, exit_radius_m = 6 }
runout = { surface = "hardpack", pieces = [ { length_m = 5, slope_deg = -4 }, { length_m = 4, slope_deg = -2 } ] }
[[jump]]
name = "two"
lip = { angle_deg = 33, radius_m = 4.0 }
landing = { gap_m = 4.0, drop_m = 0.0, angle_deg = 28, length_m = 4.5, exit_radius_m = 6 }
runout = { surface = "hardpack", pieces = [ { length_m = 9, slope_deg = -4 } ] }
[[jump]]
name = "three"
lip = { angle_deg = 35, radius_m = 4.0 }
landing = { gap_m = 4.5, drop_m = 0.0, angle_deg = 30, length_m = 5, exit_radius_m = 6 }
runout = { surface = "hardpack", pieces = [ { length_m = 40, slope_deg = 0 } ] }
""")
TWO = replace(TOO_FAST, jumps=(TOO_FAST.jumps[0], replace(TOO_FAST.jumps[1], runout=TOO_FAST.jumps[2].runout)))


def between(*pieces, line=TWO):
    first = line.jumps[0]
    return replace(line, jumps=(replace(first, runout=replace(first.runout, pieces=pieces)), *line.jumps[1:]))


TOO_SLOW = between(Piece(length=18.0, slope=3 * DEG), Piece(length=4.0, slope=0.0))
HALTS = between(Piece(length=45.0, slope=4 * DEG), Piece(length=4.0, slope=0.0))
HOPELESS = between(Piece(length=3.0, slope=30 * DEG), Piece(radius=6.0, to_slope=0.0), Piece(length=2.0, slope=0.0))
LINES = {"too fast": TWO, "too slow": TOO_SLOW, "halts": HALTS}


@pytest.fixture(scope="module", params=LINES)
def case(request):
    answer = solve(LINES[request.param])
    return request.param, answer, cures(answer, 0)


def told(answer):
    return Reader.metric.texts(ride_words(answer))


def text(words):
    return Reader.metric.text(words)


def test_every_cure_of_the_ground_carries_when_solved(case):
    """`solve` of the line so changed finds the aim among what carries, and as much of the window as was told."""
    _, answer, found = case
    dug = [cure for cure in found if cure.changes]
    assert dug
    for cure in dug:
        changed = solve(vary(answer.line, dict(cure.changes)))
        carry, aim = changed.ride.carries[0], answer.jumps[0].window.speeds.aim
        assert carry.speeds[0] <= aim <= carry.speeds[1], cure
        assert carry.share == pytest.approx(cure.share, abs=0.01)
        assert changed.jumps[0].window.speeds.aim == pytest.approx(aim, abs=1e-6)
        arrives, wanted = carry.from_aim, changed.jumps[1].window.speeds
        assert wanted.min <= arrives <= wanted.max


def test_every_cure_can_be_built(case):
    _, _, found = case
    limits = {"length": 15.0, "slope": 8.6 * DEG, "gap": 2.0}
    for cure in found:
        if cure.kind in limits:
            assert 0 < abs(cure.becomes - cure.was) <= limits[cure.kind] + 1e-9
        if cure.kind in ("length", "gap"):
            assert cure.becomes >= (2.0 if cure.kind == "length" else 0.5)
            assert cure.becomes == pytest.approx(round(cure.becomes, 1), abs=1e-12)
        if cure.kind == "slope":
            assert cure.becomes / DEG == pytest.approx(round(cure.becomes / DEG), abs=1e-9)


def test_the_cures_follow_the_sign(case):
    """Too fast: longer gap, more uphill, brakes; too slow: shorter, more downhill, strokes."""
    name, _, found = case
    kinds = {cure.kind: cure for cure in found}
    fast = name == "too fast"
    assert ("strokes" in kinds) == (name == "too slow") and ("brake" in kinds) == fast
    for kind in {"slope", "gap"} & kinds.keys():
        assert (kinds[kind].becomes > kinds[kind].was) == fast


def test_strokes_and_brakes_land_where_they_are_told_to():
    """The aim ridden by hand: so many strokes made where the runout begins, or so many metres braked."""
    for line, kind in ((TOO_SLOW, "strokes"), (TWO, "brake")):
        answer = solve(line)
        cure = next(cure for cure in cures(answer, 0) if cure.kind == kind)
        prepared = prepare(line)
        here, following = prepared.jumps
        landing = answer.jumps[0].landings[1]
        ground, start, end = here.terrain.ground, here.terrain.runout_start, here.terrain.runout_end
        roller = here.roller(here.conditions.landing_rolling, here.body.height)
        speed = float(roll(ground, landing.along_face, landing.along_ground, roller, end=start).speed[0])
        if kind == "strokes":
            speed = math.sqrt(speed**2 + 2 * cure.becomes * stroke_energy(prepared.line))
        else:
            assert cure.was == pytest.approx(speed, abs=1e-6)
            braking = here.roller(here.conditions.landing_rolling, here.body.height, braking=here.conditions.braking)
            speed = float(roll(ground, start, speed, braking, end=start + cure.over).speed[0])
            assert cure.becomes == pytest.approx(speed, abs=1e-6)
            start += cure.over
        foot = roll(ground, start, speed, roller, end=end).speed
        edge, _ = climb(following, foot, following.roller(following.conditions.lip_rolling, following.body.height))
        wanted = answer.jumps[1].window.speeds
        assert wanted.min <= float(edge[0]) <= wanted.max


def test_a_kink_at_the_end_of_the_landing_is_ridden_over_before_strokes():
    """With no exit arc a landing of 26° ends in a kink that takes part of the speed: whoever rolls on and whoever pedals lose the same."""
    line = between(Piece(length=25.0, slope=1.5 * DEG))
    first = line.jumps[0]
    line = replace(line, jumps=(replace(first, landing=replace(first.landing, exit_radius=None)), *line.jumps[1:]))
    answer = solve(line)
    cure = next(cure for cure in cures(answer, 0) if cure.kind == "strokes")
    here, following = prepare(line).jumps
    landing, start, end = answer.jumps[0].landings[1], here.terrain.runout_start, here.terrain.runout_end
    track = roll(here.terrain.ground, landing.along_face, landing.along_ground, here.after_landing, end=end, track=True)
    before, after = np.atleast_2d(track.speed_at(np.array([start - 1e-6, start + 2e-6])))[0]
    assert after < 0.97 * before
    pedalled = math.sqrt(after**2 + 2 * cure.becomes * stroke_energy(prepare(line).line))
    edge, _ = climb(following, roll(here.terrain.ground, start + 2e-6, pedalled, here.after_landing, end=end).speed, following.up_the_lip)
    assert answer.jumps[1].window.speeds.min <= float(edge[0]) <= answer.jumps[1].window.speeds.max


def test_words_name_the_sign_and_the_sizes():
    fast, slow = " ".join(told(solve(TWO))), " ".join(told(solve(TOO_SLOW)))
    assert re.search(r"arrives at the edge of two [\d.]+ km/h too fast", fast)
    assert re.search(r"gap of two [\d.]+ m longer, [\d.]+ m in all", fast) and "braking over the first" in fast
    assert "pedal stroke" not in fast and "steepen the ground" not in fast
    assert re.search(r"arrives at the edge of two [\d.]+ km/h too slowly", slow)
    assert "pedal stroke" in slow and "braking" not in slow
    assert re.search(r"falls? \d+° where it climbs 3° now|climbs \d° where it climbs 3° now|is level where it climbs 3° now", slow)


def test_where_nothing_helps_it_says_so():
    answer = solve(HOPELESS)
    assert answer.ride.carries[0].speeds is None
    assert cures(answer, 0) == ()
    words = " ".join(told(answer))
    assert "Nothing that was tried by itself makes it carry" in words and "Each of these" not in words


def test_no_cure_where_the_aim_carries():
    answer = solve(vary(TWO, dict(cures(solve(TWO), 0)[0].changes)))
    assert cures(answer, 0) == ()
    assert "too fast" not in " ".join(told(answer))


def moved(line, index, metres):
    """The line with the foot after a jump so many metres from the end of its landing, or None where no lip rises there."""
    jump = line.jumps[index]
    face = prepare(line).jumps[index].terrain
    left, slope, pieces = metres - (face.runout_start - face.face), None, []
    for piece in jump.runout.pieces:
        size = piece.length if piece.length is not None else piece.radius * abs(piece.to_slope - slope)
        if piece.length is not None:
            pieces.append(replace(piece, length=min(size, left)))
        else:
            turn = (piece.to_slope - slope) * min(1.0, left / size)
            pieces.append(replace(piece, to_slope=slope + turn))
        slope, left = pieces[-1].end_slope, left - size
        if left <= 1e-9:
            break
    if left > 1e-9:
        pieces.append(Piece(length=left, slope=slope))
    following = line.jumps[index + 1] if index + 1 < len(line.jumps) else replace(jump, name="again")
    jumps = (*line.jumps[:index], replace(jump, runout=replace(jump.runout, pieces=tuple(pieces))), following)
    return replace(line, jumps=jumps)


def carries_at(line, index, metres):
    answer = solve(moved(line, index, metres))
    carry = answer.ride.carries[index]
    aim = answer.jumps[index].window.speeds.aim
    return carry.speeds is not None and carry.speeds[0] <= aim <= carry.speeds[1]


@pytest.mark.parametrize(("line", "index"), [(TWO, 0), (TOO_SLOW, 0), (TWO, 1)])
def test_the_foot_belongs_where_it_carries(line, index):
    """At both ends of what is told `solve` finds the aim among what carries, and a little beyond it does not."""
    found = spacing(solve(line), index)
    assert found.again == (index == len(line.jumps) - 1) and (found.now is None) == found.again
    assert found.nearest is not None
    assert carries_at(line, index, found.nearest)
    assert found.nearest < 4 or not carries_at(line, index, found.nearest - 0.25)
    far = FARTHEST - 0.2 if found.farthest is None else found.farthest
    assert carries_at(line, index, far)
    assert found.farthest is None or not carries_at(line, index, far + 0.25)


def test_words_on_where_the_foot_belongs():
    answer = solve(TWO)
    words = text(size_words.spacing(answer, 0))
    assert re.match(r"For the aim of one to land two clean its foot belongs [\d.]+ m or more from the lower end", words)
    assert "To stop before it" in words and "it lies 11.3 m off" in words
    assert "the same jump once more" in text(size_words.spacing(answer, 1))
    nowhere = solve(TOO_FAST)
    assert spacing(nowhere, 1).nearest is None and "Nowhere within 60.0 m" in text(size_words.spacing(nowhere, 1))
    assert spacing(solve(replace(TWO, jumps=(replace(TWO.jumps[0], runout=Runout()), TWO.jumps[1]))), 0) is None


def test_room_to_stop_is_asked_only_of_the_last_jump():
    answer = solve(TOO_FAST)
    missing = [note.jump for note in answer.warnings if note.code == "not enough room to stop"]
    assert missing == [3]
    page = report(answer)
    assert page.count("are missing") == 2  # of the last jump: under its head and among what to look at
    flat = " ".join(page.split())
    assert flat.count("There is not enough room to stop after it") == 1
    assert flat.count("There is no room to stop between this jump and the next.") == 1
    assert flat.count("Jumps 1 and 2: nobody stops before the next jump, and whether one can leave to the side before it is not said") == 1
    assert not jump_words.no_room(answer.jumps[0]) and jump_words.no_room(answer.jumps[2])
    assert "missing" not in text(stopping.after(answer.jumps[0])) and "missing" in text(stopping.after(answer.jumps[2]))


@pytest.mark.parametrize(("given", "code"), [(True, "turn off before the next"), (False, "no turning off before the next")])
def test_a_way_round_the_next_is_said_once(given, code):
    line = vary(TWO, {"jump[2].way_round": given, "jump[2].side_clear_m": 2.5})
    answer = solve(line)
    notes = [note for note in answer.warnings if note.code == code]
    assert [note.jump for note in notes] == [1]
    assert "2.5 m are clear on each side of it" in " ".join(report(answer).split())
    assert as_dict(answer)["jumps"][0]["before_the_next"] == {"way_round": given, "side_clear_m": 2.5}
    assert as_dict(answer)["jumps"][1]["before_the_next"] is None


def test_a_line_that_no_start_mark_rides_clean_says_so_first():
    answer = solve(TOO_FAST)
    first = report(answer).splitlines()[1]
    assert first.startswith("No start mark rides this line clean")
    assert as_dict(answer)["headline"].startswith("No start mark rides this line clean: jump 2: no clean landing carries")
    # and it is not said again
    assert report(answer).count("o start mark rides") == 1


def test_a_line_that_is_ridden_clean_says_from_where():
    answer = solve(vary(TWO, dict(cures(solve(TWO), 0)[0].changes)))
    assert answer.ride.window is not None
    assert re.match(r"Both jumps land clean from start marks [\d.]+ to [\d.]+ m", report(answer).splitlines()[1])
    assert as_dict(solve(replace(TWO, jumps=TWO.jumps[:1])))["headline"] is None


def test_cures_and_spacing_stand_in_the_json():
    data = as_dict(solve(TWO))["ride"]["carries"][0]
    assert {cure["kind"] for cure in data["cures"]} >= {"slope", "gap", "brake"}
    assert data["next_foot_m"]["nearest"] > data["next_foot_m"]["now"]
    assert data["from_aim_mps"] > 0


@pytest.mark.parametrize("falls", [(0.5, 1.0, 1.2), (0.3, 0.3, 0.3), (0.1, 0.6, 0.4)])
def test_ground_through_stakes_has_a_place_for_the_next_foot_too(falls):
    stakes = ((0.0, 0.0), *zip((4.0, 9.0, 13.0), falls, strict=True))
    line = replace(TWO, jumps=(replace(TWO.jumps[0], runout=Runout(stakes=stakes)), TWO.jumps[1]))
    answer = solve(line)
    found = spacing(answer, 0)
    carry, aim = answer.ride.carries[0], answer.jumps[0].window.speeds.aim
    lies_well = found.nearest is not None and found.nearest - 1e-6 <= found.now <= (found.farthest or math.inf) + 1e-6
    assert lies_well == (carry.speeds is not None and carry.speeds[0] <= aim <= carry.speeds[1])
    assert all(cure.kind in ("gap", "strokes", "brake") for cure in cures(answer, 0))
    assert text(size_words.spacing(answer, 0))


@pytest.mark.parametrize("way", ["size", "ride"])
def test_the_page_says_first_that_no_start_mark_rides_it_clean(way):
    state_of = "import streamlit as st\nfrom jumpcalc.show.page import answer, ride_it, common, state\nstate.start()\n"
    show = "answer" if way == "size" else "ride_it"
    code = f"{state_of}state.load(st.session_state['line'])\n{show}.show(common.shown(state.line()).complete())\n"
    page = AppTest.from_string(code, default_timeout=60)
    page.session_state["line"] = TOO_FAST
    page.run()
    assert not page.exception
    first = next(row for one in page.markdown for row in one.value.split("\n") if row.startswith("### "))
    assert first.startswith("### No start mark rides this line clean")


def test_marks_of_a_line_are_those_that_all_its_jumps_leave():
    """From 36.5 m the first jump lands clean and the second does not: that mark is none of the line's."""
    answer = solve(read_line(FOLDER / "two_in_a_row.toml"))
    first, (low, high) = answer.jumps[0].run_in, answer.ride.window
    assert first.marks[2] > high + 0.5
    told = text(joined(run_in.start(answer.jumps[0], answer.ride)))
    assert f"all of the line lands clean from {math.ceil(10 * low) / 10:.1f} to {math.floor(10 * high) / 10:.1f} m" in told
    assert {mark.name: mark.before_foot for mark in hill_view(answer).marks}["fastest clean"] == high
