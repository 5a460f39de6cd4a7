"""Whole answers against a second computation with its own ground, paths, rolling and stopping.

`Other` uses nothing of the package but the measured line: departures by the contact forces of `two_wheels`, flights and
rolling by `solve_ivp` in time, ends of windows and first contacts by dense sampling and `brentq`.
"""

import itertools
import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from numpy.polynomial import Chebyshev
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from two_wheels import Case, Simulated

from jumpcalc.plan.inputs.dug import Jump, Landing, Lip, Piece, RunIn, Runout
from jumpcalc.plan.inputs.line import Air, Line
from jumpcalc.plan.inputs.rider import Bike, Limits, Rider, Skill
from jumpcalc.plan.solve import solve

G, DEG = 9.80665, math.pi / 180
PRECISE = {"method": "DOP853", "rtol": 1e-11, "atol": 1e-12}
FASTEST = 13.0  # m/s, of the search
PLACES = 18


@cache
def departures(parts, slope, foot, bike):
    """The slowest lip speed that was simulated, and how the bike leaves an edge as a function of the lip speed.

    Place and velocity of the centre of mass and pitch as the rear contact passes the edge, counted from there. In
    multiples of the speed they are smooth in 1/v²: two spans of it interpolated between simulations, and checked.
    """

    def simulated(v):
        bike_there = Simulated(Case(list(parts), slope, foot, bike, v, G))
        state = bike_there.run()[0]
        return np.array([state[0] - bike_there.at_edge[0], state[1] - bike_there.at_edge[1], state[3] / v, state[4] / v, state[2]])

    steep = math.sin(max(slope + sum(length * bend for length, bend in parts), 0.0))
    slowest = math.sqrt(G * bike[0] * (1 + 3 * steep**2))
    ends = np.linspace((FASTEST + 0.1) ** -2, slowest**-2, 3)
    spans = []
    for low, high in itertools.pairwise(ends):
        at = low + (high - low) * (np.polynomial.chebyshev.chebpts1(PLACES) + 1) / 2
        values = np.array([simulated(place**-0.5) for place in at])
        spans.append([Chebyshev.fit(at, column, PLACES - 1, domain=[low, high]) for column in values.T])

    def leaving(v):
        span = spans[0 if v**-2 <= ends[1] else 1]
        return np.array([float(column(v**-2)) for column in span])

    for v in (slowest + 0.05, 6.3, 8.9):
        assert leaving(v) == pytest.approx(simulated(v), abs=1e-9)
    return slowest, leaving


class Bend:
    """A piece of ground from (x, z) on: a straight, or an arc about its centre."""

    def __init__(self, s, x, z, slope, length, curvature):
        self.s, self.x, self.z, self.slope, self.length, self.curvature = s, x, z, slope, length, curvature
        self.end_slope = slope + curvature * length
        if curvature:
            self.centre = x - math.sin(slope) / curvature, z + math.cos(slope) / curvature
            self.end = (
                self.centre[0] + math.sin(self.end_slope) / curvature,
                self.centre[1] - math.cos(self.end_slope) / curvature,
            )
        else:
            self.end = x + length * math.cos(slope), z + length * math.sin(slope)

    def height(self, x):
        if not self.curvature:
            return self.z + (x - self.x) * math.tan(self.slope)
        away = np.sqrt(np.maximum(1 / self.curvature**2 - (x - self.centre[0]) ** 2, 0.0))
        return self.centre[1] - math.copysign(1.0, self.curvature) * away

    def at(self, x):
        """Distance along the ground and slope above x."""
        if not self.curvature:
            return self.s + (x - self.x) / math.cos(self.slope), self.slope
        slope = math.asin((x - self.centre[0]) * self.curvature)
        return self.s + (slope - self.slope) / self.curvature, slope


