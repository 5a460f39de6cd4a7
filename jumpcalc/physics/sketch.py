"""How the wheels hang below the flying point, and about where a path meets the ground.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
λ        drag constant times the mean speed against the air    1/s
f        height above a straight ground, f0 + f1 t − f2 t²     m
=======  ====================================================  =========
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jumpcalc.physics.body import Departure
from jumpcalc.physics.ground import GroundLine
from jumpcalc.physics.hodograph import Airflow, steepness

__all__ = ["SetDown", "rough_end"]

_FOLLOWED = 0.15  # m, to which the meeting is followed along the ground
_MOST_TURNS = 6
_AGAIN = 3
_LATER = 1.03  # than the place of the set-down, so that the path goes beyond it
_STEEPEST = 0.9  # of the flying point's way that the wheels may be moved back on it


@dataclass(frozen=True, slots=True, eq=False)
class SetDown:
    """How the wheels of n rows hang; every entry of shape (n,).

    Parameters
    ----------
    aside, below : numpy.ndarray
        Where their midpoint lies from the flying point once they are set down [m].
    x, z : numpy.ndarray
        Where it starts [m].
    x_set : numpy.ndarray
        Where it is when they are set down [m].
    turns : numpy.ndarray of bool
        Whether they are set down on the way, rather than from the start.
    bend : numpy.ndarray
        How much at most that bends the midpoint's way up against the flying point's [1/m]: h a'² + 2 |h' a'|.
    plain : numpy.ndarray of bool
        Whether the midpoint goes forward all the while.
    """

    aside: np.ndarray
    below: np.ndarray
    x: np.ndarray
    z: np.ndarray
    x_set: np.ndarray
    turns: np.ndarray
    bend: np.ndarray
    plain: np.ndarray

    @classmethod
    def of(cls, leaving: Departure) -> SetDown:
        """The set-down of a departure."""
        room = leaving.x_set - leaving.x
        high = np.maximum(leaving.height, leaving.set_height)
        if not high.any():
            still, never = np.broadcast_to(0.0, high.shape), np.broadcast_to(False, high.shape)
            return cls(still, still, leaving.x, leaving.z, leaving.x_set, never, still, np.isfinite(room))
        turns = (room > 0) & (high > 0)
        aside, below = leaving.set_height * np.sin(leaving.set_attitude), leaving.set_height * np.cos(leaving.set_attitude)
        x = leaving.x + np.where(turns, leaving.height * np.sin(leaving.attitude), aside)
        z = leaving.z - np.where(turns, leaving.height * np.cos(leaving.attitude), below)
        turn = np.abs(leaving.set_attitude - leaving.attitude) / room
        stretch = np.abs(leaving.set_height - leaving.height) / room
        way = high * turn
        plain = ~turns | (way + stretch < _STEEPEST)
        return cls(aside, below, x, z, leaving.x_set + aside, turns, np.where(turns, (way + 2 * stretch) * turn, 0.0), plain)

    def rows(self, which: np.ndarray) -> SetDown:
        """The chosen rows."""
        return SetDown(*(getattr(self, name)[which] for name in self.__slots__))


@dataclass(frozen=True, slots=True, eq=False)
class _Throw:
    """Parabolas with drag to first order: start [m], velocity and level speed against the air [m/s], λ [1/s], g [m/s²]."""

    x: np.ndarray
    z: np.ndarray
    v_x: np.ndarray
    v_z: np.ndarray
    against: np.ndarray
    slowing: np.ndarray
    gravity: float

    def rows(self, which: np.ndarray, slowing: np.ndarray) -> _Throw:
        """The chosen rows, with λ anew."""
        return _Throw(*(getattr(self, name)[which] for name in self.__slots__[:5]), slowing, self.gravity)

    def meet(
        self, ground: GroundLine, x: np.ndarray, t: np.ndarray | float, row: np.ndarray | None = None
    ) -> tuple[np.ndarray, np.ndarray]:
        """Time [s] and place x [m] where the tangent of the ground at `x` is met, about the time `t`."""
        height, slope, _ = ground.pieces(ground.piece_over(x, row), row).shape(x)
        f0 = self.z - height - slope * (self.x - x)
        f1 = self.v_z - slope * self.v_x
        f2 = 0.5 * self.gravity + self.slowing * (0.5 * (self.v_z - slope * self.against) - (self.gravity / 6) * t)
        t = (f1 + np.sqrt(np.maximum(f1 * f1 + 4.0 * f2 * f0, 0.0))) / (2.0 * f2)
        return t, self.x + t * (self.v_x - 0.5 * self.slowing * self.against * t)


def rough_end(air: Airflow, leaving: Departure, down: SetDown, ground: GroundLine) -> np.ndarray:
    """Steepness about where the wheels meet the ground, or where they are set down if that is later.

    Parameters
    ----------
    air : Airflow
        The starts of n rows.
    leaving : Departure
        Place and velocity of the same rows.
    down : SetDown
        Their set-down.
    ground : GroundLine
        Ground of all rows, or of each its own.

    Returns
    -------
    numpy.ndarray
        q, shape (n,).
    """
    gravity, v_z = air.gravity, leaving.v_z
    against = leaving.v_x - air.tailwind if air.windy else leaving.v_x
    throw = _Throw(
        leaving.x + down.aside, leaving.z - down.below, leaving.v_x, v_z, against, air.drag * air.level, gravity
    )
    furthest = np.maximum(down.x_set, down.x)
    t, x = throw.meet(ground, furthest, 0.0)
    level, up = air.level * (1.0 - 0.5 * throw.slowing * t), v_z - 0.5 * gravity * t
    slowing = air.drag * np.sqrt(level * level + up * up)
    throw = _Throw(throw.x, throw.z, throw.v_x, v_z, against, slowing, gravity)
    before = x
    t, x = throw.meet(ground, np.maximum(x, furthest), t)
    for _ in range(_MOST_TURNS):
        off = np.nonzero(np.abs(x - before) > _FOLLOWED)[0]
        if not len(off):
            break
        before = x.copy()
        t[off], x[off] = throw.rows(off, slowing[off]).meet(ground, np.maximum(x[off], furthest[off]), t[off], off)
    early = np.nonzero((x < down.x_set) & (leaving.x < leaving.x_set))[0]
    if len(early):
        way, v_x, lost = (leaving.x_set - leaving.x)[early], leaving.v_x[early], against[early]
        some, upward, damping = air.rows(early), v_z[early], slowing[early]
        for _ in range(_AGAIN):
            late = 2 * way / (v_x + np.sqrt(np.maximum(v_x * v_x - 2 * damping * lost * way, 0.0)))
            damping = some.drag * np.hypot(some.level * (1.0 - 0.5 * damping * late), upward - 0.5 * gravity * late)
        t[early], slowing[early] = _LATER * late, damping
    slow = slowing * t
    return steepness((v_z - t * (slowing * v_z + gravity * (1.0 - 0.5 * slow))) / (air.level * (1.0 - slow + 0.5 * slow * slow)))
