"""The window of lip speeds: that its ends are ends, that narrow ones are found, and why there is none.

Without drag the textbook's point flies a parabola, and windows are worked out from it here.
"""

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from jumpcalc.plan.ask.clean import clean_speeds
from jumpcalc.plan.ask.landings import land, land_each
from jumpcalc.plan.ask.leaving import CARRIED, Style
from jumpcalc.plan.ask.window import FASTEST, aim_speed, find_windows, targets
from jumpcalc.plan.inputs.dug import Jump, Landing, Lip
from jumpcalc.plan.inputs.line import Air, Line
from jumpcalc.plan.inputs.rider import Bike, Limits, Rider, Skill
from jumpcalc.plan.terrain import prepare

G, DEG = 9.80665, math.pi / 180


def jump(*, shape="gap", angle=28, gap=4.2, drop=0.1, fall=24, length=4.5, radius=4.6, exit_radius=None):
    lip = Lip(angle=angle * DEG) if shape == "drop" else Lip(angle=angle * DEG, radius=radius)
    landing = Landing(gap=gap, drop=drop, angle=fall * DEG, length=length, exit_radius=exit_radius)
    return Jump(shape=shape, lip=lip, landing=landing)


def a_course(*, rider=None, limit=1.0, skill=None, air=None, bike=None, **measures):
    line = Line(
        rider=rider or Rider(),
        bike=bike or Bike(),
        air=air or Air(),
        jumps=(jump(**measures),),
        skill=skill or Skill(),
        limits=Limits(equivalent_fall=limit),
    )
    return prepare(line).jumps[0]


POINT = Rider(path="point", drag_area=0.0)
COURSES = {
    "gap": a_course(),
    "tabletop": a_course(shape="tabletop", drop=-0.3, exit_radius=5.0),
    "drop": a_course(shape="drop", angle=-4, drop=1.2, gap=2.0, fall=30),
    "carried": a_course(rider=Rider(path="point"), shape="drop", angle=-4, drop=1.2, gap=2.0, fall=30),
    "low drop": a_course(shape="drop", angle=0, drop=0.5, gap=0.4, fall=20, length=6.0),
    "flat path": a_course(angle=15, gap=4.0, fall=35, length=20.0, limit=3.0),
    "wind": a_course(air=Air(tailwind=-9.0, crosswind=5.0)),
    "hit": a_course(limit=0.2),
    "steep": a_course(shape="tabletop", drop=1.0, fall=38, gap=3.0, length=7.0),
    "rising": a_course(fall=-10, drop=-1.0, gap=3.0, limit=1.5),
    "point": a_course(rider=POINT),
    "narrow": a_course(length=1.172),
    "long face": a_course(length=90, fall=28),
    "slow": a_course(shape="drop", angle=0, drop=2.5, gap=0.5, fall=45, length=5.0, limit=2.0),
}


SPEEDS = np.arange(0.3, FASTEST, 0.01)


@cache
def windows(name):
    return find_windows(COURSES[name], targets(COURSES[name]))


@cache
def landings(name, style):
    """Every 10 mm/s."""
    return land(COURSES[name], SPEEDS, style=style)


@pytest.mark.parametrize("name", COURSES)
@pytest.mark.parametrize("which", [0, 1, 2])
def test_ends_are_ends(name, which):
    one, speeds = COURSES[name], SPEEDS
    target, found = targets(one)[which], windows(name)[which]
    # what is inside and how wide the widest run is
    inside = target.room(*(landings(name, style) for style in target.styles)) >= -1e-9
    marks = np.diff(np.concatenate([[0], inside.astype(int), [0]]))
    runs = [(speeds[a], speeds[b - 1]) for a, b in zip(*(np.nonzero(marks == v)[0] for v in (1, -1)), strict=True)]
    if found.low is None:
        assert not runs
        assert found.why_none is not None and found.limited_by is None
        return
    around = [found.low - 1e-6, found.low, found.low + 1e-6, found.high - 1e-6, found.high]
    around = np.array([*around, min(found.high + 1e-6, FASTEST)])
    landed = land_each(one, [(style, around) for style in target.styles])
    good = list(target.room(*landed) >= -1e-9 - 1e-12)
    assert {outcome for flown in landed for outcome in flown.outcomes[1:5]} == {"clean"}
    top = found.high == FASTEST
    assert good == [False, True, True, True, True, top]
    at_end = land_each(one, [(style, np.array([found.high])) for style in target.styles])
    spare_face = min(target.high - float(flown.along[0]) for flown in at_end)
    spare_hit = min(target.hardest - float(flown.fall_height[0]) for flown in at_end)
    assert found.limited_by == ("40 m/s" if top else "hit" if spare_hit < spare_face else "face")
    if runs:
        low, high = max(runs, key=lambda run: run[1] - run[0])
        assert found.low == pytest.approx(low, abs=0.0101)
        assert found.high == pytest.approx(high, abs=0.0101)
    else:
        assert found.high - found.low < 0.02


