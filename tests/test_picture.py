"""Drawings' points: they agree with the answer and, without air and body, with the textbook's closed forms."""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from jumpcalc import Air, InputError, Jump, Landing, Limits, Line, Lip, Piece, Rider, Runout, solve
from jumpcalc.plan.ask.from_mark import from_mark
from jumpcalc.plan.solve import solve_jumps
from jumpcalc.plan.views.hit import impact_curve
from jumpcalc.plan.views.side import first_view, side_view
from jumpcalc.plan.views.stop import stop_view
from jumpcalc.show.files.linefile import parse_line, read_line
from jumpcalc.show.paper import side as draw
from jumpcalc.show.paper.svg import Words
from jumpcalc.show.words.numbers import Reader
from jumpcalc.units import STANDARD_GRAVITY as G

EXAMPLES = sorted((Path(__file__).parent.parent / "examples").glob("*.toml"))
DEG = math.radians(1)


def point_line(*, fall=24 * DEG, length=4.5, drop=0.3, limit=1.5):
    """A jump flown as a point without air, so that the parabola is the answer."""
    return Line(
        rider=Rider(path="point", drag_area=0.0),
        air=Air(altitude=0.0),
        limits=Limits(equivalent_fall=limit),
        jumps=(
            Jump(
                lip=Lip(angle=28 * DEG, radius=4.8),
                landing=Landing(gap=4.2, drop=drop, angle=fall, length=length, exit_radius=6.0),
                runout=Runout(pieces=(Piece(length=40.0, slope=-2 * DEG),)),
            ),
        ),
    )


@pytest.fixture(scope="module", params=EXAMPLES, ids=lambda path: path.stem)
def answer(request):
    return solve(read_line(request.param))


def each(answer):
    return range(len(answer.jumps))


def test_paths_go_from_the_edge_to_the_touchdown(answer):
    for index in each(answer):
        view = side_view(answer, index)
        assert [path.name for path in view.paths] == ["slow", "min", "aim", "max"]
        for path in view.paths:
            assert math.hypot(path.x[0], path.z[0]) < 1e-9
            assert path.x[-1] == pytest.approx(path.landing.x, abs=1e-9)
            assert path.z[-1] == pytest.approx(path.landing.z, abs=1e-9)
            assert max(path.z) <= path.landing.apex + 1e-9
        assert view.paths[0].landing.outcome in ("short", "rear short")
        assert [path.landing for path in view.paths[1:]] == list(answer.jumps[index].landings)


def test_ground_hangs_together(answer):
    for index in each(answer):
        view = side_view(answer, index)
        for before, after in zip(view.ground, view.ground[1:], strict=False):
            assert (before.x[-1], before.z[-1]) == pytest.approx((after.x[0], after.z[0]), abs=1e-9)
        edge = next(part for part in view.ground if part.name in ("gap", "deck"))
        assert (edge.x[0], edge.z[0]) == pytest.approx((0, 0), abs=1e-12)
        assert (edge.x[-1], edge.z[-1]) == pytest.approx(view.knuckle, abs=1e-12)


def test_no_path_is_below_the_ground(answer):
    for index in each(answer):
        view = side_view(answer, index)
        ground_x = [x for part in view.ground if part.name not in ("run-in", "lip", "gap") for x in part.x]
        ground_z = [z for part in view.ground if part.name not in ("run-in", "lip", "gap") for z in part.z]
        for path in view.paths:
            over = [(x, z) for x, z in zip(path.x, path.z, strict=True) if x > ground_x[0] + 1e-9]
            # the drawn ground is made of chords, up to 0.1 m long
            assert all(z >= np.interp(x, ground_x, ground_z) - 1e-3 for x, z in over)


def test_stop_is_as_far_along_the_ground_as_the_answer_says(answer):
    for index in each(answer):
        view, stop = stop_view(answer, index), answer.jumps[index].stop
        for stretch, told in ((view.reaction, stop.reaction), (view.braking, stop.braking)):
            run = np.hypot(np.diff(stretch.x), np.diff(stretch.z)).sum()
            assert run == pytest.approx(told, rel=1e-3)
        assert (view.braking.x[-1] <= view.room_end[0]) == stop.stops


def test_path_of_a_point_without_air_is_the_parabola():
    # z = x tanθ − g x²/(2 v² cos²θ): Young & Freedman, University Physics, projectile motion
    line = point_line()
    for path in side_view(solve(line), 0).paths:
        x, speed, angle = np.array(path.x), path.landing.lip_speed, 28 * DEG
        z = x * math.tan(angle) - G * x**2 / (2 * speed**2 * math.cos(angle) ** 2)
        assert np.abs(np.array(path.z) - z).max() < 1e-9


