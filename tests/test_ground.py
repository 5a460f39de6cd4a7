"""Ground lines: lengths and heights against geometry, and the ways of asking for a place against each other."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jumpcalc.errors import InputError
from jumpcalc.physics.ground import Arc, Straight, chain, end_slope, joined

pieces = st.lists(
    st.one_of(
        st.builds(Straight, length=st.floats(0.1, 20), slope=st.floats(-1.0, 1.0)),
        st.builds(Arc, radius=st.floats(0.5, 50), to_slope=st.floats(-1.2, 1.2)),
    ),
    min_size=1,
    max_size=6,
)


def lip(radius: float, degrees: float, straight: float = 0.0):
    """Arc from level ground, and a straight after it."""
    shape = [Arc(radius=radius, to_slope=math.radians(degrees))]
    if straight:
        shape.append(Straight(length=straight, slope=math.radians(degrees)))
    return chain(shape, slope=0.0)


# independent computation: R m, θ °, straight m -> height m, length on the ground m, along m (None: not stated)
@pytest.mark.parametrize(
    ("radius", "degrees", "straight", "high", "long", "along"),
    [
        (4.0, 30, 0.0, 0.536, 2.000, 2.094),
        (4.0, 30, 1.4, 1.236, 3.212, None),
        (8.0, 35, 0.0, 1.447, 4.589, 4.887),
        (7.464, 30, 0.0, 1.000, None, None),
        (3.414, 45, 0.0, 1.000, None, None),
    ],
)
def test_lips(radius, degrees, straight, high, long, along):
    ground = lip(radius, degrees, straight)
    x, z = ground.point(ground.end)
    assert z == pytest.approx(high, abs=5e-4)
    assert long is None or x == pytest.approx(long, abs=5e-4)
    assert along is None or ground.end == pytest.approx(along, abs=5e-4)


@pytest.mark.parametrize(("before", "after"), [(-0.3, 0.6), (0.6, -0.3), (0.2, 0.9), (-0.1, -0.8)])
def test_arc_is_a_circle_tangent_at_both_ends(before, after):
    ground = chain([Arc(radius=5.0, to_slope=after)], slope=before, x=2.0, z=-1.0)
    side = math.copysign(1.0, after - before)
    centre = np.array([2.0 - side * 5.0 * math.sin(before), -1.0 + side * 5.0 * math.cos(before)])
    s = np.linspace(0.0, ground.end, 41)
    places = np.stack(ground.point(s), axis=1)
    assert np.hypot(*(places - centre).T) == pytest.approx(5.0, abs=1e-12)
    assert ground.slope_at(np.array([0.0, ground.end])) == pytest.approx([before, after], abs=1e-12)
    assert ground.end == pytest.approx(5.0 * abs(after - before), rel=1e-14)
    assert math.copysign(1.0, ground.curvature[0]) == side


@settings(max_examples=150)
@given(pieces=pieces, slope=st.floats(-1.0, 1.0), data=st.data())
def test_ways_of_asking_agree(pieces, slope, data):
    ground = chain(pieces, slope=slope, x=1.0, z=2.0, s=-3.0)
    s = data.draw(st.floats(-3.0, ground.end + 5.0))
    piece = ground.piece_at(np.array(s))
    x, z = ground.point(s)
    assert ground.height(x, piece) == pytest.approx(float(z), abs=1e-9)
    assert ground.slope_over(x, piece) == pytest.approx(float(ground.slope_at(np.array(s))), abs=1e-7)
    assert ground.distance_over(x, piece) == pytest.approx(s, abs=1e-7)


@settings(max_examples=100)
@given(pieces=pieces, slope=st.floats(-1.0, 1.0))
def test_chain_has_no_gaps(pieces, slope):
    ground = chain(pieces, slope=slope)
    assert len(ground.start) == len(pieces) + 1 and math.isinf(ground.length[-1])
    for i in range(len(pieces)):
        end = ground.start[i] + ground.length[i]
        assert end == pytest.approx(ground.start[i + 1], abs=1e-12)
        u, k, b = ground.length[i], ground.curvature[i], ground.slope[i]
        # ∫ cos, ∫ sin of the slope by the midpoint rule
        slopes = b + k * u * (np.arange(2000) + 0.5) / 2000
        step = np.array([np.cos(slopes).mean(), np.sin(slopes).mean()]) * u
        assert np.array([ground.x[i + 1] - ground.x[i], ground.z[i + 1] - ground.z[i]]) == pytest.approx(step, abs=1e-5)
        assert ground.slope[i + 1] == pytest.approx(b + k * u, abs=1e-12) or isinstance(
            ([*pieces, None])[i + 1], Straight
        )
    assert ground.slope[-1] == pytest.approx(end_slope(pieces), abs=1e-12)


def test_ground_goes_on_at_its_last_slope():
    ground = chain([Straight(length=2.0, slope=0.1), Arc(radius=3.0, to_slope=-0.4)])
    x0, z0 = ground.point(ground.end)
    x, z = ground.point(ground.end + 10.0)
    assert (x - x0, z - z0) == pytest.approx((10 * math.cos(0.4), -10 * math.sin(0.4)), abs=1e-12)


def test_at_a_joint_the_piece_ahead_counts():
    ground = chain([Straight(length=2.0, slope=0.1), Straight(length=3.0, slope=-0.4)])
    assert ground.piece_at(np.array([1.999, 2.0])).tolist() == [0, 1]
    assert ground.slope_at(np.array([1.999, 2.0])) == pytest.approx([0.1, -0.4])


def test_arc_of_huge_radius_is_straight():
    flat = chain([Arc(radius=1e9, to_slope=0.3 + 1e-8)], slope=0.3)
    x, z = flat.point(flat.end)
    assert flat.height(x, np.array(0)) == pytest.approx(float(z), abs=1e-9)
    assert z == pytest.approx(float(x) * math.tan(0.3), abs=1e-6)


@given(pieces=pieces, x=st.floats(-50, 50), z=st.floats(-50, 50), s=st.floats(-50, 50))
def test_moved(pieces, x, z, s):
    ground = chain(pieces, slope=0.0)
    shifted = ground.moved(x=x, z=z, s=s)
    there, here = shifted.point(ground.end * 0.7 + s), ground.point(ground.end * 0.7)
    assert (there[0] - x, there[1] - z) == pytest.approx((float(here[0]), float(here[1])), abs=1e-9)


def test_refused():
    with pytest.raises(InputError, match="no piece"):
        chain([])
    with pytest.raises(InputError, match="which slope it begins"):
        chain([Arc(radius=3.0, to_slope=0.2)])


def test_ground_of_each_row_is_the_ground_built_alone():
    rng = np.random.default_rng(3)
    count = 40
    gap, fall, length = rng.uniform(2, 6, count), rng.uniform(0.1, 0.7, count), rng.uniform(0.0, 5.0, count)
    # some rows lack a piece, some have a kink for an arc
    length[:5] = 0.0
    radius = np.where(np.arange(count) % 4, rng.uniform(2, 9, count), 0.0)

    def landing(row):
        return [
            Straight(length=length[row], slope=-fall[row], name="face"),
            Arc(radius=radius[row], to_slope=-0.1, name="exit"),
            Straight(length=8.0, slope=-0.1, name="runout"),
        ]

    many = chain(landing(slice(None)), x=gap, z=-0.2)
    assert many.each and many.x.shape == (count, 4) and many.names == ("face", "exit", "runout", "beyond")
    x = gap + rng.uniform(0.0, 25.0, count)
    piece = many.piece_over(x)
    s = many.distance_over(x, piece)
    for row in range(count):
        one = chain(landing(row), x=gap[row], z=-0.2)
        for name in ("start", "x", "z", "slope", "curvature", "length"):
            assert getattr(many, name)[row] == pytest.approx(getattr(one, name), abs=1e-12), name
        at = np.array([x[row]])
        assert one.piece_over(at)[0] == piece[row]
        assert one.height(at, piece[row : row + 1])[0] == pytest.approx(many.height(x, piece)[row], abs=1e-12)
        assert one.slope_over(at, piece[row : row + 1])[0] == pytest.approx(many.slope_over(x, piece)[row], abs=1e-12)
        assert one.distance_over(at, piece[row : row + 1])[0] == pytest.approx(s[row], abs=1e-12)
        assert many.end[row] == pytest.approx(one.end, abs=1e-12)
    back_x, back_z = many.point(s)
    assert (back_x, back_z) == (pytest.approx(x, abs=1e-9), pytest.approx(many.height(x, piece), abs=1e-9))
    assert (many.piece_at(s) == piece).all()
    some = many.rows(np.array([3, 7]))
    assert some.x.shape == (2, 4) and some.end == pytest.approx(many.end[[3, 7]])
    moved = many.moved(x=gap, z=1.0, s=0.5)
    assert moved.x == pytest.approx(many.x + gap[:, None]) and moved.start == pytest.approx(many.start + 0.5)


def test_joined_lines_lie_as_they_did():
    deck, face = chain([Straight(length=3.0, slope=0.0)]), chain([Straight(length=np.array([2.0, 4.0]), slope=-0.4)], x=3.0, z=-1.0)
    both = joined(deck, face)
    assert both.x.shape == (2, 4) and both.names == ("", "beyond", "", "beyond")
    assert both.z[:, 2] == pytest.approx(-1.0) and both.length[1, 2] == 4.0
    assert joined(deck, deck).x.shape == (4,)
