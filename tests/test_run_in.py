"""The run-in against a second computation, forward against inverse, and what is said where it does not do.

`Hill` uses nothing of the package but the measured numbers: rides by `solve_ivp` in time, marks and places by `brentq`.
Equations: rolling, kinks, brakes and both paths as the project's own notes on physics have them.
"""

import math
import warnings
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from jumpcalc.errors import InputError
from jumpcalc.physics.ground import Straight, chain
from jumpcalc.physics.roller import Roller
from jumpcalc.physics.rolling import roll
from jumpcalc.plan.ask.from_mark import from_mark
from jumpcalc.plan.ask.landings import land_each
from jumpcalc.plan.ask.run_in import run_in_of
from jumpcalc.plan.ask.window import targets
from jumpcalc.plan.inputs.assume import complete
from jumpcalc.plan.inputs.dug import Jump, Landing, Lip, Piece, RunIn, Runout
from jumpcalc.plan.inputs.line import Air, Line
from jumpcalc.plan.inputs.rider import Bike, Rider
from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.solve import solve
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import vary
from jumpcalc.show.files.linefile import parse_line
from jumpcalc.show.words import run_in as run_in_words
from jumpcalc.show.words.jump import headline
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import joined

G, DEG = 9.80665, math.pi / 180


class Hill:
    """Run-in and lip of a line in which every input that matters is given."""

    def __init__(self, line, **changes):
        rider, bike, air, run_in, jump = line.rider, line.bike, line.air, line.run_in, line.jumps[0]
        tilt = changes.pop("tilt", 0.0)
        pressure = 101325 * (1 - 0.0065 * air.altitude / 288.15) ** 5.25588
        self.density = pressure / (287.05287 * air.temperature)
        area = rider.drag_area + changes.pop("area", 0.0)
        self.k = self.density * area / (2 * rider.mass)
        self.wx, self.wy = air.tailwind + changes.pop("wind", 0.0), air.crosswind
        self.c = run_in.rolling_resistance * bike.rolling_factor * changes.pop("dirt", 1.0) + changes.pop("more", 0.0)
        assert not changes
        self.wheels = bike.rotating_mass / rider.mass
        self.h = 0.0 if rider.path == "point" else rider.centre_of_mass_height
        self.start_speed, self.strokes, self.strokes_at = run_in.start_speed, run_in.strokes, run_in.strokes_at
        self.gain = 2 * self.strokes * rider.stroke_energy / (rider.mass + bike.rotating_mass)
        front = rider.centre_of_mass_behind_front
        carried = 1.0 if bike.kind == "full suspension" else (bike.wheelbase - front) / bike.wheelbase
        self.soak = bike.suspension_loss * carried * G * bike.sag * bike.travel / 2
        self.bottom = 1 / bike.sag
        mu, tall, w = run_in.grip, rider.centre_of_mass_height, bike.wheelbase
        limit = {"both": min(mu, front / tall), "rear": mu * front / (w + mu * tall)}[bike.brakes]
        self.b, self.w, self.reaction = rider.brake_use * limit, w, jump.runout.reaction
        # parts: from, to, slope at the start, curvature
        self.parts, s, slope = [], 0.0, None
        for piece in run_in.pieces:
            if piece.length is not None:
                slope, bend, length = piece.slope, 0.0, piece.length
            else:
                turn = piece.to_slope - slope
                bend, length = math.copysign(1 / piece.radius, turn), piece.radius * abs(turn)
            self.parts.append((s, s + length, slope + tilt, bend))
            s, slope = s + length, slope + bend * length
        self.foot = self.edge = s
        if jump.shape != "drop":
            turn = jump.lip.angle - slope
            self.parts.append((s, s + jump.lip.radius * turn, slope, 1 / jump.lip.radius))
            s += jump.lip.radius * turn
            if jump.lip.straight:
                self.parts.append((s, s + jump.lip.straight, jump.lip.angle, 0.0))
            self.edge = s + jump.lip.straight

    def load(self, v, slope, bend):
        """Of the ground, in multiples of gravity."""
        return math.cos(slope) + bend * v * v / (1 - self.h * bend) / G

    def ride(self, s, v, to, *, braking=False, seconds=300.0):
        """Place, speed and time at the end of a ride, and the greatest load on the way."""
        clock, heaviest, last = 0.0, 0.0, None
        for low, high, slope0, bend in self.parts:
            if high <= s + 1e-12 or low >= to - 1e-12:
                last = (slope0 + bend * (high - low), bend)
                continue
            here = (slope0 + bend * (max(low, s) - low), bend)
            if last is not None and s <= low + 1e-12:
                if self.soak:
                    # a linear spring gives back all but a share of what it took, (n² − n0²)/2 of its sag's energy
                    taken = [min(max(self.load(v, *side), 1.0), self.bottom) ** 2 for side in (last, here)]
                    v = math.sqrt(max(v * v - 2 * self.soak * max(taken[1] - taken[0], 0.0), 0.0))
                if here[0] > last[0] + 1e-9 and low != self.foot:
                    v *= math.cos(here[0] - last[0])
            q, end = 1 - self.h * bend, min(high, to)

            def rates(_, y, low=low, slope0=slope0, bend=bend, q=q):
                slope, v = slope0 + bend * (y[0] - low), y[1]
                load = max(0.0, G * math.cos(slope) + bend * v * v / q)
                r = v - self.wx * math.cos(slope)
                force = -q * G * math.sin(slope) - q * self.k * r * math.hypot(r, self.wy)
                if braking:
                    force -= max(self.b, self.c) * load
                else:
                    force = (force - self.c * load) / (1 + self.wheels)
                return [v / q, force / q]

            def there(_, y, end=end):
                return y[0] - end

            def stands(_, y):
                return y[1]

            there.terminal = stands.terminal = True
            stands.direction = -1
            way = solve_ivp(
                rates, (0, seconds - clock), [s, v], method="DOP853", rtol=1e-10, atol=1e-11, events=(there, stands)
            )
            s, v, clock = way.y[0, -1], way.y[1, -1], clock + way.t[-1]
            loads = [self.load(u, slope0 + bend * (p - low), bend) for p, u in way.y.T]
            heaviest = max(heaviest, *loads)
            last = (slope0 + bend * (high - low), bend)
            if len(way.t_events[1]) or clock >= seconds - 1e-12:
                return s, max(v, 0.0), clock, heaviest
        return s, v, clock, heaviest

    def run(self, start, to):
        """A whole run from a start, strokes included."""
        v, clock, heaviest = self.start_speed, 0.0, 0.0
        at = start if self.strokes_at is None else max(start, self.foot - self.strokes_at)
        if to <= at:
            return self.ride(start, v, to)
        if at > start:
            start, v, clock, heaviest = self.ride(start, v, at)
        s, v, time, load = self.ride(start, math.sqrt(v * v + self.gain), to)
        return s, v, clock + time, max(heaviest, load)

    def lip_speed(self, start):
        s, v, _, _ = self.run(start, self.edge)
        return v if s > self.edge - 1e-9 else -1.0

    def mark(self, lip_speed):
        """Metres before the foot from which the edge is left at a speed, None where the top is too low."""
        if self.lip_speed(0.0) < lip_speed:
            return None
        return self.foot - brentq(lambda s: self.lip_speed(s) - lip_speed, 0.0, self.foot - 1e-6, xtol=1e-9)

    def abort(self, mark):
        """Last place to decide to stop, metres before the foot, and the speed there; None where there is none."""
        start = self.foot - mark

        def over(s):
            """How far past its place the front wheel would stop, deciding at s."""
            s, v, _time, _ = self.run(start, s)
            s, v, _, _ = self.ride(s, v, self.edge, seconds=self.reaction)
            s, v, _, _ = self.ride(s, v, self.foot, braking=True)
            return s - (self.foot - self.w / 2) if v < 1e-6 else self.w / 2 + v

        if over(start + 1e-6) > 0:
            return None
        place = brentq(over, start + 1e-6, self.foot - self.w, xtol=1e-9)
        return self.foot - place, self.run(start, place)[1]


