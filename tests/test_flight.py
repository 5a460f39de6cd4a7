"""Properties of flight, and touchdowns against a search by brute force.

The brute force takes the path without drag in closed form, the wheels by the stated rule and the ground
as circles and straights, all written here, and looks at 20001 moments.
"""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from jumpcalc.physics import flight, hodograph
from jumpcalc.physics.body import POINT, Body, depart, roll_off_speed
from jumpcalc.physics.flight import Touchdown, touchdown
from jumpcalc.physics.ground import Arc, GroundLine, Straight, chain
from jumpcalc.physics.hodograph import fly
from jumpcalc.units import STANDARD_GRAVITY as G

BIKE = Body(height=1.05, landing_height=0.95, wheelbase=1.17, behind_front=0.62, pitch_radius=0.45)
JUMP = chain(
    [
        Straight(length=4.0, slope=0.0, name="deck"),
        Straight(length=4.5, slope=-0.42, name="face"),
        Arc(radius=6.0, to_slope=-0.05, name="exit"),
        Straight(length=20.0, slope=-0.05, name="runout"),
    ]
)

speeds, angles, drags = st.floats(2.0, 18.0), st.floats(-0.3, 1.1), st.floats(0.0, 0.02)
winds = st.floats(-12.0, 12.0)
TIMES = np.linspace(0.0, 1.5, 31)[None, :]


def land(speed, angle, ground: GroundLine, body: Body = POINT, *, gap=4.0, fall=0.42, **air) -> Touchdown:
    start = depart(body, np.atleast_1d(speed), angle=angle, gap=gap, fall=fall)
    return touchdown(start, ground, **air)


def thrown(speed, angle, **air):
    return fly(speed * np.cos(angle), speed * np.sin(angle), **air)


@given(speed=speeds, angle=angles, drag=st.sampled_from([0.0, 1e-15]), wind=winds)
def test_without_drag_the_path_is_the_parabola(speed, angle, drag, wind):
    place, velocity = thrown(speed, angle, drag=drag, tailwind=wind, duration=1.5).at(TIMES)
    assert place[0, :, 0] == pytest.approx(speed * math.cos(angle) * TIMES[0], abs=1e-11)
    assert place[0, :, 2] == pytest.approx(speed * math.sin(angle) * TIMES[0] - G * TIMES[0] ** 2 / 2, abs=1e-11)
    assert velocity[0, :, 2] == pytest.approx(speed * math.sin(angle) - G * TIMES[0], abs=1e-11)


@given(speed=speeds, angle=angles)
def test_drag_to_zero_goes_to_the_parabola_in_proportion(speed, angle):
    none, half, whole = (thrown(speed, angle, drag=k, duration=1.5).at(TIMES)[0] for k in (0.0, 1e-7, 2e-7))
    assert whole - none == pytest.approx(2 * (half - none), abs=1e-9)
    assert np.abs(whole - none).max() < 1e-3


@given(speed=speeds, angle=angles, drag=st.floats(1e-4, 0.02))
def test_energy_never_grows_in_still_air(speed, angle, drag):
    place, velocity = thrown(speed, angle, drag=drag, duration=1.5).at(TIMES)
    energy = (velocity**2).sum(axis=-1) / 2 + G * place[..., 2]
    assert (np.diff(energy) < 1e-12 * energy[0, 0]).all()
    assert energy[0, -1] < energy[0, 0]


@given(speed=speeds, angle=angles, drag=drags, tail=winds, cross=winds)
def test_mirror(speed, angle, drag, tail, cross):
    left, right = (land(speed, angle, JUMP, drag=drag, tailwind=tail, crosswind=c) for c in (cross, -cross))
    for name in ("time", "x", "z", "v_x", "v_z", "apex", "piece"):
        assert getattr(left, name)[0] == pytest.approx(getattr(right, name)[0], abs=1e-12)
    assert left.y[0] == pytest.approx(-right.y[0], abs=1e-14)
    assert left.v_y[0] == pytest.approx(-right.v_y[0], abs=1e-14)
    assert left.y[0] * cross >= -1e-12


