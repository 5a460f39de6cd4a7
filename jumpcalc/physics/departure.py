"""How a bike with a rider leaves an edge, a lip's or a drop's, simulated in two phases for many speeds at once.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
w        wheelbase                                             m
l_f l_r  centre of mass behind the front, ahead of the rear    m
h_c      centre of mass above the wheel line                   m
k_p      pitch radius of gyration                              m
E θ      edge of the ground and its slope there                m, rad
v        lip speed, by energy                                  m/s
s s_f    rear and front contact along the ground               m
β κ      slope and curvature of the ground under the rear      rad, 1/m
T N      the ground's tangent and normal there                 –
ψ        slope of the wheel line, nose up                      rad
e n      along the wheel line, square to it                    –
C        centre of mass                                        m
J        arm from the rear contact to C, turned a right angle  m
σ p      momentum along T, and of pitch, per mass              m/s
=======  ====================================================  =========

A planar rigid bike with a stiff rider; no drag, no rolling losses, no rotating mass. The lip speed v is
defined by energy: v²/2 + g z_m, with z_m = z_E + h_c cosθ the height of C while the wheels' midpoint is
at the edge and the wheel line has the slope θ.

**Both wheels on the ground** (`stance`), until the front contact passes the edge: one degree of freedom.
With a = ds_f/ds = (e·T)/(e·T_f), ψ' = n·(a T_f − T)/w for each metre of the rear wheel, C' = T + J ψ', the
speed of the rear contact follows from v²/2 + g z_m = (C'·C' + k_p² ψ'²) s'²/2 + g z_C; s'' and the two loads
from the three equations of motion, so that at each place each load is a constant plus another times v².

**The rear wheel alone** (`rear_wheel`), until its contact passes the edge: two degrees of freedom, stepped in
time from joint to joint of the ground.

References
----------
A two-wheel simulation made for this project, in another formulation (constraint forces, events): see
`tests/independent/test_departure_simulation.py`. From a simulation with a moving rider also comes what a
rider adds: 0.1 m of extension or squash within 0.25 s is 0.40 to 0.46 m/s across the lip.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from jumpcalc.physics.body import Body
from jumpcalc.physics.ground import GroundLine
from jumpcalc.physics.rear_wheel import RearWheel, roll_to
from jumpcalc.physics.stance import Stance, stance_at, stances
from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["Leaving", "Takeoff", "Track", "leave"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Takeoff:
    """A bike and the ground it leaves.

    Parameters
    ----------
    ground : GroundLine
        The ground up to the edge; its first piece is continued back as far as the rear wheel needs it, so
        a lip's begins with the last piece of the run-in.
    edge : float
        Distance s [m] of the edge on it.
    foot : float
        Distance s [m] from which on loads are looked at, once the front contact has passed it: the foot of a
        lip; the edge itself for a drop.
    body : Body
        The bike; every entry a scalar, the wheelbase above 0.
    gravity : float
        g [m/s²].

    Attributes
    ----------
    last : int
        Piece of the ground that ends at the edge.
    slope : float
        Its slope there θ [rad].
    place : tuple of float
        Place (x, z) of the edge [m].
    start : Stance
        The bike as its front contact passes the edge, one row.
    """

    ground: GroundLine
    edge: float
    foot: float
    body: Body
    gravity: float = STANDARD_GRAVITY
    last: int = field(init=False)
    slope: float = field(init=False)
    place: tuple[float, float] = field(init=False)
    start: Stance = field(init=False)

    def __post_init__(self) -> None:
        last = max(int(np.searchsorted(self.ground.start, self.edge - 1e-9)) - 1, 0)
        x, z = self.ground.point(self.edge)
        for name, value in (
            ("last", last),
            ("slope", float(self.ground.slope_at(self.edge, last))),
            ("place", (float(x), float(z))),
            ("start", stance_at(self.ground, np.array([self.edge]), np.array([last]), self.body)),
        ):
            object.__setattr__(self, name, value)

    def rear_speed_squared(self, stance: Stance, speed: np.ndarray) -> np.ndarray:
        """s'² [m²/s²] of the rear contact, shape (speeds, places); negative where the bike does not get there."""
        height = self.place[1] + float(self.body.height) * np.cos(self.slope) - stance.z
        return (np.square(speed)[:, None] + 2 * self.gravity * height) / stance.inertia

    def stances(self) -> Stance:
        """Both wheels on the ground, from the front's passing the foot on, at places that do not miss a joint."""
        return stances(self.ground, self.foot, self.edge, self.last, self.body)