RIDER = Rider(
    mass=86.0, drag_area=0.57, stroke_energy=190.0, centre_of_mass_height=1.03, centre_of_mass_behind_front=0.61,
    pitch_radius=0.45, landing_height=0.95, brake_use=0.75,
)
BIKE = Bike(
    kind="hardtail", wheelbase=1.17, brakes="both", rolling_factor=1.1, rotating_mass=2.2, development=2.1, travel=0.12,
    sag=0.25, suspension_loss=0.0,
)
AIR = Air(altitude=350.0, temperature=286.15, tailwind=0.0, crosswind=0.0)
HILL = (Piece(length=45.0, slope=-11 * DEG), Piece(radius=10.0, to_slope=-3 * DEG), Piece(length=6.0, slope=-3 * DEG))
KINKED = (
    Piece(length=35.0, slope=-14 * DEG), Piece(length=8.0, slope=-9 * DEG), Piece(radius=14.0, to_slope=-1 * DEG),
    Piece(length=5.0, slope=1 * DEG),
)
CREST = (
    Piece(length=20.0, slope=-9 * DEG), Piece(radius=25.0, to_slope=-15 * DEG), Piece(length=18.0, slope=-15 * DEG),
    Piece(radius=8.0, to_slope=-4 * DEG), Piece(length=3.0, slope=-4 * DEG),
)
RUN_IN = RunIn(pieces=HILL, start_speed=0.0, strokes=0, rolling_resistance=0.022, grip=0.4, slope_accuracy=0.5 * DEG)
GAP = Jump(
    shape="gap",
    lip=Lip(angle=28 * DEG, radius=4.8, straight=0.8),
    landing=Landing(gap=4.0, drop=0.1, angle=24 * DEG, length=4.5, exit_radius=6.0),
    runout=Runout(
        pieces=(Piece(length=8.0, slope=-4 * DEG), Piece(length=45.0, slope=0.0)), grip=0.35, rolling_resistance=0.02,
        reaction=0.8,
    ),
)
DROP = replace(GAP, shape="drop", lip=Lip(angle=-3 * DEG), landing=replace(GAP.landing, gap=2.2, drop=0.9, angle=27 * DEG))
LINE = Line(rider=RIDER, bike=BIKE, air=AIR, run_in=RUN_IN, jumps=(GAP,))
SOFT = replace(BIKE, kind="full suspension", travel=0.15, suspension_loss=0.3)
WINDY = replace(LINE, air=replace(AIR, tailwind=-2.5, crosswind=3.0), run_in=replace(RUN_IN, pieces=KINKED))
LINES = {
    "hill": LINE,
    "point": replace(LINE, rider=replace(RIDER, path="point")),
    "kinks, headwind and crosswind": WINDY,
    "tailwind, rear brake": replace(LINE, air=replace(AIR, tailwind=3.0), bike=replace(BIKE, brakes="rear")),
    "strokes at the mark": replace(LINE, run_in=replace(RUN_IN, strokes=3, start_speed=1.2)),
    "strokes further down": replace(LINE, run_in=replace(RUN_IN, strokes=4, strokes_at=14.0)),
    "strokes above the brakes": replace(
        LINE, run_in=replace(RUN_IN, strokes=3, strokes_at=24.0, grip=0.8), rider=replace(RIDER, brake_use=1.0)
    ),
    "suspension over a crest": replace(LINE, bike=SOFT, run_in=replace(RUN_IN, pieces=CREST)),
    "drop": replace(LINE, jumps=(DROP,)),
}  # fmt: skip


