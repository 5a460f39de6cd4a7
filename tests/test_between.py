"""What lies between two jumps: tables against single flights and rides, cures solved afresh, what is printed and drawn.

At full size: 46 lines at random of two jumps and more (`grid.lines`) gave tables, cures, drawings and JSON without a fault; on a line of
three whose stretches miss by 1.5 and 2.3 km/h `together` found two changes, and `solve` rides all of it clean then.
"""

import json
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from streamlit.testing.v1 import AppTest

from jumpcalc.physics.rolling import roll
from jumpcalc.plan.ask.clean import clean_speeds
from jumpcalc.plan.ask.landings import land
from jumpcalc.plan.ask.lip import climb
from jumpcalc.plan.ask.window import targets
from jumpcalc.plan.inputs.assume import stroke_energy
from jumpcalc.plan.inputs.dug import Piece, RunIn
from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.solve import solve, solve_jumps
from jumpcalc.plan.studies.arrive import even_ground, leaving, with_ground
from jumpcalc.plan.studies.between import between
from jumpcalc.plan.studies.earth import dirt
from jumpcalc.plan.studies.remedies import confirmed, remedies
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import vary
from jumpcalc.plan.views.carry import carry_view
from jumpcalc.show.cli import main
from jumpcalc.show.files.between_json import as_dict
from jumpcalc.show.files.linefile import read_line, write_line
from jumpcalc.show.paper.carry import carry
from jumpcalc.show.paper.svg import Area
from jumpcalc.show.words import between as words
from jumpcalc.show.words.numbers import Reader

ROOT = Path(__file__).parents[1]
SLOW_HANDS = replace(read_line(ROOT / "examples" / "two_in_a_row.toml"), run_in=RunIn())
LINE = vary(SLOW_HANDS, {"jump[1].runout.reaction_s": 0.6})


@pytest.fixture(scope="module")
def found():
    answer = solve(LINE)
    return answer, between(answer, 0, strokes=1)


def flown(line, strokes=0, braked=0.0):
    """Foot speeds at the second jump of single flights off the first, and its clean speeds at the foot."""
    prepared = prepare(line)
    here, following = prepared.jumps
    low, high = clean_speeds(here).sure
    feet = []
    for style in targets(here)[1].styles:
        for lip_speed in np.linspace(low, high, 4):
            landed = land(here, np.array([lip_speed]), style=style)
            assert landed.outcomes == (Outcome.CLEAN,)
            start, end = landed.along, here.terrain.runout_end
            speed = landed.onward
            if strokes or braked:
                speed = roll(here.terrain.ground, start, speed, here.after_landing, end=here.terrain.runout_start + 0.01).speed
                speed, start = np.sqrt(speed**2 + 2 * strokes * stroke_energy(prepared.line)), here.terrain.runout_start + 0.01
                braking = replace(here.after_landing, braking=here.conditions.braking)
                speed, start = roll(here.terrain.ground, start, speed, braking, end=start + braked).speed, start + braked
            feet.append(float(roll(here.terrain.ground, start, speed, here.after_landing, end=end).speed[0]))
    return np.array(feet), clean_speeds(following).window, following


@pytest.mark.parametrize(("row", "column", "strokes"), [(0, 1, 0), (3, 2, 0), (6, 3, 0), (3, 1, 1)])
def test_cells_are_what_single_flights_give(found, row, column, strokes):
    """A cell carries just where every flight of the sure window, ridden by itself, lands the next jump clean."""
    _, stretch = found
    cell = stretch.ways[strokes].cells[row][column]
    pieces = even_ground(LINE, 0, spacing=cell.spacing, fall=cell.fall)
    feet, window, following = flown(with_ground(LINE, 0, pieces), strokes)
    assert cell.slow == pytest.approx(feet.min() - window.foot.min, abs=0.01)
    assert cell.fast == pytest.approx(window.foot.max - feet.max(), abs=0.01)
    edge, _ = climb(following, feet, following.up_the_lip)
    assert cell.carries == bool(land(following, edge).is_(Outcome.CLEAN).all())


