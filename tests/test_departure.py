"""The departure of a bike from a lip's and a drop's edge: published-in-the-project tables, laws, curve against simulation.

The two tables are an independent event-driven two-wheel simulation (no losses, stiff rider; energy to 2e-11 J/kg); half
of their last printed digit is the tolerance. `tests/independent/test_departure_simulation.py` rebuilds such a
simulation and compares 200 lips and drops.
"""

import math
from dataclasses import replace

import numpy as np
import pytest

from jumpcalc.physics import rear_wheel
from jumpcalc.physics.body import Body
from jumpcalc.physics.departure import Leaving, Takeoff, leave
from jumpcalc.physics.departure_curve import DepartureCurve
from jumpcalc.physics.ground import Arc, Straight, chain, through_stakes
from jumpcalc.physics.wheel_loads import LIFTS, loads

G = 9.81
BIKE = Body(height=1.0, landing_height=1.0, wheelbase=1.2, behind_front=0.62, pitch_radius=0.45)
TALLER = replace(BIKE, height=1.05, landing_height=1.05)
CHILD = Body(height=0.72, landing_height=0.72, wheelbase=0.85, behind_front=0.44, pitch_radius=0.33)
MOTION = [name for name in Leaving.__slots__ if name not in ("speed", "leaves")]


def lip(degrees, radius, straight, *, before=0.0, body=BIKE, gravity=G):
    theta, run_in = math.radians(degrees), math.radians(before)
    pieces = [Straight(length=1.0, slope=run_in), Arc(radius=radius, to_slope=theta)]
    ground = chain(pieces + ([Straight(length=straight, slope=theta)] if straight else []), s=-1.0)
    return Takeoff(ground=ground, edge=ground.end, foot=0.0, body=body, gravity=gravity)


def drop(degrees, *, body=TALLER, gravity=9.80665):
    ground = chain([Straight(length=3.0, slope=math.radians(degrees))], s=-3.0)
    return Takeoff(ground=ground, edge=0.0, foot=0.0, body=body, gravity=gravity)


def lip_speed(takeoff, foot_speed):
    """By energy, from a level foot at s = 0."""
    foot = float(takeoff.ground.point(0.0)[1])
    rise = takeoff.place[1] - foot + takeoff.body.height * (math.cos(takeoff.slope) - 1)
    return math.sqrt(foot_speed**2 - 2 * takeoff.gravity * rise)


# θ°, R, straight, speed at the foot; x, z, pitch°, v_x, v_z, rate
LIPS = [
    (28, 4.8, 0.8, 9.6, 0.17833, 1.14219, 21.240, 7.82547, 3.05605, -1.40627),
    (25, 8, 0.6, 9.0, 0.26225, 1.12589, 17.002, 7.31482, 2.20646, -1.52999),
    (35, 5, 1.4, 10.0, 0.01738, 1.15590, 29.252, 6.95352, 3.84486, -1.23865),
    (20, 7, 0, 10.0, 0.29775, 1.11703, 15.188, 9.13511, 2.36542, -1.36232),
    (45, 8, 0, 11.0, -0.21043, 1.13671, 40.602, 6.50785, 5.45253, -1.13930),
]


@pytest.mark.parametrize("row", LIPS, ids=lambda row: f"{row[0]}deg-{row[1]}m-{row[2]}m")
def test_table_leaving_a_lip(row):
    *given, x, z, pitch, v_x, v_z, rate = row
    takeoff = lip(*given[:3])
    speed = lip_speed(takeoff, given[3])
    for left in (leave(takeoff, [speed])[0], DepartureCurve(takeoff).leaving([speed])):
        assert [left.x[0], left.z[0], left.v_x[0], left.v_z[0], left.pitch_rate[0]] == pytest.approx([x, z, v_x, v_z, rate], abs=6e-6)
        assert math.degrees(left.pitch[0]) == pytest.approx(pitch, abs=6e-4)
    pressed = loads(takeoff, [speed], leave(takeoff, [speed])[1])
    assert LIFTS[pressed.lifts[0]] == ""  # as the table says


