"""Tries as they might have been: a world with its own dirt, wind, lip and rider, simulated by other means than the package's.

The run-in is followed by Runge-Kutta steps of its own, the bike leaves the lip in the two-wheel simulation (`two_wheels`), flies under
drag and wind by steps of its own, and comes down with its rear wheel wherever that meets the face, lying in the air as it happens
to. A rider's spring is a speed across the lip with a mean and a scatter of its own. What is written down has the errors of its
instruments: hand timing 0.10 s from start to stop (Am. J. Phys. 87 (2019) 110-115), video frames, a sensor 1 % off for the whole
day, tapes. How far the world lies from the line as measured is drawn within the bounds that the line and its defaults state.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, field

import numpy as np
from two_wheels import Case, Simulated, pieces_of

from jumpcalc.plan.inputs.assume import complete, ground_pieces, lip_shape
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.field.tries import Try

G = 9.80665
AIR = 1.1656  # kg/m³ at 420 m and 14 °C: p = 96380 Pa from the tables of ISO 2533, over R T
STEP = 0.1  # m of ground
TICK = 0.004  # s of flight


@dataclass
class Truth:
    """How a world differs from the line as it was measured."""

    rolling: float = 1.0  # factor
    drag: float = 0.0  # m² more
    lip: float = 0.0  # rad more
    slope: float = 0.0  # rad, on all slopes of the run-in
    wind: float = 0.0  # m/s from behind beyond what is felt
    spring: float = 0.0  # m/s, this rider's mean
    spring_sd: float = 0.15
    speed_sd: float = 0.012
    gust_sd: float = 0.4  # m/s
    attitude_sd: float = math.radians(6)
    sensor: float = 0.0  # share by which a sensor is off
    path: str = "bike"


def drawn(line: Line, rng: np.random.Generator, **fixed) -> Truth:
    """A world within the bounds that a line states, all of them as likely."""
    within = lambda bound: float(rng.uniform(-bound, bound))  # noqa: E731
    accuracy = complete(line)[0].run_in.slope_accuracy
    truth = Truth(
        rolling=1 + within(0.5), drag=within(0.1), lip=within(math.radians(1)), slope=within(accuracy), wind=within(1.0),
        spring=within(0.45), spring_sd=0.15 * math.exp(rng.normal() * 0.4), speed_sd=0.012 * math.exp(rng.normal() * 0.4),
        sensor=float(rng.normal() * 0.01),
    )  # fmt: skip
    for name, value in fixed.items():
        setattr(truth, name, value)
    return truth


@dataclass
class Ridden:
    """One ride as it really was; `along` [m] of the rear wheel down the face, negative before it."""

    foot: float
    along: float
    air_time: float
    x: float
    z: float
    outcome: str
    between: dict = field(default_factory=dict)


class Made:
    """A world in which tries are ridden."""

    def __init__(self, line: Line, truth: Truth, *, density: float = AIR) -> None:
        self.line, self.truth, self.ground = complete(line)[0], truth, line.fingerprint
        full, jump = self.line, self.line.jumps[0]
        rider, bike = full.rider, full.bike
        self.mass, self.share = rider.mass, bike.rotating_mass / rider.mass
        self.c = truth.rolling * (full.run_in.rolling_resistance or {"hardpack": 0.02}[full.run_in.surface]) * bike.rolling_factor
        self.k = density * (rider.drag_area + truth.drag) / (2 * rider.mass)
        self.h = rider.centre_of_mass_height if truth.path == "bike" else 0.0
        self.w, self.l_f = bike.wheelbase, rider.centre_of_mass_behind_front
        self.theta = jump.lip.angle + truth.lip
        parts, slope, first = [], None, None
        for piece in ground_pieces(full.run_in, ""):
            if hasattr(piece, "length"):
                assert slope is None or math.isclose(slope, piece.slope, abs_tol=1e-9), "straights must follow tangent arcs"
                parts.append((piece.length, 0.0))
                slope = piece.slope
            else:
                bend = math.copysign(1 / piece.radius, piece.to_slope - slope)
                parts.append(((piece.to_slope - slope) / bend, bend))
                slope = piece.to_slope
            first = piece.slope if first is None else first
        self.first, foot_slope = first + truth.slope, slope + truth.slope
        self.before = sum(length for length, _ in parts)
        radius = lip_shape(full, 0)[0]
        self.lip = [(radius * (self.theta - foot_slope), 1 / radius), (jump.lip.straight, 0.0)]
        self.pieces, self.ends = pieces_of([*parts, *self.lip], self.first)
        self.edge = self.ends[-1]
        self.face = jump.landing
        self.shape = jump.shape
        self._leave = self._departures(foot_slope) if truth.path == "bike" else None

    def _departures(self, foot_slope):
        """Polynomials in 1/v² through simulated departures: place, velocity/v as the rear leaves, from the edge."""
        speeds = np.sqrt(1 / np.linspace(1 / 12.5**2, 1 / 5.2**2, 9))
        rows = []
        for v in speeds:
            parts = [(5.0, 0.0), *[part for part in self.lip if part[0] > 0]]
            case = Case(parts, foot_slope, 5.0, (self.w, self.l_f, self.h, self.line.rider.pitch_radius), float(v), G)
            simulated = Simulated(case)
            state = simulated.run()[0]
            rows.append([state[0] - simulated.at_edge[0], state[1] - simulated.at_edge[1], state[3] / v, state[4] / v])
        return np.polynomial.Polynomial.fit, 1 / speeds**2, np.array(rows)

    def left(self, v):
        """C and C' as the rear wheel leaves at lip speeds v, shape (n,)."""
        if self._leave is None:
            none = np.zeros(len(v))
            return none, none, v * math.cos(self.theta), v * math.sin(self.theta)
        fit, at, rows = self._leave
        x, z, v_x, v_z = (fit(at, rows[:, i], 7)(1 / v**2) for i in range(4))
        return x, z, v_x * v, v_z * v

    def rolled(self, start, e, wind, stop):
        """v²/2 at `stop` [s] of rows from `start` [s], by steps of their own length, and e at each step's end."""
        for piece, end in zip(self.pieces, self.ends, strict=True):
            a, b = np.clip(start, piece.start, min(end, stop)), min(end, stop)
            if piece.start >= stop:
                break
            count = max(math.ceil((b - piece.start) / STEP), 1)
            length = (b - a) / count
            for number in range(count):
                s = a + number * length
                e = self._step(piece, s, e, length, wind)
        return e

    def _step(self, piece, s, e, length, wind):
        def force(s, e):
            slope = piece.slope + piece.curvature * (s - piece.start)
            q = 1 - self.h * piece.curvature
            v = np.sqrt(np.maximum(2 * e, 0.0))
            load = np.maximum(G * np.cos(slope) + piece.curvature * 2 * e / q, 0.0)
            against = v - wind * np.cos(slope)
            return (-q * G * np.sin(slope) - self.c * load - q * self.k * against * np.abs(against)) / (1 + self.share)

        a = force(s, e)
        b = force(s + length / 2, e + a * length / 2)
        c = force(s + length / 2, e + b * length / 2)
        d = force(s + length, e + c * length)
        return np.maximum(e + length * (a + 2 * b + 2 * c + d) / 6, 0.0)

    def ride(self, marks, rng, *, scatter=True, cones=None, strokes=None, brake=0.0, spring=None):
        """Rides from marks [m before the foot]; `brake` is the share of foot speed lost, `spring` what a rider adds [m/s]."""
        truth, run_in, n = self.truth, self.line.run_in, len(marks)
        noise = rng.normal(size=(4, n)) * scatter
        wind = self.line.air.tailwind + truth.wind + truth.gust_sd * noise[0]
        made = (run_in.strokes if strokes is None else strokes) * self.line.rider.stroke_energy / (self.mass * (1 + self.share))
        start = self.before - np.asarray(marks, dtype=float)
        e = np.full(n, run_in.start_speed**2 / 2 + made)
        lost = ((1 + truth.speed_sd * noise[1]) * (1 - brake)) ** 2
        between = {}
        for place in sorted(cones or (), reverse=True):
            # speeds at places before the foot, as this ride really passes them
            at_place = self.rolled(start, e, wind, self.before - place)
            between[place] = np.sqrt(2 * at_place * lost)
        e = self.rolled(start, e, wind, self.before) * lost
        foot = np.sqrt(2 * e)
        v = np.sqrt(2 * self.rolled(np.full(n, self.before), e, wind, self.edge))
        added = truth.spring + truth.spring_sd * noise[2] if spring is None else spring + 0 * noise[2]
        x, z, v_x, v_z = self.left(v)
        v_x, v_z = v_x - added * math.sin(self.theta), v_z + added * math.cos(self.theta)
        return foot, between, *self._fly(x, z, v_x, v_z, wind, truth.attitude_sd * noise[3] * (truth.path == "bike"))

    def takes(self, speeds, near, far):
        """Time [s] of the wheels from one place before the foot [m] to another, from speeds of the rider's middle there and at joints."""
        places, total = sorted((place for place in speeds if near <= place <= far), reverse=True), 0.0
        for a, b in itertools.pairwise(places):
            middle = self.before - 0.5 * (a + b)
            bend = next(piece.curvature for piece, end in zip(self.pieces, self.ends, strict=True) if middle <= end)
            total += (a - b) * (1 - self.h * bend) / (0.5 * (speeds[a] + speeds[b]))
        return total

    def _fly(self, x, z, v_x, v_z, wind, attitude):
        """Where along the face and when the rear wheel comes down."""
        fall = self.face.angle
        a = -fall + attitude
        behind = self.w - self.l_f if self.truth.path == "bike" else 0.0
        arm_x = -behind * np.cos(a) + self.h * np.sin(a)
        arm_z = -behind * np.sin(a) - self.h * np.cos(a)
        state, time = np.stack([x, z, v_x, v_z]), 0.0
        along, when, down = np.full(len(x), np.nan), np.full(len(x), np.nan), np.zeros(len(x), bool)

        def rate(y):
            r_x = y[2] - wind
            size = self.k * np.hypot(r_x, y[3])
            return np.stack([y[2], y[3], -size * r_x, -size * y[3] - G])

        def above(y):
            return (y[0] + arm_x - self.face.gap) * math.sin(fall) + (y[1] + arm_z + self.face.drop) * math.cos(fall)

        def place(y):
            return (y[0] + arm_x - self.face.gap) * math.cos(fall) - (y[1] + arm_z + self.face.drop) * math.sin(fall)

        while time < 4 and not down.all():
            k1 = rate(state)
            k2 = rate(state + TICK / 2 * k1)
            k3 = rate(state + TICK / 2 * k2)
            k4 = rate(state + TICK * k3)
            after = state + TICK / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
            before, now = above(state), above(after)
            sinks = after[3] * math.cos(fall) + after[2] * math.sin(fall) < 0
            hits = ~down & (now <= 0) & sinks
            share = np.clip(before / np.where(before > now, before - now, 1.0), 0.0, 1.0)
            along = np.where(hits, place(state) + share * (place(after) - place(state)), along)
            when = np.where(hits, time + share * TICK, when)
            down |= hits
            state, time = after, time + TICK
        return along, when

    def outcome(self, along):
        """What somebody who stands beside it says."""
        first = self.w / 2 - (self.w - self.l_f)
        return "short" if along < first else "clean" if along <= self.face.length - self.w + first else "long"