def ready(line):
    """The run-in as the package rides it."""
    filled, _ = complete(line)
    return run_in_of(prepare(filled))


def near(value, expected, **tolerance):
    assert (value is None) == (expected is None), (value, expected)
    if value is not None:
        assert value == pytest.approx(expected, **tolerance)


@pytest.mark.parametrize("name", LINES)
def test_against_the_other_hill(name):
    line = LINES[name]
    answer, hill = solve(line).jumps[0], Hill(line)
    found, speeds = answer.run_in, answer.window.speeds
    assert found.length == pytest.approx(hill.foot, abs=1e-9)
    assert found.foot_speed == pytest.approx(hill.run(0.0, hill.foot)[1], abs=1e-6)
    assert found.lip_speed == pytest.approx(hill.lip_speed(0.0), abs=1e-6)
    for speed, mark, time in zip((speeds.min, speeds.aim, speeds.max), found.marks, found.roll_times, strict=True):
        expected = hill.mark(speed)
        near(mark, expected, abs=1e-5)
        near(time, expected and hill.run(hill.foot - expected, hill.foot)[2], abs=1e-5)
    assert found.marks[1] is not None
    expected = hill.abort(found.marks[1])
    assert answer.abort.exists == (expected is not None)
    assert answer.abort.foot_speed == pytest.approx(hill.run(hill.foot - found.marks[1], hill.foot)[1], abs=1e-6)
    if expected is not None:
        assert (answer.abort.last, answer.abort.speed) == pytest.approx(expected, abs=1e-5)


CHANGES = {
    "tailwind_1_mps": {"wind": 1.0},
    "headwind_1_mps": {"wind": -1.0},
    "rolling_resistance_plus_0_01": {"more": 0.01},
    "rolling_resistance_minus_0_01": {"more": -0.01},
    "slope_1_deg_steeper": {"tilt": -DEG},
    "slope_1_deg_flatter": {"tilt": DEG},
    "drag_area_plus_0_1_m2": {"area": 0.1},
    "drag_area_minus_0_1_m2": {"area": -0.1},
}


@pytest.mark.parametrize("name", ["hill", "kinks, headwind and crosswind", "strokes further down"])
def test_what_changes_from_the_same_mark(name):
    line = LINES[name]
    answer = solve(line).jumps[0]
    start, speeds = answer.run_in.length - answer.run_in.marks[1], answer.window.speeds
    assert [change.code for change in answer.run_in.changes] == list(CHANGES)
    for change in answer.run_in.changes:
        other = Hill(line, **CHANGES[change.code]).lip_speed(start)
        assert change.by == pytest.approx(other - speeds.aim, abs=1e-6), change.code
        assert change.stays == (speeds.min <= other <= speeds.max)


@pytest.mark.parametrize("name", ["hill", "suspension over a crest", "strokes at the mark"])
def test_span_of_start_marks(name):
    """Each doubt alone, then the root of the sum of squares (JCGM 100:2008, eq. 10); the doubts are assumptions."""
    line = LINES[name]
    answer = solve(line).jumps[0]
    aim, found = answer.window.speeds.aim, answer.run_in
    mark = found.marks[1]
    down, up = 0.0, 0.0
    for sign in (-1, 1):
        tilt = line.run_in.slope_accuracy
        for doubt in ({"dirt": 1 + 0.5 * sign}, {"wind": -1.0 * sign}, {"tilt": tilt * sign}):
            hill = Hill(line, **doubt)
            other = hill.mark(aim)
            if other is None:
                up = math.inf
            elif other < mark:
                down += (mark - other) ** 2
            else:
                up += (other - mark) ** 2
    assert found.span.mark == mark
    assert found.span.short == pytest.approx(mark - math.sqrt(down), abs=1e-4)
    longest = mark + math.sqrt(up)
    near(found.span.long, longest if longest <= found.length else None, abs=1e-4)


def test_span_grows_with_the_tool():
    """A phone reads a slope to 1°, a digital level to about 0.3°: common practice, no source."""
    spans = []
    for accuracy in (0.0, 0.3, 1.0, 2.0):
        found = solve(replace(LINE, run_in=replace(RUN_IN, slope_accuracy=accuracy * DEG))).jumps[0].run_in
        assert found.span.short < found.marks[1] == found.span.mark
        assert found.span.long is None or found.span.long > found.marks[1]
        spans.append(found.span)
    assert sorted((span.short for span in spans), reverse=True) == [span.short for span in spans]
    long = [math.inf if span.long is None else span.long for span in spans]
    assert sorted(long) == long
    assert spans[0].short - spans[2].short > 0.5


def test_a_degree_on_14_m():
    # from rest without losses v² = 2 g L sin β: a degree is g L cos β/v, on 14 m of 6° about 1.7 km/h
    hill = chain([Straight(length=14.0, slope=-6 * DEG)])
    speeds = roll(hill, np.zeros(3), 0.0, Roller(tilt=np.array([-DEG, 0.0, DEG])), end=14.0).speed * 3.6
    assert speeds == pytest.approx([3.6 * math.sqrt(2 * G * 14 * math.sin(a * DEG)) for a in (7, 6, 5)], abs=1e-9)
    assert (speeds[0] - speeds[2]) / 2 == pytest.approx(1.7, abs=0.15)