def test_hit_of_a_point_without_air_is_that_of_the_energy_balance():
    # h = v² sin²(descent − fall)/(2 g), the equivalent fall height of Hubbard (2009), eq. 1
    line = point_line()
    curve = impact_curve(solve(line), 0)
    angle, fall, drop, gap = 28 * DEG, 24 * DEG, 0.3, 4.2
    checked = 0
    for speed, height, outcome in zip(curve.speed, curve.fall_height, curve.outcome, strict=True):
        if outcome != "clean":
            continue
        # parabola against the face z = −drop − (x − gap) tan(fall)
        bend = G / (2 * speed**2 * math.cos(angle) ** 2)
        steep = math.tan(angle) + math.tan(fall)
        x = (steep + math.sqrt(steep**2 + 4 * bend * (drop - gap * math.tan(fall)))) / (2 * bend)
        v_x, v_z = speed * math.cos(angle), speed * math.sin(angle) - G * x / (speed * math.cos(angle))
        into = math.hypot(v_x, v_z) * math.sin(math.atan2(-v_z, v_x) - fall)
        assert height == pytest.approx(into**2 / (2 * G), abs=1e-9)
        checked += 1
    assert checked > 5


def test_curve_goes_from_short_over_clean_to_long(answer):
    for index in each(answer):
        curve, window = impact_curve(answer, index), answer.jumps[index].window.speeds
        assert np.diff(curve.speed) == pytest.approx(0.1, abs=1e-9)
        assert curve.outcome[0] == "short" and curve.outcome[-1] == "long"
        clean = [speed for speed, outcome in zip(curve.speed, curve.outcome, strict=True) if outcome == "clean"]
        assert window.min <= clean[0] < window.min + 0.1 and window.max - 0.1 < clean[-1] <= window.max
        for height, surface in zip(curve.fall_height, curve.surface, strict=True):
            assert (height is None) == (surface in ("wall", "knuckle", "edge"))
        if answer.jumps[index].shape == "drop":
            assert curve.foot == ()
        else:
            assert all(foot > edge for foot, edge in zip(curve.foot, curve.speed, strict=True))


@pytest.mark.parametrize("change", [{"length": 0.8}, {"drop": -4.0}, {"fall": 0.0, "limit": 0.05}])
def test_a_jump_without_a_window_still_has_a_picture(change):
    answer = solve(replace(point_line(**change), rider=Rider()))
    assert answer.jumps[0].window.speeds is None
    view, curve = side_view(answer, 0), impact_curve(answer, 0)
    assert {path.name for path in view.paths} <= {"try"}
    assert len(curve.speed) > 5
    assert stop_view(answer, 0) is None


@pytest.mark.parametrize("reader", Reader)
def test_the_view_of_a_line_not_solved_yet_is_that_of_its_answer(reader):
    lines = [read_line(path) for path in EXAMPLES]
    lines.append(
        parse_line("[[jump]]\nlip = { angle_deg = 28, radius_m = 5 }\nlanding = { gap_m = 3, angle_deg = 20, length_m = 1 }")
    )
    for line in lines:
        answer = solve_jumps(line)
        for index in range(len(line.jumps)):
            early, late = first_view(line, index), side_view(answer, index)
            assert early.ground == late.ground and early.clean == late.clean
            assert [path.name for path in early.paths] == [path.name for path in late.paths]
            for one, other in zip(early.paths, late.paths, strict=True):
                assert one.landing.lip_speed == pytest.approx(other.landing.lip_speed, abs=1e-7)
                assert one.x == pytest.approx(other.x, abs=1e-6) and one.z == pytest.approx(other.z, abs=1e-6)
            shown, then = (draw.side(view, reader).all(Words) for view in (early, late))
            assert [text.text for text in shown] == [text.text for text in then]


def test_what_is_refused_of_a_line_is_refused_before_its_view():
    line = read_line(next(path for path in EXAMPLES if path.stem == "dirt_jump_bike"))
    too_many = replace(line, run_in=replace(line.run_in, strokes=60))
    with pytest.raises(InputError) as late:
        solve_jumps(too_many)
    with pytest.raises(InputError) as early:
        first_view(too_many, 0)
    assert str(early.value) == str(late.value)


def test_a_path_of_ones_own_is_shown_in_its_place_among_the_others():
    line = read_line(next(path for path in EXAMPLES if path.stem == "first_gap"))
    for mark, before, outcome in ((31.0, "aim", "clean"), (28.0, "min", "short")):
        ridden = from_mark(line, mark)
        own = ridden.landing
        assert own.outcome == outcome
        view = first_view(line, 0, own)
        names = [path.name for path in view.paths]
        assert names.index("own") < names.index(before)
        for path, alone in zip([path for path in view.paths if path.name != "own"], first_view(line, 0).paths, strict=True):
            # a batch of other rows is added up in another order
            assert path.name == alone.name and path.x == pytest.approx(alone.x, abs=1e-12) and path.z == pytest.approx(alone.z, abs=1e-12)
        texts = [words.text for words in draw.side(view).all(Words)]
        assert sum(text.startswith(f"from your mark {3.6 * ridden.foot_speed:.1f} km/h") for text in texts) == 1
