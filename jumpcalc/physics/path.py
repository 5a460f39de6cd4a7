"""A whole path through air as one polynomial, and what moves at a place on it.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
q        steepness of the path in the air (`hodograph`)        1
σ        place on the path, -1 at the start to 1 at its end    1
u, V     level speed and speed against the air                 m/s
a, j     acceleration and its rate                             m/s², m/s³
=======  ====================================================  =========
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jumpcalc.physics.hodograph import Airflow, horner

__all__ = ["Moment", "Path"]


@dataclass(frozen=True, slots=True, eq=False)
class Moment:
    """Place from the start [m], velocity [m/s] and acceleration [m/s²] over ground, V and u [m/s]; each of n rows."""

    x: np.ndarray
    z: np.ndarray
    v_x: np.ndarray
    v_z: np.ndarray
    a_x: np.ndarray
    a_z: np.ndarray
    speed: np.ndarray
    level: np.ndarray

    def rows(self, which: np.ndarray) -> Moment:
        """The chosen rows."""
        return Moment(*(getattr(self, name)[which] for name in self.__slots__))

    def put(self, which: np.ndarray, other: Moment) -> None:
        """Take the chosen rows from another."""
        for name in self.__slots__:
            getattr(self, name)[which] = getattr(other, name)

    def _swift(self, air: Airflow) -> tuple[np.ndarray, np.ndarray]:
        """Rates [1/s] at which u and V shrink: u' = −k V u, V' = −k V² − g v_z/V."""
        push = air.drag * self.speed
        return push, push + (air.gravity / self.speed) * (self.v_z / self.speed)

    def after(self, dt: np.ndarray, air: Airflow) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """Place from the start [m] and velocity [m/s] a short time `dt` [s] later, to third order."""
        push, swift = self._swift(air)
        j_x, j_z = -self.a_x * (swift + push), push * (swift * self.v_z - self.a_z)
        third, half = dt / 3.0, 0.5 * dt
        return (
            self.x + dt * (self.v_x + half * (self.a_x + third * j_x)),
            self.z + dt * (self.v_z + half * (self.a_z + third * j_z)),
            self.v_x + dt * (self.a_x + half * j_x),
            self.v_z + dt * (self.a_z + half * j_z),
        )

    def level_after(self, dt: np.ndarray, air: Airflow) -> tuple[np.ndarray, np.ndarray]:
        """Level way through the air since [m], and u [m/s], a short time `dt` [s] later, to third order."""
        push, swift = self._swift(air)
        rate, half = push * (swift + push), 0.5 * dt
        way = dt * self.level * (1.0 - half * (push - rate * dt / 3.0))
        return way, self.level * (1.0 - dt * (push - half * rate))


@dataclass(frozen=True, slots=True, eq=False)
class Path:
    """Paths of the flying point of n rows.

    Parameters
    ----------
    air : Airflow
        The starts.
    half : numpy.ndarray
        Half of the span in q, shape (n,).
    way : numpy.ndarray or None
        Polynomials as `Airflow.integrals` gives them; None in a choice of rows, which needs places only.
    place : numpy.ndarray
        Coefficients of what times `scale` is x and z from the start [m], shape (degree + 1, 2, n).
    scale : numpy.ndarray
        Shape (2, n) or (n,).
    """

    air: Airflow
    half: np.ndarray
    way: np.ndarray | None
    place: np.ndarray
    scale: np.ndarray

    @classmethod
    def until(cls, air: Airflow, end: np.ndarray, count: int) -> Path:
        """From the start to the steepness `end`, with so many Gauss points."""
        half = 0.5 * (air.start - end)
        way = air.integrals(air.start, half, count)
        scale = half * air.level * air.level / air.gravity
        if not air.windy:
            return cls(air, half, way, way[:, :2], scale)
        # with the wind's carriage in x
        place = np.empty((count + 1, 2, len(half)))
        np.multiply(way[:, 0], air.along, out=place[:, 0])
        place[:, 0] += way[:, 2] * (air.tailwind / air.level)
        place[:, 1] = way[:, 1]
        return cls(air, half, way, place, scale)

    def rows(self, which: np.ndarray) -> Path:
        """The chosen rows, for places only."""
        return Path(self.air.rows(which), self.half[which], None, self.place.take(which, axis=2, mode="clip"), self.scale[which])

    def end(self) -> np.ndarray:
        """Level way to the end [m]."""
        return self.place[:, 0].sum(axis=0) * self.scale

    def end_height(self) -> np.ndarray:
        """Height of the end above the start [m]."""
        return self.place[:, 1].sum(axis=0) * self.scale

    def tail(self) -> np.ndarray:
        """Size of the last coefficients in Chebyshev polynomials [m]: what is left out is about as large."""
        last, before = np.abs(self.place[-1]).max(axis=0), np.abs(self.place[-2]).max(axis=0)
        return (last + 0.5 * before) * self.scale * 0.5 ** (len(self.place) - 2)

    def at(self, sigma: np.ndarray) -> Moment:
        """The moment at σ."""
        air = self.air
        x, z = horner(self.place, sigma) * self.scale
        level, v_z, speed = air.moving(air.start - self.half * (1.0 + sigma))
        along, push = air.along * level if air.windy else level, air.drag * speed
        return Moment(x, z, along + air.tailwind, v_z, -push * along, -air.gravity - push * v_z, speed, level)

    def time(self, sigma: np.ndarray) -> np.ndarray:
        """Time [s] at σ."""
        return horner(self.way[:, 2], sigma) * (self.scale / self.air.level)

    def level(self, sigma: np.ndarray) -> np.ndarray:
        """Level way through the air [m] at σ."""
        return horner(self.way[:, 0], sigma) * self.scale

    def ahead(self, sigma: np.ndarray, now: Moment, dt: np.ndarray) -> np.ndarray:
        """σ a time `dt` [s] after the moment `now` at σ."""
        # dq/dt = −g/V
        rate = self.air.gravity / now.speed
        swift = self.air.drag * now.speed + rate * now.v_z / now.speed
        return sigma + rate * dt * (1.0 + 0.5 * swift * dt) / self.half
