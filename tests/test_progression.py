"""A line in steps, small to large: equal in effort, each file solved clean as it is read back, what cannot be had and why.

At full size: `jumpcalc progression examples/two_in_a_row.toml` gave eight files, of a line whose ground between is laid anew in each
step, all of them ridden clean from a start mark; its steps differ by 0.1 km/h.
"""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from jumpcalc.plan.ask.from_mark import from_mark
from jumpcalc.plan.ask.run_in import run_in_of
from jumpcalc.plan.inputs.dug import RunIn
from jumpcalc.plan.solve import solve, solve_jumps
from jumpcalc.plan.studies.arrive import arrivals
from jumpcalc.plan.studies.between import fitting
from jumpcalc.plan.studies.progression import Cannot, progression
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import vary
from jumpcalc.show.cli import main
from jumpcalc.show.files.linefile import parse_line, read_line, write_line
from jumpcalc.show.words import progression as words
from jumpcalc.show.words.numbers import Reader

ROOT = Path(__file__).parents[1]
FIRST = read_line(ROOT / "examples" / "first_gap.toml")


@pytest.fixture(scope="module")
def steps():
    return list(progression(FIRST, steps=3))


def test_every_file_solves_clean_from_its_mark(steps):
    """Written, read back and solved; its start ridden forward lands clean, and no harder than the line itself."""
    own = solve(FIRST).jumps[0]
    for step in steps:
        line = parse_line(write_line(step.line))
        jump, answer = line.jumps[0], solve(line)
        assert answer.jumps[0].window.speeds.aim == pytest.approx(step.answer.jumps[0].window.speeds.aim, abs=1e-9)
        foot = answer.jumps[0].window.foot
        assert foot.max - foot.min >= own.window.foot.max - own.window.foot.min - 1e-6
        assert (jump.lip.angle, jump.landing.angle, line.run_in) == (FIRST.jumps[0].lip.angle, FIRST.jumps[0].landing.angle, FIRST.run_in)
        ridden = from_mark(line, step.marks.mark)
        assert ridden.landing.outcome == "clean" and ridden.landing.equivalent_fall <= own.landings[1].equivalent_fall + 0.05
        assert ridden.foot_speed == pytest.approx(foot.aim, abs=1e-6)
        assert step.marks.mark <= run_in_of(prepare(line)).foot
        assert answer.jumps[0].unchecked == own.unchecked == ()  # nothing of it is "not checked" when it is solved


def test_steps_are_equal_and_a_table_comes_before_each_gap(steps):
    assert [(step.number, step.line.jumps[0].shape) for step in steps] == [(n, s) for n in (1, 2, 3) for s in ("tabletop", "gap")]
    for shape in (0, 1):
        speeds = [step.answer.jumps[0].window.speeds.aim for step in steps[shape::2]]
        assert np.diff(speeds)[0] == pytest.approx(np.diff(speeds)[1], abs=0.06) and np.diff(speeds)[0] > 0.5
    for table, gap in zip(steps[::2], steps[1::2], strict=True):
        assert replace(table.line.jumps[0], shape="gap") == gap.line.jumps[0] and table.dirt[0] > gap.dirt[0]
    assert steps[-1].line.jumps == FIRST.jumps and steps[0].line.jumps[0].landing.gap == pytest.approx(2.1, abs=0.12)


def test_the_load_in_the_lip_is_held_unless_a_wheel_would_lift(steps):
    """It is that of the line itself; where it is less, the next tighter lip is left with a wheel that lifts, by the full answer."""
    own = steps[-1].answer.jumps[0].departed.load
    for step in steps:
        load, radius = step.answer.jumps[0].departed.load, step.line.jumps[0].lip.radius
        assert load < own + 0.15
        if load <= own - 0.15:
            tighter = solve_jumps(vary(step.line, {"jump[1].lip.radius_m": radius - 0.2})).jumps[0]
            assert "a wheel lifts on the lip" in [str(note.code) for note in tighter.unchecked]


def test_equal_differences_stand_in_the_table(steps):
    text = [Reader.metric.texts(row) for row in words.rows(steps, 0)]
    more = text[0].index("more")
    assert [row[more] for row in text[1:]] == ["–", "–", "+2.8", "+2.8", "+2.8", "+2.8"]
    page = words.report(FIRST, steps, 3)
    assert "1 table" in page and "3 gap" in page and "Cautions" in page and "cannot be had" not in page