def test_today_is_ridden_as_it_lies(found):
    _, stretch = found
    feet, window, _ = flown(LINE, 0)
    assert stretch.today.slow == pytest.approx(feet.min() - window.foot.min, abs=1e-3)
    assert stretch.today.fast == pytest.approx(window.foot.max - feet.max(), abs=1e-3)
    assert [cell for row in stretch.ways[0].cells for cell in row if cell is stretch.today]


def test_the_limits_are_the_last_that_carry(found):
    """One step of 5 cm further is missed on the side that the limit stands for."""
    wanted = found[1].wanted
    limits = found[1].ways[0].falls[1]
    assert limits.low.carries and limits.high.carries
    for cell, out in ((limits.low, -0.05), (limits.high, 0.05)):
        assert round(cell.fall / 0.05, 6) == round(cell.fall / 0.05)
        feet, _, _ = flown(with_ground(LINE, 0, even_ground(LINE, 0, spacing=cell.spacing, fall=cell.fall + out)), 0)
        assert (feet.min() < wanted.min) if out < 0 else (feet.max() > wanted.max)


def test_an_even_ground_is_as_long_and_as_low_as_asked_for():
    for spacing, fall in ((12.0, 0.3), (18.0, 2.0), (15.0, -0.4)):
        terrain = prepare(with_ground(LINE, 0, even_ground(LINE, 0, spacing=spacing, fall=fall))).jumps[0].terrain
        z = terrain.ground.point(np.array([terrain.face, terrain.runout_end]))[1]
        assert terrain.runout_end - terrain.face == pytest.approx(spacing, abs=1e-8)
        assert z[0] - z[1] == pytest.approx(fall, abs=1e-8)
    assert even_ground(LINE, 0, spacing=5.0, fall=0.0) is None


@pytest.fixture(scope="module")
def cures(found):
    return remedies(*found)


def test_cures_hold_when_solved_afresh(found, cures):
    answer, stretch = found
    assert not stretch.today.carries and {"brake", "landing", "gap", "fall"} <= {one.kind for one in cures}
    assert [one.earth for one in cures] == sorted(one.earth for one in cures)
    for one in cures:
        feet, window, _ = flown(one.line or LINE, braked=one.becomes if one.kind == "brake" else 0.0)
        assert window.foot.min < feet.min() and feet.max() < window.foot.max
        assert one.fast == pytest.approx(window.foot.max - feet.max(), abs=0.01)
    assert confirmed(answer, 0) is None


def test_nobody_is_told_to_brake_before_a_hand_can_be_on_the_levers(found, cures):
    """Half a second of braking at least, and a third of the reaction time from the latest touchdown to where it begins."""
    here = prepare(LINE).jumps[0]
    begun = leaving(here)
    late = min((here.terrain.runout_start - along) / speed for along, speed in zip(begun.along, begun.speed, strict=True))
    (brake,) = (one for one in cures if one.kind == "brake")
    assert 0.6 / 3 <= late < 1.5 / 3 and brake.becomes >= 0.5 * max(begun.speed)
    slow = solve(SLOW_HANDS)
    assert "brake" not in {one.kind for one in remedies(slow, between(slow, 0, strokes=1))}


def test_dirt_of_a_table_by_hand():
    """Over level ground: deck, straight of the lip and landing one wide, their sides one to one; the curve is hardly any."""
    jump, angle, radius = LINE.jumps[0], math.radians(30), 0.5
    begins, high = radius * (1 - math.cos(angle)), radius * (1 - math.cos(angle)) + 0.95 * math.sin(angle)
    lip = replace(jump.lip, angle=angle, radius=radius, straight=0.95, width=1.0)
    landing = replace(jump.landing, gap=4.0, drop=0.0, angle=angle, length=high / math.sin(angle), exit_radius=None, width=1.0)
    table = replace(jump, lip=lip, landing=landing, runout=replace(jump.runout, pieces=(Piece(length=9.0, slope=0.0),)))
    line = replace(LINE, rider=replace(LINE.rider, path="point"), jumps=(table,))

    def wedge(low, top):
        return ((top**2 - low**2) / 2 + (top**3 - low**3) / 3) / math.tan(angle)

    curve = (radius * math.sin(angle)) ** 3 / (6 * radius)
    assert dirt(line, 0) == pytest.approx(4.0 * (high + high**2) + wedge(0.0, high) + wedge(begins, high) + curve, rel=0.01)