HOW = ("by hand", "filmed", "wheel sensor", None)
STRETCH, ENDS = 8.0, 1.0  # m between the cones, and from the second one to the foot


def made_log(
    made: Made, marks, rng, *, date="2026-11-14", how=HOW, taped=0.7, misread=(), dragged=(), rider=None
) -> tuple[list[Try], list[dict]]:
    """A log of tries from marks, and how each really was. `misread` have their mark written 3 m too far up, `dragged` lost 6 % of speed."""
    half = made.w / 2
    cones = (ENDS, ENDS + half, ENDS + half + STRETCH)
    joints = [made.before - end for end in made.ends if ENDS + half < made.before - end < ENDS + half + STRETCH]
    brake = np.array([0.06 if i in dragged else 0.0 for i in range(len(marks))])
    really = np.asarray(marks) + rng.normal(size=len(marks)) * 0.1
    foot, between, along, when = made.ride(really, rng, cones=(*cones, *joints), brake=brake)
    tries, truths = [], []
    for i, mark in enumerate(marks):
        way = how[int(rng.integers(len(how)))]
        landed = made.outcome(along[i])
        began = round(float(mark) + (3.0 if i in misread else 0.0), 1)
        seen = {"date": date, "start_mark": began, "rider": rider, "fingerprint": made.ground}
        pace = STRETCH / made.takes({place: speed[i] for place, speed in between.items()}, cones[1], cones[2])
        if way == "by hand":
            took = STRETCH / pace + rng.normal() * 0.10
            seen |= {"measured": way, "stretch": STRETCH, "before_foot": ENDS, "time": round(float(max(took, 0.3)), 2)}
        elif way == "filmed":
            frames = max(round(float(STRETCH / pace * 60 + rng.uniform(-1, 1))), 1)
            seen |= {"measured": way, "stretch": STRETCH, "before_foot": ENDS, "frames": frames, "rate": 60}
        elif way == "wheel sensor":
            shown = between[cones[0]][i] * (1 + made.truth.sensor)
            seen |= {"measured": way, "speed": round(float(shown) * 36) / 36, "before_foot": ENDS}
        if landed == "clean" and rng.random() < taped:
            seen["touched"] = round(float(along[i] + rng.uniform(-0.1, 0.1)), 2)
            if rng.random() < 0.5:
                seen["air_time"] = round(float(round(when[i] * 60 + rng.uniform(-1, 1)) / 60), 3)
        else:
            seen["outcome"] = landed
        tries.append(Try(**seen))
        truths.append({"foot": float(foot[i]), "along": float(along[i]), "air_time": float(when[i]), "outcome": landed})
    return tries, truths