def test_what_ends_it():
    face = find_windows(COURSES["gap"], targets(COURSES["gap"]))[0]
    assert face.limited_by == "face"
    landed = land(COURSES["gap"], [face.low, face.high])
    assert landed.along == pytest.approx([1.17 / 2, 4.5 - 1.17 / 2], abs=2e-9)
    hit = find_windows(COURSES["hit"], targets(COURSES["hit"]))[0]
    assert hit.limited_by == "hit"
    assert land(COURSES["hit"], [hit.high]).fall_height[0] == pytest.approx(0.2, abs=2e-9)
    assert hit.high < face.high


@pytest.mark.parametrize("spare", [1e-1, 1e-2, 2e-3, 1e-4])
@pytest.mark.parametrize("gap", [2.0, 4.2, 7.7])
def test_narrow_face_is_found(gap, spare):
    one = a_course(gap=gap, length=1.17 + spare, fall=20)
    found = find_windows(one, targets(one))[0]
    assert found.low is not None
    assert 0 < found.high - found.low < 2 * spare
    assert list(land(one, [found.low, (found.low + found.high) / 2, found.high]).outcomes) == ["clean"] * 3


@pytest.mark.parametrize("spare", [1e-2, 1e-3, 1e-4])
def test_narrow_hit_is_found(spare):
    # a steep path onto a flat face hits least at its start
    open_course = a_course(gap=5.0, fall=2, angle=40, length=4.0, limit=3.0)
    first = find_windows(open_course, targets(open_course))[0].low
    softest = float(land(open_course, [first]).fall_height[0])
    one = a_course(gap=5.0, fall=2, angle=40, length=4.0, limit=softest + spare)
    found = find_windows(one, targets(one))[0]
    assert found.low == pytest.approx(first, abs=1e-6)
    assert found.limited_by == "hit" and 0 < found.high - found.low < 20 * spare


@pytest.mark.parametrize(
    ("code", "measures"),
    [
        ("face shorter than bike", {"length": 1.1}),
        ("lip points below the knuckle", {"angle": 10, "drop": -1.0, "gap": 4.0}),
        ("every landing hits too hard", {"fall": 0, "angle": 45, "gap": 6.0, "limit": 0.3}),
        ("nothing reaches the landing", {"gap": 60.0, "drop": 30.0, "angle": -25, "shape": "drop", "fall": 40}),
        ("every path skips the face", {"angle": 15, "gap": 4.0, "fall": 35, "rider": POINT}),
    ],
)
def test_why_there_is_none(code, measures):
    one = a_course(**measures)
    found = find_windows(one, targets(one))[0]
    assert found.low is None
    assert found.why_none.code == code
    assert all(math.isfinite(value) for _, value in found.why_none.values)


def test_the_rider_uses_up_the_landing():
    for length in (1.172, 2.2):  # the first one has a window of half a mm/s
        one = a_course(length=length)
        window, sure, _ = find_windows(one, targets(one))
        assert window.low is not None and sure.low is None
        assert sure.why_none.code == "the rider uses up the landing"
        assert clean_speeds(one).why_not_sure.code == "the rider uses up the landing"


def test_a_drop_that_is_not_clean_for_both_riders_says_so():
    one = a_course(shape="drop", angle=-4, drop=1.2, gap=2.0, fall=30, length=1.8)
    found = clean_speeds(one)
    assert found.window.speeds is not None and found.point.speeds is not None
    assert found.sure is None and found.why_not_sure.code == "no speed for both riders"


def test_a_squashed_lip_that_does_not_clear_the_knuckle_is_not_sure():
    """Lip 15°, face 35°: paths are flatter than the face, so what comes down on it has passed close above the knuckle."""
    place = {"angle": 15, "gap": 4.0, "drop": 0.1, "fall": 35, "limit": 3.0}
    one = a_course(**place, length=8.5)
    found = clean_speeds(one)
    speeds = found.window.speeds
    assert speeds is not None and found.sure is None
    inside = np.linspace(speeds.min, speeds.max, 50)
    squashed, stiff = land_each(one, [(Style(spring=-0.45), inside), (Style(), inside)])
    assert set(stiff.outcomes) == {"clean"} and set(squashed.outcomes) == {"short"}
    # on a longer face the sure window begins with the first squashed path that clears the knuckle, far down the face
    long = a_course(**place, length=20.0)
    low = clean_speeds(long).sure[0]
    assert low > speeds.max
    landed = land(long, [low - 1e-6, low], style=Style(spring=-0.45))
    assert list(landed.outcomes) == ["short", "clean"] and landed.surface[0] in ("wall", "knuckle") and landed.along[1] > 4.5


