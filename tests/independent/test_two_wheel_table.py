"""The bike's path against a planar two-wheel simulation.

The table is an independent computation (energy to 4e-13, second formulation to 3e-12): mass 90 kg, wheelbase 1.2,
centre of mass 1.0 m high and 0.62 m behind the front contact, pitch radius 0.45 m, no drag, no friction, g 9.81; level
foot; target D from the edge and level with it, set down parallel to a face of fall φ. `simulated` rebuilds it here:
wheels as massless contact points, both on the ground, then the rear alone, then free flight.
"""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from jumpcalc.physics.body import POINT, Body, depart, roll_off_speed
from jumpcalc.physics.departure import Takeoff
from jumpcalc.physics.departure_curve import DepartureCurve
from jumpcalc.physics.ground import Arc, Straight, chain
from jumpcalc.physics.hodograph import fly
from jumpcalc.physics.roller import Roller
from jumpcalc.physics.rolling import roll

G, W, H_C, L_F, K_P = 9.81, 1.2, 1.0, 0.62, 0.45
L_R = W - L_F
BIKE = Body(height=H_C, landing_height=H_C, wheelbase=W, behind_front=L_F, pitch_radius=K_P)

# θ°, R, straight, D; foot speed of the point, then of the simulation for φ = 0, θ/2, θ; v and pitch rate as the rear
# wheel leaves the edge
TABLE = [
    (25, 4.5, 1.0, 4.5, 8.6134, (9.2146, 9.3213, 9.3453), 7.3972, -1.551),
    (30, 4.5, 0.6, 3.0, 7.1901, (7.8185, 7.9472, 7.9700), 5.5614, -1.897),
    (30, 6.0, 1.4, 4.5, 8.9711, (9.4145, 9.5262, 9.5549), 6.9069, -1.497),
    (25, 6.0, 0.6, 6.0, 9.6354, (10.2128, 10.3121, 10.3360), 8.5927, -1.426),
    (20, 7.0, 1.2, 5.0, 9.6252, (10.2118, 10.3039, 10.3266), 8.5887, -1.348),
]
ROWS = pytest.mark.parametrize("row", TABLE, ids=lambda row: f"{row[0]}deg-{row[1]}m")


def height_at_target(body, lip_speed, theta, gap, fall):
    """How far above its place over the target the package's path passes [m]."""
    leaves = depart(body, lip_speed, angle=theta, gap=gap, fall=fall, gravity=G)
    flight = fly(leaves.v_x, leaves.v_z, x=leaves.x, z=leaves.z, duration=2.5, gravity=G)
    x = gap + body.landing_height * math.sin(fall)
    time = (x - float(leaves.x)) / float(leaves.v_x)
    return float(flight.at(np.array([time]))[0][0, 2]) - body.landing_height * math.cos(fall)


def foot_speed(body, theta, radius, straight, gap, fall):
    """Speed at the foot of the lip with which the package's path meets the target [m/s]."""
    lip = chain([Arc(radius=radius, to_slope=theta), Straight(length=straight, slope=theta)], slope=0.0)
    lip_speed = brentq(lambda v: height_at_target(body, v, theta, gap, fall), 4.0, 12.0, xtol=1e-11)
    roller = Roller(height=body.height, gravity=G)
    return float(roll(lip, lip.end, lip_speed, roller, end=0.0, back=True).speed[0])


@ROWS
def test_point_column(row):
    degrees, radius, straight, gap, point, *_ = row
    theta = math.radians(degrees)
    assert foot_speed(POINT, theta, radius, straight, gap, 0.0) == pytest.approx(point, abs=1e-3)
    # and by the parabola and the lip's height alone
    rise = radius * (1 - math.cos(theta)) + straight * math.sin(theta)
    exact = math.sqrt(G * gap / math.sin(2 * theta) + 2 * G * rise)
    assert exact == pytest.approx(point, abs=6e-5)


@ROWS
@pytest.mark.parametrize("share", [0, 1, 2])
def test_bike_columns_within_one_percent(row, share):
    degrees, radius, straight, gap, point, simulated_speeds, *_ = row
    theta = math.radians(degrees)
    ours = foot_speed(BIKE, theta, radius, straight, gap, share * theta / 2)
    assert ours == pytest.approx(simulated_speeds[share], rel=0.01)
    assert ours > point * 1.03  # the bike asks for more than the point, by more than the fit may miss


def curve_of(theta, radius, straight):
    """The package's departure from a lip with a level foot at s = 0."""
    lip = chain([Straight(length=2.0, slope=0.0), Arc(radius=radius, to_slope=theta), Straight(length=straight, slope=theta)], s=-2.0)
    return DepartureCurve(Takeoff(ground=lip, edge=lip.end, foot=0.0, body=BIKE, gravity=G))


def simulated_departure(curve, gap, fall):
    """Lip speed with which the package's simulated departure meets the target [m/s]; NaN where hardly leaving overshoots it."""

    def misses(speed):
        left = curve.leaving([speed])
        time = (gap + H_C * math.sin(fall) - left.x[0]) / left.v_x[0]
        return left.z[0] + left.v_z[0] * time - G * time**2 / 2 - H_C * math.cos(fall)

    low = 1.2 * curve.slowest
    return brentq(misses, low, 30.0, xtol=1e-9) if misses(low) < 0 else math.nan


