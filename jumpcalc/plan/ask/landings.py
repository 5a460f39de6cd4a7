"""Where lip speeds land.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
d        distance along the face from the knuckle              m
w        wheelbase                                             m
=======  ====================================================  =========
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jumpcalc.physics import impact
from jumpcalc.physics.body import Body, depart, roll_off_speed
from jumpcalc.physics.flight import touchdown
from jumpcalc.plan.answer import LandingResult
from jumpcalc.plan.outcome import Outcome, numbers
from jumpcalc.plan.terrain import Prepared

__all__ = ["EXACT", "Landings", "land", "land_each"]

EXACT = 1e-9
"""Tolerance of the outcomes [m]."""

_ALL = tuple(Outcome)
_SHORT, _REAR, _CLEAN, _FRONT, _LONG, _UNKNOWN = numbers(*_ALL)


@dataclass(frozen=True, slots=True, eq=False)
class Landings:
    """Touchdowns of n lip speeds; arrays of shape (n,).

    `along` is d [m] along face and ground from the knuckle, negative before it; `fall_height` is NaN
    where it does not describe the hit. Outcomes are asked for by name: `is_`, `reached`, `on_face`.
    """

    speed: np.ndarray
    _outcome: np.ndarray
    surface: np.ndarray
    x: np.ndarray
    z: np.ndarray
    along: np.ndarray
    time: np.ndarray
    apex: np.ndarray
    v_x: np.ndarray
    v_y: np.ndarray
    v_z: np.ndarray
    into: np.ndarray
    onward: np.ndarray
    fall_height: np.ndarray
    drift: np.ndarray

    def is_(self, *outcomes: Outcome) -> np.ndarray:
        """Whether each row is one of these outcomes."""
        return np.isin(self._outcome, numbers(*outcomes))

    @property
    def reached(self) -> np.ndarray:
        """Whether each row came down on the face or beyond it."""
        return (self._outcome != _SHORT) & (self._outcome != _UNKNOWN)

    @property
    def on_face(self) -> np.ndarray:
        """Whether the middle of the bike came down on the face."""
        return self.reached & (self._outcome != _LONG)

    @property
    def outcomes(self) -> tuple[Outcome, ...]:
        """The outcome of each row."""
        return tuple(_ALL[number] for number in self._outcome)

    def rows(self, which: slice) -> Landings:
        """The chosen rows."""
        return Landings(*(getattr(self, name)[which] for name in self.__slots__))

    def result(self, row: int) -> LandingResult:
        """One row as it is shown."""
        wall = bool(np.isnan(self.fall_height[row]))
        flown = self.surface[row] != "edge"

        def known(value: float, there: bool) -> float | None:
            return float(value) if there and np.isfinite(value) else None

        return LandingResult(
            lip_speed=float(self.speed[row]),
            outcome=_ALL[self._outcome[row]],
            surface=str(self.surface[row]),
            x=float(self.x[row]),
            z=float(self.z[row]),
            along_face=known(self.along[row], self.surface[row] not in ("deck", "floor", "wall", "edge")),
            flight=float(self.time[row]),
            apex=float(self.apex[row]),
            speed=float(np.sqrt(self.v_x[row] ** 2 + self.v_y[row] ** 2 + self.v_z[row] ** 2)),
            descent=float(-np.arctan2(self.v_z[row], self.v_x[row])),
            into_ground=known(self.into[row], not wall and flown),
            along_ground=known(self.onward[row], not wall and flown),
            equivalent_fall=known(self.fall_height[row], flown),
            side_drift=float(self.drift[row]),
        )


def land(
    course: Prepared,
    speed: np.ndarray,
    *,
    body: Body | None = None,
    angle: np.ndarray | None = None,
    spring: np.ndarray = 0.0,
    drag: np.ndarray | None = None,
    tailwind: np.ndarray | None = None,
    crosswind: np.ndarray | None = None,
    apex: bool = True,
) -> Landings:
    """Touchdowns of lip speeds on a jump.

    Parameters
    ----------
    course : Prepared
        The jump.
    speed : array_like
        Lip speeds [m/s], more than 0, shape (n,).
    body : Body, optional
        The flying body; the one of the course's path when not given.
    angle : array_like, optional
        Lip angle [rad] instead of the course's.
    spring : array_like
        What the rider adds across the lip [m/s], up positive.
    drag : array_like, optional
        Drag constant [1/m] instead of the course's.
    tailwind, crosswind : array_like, optional
        Wind along the course and to the left of it [m/s] instead of the course's.
    apex : bool
        Whether the highest place of each path is wanted; NaN where not.

    Returns
    -------
    Landings
        n rows.

    Notes
    -----
    Outcomes: short before the face or on the knuckle's edge; rear short 0 < d < w/2; clean
    w/2 ≤ d ≤ length − w/2; front long up to d = length; long beyond; unknown where a row could not be worked
    out. A hit on a wall or on the
    knuckle's edge is one on a fixed object: no fall height describes it. A bike too slow to fly rolls
    off the edge: short.
    """
    speed = np.atleast_1d(np.asarray(speed, dtype=float))
    body = course.body if body is None else body
    angle = np.broadcast_to(course.terrain.angle if angle is None else angle, speed.shape)
    leaving = depart(body, speed, angle=angle, gap=course.terrain.gap, fall=course.terrain.fall, spring=spring)
    touch = touchdown(
        leaving,
        course.terrain.ground,
        drag=course.conditions.drag if drag is None else drag,
        tailwind=course.conditions.tailwind if tailwind is None else tailwind,
        crosswind=course.conditions.crosswind if crosswind is None else crosswind,
        apex=apex,
    )
    terrain, piece = course.terrain, touch.piece
    lost = piece < 0
    along = terrain.ground.distance_over(touch.x, piece)
    face = terrain.is_part(piece, "face") & ~touch.wall
    along = np.where(touch.wall, 0.0, along)
    half = course.rig.wheelbase / 2
    knuckle = face & (along <= EXACT)
    # a point that is flown off a drop stands for a bike, and that one rolls off
    rolls = speed <= roll_off_speed(course.rolling_body if terrain.shape == "drop" else body, angle=angle)
    outcome = np.select(
        [
            rolls,
            lost,
            terrain.is_part(piece, "deck", "floor") | touch.wall | knuckle,
            face & (along < half - EXACT),
            face & (along <= terrain.face - half + EXACT),
            face,
        ],
        [_SHORT, _UNKNOWN, _SHORT, _REAR, _CLEAN, _FRONT],
        default=_LONG,
    )
    names = np.array([*terrain.ground.names, "unknown"])
    surface = np.select([rolls, touch.wall, knuckle], ["edge", "wall", "knuckle"], default=names[piece])
    fall = -terrain.ground.slope_over(touch.x, piece)
    into = impact.into_ground(touch.v_x, touch.v_z, fall=fall)
    solid = touch.wall | knuckle
    height = np.where(solid, np.nan, impact.equivalent_fall(into))
    still = np.where(rolls, 0.0, 1.0)
    return Landings(
        speed,
        outcome,
        surface=surface,
        x=touch.x * still,
        z=touch.z * still,
        along=np.where(rolls, -terrain.gap, along),
        time=touch.time * still,
        apex=touch.apex * still,
        v_x=np.where(rolls, speed * np.cos(angle), touch.v_x),
        v_y=touch.v_y * still,
        v_z=np.where(rolls, speed * np.sin(angle), touch.v_z),
        into=np.where(rolls, np.nan, into),
        onward=np.where(rolls, np.nan, impact.along_ground(touch.v_x, touch.v_z, fall=fall)),
        fall_height=np.where(rolls, np.nan, height),
        drift=touch.y * still,
    )


def land_each(course: Prepared, groups: Sequence[tuple[Body, np.ndarray]]) -> list[Landings]:
    """Landings of several bodies, each with its speeds, in one call.

    Parameters
    ----------
    course : Prepared
        The jump.
    groups : sequence of (Body, numpy.ndarray)
        What flies, and its lip speeds [m/s], shape (n,).

    Returns
    -------
    list of Landings
        One for each group; without the highest places.
    """
    counts = [len(speeds) for _, speeds in groups]
    if not sum(counts):
        return []
    all_rows = land(
        course,
        np.concatenate([speeds for _, speeds in groups]),
        body=Body.rows([body for body, _ in groups], counts),
        apex=False,
    )
    starts = np.concatenate([[0], np.cumsum(counts)])
    return [all_rows.rows(slice(a, b)) for a, b in itertools.pairwise(starts)]
