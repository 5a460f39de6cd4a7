"""Flight against solutions made apart from it.

A table of an independent computation with drag and wind (two methods that agree); the exact
hodograph solution by quadrature with 25 digits, also in a frame that moves with a steady wind; and an
adaptive Runge-Kutta solver of order eight. Air against the package `ambiance`.
"""

import math

import ambiance
import mpmath
import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from jumpcalc.physics.air import density, pressure, standard_temperature
from jumpcalc.physics.body import POINT, depart
from jumpcalc.physics.flight import Touchdown, drag_constant, touchdown
from jumpcalc.physics.ground import Straight, chain
from jumpcalc.physics.hodograph import fly
from jumpcalc.units import STANDARD_GRAVITY as G

DRAG = float(drag_constant(density=1.225, drag_area=0.6, mass=85.0))


def land(speed, angle, *, height=0.0, **air) -> Touchdown:
    """Touchdown of points on level ground at a height."""
    start = depart(POINT, np.atleast_1d(speed), angle=angle, gap=1.0, fall=0.0)
    return touchdown(start, chain([Straight(length=1.0, slope=0.0)], z=height), **air)


# v0 m/s, θ °, tailwind m/s, height of the ground m, T s, x m, apex m, v_x, v_z m/s
TABLE = [
    (8, 30, 0, 0, 0.8121689300, 5.555973373, 0.8085929805, 6.755007425, -3.965042520),
    (10, 20, -5, 0, 0.6924696676, 6.296289514, 0.5878322739, 8.796544643, -3.371613989),
    (10, 45, 0, 0, 1.428995499, 9.858882656, 2.503288242, 6.732238675, -6.944829528),
    (12, 25, -8, -1, 1.193740828, 11.93899723, 1.275173327, 9.171638290, -6.561669702),
    (9, 15, 0, -2, 0.9207140952, 7.864430532, 0.2749810497, 8.381876053, -6.615251601),
    (15, 30, 0, 0, 1.506346108, 18.74377042, 2.781982622, 11.92495051, -7.280366427),
]


def test_drag_constant():
    assert pytest.approx(0.004323529412, abs=5e-13) == DRAG


@pytest.mark.parametrize(("speed", "degrees", "wind", "height", "time", "x", "apex", "v_x", "v_z"), TABLE)
def test_table(speed, degrees, wind, height, time, x, apex, v_x, v_z):
    landed = land(speed, math.radians(degrees), height=height, drag=DRAG, tailwind=wind)
    assert landed.time[0] == pytest.approx(time, abs=1e-7)
    assert landed.x[0] == pytest.approx(x, abs=1e-7)
    assert landed.z[0] == pytest.approx(height, abs=1e-9)
    assert landed.apex[0] == pytest.approx(apex, abs=1e-7)
    assert (landed.v_x[0], landed.v_z[0]) == pytest.approx((v_x, v_z), abs=1e-7)


@pytest.mark.parametrize(
    ("x", "z", "degrees", "wind", "drag", "speed"),
    [
        (5.0, 0.0, 30, 0, DRAG, 7.58266140),
        (5.0, 0.0, 30, 0, 0.0, 7.52454119),
        (6.0, -0.5, 25, 0, DRAG, 8.14570170),
        (6.0, -0.5, 25, -5, DRAG, 8.26612523),
    ],
)
def test_lip_speed_through_a_point(x, z, degrees, wind, drag, speed):
    angle = math.radians(degrees)

    def beyond(v: float) -> float:
        return float(land(v, angle, height=z, drag=drag, tailwind=wind).x[0]) - x

    assert brentq(beyond, 4.0, 12.0, xtol=1e-11) == pytest.approx(speed, abs=6e-9)


def random_cases(seed: int, count: int, *, windy: bool):
    """Speeds, angles, drag constants, winds and heights of the ground of jumps, seeded."""
    rng = np.random.default_rng(seed)
    speed, angle = rng.uniform(3, 18, count), np.radians(rng.uniform(5, 60, count))
    drag, height = rng.uniform(0.001, 0.012, count), rng.uniform(-4, 0, count)
    wind = rng.uniform(-12, 12, (2, count)) if windy else np.zeros((2, count))
    return list(zip(speed, angle, drag, *wind, height, strict=True))


def hodograph(u0: float, p0: float, p1: float, k: float):
    """Time [s], level distance and height [m] from slope p0 of the path to slope p1, in air at rest."""

    def antiderivative(p):
        return p * mpmath.sqrt(1 + p * p) + mpmath.asinh(p)

    def squared(p):
        return 1 / (mpmath.mpf(u0) ** -2 + mpmath.mpf(k) / G * (antiderivative(p0) - antiderivative(p)))

    with mpmath.workdps(25):
        p0, p1 = mpmath.mpf(p0), mpmath.mpf(p1)
        ends = mpmath.linspace(p1, p0, 5)
        time = mpmath.quad(lambda p: mpmath.sqrt(squared(p)), ends) / G
        level = mpmath.quad(squared, ends) / G
        height = mpmath.quad(lambda p: p * squared(p), ends) / G
        return float(time), float(level), float(height)