def foot_speed_of(curve, lip_speed):
    """By energy."""
    takeoff = curve.takeoff
    rise = takeoff.place[1] - float(takeoff.ground.point(0.0)[1]) + H_C * (math.cos(takeoff.slope) - 1)
    return math.sqrt(lip_speed**2 + 2 * G * rise)


@ROWS
@pytest.mark.parametrize("share", [0, 1, 2])
def test_simulated_departure_meets_the_bike_columns(row, share):
    degrees, radius, straight, gap, _, speeds, *_ = row
    theta = math.radians(degrees)
    curve = curve_of(theta, radius, straight)
    ours = foot_speed_of(curve, simulated_departure(curve, gap, share * theta / 2))
    assert ours == pytest.approx(speeds[share], abs=2e-4)


@ROWS
def test_simulated_departure_meets_the_exit_columns(row):
    degrees, radius, straight, _, point, _, exit_speed, pitch_rate = row
    curve = curve_of(math.radians(degrees), radius, straight)
    rise = foot_speed_of(curve, 0.0)
    left = curve.leaving([math.sqrt(point**2 - rise**2)])
    assert math.hypot(left.v_x[0], left.v_z[0]) == pytest.approx(exit_speed, abs=2e-4)
    assert left.pitch_rate[0] == pytest.approx(pitch_rate, abs=1e-3)


# physics.md: with a wheelbase of straight or more, R ≥ 3.5 m, the closed form's foot speed is within half a percent
@pytest.mark.parametrize("degrees", [8, 20, 35, 55])
@pytest.mark.parametrize(("radius", "straight"), [(3.5, 1.2), (3.5, 2.0), (6.0, 1.2), (15.0, 1.2)])
def test_band_of_the_closed_form(degrees, radius, straight):
    theta = math.radians(degrees)
    curve = curve_of(theta, radius, straight)
    slowest = 1.05 * max(curve.slowest, float(roll_off_speed(BIKE, angle=theta, gravity=G)))
    for gap in (2.0, 4.0, 8.0, 15.0):
        for fall in (theta / 2, theta):

            def misses(speed, gap=gap, fall=fall):
                leaves = depart(BIKE, speed, angle=theta, gap=gap, fall=fall, gravity=G)
                time = (gap + H_C * math.sin(fall) - float(leaves.x)) / float(leaves.v_x)
                return float(leaves.z) + float(leaves.v_z) * time - G * time**2 / 2 - H_C * math.cos(fall)

            exact = simulated_departure(curve, gap, fall)
            if exact > slowest:
                closed = brentq(misses, 0.5 * exact, 1.5 * exact, xtol=1e-9)
                assert foot_speed_of(curve, closed) == pytest.approx(foot_speed_of(curve, exact), rel=5e-3), (gap, fall)


class Simulated:
    """A bike with a stiff rider over a lip, two contact points on a curve; s counted from the foot."""

    def __init__(self, theta, radius, straight):
        self.theta, self.radius = theta, radius
        self.bend = radius * theta
        self.end = self.bend + straight

    def place(self, s):
        if s <= 0:
            return np.array([s, 0.0])
        turn = min(s / self.radius, self.theta)
        over = max(s - self.bend, 0.0)
        return np.array(
            [
                self.radius * math.sin(turn) + over * math.cos(turn),
                self.radius * (1 - math.cos(turn)) + over * math.sin(turn),
            ]
        )

    def slope(self, s):
        return min(max(s / self.radius, 0.0), self.theta)

    def with_front_at_edge(self, foot_speed):
        """Rear wheel's place, attitude, and their rates as the front wheel passes the edge: by energy alone."""
        edge = self.place(self.end)
        rear = brentq(lambda s: math.dist(self.place(s), edge) - W, self.end - 1.5 * W, self.end - 0.5 * W, xtol=1e-15)
        reach = edge - self.place(rear)
        attitude = math.atan2(reach[1], reach[0])
        # the wheel line's ends move along the slopes under them: rate of attitude for each metre of the rear wheel
        b_r, b_f = self.slope(rear), self.theta
        front_rate = math.cos(attitude - b_r) / math.cos(b_f - attitude)
        turn_rate = (front_rate * math.sin(b_f - attitude) + math.sin(attitude - b_r)) / W
        arm = self.arm(attitude)
        per_metre = np.array([math.cos(b_r), math.sin(b_r)]) + turn_rate * np.array([-arm[1], arm[0]])
        inertia = per_metre @ per_metre + (K_P * turn_rate) ** 2
        height = (self.place(rear) + arm)[1] - H_C
        rate = math.sqrt((foot_speed**2 - 2 * G * height) / inertia)
        return [rear, attitude, rate, rate * turn_rate]

    @staticmethod
    def arm(attitude):
        """From the rear contact to the centre of mass."""
        cosine, sine = math.cos(attitude), math.sin(attitude)
        return np.array([L_R * cosine - H_C * sine, L_R * sine + H_C * cosine])

    def forces(self, state):
        """Accelerations of rear place and attitude, and the load per mass, with the rear wheel alone on the ground."""
        s, attitude, s_rate, turn = state
        slope = self.slope(s)
        curvature = 1 / self.radius if 0 < s < self.bend else 0.0
        along, up = np.array([math.cos(slope), math.sin(slope)]), np.array([-math.sin(slope), math.cos(slope)])
        arm = self.arm(attitude)
        across = np.array([-arm[1], arm[0]])
        moment = -(arm[0] * up[1] - arm[1] * up[0]) / K_P**2
        matrix = np.array([[along[0], across[0], -up[0]], [along[1], across[1], -up[1]], [0.0, 1.0, -moment]])
        known = np.array([0.0, -G]) - curvature * s_rate**2 * up + turn**2 * arm
        return np.linalg.solve(matrix, [*known, 0.0])

    def leave(self, foot_speed):
        """Place and velocity of the centre of mass and pitch rate as the rear wheel leaves the edge; least load."""

        def gone(_, y):
            return y[0] - self.end

        gone.terminal = True
        way = solve_ivp(
            lambda _, y: [y[2], y[3], *self.forces(y)[:2]],
            (0, 2),
            self.with_front_at_edge(foot_speed),
            method="DOP853",
            rtol=1e-10,
            atol=1e-12,
            max_step=0.02,
            events=gone,
        )
        s, attitude, s_rate, turn = way.y[:, -1]
        arm = self.arm(attitude)
        slope = self.slope(s)
        velocity = s_rate * np.array([math.cos(slope), math.sin(slope)]) + turn * np.array([-arm[1], arm[0]])
        loads = [self.forces(y)[2] for y in way.y.T]
        return self.place(s) + arm - self.place(self.end), velocity, turn, min(loads)

    def misses(self, foot_speed, gap, fall):
        """How far above its place over the target the centre of mass passes [m]."""
        place, velocity, *_ = self.leave(foot_speed)
        time = (gap + H_C * math.sin(fall) - place[0]) / velocity[0]
        return place[1] + velocity[1] * time - G * time**2 / 2 - H_C * math.cos(fall)


