"""What the tape does: against the parabola's own closed form, and as it is said."""

import json
import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from jumpcalc.plan import limits
from jumpcalc.plan.inputs.dug import Jump, Landing, Lip, Piece, RunIn
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.rider import Bike, Limits, Rider, Skill
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.measures import measures
from jumpcalc.show.cli import main
from jumpcalc.show.files.answer_json import as_dict
from jumpcalc.show.words import measures as told
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.report import report

DEG, G, WHEELBASE = math.pi / 180, 9.80665, 1.17
GIVEN = {"lip.angle": 28 * DEG, "lip.radius": 4.6, "lip.straight": 1.2, "landing.gap": 6.2, "landing.drop": 0.3,
         "landing.angle": 24 * DEG, "landing.length": 4.5}
ERRORS = {"lip.angle": 1 * DEG, "lip.radius": 0.23, "lip.straight": 0.05, "landing.gap": 0.062, "landing.drop": 0.05,
          "landing.angle": 1 * DEG, "landing.length": 0.05}


def a_line(**others):
    """A point without drag and rolling losses, whose window has a closed form."""
    tables = {of: {} for of in ("lip", "landing")}
    for name, value in (GIVEN | others).items():
        of, field = name.split(".")
        tables[of][field] = value
    return Line(
        jumps=(Jump(lip=Lip(**tables["lip"]), landing=Landing(**tables["landing"])),),
        rider=Rider(path="point", drag_area=0.0),
        bike=Bike(rotating_mass=0.0, wheelbase=WHEELBASE),
        run_in=RunIn(rolling_resistance=0.0),
        skill=Skill(squash=0.0, spring=0.0),
        limits=Limits(equivalent_fall=3.0),
    )


@cache
def usual():
    """Answer and what the tape does to it, worked out once."""
    answer = solve(a_line())
    return answer, measures(answer, 0)


def by_hand(of):
    """Slowest, aim and fastest before the lip, by the parabola and the height of the lip."""
    theta, phi = of["lip.angle"], of["landing.angle"]

    def edge(along):
        x, z = of["landing.gap"] + along * math.cos(phi), -of["landing.drop"] - along * math.sin(phi)
        return math.sqrt(G * x * x / (2 * math.cos(theta) ** 2 * (x * math.tan(theta) - z)))

    slow, fast = edge(WHEELBASE / 2), edge(of["landing.length"] - WHEELBASE / 2)
    height = of["lip.radius"] * (1 - math.cos(theta)) + of["lip.straight"] * math.sin(theta)
    return [math.sqrt(v * v + 2 * G * height) for v in (slow, min((slow + fast) / 2, slow / 0.9), fast)]


def test_moves_are_those_of_the_parabola():
    found = usual()[1]
    now, expected = by_hand(GIVEN), {}
    for name, error in ERRORS.items():
        others = [by_hand(GIVEN | {name: GIVEN[name] + sign * error}) for sign in (1, -1)]
        expected[name] = [max(abs(other[i] - now[i]) for other in others) for i in range(3)]
    assert {one.name for one in found.each} == set(ERRORS)
    for one in found.each:
        assert one.error == pytest.approx(ERRORS[one.name])
        assert [one.slowest, one.aim, one.fastest] == pytest.approx(expected[one.name], abs=1e-7), one.name
    assert [one.aim for one in found.each] == sorted((one.aim for one in found.each), reverse=True)
    # JCGM 100:2008, eq. 10
    together = [math.sqrt(sum(moves[i] ** 2 for moves in expected.values())) for i in range(3)]
    assert [found.slowest, found.aim, found.fastest] == pytest.approx(together, abs=1e-7)


def test_only_what_was_measured_counts_and_a_slope_before_the_lip_by_its_own_accuracy():
    line = a_line()
    level = replace(line.jumps[0], landing=replace(line.jumps[0].landing, drop=None), lip=replace(line.jumps[0].lip, straight=None))
    run_in = RunIn(pieces=(Piece(length=40.0, slope=-10 * DEG), Piece(length=3.0, slope=-4 * DEG)), slope_accuracy=0.3 * DEG)
    found = measures(solve(replace(line, jumps=(level,), run_in=run_in)), 0)
    by_name = {one.name: one for one in found.each}
    assert by_name.keys() == set(ERRORS) - {"landing.drop", "lip.straight"} | {"foot"}
    assert by_name["foot"].error == pytest.approx(0.3 * DEG) and by_name["foot"].aim > 0


def test_a_straight_of_nothing_may_only_be_longer():
    found = {one.name: one for one in measures(solve(a_line(**{"lip.straight": 0.0})), 0).each}
    assert found["lip.straight"].aim > 0


def test_where_one_error_leaves_no_window_nothing_is_promised():
    found = measures(solve(a_line(**{"landing.length": WHEELBASE + 0.03})), 0)
    lost = found.each[0]
    assert (lost.name, lost.aim, found.aim) == ("landing.length", None, None)
    text = Reader.metric.texts(told.in_short(found, drop=False))[0]
    assert text.startswith("Measured this well it is not sure that any speed lands clean") and "the landing's length" in text


def test_no_window_no_table():
    assert measures(solve(a_line(**{"landing.length": 1.0})), 0) is None


@pytest.mark.parametrize("reader", Reader)
def test_it_is_said_where_it_is_asked_for(reader):
    answer, found = usual()
    text = " ".join(report(answer, reader, tape=[found]).split())
    assert f"the aim is good to ± {reader.speed(found.aim)}; {told.rows(found, drop=False)[0][0]} matters most" in text
    assert "What the tape does" in text and "common practice, no source" in text
    assert "What the tape does" not in report(answer, reader)
    cells = [reader.text(cell) for row in told.rows(found, drop=False) for cell in row]
    assert len(cells) == 8 * len(told.HEAD) and not any("± 0.0 " in cell for cell in cells)
    assert as_dict(answer)["jumps"][0]["measures"] is None
    keyed = as_dict(answer, tape=[found])["jumps"][0]["measures"]
    assert keyed["together"]["aim_mps"] == found.aim and len(keyed["each"]) == 7


def test_command_line_prints_it_with_its_flag(tmp_path, capsys):
    drop = 'jump = [{ shape = "drop", lip = { angle_deg = -2 }, landing = { gap_m = 2, drop_m = 0.9, angle_deg = 26, length_m = 4.2 } }]'
    file = tmp_path / "drop.toml"
    file.write_text(drop)
    assert main(["solve", "--tape", "--json", str(file)]) == 0
    each = json.loads(capsys.readouterr().out)["jumps"][0]["measures"]["each"]
    assert {one["name"] for one in each} == {"lip.angle", "landing.gap", "landing.drop", "landing.angle", "landing.length"}
    assert main(["solve", "--tape", str(file)]) == 0
    assert "the slope before the edge" in capsys.readouterr().out


def test_errors_have_their_source():
    for one in (limits.TAPE, limits.TAPE_SHARE, limits.BOARD, limits.TEMPLATE):
        assert one.source == "common practice, no source"


def test_page_works_it_out_where_it_is_picked():
    page = AppTest.from_file(str(Path(__file__).parents[1] / "app.py"), default_timeout=60)
    page.session_state["more size"] = ["What the tape does"]
    page.run()
    text = " ".join(element.value for element in page.main.markdown)
    assert not page.exception and "the aim is good to ±" in text.replace("\\", "") and "moves the aim" in text
