"""That no hard row slips through the direct solution of first contact, on which most rows rest.

The search along the whole path (`contact`) is the judge: it looks at every stretch, and the tests of flights hold it to
brute force and to independent solvers. The same rows through both must have the same outcome and place. Run once with three times as
many rows and lines, and with grazing paths at 0.5 rad and in a tailwind too: the two agreed on all of them.
"""

import math

import numpy as np
import pytest

from jumpcalc.physics import flight
from jumpcalc.physics.body import POINT, Body, Departure, depart, roll_off_speed
from jumpcalc.physics.flight import Touchdown, touchdown
from jumpcalc.physics.ground import Arc, GroundLine, Straight, chain, joined, through_stakes
from jumpcalc.units import STANDARD_GRAVITY as G

BIKE = Body(height=1.05, landing_height=0.95, wheelbase=1.17, behind_front=0.62, pitch_radius=0.45)
NUMBERS = ("time", "x", "y", "z", "v_x", "v_y", "v_z")


def carefully(monkeypatch, *args, **air) -> Touchdown:
    """The same touchdowns by the search along the whole path."""
    with monkeypatch.context() as patch:
        patch.setattr(flight, "_POINTS", ())
        return touchdown(*args, **air)


def same(monkeypatch, start: Departure, ground: GroundLine, **air) -> Touchdown:
    """The touchdowns, after they were held to the judge."""
    direct = touchdown(start, ground, apex=False, **air)
    judge = carefully(monkeypatch, start, ground, apex=False, **air)
    for name in ("piece", "wall"):
        differs = np.nonzero(getattr(direct, name) != getattr(judge, name))[0]
        assert not len(differs), (name, differs[:5], getattr(direct, name)[differs[:5]], getattr(judge, name)[differs[:5]])
    for name in NUMBERS:
        off = np.abs(getattr(direct, name) - getattr(judge, name))
        assert not (off > 1e-7).any(), (name, np.nanmax(off), np.nanargmax(off))
    assert (np.isnan(direct.x) == np.isnan(judge.x)).all()
    return direct


def share_looked_at_closely(landed: Touchdown, which: np.ndarray) -> float:
    return float(np.mean(landed.tier[which] == len(flight._POINTS)))


def jump(*, tabletop: bool, gap=4.2, drop=0.1, fall=0.42, length=4.5, floor=-1.3) -> GroundLine:
    """A jump as arrays; measures may be arrays, one jump a row."""
    landing = chain(
        [
            Straight(length=length, slope=-fall, name="face"),
            Arc(radius=6.0, to_slope=-0.1, name="exit"),
            Straight(length=8.0, slope=-0.1, name="runout"),
            Straight(length=30.0, slope=0.0, name="runout"),
        ],
        x=gap,
        z=-np.asarray(drop),
    )
    if tabletop:
        deck = chain([Straight(length=np.hypot(gap, drop), slope=-np.arctan2(drop, gap), name="deck")], s=-np.hypot(gap, drop))
    else:
        deck = chain([Straight(length=gap, slope=0.0, name="floor")], z=floor, s=-np.asarray(gap))
    near = GroundLine(*(getattr(deck, name)[..., :1] for name in GroundLine.__slots__[:6]), deck.names[:1])
    return joined(near, landing)


def varied(count: int, *, rng, body=BIKE, gap=4.2, fall=0.42, low=2.0, high=14.0, **more) -> Departure:
    angle = rng.uniform(0.1, 0.8, count)
    speed = np.maximum(rng.uniform(low, high, count), roll_off_speed(body, angle=angle) + 0.01)
    return depart(body, speed, angle=angle, gap=gap, fall=fall, spring=rng.normal(0, 0.4, count), **more)


def weather(count: int, *, rng, wind: float) -> dict[str, np.ndarray]:
    return {
        "drag": rng.uniform(0, 0.012, count),
        "tailwind": rng.uniform(-wind, wind, count) if wind else 0.0,
        "crosswind": rng.uniform(-wind, wind, count) if wind else 0.0,
    }


