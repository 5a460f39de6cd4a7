"""The speed check: cones on this run-in, bands that lead back to the window, and what is not told where it cannot be."""

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from jumpcalc import Piece, read_line, solve, vary
from jumpcalc.plan.ask.lip import foot_speeds
from jumpcalc.plan.notes import Code
from jumpcalc.plan.studies.field.check import RATES, RUNS
from jumpcalc.plan.studies.field.check import check as checked
from jumpcalc.plan.studies.field.cones import Cones
from jumpcalc.plan.studies.field.kinds import Filmed, Passing, Receiver, Sensor, Timed
from jumpcalc.plan.studies.field.readings import NINETY, measured
from jumpcalc.plan.studies.field.takes import what_it_takes
from jumpcalc.plan.studies.field.way import way_before
from jumpcalc.plan.studies.field.window import Grade, Lies, Window, lies
from jumpcalc.plan.terrain import prepare

NAMES = ("first_gap", "low_drop", "short_run_in", "step_up_table", "two_in_a_row", "dirt_jump_bike")


def check(line):
    return checked(solve(line))


@cache
def line_of(name):
    return read_line(f"examples/{name}.toml")


@cache
def found_for(name):
    return check(line_of(name))


@pytest.mark.parametrize("name", NAMES)
def test_cones_stand_on_the_run_in_and_the_speed_hardly_changes_between_them(name):
    found = found_for(name)
    way = way_before(prepare(line_of(name)), 0)
    wheelbase, cones = way.course.rig.wheelbase, found.cones
    assert cones.before_foot >= wheelbase and cones.change < 0.05
    assert cones.before_foot + cones.length + wheelbase / 2 <= way.room
    places = cones.before_foot + wheelbase / 2 + np.linspace(0, cones.length, 50)
    speeds = way.speeds(np.array([found.window.aim]), places)[0]
    assert np.ptp(speeds) / speeds[0] == pytest.approx(cones.change, abs=2e-3)
    further = way.speeds(np.array([found.window.aim]), np.append(places, places[-1] + 0.5))[0]
    strokes = line_of(name).run_in.strokes or 0
    assert not np.isfinite(further[-1]) or np.ptp(further) / further[0] >= 0.05 or strokes


@pytest.mark.parametrize("name", NAMES)
def test_bands_lead_back_to_the_window(name):
    """What stands at an end of a band is measured back to that end of the window; whole frames lie inside it."""
    found = found_for(name)
    for band in found.bands:
        if isinstance(band.reading, (Filmed, Passing)):
            if band.slow >= band.fast:
                for frames in (band.slow, band.fast):
                    speed = measured(line_of(name), replace(band.reading, frames=float(frames))).foot_speed
                    assert found.window.low - 1e-6 <= speed <= found.window.high + 1e-6
            continue
        ends = (band.slow, band.aim, band.fast)
        for value, speed in zip(ends, (found.window.low, found.window.aim, found.window.high), strict=True):
            changed = {"time": value} if isinstance(band.reading, Timed) else {"speed": value}
            assert measured(line_of(name), replace(band.reading, **changed)).foot_speed == pytest.approx(speed, abs=1e-6)


@pytest.mark.parametrize("name", NAMES)
def test_no_window_narrower_than_the_method_can_tell(name):
    found = found_for(name)
    half = 0.5 * (found.window.high - found.window.low)
    assert {type(band.reading) for band in found.bands} == {Timed, Filmed, Passing, Sensor, Receiver}
    for band in found.bands:
        whole = not isinstance(band.reading, (Filmed, Passing)) or band.fast <= band.slow
        if band.grade is Grade.GOOD:
            assert band.ninety <= 0.5 * half and whole
        elif band.grade is Grade.ROUGH:
            assert band.ninety <= half and whole
        else:
            assert band.ninety > half or not whole
    hands = [band.ninety for band in found.bands if isinstance(band.reading, Timed)]
    filmed = [band.ninety for band in found.bands if isinstance(band.reading, Filmed)]
    assert hands == sorted(hands, reverse=True) and len(hands) == len(RUNS)
    assert filmed == sorted(filmed, reverse=True) and len(filmed) == len(RATES)


def test_uncertainties_by_proportion_are_those_of_each_reading_alone():
    """JCGM 100, eq. 10: what adds to it is in proportion to each error; by hand it is more than first order can hold."""
    for band in found_for("two_in_a_row").bands:
        if isinstance(band.reading, (Filmed, Sensor, Receiver)):
            alone = measured(line_of("two_in_a_row"), band.reading)
            assert band.ninety == pytest.approx(NINETY * alone.foot_uncertainty, rel=0.01)


def test_the_sure_part_is_what_is_checked_for():
    jump = solve(line_of("first_gap")).jumps[0]
    window = found_for("first_gap").window
    assert (window.low, window.high, window.of) == (*jump.sure_foot, "sure")
    drop = solve(line_of("low_drop")).jumps[0]
    assert (found_for("low_drop").window.low, found_for("low_drop").window.high) == drop.sure


