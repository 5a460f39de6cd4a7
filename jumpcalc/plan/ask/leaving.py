"""How a jump is left at lip speeds: by whom, and whether the bike flies or rolls off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from jumpcalc.physics.body import Body, Departure, depart, joined
from jumpcalc.physics.departure import Leaving, Takeoff, Track
from jumpcalc.physics.departure_curve import DepartureCurve, left
from jumpcalc.physics.ground import GroundLine
from jumpcalc.plan.terrain import Prepared, Terrain

__all__ = ["CARRIED", "Style", "curve_of", "leave"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """A way to leave an edge: as the bike does by itself or as the textbook's point, and what the rider adds.

    `path` is ``"bike"`` or ``"point"``; `spring` [m/s] is added across the lip, up positive. Off a drop the point stands
    for a rider who carries the front in line with the approach.
    """

    path: str = "bike"
    spring: float = 0.0


CARRIED = Style(path="point")


@dataclass(frozen=True, slots=True)
class _Left:
    """An edge, the ground before it and the bike that leaves it: the same wherever its `numbers` are."""

    ground: GroundLine = field(compare=False)
    edge: float = field(compare=False)
    foot: float = field(compare=False)
    body: Body = field(compare=False)
    numbers: bytes

    @classmethod
    @lru_cache(maxsize=128)
    def of(cls, one: Prepared) -> _Left:
        """That of a jump."""
        (ground, edge, foot), body = one.terrain.approach, one.rig.bodies["bike"]
        arrays = (getattr(ground, name) for name in ("start", "x", "z", "slope", "curvature", "length"))
        entries = (getattr(body, name) for name in Body.__slots__)
        return cls(ground, edge, foot, body, np.concatenate([*arrays, [edge, foot, *entries]]).tobytes())


def curve_of(one: Prepared) -> DepartureCurve:
    """The simulated departure of the bike from a jump's edge, made once for all jumps with the same edge and bike.

    Parameters
    ----------
    one : Prepared
        The jump.

    Returns
    -------
    DepartureCurve
        For any lip speeds.
    """
    return _curve(_Left.of(one))


@lru_cache(maxsize=128)
def _curve(edge: _Left) -> DepartureCurve:
    return DepartureCurve(Takeoff(ground=edge.ground, edge=edge.edge, foot=edge.foot, body=edge.body))


def leave(
    one: Prepared, styles: Sequence[tuple[Style, int]], speed: np.ndarray, *, angle: np.ndarray, spring: np.ndarray
) -> tuple[Departure, np.ndarray]:
    """The start of the flight at lip speeds, and which of them do not fly.

    Parameters
    ----------
    one : Prepared
        The jump.
    styles : sequence of (Style, int)
        Who leaves it, one after the other with the number of rows that are theirs.
    speed : numpy.ndarray
        Lip speeds [m/s], shape (n,).
    angle : numpy.ndarray
        Lip angle [rad], shape (n,).
    spring : numpy.ndarray
        What the rider adds besides the style's own and, on the line's own path, `skill.spring_mean` [m/s], shape (n,).

    Returns
    -------
    departure : Departure
        n rows.
    rolls : numpy.ndarray
        Whether the bike stays on the lip, or comes down on the ground with its front wheel or its middle before the rear
        wheel has left: nothing is known of it but that it is short.
    """
    counts = [count for _, count in styles]
    own = [style.spring + (one.rig.spring_mean if style.path == one.rig.path else 0.0) for style, _ in styles]
    spring = spring + np.repeat(own, counts)
    point = np.repeat([style.path == "point" for style, _ in styles], counts)
    if point.all():
        return _point(one, speed, angle, spring)
    if not point.any():
        return _bike(one, speed, angle, spring)
    # all rows of a path at once, then back in their order
    shared = [(_point, np.nonzero(point)[0]), (_bike, np.nonzero(~point)[0])]
    parts = [who(one, speed[rows], angle[rows], spring[rows]) for who, rows in shared]
    back = np.argsort(np.concatenate([rows for _, rows in shared]))
    return joined([departure for departure, _ in parts]).rows(back), np.concatenate([rolls for _, rolls in parts])[back]


def _point(one: Prepared, speed: np.ndarray, angle: np.ndarray, spring: np.ndarray) -> tuple[Departure, np.ndarray]:
    """The textbook's point."""
    ground, body = one.terrain, one.rig.bodies["point"]
    return depart(body, speed, angle=angle, gap=ground.gap, fall=ground.fall, spring=spring), speed <= 0


def _bike(one: Prepared, speed: np.ndarray, angle: np.ndarray, spring: np.ndarray) -> tuple[Departure, np.ndarray]:
    """The bike, as it was simulated."""
    ground, curve, body = one.terrain, curve_of(one), one.rig.bodies["bike"]
    leaving = curve.leaving(speed)
    departure = left(body, leaving, slope=ground.angle, gap=ground.gap, fall=ground.fall, turn=angle - ground.angle, spring=spring)
    rolls = ~leaving.leaves
    # C' carries the front in a way that a fast bike never comes down before its rear has left: only doubtful rows are tracked
    doubtful = np.nonzero(leaving.leaves & _may_touch(ground, leaving))[0]
    if len(doubtful):
        rolls[doubtful] = _touches(ground, curve.track(speed[doubtful]))
    x, z = departure.wheels(departure.x, departure.z)
    with np.errstate(invalid="ignore"):
        rolls |= leaving.leaves & (z <= _height(ground, x) + 1e-12)
    return departure, rolls


def _height(ground: Terrain, x: np.ndarray) -> np.ndarray:
    """Height of the ground under places x [m], at most that of the knuckle's edge at the gap's very end."""
    known = np.where(np.isnan(x), 0.0, x)
    return ground.ground.height(known, ground.ground.piece_over(known))


def _may_touch(ground: Terrain, leaving: Leaving) -> np.ndarray:
    """Rows whose front contact, as the rear leaves, has come as far as the knuckle or down to any ground before it."""
    deep = ground.floor if ground.floor is not None else min(0.0, -ground.drop)
    with np.errstate(invalid="ignore"):
        return (leaving.front_z <= deep + 0.05) | (leaving.front_x >= ground.gap) | (ground.shape == "tabletop")


def _touches(ground: Terrain, track: Track) -> np.ndarray:
    """Whether the front contact meets the ground on the way from its passing the edge to the rear's leaving."""
    over = track.front_x > 1e-6
    return (over & (track.front_z <= _height(ground, track.front_x))).any(axis=1)
