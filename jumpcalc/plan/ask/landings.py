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
from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.physics import impact
from jumpcalc.physics.body import Departure
from jumpcalc.physics.flight import touchdown
from jumpcalc.physics.hodograph import Flight, fly
from jumpcalc.plan.answer import LandingResult
from jumpcalc.plan.ask.leaving import Style, leave
from jumpcalc.plan.outcome import Outcome, numbers
from jumpcalc.plan.terrain import Prepared
from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["EXACT", "Landings", "flown", "land", "land_each", "set_down"]

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
        wanted = np.zeros(len(_ALL), dtype=bool)
        wanted[numbers(*outcomes)] = True
        return wanted[self._outcome]

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
            x=known(self.x[row], flown),
            z=known(self.z[row], flown),
            along_face=known(self.along[row], self.surface[row] not in ("deck", "floor", "wall", "edge")),
            flight=known(self.time[row], flown),
            apex=known(self.apex[row], flown),
            speed=known(np.sqrt(self.v_x[row] ** 2 + self.v_y[row] ** 2 + self.v_z[row] ** 2), flown),
            descent=known(-np.arctan2(self.v_z[row], self.v_x[row]), flown),
            into_ground=known(self.into[row], not wall and flown),
            along_ground=known(self.onward[row], not wall and flown),
            equivalent_fall=known(self.fall_height[row], flown),
            side_drift=known(self.drift[row], flown),
        )