@pytest.mark.parametrize("name", LINES)
def test_a_start_mark_ridden_forward_arrives_with_its_speed(name):
    line = LINES[name]
    answer, run_in = solve(line).jumps[0], ready(line)
    speeds = answer.window.speeds
    wanted = np.array([speeds.min, speeds.aim, speeds.max, 0.6 * speeds.aim, 0.8 * speeds.aim])
    starts = run_in.starts(wanted, run_in.roller())
    there = np.isfinite(starts)
    assert there[:2].all()
    assert list(there[:3]) == [mark is not None for mark in answer.run_in.marks]
    _, edge, _, _ = run_in.forward(starts[there], run_in.roller())
    assert np.abs(edge - wanted[there]).max() < 1e-6


def test_a_mark_put_into_the_line_file_arrives_with_its_speed():
    answer = solve(LINE).jumps[0]
    speeds = answer.window.speeds
    for speed, mark in zip((speeds.min, speeds.aim, speeds.max), answer.run_in.marks, strict=True):
        first = replace(HILL[0], length=HILL[0].length - (answer.run_in.length - mark))
        moved = solve(replace(LINE, run_in=replace(RUN_IN, pieces=(first, *HILL[1:])))).jumps[0].run_in
        assert moved.lip_speed == pytest.approx(speed, abs=1e-6)
        assert moved.length == pytest.approx(mark, abs=1e-9)


@pytest.mark.parametrize("pieces", [
    (Piece(length=9.0, slope=-8 * DEG), Piece(radius=3.0, to_slope=0.0), Piece(length=1.0, slope=0.0)),
    (Piece(length=30.0, slope=-9 * DEG), Piece(length=6.0, slope=-3 * DEG)),
])  # fmt: skip
@pytest.mark.parametrize("strokes_at", [None, 8.0])
def test_the_very_top_is_a_start(pieces, strokes_at):
    """From rest in still air, where the ride back ends at a standstill just at the top."""
    line = replace(
        LINE, air=replace(AIR, tailwind=0.0, crosswind=0.0),
        run_in=replace(RUN_IN, pieces=pieces, strokes=0, strokes_at=strokes_at, start_speed=0.0),
    )  # fmt: skip
    run_in = ready(line)
    edge = run_in.forward(np.zeros(1), run_in.roller())[1]
    assert run_in.starts(edge, run_in.roller())[0] == pytest.approx(0.0, abs=1e-7)


@settings(max_examples=25, deadline=None)
@given(
    steep=st.floats(4, 20), length=st.floats(8, 60), radius=st.floats(3, 30), last=st.floats(-5, 3), flat=st.floats(0.5, 12),
    tail=st.floats(-4, 4), across=st.floats(-5, 5), strokes=st.integers(0, 3), at=st.none() | st.floats(7, 30),
    start=st.floats(0, 4), loss=st.sampled_from([0.0, 0.3]), share=st.floats(0.05, 1.0),
)  # fmt: skip
def test_forward_and_inverse_agree(steep, length, radius, last, flat, tail, across, strokes, at, start, loss, share):
    """Whatever the run-in, a start given back is one that arrives; and where one arrives, a start is given back."""
    assume(abs(steep + last) > 1e-6)  # an arc that turns by nothing is refused
    pieces = (
        Piece(length=length, slope=-steep * DEG), Piece(radius=radius, to_slope=last * DEG), Piece(length=flat, slope=last * DEG)
    )  # fmt: skip
    line = replace(
        LINE,
        air=replace(AIR, tailwind=tail, crosswind=across),
        bike=replace(SOFT, suspension_loss=loss),
        run_in=replace(RUN_IN, pieces=pieces, strokes=strokes, strokes_at=at, start_speed=start),
    )
    run_in = ready(line)
    _, edge, _, _ = run_in.forward(np.zeros(1), run_in.roller())
    wanted = np.array([share * np.nan_to_num(edge[0], nan=5.0), 4.0, 7.0])
    starts = run_in.starts(wanted, run_in.roller())
    there = np.isfinite(starts)
    _, again, _, _ = run_in.forward(starts[there], run_in.roller())
    arrived = np.isfinite(again)
    assert np.abs(again - wanted[there])[arrived].max(initial=0.0) < 1e-6
    assert arrived.all() or abs(tail) > 0 or start < 0.2
    least = run_in.forward(np.array([run_in.foot]), run_in.roller())[1][0]
    if np.isfinite(edge[0]) and not least > wanted[0]:
        assert there[0]


def test_roll_times_grow_with_the_mark_and_are_those_of_a_free_fall_slope():
    # without losses, from rest on one straight: s = ½ g sin(slope) t²
    bare = replace(
        LINE,
        rider=replace(RIDER, drag_area=0.0),
        bike=replace(BIKE, rotating_mass=0.0),
        run_in=RunIn(pieces=(Piece(length=60.0, slope=-10 * DEG),), rolling_resistance=0.0, start_speed=0.0),
    )
    found = solve(bare).jumps[0].run_in
    for mark, time in zip(found.marks, found.roll_times, strict=True):
        assert time == pytest.approx(math.sqrt(2 * mark / (G * math.sin(10 * DEG))), abs=1e-9)


