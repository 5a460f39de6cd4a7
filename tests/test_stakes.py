"""Ground measured by tape and string level: stakes, [along, fall], beside pieces."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import CubicSpline

from jumpcalc.errors import FileError
from jumpcalc.physics.ground import Arc, Straight, _batten_slopes, chain, through_stakes
from jumpcalc.plan.inputs.dug import Jump, Landing, Lip, Piece, RunIn, Runout
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.solve import solve
from jumpcalc.show.files.linefile import parse_line, write_line

DEG = math.pi / 180
JUMP = Jump(
    lip=Lip(angle=26 * DEG, radius=4.8, straight=0.8),
    landing=Landing(gap=3.8, drop=0.1, angle=22 * DEG, length=4.5, exit_radius=6.0),
    runout=Runout(pieces=(Piece(length=8.0, slope=-4 * DEG), Piece(length=40.0, slope=0.0))),
)
FILE = """
[run_in]
stakes_m = {stakes}
[[jump]]
lip = {{ angle_deg = 26, radius_m = 4.8 }}
landing = {{ gap_m = 3.8, angle_deg = 22, length_m = 4.5 }}
"""


def line_of(run_in):
    return Line(run_in=run_in, jumps=(JUMP,))


def test_two_stakes_are_a_straight():
    # from total fall and length: sin of the slope is fall over length along the ground
    assert through_stakes([(0.0, 0.0), (40.0, 8.0)]) == [Straight(length=40.0, slope=-math.asin(0.2), name="")]
    staked = solve(line_of(RunIn(stakes=((0.0, 0.0), (40.0, 8.0)))))
    pieced = solve(line_of(RunIn(pieces=(Piece(length=40.0, slope=-math.asin(0.2)),))))
    assert staked.jumps[0].run_in == pieced.jumps[0].run_in
    assert staked.jumps[0].abort == pieced.jumps[0].abort


@pytest.mark.parametrize("count", [3, 5, 9])
def test_stakes_on_a_straight_are_that_straight(count):
    along = np.linspace(0.0, 40.0, count)
    ground = chain(through_stakes([(float(s), float(s) * math.sin(10 * DEG)) for s in along]))
    assert ground.slope == pytest.approx(-10 * DEG, abs=1e-12)
    assert ground.end == pytest.approx(40.0, abs=1e-9)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.tuples(st.floats(0.05, 20), st.floats(-1, 1)), min_size=2, max_size=60))
def test_the_batten_is_a_natural_cubic_spline(steps):
    # scipy.interpolate.CubicSpline, an independent computation of the same curve
    x, z = np.concatenate([[0.0], np.cumsum([d for d, _ in steps])]), np.array([0.0, *(h for _, h in steps)])
    at = np.linspace(0.0, x[-1], 200)
    expected = CubicSpline(x, z, bc_type="natural")(at, 1)
    assert _batten_slopes(x, z, at) == pytest.approx(expected, abs=1e-12 * max(1.0, np.abs(expected).max()))


KNOWN = (Piece(length=22.0, slope=-12 * DEG), Piece(radius=30.0, to_slope=-3 * DEG), Piece(length=8.0, slope=-3 * DEG))


def taken_from(pieces, every):
    """Stakes set out on a ground of straights and arcs, its heights from their own geometry."""
    corners, s, z, slope = [], 0.0, 0.0, None
    for piece in pieces:
        if piece.length is not None:
            corners.append((s, z, piece.slope, 0.0))
            s, z, slope = s + piece.length, z + piece.length * math.sin(piece.slope), piece.slope
        else:
            bend = math.copysign(1 / piece.radius, piece.to_slope - slope)
            corners.append((s, z, slope, bend))
            s += piece.radius * abs(piece.to_slope - slope)
            z, slope = z + (math.cos(slope) - math.cos(piece.to_slope)) / bend, piece.to_slope
    stakes = []
    for along in [*np.arange(0.0, s - every / 2, every), s]:
        at, height, tilt, bend = [c for c in corners if c[0] <= along + 1e-12][-1]
        if bend:
            height += (math.cos(tilt) - math.cos(tilt + bend * (along - at))) / bend
        else:
            height += (along - at) * math.sin(tilt)
        stakes.append((float(along), -height + 0.0))
    return tuple(stakes)


@pytest.mark.parametrize(("every", "off"), [(4.0, 0.12), (2.0, 0.04), (1.0, 0.015)])
def test_stakes_taken_from_a_known_ground_give_back_its_speeds(every, off):
    """Closer the denser they stand: speeds to `off` km/h, start marks to `off` m."""
    pieces = replace(KNOWN[0], length=40.0), *KNOWN[1:]
    real = solve(line_of(RunIn(pieces=pieces))).jumps[0]
    staked = solve(line_of(RunIn(stakes=taken_from(pieces, every)))).jumps[0]
    assert staked.run_in.length == pytest.approx(real.run_in.length, abs=1e-6)
    assert staked.run_in.foot_speed * 3.6 == pytest.approx(real.run_in.foot_speed * 3.6, abs=off)
    assert staked.run_in.marks[1] == pytest.approx(real.run_in.marks[1], abs=2 * off)
    # the foot's slope, and with it the lip, is that of the last stakes
    assert staked.heights.lip == pytest.approx(real.heights.lip, abs=0.01)


@settings(max_examples=60, deadline=None)
@given(steps=st.lists(st.tuples(st.floats(0.5, 15.0), st.floats(-0.25, 0.25)), min_size=2, max_size=8))
def test_slope_is_continuous_and_the_stakes_are_met(steps):
    along, fall = [0.0], [0.0]
    for length, share in steps:
        along.append(along[-1] + length)
        fall.append(fall[-1] + share * length)
    pieces = through_stakes(list(zip(along, fall, strict=True)))
    ground = chain(pieces)
    assert isinstance(pieces[0], Straight)
    for i in range(1, len(pieces)):
        before = float(ground.slope_at(ground.start[i] - 1e-12, np.array(i - 1)))
        assert float(ground.slope[i]) == pytest.approx(before, abs=1e-6)
    assert ground.end == pytest.approx(along[-1], rel=1e-12)
    gentle = max(abs(math.sin(float(slope))) for slope in ground.slope) < 0.9
    if gentle:
        # a bent batten lies on its stakes: arcs of half a metre follow it to a hundredth of their length
        heights = ground.point(np.array(along))[1]
        assert heights == pytest.approx([-v for v in fall], abs=0.05)


def test_arcs_are_about_as_long_as_asked_for():
    pieces = through_stakes(taken_from(KNOWN, 4.0), spacing=0.25)
    lengths = np.diff(chain(pieces).start)[1:]
    assert lengths == pytest.approx(0.25, rel=0.05)
    assert any(isinstance(piece, Arc) for piece in pieces)


BAD = {
    "one stake": ("[[0, 0]]", "run_in.stakes_m", "two stakes or more"),
    "none": ("[]", "run_in.stakes_m", "two stakes or more"),
    "not a list": ("3", "run_in.stakes_m", "list of stakes"),
    "not pairs": ("[[0, 0], [3]]", "run_in.stakes_m[2]", "pair of numbers"),
    "words": ('[[0, 0], [3, "a"]]', "run_in.stakes_m[2]", "pair of numbers"),
    "true": ("[[0, 0], [3, true]]", "run_in.stakes_m[2]", "pair of numbers"),
    "not from the mark": ("[[1, 0], [3, 1]]", "run_in.stakes_m[1]", "the first stake is [0, 0]"),
    "backwards": ("[[0, 0], [5, 1], [4, 2]]", "run_in.stakes_m[3]", "further along"),
    "twice the same": ("[[0, 0], [5, 1], [5, 1]]", "run_in.stakes_m[3]", "further along"),
    "a cliff": ("[[0, 0], [2, 1.9]]", "run_in.stakes_m[2]", "steeper than 60°"),
    "a wall up": ("[[0, 0], [2, -1.9]]", "run_in.stakes_m[2]", "steeper than 60°"),
    "no number": ("[[0, 0], [nan, 1]]", "run_in.stakes_m[2]", "finite"),
    "endless": ("[[0, 0], [inf, 1]]", "run_in.stakes_m[2]", "finite"),
    "beside pieces": (
        "[[0, 0], [20, 2]]\npieces = [{ length_m = 20, slope_deg = -5 }]", "run_in.stakes_m", "beside pieces"
    ),
    "in two units": ("[[0, 0], [20, 2]]\nstakes_ft = [[0, 0], [60, 6]]", "run_in.stakes_ft", "as stakes_m"),
    "too many": (str([[i, 0] for i in range(300)]), "run_in.stakes_m", "allowed 2 to 200"),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD)
def test_bad_stakes_are_refused_in_one_line(name):
    stakes, key, words = BAD[name]
    with pytest.raises(FileError) as caught:
        parse_line(FILE.format(stakes=stakes), file="club.toml")
    assert str(caught.value).startswith(f"club.toml: {key}: ")
    assert words in str(caught.value)
    assert str(caught.value).isprintable()


def test_feet_are_feet():
    # NIST SP 811: 1 ft = 0.3048 m
    text = FILE.format(stakes="[[0, 0], [60, 12], [100, 16]]").replace("stakes_m", "stakes_ft")
    line = parse_line(text)
    assert np.array(line.run_in.stakes) == pytest.approx(0.3048 * np.array([[0, 0], [60, 12], [100, 16]]), rel=1e-12)


@pytest.mark.parametrize("unit", ["m", "ft"])
def test_round_trip(unit):
    text = FILE.format(stakes="[[0, 0], [17.35, 3.1], [30.05, 4.77]]").replace("stakes_m", f"stakes_{unit}")
    line = parse_line(text)
    again = parse_line(write_line(line))
    assert again == line and again.fingerprint == line.fingerprint


def test_the_fingerprint_changes_with_the_stakes():
    first = line_of(RunIn(stakes=((0.0, 0.0), (20.0, 3.0), (40.0, 6.0))))
    assert replace(first, run_in=replace(first.run_in, surface="gravel")).fingerprint == first.fingerprint
    for stakes in (((0.0, 0.0), (20.0, 3.01), (40.0, 6.0)), ((0.0, 0.0), (40.0, 6.0))):
        assert line_of(RunIn(stakes=stakes)).fingerprint != first.fingerprint
    runout = replace(JUMP, runout=Runout(stakes=((0.0, 0.0), (45.0, 1.0))))
    assert Line(run_in=first.run_in, jumps=(runout,)).fingerprint != first.fingerprint


def test_stakes_of_a_runout_answer_whether_there_is_room_to_stop():
    staked = Line(jumps=(replace(JUMP, runout=Runout(stakes=((0.0, 0.0), (45.0, 45 * math.sin(2 * DEG))))),))
    pieced = Line(jumps=(replace(JUMP, runout=Runout(pieces=(Piece(length=45.0, slope=-2 * DEG),))),))
    one, other = (solve(line).jumps[0].stop for line in (staked, pieced))
    assert one.total == pytest.approx(other.total, abs=1e-9) and one.margin == pytest.approx(other.margin, abs=1e-9)
