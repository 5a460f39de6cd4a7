"""Rolling against values and integrations made apart from the package.

Numbers marked "independent computation" were found by two other methods that agree; `ridden` is made here, with
time as the variable where the package steps in distance.
"""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from jumpcalc.physics import rolling
from jumpcalc.physics.ground import Arc, Straight, chain
from jumpcalc.physics.roller import Roller
from jumpcalc.physics.rolling import roll

G = 9.80665
K = 1.225 * 0.6 / (2 * 85)
DEG = math.pi / 180


def straight(length, degrees):
    return chain([Straight(length=length, slope=degrees * DEG)])


# independent computation: m 85, C_rr 0.02, CdA 0.6, ρ 1.225
@pytest.mark.parametrize(
    ("degrees", "speed", "length", "rotating", "expected"),
    [
        (-5, 3.0, 20, 0.0, 5.638169297),
        (-10, 0.0, 15, 0.0, 6.517532760),
        (-10, 0.0, 15, 1.447, 6.466188994),
        (0, 8.0, 30, 0.0, 6.245869160),
    ],
)
def test_exact_straights(degrees, speed, length, rotating, expected):
    roller = Roller(drag=K, rolling_resistance=0.02, rotating_share=rotating / 85)
    assert roll(straight(length, degrees), 0, speed, roller, end=length).speed[0] == pytest.approx(expected, abs=6e-10)


def test_exact_straight_in_other_air():
    # independent computation: from rest, −8°, 30 m, C_rr 0.02, CdA 0.5, m 95, ρ 1.2, g 9.81
    roller = Roller(drag=1.2 * 0.5 / (2 * 95), rolling_resistance=0.02, gravity=9.81)
    assert roll(straight(30, -8), 0, 0.0, roller, end=30).speed[0] == pytest.approx(8.0003, abs=5e-5)


# independent computation: 10 m/s to rest, μ 0.35
@pytest.mark.parametrize(
    ("grade", "drag", "expected"), [(0.0, K, 13.7203179), (0.0, 0.0, 14.5673745), (-0.10, K, 18.8693791)]
)
def test_braking(grade, drag, expected):
    ground = chain([Straight(length=100, slope=math.atan(grade))])
    assert roll(ground, 0, 10.0, Roller(drag=drag, braking=0.35)).s[0] == pytest.approx(expected, abs=6e-8)
    # the brakes' force holds all of it: neither rolling friction nor the wheels are added
    whole = Roller(drag=drag, braking=0.35, rolling_resistance=0.02, rotating_share=1.45 / 85)
    assert roll(ground, 0, 10.0, whole).s[0] == pytest.approx(expected, abs=6e-8)


def test_a_brake_weaker_than_rolling_friction_does_not_speed_up():
    weak = roll(straight(400, 0), 0, 5.0, Roller(braking=0.01, rolling_resistance=0.03)).s[0]
    assert weak == pytest.approx(25 / (2 * 0.03 * G), rel=1e-10)


# independent computation: level coast-down, (t, v, x)
@pytest.mark.parametrize(
    ("time", "speed", "place"),
    [
        (5, 7.40101733, 43.099146),
        (10, 5.52336724, 75.1929767),
        (15, 4.04882852, 98.9969586),
        (20, 2.81319164, 116.075935),
        (25, 1.72017985, 127.364879),
    ],
)
def test_coast_down(time, speed, place):
    track = roll(straight(300, 0), 0, 10.0, Roller(drag=K, rolling_resistance=0.02), duration=time)
    assert track.speed[0] == pytest.approx(speed, abs=6e-9)
    assert track.s[0] == pytest.approx(place, abs=6e-7)
    assert track.time[0] == pytest.approx(time, abs=1e-12)