# the run-in is 52.396 m long; a half-turn takes 2.1 m
@pytest.mark.parametrize(
    ("strokes", "at", "fit"), [(25, None, 24), (30, None, 24), (7, 14.0, 6), (1, 2.0, 0), (40, 400.0, 24)]
)
def test_strokes_that_do_not_fit_are_refused_with_the_number_that_does(strokes, at, fit):
    line = replace(LINE, run_in=replace(RUN_IN, strokes=strokes, strokes_at=at))
    with pytest.raises(InputError) as caught:
        solve(line)
    assert caught.value.key == "run_in.strokes"
    assert f"{strokes}; only {fit} fit" in str(caught.value)
    if fit:
        assert solve(replace(line, run_in=replace(line.run_in, strokes=fit))).jumps[0].run_in.strokes.fit == fit


def test_no_start_mark_is_given_from_which_the_strokes_do_not_fit():
    # 12 strokes take 25.2 m and so much speed that the marks lie nearer than that
    line = replace(LINE, run_in=replace(RUN_IN, strokes=12))
    answer = solve(line)
    hill = Hill(line)
    assert 25.2 > hill.mark(answer.jumps[0].window.speeds.aim) > 0
    assert answer.jumps[0].run_in.marks == (None, None, None)
    said = {note.code: note for note in answer.warnings}["the strokes do not fit from the mark"]
    assert said["mark"] == pytest.approx(hill.mark(answer.jumps[0].window.speeds.aim), abs=1e-5)
    assert (said["made"], said["fit"]) == (12, int(said["mark"] / 2.1))
    assert answer.ride.window is None and answer.ride.why_none is not None


def test_a_start_that_is_too_fast_at_the_very_foot_is_no_start():
    answer = solve(replace(LINE, run_in=replace(RUN_IN, start_speed=12.0)))
    found = answer.jumps[0].run_in
    assert found.marks == (None, None, None) and found.missing is None
    assert found.too_fast == pytest.approx(found.lip_speed - answer.jumps[0].window.speeds.max)
    assert answer.ride.window is None and answer.ride.why_none.code == "every start is too fast for the line"


@pytest.mark.parametrize("at", [None, 15.0])
@pytest.mark.parametrize("top", [6.0, 10.0, 14.0])
def test_fewest_strokes_are_the_fewest(top, at):
    short = (Piece(length=top, slope=-10 * DEG), *HILL[1:])
    line = replace(LINE, run_in=replace(RUN_IN, pieces=short, strokes_at=at if at is None else min(at, top + 7)))
    answer = solve(line).jumps[0]
    needed, fit, aim = answer.run_in.strokes.needed, answer.run_in.strokes.fit, answer.window.speeds.aim
    assert needed > 0 and answer.run_in.marks[1] is None
    assert answer.run_in.missing == pytest.approx(aim - answer.run_in.lip_speed, abs=1e-12)
    for strokes in (needed - 1, needed):
        hill = Hill(line)
        hill.gain = 2 * strokes * RIDER.stroke_energy / (RIDER.mass + BIKE.rotating_mass)
        assert (hill.lip_speed(0.0) >= aim) == (strokes == needed)
    room = hill.foot if at is None else line.run_in.strokes_at
    assert fit == int(room / 2.1)
    if needed <= fit:
        there = solve(replace(line, run_in=replace(line.run_in, strokes=needed))).jumps[0].run_in
        assert there.missing is None and there.lip_speed >= aim
        assert (there.strokes.made, there.strokes.needed) == (needed, needed)


@pytest.mark.parametrize("name", ["hill", "drop"])
def test_the_top_is_where_to_start_where_it_lands_clean_whatever_the_rider_does_with_room_to_spare(name):
    """Shorter and shorter: from the aim's mark, from the top, then too short; each start is what its own ride gives."""
    line, (first, *rest) = LINES[name], HILL
    whole, told = solve(line).jumps[0].run_in, []
    spare = whole.length - whole.marks[1]
    for cut in np.arange(spare - 0.8, spare + 4.5, 0.4):
        answer = solve(replace(line, run_in=replace(RUN_IN, pieces=(replace(first, length=first.length - cut), *rest))))
        one, found = answer.jumps[0], answer.jumps[0].run_in
        speeds, edge = one.window.speeds, Hill(answer.line).lip_speed(0.0)
        well = one.sure[0] <= edge <= one.sure[1] and edge - speeds.min >= 0.5 * (speeds.aim - speeds.min)
        hardly = edge >= max(speeds.min, speeds.aim - 0.3 / 3.6)
        begun = "mark" if edge >= speeds.aim - 0.02 / 3.6 else "top" if well or hardly else "none"
        told.append(begun)
        assert found.mark == {"mark": found.marks[1], "top": found.length, "none": None}[begun], cut
        where, head = Reader.metric.text(joined(run_in_words.start(one))), Reader.metric.text(headline(one))
        assert ("Start at the top" in where) == ("start at the top" in head) == (begun == "top")
        assert ("too short" in where) == ("does not give that speed" in head) == (begun == "none")
        codes = {note.code for note in answer.warnings}
        assert ("the run-in ends before the aim" in codes, "the run-in is too short" in codes) == (begun == "top", begun == "none")
        if begun == "top":
            course = prepare(answer.line).jumps[0]
            landed = land_each(course, [(style, np.array([edge])) for style in targets(course)[1].styles])
            assert all(each.is_(Outcome.CLEAN).all() for each in landed) and answer.ride.ended_by is None
    assert told == sorted(told, key=("mark", "top", "none").index) and all(told.count(each) > 1 for each in ("mark", "top", "none"))