def chained(pieces, s, x, z, slope):
    """Bends of (length, slope) and (radius, None, to_slope), and the last slope going on."""
    bends = []
    for piece in pieces:
        if len(piece) == 2:
            bend = Bend(s, x, z, piece[1], piece[0], 0.0)
        else:
            turn = piece[2] - slope
            bend = Bend(s, x, z, slope, piece[0] * abs(turn), math.copysign(1 / piece[0], turn))
        bends.append(bend)
        (x, z), slope, s = bend.end, bend.end_slope, s + bend.length
    return [*bends, Bend(s, x, z, slope, 1e4, 0.0)]


def as_pieces(pieces):
    return [(p.length, p.slope) if p.length is not None else (p.radius, None, p.to_slope) for p in pieces]


class Other:
    """One jump of a line in which every input that matters is given."""

    def __init__(self, line, index):
        jump, rider, bike, air = line.jumps[index], line.rider, line.bike, line.air
        self.landing, self.runout, self.limit = jump.landing, jump.runout, line.limits.equivalent_fall
        self.path = rider.path or "bike"
        if jump.shape == "drop":
            self.sure = [(self.path, 0.0), ("bike", 0.0), ("point", 0.0)]
        else:
            self.sure = [(self.path, spring) for spring in (0.0, -line.skill.squash, line.skill.spring)]
        self.theta, self.w = jump.lip.angle, bike.wheelbase
        self.shape, self.rider, self.bike = jump.shape, rider, bike
        pressure = 101325 * (1 - 0.0065 * air.altitude / 288.15) ** 5.25588
        self.k = pressure / (287.05287 * air.temperature) * rider.drag_area / (2 * rider.mass)
        self.wind = air.tailwind, air.crosswind
        self.wheels = bike.rotating_mass / rider.mass
        before = line.run_in if index == 0 else line.jumps[index - 1].runout
        self.c_lip = before.rolling_resistance * bike.rolling_factor
        self.c = self.runout.rolling_resistance * bike.rolling_factor
        foot = as_pieces(before.pieces)[-1][-1] if before.pieces else 0.0
        self.rise, self.lip = 0.0, None
        if jump.shape != "drop":
            lip = [(jump.lip.radius, None, self.theta)]
            if jump.lip.straight:
                lip.append((jump.lip.straight, self.theta))
            self.lip = chained(lip, 0.0, 0.0, 0.0, foot)[:-1]
            lowest = min(0.0, *(b.z for b in self.lip), (self.lip[0].centre[1] - jump.lip.radius) if foot < 0 else 0.0)
            self.rise = self.lip[-1].end[1] - lowest
        # the last straight before the edge or the lip, as far back as it is needed
        parts, slope = [(6.0, 0.0)], self.theta
        if self.lip is not None:
            slope = foot
            parts += [(bend.length, bend.curvature) for bend in self.lip]
        self.ridden = tuple(parts), slope, 6.0
        self.measures = self.w, rider.centre_of_mass_behind_front, rider.centre_of_mass_height, rider.pitch_radius
        self.turn = 0.0
        face = self.landing
        first = self.runout.pieces[0].slope
        after = [(face.length, -face.angle)]
        if face.exit_radius is not None and abs(first + face.angle) > 1e-12:
            after.append((face.exit_radius, None, first))
        self.ground = chained(after + as_pieces(self.runout.pieces), 0.0, face.gap, -face.drop, None)
        self.flown = {}

    def height(self, x):
        """Ground under the wheels."""
        land = self.landing
        if self.shape == "tabletop":
            near = -land.drop * x / land.gap
        else:
            near = np.full_like(x, -land.drop if self.shape == "drop" else min(-self.rise, -land.drop))
        z = np.where(x < land.gap, near, 0.0)
        for bend in self.ground:
            z = np.where((x >= bend.x) & (x >= land.gap), bend.height(x), z)
        return z

    def start(self, v, path):
        """Place and velocity of what flies, and attitude of the wheel line, before the rider adds anything; None: too slow."""
        if path == "point":
            return [0.0, 0.0, v * math.cos(self.theta), v * math.sin(self.theta), self.theta]
        slowest, leaving = departures(*self.ridden, self.measures)
        return leaving(v) * [1, 1, v, v, 1] if v >= slowest else None

    def front_stays_up(self, v):
        """Whether the front contact meets nothing before the rear has left, by a simulation of its own."""
        bike = Simulated(Case(list(self.ridden[0]), *self.ridden[1:], self.measures, v, G))
        bike.run()
        x, z = np.array(bike.front_path).T - np.array(bike.at_edge[:2])[:, None]
        return bool((z > self.height(x))[x > 1e-6].all())

    def fly(self, v, path, spring=0.0):
        """Touchdown: d, x, z of the wheels, velocity, time, drift, slope there; None before the knuckle."""
        rider, theta, fall = self.rider, self.theta + self.turn, self.landing.angle
        h0, h_l = (rider.centre_of_mass_height, rider.landing_height) if path == "bike" else (0.0, 0.0)
        begun = self.start(v, path)
        if begun is None:
            return None
        sine, cosine = math.sin(self.turn), math.cos(self.turn)
        x, z, v_x, v_z, attitude = begun
        start = x * cosine - z * sine, x * sine + z * cosine
        attitude += self.turn
        v_x, v_z = v_x * cosine - v_z * sine, v_x * sine + v_z * cosine
        v_x, v_z = v_x - spring * math.sin(theta), v_z + spring * math.cos(theta)
        over = self.landing.gap + h_l * math.sin(fall)

        def rates(_, y):
            r = y[3] - self.wind[0], y[4] - self.wind[1], y[5]
            drag = self.k * math.sqrt(r[0] ** 2 + r[1] ** 2 + r[2] ** 2)
            return [*y[3:], -drag * r[0], -drag * r[1], -G - drag * r[2]]

        begin = [start[0], 0.0, start[1], v_x, 0.0, v_z]
        way = solve_ivp(rates, (0, 3.0), begin, dense_output=True, **PRECISE).sol

        def wheels(t):
            x, _, z, *_ = way(t)
            share = np.clip((x - start[0]) / (over - start[0]), 0, 1) if over > start[0] else np.ones_like(x)
            a, h = attitude + share * (-fall - attitude), h0 + share * (h_l - h0)
            return x + h * np.sin(a), z - h * np.cos(a)

        times = np.linspace(0.0, 3.0, 1501)[1:]
        x, z = wheels(times)
        past = int(np.argmax(x >= self.landing.gap))
        at_knuckle = 0.0
        if wheels(0.0)[0] < self.landing.gap:
            at_knuckle = brentq(lambda t: wheels(t)[0] - self.landing.gap, times[past] - 0.002, times[past], xtol=1e-14)
        before = times < at_knuckle
        if (z[before] <= self.height(x[before])).any() or wheels(at_knuckle)[1] <= -self.landing.drop:
            return None
        below = ~before & (z <= self.height(x))
        first = int(np.argmax(below))
        low = max(at_knuckle, times[first] - 0.002)

        def clearance(t):
            place = wheels(t)
            return float(place[1] - self.height(np.array(place[0])))

        t = brentq(clearance, low, times[first], xtol=1e-14)
        x, z = (float(value) for value in wheels(t))
        bend = [b for b in self.ground if b.x <= x][-1]
        d, slope = bend.at(x)
        _, drift, _, v_x, v_y, v_z = way(t)
        into, along = v_x * math.sin(slope) - v_z * math.cos(slope), v_x * math.cos(slope) + v_z * math.sin(slope)
        return {
            "along_face": d,
            "x": x,
            "z": z,
            "flight": t,
            "side_drift": drift,
            "into_ground": into,
            "along_ground": along,
            "equivalent_fall": into**2 / (2 * G),
            "speed": math.sqrt(v_x**2 + v_y**2 + v_z**2),
            "descent": math.atan2(-v_z, v_x),
        }

    def room(self, v, styles):
        """How far inside the window the landings of all styles are; of the first that is outside, how far outside."""
        least = math.inf
        for style in styles:
            # several windows look at the same speeds
            if (v, style) not in self.flown:
                self.flown[v, style] = self.fly(v, *style)
            landed = self.flown[v, style]
            if landed is None:
                return -1.0
            d = landed["along_face"]
            least = min(least, d - self.w / 2, self.landing.length - self.w / 2 - d, self.limit - landed["equivalent_fall"])
            if least < 0:
                break
        return least

    def window(self, styles):
        """Longest run of lip speeds that are clean in all styles, or None."""
        slowest = departures(*self.ridden, self.measures)[0] if any(path == "bike" for path, _ in styles) else 3.0
        speeds = np.arange(slowest, FASTEST, 0.2)
        good = np.concatenate([[0], np.array([self.room(v, styles) for v in speeds]) >= 0, [0]]).astype(int)
        assert not good[1] and not good[-2]
        starts, stops = np.nonzero(np.diff(good) == 1)[0], np.nonzero(np.diff(good) == -1)[0] - 1
        if not len(starts):
            return None
        at = int(np.argmax(stops - starts))

        def edge(out, inn):
            return brentq(lambda v: self.room(v, styles), speeds[out], speeds[inn], xtol=1e-9)

        return edge(starts[at] - 1, starts[at]), edge(stops[at] + 1, stops[at])

    def roll(self, bend, along, v, *, c, h, braking=None, duration=60.0):
        """Distance, speed and time at the end of a bend, at a stop or after a duration."""
        q = 1 - h * bend.curvature

        def rates(_, y):
            beta = bend.slope + bend.curvature * y[0]
            load = max(0.0, G * math.cos(beta) + bend.curvature * y[1] ** 2 / q)
            r = y[1] - self.wind[0] * math.cos(beta)
            force = -q * G * math.sin(beta) - q * self.k * r * math.hypot(r, self.wind[1])
            if braking is None:
                force = (force - c * load) / (1 + self.wheels)
            else:
                force -= max(braking, c) * load
            return [y[1] / q, force / q]

        def over(_, y):
            return y[0] - bend.length

        def stands(_, y):
            return y[1]

        over.terminal = stands.terminal = True
        way = solve_ivp(rates, (0, duration), [along, v], events=(over, stands), **PRECISE)
        return float(way.y[0, -1]), float(way.y[1, -1]), float(way.t[-1])

    def foot_speed(self, lip_speed, path):
        h = self.rider.centre_of_mass_height if path == "bike" else 0.0

        def arrives(u):
            for bend in self.lip:
                s, u, _ = self.roll(bend, 0.0, u, c=self.c_lip, h=h)
                if s < bend.length - 1e-6:
                    return -lip_speed - 1
            return u - lip_speed

        return brentq(arrives, lip_speed, lip_speed + 8, xtol=1e-10)

    def stop(self, d, v, path):
        """Reaction distance, braking distance, metres available."""
        rider, bike, runout = self.rider, self.bike, self.runout
        h, l_f = rider.centre_of_mass_height, rider.centre_of_mass_behind_front
        mu = runout.grip
        b = {"both": min(mu, l_f / h), "rear": mu * l_f / (self.w + mu * h)}[bike.brakes] * rider.brake_use
        h = h if path == "bike" else 0.0
        s, left, braking, reacted, previous = d, runout.reaction, None, None, None
        for bend in [bend for bend in self.ground if bend.s + bend.length > d]:
            if previous is not None and bend.slope > previous + 1e-12:
                v *= math.cos(bend.slope - previous)
            previous, along = bend.end_slope, s - bend.s
            while True:
                along, v, time = self.roll(
                    bend, along, v, c=self.c, h=h, braking=braking, duration=left if braking is None else 200.0
                )
                s = bend.s + along
                if along >= bend.length - 1e-9 or braking is not None:
                    left -= time
                    break
                braking, reacted = b, s
            if v <= 1e-9:
                break
        available = self.ground[-1].s - d - self.w / 2
        return reacted - d, s - reacted, available


