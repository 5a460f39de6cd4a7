"""Lines of several jumps: the ride, the start window, what carries, and the energy of it all.

`Whole` rides a line without anything of the package but the measured numbers: flights and rolling by `solve_ivp`, with
the energy lost to the ground and to the air as two more variables. Equations as the project's notes on physics have them.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from two_wheels import Case, Simulated

from jumpcalc.plan.ask.run_in import run_in_of
from jumpcalc.plan.inputs.assume import complete
from jumpcalc.plan.inputs.dug import Jump, Landing, Lip, Piece, RunIn, Runout
from jumpcalc.plan.inputs.line import Air, Line
from jumpcalc.plan.inputs.rider import Bike, Limits, Rider
from jumpcalc.plan.solve import solve, solve_jumps
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.views.hill import hill_view
from jumpcalc.show.files.answer_json import as_dict
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.ride import ride as ride_words

G, DEG = 9.80665, math.pi / 180
PRECISE = {"method": "DOP853", "rtol": 1e-11, "atol": 1e-12}

RIDER = Rider(
    mass=86.0, drag_area=0.57, stroke_energy=190.0, centre_of_mass_height=1.03, centre_of_mass_behind_front=0.61,
    pitch_radius=0.45, landing_height=0.95, brake_use=0.75,
)
BIKE = Bike(kind="hardtail", wheelbase=1.17, brakes="both", rolling_factor=1.0, rotating_mass=2.2, development=2.1,
            travel=0.12, sag=0.25, suspension_loss=0.0)
AIR = Air(altitude=350.0, temperature=286.15, tailwind=0.0, crosswind=0.0)
RUN_IN = RunIn(
    pieces=(Piece(length=45.0, slope=-11 * DEG), Piece(length=3.0, slope=-8 * DEG), Piece(radius=10.0, to_slope=-3 * DEG),
            Piece(length=6.0, slope=-3 * DEG)),
    start_speed=0.0, strokes=0, rolling_resistance=0.022, grip=0.4,
)  # fmt: skip


def between(slope, flat=8.0):
    return Runout(
        pieces=(Piece(length=flat, slope=slope * DEG), Piece(radius=15.0, to_slope=-2 * DEG), Piece(length=4.0, slope=-2 * DEG)),
        rolling_resistance=0.02, grip=0.35, reaction=1.0,
    )  # fmt: skip


TABLE = Jump(
    shape="tabletop",
    lip=Lip(angle=24 * DEG, radius=5.0, straight=0.8),
    landing=Landing(gap=3.6, drop=0.1, angle=20 * DEG, length=6.0, exit_radius=7.0),
    runout=between(-4.0),
)
LAST = Runout(
    pieces=(Piece(length=10.0, slope=-3 * DEG), Piece(length=60.0, slope=0.0)), rolling_resistance=0.03, grip=0.35, reaction=1.0
)  # fmt: skip
GAP = replace(TABLE, shape="gap", lip=Lip(angle=26 * DEG, radius=4.9, straight=0.7), landing=Landing(
    gap=3.9, drop=0.2, angle=22 * DEG, length=6.0), runout=LAST)  # fmt: skip
LINE = Line(rider=RIDER, bike=BIKE, air=AIR, run_in=RUN_IN, jumps=(TABLE, GAP), limits=Limits(equivalent_fall=1.0))
WINDY = replace(LINE, air=replace(AIR, tailwind=-2.0, crosswind=2.0))
THREE = replace(LINE, jumps=(replace(TABLE, runout=between(-3.0)), replace(TABLE, runout=between(-2.5)), GAP))
LINES = {
    "two": LINE,
    "wind": WINDY,
    "point, strokes": replace(LINE, rider=replace(RIDER, path="point"), run_in=replace(RUN_IN, strokes=2)),
    "three": THREE,
}


def cut(line, mark):
    """The line with its top moved to a start mark, by the length of the first piece."""
    total = sum(
        piece.length if piece.length is not None else piece.radius * abs(piece.to_slope - before)
        for piece, before in zip(
            line.run_in.pieces, [0.0, *(p.end_slope for p in line.run_in.pieces)], strict=False
        )
    )
    first = line.run_in.pieces[0]
    first = replace(first, length=first.length - (total - mark))
    return replace(line, run_in=replace(line.run_in, pieces=(first, *line.run_in.pieces[1:])))


def parts_of(pieces, slope=None):
    """(length, slope at the start, curvature) of pieces."""
    parts = []
    for piece in pieces:
        if piece.length is not None:
            slope = piece.slope
            parts.append((piece.length, slope, 0.0))
        else:
            turn = piece.to_slope - slope
            parts.append((piece.radius * abs(turn), slope, math.copysign(1 / piece.radius, turn)))
            slope = piece.to_slope
    return parts, slope


class Whole:
    def __init__(self, line):
        self.line, rider, air = line, line.rider, line.air
        pressure = 101325 * (1 - 0.0065 * air.altitude / 288.15) ** 5.25588
        self.k = pressure / (287.05287 * air.temperature) * rider.drag_area / (2 * rider.mass)
        self.wind = air.tailwind, air.crosswind
        self.wheels = line.bike.rotating_mass / rider.mass
        self.bike = rider.path != "point"
        self.h = rider.centre_of_mass_height if self.bike else 0.0
        # losses so far, and what is neither lost nor kept by the ground: climbs, legs, wheels' spin
        self.rolling = self.drag = self.kinks = self.hits = self.climb = self.legs = self.spin = 0.0

    def roll(self, parts, along, v, c):
        """Speed at the end of parts, from a distance into them; NaN where it stops."""
        last = None
        for length, slope0, bend in parts:
            if along >= length - 1e-12:
                along -= length
                last = slope0 + bend * length
                continue
            if last is not None and along <= 0 and slope0 > last + 1e-9:
                self.kinks += (1 + self.wheels) * v * v / 2 * math.sin(slope0 - last) ** 2
                v *= math.cos(slope0 - last)
            along = max(along, 0.0)
            q = 1 - self.h * bend

            def rates(_, y, slope0=slope0, bend=bend, q=q):
                s, v = y[:2]
                slope = slope0 + bend * s
                load = max(0.0, G * math.cos(slope) + bend * v * v / q)
                r = v - self.wind[0] * math.cos(slope)
                air = q * self.k * r * math.hypot(r, self.wind[1])
                push = (-q * G * math.sin(slope) - c * load - air) / (1 + self.wheels)
                return [v / q, push / q, c * load * v / q, air * v / q]

            def there(_, y, length=length):
                return y[0] - length

            def stands(_, y):
                return y[1]

            there.terminal = stands.terminal = True
            stands.direction = -1
            way = solve_ivp(rates, (0, 300), [along, v, 0.0, 0.0], events=(there, stands), **PRECISE)
            s, v, ground, air = way.y[:, -1]
            if len(way.t_events[1]):
                return math.nan
            self.rolling, self.drag = self.rolling + ground, self.drag + air
            slope = slope0 + bend * along
            rise = (s - along) * math.sin(slope0) if bend == 0 else (math.cos(slope) - math.cos(slope0 + bend * s)) / bend
            self.climb += rise + self.h * (math.cos(slope0 + bend * s) - math.cos(slope))
            last, along = slope0 + bend * length, -1.0
        return v

    def after(self, jump):
        """Face, exit and runout of a jump, and the slope they end with."""
        face, (runout, end) = jump.landing, parts_of(jump.runout.pieces)
        exit_arc = []
        if face.exit_radius is not None:
            turn = runout[0][1] + face.angle
            exit_arc = [(face.exit_radius * abs(turn), -face.angle, math.copysign(1 / face.exit_radius, turn))]
        return [(face.length, -face.angle, 0.0), *exit_arc, *runout], end

    def lip(self, jump, slope):
        turn = jump.lip.angle - slope
        return [(jump.lip.radius * turn, slope, 1 / jump.lip.radius), (jump.lip.straight, jump.lip.angle, 0.0)]

    def fly(self, jump, v):
        """Distance down the face and speed along it; None when it does not land on the face."""
        rider, w, theta, fall = self.line.rider, self.line.bike.wheelbase, jump.lip.angle, jump.landing.angle
        start, velocity, pitch, h0, h_l = (0.0, 0.0), (v * math.cos(theta), v * math.sin(theta)), theta, 0.0, 0.0
        if self.bike:
            h0, h_l = self.h, rider.landing_height
            index = next((i for i, one in enumerate(self.line.jumps) if one is jump), 0)
            before = self.line.run_in if index == 0 else self.line.jumps[index - 1].runout
            last = before.pieces[-1]
            lip = [(length, bend) for length, _, bend in self.lip(jump, last.slope)]
            bike = w, rider.centre_of_mass_behind_front, self.h, rider.pitch_radius
            ridden = Simulated(Case([(last.length, 0.0), *lip], last.slope, last.length, bike, v, G))
            (x, z, pitch, *velocity, turn, _, _), _, _ = ridden.run()
            start, velocity = (x - ridden.at_edge[0], z - ridden.at_edge[1]), velocity[:2]
            # leaving loses nothing: the centre of mass is where it is then, and what turns the bike is gone at touchdown
            self.climb += start[1] - self.h * math.cos(theta)
            self.hits += (rider.pitch_radius * turn) ** 2 / 2
        over = jump.landing.gap + h_l * math.sin(fall)

        def rates(_, y):
            r = np.array([y[3] - self.wind[0], y[4] - self.wind[1], y[5]])
            drag = self.k * np.sqrt(r @ r) * r
            return [*y[3:6], -drag[0], -drag[1], -G - drag[2], drag @ y[3:6]]

        begin = [start[0], 0.0, start[1], velocity[0], 0.0, velocity[1], 0.0]
        way = solve_ivp(rates, (0, 3.0), begin, dense_output=True, **PRECISE).sol

        def wheels(t):
            x, z = way(t)[[0, 2]]
            share = np.clip((x - start[0]) / (over - start[0]), 0, 1)
            a, h = pitch + share * (-fall - pitch), h0 + share * (h_l - h0)
            return x + h * np.sin(a), z - h * np.cos(a)

        def above(t):
            x, z = wheels(t)
            return z + jump.landing.drop + (x - jump.landing.gap) * math.tan(fall)

        times = np.linspace(0.05, 3.0, 1200)
        first = times[np.argmax((above(times) <= 0) & (wheels(times)[0] > jump.landing.gap))]
        t = brentq(above, first - 0.0025, first, xtol=1e-14)
        x, z = wheels(t)
        d = (x - jump.landing.gap) / math.cos(fall)
        if not 0 < d < jump.landing.length:
            return None
        _, _, z_c, v_x, v_y, v_z, air = way(t)
        along = v_x * math.cos(fall) - v_z * math.sin(fall)
        self.drag += air
        self.climb += z_c - start[1]
        # the hit takes the normal part and what the side wind gave; legs raise or lower the rider over the wheels
        self.hits += (v_x**2 + v_y**2 + v_z**2 - along**2) / 2
        self.legs += z + self.h * math.cos(fall) - z_c
        self.spin += self.wheels * (along**2 - v**2) / 2
        return d, along

    def run(self):
        """Foot and lip speed, place and speed along the face of each jump, until one is short."""
        line, steps = self.line, []
        parts, slope = parts_of(line.run_in.pieces)
        v = line.run_in.start_speed
        v = math.sqrt(v * v + 2 * line.run_in.strokes * line.rider.stroke_energy / (line.rider.mass + line.bike.rotating_mass))
        along, c = 0.0, line.run_in.rolling_resistance
        for jump in line.jumps:
            foot = self.roll(parts, along, v, c)
            edge = self.roll(self.lip(jump, slope), 0.0, foot, c)
            landed = self.fly(jump, edge)
            steps.append((foot, edge, *(landed or (None, None))))
            if landed is None:
                break
            (along, v), (parts, slope), c = landed, self.after(jump), jump.runout.rolling_resistance
        return steps


def aimed(line):
    """The line started in the middle of its start window."""
    return cut(line, sum(solve(line).ride.window) / 2)


@pytest.mark.parametrize("name", LINES)
def test_the_ride_against_another_and_its_energy(name):
    line = aimed(LINES[name])
    ride, other = solve(line).ride, Whole(line)
    steps = other.run()
    assert len(ride.steps) == len(steps) == len(line.jumps) and ride.ended_by is None
    for step, (foot, edge, d, along) in zip(ride.steps, steps, strict=True):
        assert step.foot_speed == pytest.approx(foot, abs=1e-6)
        assert step.lip_speed == pytest.approx(edge, abs=1e-6)
        assert step.landing.along_face == pytest.approx(d, abs=1e-6)
        assert step.landing.along_ground == pytest.approx(along, abs=1e-6)
        assert step.landing.outcome == "clean"
    # potential and kinetic energy, and the strokes, against all losses, for each kilogram
    w = line.bike.rotating_mass / line.rider.mass
    kinetic = (1 + w) * ride.steps[-1].landing.along_ground ** 2 / 2
    strokes = line.run_in.strokes * line.rider.stroke_energy / line.rider.mass
    losses = other.rolling + other.drag + other.kinks + other.hits
    assert kinetic == pytest.approx(strokes - G * other.climb - losses + other.spin, abs=2e-6)
    assert min(other.rolling, other.drag, other.kinks, other.hits) > 0.05
    # the rise of the centre of mass over the whole line is that of the ground but for what the legs did
    assert abs(other.legs) < 0.5


def outcomes(line, mark):
    answer = solve(cut(line, mark))
    limit = answer.complete.limits.equivalent_fall
    clean = [s.landing.outcome == "clean" and s.landing.equivalent_fall <= limit for s in answer.ride.steps]
    return clean + [False] * (len(line.jumps) - len(clean))


@pytest.mark.parametrize("name", ["two", "wind", "three"])
def test_ends_of_the_start_window(name):
    """A millimetre inside all land clean; a millimetre outside one does not, and it is the one that is called tight."""
    line = LINES[name]
    answer = solve(line)
    ride, length = answer.ride, answer.jumps[0].run_in.length
    shortest, longest = ride.window
    assert all(outcomes(line, shortest + 1e-3))
    outside = outcomes(line, shortest - 1e-3)
    assert not all(outside) and outside.index(False) + 1 == ride.tight[0]
    assert longest < length and all(outcomes(line, longest - 1e-3))
    outside = outcomes(line, longest + 1e-3)
    assert not all(outside) and outside.index(False) + 1 == ride.tight[1]


def test_a_window_that_the_top_ends():
    whole = solve(LINE).ride
    line = cut(LINE, whole.window[1] - 1.0)
    ride = solve(line).ride
    assert ride.window == pytest.approx((whole.window[0], whole.window[1] - 1.0), abs=1e-8)
    assert all(outcomes(line, ride.window[1] - 1e-6))


def at_edge(line, speed):
    """The line whose top leaves the first edge at a speed."""
    filled, _ = complete(line)
    run_in = run_in_of(prepare(filled))
    moved = cut(line, run_in.foot - float(run_in.starts(np.array([speed]), run_in.roller())[0]))
    assert solve(moved).ride.steps[0].lip_speed == pytest.approx(speed, abs=1e-6)
    return moved


def at_aim(line):
    """The line whose top leaves the first edge at its aim."""
    return at_edge(line, solve_jumps(line).jumps[0].window.speeds.aim)


UPHILL = replace(TABLE, landing=replace(TABLE.landing, exit_radius=9.0), runout=Runout(
    pieces=(
        Piece(length=14.0, slope=8 * DEG), Piece(length=1.0, slope=7 * DEG),
        Piece(radius=9.0, to_slope=0.0), Piece(length=2.0, slope=0.0),
    ),
    rolling_resistance=0.02, grip=0.35, reaction=1.0))  # fmt: skip
SMALL = replace(GAP, shape="tabletop", lip=Lip(angle=20 * DEG, radius=5.0, straight=0.5), landing=Landing(
    gap=1.2, drop=0.1, angle=20 * DEG, length=3.5), runout=LAST)  # fmt: skip


@pytest.mark.parametrize(("name", "jumps"), [("fast ones do not", (TABLE, GAP)), ("slow ones do not", (UPHILL, SMALL))])
def test_what_carries_does(name, jumps):
    """At the ends of what carries the next one is clean inside and not outside; the share is that of the first window."""
    line = replace(LINE, jumps=jumps)
    answer = solve(line)
    carry, first, second = answer.ride.carries[0], *(jump.window.speeds for jump in answer.jumps)
    low, high = carry.speeds
    assert carry.share == pytest.approx((high - low) / (first.max - first.min), abs=1e-12)
    assert 0 < carry.share < 1
    assert (low > first.min + 1e-6) == (name == "slow ones do not")

    def next_lip(speed):
        whole = Whole(line)
        d, along = whole.fly(jumps[0], speed)
        parts, slope = whole.after(jumps[0])
        v = whole.roll(parts, d, along, jumps[0].runout.rolling_resistance)
        return -1.0 if math.isnan(v) else whole.roll(whole.lip(jumps[1], slope), 0.0, v, jumps[0].runout.rolling_resistance)

    if low > first.min + 1e-6:
        assert next_lip(low) == pytest.approx(second.min, abs=1e-5)
    if high < first.max - 1e-6:
        assert next_lip(high) == pytest.approx(second.max, abs=1e-5)
    for speed, arrives in zip((first.min, first.max), carry.arrives, strict=True):
        other = next_lip(speed)
        assert (arrives is None) == (not other > 0)
        if arrives is not None:
            assert arrives == pytest.approx(other, abs=1e-5)
    # by riding forward through the line itself
    for speed, clean in ((low + 1e-3, True), (high - 1e-3, True), (low - 1e-3, False), (high + 1e-3, False)):
        steps = solve(at_edge(line, speed)).ride.steps
        assert (len(steps) == 2 and all(step.landing.outcome == "clean" for step in steps)) == clean, speed


def test_where_the_slowest_halt_between_the_jumps():
    """Steep ground up to the next lip stops the slow part of a wide window; what carries is still found to 1e-6 m/s."""
    climb = replace(
        UPHILL,
        landing=replace(UPHILL.landing, length=14.0),
        runout=replace(UPHILL.runout, pieces=(Piece(length=36.0, slope=8 * DEG), *UPHILL.runout.pieces[1:])),
    )
    hop = replace(SMALL, lip=Lip(angle=12 * DEG, radius=6.0, straight=0.3), landing=replace(SMALL.landing, gap=0.5))
    line = replace(LINE, jumps=(climb, hop), limits=Limits(equivalent_fall=2.5))
    answer = solve(line)
    carry, second = answer.ride.carries[0], answer.jumps[1].window.speeds
    assert carry.arrives[0] is None
    whole = Whole(line)
    d, along = whole.fly(climb, carry.speeds[0])
    parts, slope = whole.after(climb)
    edge = whole.roll(whole.lip(hop, slope), 0.0, whole.roll(parts, d, along, 0.02), 0.02)
    assert edge == pytest.approx(second.min, abs=1e-6)


@pytest.mark.parametrize("index", [0, 1])
def test_a_line_of_one_jump_is_the_jump_alone(index):
    both = solve(THREE)
    jump = THREE.jumps[index]
    if index == 0:
        alone = solve(replace(THREE, jumps=(jump,)))
        # but for what follows it
        assert replace(alone.jumps[0], name="", way_out=None) == replace(both.jumps[0], name="", way_out=None)
        assert alone.ride.steps[0] == both.ride.steps[0]
        marks = alone.jumps[0].run_in.marks
        assert alone.ride.window == (marks[0], marks[2]) and alone.ride.tight == (1, 1) and alone.ride.carries == ()
        assert alone.ride.why_none is None
        return
    # the runout before it is its run-in
    before = THREE.jumps[index - 1].runout
    run_in = RunIn(pieces=before.pieces, rolling_resistance=before.rolling_resistance)
    alone = solve(replace(THREE, run_in=run_in, jumps=(jump,))).jumps[0]
    for name in ("window", "point", "sure", "landings", "stop", "heights", "rollable"):
        assert getattr(alone, name) == getattr(both.jumps[index], name), name


def test_a_line_of_one_without_a_run_in_has_no_ride():
    answer = solve(replace(LINE, run_in=RunIn(), jumps=(GAP,)))
    assert answer.ride is None and answer.jumps[0].run_in is None and answer.jumps[0].abort is None


@pytest.mark.parametrize("outcome", ["rear short", "front long", "long"])
def test_a_landing_that_is_not_clean_ends_it(outcome):
    speeds, half = solve(LINE).jumps[0].window.speeds, BIKE.wheelbase / 2
    length = TABLE.landing.length
    d = {"rear short": half / 2, "front long": length - half / 2, "long": length + 0.3}[outcome]
    # as if the face went on, which is where a landing beyond it would be
    long, whole = replace(TABLE, landing=replace(TABLE.landing, length=20.0)), Whole(LINE)
    around = (speeds.min - 0.12, speeds.min) if outcome == "rear short" else (speeds.max, speeds.max + 0.6)
    speed = brentq(lambda v: whole.fly(long, v)[0] - d, *around, xtol=1e-6)
    answer = solve(at_edge(LINE, speed))
    ride = answer.ride
    assert [step.landing.outcome for step in ride.steps] == [outcome]
    assert (ride.ended_by.code, ride.ended_by.jump) == ("not clean ends the ride", 1)
    told = " ".join(Reader.metric.texts(ride_words(answer)))
    assert "The ride ends: jump 1: it does not land clean" in told
    assert as_dict(answer)["ride"]["ended_by"].startswith("jump 1: it does not land clean")
    # and nothing is drawn of a ride that is over
    view = hill_view(answer)
    assert len(view.flights) == 1 and max(trace.x[-1] for trace in view.speeds) < view.edges[1].x


def test_a_landing_that_hits_harder_than_accepted_ends_it():
    line = replace(LINE, limits=Limits(equivalent_fall=0.3))
    first = solve(line).jumps[0].window
    assert first.limited_by == "hit"
    ride = solve(at_edge(line, first.speeds.max + 0.02)).ride
    assert [step.landing.outcome for step in ride.steps] == ["clean"]
    assert (ride.ended_by.code, ride.ended_by.jump) == ("a hard landing ends the ride", 1)
    assert len(solve(at_edge(line, first.speeds.max - 0.001)).ride.steps) == 2


def test_a_short_ends_it():
    speeds = solve(LINE).jumps[0].window.speeds
    ride = solve(at_edge(LINE, 0.9 * speeds.min)).ride
    assert len(ride.steps) == 1 and ride.steps[0].landing.outcome == "short"
    assert (ride.ended_by.code, ride.ended_by.jump) == ("short ends the ride", 1)


def test_halting_between_ends_it():
    climb = replace(TABLE, runout=replace(TABLE.runout, pieces=(Piece(length=60.0, slope=10 * DEG),)))
    line = replace(LINE, jumps=(climb, replace(GAP, lip=replace(GAP.lip, angle=30 * DEG))))
    ride = solve(at_aim(line)).ride
    assert (ride.ended_by.code, ride.ended_by.jump) == ("halts between the jumps", 1)
    assert 5 < ride.ended_by["along"] < 60
    assert len(ride.steps) == 1 and ride.window is None
    assert (ride.why_none.code, ride.why_none.jump) == ("the next lip is not reached", 1)
    assert ride.carries[0].speeds is None and ride.carries[0].share == 0 and ride.carries[0].arrives == (None, None)


def test_halting_on_the_next_lip_ends_it():
    tall = replace(GAP, lip=Lip(angle=60 * DEG, radius=14.0, straight=0.0))
    ride = solve(at_aim(replace(LINE, jumps=(TABLE, tall)))).ride
    assert (ride.ended_by.code, ride.ended_by.jump) == ("halts on the next lip", 1)


def test_ground_that_is_not_measured_ends_it():
    ride = solve(at_aim(replace(LINE, jumps=(replace(TABLE, runout=Runout()), GAP)))).ride
    assert (ride.ended_by.code, ride.ended_by.jump) == ("the ground between is not measured", 1)
    assert ride.window is None and ride.why_none is not None and ride.carries == (None,)


WHY_NOT = {
    "even the top is too low for the line": replace(
        LINE, run_in=replace(RUN_IN, pieces=(Piece(length=5.0, slope=-9 * DEG), *RUN_IN.pieces[1:]))
    ),
    "a jump of the line has no window": replace(
        LINE, jumps=(TABLE, replace(GAP, landing=replace(GAP.landing, length=1.0)))
    ),
    "no speed lands both clean": replace(LINE, jumps=(replace(TABLE, runout=between(-9.0, 60.0)), GAP)),
    "every start is too fast for the line": replace(LINE, run_in=replace(RUN_IN, start_speed=14.0)),
    "the strokes do not fit on the line's start marks": replace(LINE, run_in=replace(RUN_IN, strokes=14)),
}


@pytest.mark.parametrize("code", WHY_NOT)
def test_a_line_without_a_start_window_says_why(code):
    ride = solve(WHY_NOT[code]).ride
    assert ride.window is None and ride.tight is None
    assert ride.why_none.code == code


def test_what_does_not_carry_is_told_what_it_needs():
    """A stroke adds the same energy wherever it is made; one fewer leaves the next edge below its aim."""
    steep = replace(TABLE, runout=between(5.0, 14.0))
    answer = solve(replace(LINE, jumps=(steep, GAP)))
    carry, second = answer.ride.carries[0], answer.jumps[1].window.speeds
    assert carry.strokes > 0 and carry.brake == 0
    whole = Whole(replace(LINE, jumps=(steep, GAP)))
    d, along = whole.fly(steep, answer.jumps[0].window.speeds.aim)
    parts, slope = whole.after(steep)
    edge = whole.roll(whole.lip(GAP, slope), 0.0, whole.roll(parts, d, along, 0.02), 0.02)
    each = 2 * RIDER.stroke_energy / (RIDER.mass + BIKE.rotating_mass)
    assert edge**2 + carry.strokes * each >= second.aim**2 > edge**2 + (carry.strokes - 1) * each
    ground = sum(length for length, _, _ in parts) - d
    assert carry.fit == int(ground / BIKE.development)
    fast = solve(replace(LINE, jumps=(replace(TABLE, runout=between(-8.0, 25.0)), GAP))).ride.carries[0]
    assert fast.strokes == 0 and fast.brake > 0


def test_room_between_two_jumps_is_the_stop_of_the_first():
    answer = solve(LINE)
    stop, parts = answer.jumps[0].stop, Whole(LINE).after(TABLE)[0]
    room = sum(length for length, _, _ in parts) - answer.jumps[0].landings[2].along_face - BIKE.wheelbase / 2
    assert stop.available == pytest.approx(room, abs=1e-6)