@pytest.mark.parametrize("time", [28.0, 32.0, 33.5, 33.586])
@pytest.mark.parametrize("wind", [0.0, 1e-4])
def test_time_is_up_just_before_the_standstill(time, wind):
    # near rest v = a (t_end − t) + …: the last metres by time, against an integration in time
    roller = Roller(drag=K, rolling_resistance=0.02, tailwind=wind)
    theirs = solve_ivp(
        lambda _, y: [y[1], -0.02 * G - K * (y[1] - wind) * abs(y[1] - wind)],
        (0, time),
        [0.0, 10.0],
        method="DOP853",
        rtol=1e-12,
        atol=1e-13,
    ).y[:, -1]
    track = roll(straight(300, 0), 0, 10.0, roller, duration=time)
    assert not track.stopped[0]
    assert track.time[0] == pytest.approx(time, abs=1e-9)
    assert track.s[0] == pytest.approx(theirs[0], abs=1e-8)
    assert track.speed[0] == pytest.approx(theirs[1], abs=1e-8)


def test_coast_down_to_rest():
    track = roll(straight(300, 0), 0, 10.0, Roller(drag=K, rolling_resistance=0.02))
    assert track.stopped[0]
    assert track.time[0] == pytest.approx(33.58691446, abs=1e-8)
    assert track.s[0] == pytest.approx(134.6724571, abs=6e-8)


LIP = chain([Arc(radius=1.5 / (1 - math.cos(35 * DEG)), to_slope=35 * DEG)], slope=0.0)


# independent computation: lip 1.5 m high, arc to 35°, 10 m/s at its foot, g 9.81
@pytest.mark.parametrize(
    ("roller", "expected", "half_digit"),
    [
        ({}, 8.4006, 5e-5),
        ({"height": 1.0}, 8.6092, 5e-5),
        ({"drag": 1.2 * 0.5 / (2 * 95), "rolling_resistance": 0.02}, 7.989, 5e-4),
    ],
)
def test_lip(roller, expected, half_digit):
    track = roll(LIP, 0, 10.0, Roller(gravity=9.81, **roller), end=LIP.end)
    assert track.speed[0] == pytest.approx(expected, abs=half_digit)


def test_wheel_sensor_on_the_lip():
    # independent computation: a wheel sensor reads 9.7895 m/s at that edge
    speed = roll(LIP, 0, 10.0, Roller(gravity=9.81, height=1.0), end=LIP.end).speed[0]
    assert speed / (1 - 1.0 * LIP.curvature[0]) == pytest.approx(9.7895, abs=1e-4)


@pytest.mark.parametrize(("radius", "load"), [(4, 2.63), (6, 2.09), (8, 1.82)])
def test_load_at_the_foot(radius, load):
    # independent computation: 8 m/s, point path, g 9.81
    arc = chain([Arc(radius=radius, to_slope=0.3)], slope=0.0)
    assert float(Roller(gravity=9.81).load(32.0, 0.0, 1 / radius)) / 9.81 == pytest.approx(load, abs=0.005)
    assert roll(arc, 0, 8.0, Roller(gravity=9.81), end=arc.end).peak_load[0] == pytest.approx(load, abs=0.06)


@pytest.mark.parametrize("rotating", [0.0, 0.03])
@pytest.mark.parametrize(("start", "end"), [(0.0, 1.0), (-0.8, 0.4)])
def test_friction_alone_on_an_arc(start, end, rotating):
    # v² to v² e^(−2 c_rr |Δβ|/(1 + m_r/m)), whatever the radius
    arc = chain([Arc(radius=5.0, to_slope=end)], slope=start)
    track = roll(arc, 0, 9.0, Roller(rolling_resistance=0.05, rotating_share=rotating, gravity=1e-13), end=arc.end)
    assert track.speed[0] ** 2 == pytest.approx(81 * math.exp(-0.1 * (end - start) / (1 + rotating)), rel=1e-12)


# pieces: (length, slope, curvature); slopes of a piece at its start; kinks where they do not join
HILL = [
    (25.0, -12 * DEG, 0.0),
    (9 * 6 * DEG, -12 * DEG, 1 / 9),
    (4.0, -6 * DEG, 0.0),
    (3.0, 2 * DEG, 0.0),
    (5 * 24 * DEG, 2 * DEG, 1 / 5),
    (0.8, 26 * DEG, 0.0),
]
HILL_LINE = chain(
    [
        Straight(length=25, slope=-12 * DEG),
        Arc(radius=9, to_slope=-6 * DEG),
        Straight(length=4, slope=-6 * DEG),
        Straight(length=3, slope=2 * DEG),
        Arc(radius=5, to_slope=26 * DEG),
        Straight(length=0.8, slope=26 * DEG),
    ]
)
CREST = [(6.0, 8 * DEG, 0.0), (12 * 16 * DEG, 8 * DEG, -1 / 12), (8.0, -8 * DEG, 0.0), (6.0, -14 * DEG, 0.0)]
CREST_LINE = chain(
    [
        Straight(length=6, slope=8 * DEG),
        Arc(radius=12, to_slope=-8 * DEG),
        Straight(length=8, slope=-8 * DEG),
        Straight(length=6, slope=-14 * DEG),
    ]
)