@pytest.mark.parametrize("shorter", [0.3, 0.6])
def test_the_jumps_after_it_cut_the_window(shorter):
    """The second gap shorter: only the slow part of the first one's window carries, of its sure part all but nothing or nothing."""
    line = line_of("two_in_a_row")
    found = check(vary(line, {"jump[2].landing.gap_m": line.jumps[1].landing.gap - shorter}))
    first = found.jump
    lowest, highest = (float(v) for v in foot_speeds(prepare(line).jumps[0], found.answer.ride.lip_speeds, heights=1.05))
    assert found.window.of == "line" and found.window.high == pytest.approx(highest, abs=1e-9)
    assert highest < first.sure_foot[1] and lowest == pytest.approx(first.window.foot.min, abs=1e-6)
    assert found.window.low == pytest.approx(first.sure_foot[0] if highest > first.sure_foot[0] else lowest, abs=1e-9)
    assert found.window.low <= found.window.aim <= found.window.high


def test_a_line_that_no_start_rides_clean_has_no_check():
    line = line_of("two_in_a_row")
    found = check(vary(line, {"jump[2].landing.gap_m": line.jumps[1].landing.gap + 3}))
    assert found.window is None and found.bands == () and found.why_none == found.answer.ride.why_none


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"jump[1].landing.length_m": 1.0}, Code.FACE_SHORTER_THAN_BIKE),
        ({"jump[1].landing.gap_m": 18.0, "jump[1].landing.length_m": 15.0}, Code.THE_GAP_IS_FAR_OUTSIDE),
        ({"air.crosswind_kmh": 30}, Code.THE_SIDE_WIND_IS_TOO_STRONG),
    ],
)
def test_where_no_speed_is_offered_none_is_checked(changes, code):
    found = check(vary(line_of("first_gap"), changes))
    assert found.window is None and found.cones is None and found.bands == ()
    assert code in (found.why_none.code, *(note.code for note in found.jump.beware))


def test_with_strokes_the_cones_stand_after_the_last_one():
    line = vary(line_of("first_gap"), {"run_in.strokes": 2, "run_in.strokes_at_m": 9})
    cones = check(line).cones
    assert cones.before_foot + cones.length + 0.5 * prepare(line).line.bike.wheelbase <= 9 - 2 * 2.2 + 1e-9
    assert check(vary(line_of("first_gap"), {"run_in.strokes": 4, "run_in.strokes_at_m": 9})).cones is None


def test_a_shove_changes_nothing_of_the_check():
    """The speed at the foot is what is checked, however it was come by."""
    shoved = check(vary(line_of("first_gap"), {"run_in.start_speed_kmh": 3}))
    assert shoved.window == found_for("first_gap").window and shoved.bands == found_for("first_gap").bands


def test_without_a_measured_run_in_by_the_last_metres_alone():
    found = check(vary(line_of("first_gap"), {"run_in.pieces": None}))
    assert not found.known_ground
    assert found.cones.before_foot + found.cones.length <= 8
    worse, own = (
        {type(band.reading): band.ninety for band in one.bands} for one in (found, found_for("first_gap"))
    )
    assert worse[Sensor] > own[Sensor]


def test_on_a_run_in_shorter_than_two_wheelbases_there_are_no_cones():
    found = check(vary(line_of("first_gap"), {"run_in.pieces": (Piece(length=2.0, slope=-0.1),)}))
    assert found.cones is None
    assert {type(band.reading) for band in found.bands} == {Sensor, Receiver}


def test_where_a_speed_lies():
    line = line_of("low_drop")
    window = found_for("low_drop").window
    told = {}
    for speed in np.linspace(5.5, 9.0, 36):
        told.setdefault(lies(window, measured(line, Sensor(speed=float(speed), before_foot=0.0, rolled_out=True))), []).append(speed)
    assert list(told) == [Lies.SLOW, Lies.MAYBE_SLOW, Lies.INSIDE, Lies.MAYBE_FAST, Lies.FAST]
    assert min(told[Lies.INSIDE]) > window.low and max(told[Lies.INSIDE]) < window.high
    rough = measured(line, Timed(length=4.0, before_foot=1.5, time=4.0 / 7.3))
    assert lies(window, rough) is Lies.CANNOT_TELL
    slowest = Window(low=0.0, aim=window.aim, high=window.high, of="clean", from_rest=True)
    assert lies(slowest, measured(line, Sensor(speed=2.0, before_foot=0.0))) is Lies.INSIDE


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("kind", [Timed, Filmed])
def test_what_it_would_take_was_tried(name, kind):
    """Each proposal, made into a line and cones of its own, is good enough for the same window."""
    found = found_for(name)
    takes = what_it_takes(found, kind)
    if any(isinstance(band.reading, kind) for band in found.good):
        assert takes is None
    if takes is None:
        return
    line = vary(line_of(name), {"run_in.slope_accuracy_deg": 0.3}) if takes.level else line_of(name)
    cones = Cones(
        length=takes.length or found.cones.length,
        before_foot=found.cones.before_foot,
        change=0.0,
        camera=takes.camera or found.cones.camera,
    )
    where = {"length": cones.length, "before_foot": cones.before_foot}
    guess = cones.length / found.window.aim
    reading = (
        Timed(**where, time=guess, runs=takes.runs)
        if kind is Timed
        else Filmed(**where, frames=guess * takes.rate, rate=takes.rate, camera=cones.camera)
    )
    ninety = NINETY * measured(line, reading).foot_uncertainty
    assert ninety <= 0.5 * found.window.half * 1.1 and math.isclose(ninety, takes.ninety, rel_tol=0.1)
