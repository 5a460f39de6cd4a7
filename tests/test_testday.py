"""The test day: steps that are rides on this run-in, easier versions that solve has tried, and what a log shows of them.

The order of steps and the rules for calling it off are common practice, no source; nothing here is checked against a publication.
"""

import json
from dataclasses import replace
from functools import cache
from pathlib import Path

import matplotlib
import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg

from jumpcalc import solve, vary
from jumpcalc.plan.ask.from_mark import from_mark
from jumpcalc.plan.inputs.dug import RunIn, Runout
from jumpcalc.plan.studies.field import testday as testday_module
from jumpcalc.plan.studies.field.kinds import Sensor
from jumpcalc.plan.studies.field.readings import shown
from jumpcalc.plan.studies.field.testday import CHECKS, day_plan
from jumpcalc.plan.studies.field.tries import Try
from jumpcalc.show.cli import main
from jumpcalc.show.files.linefile import read_line
from jumpcalc.show.files.tries_csv import tries_csv
from jumpcalc.show.paper import testday as sheet
from jumpcalc.show.paper.print_type import STYLE
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.testday_report import report, steps

ROOT = Path(__file__).parents[1]
NAMES = ("first_gap", "low_drop", "short_run_in", "two_in_a_row", "dirt_jump_bike", "step_up_table")
FIRST = read_line(ROOT / "examples" / "first_gap.toml")
PAIR = read_line(ROOT / "examples" / "two_in_a_row.toml")
NOT_MEASURED = replace(FIRST, run_in=RunIn())


@pytest.fixture(scope="module", autouse=True)
def checked_once():
    """Many plans here are of one line with other tries."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(testday_module, "check", cache(testday_module.check))
        patch.setattr(testday_module, "_steps", cache(testday_module._steps))
        yield


@cache
def plan_of(name):
    return day_plan(read_line(ROOT / "examples" / f"{name}.toml"), example=True)


def with_jump(line, **values):
    return replace(line, jumps=(replace(line.jumps[0], **values), *line.jumps[1:]))


@pytest.mark.parametrize("name", [name for name in NAMES if name != "short_run_in"])
def test_steps_go_up_to_the_first_flight_and_each_is_a_ride_on_this_run_in(name):
    plan = plan_of(name)
    checks = [step for step in plan.steps if step.kind == "check"]
    flight = next(step for step in plan.steps if step.kind == "jump")
    assert len(checks) >= 2 and plan.steps[: len(checks) + 1] == (*checks, flight)
    assert [step.mark for step in checks] == sorted(step.mark for step in checks) and flight.mark == checks[-1].mark
    for step in checks:
        ridden = from_mark(plan.answer.line, step.mark)
        assert step.go[0] < ridden.foot_speed < step.go[2]
        if step.stop is not None and step.stop.exists:
            assert 0 < step.stop.last <= step.mark and step.stop.speed < ridden.foot_speed
    # whoever rides the last check or the first flight within its band lands clean, squashed or sprung
    jump = plan.first
    sure = jump.sure if jump.shape == "drop" else jump.sure_foot
    assert flight.go == checks[-1].go and sure[0] - 1e-9 <= flight.go[0] < flight.go[2] <= sure[1] + 1e-9
    assert checks[-1].needs == CHECKS == flight.needs


def test_the_last_place_to_stop_from_a_lower_mark_is_that_of_a_run_in_that_begins_there():
    """The run-in of the drop cut off before the mark, solved as a line of its own."""
    plan = plan_of("low_drop")
    for step in plan.steps[:2]:
        cut = read_line(ROOT / "examples" / "low_drop.toml")
        ground = cut.run_in.pieces
        whole = plan.first.run_in.length
        shorter = (replace(ground[0], length=ground[0].length - (whole - step.mark)), *ground[1:])
        alone = solve(replace(cut, run_in=replace(cut.run_in, pieces=shorter))).jumps[0]
        assert alone.run_in.foot_speed == pytest.approx(step.go[1], abs=1e-6)
        assert alone.run_in.marks[1] is None  # from its top, the aim is not reached: the last place is that of a ride from there
        assert alone.abort.last == pytest.approx(step.stop.last, abs=2e-3)
        assert alone.abort.speed == pytest.approx(step.stop.speed, abs=2e-3)


@pytest.mark.parametrize("name", NAMES)
def test_easier_versions_land_clean_by_solve(name):
    plan = plan_of(name)
    for version in plan.versions:
        line = replace(plan.answer.line, jumps=plan.answer.line.jumps[:1])
        jump = solve(vary(line, {"jump[1].landing.gap_m": version.gap, "jump[1].shape": "tabletop"})).jumps[0]
        assert version.foot[::2] == (jump.sure_foot or (jump.window.foot.min, jump.window.foot.max))
        assert jump.window.foot.min <= version.foot[0] < version.foot[1] < version.foot[2] <= jump.window.foot.max
        assert version.mark == jump.run_in.marks[1] and jump.landings[1].outcome == "clean"
    assert all(version.gap <= plan.answer.complete.jumps[0].landing.gap for version in plan.versions)
    assert (plan.first.shape == "gap") <= (len(plan.versions) >= 1)


def test_strokes_end_before_the_speed_is_measured():
    """From a lower mark they would be made between the cones, where nobody pedals."""
    plan = plan_of("dirt_jump_bike")
    complete = plan.answer.complete
    first_cone = plan.cones.before_foot + plan.cones.length + 0.5 * complete.bike.wheelbase
    checks = [step.mark for step in plan.steps if step.kind == "check"]
    assert complete.run_in.strokes == 5 and len(checks) >= 2
    assert min(checks) - 5 * complete.bike.development >= first_cone


def test_what_a_next_jump_asks_for_is_sure_as_at_the_first():
    """Whatever the rider does at its lip, as the checks before the first jump are for."""
    plan = plan_of("two_in_a_row")
    assert [step.go[::2] for step in plan.steps if step.kind == "next"] == [jump.sure_foot for jump in plan.answer.jumps[1:]]
    assert plan.steps[0].kind == "check" and plan.first.sure_foot[0] <= plan.steps[-2].go[0]


def test_what_cannot_be_tested_in_steps_is_said():
    assert plan_of("short_run_in").cannot == ("no mark",) and plan_of("short_run_in").steps == ()
    too_fast = day_plan(replace(FIRST, run_in=replace(FIRST.run_in, start_speed=13.0)))
    assert too_fast.cannot == ("no mark",) and too_fast.steps == ()
    assert day_plan(FIRST).cannot == ()
    no_way = day_plan(with_jump(FIRST, way_round=False))
    assert "no way off" in no_way.cannot and no_way.steps == ()
    assert "cannot be checked with the lip not jumped" in " ".join(report(no_way).split())
    assert "way off not known" in day_plan(with_jump(FIRST, way_round=None)).cannot
    assert "room not known" in day_plan(with_jump(FIRST, runout=Runout())).cannot
    must = replace(PAIR, jumps=(PAIR.jumps[0], replace(PAIR.jumps[1], way_round=False)))
    assert "next must be jumped" in day_plan(must).cannot
    unmeasured = day_plan(NOT_MEASURED)
    assert "no run-in" in unmeasured.cannot and [step.mark for step in unmeasured.steps] == [None, None]


def test_on_no_day_to_ride_there_is_nothing_to_test():
    wet = day_plan(replace(FIRST, run_in=replace(FIRST.run_in, surface="wet grass or clay")))
    assert wet.refused.why == "today" and wet.steps == () and "km/h" not in report(wet)


def checked(step, speed, *, line=FIRST, day="2026-11-14", **more):
    """A check with a wheel sensor from the step's mark whose speed at the foot was this."""
    reading = float(shown(line, Sensor(speed=5.0, before_foot=1.5), np.array([speed]))[0])
    return Try(date=day, start_mark=step.mark, measured="wheel sensor", speed=reading, before_foot=1.5, **more)