@dataclass(frozen=True, slots=True, eq=False)
class Leaving:
    """The moment the rear contact passes the edge; arrays of shape (n,), NaN where the bike does not leave.

    Parameters
    ----------
    speed : numpy.ndarray
        Lip speed v [m/s].
    leaves : numpy.ndarray
        Whether the rear wheel gets to the edge, of bool.
    x, z : numpy.ndarray
        Place of the centre of mass from the edge [m].
    v_x, v_z : numpy.ndarray
        Its velocity [m/s].
    pitch, pitch_rate : numpy.ndarray
        Slope of the wheel line ψ_0 [rad] and its rate ψ_0' [rad/s].
    time : numpy.ndarray
        Time since the front contact passed the edge [s].
    front_x, front_z : numpy.ndarray
        Place of the front contact from the edge [m].
    """

    speed: np.ndarray
    leaves: np.ndarray
    x: np.ndarray
    z: np.ndarray
    v_x: np.ndarray
    v_z: np.ndarray
    pitch: np.ndarray
    pitch_rate: np.ndarray
    time: np.ndarray
    front_x: np.ndarray
    front_z: np.ndarray


@dataclass(frozen=True, slots=True, eq=False)
class Track:
    """The way from the front's passing the edge to the rear's leaving; NaN where the bike does not leave.

    Parameters
    ----------
    front_x, front_z : numpy.ndarray
        Place of the front contact from the edge [m], shape (n, m): at `rear_wheel.SHARES` of the time on each
        piece of ground that the rear wheel passes.
    rear_load : numpy.ndarray
        Load of the rear wheel per mass [m/s²], shape (n, m).
    before : numpy.ndarray
        Distance of the rear contact before the edge [m], shape (n, m).
    """

    front_x: np.ndarray
    front_z: np.ndarray
    rear_load: np.ndarray
    before: np.ndarray


def leave(takeoff: Takeoff, speed: np.ndarray) -> tuple[Leaving, Track]:
    """How the bike leaves the edge at each of some lip speeds.

    Parameters
    ----------
    takeoff : Takeoff
        Bike and ground.
    speed : array_like
        Lip speeds v [m/s], shape (n,), 0 or more.

    Returns
    -------
    tuple of Leaving and Track
        The moment the rear wheel leaves, and the way there.

    Notes
    -----
    The bike does not leave where s' would reach 0 before the edge. At a kink of the ground under the rear
    wheel the contact's velocity square to the ground ahead is lost by a blow along its normal.

    Examples
    --------
    Rolling off a level edge at 6 m/s:

    >>> from jumpcalc.physics.ground import Straight, chain
    >>> bike = Body(height=1.05, landing_height=1.05, wheelbase=1.2, behind_front=0.62, pitch_radius=0.45)
    >>> level = chain([Straight(length=2.0, slope=0.0)])
    >>> leaving, _ = leave(Takeoff(ground=level, edge=2.0, foot=2.0, body=bike), [6.0])
    >>> round(float(leaving.time[0]), 5), round(float(np.degrees(leaving.pitch[0])), 3)
    (0.24471, -16.088)
    """
    speed = np.atleast_1d(np.asarray(speed, dtype=float))
    ground, edge, start = takeoff.ground, takeoff.edge, takeoff.start
    squared = takeoff.rear_speed_squared(start, speed)[:, 0]
    leaves = squared > 0
    pace = np.sqrt(np.where(leaves, squared, 1.0))
    state = np.empty((4, len(speed)))
    state[0], state[1] = start.rear - edge, start.pitch
    velocity = start.along * pace, start.across * pace, start.turn * pace
    time, samples = np.zeros(len(speed)), []
    for piece in range(int(start.rear_piece[0]), takeoff.last + 1):
        end = (takeoff.edge if piece == takeoff.last else float(ground.start[piece + 1])) - edge
        curvature = float(ground.curvature[piece])
        level = float(ground.slope[piece]) - curvature * (float(ground.start[piece]) - edge)
        wheel = RearWheel.of(takeoff.body, takeoff.gravity, level, curvature)
        state[2], state[3] = wheel.momenta(state[0], state[1], *velocity)
        state, spent, states, leaves = roll_to(wheel, state, leaves, end)
        time = time + spent
        samples.append(_looked_at(takeoff, wheel, states))
        velocity = wheel.velocity(state)
    body, pitch = takeoff.body, state[1]
    sine, cosine = np.sin(pitch), np.cos(pitch)
    along, across, rate = velocity
    leaving = Leaving(
        speed=speed,
        leaves=leaves,
        x=wheel.rear * cosine - wheel.height * sine,
        z=wheel.rear * sine + wheel.height * cosine,
        v_x=along * cosine - across * sine,
        v_z=along * sine + across * cosine,
        pitch=pitch,
        pitch_rate=rate,
        time=time,
        front_x=body.wheelbase * cosine,
        front_z=body.wheelbase * sine,
    )
    way = (np.concatenate(column, axis=1) for column in zip(*samples, strict=True))
    return leaving, Track(*(np.where(leaves[:, None], column, np.nan) for column in way))


def _looked_at(takeoff: Takeoff, wheel: RearWheel, states: np.ndarray) -> tuple[np.ndarray, ...]:
    """Front contact, rear load and distance before the edge at states on one piece."""
    s, pitch = states[:2]
    x, z = takeoff.ground.point(s + takeoff.edge)
    base = float(takeoff.body.wheelbase)
    return (
        x - takeoff.place[0] + base * np.cos(pitch),
        z - takeoff.place[1] + base * np.sin(pitch),
        wheel.load(states),
        -s,
    )