@pytest.mark.parametrize("name", ["hill", "strokes at the mark", "strokes further down", "drop", "tailwind, rear brake"])
def test_a_start_so_much_further_up_gives_the_aim(name):
    line, (first, *rest) = LINES[name], LINES[name].run_in.pieces
    cut = replace(first, length=first.length - (30.0 if name == "drop" else 22.0))
    short = replace(line, run_in=replace(line.run_in, pieces=(cut, *rest)))
    found = solve(short).jumps[0].run_in
    assert found.missing is not None and 0 < found.higher < 30
    longer = replace(line, run_in=replace(line.run_in, pieces=(replace(cut, length=cut.length + found.higher + 0.01), *rest)))
    there = solve(longer).jumps[0]
    assert there.run_in.marks[1] == pytest.approx(there.run_in.length, abs=0.05)
    assert Hill(longer).lip_speed(0.01) == pytest.approx(there.window.speeds.aim, abs=2e-4)
    told = Reader.metric.text(joined(run_in_words.start(solve(short).jumps[0])))
    assert f"{math.ceil(10 * found.higher - 1e-6) / 10:.1f} m further up" in told


def test_the_top_as_it_is_printed_is_a_start():
    """52.396 m prints as 52.4 m and as 172 ft: both are the top; half a metre more is none."""
    top = from_mark(LINE, 52.396)
    for mark in (52.4, 172 * 0.3048):
        ridden = from_mark(LINE, mark)
        assert ridden.mark == pytest.approx(52.39626340159546) and ridden.foot_speed == pytest.approx(top.foot_speed, abs=1e-4)
    with pytest.raises(InputError, match="the length of the run-in"):
        from_mark(LINE, 52.9)


def test_the_strokes_that_are_told_have_a_start_mark():
    """On a long, flat run-in the fewest strokes may be too fast from where they fit: then one less is told if it works, else none."""
    flat = """
    rider = {mass_kg = 72}
    bike = {kind = "dirt jump"}
    run_in = {strokes = 3, pieces = [{length_m = 25, slope_percent = -7}, {length_m = 4, slope_percent = 0}]}
    [[jump]]
    shape = "gap"
    lip = {angle_deg = 20, radius_m = 4.9, straight_m = 0.8}
    landing = {gap_m = 1.8, drop_m = 0.2, angle_deg = 16, length_m = 4, exit_radius_m = 6}
    """
    told = set()
    hard = flat.replace("mass_kg = 72", "mass_kg = 72, stroke_energy_j = 900")
    for slope, file in (*((slope, flat) for slope in (-8.5, -8.0, -7.5, -7.0, -6.5)), (-6.0, hard), (-5.0, hard), (-2.5, hard)):
        line = parse_line(file.replace("= -7", f"= {slope}"))
        found = solve(line).jumps[0].run_in
        plan = found.strokes
        counts = [count for count in (plan.needed - 1, plan.needed) if count <= plan.fit and not (found.from_top and count == plan.made)]
        works = [count for count in counts if solve(vary(line, {"run_in.strokes": count})).jumps[0].run_in.mark is not None]
        assert plan.works in works if works else plan.works is None, slope
        told.add(None if plan.works is None else plan.needed - plan.works)
    assert {None, 1} <= told, told


def test_strokes_are_not_counted_beyond_what_anyone_may_ask_for():
    # a kilometre of level ground eats any speed that strokes could give at its top
    long = (Piece(length=1000.0, slope=0.0), Piece(length=200.0, slope=-10 * DEG), *HILL[1:])
    found = solve(replace(LINE, run_in=replace(RUN_IN, pieces=long, start_speed=0.0))).jumps[0].run_in
    assert found.lip_speed is None and found.halts_at == pytest.approx(found.length)
    assert found.strokes.needed <= max(found.strokes.fit, 100) + 1


def test_a_storm_on_six_kilometres_with_strokes_far_down_is_an_answer():
    pieces = (Piece(length=1000.0, slope=-0.6), Piece(length=1000.0, slope=0.7), *(Piece(length=1000.0, slope=-0.1),) * 4)
    line = replace(
        LINE,
        run_in=replace(RUN_IN, pieces=pieces, strokes=20, strokes_at=600.0, start_speed=22.0),
        air=replace(LINE.air, tailwind=22.0, crosswind=-22.0),
        rider=replace(RIDER, mass=30.0, drag_area=2.0),
    )
    found = solve(line).jumps[0].run_in
    assert found.halts_at is not None or found.foot_speed > 0


def test_no_strokes_are_asked_for_where_the_hill_is_high_enough():
    assert solve(LINE).jumps[0].run_in.strokes.needed == 0


def cut_at_the_aim(line):
    """The line with its top moved to the aim's start mark, by its first piece."""
    found = solve(line).jumps[0].run_in
    first = line.run_in.pieces[0]
    first = replace(first, length=first.length - (found.length - found.marks[1]))
    return replace(line, run_in=replace(line.run_in, pieces=(first, *line.run_in.pieces[1:])))