RIDER = Rider(
    mass=88.0,
    drag_area=0.56,
    centre_of_mass_height=1.02,
    centre_of_mass_behind_front=0.6,
    pitch_radius=0.44,
    landing_height=0.9,
    brake_use=0.65,
)
BIKE = Bike(wheelbase=1.18, brakes="both", rolling_factor=1.1, rotating_mass=2.2)
AIR = Air(altitude=420.0, temperature=287.15, tailwind=0.0, crosswind=0.0)
RUNOUT = Runout(
    pieces=(
        Piece(length=8.0, slope=-6 * DEG),
        Piece(radius=20.0, to_slope=2 * DEG),
        Piece(length=15.0, slope=2 * DEG),
        Piece(length=10.0, slope=4 * DEG),
    ),
    grip=0.35,
    rolling_resistance=0.022,
    reaction=1.2,
)
RUN_IN = RunIn(pieces=(Piece(length=25.0, slope=-12 * DEG), Piece(length=4.0, slope=-4 * DEG)), rolling_resistance=0.02)
GAP = Jump(
    shape="gap",
    lip=Lip(angle=28 * DEG, radius=4.6, straight=1.2),
    landing=Landing(gap=4.2, drop=0.1, angle=24 * DEG, length=4.5, exit_radius=6.0),
    runout=RUNOUT,
)
STEP_UP = Jump(
    shape="tabletop",
    lip=Lip(angle=33 * DEG, radius=5.0, straight=0.5),
    landing=Landing(gap=3.6, drop=-0.45, angle=22 * DEG, length=4.0),
    runout=RUNOUT,
)
DROP = Jump(
    shape="drop",
    lip=Lip(angle=-5 * DEG),
    landing=Landing(gap=2.5, drop=1.1, angle=27 * DEG, length=4.2, exit_radius=9.0),
    runout=RUNOUT,
)
STEEP = replace(GAP, landing=Landing(gap=3.2, drop=0.8, angle=35 * DEG, length=6.0, exit_radius=5.0))
LINE = Line(
    rider=RIDER,
    bike=BIKE,
    air=AIR,
    run_in=RUN_IN,
    jumps=(GAP,),
    skill=Skill(squash=0.4, spring=0.3),
    limits=Limits(equivalent_fall=1.0),
)
CALM_POINT = replace(LINE, rider=replace(RIDER, path="point"))
LINES = {
    "gap": LINE,
    "step-up tabletop": replace(LINE, jumps=(STEP_UP,)),
    "step-up, point": replace(CALM_POINT, jumps=(STEP_UP,)),
    "drop": replace(LINE, jumps=(DROP,)),
    "drop, carried": replace(CALM_POINT, jumps=(DROP,)),
    "drop, carried, aim moved": replace(CALM_POINT, jumps=(replace(DROP, landing=replace(DROP.landing, drop=1.5)),)),
    "drop, longer face": replace(LINE, jumps=(replace(DROP, landing=replace(DROP.landing, length=7.0)),)),
    "steep": replace(LINE, jumps=(STEEP,)),
    "hit ends it": replace(LINE, jumps=(STEP_UP,), limits=Limits(equivalent_fall=0.3)),
    "headwind": replace(LINE, air=replace(AIR, tailwind=-6.0)),
    "tailwind": replace(LINE, air=replace(AIR, tailwind=5.0)),
    "crosswind": replace(LINE, air=replace(AIR, tailwind=-2.0, crosswind=4.0)),
    "rear brake": replace(LINE, bike=replace(BIKE, brakes="rear")),
    "second jump": replace(LINE, jumps=(GAP, replace(STEEP, shape="tabletop"))),
}