def ridden(pieces, speed, *, k=0.0, c=0.0, wheels=0.0, h=0.0, wx=0.0, wy=0.0, b=None, limit=400.0):
    """A ride piece by piece with time as the variable: distance, speed and time at its end."""
    s0 = clock = 0.0
    v = speed
    before = None
    for length, slope, curvature in pieces:
        if before is not None and slope > before + 1e-12:
            v *= math.cos(slope - before)
        q = 1 - h * curvature

        def rates(_, y, slope=slope, curvature=curvature, q=q):
            along, v = y
            beta = slope + curvature * along
            load = max(0.0, G * math.cos(beta) + curvature * v * v / q)
            r = v - wx * math.cos(beta)
            push = -q * G * math.sin(beta) - q * k * r * math.hypot(r, wy)
            push = (push - c * load) / (1 + wheels) if b is None else push - max(b, c) * load
            return [v / q, push / q]

        def arrives(_, y, length=length):
            return y[0] - length

        def stops(_, y):
            return y[1]

        arrives.terminal = stops.terminal = True
        stops.direction = -1
        way = solve_ivp(
            rates, (0, limit), [0.0, v], method="DOP853", rtol=1e-12, atol=1e-13, events=(arrives, stops)
        )
        clock += way.t[-1]
        v = way.y[1, -1]
        if len(way.t_events[1]):
            return SimpleNamespace(s=s0 + way.y[0, -1], speed=0.0, time=clock, stopped=True)
        s0 += length
        before = slope + curvature * length
    return SimpleNamespace(s=s0, speed=v, time=clock, stopped=False)


RIDES = [
    {},
    {"k": K, "c": 0.02},
    {"k": K, "c": 0.02, "wheels": 0.025, "h": 1.05},
    {"k": K, "c": 0.02, "wx": 4.0},
    {"k": K, "c": 0.02, "wx": -6.0, "wy": 3.0, "h": 1.05, "wheels": 0.02},
    {"k": 2 * K, "c": 0.03, "wx": 2.0, "wy": -8.0, "h": 0.9},
]


def as_roller(ride):
    names = {"k": "drag", "c": "rolling_resistance", "wheels": "rotating_share", "h": "height"}
    names |= {"wx": "tailwind", "wy": "crosswind", "b": "braking"}
    return Roller(**{names[name]: value for name, value in ride.items()})


@pytest.mark.parametrize("ride", RIDES)
@pytest.mark.parametrize("speed", [2.0, 6.0])
@pytest.mark.parametrize(("pieces", "line"), [(HILL, HILL_LINE), (CREST, CREST_LINE)], ids=["hill", "crest"])
def test_against_time_as_variable(pieces, line, speed, ride):
    speed += 4.0 * (line is CREST_LINE)
    theirs = ridden(pieces, speed, **ride)
    ours = roll(line, 0.0, speed, as_roller(ride), end=line.end)
    assert not theirs.stopped and ours.reached[0]
    assert ours.speed[0] == pytest.approx(theirs.speed, abs=1e-9)
    assert ours.time[0] == pytest.approx(theirs.time, abs=1e-8)
    assert np.isnan(ours.lifted[0])
    assert np.isnan(ours.dropped[0]) == (line is HILL_LINE)