def test_a_path_that_skips():
    # independent computation, no drag: lip 15°, knuckle (4, −0.1), face 35°: every speed above 8.4710 m/s lands at
    # d ≥ 6.372 m, so a face of 4.5 m has no window
    one = a_course(rider=POINT, angle=15, gap=4.0, drop=0.1, fall=35, length=4.5)
    window = find_windows(one, targets(one))[0]
    assert window.low is None and window.why_none["along"] > 4.5
    # on a face long enough the first speed over the knuckle lands there
    long = a_course(rider=POINT, angle=15, gap=4.0, drop=0.1, fall=35, length=30)
    landed = land(long, [8.4709, 8.4711, 8.6, 9.0, 12.0])
    assert landed.outcomes[0] == "short" and (landed.along[1:] >= 6.372 - 1e-3).all()
    assert landed.along[1] == pytest.approx(6.372, abs=2e-3)
    found = find_windows(long, targets(long))[0]
    assert found.low == pytest.approx(8.4710, abs=5e-5)


def parabola(v, *, angle, gap, drop, fall):
    """Closed form without drag: whether v clears the knuckle, d along the face, h there."""
    tan, bend = math.tan(angle), G / (2 * v**2 * np.cos(angle) ** 2)
    over = gap * tan - bend * gap**2 > -drop
    # x tanθ − b x² = −drop − (x − gap) tanφ, the far root
    slope = tan + math.tan(fall)
    rest = drop - gap * math.tan(fall)
    x = (slope + np.sqrt(np.maximum(slope**2 + 4 * bend * rest, 0))) / (2 * bend)
    d = (x - gap) / math.cos(fall)
    v_x, v_z = v * np.cos(angle), v * np.sin(angle) - G * x / (v * np.cos(angle))
    return over, d, (v_x * math.sin(fall) + v_z * math.cos(fall)) ** 2 / (2 * G)


def test_a_window_narrower_than_the_first_look_is_found():
    """A level deck and a face of little more than a bike: the window lies between two speeds of the scan."""
    one = a_course(rider=POINT, limit=1.0, shape="tabletop", angle=8.0, gap=6.0, drop=0.0, fall=8.0, length=1.3125)
    found = find_windows(one, targets(one))[0]
    place = {"angle": 8 * DEG, "gap": 6.0, "drop": 0.0, "fall": 8 * DEG}
    ends = [brentq(lambda v, d=d: parabola(v, **place)[1] - d, 10, 25, xtol=1e-12) for d in (0.585, 1.3125 - 0.585)]
    assert [found.low, found.high] == pytest.approx(ends, abs=1e-7)


@settings(max_examples=60, deadline=None)
@given(
    angle=st.floats(5, 60),
    gap=st.floats(1, 9),
    drop=st.floats(-1.5, 3),
    fall=st.floats(-10, 45),
    length=st.floats(1.3, 12),
    limit=st.floats(0.1, 2.5),
    tabletop=st.booleans(),
)
def test_point_against_parabola(angle, gap, drop, fall, length, limit, tabletop):
    assume(math.atan2(-drop, gap) < angle * DEG - 0.02 and -fall < angle - 2)
    place = {"angle": angle * DEG, "gap": gap, "drop": drop, "fall": fall * DEG}
    half = 1.17 / 2

    def room(v):
        over, d, h = parabola(v, **place)
        return np.where(over, np.minimum(np.minimum(d - half, length - half - d), limit - h), -1.0)

    speeds = np.linspace(0.5, FASTEST, 20001)
    good = room(speeds) >= 0
    marks = np.diff(np.concatenate([[0], good.astype(int), [0]]))
    ends = zip(np.nonzero(marks == 1)[0], np.nonzero(marks == -1)[0] - 1, strict=True)
    runs = sorted(ends, key=lambda run: run[1] - run[0])
    one = a_course(
        rider=POINT,
        limit=limit,
        shape="tabletop" if tabletop else "gap",
        angle=angle,
        gap=gap,
        drop=drop,
        fall=fall,
        length=length,
    )
    found = find_windows(one, targets(one)[:1])[0]
    if not runs:
        assert found.low is None or found.high - found.low < 0.005
        return
    first, last = (int(i) for i in runs[-1])
    if len(runs) > 1 and speeds[last] - speeds[first] - np.ptp(speeds[list(runs[-2])]) < 0.01:
        return  # two runs as wide as each other: either is right
    assert found.low is not None
    low = brentq(room, speeds[first - 1], speeds[first], xtol=1e-12)
    assert found.low == pytest.approx(low, abs=1e-7)
    if last < len(speeds) - 1:
        assert found.high == pytest.approx(brentq(room, speeds[last], speeds[last + 1], xtol=1e-12), abs=1e-7)
    else:
        assert found.high == FASTEST and found.limited_by == "40 m/s"