@pytest.mark.parametrize("name", LINES)
def test_answer(name):
    line = LINES[name]
    answer = solve(line)
    index = len(line.jumps) - 1
    ours, other = answer.jumps[index], Other(line, index)
    path = other.path
    assert ours.path == path

    low, high = other.window([(path, 0.0)])
    speeds = ours.window.speeds
    assert (speeds.min, speeds.max) == pytest.approx((low, high), abs=1e-7)
    sure = other.window(other.sure)
    assert (ours.sure is None) == (sure is None)
    aim = min((low + high) / 2, low / 0.9)
    if sure is not None:
        assert ours.sure == pytest.approx(sure, abs=1e-7)
        aim = min(max(aim, sure[0]), sure[1])
    assert speeds.aim == pytest.approx(aim, abs=1e-7)
    assert path == "point" or other.front_stays_up(low)
    assert ours.window.limited_by == ("hit" if name == "hit ends it" else "face")
    if path == "bike":
        point = other.window([("point", 0.0)])
        assert (ours.point.speeds.min, ours.point.speeds.max) == pytest.approx(point, abs=1e-7)

    if other.lip is None:
        assert ours.window.foot == speeds
    else:
        for speed, foot in zip((low, high), (ours.window.foot.min, ours.window.foot.max), strict=True):
            assert foot == pytest.approx(other.foot_speed(speed, path), abs=1e-6)
        if ours.sure is not None:
            assert ours.sure_foot[1] == pytest.approx(other.foot_speed(sure[1], path), abs=1e-6)

    for landing in ours.landings:
        expected = other.fly(landing.lip_speed, path)
        for key, value in expected.items():
            assert getattr(landing, key) == pytest.approx(value, abs=1e-6), key
        assert landing.outcome == "clean"

    fastest = other.fly(high, path)
    reaction, braking, available = other.stop(fastest["along_face"], fastest["along_ground"], path)
    assert ours.stop.from_speed == pytest.approx(fastest["along_ground"], abs=1e-5)
    assert ours.stop.reaction == pytest.approx(reaction, abs=1e-4)
    assert ours.stop.braking == pytest.approx(braking, abs=1e-4)
    assert ours.stop.available == pytest.approx(available, abs=1e-6)
    assert ours.stop.margin == pytest.approx(available - reaction - braking, abs=1e-3)
    assert ours.stop.stops == (available >= reaction + braking)