@pytest.mark.parametrize("wind", [0.0, 8.0, 14.0])
@pytest.mark.parametrize("tabletop", [False, True], ids=["gap", "tabletop"])
@pytest.mark.parametrize("body", [BIKE, POINT], ids=["bike", "point"])
def test_a_jump(monkeypatch, body, tabletop, wind):
    rng = np.random.default_rng(11)
    count = 4_000
    start = varied(count, rng=rng, body=body)
    landed = same(monkeypatch, start, jump(tabletop=tabletop), **weather(count, rng=rng, wind=wind))
    ridden = np.hypot(start.v_x, start.v_z) > 5.0
    assert share_looked_at_closely(landed, ridden) < (0.005 if wind < 10 else 0.06)
    assert len(set(landed.piece)) > 3


@pytest.mark.parametrize("air", [{"tailwind": 3.0}, {"crosswind": 3.0}, {"crosswind": -2.0, "drag": 0.02}, {"tailwind": -6.0}])
@pytest.mark.parametrize("body", [BIKE, POINT], ids=["bike", "point"])
def test_the_same_wind_for_all_rows(monkeypatch, body, air):
    rng = np.random.default_rng(17)
    same(monkeypatch, varied(2000, rng=rng, body=body), jump(tabletop=True), **{"drag": 0.004, **air})


@pytest.mark.parametrize("wind", [0.0, 8.0])
@pytest.mark.parametrize("tabletop", [False, True], ids=["gap", "tabletop"])
def test_each_row_on_a_jump_of_its_own(monkeypatch, tabletop, wind):
    rng = np.random.default_rng(12)
    count = 4_000
    gap, drop, fall = rng.uniform(1.5, 7, count), rng.uniform(-0.5, 1.5, count), rng.uniform(0.15, 0.7, count)
    ground = jump(tabletop=tabletop, gap=gap, drop=drop, fall=fall, length=rng.uniform(0, 6, count), floor=-np.maximum(1.2, drop))
    air = weather(count, rng=rng, wind=wind)
    start = varied(count, rng=rng, gap=gap, fall=fall)
    landed = same(monkeypatch, start, ground, **air)
    assert share_looked_at_closely(landed, np.hypot(start.v_x, start.v_z) > 5.0) < 0.01
    for i in range(0, count, 500):
        alone = touchdown(
            start.rows(slice(i, i + 1)),
            jump(tabletop=tabletop, gap=gap[i], drop=drop[i], fall=fall[i], length=ground.length[i, 1], floor=ground.z[i, 0]),
            apex=False,
            **{name: value[i] if np.ndim(value) else value for name, value in air.items()},
        )
        assert (alone.piece[0], alone.wall[0]) == (landed.piece[i], landed.wall[i])
        assert (alone.x[0], alone.z[0], alone.time[0]) == pytest.approx((landed.x[i], landed.z[i], landed.time[i]), abs=1e-11)


def random_line(rng) -> GroundLine:
    """Straights, crests, hollows and kinks, here and there a wall or a step down, after a deck or a floor."""
    gap = rng.uniform(1.0, 6.0)
    pieces, slope = [Straight(length=gap, slope=0.0)], 0.0
    for _ in range(rng.integers(1, 6)):
        if rng.integers(2):
            slope = float(rng.uniform(-1.0, 0.8))
            pieces.append(Arc(radius=float(10 ** rng.uniform(-0.3, 1.2)), to_slope=slope))
        else:
            slope = float(rng.uniform(-1.0, 0.7))
            pieces.append(Straight(length=float(rng.uniform(0.1, 4.0)), slope=slope))
    pieces.append(Straight(length=50.0, slope=float(rng.uniform(-0.6, 0.2))))
    line = chain(pieces)
    steps = np.where(rng.random(len(line.x)) < 0.2, rng.uniform(-1, 1, len(line.x)), 0.0)
    return GroundLine(line.start, line.x, line.z + np.cumsum(steps), line.slope, line.curvature, line.length, line.names)


