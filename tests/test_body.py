"""How a bike leaves the edge and sets its wheels down: limits and identities of the stated equations."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jumpcalc.physics.body import POINT, Body, depart, roll_off_speed
from jumpcalc.units import STANDARD_GRAVITY as G

MEASURES = {"height": 1.05, "landing_height": 0.95, "wheelbase": 1.17, "behind_front": 0.62, "pitch_radius": 0.45}
BIKE = Body(**MEASURES)

lips = st.floats(0.05, 1.2)
falls = st.floats(-0.3, 1.0)
gaps = st.floats(1.0, 12.0)
speeds = st.floats(3.0, 20.0)


def direction(start):
    return np.arctan2(start.v_z, start.v_x)


@given(speed=speeds, lip=lips, fall=falls, gap=gaps)
def test_point_starts_at_the_edge_along_the_lip_and_is_its_own_wheels(speed, lip, fall, gap):
    start = depart(POINT, speed, angle=lip, gap=gap, fall=fall)
    assert (start.x, start.z) == (0.0, 0.0)
    assert (start.v_x, start.v_z) == (speed * np.cos(lip), speed * np.sin(lip))
    x, z = np.linspace(-1.0, 15.0, 9), np.linspace(0.0, -3.0, 9)
    assert np.array_equal(start.wheels(x, z), (x, z))
    assert np.array_equal(start.wheels_velocity(x, 5.0 + 0 * x, z), (5.0 + 0 * x, z))


@given(speed=speeds, lip=lips, fall=falls, gap=gaps)
def test_wheels_start_at_the_edge(speed, lip, fall, gap):
    start = depart(BIKE, speed, angle=lip, gap=gap, fall=fall)
    assert start.wheels(start.x, start.z) == pytest.approx((0.0, 0.0), abs=1e-14)


@given(speed=speeds, lip=lips, fall=falls, gap=gaps)
def test_wheels_are_set_down_along_the_face_when_over_it(speed, lip, fall, gap):
    # the knuckle is touched by wheels whose flying point is landing_height above it, square to the face
    start = depart(BIKE, speed, angle=lip, gap=gap, fall=fall)
    height = MEASURES["landing_height"]
    over = gap + height * math.sin(fall)
    assert start.x_set == pytest.approx(over, abs=1e-12)
    for beyond in (0.0, 0.5, 3.0):
        x, z = start.wheels(over + beyond, 0.0)
        assert (x, z) == pytest.approx((gap + beyond, -height * math.cos(fall)), abs=1e-12)


@given(speed=speeds, lip=lips)
def test_equations_as_written(speed, lip):
    # κ' = b²/(k_p² + b²) − ½ with b = l_r + 0.06 h_c; δ = κ' g cosθ w/v²; h_0 = h_c − g cosθ w²/(8 v²)
    start = depart(BIKE, speed, angle=lip, gap=4.0, fall=0.4)
    lever = 1.17 - 0.62 + 0.06 * 1.05
    kick = lever**2 / (0.45**2 + lever**2) - 0.5
    assert direction(start) == pytest.approx(lip - kick * G * math.cos(lip) * 1.17 / speed**2, abs=1e-14)
    height = 1.05 - G * math.cos(lip) * 1.17**2 / (8 * speed**2)
    assert (start.x, start.z) == pytest.approx((-height * math.sin(lip), height * math.cos(lip)), abs=1e-14)


@given(lip=lips, fall=falls, gap=gaps, speed=st.floats(4.0, 10.0))
def test_corrections_vanish_with_the_square_of_the_speed(lip, fall, gap, speed):
    slow, fast, very = (depart(BIKE, v, angle=lip, gap=gap, fall=fall) for v in (speed, 2 * speed, 1e6))
    assert lip - direction(slow) == pytest.approx(4 * (lip - direction(fast)), rel=1e-9)
    assert 1.05 - slow.height == pytest.approx(4 * (1.05 - fast.height), rel=1e-9)
    assert (direction(very), very.height) == pytest.approx((lip, 1.05), abs=1e-10)


@given(speed=speeds, lip=lips, spring=st.floats(-1.0, 1.0))
def test_spring_is_a_speed_across_the_lip(speed, lip, spring):
    stiff, springs = (depart(BIKE, speed, angle=lip, gap=4.0, fall=0.4, spring=p) for p in (0.0, spring))
    added = np.array([springs.v_x - stiff.v_x, springs.v_z - stiff.v_z])
    assert added @ [math.cos(lip), math.sin(lip)] == pytest.approx(0.0, abs=1e-13)
    assert added @ [-math.sin(lip), math.cos(lip)] == pytest.approx(spring, abs=1e-13)
    assert (springs.x, springs.z, springs.height, springs.x_set) == (stiff.x, stiff.z, stiff.height, stiff.x_set)


def test_path_is_turned_down_by_a_bike_whose_pitch_radius_is_shorter_than_its_lever_and_up_by_a_longer():
    for radius, sign in ((0.3, 1), (1.17 - 0.62 + 0.06 * 1.05, 0), (0.9, -1)):
        start = depart(Body(**{**MEASURES, "pitch_radius": radius}), 8.0, angle=0.4, gap=4.0, fall=0.4)
        turned = 0.4 - float(direction(start))
        assert (abs(turned) < 1e-15) if sign == 0 else (turned * sign > 0)


@settings(max_examples=30)
@given(speed=speeds, lip=lips, fall=falls, gap=gaps)
def test_velocity_of_the_wheels_is_the_rate_of_their_place(speed, lip, fall, gap):
    start = depart(BIKE, speed, angle=lip, gap=gap, fall=fall)
    v_x, v_z, tick = 7.0, -2.0, 1e-6
    for share in (0.1, 0.5, 0.9, 1.4):
        x = start.x + share * (start.x_set - start.x)
        before, after = (start.wheels(x + i * v_x * tick, i * v_z * tick) for i in (-1, 1))
        rate = [(b - a) / (2 * tick) for a, b in zip(before, after, strict=True)]
        assert start.wheels_velocity(x, v_x, v_z) == pytest.approx(rate, abs=1e-6)


@pytest.mark.parametrize("lip", [-0.2, -0.377, -0.7])
def test_where_the_flight_starts_beyond_the_place_of_the_set_down_the_wheels_are_down_at_once(lip):
    # a steep roll-in and a gap of a hand's width
    start = depart(BIKE, 8.0, angle=lip, gap=0.05, fall=-0.2)
    assert start.x_set < start.x
    x = start.x + np.array([0.0, 0.3, 2.0])
    wheels_x, wheels_z = start.wheels(x, 0.0 * x)
    assert wheels_x - x == pytest.approx(MEASURES["landing_height"] * math.sin(0.2), abs=1e-12)
    assert wheels_z == pytest.approx(-MEASURES["landing_height"] * math.cos(0.2), abs=1e-12)
    assert np.array_equal(start.wheels_velocity(x, 6.0 + 0 * x, 0 * x), (6.0 + 0 * x, 0 * x))


def test_roll_off_speed():
    # v² = g cosθ w²/(1.6 h_c): about 2.7 m/s
    assert float(roll_off_speed(BIKE, angle=0.4)) == pytest.approx(
        math.sqrt(G * math.cos(0.4) * 1.17**2 / (1.6 * 1.05)), rel=1e-14
    )
    assert 2.4 < float(roll_off_speed(BIKE, angle=0.4)) < 2.9
    assert float(roll_off_speed(POINT, angle=0.4)) == 0.0
    held = float(roll_off_speed(BIKE, angle=0.4))
    slow, at = (depart(BIKE, v, angle=0.4, gap=3.0, fall=0.3) for v in (0.5 * held, held))
    assert (direction(slow), slow.height) == pytest.approx((direction(at), at.height), abs=1e-14)


def test_rows_of_many_bodies_are_the_bodies_one_by_one():
    rows = Body.rows([BIKE, POINT], [2, 1])
    speeds = np.array([6.0, 9.0, 7.0])
    together = depart(rows, speeds, angle=0.5, gap=4.0, fall=0.4)
    for i, body in enumerate((BIKE, BIKE, POINT)):
        alone = depart(body, speeds[i], angle=0.5, gap=4.0, fall=0.4)
        for name in ("x", "z", "v_x", "v_z", "height", "set_height", "x_set"):
            assert np.ravel(getattr(together, name))[i] == getattr(alone, name)