def test_ground_between_is_laid_so_that_all_carry():
    line = replace(read_line(ROOT / "examples" / "two_in_a_row.toml"), run_in=RunIn())
    made = fitting(line, 0)
    slow, fast = arrivals(made, 0)[0].margins(solve(made).jumps[1].window.foot)
    assert slow > 0.1 and slow == pytest.approx(fast, abs=0.1)
    assert made.jumps[1:] == line.jumps[1:]


def test_what_cannot_be_had_says_why():
    (one,) = progression(replace(FIRST, run_in=RunIn()), steps=3)
    assert isinstance(one, Cannot) and one.why == "not measured"
    (other,) = progression(vary(FIRST, {"jump[1].landing.length_m": 1.0}), steps=3)
    assert (other.number, other.why, other.jump) == (3, "no window", 1)
    page = words.report(FIRST, [one, other], 3)
    page = " ".join(page.split())
    assert "Step 3 cannot be had: the run-in is not measured" in page and "first gap has no speed that lands clean" in page


def test_a_drop_has_steps_and_no_tables(capsys):
    assert main(["progression", str(ROOT / "examples" / "low_drop.toml"), "--steps", "2", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert [(one["step"], one["table"]) for one in told["steps"]] == [(1, False), (2, False)] and not told["cannot"]
    first, last = (one["jumps"][0] for one in told["steps"])
    assert first["lip_speed_mps"] < last["lip_speed_mps"] and first["gap_m"] == pytest.approx(0.5 * last["gap_m"], abs=0.1)
    assert any("drop has no table before it" in one for one in told["held"])


def test_files_are_written_whole_and_never_over_others(tmp_path, capsys):
    (tmp_path / "step_2.toml").write_text("mine", encoding="utf-8")
    words_ = ["progression", str(ROOT / "examples" / "low_drop.toml"), "--steps", "2", "--out", str(tmp_path)]
    assert main(words_) == 2 and "--force" in capsys.readouterr().err
    assert main([*words_, "--force"]) == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["step_1.toml", "step_2.toml"]
    assert "EXAMPLE" in capsys.readouterr().out
    assert read_line(tmp_path / "step_1.toml").title.endswith("step 1 of 2")
    assert main([*words_[:2], "--steps", "1"]) == 2 and "allowed 2 to 8" in capsys.readouterr().err
    assert main([*words_[:2], "--smallest", "99"]) == 2 and "allowed 20 to 90" in capsys.readouterr().err


def test_what_keeps_all_steps_from_it_is_said_once_and_by_its_name():
    """Ground that is not measured is not ground that does not carry; wind is not wet ground; a drop has an edge, and no table."""
    two = read_line(ROOT / "examples" / "two_in_a_row.toml")
    unmeasured = replace(two, jumps=(replace(two.jumps[0], runout=replace(two.jumps[0].runout, pieces=None, stakes=None)), two.jumps[1]))
    (one,) = progression(unmeasured, steps=3)
    assert "is not measured" in Reader.metric.text(words.why_not(one, unmeasured))
    answer = solve(unmeasured)
    assert str(answer.ride.why_none.code) == "the ground between is not measured"
    windy = vary(FIRST, {"air.crosswind_kmh": 40})
    (one,) = progression(windy, steps=3)
    text = words.report(windy, [one], 3)
    assert text.count("wind from the side") == 1 and "wet" not in text and "Held are" not in text
    drop = read_line(ROOT / "examples" / "low_drop.toml")
    text = words.report(drop, list(progression(drop, steps=2)), 2)
    assert "Dirt" not in text and "A table comes" not in text and "foot of the first lip" not in text and "Go on to the next row" in text


def test_what_keeps_several_steps_from_it_is_one_sentence():
    same = [Cannot(number=number, tables=tables, why="no mark") for number in (1, 2) for tables in (True, False)]
    text = words.report(FIRST, [*same, Cannot(number=3, tables=True, why="harder", jump=1)], 3)
    assert text.count("no start on this run-in") == 1 and "Steps 1, 2 cannot be had" in text and "Step 3 as a table cannot be had" in text


def test_a_line_of_two_says_where_each_foot_lies():
    two = read_line(ROOT / "examples" / "two_in_a_row.toml")
    text = " ".join(words.report(two, list(progression(two, steps=2)), 2).split())
    assert "Foot of second gap, from the lower end of the landing before: step 1 " in text and "; step 2 16.6 m on, 172 cm lower." in text
