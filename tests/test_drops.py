"""Drops: what they need, and what is known of a bike that rolls off one without flying."""

import math
from dataclasses import replace
from pathlib import Path

import pytest

from jumpcalc.errors import InputError
from jumpcalc.plan.ask.clean import clean_speeds
from jumpcalc.plan.ask.landings import land
from jumpcalc.plan.ask.leaving import CARRIED, Style
from jumpcalc.plan.inputs.assume import foot_slope
from jumpcalc.plan.inputs.dug import Jump, Landing, Lip
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.rider import Bike
from jumpcalc.plan.notes import Code
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.field.check import check
from jumpcalc.plan.studies.rideable import refused
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import vary
from jumpcalc.plan.views.side import side_view
from jumpcalc.show.files.linefile import parse_line, read_line
from jumpcalc.show.words.check_report import report as check_report
from jumpcalc.show.words.jump import headline
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.report import report

ROOT, DEG = Path(__file__).parents[1], math.pi / 180

LANDING = Landing(gap=4.2, drop=0.1, angle=math.radians(24), length=4.5, exit_radius=6.0)


def test_a_bike_that_rolls_off_the_edge_has_no_place_and_no_hit():
    drop = Line(jumps=(Jump(shape="drop", lip=Lip(angle=0.0), landing=replace(LANDING, gap=0.3, drop=0.2)),))
    rolled, flew = (land(prepare(drop).jumps[0], [0.4, 9.0]).result(row) for row in range(2))
    assert (rolled.lip_speed, rolled.outcome, rolled.surface) == (0.4, "short", "edge")
    known = {name: getattr(rolled, name) for name in rolled.__slots__ if name not in ("lip_speed", "outcome", "surface")}
    assert set(known.values()) == {None}, known
    assert flew.flight > 0 and flew.x > 0 and flew.speed > 0


@pytest.mark.parametrize("drop", [None, 0.0, -0.9])
def test_a_drop_needs_its_drop(drop):
    with pytest.raises(InputError) as refusal:
        Jump(shape="drop", lip=Lip(angle=0.0), landing=replace(LANDING, drop=drop))
    assert refusal.value.key == "landing.drop_m" and "more than 0 m" in refusal.value.text and "\n" not in str(refusal.value)


def test_the_speed_that_carries_a_drop_clean_is_too_slow_for_who_rolls_off():
    """At 6.06 m/s the point comes down in the middle of this face; the bike by itself does not reach it."""
    landing = Landing(gap=2.0, drop=0.9, angle=math.radians(26), length=4.2)
    jump = Jump(shape="drop", lip=Lip(angle=math.radians(-2)), landing=landing)
    one = prepare(Line(bike=Bike(kind="full suspension", wheelbase=1.23), jumps=(jump,))).jumps[0]
    assert land(one, [6.06], style=CARRIED).outcomes == ("clean",)
    assert land(one, [6.06], style=Style()).outcomes == ("short",)
    found = clean_speeds(one)
    assert found.sure[0] > 6.06 and found.window.speeds.min > 6.06 > found.point.speeds.min


def test_a_drop_that_asks_for_a_carried_front_says_so_before_any_speed():
    """Rolled off at the aim its front wheel dips by more than 20°; said first, and nowhere that it is clean rolled off."""
    landing = Landing(gap=1.22, drop=1.07, angle=math.atan(0.45), length=3.66)
    line = Line(jumps=(Jump(shape="drop", lip=Lip(angle=0.0), landing=landing),))
    answer = solve(line)
    jump = answer.jumps[0]
    assert jump.must_be_carried and jump.beware[0].code is Code.THE_FRONT_MUST_BE_CARRIED
    told, checked = (" ".join(text.split()) for text in (report(answer), check_report(check(answer))))
    assert told.index("Only for someone who carries the front.") < told.index("Leave the edge at")
    assert "Rolled off it lands clean" not in told and "Rolled off or carried" not in told
    assert "Only for someone who carries the front." in checked and "rolled off or carried" not in checked
    plain = solve(read_line(ROOT / "examples" / "low_drop.toml")).jumps[0]
    assert not plain.must_be_carried and plain.beware == ()


def test_an_edge_that_slopes_otherwise_than_the_ground_before_it_is_said_and_drawn():
    line = read_line(ROOT / "examples" / "low_drop.toml")
    ends = foot_slope(line, 0)
    for angle, told in ((ends - 6 * DEG, True), (ends - 0.9 * DEG, False)):
        other = vary(line, {"jump[1].lip.angle_deg": math.degrees(angle)})
        answer = solve(other)
        assert (Code.THE_EDGE_SLOPES_OTHERWISE in [note.code for note in answer.warnings]) == told
        ground = {stretch.name: stretch for stretch in side_view(answer, 0).ground}["run-in"]
        rise = math.atan2(ground.z[-1] - ground.z[-2], ground.x[-1] - ground.x[-2])
        assert rise == pytest.approx(angle, abs=1e-9)


def test_a_drop_for_who_carries_the_front_has_a_speed_only_where_either_way_of_it_lands_clean():
    """The edge rises, the landing is short: carried from the edge on 11.6 to 14.8 km/h land clean, pulled up in the air 15.7 and more."""
    file = """
    bike = {kind = "full suspension"}
    rider = {mass_kg = 130}
    run_in = {pieces = [{length_m = 20, slope_deg = -8}, {radius_m = 10, to_slope_deg = 5}, {length_m = 1.5, slope_deg = 5}]}
    [[jump]]
    shape = "drop"
    lip = {angle_deg = 5}
    landing = {gap_m = 1.5, drop_m = 1.6, angle_deg = 25, length_m = 2.2, exit_radius_m = 5}
    """
    line = parse_line(file)
    answer = solve(line)
    jump = answer.jumps[0]
    assert jump.must_be_carried and jump.sure is None and jump.point.speeds.max < jump.window.speeds.min
    assert jump.no_ride.code is Code.NO_SPEED_FOR_WHO_CARRIES and refused(answer).why == "outside"
    assert Reader.metric.text(headline(jump)).startswith("No speed to ride: only someone who carries the front")
    longer = solve(vary(line, {"jump[1].landing.length_m": 3.0})).jumps[0]
    assert longer.must_be_carried and longer.no_ride is None and longer.sure[0] <= longer.window.speeds.aim <= longer.sure[1]
    carries = solve(vary(line, {"rider.path": "point"})).jumps[0]
    assert carries.no_ride is None and carries.window.speeds.max == pytest.approx(jump.point.speeds.max, abs=1e-6)