@pytest.mark.parametrize("body", [BIKE, POINT], ids=["bike", "point"])
def test_random_lines(monkeypatch, body):
    rng = np.random.default_rng(13)
    closely = []
    for number in range(26):
        ground, count = random_line(rng), 700
        start = varied(count, rng=rng, body=body, gap=ground.x[1], fall=rng.uniform(-0.3, 0.9))
        landed = same(monkeypatch, start, ground, **weather(count, rng=rng, wind=6.0 * (number % 2)))
        closely.append(np.mean(landed.tier == len(flight._POINTS)))
    assert np.mean(closely) < 0.35


def test_a_landing_through_stakes(monkeypatch):
    # a roller-coaster of a face: hollows and crests of its own
    rng = np.random.default_rng(18)
    along = np.arange(0.0, 21.0, 1.5)
    face = through_stakes([(float(s), float(0.35 * s + 0.12 * math.sin(0.9 * s))) for s in along], name="face")
    near = chain([Straight(length=4.2, slope=0.0, name="floor")], z=-1.3)
    near = GroundLine(*(getattr(near, name)[:1] for name in GroundLine.__slots__[:6]), near.names[:1])
    start = varied(6000, rng=rng, low=5.0)
    landed = same(monkeypatch, start, joined(near, chain(face, x=4.2, z=-0.1)), **weather(6000, rng=rng, wind=4.0))
    # a fast path may be less bent than the crests
    assert share_looked_at_closely(landed, np.hypot(start.v_x, start.v_z) > 5.0) < 0.15


def edge_speed(low: float, high: float, cleared) -> float:
    """Speed at which the outcome changes, found a digit and a half at a time."""
    for _ in range(11):
        speeds = np.linspace(low, high, 33)
        first = int(np.argmax(cleared(speeds)))
        low, high = speeds[first - 1], speeds[first]
    return float(high)


@pytest.mark.parametrize("wind", [0.0, -5.0])
@pytest.mark.parametrize("tabletop", [False, True], ids=["gap", "tabletop"])
@pytest.mark.parametrize("body", [BIKE, POINT], ids=["bike", "point"])
@pytest.mark.parametrize("angle", [0.2, 0.8])
def test_a_hair_from_grazing_the_knuckle(monkeypatch, body, tabletop, wind, angle):
    ground = jump(tabletop=tabletop)
    air = {"drag": 0.004, "tailwind": wind}

    def leaves(speeds):
        return depart(body, speeds, angle=angle, gap=4.2, fall=0.42)

    def cleared(speeds):
        return carefully(monkeypatch, leaves(speeds), ground, **air).x > 4.2 + 1e-9

    grazes = edge_speed(3.0, 14.0, cleared)
    off = np.array([1e-9, 1e-8, 1e-7, 1e-6, 1e-5, 1e-4])
    speed = grazes + np.concatenate([-off[::-1], off])
    landed = same(monkeypatch, leaves(speed), ground, **air)
    assert (np.diff(landed.x) > -1e-9).all()
    assert ((landed.x > 4.2 + 1e-9) == (speed > grazes)).all()
    # a millionth of the speed away the direct solution is already sure of itself
    assert landed.tier[[2, -3]].max() < len(flight._POINTS)


def test_paths_that_graze_the_ground_they_land_on(monkeypatch):
    # faces that fall as the path does where it meets them
    rng = np.random.default_rng(14)
    count = 3000
    speed, angle, gap = rng.uniform(5, 12, count), rng.uniform(0.2, 0.8, count), rng.uniform(2, 6, count)
    z = gap * np.tan(angle) - G * gap**2 / (2 * (speed * np.cos(angle)) ** 2)
    fall = -np.arctan(2 * z / gap - np.tan(angle)) + rng.normal(0, 1, count) * 10.0 ** rng.uniform(-9, -1, count)
    near = GroundLine(*(np.stack([np.full(count, value)], axis=1) for value in (-1.0, 0.0, -30.0, 0.0, 0.0, 1.0)), ("floor",))
    face = chain([Straight(length=5.0, slope=-fall), Arc(radius=5.0, to_slope=0.0)], x=gap, z=z - 10.0 ** rng.uniform(-9, -2, count))
    start = depart(POINT, speed, angle=angle, gap=gap, fall=fall)
    direct = touchdown(start, joined(near, face), apex=False)
    judge = carefully(monkeypatch, start, joined(near, face), apex=False)
    # a grazing contact is as ill-defined as the square root of the last digit
    slow = judge.v_x * np.sin(fall) + judge.v_z * np.cos(fall)
    assert (direct.piece == judge.piece).all()
    assert np.abs(direct.x - judge.x)[np.abs(slow) > 0.02].max() < 1e-7
    assert np.abs(direct.x - judge.x).max() < 1e-6