# θ°, v as the front contact passes; time, pitch°, rate, x, z, v_x, v_z, front below the edge
DROPS = [
    (0, 4, 0.44364, -45.344, -3.04226, 1.15456, 0.32541, 4.00000, -3.51248, 0.8536),
    (0, 6, 0.24471, -16.088, -2.07210, 0.84825, 0.84816, 6.00000, -1.75767, 0.3325),
    (0, 10, 0.12861, -4.818, -1.26140, 0.66614, 0.99757, 10.00000, -0.84027, 0.1008),
    (-10, 5, 0.29606, -32.289, -2.31398, 1.05121, 0.57780, 5.04487, -3.08628, 0.6410),
    (10, 6, 0.25718, -7.354, -2.11452, 0.70963, 0.96712, 5.79581, -0.83915, 0.1536),
]


def speed_at_edge(takeoff, passing):
    """Lip speed for a speed as the front contact passes: the bike is l_f short of the edge on its slope then."""
    ahead = takeoff.body.behind_front * math.sin(takeoff.slope)
    return math.sqrt(passing**2 - 2 * takeoff.gravity * ahead)


@pytest.mark.parametrize("row", DROPS, ids=lambda row: f"{row[0]}deg-{row[1]}")
def test_table_rolling_off_an_edge(row):
    degrees, passing, time, pitch, rate, x, z, v_x, v_z, below = row
    takeoff = drop(degrees)
    speed = speed_at_edge(takeoff, passing)
    left, track = leave(takeoff, [speed])
    found = [left.time[0], left.pitch_rate[0], left.x[0], left.z[0], left.v_x[0], left.v_z[0]]
    assert found == pytest.approx([time, rate, x, z, v_x, v_z], abs=6e-6)
    assert math.degrees(left.pitch[0]) == pytest.approx(pitch, abs=6e-4)
    assert -left.front_z[0] == pytest.approx(below, abs=6e-5)
    assert [track.front_x[0, 0], track.front_z[0, 0]] == pytest.approx([0, 0], abs=1e-12)
    assert [track.front_x[0, -1], track.front_z[0, -1]] == pytest.approx([left.front_x[0], left.front_z[0]], abs=1e-12)


# v, θ°, gap, drop, φ°; d rolled off, pitch° of a passive rider; C comes down on the face shifted by the set-down bike
SET_DOWN = [(5, 0, 1.2, 1.0, 25, 0.8584, -66.5), (7, -5, 2.0, 1.2, 30, 2.0903, -65.8), (8, 0, 3.0, 1.0, 20, 0.3400, -41.3)]


@pytest.mark.parametrize("row", SET_DOWN)
def test_table_rolled_off_and_set_down(row):
    passing, degrees, gap, height, fall, along, pitch = row
    takeoff, fall = drop(degrees), math.radians(fall)
    left, _ = leave(takeoff, [speed_at_edge(takeoff, passing)])
    # the wheels' midpoint is h_c square to the face below C, once set down
    x = float(left.x[0]) - takeoff.body.height * math.sin(fall)
    z = float(left.z[0]) - takeoff.body.height * math.cos(fall)
    v_x, v_z, g = float(left.v_x[0]), float(left.v_z[0]), takeoff.gravity
    above = z + height + (x - gap) * math.tan(fall)
    closing = v_z + v_x * math.tan(fall)
    time = (closing + math.sqrt(closing**2 + 2 * g * above)) / g
    assert (x + v_x * time - gap) / math.cos(fall) == pytest.approx(along, abs=6e-5)
    assert math.degrees(left.pitch[0] + left.pitch_rate[0] * time) == pytest.approx(pitch, abs=0.06)


CASES = [
    lip(30, 5, 0.8),
    lip(12, 6, 0.0, before=-12),
    lip(45, 4, 1.5, body=CHILD),
    lip(58, 3.2, 0.3, before=5),
    lip(38, 3.0, 0.0),
    drop(0),
    drop(-20),
    drop(9, body=CHILD),
]