@given(speed=speeds, angle=angles, drag=drags, tail=winds, cross=winds, scale=st.floats(0.2, 5.0))
def test_scaling(speed, angle, drag, tail, cross, scale):
    # lengths times L, k over L, speeds and times times √L
    assume(math.hypot(speed * math.cos(angle) - tail, cross) > 2.0)
    root = math.sqrt(scale)
    small = thrown(speed, angle, drag=drag, tailwind=tail, crosswind=cross, duration=1.0)
    large = thrown(speed * root, angle, drag=drag / scale, tailwind=tail * root, crosswind=cross * root, duration=root)
    times = np.linspace(0, 1, 11)[None, :]
    for here, there, factor in zip(small.at(times), large.at(times * root), (scale, root), strict=True):
        assert there == pytest.approx(here * factor, abs=2e-7 * max(scale, 1.0))


def test_one_row_is_the_row_of_a_batch():
    rng = np.random.default_rng(5)
    count = 60
    speed, angle = rng.uniform(3, 14, count), rng.uniform(0.05, 0.9, count)
    air = {"drag": rng.uniform(0, 0.01, count)}
    air |= {name: rng.uniform(-8, 8, count) for name in ("tailwind", "crosswind")}
    for body in (POINT, BIKE):
        together = land(speed, angle, JUMP, body, **air)
        for i in range(count):
            alone = land(speed[i], angle[i], JUMP, body, **{name: value[i] for name, value in air.items()})
            for name in Touchdown.__slots__:
                assert getattr(alone, name)[0] == pytest.approx(getattr(together, name)[i], abs=1e-11), name


def test_more_rows_than_fly_at_once(monkeypatch):
    speed = np.linspace(3.0, 12.0, 25)
    whole = land(speed, 0.4, JUMP, BIKE, drag=0.004)
    monkeypatch.setattr(flight, "_ROWS_AT_ONCE", 7)
    parts = land(speed, 0.4, JUMP, BIKE, drag=0.004)
    assert parts.x == pytest.approx(whole.x, abs=1e-12)


def spread(span: float, monkeypatch, *, felt: bool) -> np.ndarray:
    """Places on the paths of many jumps, with steps of a span in steepness."""
    monkeypatch.setattr(hodograph, "_SPAN", span)
    rng = np.random.default_rng(6)
    count = 300
    speed, angle, drag = rng.uniform(3, 16, count), rng.uniform(0.0, 0.9, count), rng.uniform(0, 0.006, count)
    off, way = rng.uniform(3 if felt else 0, 15 if felt else 3, count), rng.uniform(0, 2 * math.pi, count)
    tail = speed * np.cos(angle) + off * np.cos(way)
    paths = thrown(speed, angle, drag=drag, tailwind=tail, crosswind=off * np.sin(way), duration=1.5)
    return paths.at(np.linspace(0, 1.5, 40) * np.ones((count, 1)))[0]


@pytest.mark.parametrize("felt", [True, False])
def test_steps_are_short_enough(monkeypatch, felt):
    usual, half, longer = (spread(hodograph._SPAN * f, monkeypatch, felt=felt) for f in (1, 0.5, 4))
    assert np.abs(usual - half).max() < 1e-10
    # the order is high: four times the step is still right to a millionth
    assert np.abs(longer - half).max() < 1e-6


def random_ground(rng) -> list[tuple[float, float, float, float, float]]:
    """Pieces (x, z, slope, curvature, length): straights, crests, hollows, kinks, walls and steps down."""
    x, z, slope, rows = 0.0, float(rng.choice([0.0, 0.0, -1.3])), rng.uniform(-0.5, 0.5), []
    for _ in range(rng.integers(1, 6)):
        if rng.integers(2):
            turned = rng.uniform(-1.1, 1.0)
            radius = 10 ** rng.uniform(-0.7, 1)
            length, curved = radius * abs(turned - slope), math.copysign(1 / radius, turned - slope)
            rows.append((x, z, slope, curved, length))
            x += (math.sin(turned) - math.sin(slope)) / curved
            z += (math.cos(slope) - math.cos(turned)) / curved
            slope = turned
        else:
            slope, length = rng.uniform(-1.0, 0.9), rng.uniform(0.1, 3.0)
            rows.append((x, z, slope, 0.0, length))
            x, z = x + length * math.cos(slope), z + length * math.sin(slope)
        z += rng.uniform(-1, 1) if rng.random() < 0.25 else 0.0
    return [*rows, (x, z, rng.uniform(-0.7, 0.2), 0.0, math.inf)]