@pytest.mark.parametrize("windy", [False, True])
def test_hodograph(windy):
    """The exact solution between the slopes of the start and of the touchdown, in a frame moving with the air."""
    for speed, angle, drag, tail, cross, height in random_cases(11 + windy, 12, windy=windy):
        landed = land(speed, angle, height=height, drag=drag, tailwind=tail, crosswind=cross)
        against = np.array([speed * math.cos(angle) - tail, -cross])
        u0 = float(np.hypot(*against))
        u1 = math.hypot(landed.v_x[0] - tail, landed.v_y[0] - cross)
        time, level, fallen = hodograph(u0, speed * math.sin(angle) / u0, landed.v_z[0] / u1, drag)
        assert landed.time[0] == pytest.approx(time, abs=2e-8)
        assert landed.x[0] == pytest.approx(level * against[0] / u0 + tail * time, abs=1e-7)
        assert landed.y[0] == pytest.approx(level * against[1] / u0 + cross * time, abs=1e-7)
        assert height == pytest.approx(fallen, abs=1e-7)


def solved(speed, angle, drag, tail, cross, time):
    """Place and velocity at a time by an adaptive solver."""

    def rate(_, state):
        relative = state[3:] - np.array([tail, cross, 0.0])
        return np.concatenate([state[3:], -drag * math.hypot(*relative) * relative - [0.0, 0.0, G]])

    start = [0, 0, 0, speed * math.cos(angle), 0, speed * math.sin(angle)]
    run = solve_ivp(rate, (0.0, time), start, method="DOP853", rtol=1e-12, atol=1e-13, max_step=0.05)
    return run.y[:3, -1], run.y[3:, -1]


@pytest.mark.parametrize("windy", [False, True])
def test_adaptive_solver(windy):
    for speed, angle, drag, tail, cross, height in random_cases(21 + windy, 60, windy=windy):
        landed = land(speed, angle, height=height, drag=drag, tailwind=tail, crosswind=cross)
        place, velocity = solved(speed, angle, drag, tail, cross, float(landed.time[0]))
        assert (landed.x[0], landed.y[0], height) == pytest.approx(tuple(place), abs=1e-7)
        assert (landed.v_x[0], landed.v_y[0], landed.v_z[0]) == pytest.approx(tuple(velocity), abs=1e-7)


def test_adaptive_solver_in_the_middle_of_the_flight():
    for speed, angle, drag, tail, cross, _ in random_cases(31, 20, windy=True):
        times = np.array([0.13, 0.4, 0.77])
        flight = fly(speed * math.cos(angle), speed * math.sin(angle), drag=drag, tailwind=tail, crosswind=cross, duration=0.8)
        place, velocity = flight.at(times[None, :])
        for i, time in enumerate(times):
            expected = solved(speed, angle, drag, tail, cross, time)
            assert place[0, i] == pytest.approx(expected[0], abs=1e-7)
            assert velocity[0, i] == pytest.approx(expected[1], abs=1e-6)


@pytest.mark.parametrize("off", [0.0, 0.05, 0.3, 1.0, 2.0, 3.0])
def test_hardly_any_wind_felt(off):
    # a tailwind near the level speed: the drag law has a bend on the way, which a fixed step rounds off
    rng = np.random.default_rng(41)
    for speed, angle, drag in zip(rng.uniform(4, 14, 12), rng.uniform(0.2, 0.8, 12), np.full(12, DRAG), strict=True):
        tail = speed * math.cos(angle) + off
        landed = land(speed, angle, height=-1.0, drag=drag, tailwind=tail)
        place, _ = solved(speed, angle, drag, tail, 0.0, float(landed.time[0]))
        assert (landed.x[0], -1.0) == pytest.approx((place[0], place[2]), abs=1e-6)


def test_thrown_straight_up_in_a_frame_moving_with_the_wind():
    # nothing moves level against the air: the closed form of a vertical throw, carried along
    speed, angle = 9.0, math.radians(35)
    tail, up = speed * math.cos(angle), speed * math.sin(angle)
    landed = land(speed, angle, drag=DRAG, tailwind=tail)
    terminal = math.sqrt(G / DRAG)
    back = terminal * up / math.hypot(terminal, up)
    time = terminal / G * (math.atan(up / terminal) + math.atanh(back / terminal))
    assert landed.time[0] == pytest.approx(time, abs=1e-9)
    assert landed.x[0] == pytest.approx(tail * time, abs=1e-8)
    assert (landed.v_x[0], landed.v_z[0]) == pytest.approx((tail, -back), abs=1e-9)


@pytest.mark.parametrize("height", [-1500.0, 0.0, 420.0, 1800.0, 4000.0, 9000.0])
def test_air(height):
    # ambiance takes geometric heights and gives the geopotential one
    theirs = ambiance.Atmosphere(height)
    geopotential = float(theirs.H[0])
    assert standard_temperature(geopotential) == pytest.approx(theirs.temperature[0], rel=1e-9)
    assert pressure(geopotential) == pytest.approx(theirs.pressure[0], rel=1e-6)
    assert density(geopotential) == pytest.approx(theirs.density[0], rel=1e-6)