def speeds(takeoff, count=60):
    rng = np.random.default_rng(5)
    slowest = DepartureCurve(takeoff).slowest
    return np.concatenate([rng.uniform(slowest + 0.01, 12, count), rng.uniform(12, 40, count // 3)])


@pytest.mark.parametrize("takeoff", CASES)
def test_energy_is_kept(takeoff):
    speed = speeds(takeoff)
    left, _ = leave(takeoff, speed)
    assert left.leaves.all()
    turning = takeoff.body.pitch_radius * left.pitch_rate
    height = left.z - takeoff.body.height * math.cos(takeoff.slope)
    energy = (left.v_x**2 + left.v_z**2 + turning**2) / 2 + takeoff.gravity * height
    np.testing.assert_allclose(energy, speed**2 / 2, rtol=1e-10, atol=1e-9)


@pytest.mark.parametrize("takeoff", CASES)
def test_shorter_steps_change_nothing(takeoff, monkeypatch):
    speed = speeds(takeoff)
    left, track = leave(takeoff, speed)
    monkeypatch.setattr(rear_wheel, "_LONGEST_STEP", 0.2)
    monkeypatch.setattr(rear_wheel, "_LARGEST_TURN", 0.15)
    finer, fine_track = leave(takeoff, speed)
    for name in MOTION:
        np.testing.assert_allclose(getattr(left, name), getattr(finer, name), atol=1e-9)
    for name in ("front_x", "front_z", "before"):
        np.testing.assert_allclose(getattr(track, name), getattr(fine_track, name), atol=1e-6)
    np.testing.assert_allclose(track.rear_load, fine_track.rear_load, atol=1e-4)


@pytest.mark.parametrize("takeoff", CASES)
def test_curve_is_the_simulation(takeoff):
    curve = DepartureCurve(takeoff)
    speed = np.concatenate([speeds(takeoff), np.linspace(0.05, curve.slowest - 1e-3, 7)])
    exact, track = leave(takeoff, speed)
    looked_up, way = curve.leaving(speed), curve.track(speed)
    assert (looked_up.leaves == exact.leaves).all()
    assert not looked_up.leaves[-7:].any() and np.isnan(looked_up.x[-7:]).all()
    for name in MOTION:
        np.testing.assert_allclose(getattr(looked_up, name), getattr(exact, name), atol=1e-9)
    for name in ("front_x", "front_z", "before"):
        np.testing.assert_allclose(getattr(way, name), getattr(track, name), atol=1e-6)
    np.testing.assert_allclose(way.rear_load, track.rear_load, atol=1e-4)


def test_slowest_is_where_it_begins_to_leave():
    for takeoff in CASES:
        slowest = DepartureCurve(takeoff).slowest
        left, _ = leave(takeoff, [slowest, slowest + 1.1e-3])
        assert left.leaves.tolist() == [False, True]
        assert np.isnan(left.x[0]) and np.isfinite(left.x[1])


def test_one_row_is_a_batch_of_one():
    takeoff = lip(30, 5, 0.8)
    many, _ = leave(takeoff, [5.0, 8.0, 12.0])
    one, _ = leave(takeoff, 8.0)
    for name in MOTION:
        assert getattr(one, name)[0] == pytest.approx(getattr(many, name)[1], abs=1e-12)


def test_on_a_straight_the_front_passes_the_edge_without_pitching():
    for takeoff in (lip(30, 4, 1.3), drop(-8)):
        assert takeoff.start.pitch[0] == pytest.approx(takeoff.slope, abs=1e-14)
        assert takeoff.start.turn[0] == pytest.approx(0.0, abs=1e-14)
        assert takeoff.start.inertia[0] == pytest.approx(1.0, abs=1e-14)


def test_run_in_is_continued_back():
    short = lip(20, 4, 0.1, before=-10)
    slope, theta = math.radians(-10), math.radians(20)
    ground = chain([Straight(length=30.0, slope=slope), Arc(radius=4, to_slope=theta), Straight(length=0.1, slope=theta)], s=-30.0)
    a, b = leave(short, [7.0])[0], leave(replace(short, ground=ground, edge=ground.end), [7.0])[0]
    for name in MOTION:
        assert getattr(a, name)[0] == pytest.approx(getattr(b, name)[0], abs=1e-10)


def test_twice_as_large():
    # lengths times 2, speeds times √2: the same motion at the same gravity
    twice = Body(**{name: 2 * getattr(BIKE, name) for name in Body.__slots__})
    a, track = leave(lip(33, 4, 0.7), [7.0])
    b, twice_track = leave(lip(33, 8, 1.4, body=twice), [7.0 * math.sqrt(2)])
    for name, factor in {"x": 2, "z": 2, "v_x": 2**0.5, "v_z": 2**0.5, "pitch": 1, "pitch_rate": 2**-0.5, "time": 2**0.5}.items():
        assert getattr(b, name)[0] == pytest.approx(factor * getattr(a, name)[0], abs=1e-10)
    np.testing.assert_allclose(twice_track.front_z, 2 * track.front_z, atol=1e-9)


def test_measured_profile_of_a_lip_is_nearly_the_lip():
    built = lip(25, 6, 1.0)
    along = np.linspace(0.0, float(built.edge), 15)
    fall = built.ground.point(0.0)[1] - built.ground.point(along)[1]
    stakes = through_stakes(list(zip(along.tolist(), fall.tolist(), strict=True)))
    ground = chain([Straight(length=1.0, slope=0.0), *stakes], s=-1.0)
    takeoff = Takeoff(ground=ground, edge=ground.end, foot=0.0, body=BIKE, gravity=G)
    a, b = leave(built, [7.0])[0], leave(takeoff, [7.0])[0]
    assert [b.x[0], b.z[0], b.v_x[0], b.v_z[0]] == pytest.approx([a.x[0], a.z[0], a.v_x[0], a.v_z[0]], abs=0.02)


@pytest.mark.parametrize("turn", [-6, 6])
def test_a_kink_under_the_rear_wheel_gives_no_energy(turn):
    slope = math.radians(5)
    ahead = slope + math.radians(turn)
    ground = chain([Straight(length=2.0, slope=slope), Straight(length=0.7, slope=ahead)])
    takeoff = Takeoff(ground=ground, edge=ground.end, foot=ground.end, body=BIKE, gravity=G)
    speed = np.array([5.0, 8.0])
    left, _ = leave(takeoff, speed)
    turning = BIKE.pitch_radius * left.pitch_rate
    energy = (left.v_x**2 + left.v_z**2 + turning**2) / 2 + G * (left.z - BIKE.height * math.cos(takeoff.slope))
    assert (energy < speed**2 / 2).all() and (energy > 0.9 * speed**2 / 2).all()


def test_loads_at_rest_are_the_weight():
    pressed = lip(35, 6, 2.5).stances()
    np.testing.assert_allclose(pressed.rear_weight[0] + pressed.front_weight[0], 1.0, atol=0.02)
    # on the straight end: along the slope nothing holds the bike, so the load is cosθ, shared out by l_f and l_r
    assert pressed.front_weight[-1] == pytest.approx(math.cos(math.radians(35)) * 0.58 / 1.2, abs=1e-12)
    assert pressed.rear_press[-1] == pytest.approx(0.0, abs=1e-12)


def test_tight_lip_under_load_lifts_a_wheel():
    # a rear wheel that comes into a tight arc while the front is on its way out of it
    takeoff = lip(35, 2.2, 0.6)
    curve = DepartureCurve(takeoff)
    pressed = curve.loads([5.0, 9.0, 20.0])
    lifting = pressed.lifts > 0
    assert (pressed.least_front < 0).any() or (pressed.least_rear < 0).any()
    assert ((np.minimum(pressed.least_front, pressed.least_rear) < 0) == lifting).all()
    assert (np.isfinite(pressed.lift_before) == lifting).all()
    assert ((pressed.lift_before[lifting] >= 0) & (pressed.lift_before[lifting] < takeoff.edge + 1.2)).all()


def test_what_does_not_leave_is_not_a_number_and_has_no_loads():
    takeoff = lip(45, 5, 0.5)
    left, track = leave(takeoff, [0.0, 2.0, 9.0])
    pressed = loads(takeoff, [0.0, 2.0, 9.0], track)
    assert left.leaves.tolist() == [False, False, True]
    assert np.isnan(pressed.least_rear[:2]).all() and pressed.lifts[:2].tolist() == [0, 0]