@pytest.mark.parametrize(("squash", "spring"), [(0.45, 0.45), (0.0, 0.6), (0.7, 0.0)])
@pytest.mark.parametrize(("fall", "limit"), [(10, 2.0), (24, 2.0), (10, 0.7)])
def test_sure_window_against_parabolas(fall, limit, squash, spring):
    """A spring p turns the start by atan(p/v) and makes it √(v² + p²): three parabolas, clean all of them."""
    one = a_course(rider=POINT, skill=Skill(squash=squash, spring=spring), fall=fall, length=5.0, limit=limit)
    half = 1.17 / 2

    def room(v):
        rooms = []
        for p in (-squash, 0.0, spring):
            start = {"angle": 28 * DEG + math.atan2(p, v), "gap": 4.2, "drop": 0.1, "fall": fall * DEG}
            over, d, h = parabola(math.hypot(v, p), **start)
            rooms.append(min(d - half, 5.0 - half - d, limit - h) if over else -1.0)
        return min(rooms)

    sure = find_windows(one, targets(one))[1]
    speeds = np.arange(5.0, 12.0, 0.02)
    good = np.nonzero(np.array([room(v) for v in speeds]) >= 0)[0]
    low = brentq(room, speeds[good[0] - 1], speeds[good[0]], xtol=1e-12)
    high = brentq(room, speeds[good[-1]], speeds[good[-1] + 1], xtol=1e-12)
    assert (sure.low, sure.high) == pytest.approx((low, high), abs=1e-7)


def test_without_springs_the_whole_window_is_sure():
    one = a_course(skill=Skill(squash=0.0, spring=0.0))
    window, sure, _ = find_windows(one, targets(one))
    assert (sure.low, sure.high) == (window.low, window.high)


@pytest.mark.parametrize("name", ["drop", "carried"])
def test_sure_off_a_drop_is_what_both_riders_land(name):
    styles = targets(COURSES[name])[1].styles
    assert set(styles) == {Style(path="bike"), CARRIED}
    sure = windows(name)[1]
    rolled, carried = windows("drop")[0], windows("carried")[0]
    assert sure.low == pytest.approx(max(rolled.low, carried.low), abs=1e-7)
    assert sure.high == pytest.approx(min(rolled.high, carried.high), abs=1e-7)


@pytest.mark.parametrize(("low", "high", "aim"), [(9, 9.5, 9.25), (9, 20, 10), (9, 11, 10)])
def test_aim(low, high, aim):
    assert aim_speed(low, high) == pytest.approx(aim)


# by hand, no drag, point, level landing of no fall: range v² sin2θ/g; d = range − gap
@pytest.mark.parametrize(
    ("d", "outcome", "surface"),
    [
        (-0.5, "short", "deck"),
        (0.3, "rear short", "face"),
        (0.585, "clean", "face"),
        (2.0, "clean", "face"),
        (3.415, "clean", "face"),
        (3.6, "front long", "face"),
        (4.2, "long", "beyond"),
    ],
)
def test_outcomes_by_range(d, outcome, surface):
    one = a_course(rider=POINT, shape="tabletop", drop=0, fall=0, gap=4.0, length=4.0)
    fall = replace(one, terrain=replace(one.terrain, angle=30 * DEG))
    speed = math.sqrt(G * (4.0 + d) / math.sin(60 * DEG))
    landed = land(fall, [speed]).result(0)
    if surface == "deck":
        # a deck that runs on level from the edge is met where the parabola comes down
        assert landed.x == pytest.approx(3.5)
    else:
        assert landed.along_face == pytest.approx(d, abs=1e-9)
    assert (landed.outcome, landed.surface) == (outcome, surface)


@pytest.mark.parametrize(
    ("speed", "surface", "hit"),
    [(3.0, "floor", True), (6.6, "wall", False)],
)
def test_short_in_a_gap(speed, surface, hit):
    one = a_course(rider=POINT, angle=30, gap=4.0, drop=-0.2, radius=7.0)
    landed = land(one, [speed]).result(0)
    assert landed.outcome == "short" and landed.surface == surface
    assert (landed.equivalent_fall is not None) == hit
    assert landed.along_face is None
    if hit:
        assert landed.z == pytest.approx(-7.0 * (1 - math.cos(30 * DEG)))
    else:
        assert landed.x == pytest.approx(4.0) and landed.into_ground is None


def test_too_slow_to_fly_rolls_off():
    one = a_course()
    landed = land(one, [2.0]).result(0)
    assert (landed.outcome, landed.surface) == ("short", "edge")
    assert landed.equivalent_fall is None and landed.x is None and landed.flight is None