@pytest.mark.parametrize("ride", RIDES[1:])
@pytest.mark.parametrize("braking", [0.1, 0.3])
def test_braking_against_time_as_variable(braking, ride):
    pieces = [(3.0, -20 * DEG, 0.0), (6 * 20 * DEG, -20 * DEG, 1 / 6), (60.0, 0.0, 0.0)]
    line = chain([Straight(length=3, slope=-20 * DEG), Arc(radius=6, to_slope=0.0), Straight(length=60, slope=0.0)])
    theirs = ridden(pieces, 9.0, b=braking, **ride)
    ours = roll(line, 0.0, 9.0, as_roller(ride | {"b": braking}))
    assert theirs.stopped and ours.stopped[0]
    assert ours.s[0] == pytest.approx(theirs.s, abs=1e-8)
    assert ours.time[0] == pytest.approx(theirs.time, abs=1e-6)


@pytest.mark.parametrize("ride", RIDES[1:])
def test_stopping_on_a_climb(ride):
    theirs = ridden([(60.0, 9 * DEG, 0.0)], 7.0, **ride)
    ours = roll(straight(60, 9), 0.0, 7.0, as_roller(ride))
    assert theirs.stopped and ours.stopped[0]
    assert ours.s[0] == pytest.approx(theirs.s, abs=1e-8)


