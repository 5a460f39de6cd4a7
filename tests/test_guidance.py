"""Published guidance beside a jump: which rules it leaves, each with its source."""

import math
from dataclasses import replace
from pathlib import Path

import pytest

from jumpcalc import solve
from jumpcalc.errors import InputError
from jumpcalc.plan.ask.from_mark import from_mark
from jumpcalc.plan.studies.guidance import guidance
from jumpcalc.show.files.linefile import read_line
from jumpcalc.show.words.guidance import rule as told
from jumpcalc.show.words.numbers import Reader

EXAMPLES = Path(__file__).parent.parent / "examples"
LINE = read_line(EXAMPLES / "first_gap.toml")


def rules(line):
    return {rule.code: rule for rule in guidance(solve(line), 0)}


def with_lip(**changes):
    jump = LINE.jumps[0]
    return replace(LINE, jumps=(replace(jump, lip=replace(jump.lip, **changes)),))


@pytest.mark.parametrize(
    ("degrees", "code", "keeps"),
    # Recreation Aotearoa 2023: ramps at most 20° on grade 2, 25° on 3, 30° on 4, 35° on 5
    [(20, "ramp of grade 2", True), (21, "ramp of grade 3", True), (30, "ramp of grade 4", True),
     (35, "ramp of grade 5", True), (36, "ramp steeper than any grade", False)],
)  # fmt: skip
def test_ramp_angle_by_grade(degrees, code, keeps):
    assert rules(with_lip(angle=math.radians(degrees)))[code].keeps is keeps


def test_straight_by_wheelbase_and_by_time():
    found = rules(LINE)
    assert found["straight of a wheelbase"].asks == pytest.approx(1.17)
    speed = solve(LINE).jumps[0].window.speeds.aim
    assert found["straight of 0.3 s"].asks == pytest.approx(0.3 * speed)
    assert found["straight of a wheelbase"].keeps is False
    # the two rules part at about 17 km/h with a straight of 1.4 m
    assert pytest.approx(17, abs=0.3) == 1.4 / 0.3 * 3.6


def test_fall_zone_is_two_metres_and_the_height():
    found = rules(LINE)["fall zone"]
    assert found.asks == pytest.approx(2.0 + solve(LINE).jumps[0].heights.lip)
    for clear, keeps in ((2.5, False), (3.5, True), (None, None)):
        line = replace(LINE, jumps=(replace(LINE.jumps[0], side_clear=clear),))
        assert rules(line)["fall zone"].keeps is keeps


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.toml")), ids=lambda path: path.stem)
def test_every_rule_is_said_with_unit_and_source(path):
    answer = solve(read_line(path))
    for index in range(len(answer.jumps)):
        for rule in guidance(answer, index):
            for reader in Reader:
                text, here, source = reader.texts(told(rule))
                assert ("°" in text or " ft" in text if reader is Reader.imperial else "°" in text or " m" in text)
                assert here and len(source) > 8


def test_a_mark_found_for_the_aim_rides_to_the_aim():
    answer = solve(LINE)
    jump = answer.jumps[0]
    ridden = from_mark(answer.line, jump.run_in.marks[1])
    assert ridden.lip_speed == pytest.approx(jump.window.speeds.aim, abs=1e-9)
    assert ridden.foot_speed == pytest.approx(jump.window.foot.aim, abs=1e-9)
    assert ridden.roll_time == pytest.approx(jump.run_in.roll_times[1], abs=1e-9)
    assert ridden.landing.x == pytest.approx(jump.landings[1].x, abs=1e-8)


def test_a_mark_off_the_run_in_is_refused():
    answer = solve(LINE)
    for mark in (0.0, -1.0, 40.0):
        with pytest.raises(InputError, match="allowed above 0 to 33"):
            from_mark(answer.line, mark)


def test_too_low_a_mark_does_not_reach_the_edge():
    assert from_mark(LINE, 0.5).lip_speed is None


def test_a_low_lip_that_cannot_be_rolled_does_not_keep_the_rule():
    answer = solve(LINE)
    rule = next(rule for rule in guidance(answer, 0) if rule.code == "height")
    assert rule.has <= rule.asks and not answer.jumps[0].rollable.yes and rule.keeps is False
    assert "cannot be rolled" in Reader.metric.text(told(rule)[1])