def test_changes_are_those_of_the_line_file():
    line = cut_at_the_aim(LINE)
    by = {change.code: change.by for change in solve(LINE).jumps[0].run_in.changes}
    air, run_in, rider = line.air, line.run_in, line.rider
    aim = solve(line).jumps[0].run_in.lip_speed
    dirt = 0.01 / BIKE.rolling_factor
    for code, changed in {
        "tailwind_1_mps": replace(line, air=replace(air, tailwind=1.0)),
        "headwind_1_mps": replace(line, air=replace(air, tailwind=-1.0)),
        "rolling_resistance_plus_0_01": replace(line, run_in=replace(run_in, rolling_resistance=0.022 + dirt)),
        "rolling_resistance_minus_0_01": replace(line, run_in=replace(run_in, rolling_resistance=0.022 - dirt)),
        "drag_area_plus_0_1_m2": replace(line, rider=replace(rider, drag_area=0.67)),
        "drag_area_minus_0_1_m2": replace(line, rider=replace(rider, drag_area=0.47)),
    }.items():
        assert by[code] == pytest.approx(solve(changed).jumps[0].run_in.lip_speed - aim, abs=1e-6), code
    assert by["tailwind_1_mps"] > 0 > by["headwind_1_mps"]
    assert by["rolling_resistance_plus_0_01"] < 0 < by["rolling_resistance_minus_0_01"]
    assert by["slope_1_deg_flatter"] < 0 < by["slope_1_deg_steeper"]


def test_a_degree_of_slope_is_that_of_the_line_file():
    # a drop has no lip that would turn with the hill
    straight = (Piece(length=60.0, slope=-6 * DEG),)
    line = cut_at_the_aim(replace(LINE, jumps=(DROP,), run_in=replace(RUN_IN, pieces=straight)))
    found = solve(line).jumps[0].run_in
    by = {change.code: change.by for change in found.changes}
    for code, turn in {"slope_1_deg_steeper": -DEG, "slope_1_deg_flatter": DEG}.items():
        piece = replace(line.run_in.pieces[0], slope=-6 * DEG + turn)
        turned = solve(replace(line, run_in=replace(line.run_in, pieces=(piece,)))).jumps[0].run_in
        assert by[code] == pytest.approx(turned.lip_speed - found.lip_speed, abs=1e-6)


def test_stopwatch_bounds():
    """Readings of the average of three, each within 0.1 s (Am. J. Phys. 87 (2019) 110): half a reading to spare."""
    # on a long face too slow and too fast lie far enough apart to be told by roll time
    line = replace(LINE, jumps=(replace(GAP, landing=replace(GAP.landing, length=9.0)),))
    answer = solve(line).jumps[0]
    found, speeds = answer.run_in, answer.window.speeds
    start = found.length - found.marks[1]

    def ride(c):
        hill = Hill(line, more=c - 0.022 * 1.1)
        return hill.lip_speed(start), hill.run(start, hill.foot)[2]

    error = 0.1 / math.sqrt(3)
    soft = brentq(lambda c: ride(c)[0] - speeds.min, 0.0, 0.15)
    assert found.slow_time == pytest.approx(ride(soft)[1] - error, abs=0.01)
    hard = ride(0.0)
    if hard[0] >= speeds.max:
        firm = brentq(lambda c: ride(c)[0] - speeds.max, 0.0, 0.1)
        assert found.fast_time == pytest.approx(ride(firm)[1] + error, abs=0.01)
        assert found.fast_time < found.roll_times[1]
    else:
        assert found.fast_time is None
    assert found.roll_times[1] < found.slow_time


def test_a_stopwatch_that_cannot_tell_says_nothing():
    # the lip right after two metres of hill, rolled in fast: no dirt makes a difference that can be timed
    near_lip = (Piece(length=2.0, slope=-4 * DEG),)
    answer = solve(replace(LINE, run_in=replace(RUN_IN, pieces=near_lip, start_speed=9.8)))
    found = answer.jumps[0].run_in
    assert (found.slow_time, found.fast_time) == (None, None)


def test_too_short_and_too_high():
    short = (Piece(length=8.0, slope=-10 * DEG), *HILL[1:])
    answer = solve(replace(LINE, run_in=replace(RUN_IN, pieces=short)))
    found = answer.jumps[0].run_in
    assert found.marks[1] is None and found.missing > 0 and found.too_fast is None and found.span is None
    assert {note.code: note for note in answer.warnings}["the run-in is too short"]["missing"] == found.missing
    answer = solve(LINE)
    found = answer.jumps[0].run_in
    assert found.missing is None
    assert found.too_fast == pytest.approx(found.lip_speed - answer.jumps[0].window.speeds.max)
    assert {note.code: note for note in answer.warnings}["the start mark is too high"]["over"] == found.too_fast


CLIMB = (Piece(length=10.0, slope=3 * DEG), Piece(length=20.0, slope=-12 * DEG), Piece(length=4.0, slope=-3 * DEG))


@pytest.mark.parametrize(("strokes", "at"), [(0, None), (3, 15.0), (3, 26.0)])
def test_halts_on_the_run_in(strokes, at):
    line = replace(LINE, run_in=replace(RUN_IN, pieces=CLIMB, start_speed=1.0, strokes=strokes, strokes_at=at))
    answer, hill = solve(line), Hill(line)
    found = answer.jumps[0].run_in
    place = hill.foot - hill.ride(0.0, 1.0, hill.foot)[0]
    assert found.lip_speed is None and found.foot_speed is None and found.lip_load is None
    assert found.halts_at == pytest.approx(place, abs=1e-6)
    notes = {note.code: note for note in answer.warnings}
    assert notes["halts on the run-in"]["mark"] == pytest.approx(place, abs=1e-6)
    assert "halts on the lip" not in notes
    assert answer.ride.steps == () and answer.ride.ended_by["mark"] == pytest.approx(place, abs=1e-6)
    assert found.strokes is None or found.strokes.made == strokes