def land(
    course: Prepared,
    speed: np.ndarray,
    *,
    style: Style | Sequence[tuple[Style, int]] | None = None,
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
    style : Style or sequence of (Style, int), optional
        Who leaves the edge: one for all rows, or one after the other with the number of rows that are theirs; the
        rider of the jump's path, without a spring, when not given.
    angle : array_like, optional
        Lip angle [rad] instead of the course's.
    spring : array_like
        What the rider adds across the lip besides [m/s], up positive.
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
    angle = np.broadcast_to(course.terrain.angle if angle is None else angle, speed.shape)
    spring = np.broadcast_to(np.asarray(spring, dtype=float), speed.shape)
    if style is None:
        style = Style(path=course.rig.path)
    styles = [(style, len(speed))] if isinstance(style, Style) else style
    leaving, rolls = leave(course, styles, speed, angle=angle, spring=spring)
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
    knuckle = face & (along <= EXACT)
    short = terrain.is_part(piece, "deck", "floor") | touch.wall | knuckle
    outcome = np.where(lost, _UNKNOWN, np.where(short, _SHORT, np.where(face, _by_distance(course, along), _LONG)))
    outcome = np.where(rolls, _SHORT, outcome)
    names = np.array([*terrain.ground.names, "edge", "wall", "knuckle", "unknown"])
    edge, wall, solid = range(len(terrain.ground.names), len(names) - 1)
    surface = names[np.where(rolls, edge, np.where(touch.wall, wall, np.where(knuckle, solid, piece)))]
    fall = -terrain.ground.slope_over(touch.x, piece)
    into = impact.into_ground(touch.v_x, touch.v_z, fall=fall)
    solid = touch.wall | knuckle
    height = np.where(solid, np.nan, impact.equivalent_fall(into))
    return Landings(
        speed,
        outcome,
        surface=surface,
        x=np.where(rolls, 0.0, touch.x),
        z=np.where(rolls, 0.0, touch.z),
        along=np.where(rolls, -terrain.gap, along),
        time=np.where(rolls, 0.0, touch.time),
        apex=np.where(rolls, 0.0, touch.apex),
        v_x=np.where(rolls, speed * np.cos(angle), touch.v_x),
        v_y=np.where(rolls, 0.0, touch.v_y),
        v_z=np.where(rolls, speed * np.sin(angle), touch.v_z),
        into=np.where(rolls, np.nan, into),
        onward=np.where(rolls, np.nan, impact.along_ground(touch.v_x, touch.v_z, fall=fall)),
        fall_height=np.where(rolls, np.nan, height),
        drift=np.where(rolls, 0.0, touch.y),
    )


def _by_distance(course: Prepared, along: np.ndarray) -> np.ndarray:
    """What becomes of bikes whose middle comes down beyond the knuckle, by how far beyond [m]."""
    half, face = course.rig.wheelbase / 2, course.terrain.face
    beyond = np.where(along <= face - half + EXACT, _CLEAN, np.where(along <= face + EXACT, _FRONT, _LONG))
    return np.where(along < half - EXACT, _REAR, beyond)


def set_down(course: Prepared, landed: Landings, pitch: np.ndarray) -> Landings:
    """The same landings with the bikes turned nose-up or nose-down of the ground as they touch.

    Parameters
    ----------
    course : Prepared
        The jump.
    landed : Landings
        With both wheels at once, n rows.
    pitch : numpy.ndarray
        How far the nose is up of the ground under it [rad], shape (n,).

    Returns
    -------
    Landings
        `along` is half a wheelbase past where the rear wheel comes down, or before the front wheel where that comes down first;
        the outcome goes by it. Where the bike came down before the face, nothing changes; place, time and hit are those of both
        wheels at once.

    Notes
    -----
    The bike turns about its centre of mass, which flies on: n is its height over the ground, which falls at φ there,
    h_l with both wheels at once, h_l cosε + (w/2) sin|ε| as the first of them touches. That is earlier by t, with
    n − h_l = v_n t − ½ g cosφ t²; so d moves by −v_t t + h_l sinε ± (w/2)(1 − cosε). A path that never was so high touched
    about where it was highest.
    """
    rig, pitch = course.rig, np.broadcast_to(np.asarray(pitch, dtype=float), landed.speed.shape)
    if rig.path == "point" or not np.any(pitch):
        return landed
    height, half = float(course.body.landing_height), rig.wheelbase / 2
    higher = height * (np.cos(pitch) - 1) + half * np.abs(np.sin(pitch))
    turn = height * np.sin(pitch) + np.sign(pitch) * half * (1 - np.cos(pitch))
    known = landed.reached & np.isfinite(landed.into)
    into, onward = np.where(known, landed.into, 1.0), np.where(known, landed.onward, 0.0)
    # gravity's part across the ground, whose fall lies between the two parts of the velocity
    pull = STANDARD_GRAVITY * np.cos(np.arctan2(-landed.v_z, landed.v_x) - np.arctan2(into, onward))
    root = np.sqrt(np.maximum(into * into - 2 * pull * higher, 0.0))
    along = np.where(known, landed.along - onward * (into - root) / pull + turn, landed.along)
    outcome = np.where(known, np.where(along <= EXACT, _SHORT, _by_distance(course, along)), landed._outcome)
    return replace(landed, along=along, _outcome=outcome)


def land_each(course: Prepared, groups: Sequence[tuple[Style, np.ndarray]]) -> list[Landings]:
    """Landings of several ways to leave the edge, each with its speeds, in one call.

    Parameters
    ----------
    course : Prepared
        The jump.
    groups : sequence of (Style, numpy.ndarray)
        Who leaves it, and the lip speeds [m/s], shape (n,).

    Returns
    -------
    list of Landings
        One for each group; without the highest places.
    """
    counts = [len(speeds) for _, speeds in groups]
    if not sum(counts):
        return []
    speeds = np.concatenate([speeds for _, speeds in groups])
    all_rows = land(course, speeds, style=[(style, n) for (style, _), n in zip(groups, counts, strict=True)], apex=False)
    starts = np.concatenate([[0], np.cumsum(counts)])
    return [all_rows.rows(slice(a, b)) for a, b in itertools.pairwise(starts)]


def flown(one: Prepared, landings: Sequence[LandingResult], *, share: float = 1.0) -> tuple[Departure, Flight]:
    """The flights of landings on a jump, until the last of them touches down or beyond.

    Parameters
    ----------
    one : Prepared
        The jump.
    landings : sequence of LandingResult
        Touchdowns that flew.
    share : float
        How long to fly, of the time to the last touchdown.

    Returns
    -------
    departure : Departure
        One row for each.
    flight : Flight
        The same rows.
    """
    speed = np.array([landing.lip_speed for landing in landings])
    styles = [(Style(path=one.rig.path), len(speed))]
    leaving, _ = leave(one, styles, speed, angle=np.full(speed.shape, one.terrain.angle), spring=np.zeros(speed.shape))
    return leaving, fly(
        leaving.v_x,
        leaving.v_z,
        drag=one.conditions.drag,
        tailwind=one.conditions.tailwind,
        crosswind=one.conditions.crosswind,
        x=leaving.x,
        z=leaving.z,
        duration=share * max(landing.flight for landing in landings),
    )