def ground_line(rows) -> GroundLine:
    x, z, slope, curvature, length = np.array(rows).T
    start = np.concatenate([[0.0], np.cumsum(length[:-1])])
    return GroundLine(start, x, z, slope, curvature, length, ("",) * len(rows))


def height(rows, x):
    """Height of the ground [m], from straights and circles."""
    which = np.clip(np.searchsorted([row[0] for row in rows], x, side="right") - 1, 0, None)
    out = np.empty_like(x)
    for i, (x0, z0, slope, curved, _) in enumerate(rows):
        at = x[which == i]
        if curved == 0:
            out[which == i] = z0 + (at - x0) * math.tan(slope)
        else:
            aside = at - (x0 - math.sin(slope) / curved)
            out[which == i] = z0 + math.cos(slope) / curved - np.sign(curved) * np.sqrt(
                np.maximum(curved**-2 - aside**2, 0.0)
            )
    return out


def wheels(body: Body, speed, angle, gap, fall, time):
    """Place of the wheels' midpoint without drag, by the rule of the bike's path."""
    lever = body.wheelbase - body.behind_front + 0.06 * body.height
    turn = (lever**2 / (body.pitch_radius**2 + lever**2) - 0.5) * G * math.cos(angle) * body.wheelbase / speed**2
    first = body.height - G * math.cos(angle) * body.wheelbase**2 / (8 * speed**2)
    x = -first * math.sin(angle) + speed * math.cos(angle - turn) * time
    z = first * math.cos(angle) + speed * math.sin(angle - turn) * time - G * time**2 / 2
    over = gap + body.landing_height * math.sin(fall)
    share = np.clip((x + first * math.sin(angle)) / (over + first * math.sin(angle)), 0, 1)
    attitude = angle + share * (-fall - angle)
    tall = first + share * (body.landing_height - first)
    return x + tall * np.sin(attitude), z - tall * np.cos(attitude)


@pytest.mark.parametrize("body", [POINT, BIKE], ids=["point", "bike"])
@pytest.mark.parametrize("seed", range(2))
def test_first_contact_against_brute_force(body, seed):
    """Seeds 2 and 3 held as well."""
    rng = np.random.default_rng([seed, 77])
    walls = 0
    for _ in range(120):
        rows = random_ground(rng)
        angle, gap, fall = rng.uniform(-0.3, 0.9), rng.uniform(1.0, 6.0), rng.uniform(-0.3, 0.9)
        speed = max(rng.uniform(1.0, 14.0), float(roll_off_speed(body, angle=angle)))
        landed = land(speed, angle, ground_line(rows), body, gap=gap, fall=fall)
        time = float(landed.time[0])
        flown = np.linspace(0.0, time, 20001)
        x, z = wheels(body, speed, angle, gap, fall, flown)
        clear = z - height(rows, x)
        case = (rows, speed, angle, gap, fall)
        assert (landed.x[0], landed.z[0]) == pytest.approx((x[-1], z[-1]), abs=1e-9), case
        earlier = (flown < time - 1e-7) & (x > 1e-9)
        assert (clear[earlier] > -1e-9).all(), case
        assert landed.apex[0] == pytest.approx(max(z.max(), 0.0), abs=3e-4), case
        if landed.wall[0]:
            # run into between the ground before the step and the ground after it
            walls += 1
            step = int(np.argmin(np.abs(np.array([row[0] for row in rows]) - x[-1])))
            assert rows[step][0] == pytest.approx(x[-1], abs=1e-9), case
            before = height(rows[:step], x[-1:])[0]
            assert before - 1e-9 <= z[-1] < rows[step][1], case
        else:
            assert abs(clear[-1]) < 1e-9, case
    assert walls > 0