@ROWS
@pytest.mark.parametrize("share", [0, 1, 2])
def test_simulation_rebuilt(row, share):
    degrees, radius, straight, gap, _, speeds, *_ = row
    bike, speed = Simulated(math.radians(degrees), radius, straight), speeds[share]
    # the speed that meets the target lies within 2e-4 m/s of the table's
    slower, faster = (bike.misses(speed + off, gap, share * math.radians(degrees) / 2) for off in (-2e-4, 2e-4))
    assert slower < 0 < faster
    place, velocity, turn, load = bike.leave(speed)
    assert load > 0
    energy = velocity @ velocity / 2 + (K_P * turn) ** 2 / 2 + G * (place[1] + bike.place(bike.end)[1] - H_C)
    assert energy == pytest.approx(speed**2 / 2, rel=1e-9)


@ROWS
def test_exit_of_the_simulation(row):
    # the table's exit speed and pitch rate belong to the point's foot speed
    degrees, radius, straight, _, point, _, exit_speed, pitch_rate = row
    _, velocity, turn, _ = Simulated(math.radians(degrees), radius, straight).leave(point)
    assert math.hypot(*velocity) == pytest.approx(exit_speed, abs=2e-4)
    assert turn == pytest.approx(pitch_rate, abs=1e-3)


# level landings 3 to 8 m away over the checked range of lips; what is claimed of the fit. Speeds at the foot are those
# with which the simulation meets a target 3.5 m away, to a thousandth, and faster by three tenths
@pytest.mark.parametrize(
    ("degrees", "radius", "straight", "foot"),
    [(20, 7.0, 0.3, 8.917), (25, 4.5, 0.0, 8.024), (35, 4.5, 0.8, 8.441), (45, 5.0, 1.0, 9.185), (40, 3.5, 0.6, 8.192)],
)
@pytest.mark.parametrize("speed_over", [1.0, 1.3])
def test_landing_of_the_fit_against_the_simulation(degrees, radius, straight, foot, speed_over):
    theta = math.radians(degrees)
    bike = Simulated(theta, radius, straight)
    assert abs(bike.misses(foot, 3.5, theta / 2)) < 1e-3
    foot *= speed_over
    lip = chain([Arc(radius=radius, to_slope=theta), Straight(length=straight or 1e-9, slope=theta)], slope=0.0)
    lip_speed = float(roll(lip, 0.0, foot, Roller(height=H_C, gravity=G), end=lip.end).speed[0])
    place, velocity, *_ = bike.leave(foot)

    def simulated_at(gap):
        fall = theta / 2
        time = (gap + H_C * math.sin(fall) - place[0]) / velocity[0]
        return place[1] + velocity[1] * time - G * time**2 / 2 - H_C * math.cos(fall)

    theirs = brentq(simulated_at, 2.0, 20.0)
    ours = brentq(lambda gap: height_at_target(BIKE, lip_speed, theta, gap, theta / 2), 2.0, 20.0)
    assert ours == pytest.approx(theirs, abs=0.27)