@pytest.mark.parametrize("ride", RIDES)
def test_forward_and_followed_back(ride):
    roller = as_roller(ride)
    starts = np.array([0.0, 7.0, 21.0, 26.0])
    there = roll(HILL_LINE, starts, 7.0, roller, end=HILL_LINE.end)
    # a start found by its speed is where the ride began
    found = roll(HILL_LINE, HILL_LINE.end, there.speed, roller, end=-1e3, back=True, stop_speed=7.0)
    again = roll(HILL_LINE, HILL_LINE.end, there.speed, roller, end=0.0, back=True, track=True)
    for row, start in enumerate(starts):
        # inside a step the dense output is good to a few 1e-7
        assert again.speed_at([start])[row, 0] == pytest.approx(7.0, abs=5e-7)
        rides = roll(HILL_LINE, found.s[row], found.speed[row], roller, end=HILL_LINE.end)
        assert rides.speed[0] == pytest.approx(there.speed[row], abs=1e-9)
    assert found.s[:2] == pytest.approx(starts[:2], abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(
    speed=st.floats(0.5, 15),
    slope=st.floats(-0.3, -0.05),
    wx=st.floats(-6, 6),
    wy=st.floats(-5, 5),
    c=st.floats(0, 0.04),
)
def test_a_start_found_rides_to_its_speed(speed, slope, wx, wy, c):
    roller = Roller(drag=K, rolling_resistance=c, tailwind=wx, crosswind=wy, rotating_share=0.02)
    ground = chain([Straight(length=60, slope=slope), Arc(radius=8, to_slope=0.0)])
    found = roll(ground, ground.end, speed, roller, end=0.0, back=True, stop_speed=0.3)
    there = roll(ground, found.s, found.speed, roller, end=ground.end)
    if there.reached[0]:
        assert there.speed[0] == pytest.approx(speed, abs=1e-8)
    else:
        # whoever starts at 0.3 m/s must have been slowed to a stop by a headwind or friction
        assert there.stopped[0] and found.s[0] > 0


def test_energy_of_a_whole_ride():
    """Start, hill, lip and braking: energy of the centre of mass against losses integrated apart."""
    c, wheels, h, wx, wy = 0.025, 0.02, 1.05, -3.0, 2.0
    roller = Roller(drag=K, rolling_resistance=c, rotating_share=wheels, height=h, tailwind=wx, crosswind=wy)
    track = roll(HILL_LINE, 0.0, 6.0, roller, end=HILL_LINE.end, track=True)

    def speed(s):
        return float(track.speed_at([s])[0, 0])

    lost, kinks, rise, at = 0.0, 0.0, 0.0, 0.0
    for number, (length, slope, curvature) in enumerate(HILL):
        end = slope + curvature * length
        q = 1 - h * curvature
        if number == 3:
            v = speed(at - 1e-7)
            kinks += v * v / 2 * math.sin(slope + 6 * DEG) ** 2 * (1 + wheels)

        def loss(s, slope=slope, curvature=curvature, q=q, at=at):
            v, beta = speed(s), slope + curvature * (s - at)
            r = v - wx * math.cos(beta)
            return c * (G * math.cos(beta) + curvature * v * v / q) + q * K * r * math.hypot(r, wy)

        lost += quad(loss, at + 1e-9, at + length - 1e-9, epsabs=1e-9)[0]
        # the centre of mass rises with the wheels and swings over them in an arc
        height = length * math.sin(slope) if curvature == 0 else (math.cos(slope) - math.cos(end)) / curvature
        rise += height + h * (math.cos(end) - math.cos(slope))
        at += length
    gained = (1 + wheels) * (float(track.speed[0]) ** 2 - 36.0) / 2
    assert gained == pytest.approx(-G * rise - lost - kinks, abs=1e-6)
    assert lost > 5 and kinks > 0.1


def test_wheels_leave_a_sharp_crest():
    # N = 0 where v² = g R cosβ: on a crest of 4 m radius without losses, from its top at 5 m/s
    crest = chain([Arc(radius=4.0, to_slope=-0.9)], slope=0.0)
    track = roll(crest, 0.0, 5.0, Roller(), end=crest.end)
    beta = math.acos((25 + 2 * G * 4) / (3 * G * 4))
    assert track.lifted[0] == pytest.approx(4 * beta, abs=0.4)
    calm = roll(crest, 0.0, math.sqrt(0.2), Roller(), end=4 * 0.5)
    assert np.isnan(calm.lifted[0])


@pytest.mark.parametrize("back", [False, True])
def test_many_different_rows_are_single_rides(back, monkeypatch):
    """Rows that differ in everything, some of which halt, fewer at a time than there are."""
    monkeypatch.setattr(rolling, "_ROWS", 7)
    rng = np.random.default_rng(5)
    count = 60
    entries = {
        "drag": K * rng.uniform(0.5, 3.0, count),
        "rolling_resistance": rng.uniform(0.0, 0.2, count),
        "rotating_share": rng.uniform(0.0, 0.03, count),
        "height": rng.uniform(0.0, 1.1, count),
        "tailwind": rng.normal(0.0, 4.0, count),
        "crosswind": np.where(rng.random(count) < 0.5, 0.0, rng.normal(0.0, 3.0, count)),
        "tilt": rng.normal(0.0, 0.03, count),
        "soak": rng.uniform(0.0, 0.5, count),
    }
    start = np.full(count, HILL_LINE.end) if back else rng.uniform(0.0, 34.0, count)
    speed, stop = rng.uniform(0.0, 9.0, count), rng.uniform(0.0, 3.0, count) * back
    end = 0.0 if back else HILL_LINE.end
    rows = roll(HILL_LINE, start, speed, Roller(**entries), end=end, back=back, stop_speed=stop)
    assert 5 < rows.stopped.sum() < count - 5
    for row in range(count):
        alone = Roller(**{name: float(values[row]) for name, values in entries.items()})
        one = roll(HILL_LINE, start[row], speed[row], alone, end=end, back=back, stop_speed=stop[row])
        for name in ("s", "speed", "time", "peak_load", "lifted", "dropped"):
            assert getattr(rows, name)[row] == pytest.approx(getattr(one, name)[0], abs=1e-9, nan_ok=True)
        assert (rows.reached[row], rows.stopped[row]) == (one.reached[0], one.stopped[0])
    assert (rows.reached != rows.stopped).all()


@pytest.mark.parametrize(("wx", "wy"), [(3.0, 0.05), (3.0, 0.3), (5.0, 1e-3), (0.2, 0.2), (1.0, 2.0)])
def test_little_wind_across_where_rider_and_tailwind_are_equally_fast(wx, wy):
    # there the drag law is bent within as much of speed as the wind across has
    pieces = [(28.0, -12 * DEG, 0.0), (9 * 8 * DEG, -12 * DEG, 1 / 9), (4.0, -4 * DEG, 0.0)]
    line = chain([Straight(length=28, slope=-12 * DEG), Arc(radius=9, to_slope=-4 * DEG), Straight(length=4, slope=-4 * DEG)])
    ride = {"k": K, "c": 0.03, "wx": wx, "wy": wy, "wheels": 0.02}
    theirs, ours = ridden(pieces, 0.0, **ride), roll(line, 0.0, 0.0, as_roller(ride), end=line.end)
    assert ours.speed[0] == pytest.approx(theirs.speed, abs=1e-9)
    assert ours.time[0] == pytest.approx(theirs.time, abs=1e-8)


def test_the_way_is_kept_where_it_is_asked_for():
    with pytest.raises(ValueError, match="no track"):
        roll(HILL_LINE, 0.0, 5.0, Roller(), end=HILL_LINE.end).speed_at([1.0])


def test_speeds_on_the_way_from_rest_to_rest():
    # down two straights and up a third without losses but those at the kinks, 0 at both ends
    ground = chain([Straight(length=20, slope=-0.2), Straight(length=40, slope=-0.1), Straight(length=400, slope=0.15)])
    track = roll(ground, 0.0, 0.0, Roller(), track=True)
    places = np.linspace(0.0, 59.999, 101)
    before = places < 20
    assert track.speed_at(places)[0, before] == pytest.approx(np.sqrt(2 * G * math.sin(0.2) * places[before]), abs=1e-9)
    kept = 2 * G * 20 * math.sin(0.2) * math.cos(0.1) ** 2
    after = np.sqrt(kept + 2 * G * math.sin(0.1) * (places[~before] - 20))
    assert track.speed_at(places)[0, ~before] == pytest.approx(after, abs=1e-9)
    at_bottom = (kept + 2 * G * math.sin(0.1) * 40) * math.cos(0.25) ** 2
    assert track.stopped[0] and track.s[0] == pytest.approx(60 + at_bottom / (2 * G * math.sin(0.15)), abs=1e-9)


def test_greatest_load_lies_between_the_ends():
    # from 4° down into a lip: loads sampled finely along the way, which is kept
    lip = chain([Arc(radius=4.8, to_slope=28 * DEG)], slope=-4 * DEG)
    track = roll(lip, 0.0, np.array([5.0, 7.0, 9.0]), Roller(height=1.0), end=lip.end, track=True)
    s = np.linspace(0.0, lip.end, 20001)
    v = track.speed_at(s)
    loads = np.cos(lip.slope[0] + s / 4.8) + v * v / (G * (4.8 - 1.0))
    assert (loads.argmax(axis=1)[:2] > 0).all()
    assert track.peak_load == pytest.approx(loads.max(axis=1), abs=2e-6)


def test_six_kilometres_in_a_storm_are_ridden_to_their_end():
    """A bike blown up a hill creeps at the speed at which wind and slope are in balance, and gets there."""
    hill = chain(
        [
            Straight(length=1000, slope=-0.8),
            Arc(radius=400, to_slope=1.1),
            Straight(length=3000, slope=1.1),
            Straight(length=2000, slope=-0.3),
        ]
    )
    storm = Roller(drag=0.066, rolling_resistance=0.2, tailwind=22.2, crosswind=-22.2)
    track = roll(hill, 0.0, 22.0, storm, end=hill.end)
    assert track.reached[0] and not track.stopped[0]
    # balance on the last straight: the same force at its end as none
    assert float(storm.slowing(track.speed[0] ** 2 / 2, -0.3, 0.0)) == pytest.approx(0.0, abs=1e-9)
    against = roll(hill, 0.0, 22.0, Roller(drag=0.066, rolling_resistance=0.2, tailwind=-22.2), end=hill.end)
    assert against.stopped[0] and not against.reached[0]


def test_who_never_stops_is_given_up():
    track = roll(straight(50, -10), 0.0, 5.0, Roller(braking=0.1, drag=K))
    assert not track.stopped[0] and not track.reached[0]
    assert track.s[0] > 5000


def test_batch_is_single():
    roller = Roller(drag=K, rolling_resistance=0.02, tailwind=-3.0, crosswind=1.0)
    speeds = np.array([0.0, 0.5, 3.0, 8.0, 12.0])
    rows = roll(HILL_LINE, 0.0, speeds, roller, end=HILL_LINE.end)
    for row, speed in enumerate(speeds):
        one = roll(HILL_LINE, 0.0, speed, roller, end=HILL_LINE.end)
        assert rows.speed[row] == pytest.approx(one.speed[0], abs=1e-10)
        assert rows.s[row] == pytest.approx(one.s[0], abs=1e-10)
        assert bool(rows.stopped[row]) == bool(one.stopped[0])
