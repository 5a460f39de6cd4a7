"""The landing as ground to point at: where on it a rear wheel touched, and what a pointed place stands for.

Places are counted from the lip edge, x forward and z up; distances along the ground from the knuckle.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.ask.inverse import Place, along_at, rear_level, rear_place
from jumpcalc.plan.terrain import Prepared, prepare
from jumpcalc.plan.views.side import Stretch, ground_seen

__all__ = ["PickView", "Tick", "pick_view", "place_at"]

_WALL_REACH = 0.4  # m, how far beside the near wall a finger may be
_WALL_DEPTH = 0.15  # m below the knuckle from which a finger means the wall


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A whole distance along the ground from the knuckle [m], negative before it, and its place [m]."""

    along: float
    x: float
    z: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PickView:
    """Lip, gap and landing with distances from the knuckle.

    `here` is where the rear wheel is said to have touched, None where that is not known yet; `aim` where
    it touches at the aim, None where no speed lands clean.
    """

    ground: tuple[Stretch, ...]
    ticks: tuple[Tick, ...]
    here: tuple[float, float] | None
    aim: tuple[float, float] | None


def pick_view(answer: Answer, index: int, place: Place | None, *, step: float = 1.0) -> PickView:
    """The landing of a jump as ground to point at.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    index : int
        Which jump, from 0.
    place : Place or None
        Where the rear wheel is said to have touched.
    step : float
        Distance between the ticks [m].

    Returns
    -------
    PickView
        Ticks from a step before the knuckle to the end of the face.
    """
    one, jump = prepare(answer.line).jumps[index], answer.jumps[index]
    along = np.arange(-1, math.floor(one.terrain.face / step + 1e-9) + 1) * step
    ticks = [
        Tick(along=float(s), x=x, z=z) for s in along for x, z in [_on_ground(one, Place(along=float(s)))] if x > 0
    ]
    return PickView(
        ground=ground_seen(answer.complete, one, index),
        ticks=tuple(ticks),
        here=None if place is None else _on_ground(one, place),
        aim=_on_ground(one, rear_place(one, jump.landings[1])) if jump.landings else None,
    )


def place_at(answer: Answer, index: int, x: float, z: float) -> Place:
    """What a place that somebody points at stands for.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    index : int
        Which jump, from 0.
    x, z : float
        The place [m].

    Returns
    -------
    Place
        The near wall for a place beside it and below the knuckle; else the ground above or below the
        place, not farther back than the lip edge.
    """
    one = prepare(answer.line).jumps[index]
    gap, knuckle = one.terrain.gap, -one.terrain.drop
    if one.terrain.shape == "gap" and gap - _WALL_REACH < x < gap + 0.1 and z < knuckle - _WALL_DEPTH:
        return Place(wall=True)
    return Place(along=along_at(one, max(x, 0.0)))


def _on_ground(one: Prepared, place: Place) -> tuple[float, float]:
    """Where a place lies [m]; half way down to the floor for the wall, level with the knuckle over a gap."""
    if place.wall:
        return one.terrain.gap, 0.5 * (-one.terrain.drop + one.terrain.floor)
    level = rear_level(one, place)
    if level < one.terrain.gap and one.terrain.shape != "tabletop":
        return level, -one.terrain.drop
    x, z = one.terrain.ground.point(np.array([along_at(one, level)]))
    return float(x[0]), float(z[0])