@pytest.mark.parametrize("lift", [1e-8, -1e-8])
@pytest.mark.parametrize("share", [0.05, 0.2, 0.5, 0.83])
def test_grazing_a_ridge(share, lift):
    # a sharp ridge of 0.4 m whose tip is on the parabola, lifted or lowered by 10 nm
    speed, angle = 9.0, 0.5
    time = share * 2 * speed * math.sin(angle) / G
    x = speed * math.cos(angle) * time
    z = speed * math.sin(angle) * time - G * time**2 / 2 + lift
    tall = 0.2 * math.tan(1.1)
    ridge = ground_line([(0.0, -5.0, 0.0, 0.0, 1.0), (x - 0.2, z - tall, 1.1, 0.0, 1.0), (x, z, -1.1, 0.0, 1.0),
                         (x + 0.2, -5.0, 0.0, 0.0, math.inf)])
    landed = land(speed, angle, ridge)
    if lift > 0:
        assert (landed.x[0], landed.z[0]) == pytest.approx((x, z), abs=1e-7)
        assert landed.piece[0] in (1, 2)
    else:
        assert landed.z[0] == pytest.approx(-5.0, abs=1e-9)


@pytest.mark.parametrize("lift", [1e-8, -1e-8])
def test_grazing_a_crest(lift):
    # a mound of 2 m radius whose top is the top of the path
    speed, angle = 8.0, 0.45
    top_x, top_z = speed**2 * math.sin(2 * angle) / (2 * G), (speed * math.sin(angle)) ** 2 / (2 * G)
    mound = chain([Straight(length=0.1, slope=0.4), Arc(radius=2.0, to_slope=-0.4), Straight(length=50.0, slope=-0.4)])
    crest = mound.point(0.1 + 0.8)
    mound = mound.moved(x=top_x - float(crest[0]), z=top_z - float(crest[1]) + lift, s=0.0)
    rows = [(0.0, 0.0, -6.0, 0.0, 0.0, float(mound.x[0]))]
    joined = GroundLine(
        *(np.concatenate([[rows[0][i]], getattr(mound, name)])
          for i, name in enumerate(("start", "x", "z", "slope", "curvature", "length"))), ("low", "", "mound", "", ""))
    landed = land(speed, angle, joined)
    if lift > 0:
        assert landed.x[0] == pytest.approx(top_x, abs=1e-3)
        assert landed.piece[0] == 2
    else:
        assert landed.x[0] > top_x + 0.5


@pytest.mark.parametrize("speed", [0.5, 8.0, 30.0])
@pytest.mark.parametrize(("deck", "at_once"), [(0.5, True), (0.5 + 1e-6, True), (0.9, True), (0.5 - 1e-3, False)])
def test_deck_as_steep_as_the_lip_is_touched_at_once(speed, deck, at_once):
    landed = land(speed, 0.5, chain([Straight(length=100.0, slope=deck)]), drag=0.004)
    if at_once:
        assert (landed.time[0], landed.x[0], landed.z[0]) == pytest.approx((0.0, 0.0, 0.0), abs=1e-12)
        assert landed.v_x[0] == pytest.approx(speed * math.cos(0.5))
    else:
        # without drag 2 v sin(θ − deck)/(g cos deck)
        assert landed.time[0] == pytest.approx(2 * speed * math.sin(1e-3) / (G * math.cos(deck)), rel=5e-3)
        assert landed.time[0] > 0
    assert not landed.wall[0]


def test_no_contact_holds_nan_and_leaves_the_other_rows_alone():
    # a strong tailwind carries a light thing for ever over ground that falls faster than it does
    both = land(np.array([8.0, 8.0]), 0.4, chain([Straight(length=1.0, slope=-1.2)]),
                drag=np.array([0.5, 0.0]), tailwind=np.array([30.0, 0.0]))
    assert math.isnan(both.time[0]) and math.isnan(both.x[0]) and both.piece[0] == -1
    alone = land(8.0, 0.4, chain([Straight(length=1.0, slope=-1.2)]))
    assert both.x[1] == pytest.approx(alone.x[0], abs=1e-9)


def test_kink_counts_as_the_ground_ahead():
    # the path through the joint of deck and face itself
    angle = 0.45
    speed = math.sqrt(4.0 * G / math.sin(2 * angle))
    just_short, just_past = (land(speed * (1 + i * 1e-12), angle, JUMP) for i in (-1, 1))
    assert just_short.x[0] == pytest.approx(4.0, abs=1e-9)
    assert (just_short.piece[0], just_past.piece[0]) == (0, 1)