def test_printed_numbers_err_to_the_careful_side(found):
    _, stretch = found
    way = stretch.ways[0]
    text = [Reader.metric.texts(row) for row in words.rows(way)]
    assert sum(cell.startswith("[") for row in text for cell in row) == 1
    for row, cells in zip(text, way.cells, strict=True):
        for shown, cell in zip(row[1:-1], cells, strict=True):
            slow, fast = (float(part.replace("−", "-")) for part in shown.strip("[]").split("/"))
            assert slow <= 3.6 * cell.slow + 1e-6 and fast <= 3.6 * cell.fast + 1e-6
    assert text[1][-1] == "65 to 140 cm (4.5 to 9.6 %)"


def test_the_drawing_shows_what_misses(found):
    answer, _ = found
    view = carry_view(answer)
    sheet = carry(view, stamp="EXAMPLE")
    assert [area.name for area in sheet.all(Area) if area.hatched] == ["misses"] and not view.bands[0].carries
    assert view.bands[0].fast[-1] == pytest.approx(view.feet[1].comes[1], abs=1e-6)
    texts = sheet.svg()
    assert "second gap: 36.1 to 38.3 km/h come" in texts and "EXAMPLE" in texts


def test_without_a_window_or_ground_it_says_so():
    answer = solve_jumps(replace(LINE, jumps=(replace(LINE.jumps[0], runout=replace(LINE.jumps[0].runout, pieces=None)), LINE.jumps[1])))
    stretch = between(answer, 0)
    assert stretch.why_none == "not measured" and "not measured" in Reader.metric.text(words.left(answer, stretch))
    assert remedies(answer, stretch) == ()


@pytest.mark.parametrize(
    ("more", "told"), [(["--strokes", "9"], "allowed 0 to 6"), (["--bike", "unicycle"], "must be hardtail"), (["--out", "a.pdf"], "svg")]
)
def test_wrong_words_are_refused_in_one_line(more, told, capsys):
    assert main(["between", str(ROOT / "examples" / "two_in_a_row.toml"), *more]) == 2
    out = capsys.readouterr()
    assert told in out.err and out.err.count("\n") == 1 and not out.out
    assert main(["between", str(ROOT / "examples" / "first_gap.toml")]) == 2
    assert "needs a line of two or more" in capsys.readouterr().err


def test_json_is_si(found, cures):
    answer, stretch = found
    told = json.loads(json.dumps(as_dict(answer, [[stretch]], [cures])))
    (one,) = told["stretches"]
    assert one["bikes"][0]["ways"][0]["today"]["carries"] is False and told["cautions"]
    assert one["cures"][0]["earth_m3"] is None and one["cures"][1]["earth_m3"] > 0


def test_the_panel_in_size_it():
    """On a line that all of it carries over, so that nothing is to be cured."""
    page = AppTest.from_string(
        "import streamlit as st\nfrom jumpcalc.show.page import between, common, state\nstate.start()\n"
        "state.load(st.session_state['line'])\nbetween.PANEL.show(common.shown(state.line()).complete())\n",
        default_timeout=120,
    )
    page.session_state["line"] = vary(LINE, {"jump[2].landing.gap_m": 4.5})
    page.run()
    assert not page.exception
    told = " ".join(each.value for each in page.markdown)
    assert "all of them carry" in told and "1 pedal stroke" in told and "spacing" in told


def test_the_command_answers_and_draws(tmp_path, capsys):
    """On the line with the second gap that one of its cures asks for: all of it carries then, and nothing is to be cured."""
    file, drawn = tmp_path / "line.toml", tmp_path / "between.svg"
    file.write_text(write_line(vary(LINE, {"jump[2].landing.gap_m": 4.5})), encoding="utf-8")
    assert main(["between", str(file), "--strokes", "0", "--out", str(drawn)]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "all of them carry" in out and "comes clean to the next one, all along the line" in out and "Cautions" in out
    assert "EXAMPLE" in out and "Cheapest" not in out  # its first jump is still that of the example
    assert drawn.read_text(encoding="utf-8").startswith("<svg")