@pytest.mark.parametrize(("gap", "drop", "fall"), [(0.4, 0.5, 20), (0.5, 1.0, 40), (0.3, 0.3, 5)])
def test_a_low_drop_is_rolled_while_the_front_touches_before_the_rear_has_left(gap, drop, fall):
    low_drop = replace(DROP, landing=Landing(gap=gap, drop=drop, angle=fall * DEG, length=8.0, exit_radius=9.0))
    line = replace(LINE, jumps=(low_drop,))
    slowest, other = solve(line).jumps[0].window.speeds.min, Other(line, 0)
    assert other.fly(slowest, "bike")["along_face"] > 0.75  # nothing of the flight ends the window there
    assert [other.front_stays_up(slowest + off) for off in (-1e-4, 1e-4)] == [False, True]


def test_what_ten_percent_do():
    answer, other = solve(LINE).jumps[0], Other(LINE, 0)
    aim = answer.window.speeds.aim
    for name, share in {"slow_10": 0.9, "slow_5": 0.95, "fast_5": 1.05, "fast_10": 1.1}.items():
        expected, landing = other.fly(share * aim, "bike"), getattr(answer.sensitivity, name)
        if expected is None:
            assert landing.outcome == "short"
        else:
            assert landing.x == pytest.approx(expected["x"], abs=1e-6)
    step = 1e-3
    slope = (other.fly(aim + step, "bike")["x"] - other.fly(aim - step, "bike")["x"]) / (2 * step)
    assert answer.sensitivity.per_speed == pytest.approx(slope, abs=1e-4)
    windy = [Other(replace(LINE, air=replace(AIR, tailwind=wind)), 0).fly(aim, "bike")["x"] for wind in (-0.01, 0.01)]
    assert answer.sensitivity.per_wind == pytest.approx((windy[1] - windy[0]) / 0.02, abs=1e-4)
    tilted = []
    for turn in (-1e-3, 1e-3):
        one = Other(LINE, 0)
        one.turn = turn
        tilted.append(one.fly(aim, "bike")["x"])
    assert answer.sensitivity.per_angle == pytest.approx((tilted[1] - tilted[0]) / 2e-3, abs=1e-3)