def test_a_log_shows_which_steps_are_done():
    low, second, last, *_ = plan_of("first_gap").steps
    assert all(step.done is None for step in plan_of("first_gap").steps)
    tries = [checked(low, low.go[1]), checked(second, second.go[1])]
    plan = day_plan(FIRST, tries=tries)
    assert [step.done for step in plan.steps] == [1, 1, 0, 0] and plan.following.mark == last.mark and plan.shown.counted == 2
    tries += [checked(last, last.go[1])] * 2 + [checked(last, last.go[2] + 0.3)] + [checked(last, last.go[1])] * 2
    plan = day_plan(FIRST, tries=tries)
    assert plan.steps[2].done == 2  # in a row, after the one that was too fast
    plan = day_plan(FIRST, tries=[*tries, checked(last, last.go[1])])
    assert plan.steps[2].shown and plan.following.kind == "jump"
    flown = [Try(date="2026-11-14", start_mark=last.mark, outcome="clean")] * 3
    done = day_plan(FIRST, tries=[*tries, checked(last, last.go[1]), *flown])
    assert done.following is None and "All that this plan asks" in report(done)
    assert "[done]" in report(done) and "[2 of 3]" in report(day_plan(FIRST, tries=tries))


def test_two_in_a_row_outside_is_said_and_what_is_of_another_day_bike_or_mark_is_not_counted():
    *_, last, _ = plan_of("first_gap").steps
    slow, fast = checked(last, last.go[0] - 0.3), checked(last, last.go[2] + 0.3)
    plan = day_plan(FIRST, tries=[checked(last, last.go[1]), slow, fast])
    assert plan.shown.outside and "last two lie outside" in report(plan)
    assert not day_plan(FIRST, tries=[slow, checked(last, last.go[1]), fast]).shown.outside
    other = [
        checked(last, last.go[1], bike="full suspension"),
        replace(checked(last, last.go[1]), start_mark=last.mark - 5),
        checked(last, last.go[1], surface="gravel"),
        checked(last, last.go[1], start_speed=1.0),
        checked(last, last.go[1], day="2026-11-13"),
        checked(last, last.go[1], rider="Ann"),
        checked(last, last.go[1], tailwind=2.0),
        Try(date="2026-11-14", start_mark=last.mark, air_time=0.8),  # how long it flew does not say clean
    ]
    found = day_plan(FIRST, tries=other).shown
    assert (found.rides, found.counted) == (7, 0)


