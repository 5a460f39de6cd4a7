"""How a bike with a rider leaves the edge and sets its wheels down.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
w        wheelbase                                             m
l_f l_r  centre of mass behind the front, ahead of the rear    m
h_c      centre of mass above the wheel line on the ground     m
h_0 h_l  the same at the start of the flight, at touchdown     m
k_p      pitch radius of gyration                              m
θ        lip angle                                             rad
φ        fall of the landing, positive downhill                rad
δ        turn of the path's start, down                        rad
a        attitude of the wheel line, nose up                   rad
v        speed of the centre of mass at the lip edge           m/s
p        spring: speed added along the lip's normal            m/s
=======  ====================================================  =========

The point of the textbook is the case h_c = 0: it starts at the edge in the direction of the lip and
touches where it meets the ground. One code path serves both.

Notes
-----
How a bike leaves one jump's edge is simulated (`departure`, `departure_curve`). `depart` has the point's start, and for a bike
a closed form that serves studies over many designs: a fit to a planar two-wheel simulation (rigid bike, stiff rider) for lips of 20 to
45°, gaps of 3 to 8 m and radii of 4.5 m or more with any straight, or 3.5 m or more with 0.6 m of
straight or more: worst 0.26 m, median 0.02 m against that simulation.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["POINT", "Body", "Departure", "depart", "joined", "roll_off_speed"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """A bike with a rider as the path needs it; all lengths [m], `height` 0 for a point.

    Each entry is a scalar, or of shape (n,) where rows differ.
    """

    height: np.ndarray
    landing_height: np.ndarray
    wheelbase: np.ndarray
    behind_front: np.ndarray
    pitch_radius: np.ndarray

    @classmethod
    def rows(cls, bodies: list[Body], counts: list[int]) -> Body:
        """One body of as many rows as `counts` say of each of `bodies`."""
        return cls(**{name: np.repeat([getattr(body, name) for body in bodies], counts) for name in cls.__slots__})


POINT = Body(height=0.0, landing_height=0.0, wheelbase=0.0, behind_front=0.0, pitch_radius=1.0)


@dataclass(frozen=True, slots=True, eq=False)
class Departure:
    """Start of the flying point and how the wheels are set down; every entry of shape (n,) or scalar.

    The flying point starts at `x`, `z` [m] with the velocity `v_x`, `v_z` [m/s]. The wheels' midpoint
    lies `height` below it, square to the attitude. Attitude and height go linearly with the flying
    point's horizontal place, from their values at `x` to those at `x_set`, and stay there; a flight that
    starts beyond `x_set` has its wheels set down at once.
    """

    x: np.ndarray
    z: np.ndarray
    v_x: np.ndarray
    v_z: np.ndarray
    attitude: np.ndarray
    set_attitude: np.ndarray
    height: np.ndarray
    set_height: np.ndarray
    x_set: np.ndarray
    _hurry: np.ndarray = field(init=False, repr=False)

    def __post_init__(self) -> None:
        # share set down for each metre flown; 0 where the flight starts beyond `x_set`, with nothing left to do
        room = np.asarray(self.x_set - self.x, dtype=float)
        object.__setattr__(self, "_hurry", np.divide(1.0, room, out=np.zeros_like(room), where=room > 0))

    def _each(self, change: Callable[[np.ndarray], np.ndarray]) -> Departure:
        """The same with every entry that was given changed in the same way."""
        return Departure(*(change(np.asarray(getattr(self, name))) for name in self.__slots__[:-1]))

    def rows(self, which: np.ndarray) -> Departure:
        """The chosen rows."""
        return self._each(lambda entry: entry[which])

    def broadcast(self, shape: tuple[int, ...]) -> Departure:
        """The same with every entry of that shape."""
        if all(np.shape(getattr(self, name)) == shape for name in self.__slots__):
            return self
        return self._each(lambda entry: entry if entry.shape == shape else np.broadcast_to(entry, shape))

    def _share(self, x: np.ndarray) -> np.ndarray:
        """How far the wheels are set down when the flying point is above `x`, 0 to 1."""
        return np.minimum(np.maximum(1.0 - (self.x_set - x) * self._hurry, 0.0), 1.0)

    def hangs(self, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Attitude [rad] of the wheel line and how far it lies below the flying point [m] above `x` [m]."""
        share = self._share(x)
        return (
            self.attitude + share * (self.set_attitude - self.attitude),
            self.height + share * (self.set_height - self.height),
        )

    def wheels(self, x: np.ndarray, z: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Place (x, z) [m] of the wheels' midpoint for a place of the flying point [m]."""
        attitude, height = self.hangs(x)
        return x + height * np.sin(attitude), z - height * np.cos(attitude)

    def wheels_velocity(
        self, x: np.ndarray, v_x: np.ndarray, v_z: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray]:
        """Velocity (v_x, v_z) [m/s] of the wheels' midpoint for place [m] and velocity [m/s] of the flying point."""
        rate = np.where(self._share(x) < 1.0, v_x * self._hurry, 0.0)
        turn, stretch = rate * (self.set_attitude - self.attitude), rate * (self.set_height - self.height)
        attitude, height = self.hangs(x)
        sine, cosine = np.sin(attitude), np.cos(attitude)
        return v_x + stretch * sine + height * turn * cosine, v_z - stretch * cosine + height * turn * sine


def roll_off_speed(body: Body, *, angle: np.ndarray, gravity: float = STANDARD_GRAVITY) -> np.ndarray:
    """Lip speed at and below which the bike rolls off the edge rather than flies.

    Parameters
    ----------
    body : Body
        Bike with rider; a point never rolls off.
    angle : array_like
        Lip angle θ [rad].
    gravity : float
        g [m/s²].

    Returns
    -------
    numpy.ndarray
        Speed of the centre of mass [m/s]; 0 for a point.

    Notes
    -----
    v² = g cosθ w²/(1.6 h_c): there the corrections of `depart`, which grow as 1/v², reach the end of
    what the simulation supports.

    Examples
    --------
    >>> float(roll_off_speed(POINT, angle=0.5))
    0.0
    """
    height = np.asarray(body.height, dtype=float)
    squared = gravity * np.cos(angle) * np.square(body.wheelbase) / (1.6 * np.where(height > 0, height, 1.0))
    return np.where(height > 0, np.sqrt(squared), 0.0)


def depart(
    body: Body,
    speed: np.ndarray,
    *,
    angle: np.ndarray,
    gap: float,
    fall: float,
    spring: np.ndarray = 0.0,
    gravity: float = STANDARD_GRAVITY,
) -> Departure:
    """Start of the flight and set-down of the wheels for a bike with a rider.

    Parameters
    ----------
    body : Body
        Bike with rider; `POINT` for the textbook's point.
    speed : array_like
        Speed of the centre of mass as the middle of the bike passes the edge [m/s], more than 0.
    angle : array_like
        Lip angle θ [rad], broadcast against `speed`.
    gap : float
        Level distance from the edge to the knuckle [m].
    fall : float
        Fall φ of the landing face [rad].
    spring : array_like
        Speed p [m/s] that the rider adds along the normal of the lip's edge, up positive.
    gravity : float
        g [m/s²].

    Returns
    -------
    Departure
        One row for each speed.

    Notes
    -----
    b_e = l_r + 0.06 h_c, κ' = b_e²/(k_p² + b_e²) − ½, δ = κ' g cosθ w/v², h_0 = h_c − g cosθ w²/(8 v²);
    start E + h_0 (−sinθ, cosθ), velocity v (cos(θ − δ), sin(θ − δ)) + p (−sinθ, cosθ); set down where the
    flying point is over x = gap + h_l sinφ. Valid above `roll_off_speed`; below it the corrections are held at their value
    there.

    Examples
    --------
    >>> start = depart(POINT, 8.0, angle=0.5, gap=4.0, fall=0.4)
    >>> round(float(np.arctan2(start.v_z, start.v_x)), 12), float(start.height)
    (0.5, 0.0)
    """
    speed, angle, spring = np.broadcast_arrays(*(np.asarray(a, dtype=float) for a in (speed, angle, spring)))
    rear = body.wheelbase - body.behind_front
    lever = rear + 0.06 * body.height
    kick = lever**2 / (body.pitch_radius**2 + lever**2) - 0.5
    squared = np.square(np.maximum(speed, roll_off_speed(body, angle=angle, gravity=gravity)))
    turn = kick * gravity * np.cos(angle) * body.wheelbase / squared
    height = body.height - gravity * np.cos(angle) * body.wheelbase**2 / (8 * squared)
    each = np.ones_like(speed)
    sine, cosine = np.sin(angle), np.cos(angle)
    return Departure(
        x=-height * sine,
        z=height * cosine,
        v_x=speed * np.cos(angle - turn) - spring * sine,
        v_z=speed * np.sin(angle - turn) + spring * cosine,
        attitude=angle * each,
        set_attitude=-fall * each,
        height=height,
        set_height=body.landing_height * each,
        x_set=(gap + body.landing_height * np.sin(fall)) * each,
    )


def joined(departures: Sequence[Departure]) -> Departure:
    """Departures one after the other.

    Parameters
    ----------
    departures : sequence of Departure
        Each of shape (n_i,).

    Returns
    -------
    Departure
        Of all their rows.
    """
    if len(departures) == 1:
        return departures[0]
    return Departure(*(np.concatenate([getattr(d, name) for d in departures]) for name in Departure.__slots__[:-1]))