def test_halts_on_the_lip():
    level = (Piece(length=12.0, slope=0.0),)
    line = replace(LINE, run_in=replace(RUN_IN, pieces=level, start_speed=3.0))
    answer, hill = solve(line), Hill(line)
    assert hill.foot < hill.ride(0.0, 3.0, hill.edge)[0] < hill.edge
    found = answer.jumps[0].run_in
    assert found.foot_speed == pytest.approx(hill.ride(0.0, 3.0, hill.foot)[1], abs=1e-6)
    assert found.lip_speed is None and found.halts_at is None
    assert "halts on the lip" in {note.code for note in answer.warnings}
    assert answer.ride.ended_by.code == "halts on the lip"


def test_wheels_leave_the_ground_on_a_crest():
    # they lift where v² = g cosβ (R + h_c); from rest 16 m of 14° come well above it on a crest of 4 m
    crest = (
        Piece(length=16.0, slope=-14 * DEG), Piece(length=2.0, slope=-2 * DEG), Piece(radius=4.0, to_slope=-20 * DEG),
        Piece(length=6.0, slope=-20 * DEG), Piece(radius=8.0, to_slope=-3 * DEG), Piece(length=3.0, slope=-3 * DEG),
    )  # fmt: skip
    line = replace(LINE, run_in=replace(RUN_IN, pieces=crest))
    answer, hill = solve(line), Hill(line)
    top = hill.parts[2][0]
    assert hill.run(0.0, top)[1] ** 2 > G * (4.0 + hill.h)
    notes = [note for note in answer.warnings if note.code == "wheels leave the run-in"]
    assert len(notes) == 1
    assert notes[0]["mark"] == pytest.approx(hill.foot - top, abs=0.1)
    slow = replace(line, run_in=replace(line.run_in, pieces=(Piece(length=1.5, slope=-5 * DEG), *crest[1:])))
    assert "wheels leave the run-in" not in {note.code for note in solve(slow).warnings}


def test_a_kink_down_is_named():
    kinked = (Piece(length=20.0, slope=-6 * DEG), Piece(length=15.0, slope=-13 * DEG), *HILL[1:])
    answer = solve(replace(LINE, run_in=replace(RUN_IN, pieces=kinked)))
    notes = {note.code: note for note in answer.warnings}
    length = 15 + 10 * 10 * DEG + 6
    assert notes["the run-in has a kink down"]["mark"] == pytest.approx(length, abs=1e-9)


@pytest.mark.parametrize("path", ["bike", "point"])
def test_load_in_the_arc_and_at_the_lip(path):
    """cosβ + v²/(gR) for the point, cosβ + v²/(g(R − h_c)) for the bike, v the centre of mass's speed."""
    line = replace(LINE, rider=replace(RIDER, path=path))
    found, hill = solve(line).jumps[0].run_in, Hill(line)
    height = RIDER.centre_of_mass_height if path == "bike" else 0.0
    at_foot = math.cos(3 * DEG) + found.foot_speed**2 / (G * (4.8 - height))
    assert found.lip_load == pytest.approx(at_foot, rel=2e-3)
    assert found.lip_load == pytest.approx(hill.run(0.0, hill.edge)[3], rel=2e-3)
    arc_end = 45 + 10 * 8 * DEG
    v = hill.run(0.0, arc_end)[1]
    assert found.arc_load == pytest.approx(math.cos(3 * DEG) + v * v / (G * (10.0 - height)), rel=2e-3)


def test_two_bikes_on_smooth_hard_ground():
    """The hardtail needs less of the run-in: common practice, no source. Switched off, suspension makes no difference."""
    soft = solve(replace(LINE, bike=SOFT)).jumps[0].run_in
    stiff = solve(LINE).jumps[0].run_in
    assert all(a < b for a, b in zip(stiff.marks, soft.marks, strict=True))
    assert stiff.lip_speed > soft.lip_speed
    off = solve(replace(LINE, bike=replace(SOFT, suspension_loss=0.0))).jumps[0]
    assert off.run_in == stiff and off.abort == solve(LINE).jumps[0].abort


def test_a_bike_that_cannot_stop_before_the_lip():
    # 11° of hill and a rear brake on wet ground: gravity pulls harder than the brake
    weak = replace(LINE, bike=replace(BIKE, brakes="rear"), run_in=replace(RUN_IN, grip=0.2))
    assert solve(weak).jumps[0].abort.exists is False
    slick = replace(weak, run_in=replace(weak.run_in, surface="dry wood", grip=None))
    assert solve(slick).jumps[0].abort is None  # no grip can be cited for it


def test_rides_that_do_not_settle_warn_of_nothing():
    """A steep, long run-in with a strong wind from behind: rows whose rides over all pieces do not settle go in steps."""
    line = parse_line("""
[rider]
mass_kg = 123.2
[bike]
kind = "full suspension"
suspension_loss_percent = 31
[air]
altitude_m = 1926
tailwind_kmh = 40.1
[run_in]
surface = "short grass"
pieces = [ { length_m = 49.13, slope_deg = -20.1 }, { radius_m = 9.89, to_slope_deg = -0.6 }, { length_m = 7.78, slope_deg = -0.6 } ]
[[jump]]
lip = { angle_deg = 28.7, radius_m = 18.25, straight_m = 0.19 }
landing = { gap_m = 7.37, drop_m = 3.76, angle_deg = 41.9, length_m = 5.94, exit_radius_m = 4.34 }
[jump.runout]
rolling_resistance = 0.056
stakes_m = [ [0, 0], [7.75, 0.84], [15.15, 1.57], [21.16, 1.97], [27.19, 2.27] ]
""")
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert solve(line).jumps[0].run_in is not None