def test_a_landing_by_tape_counts_and_one_that_was_not_clean_ends_the_day():
    *checks, flight = plan_of("first_gap").steps
    tries = [checked(step, step.go[1]) for step in checks for _ in range(step.needs)]
    places = {"clean": 1.8, "short": -0.5, "long": 5.0}
    flown = {name: Try(date="2026-11-14", start_mark=flight.mark, touched=place) for name, place in places.items()}
    shown = day_plan(FIRST, tries=[*tries, flown["clean"], flown["clean"]])
    assert shown.following.kind == "jump" and shown.following.done == 2 and not shown.shown.off
    for name in ("short", "long"):
        over = day_plan(FIRST, tries=[*tries, flown[name], flown["clean"]])
        assert over.shown.off and "the day is over" in report(over) and "Next is" not in report(over)
    others = day_plan(FIRST, tries=[*tries, *[replace(flown["clean"], rider="Ben")] * 3])
    assert others.following == replace(checks[0], done=0)  # who flies made the checks
    text = " ".join(report(day_plan(FIRST, tries=tries)).split())
    assert "Next is step 5 where it can be had" in text and "then step 7" in text


@pytest.mark.parametrize("reader", Reader)
@pytest.mark.parametrize("name", NAMES)
def test_the_page_is_one_with_nothing_outside_overlapping_or_too_small(name, reader):
    made = sheet.pages(plan_of(name), reader)
    assert made.count == 1
    with matplotlib.rc_context(STYLE):
        (page,) = made.figures()
        page.canvas = FigureCanvasAgg(page)
        renderer = page.canvas.get_renderer()
        texts = [t for t in page.texts if t.get_text() != "EXAMPLE"]
        assert min(t.get_fontsize() for t in texts) >= 8
        boxes = [(t.get_text(), t.get_window_extent(renderer)) for t in texts]
        for text, one in boxes:
            assert 0.03 * page.bbox.width < one.x0 and one.x1 < 0.97 * page.bbox.width, text
            assert 0.02 * page.bbox.height < one.y0 and one.y1 < 0.98 * page.bbox.height, text
        for i, (text, one) in enumerate(boxes):
            for other, two in boxes[i + 1 :]:
                assert one.x1 <= two.x0 or two.x1 <= one.x0 or one.y0 >= two.y1 - 3 or two.y0 >= one.y1 - 3, (text, other)
    told = " ".join(" ".join(t.get_text() for t in page.texts).split())
    for caution in CAUTIONS:
        assert caution in told
    assert "EXAMPLE, not your jump" in told


def test_what_is_printed_counts():
    """The printed ends of a band are rounded inward."""
    plan = plan_of("first_gap")
    told = [Reader.metric.text(words) for words, _ in steps(plan)]
    last = next(step for step in plan.steps if step.kind == "jump")
    assert "34.0 to 35.5 km/h" in told[-1] and 3.6 * last.go[0] <= 34.0 and 3.6 * last.go[2] >= 35.5


def test_the_command(tmp_path, capsys):
    file, log = str(ROOT / "examples" / "first_gap.toml"), tmp_path / "tries.csv"
    low = plan_of("first_gap").steps[0]
    log.write_bytes(tries_csv([checked(low, low.go[1])]) + b"nonsense,,\n")
    assert main(["testday", file, "--log", str(log), "--json"]) == 0
    out, err = capsys.readouterr()
    found = json.loads(out)
    assert [step["done_in_a_row"] for step in found["steps"]] == [1, 0, 0, 0] and found["log"]["day"] == "2026-11-14"
    assert found["example"] and found["cautions"] == list(CAUTIONS) and "row 3 not counted" in err
    assert main(["testday", file]) == 0
    assert capsys.readouterr().out == report(plan_of("first_gap"))
    page = tmp_path / "day.pdf"
    assert main(["testday", file, "--out", str(page)]) == 0
    assert page.read_bytes() == sheet.pages(plan_of("first_gap")).pdf()
    assert main(["testday", file, "--out", str(page)]) == 2
    assert main(["testday", file, "--out", str(tmp_path / "day.doc")]) == 2
    assert main(["testday", file, "--log", str(tmp_path / "none.csv")]) == 2
    assert capsys.readouterr().err.count("\n") == 3


def test_the_panel_of_the_page():
    from streamlit.testing.v1 import AppTest

    page = AppTest.from_file(str(ROOT / "app.py"), default_timeout=60)
    page.query_params["way"] = "ride"
    page.session_state["more ride"] = ["A test day, step by step"]
    page.run()
    told = "\n".join(block.value for block in page.main.markdown)
    assert not page.exception and "do not jump it" in told and "Call it off" in told and "Two checks in a row outside" in told
