"""The departure against a simulation in another formulation: Cartesian motion of the bike under the forces of its contacts."""

import math

import numpy as np
import pytest
from two_wheels import Case, Simulated

from jumpcalc.physics.body import Body
from jumpcalc.physics.departure import Takeoff, leave
from jumpcalc.physics.ground import Arc, Straight, chain
from jumpcalc.physics.wheel_loads import LIFTS, loads

CASES, GROUPS = 200, 10


def draw(number):
    """A lip or a drop, a bike and a lip speed at random."""
    rng = np.random.default_rng([2024, number])
    kind = ("lip", "lip", "tight lip", "clothoids", "drop", "curved drop")[number % 6]
    w = rng.uniform(0.85, 1.35)
    bike = (w, w * rng.uniform(0.45, 0.6), rng.uniform(0.8, 1.15) * min(w / 1.1, 1), rng.uniform(0.32, 0.5))
    gravity = rng.choice([9.80665, 9.81])
    run_in = 4 * w
    if "drop" not in kind:
        theta = math.radians(rng.uniform(8, 58))
        before = math.radians(rng.uniform(-20, min(6, math.degrees(theta) - 4)))
        radius = rng.uniform(2.2, 3.6) if kind == "tight lip" else rng.uniform(3.5, 12)
        straight = rng.choice([0.0, rng.uniform(0.05, 2.0)])
        if kind != "clothoids":
            bend = [(radius * (theta - before), 1 / radius)]
        else:
            shares = np.array([1, 3, 5, 7, 7, 5, 3, 1]) / 32  # turns at equal lengths: curvature up and down by steps
            length = 1.6 * radius * (theta - before)
            bend = [(length / 8, float(share) * (theta - before) / (length / 8)) for share in shares]
        parts = [(run_in, 0.0), *bend, *([(straight, 0.0)] if straight else [])]
        foot = run_in
    else:
        theta, before = math.radians(rng.uniform(-25, 12)), None
        parts, foot = [(run_in, 0.0)], None
        if kind == "curved drop":
            bend = rng.choice([-1, 1]) / rng.uniform(4, 15)
            length = rng.uniform(0.3, 2.5)
            parts = [(run_in, 0.0), (length, bend), *([(0.5, 0.0)] if rng.random() < 0.5 else [])]
            before = theta - bend * length
        before = theta if before is None else before
        foot = sum(length for length, _ in parts)
    steep = math.sin(max(theta, 0.0)) ** 2
    speed = math.sqrt(gravity * w * (1 + 4 * steep)) * rng.choice([rng.uniform(0.4, 0.8), rng.uniform(0.8, 1.2), rng.uniform(1.2, 4.0)])
    return Case(parts, before, foot, bike, speed, gravity)


def package_side(case):
    slope, given = case.slope, []
    for length, curvature in case.parts:
        if curvature:
            slope += curvature * length
            given.append(Arc(radius=abs(1 / curvature), to_slope=slope))
        else:
            given.append(Straight(length=length, slope=slope))
    w, l_f, h, k = case.bike
    body = Body(height=h, landing_height=h, wheelbase=w, behind_front=l_f, pitch_radius=k)
    ground = chain(given)
    return Takeoff(ground=ground, edge=ground.end, foot=case.foot, body=body, gravity=case.gravity)


@pytest.mark.parametrize("group", range(GROUPS))
def test_departure_of_random_lips_and_drops(group):
    left = 0
    for number in range(group, CASES, GROUPS):
        case = draw(number)
        bike = Simulated(case)
        if bike.begin is None:
            continue  # not even on the run-in with so little energy
        found = bike.run()
        takeoff = package_side(case)
        ours, track = leave(takeoff, [case.speed])
        assert ours.leaves[0] == (found is not None), number
        if found is None:
            continue
        left += 1
        (x, z, pitch, v_x, v_z, rate, *_), time, looks = found
        edge_x, edge_z = bike.at_edge[:2]
        theirs = [x - edge_x, z - edge_z, v_x, v_z, pitch, rate, time]
        mine = [float(getattr(ours, name)[0]) for name in ("x", "z", "v_x", "v_z", "pitch", "pitch_rate", "time")]
        assert mine == pytest.approx(theirs, abs=1e-8), number

        s_r, s_f, load, load_f, both = (np.array(column) for column in zip(*looks, strict=True))
        both = both.astype(bool)
        pressed = loads(takeoff, [case.speed], track)
        assert pressed.least_front[0] == pytest.approx(load_f[both].min() / case.gravity, abs=5e-3), number
        assert pressed.least_rear[0] == pytest.approx(load.min() / case.gravity, abs=8e-3), number
        assert pressed.greatest[0] == pytest.approx((load + load_f)[both].max() / case.gravity, rel=5e-3), number
        light = (load < 0) | (both & (load_f < 0))
        if min(load.min(), load_f[both].min()) > -0.02 * case.gravity:
            if min(load.min(), load_f[both].min()) > 0.02 * case.gravity:
                assert pressed.lifts[0] == 0
            continue
        first = int(np.argmax(light))
        wheel = "front" if both[first] and load_f[first] < 0 else "rear"
        if both[first] and load_f[first] < 0 and load[first] < 0:
            continue  # within one look both
        assert LIFTS[pressed.lifts[0]] == wheel, number
        place = (s_f if wheel == "front" else s_r)[first]
        assert pressed.lift_before[0] == pytest.approx(bike.edge - place, abs=0.12), number
    assert left > CASES / GROUPS / 2