def test_a_departure_as_a_simulation_leaves_it(monkeypatch):
    # any start, velocity and attitude, also ahead of the edge and past the place of the set-down
    rng = np.random.default_rng(15)
    count = 8000
    ground = jump(tabletop=False)
    height = rng.uniform(0.8, 1.2, count)
    start = Departure(
        x=rng.uniform(-0.5, 1.2, count),
        z=height + rng.uniform(0.0, 0.4, count),
        v_x=rng.uniform(3, 12, count),
        v_z=rng.uniform(-2, 6, count),
        attitude=rng.uniform(-0.6, 0.7, count),
        set_attitude=np.full(count, -0.42),
        height=height,
        set_height=np.full(count, 0.95),
        x_set=4.2 + 0.95 * np.sin(0.42) + 0.0 * height,
    )
    same(monkeypatch, start, ground, **weather(count, rng=rng, wind=5.0))
    late = depart(BIKE, np.linspace(3.0, 12.0, 500), angle=-0.5, gap=0.3, fall=-0.1)
    assert (late.x_set < late.x).all()
    same(monkeypatch, late, chain([Straight(length=0.3, slope=0.0), Straight(length=9.0, slope=0.1)], z=-1.0))


def test_lost_rows_hold_nan_and_do_not_warn(recwarn):
    speed = np.array([8.0, np.nan, 8.0, 8.0, 8.0])
    start = depart(BIKE, speed, angle=np.array([0.4, 0.4, np.nan, 0.4, 0.4]), gap=4.2, fall=0.42)
    for ground in (jump(tabletop=False), jump(tabletop=True, gap=np.full(5, 4.2))):
        landed = touchdown(start, ground, drag=np.array([0.0, 0.0, 0.0, np.nan, 0.0]), tailwind=np.array([0, 0, 0, 0, np.nan]))
        assert list(landed.piece >= 0) == [True, False, False, False, False]
        for name in (*NUMBERS, "apex"):
            assert list(np.isfinite(getattr(landed, name))) == [True, False, False, False, False] or name in ("y", "v_y")
    assert not recwarn.list


def test_numbers_and_arrays_of_one_are_the_same_air():
    start = depart(BIKE, np.array([8.0]), angle=0.4, gap=4.2, fall=0.42)
    numbers = touchdown(start, jump(tabletop=False), drag=0.004, tailwind=2.0, crosswind=1.0)
    arrays = touchdown(start, jump(tabletop=False), drag=np.array([0.004]), tailwind=np.array([2.0]), crosswind=np.array([1.0]))
    for name in Touchdown.__slots__:
        assert getattr(numbers, name) == getattr(arrays, name), name


def test_growing_numbers_take_no_more_memory(monkeypatch):
    # the same rows in parts of any size
    rng = np.random.default_rng(16)
    start, air = varied(1000, rng=rng), weather(1000, rng=rng, wind=6.0)
    whole = touchdown(start, jump(tabletop=False), **air)
    for size in (1, 7, 300):
        monkeypatch.setattr(flight, "_ROWS_AT_ONCE", size)
        few = slice(0, 40 if size == 1 else None)
        some = {name: value[few] if np.ndim(value) else value for name, value in air.items()}
        parts = touchdown(start.rows(few), jump(tabletop=False), **some)
        for name in Touchdown.__slots__:
            assert getattr(parts, name) == pytest.approx(getattr(whole, name)[few], abs=1e-11), name
    assert math.isclose(float(whole.x[0]), float(touchdown(start.rows(slice(0, 1)), jump(tabletop=False),
                        **{name: value[0] for name, value in air.items()}).x[0]), abs_tol=1e-11)
