"""Up a lip and back down it: the speeds at its foot and at its edge that belong together."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from jumpcalc.physics.roller import Roller
from jumpcalc.physics.rolling import Track, roll
from jumpcalc.plan.terrain import Prepared
from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["STANDSTILL", "climb", "descend", "foot_speeds", "slowest_edge"]

STANDSTILL = 0.01  # m/s, before the lip: so slow that a bike is taken to start from rest there


def climb(
    course: Prepared, foot_speed: np.ndarray, roller: Roller, *, track: bool = False
) -> tuple[np.ndarray, Track]:
    """Speed at the edge for speeds at the foot, and the way there.

    Parameters
    ----------
    course : Prepared
        The jump.
    foot_speed : numpy.ndarray
        Speeds at the foot [m/s], shape (n,).
    roller : Roller
        What rolls.
    track : bool
        Whether the way there is kept.

    Returns
    -------
    edge : numpy.ndarray
        Speeds at the edge [m/s], NaN where the rider halts; those at the foot for a drop.
    track : Track
        The way there.
    """
    terrain = course.terrain
    if terrain.lip is None:
        return foot_speed, roll(terrain.ground, 0.0, foot_speed, roller, end=0.0, track=track)
    up = roll(terrain.lip, -1e-9, foot_speed, replace(roller, tilt=0.0), end=terrain.lip.end, track=track)
    return np.where(up.reached, up.speed, np.nan), up


def descend(course: Prepared, lip_speed: np.ndarray, roller: Roller) -> np.ndarray:
    """Speed at the foot that becomes a speed at the edge.

    Parameters
    ----------
    course : Prepared
        The jump.
    lip_speed : numpy.ndarray
        Speeds at the edge [m/s], shape (n,).
    roller : Roller
        What rolls.

    Returns
    -------
    numpy.ndarray
        Speeds at the foot [m/s]; those at the edge for a drop.
    """
    if course.terrain.lip is None:
        return lip_speed
    return roll(course.terrain.lip, course.terrain.lip.end, lip_speed, replace(roller, tilt=0.0), end=-1e-9, back=True).speed


def foot_speeds(one: Prepared, lip_speeds: Sequence[float], *, heights: Sequence[float] | float) -> np.ndarray:
    """Speeds at the foot of the lip that become these at its edge.

    Parameters
    ----------
    one : Prepared
        The jump.
    lip_speeds : sequence of float
        Speeds of the centre of mass at the edge [m/s], shape (n,).
    heights : float or sequence of float
        Height of the centre of mass above the wheel line [m], 0 for a point; one or shape (n,).

    Returns
    -------
    numpy.ndarray
        Speeds of the centre of mass at the foot [m/s], shape (n,); those at the edge for a drop.
    """
    speeds = np.asarray(lip_speeds, dtype=float)
    return descend(one, speeds, one.roller(one.conditions.lip_rolling, np.asarray(heights, dtype=float)))


def slowest_edge(one: Prepared, *, heights: Sequence[float] | float) -> np.ndarray:
    """The slowest lip speeds that can be had: of a lip whose edge lies so much lower than its foot that a bike rolls there, more than 0.

    Parameters
    ----------
    one : Prepared
        The jump.
    heights : float or sequence of float
        Height of the centre of mass above the wheel line [m], 0 for a point; one or shape (n,).

    Returns
    -------
    numpy.ndarray
        Lip speeds [m/s] of bikes that come to the foot at no more than `STANDSTILL`, shape (n,); 0 where those halt on the lip.
    """
    heights = np.atleast_1d(np.asarray(heights, dtype=float))
    if one.terrain.lip is None:
        return np.zeros(heights.shape)
    lip, wind = one.terrain.lip, one.conditions
    lower = one.terrain.foot_z + heights * (math.cos(lip.slope_at(np.array(0.0))) - math.cos(one.terrain.angle))
    push = wind.drag * max(wind.tailwind, 0.0) * math.hypot(wind.tailwind, wind.crosswind)
    # neither its height nor the wind at its back takes it to the edge, which would take long to find by rolling
    found = np.zeros(heights.shape)
    may = STANDARD_GRAVITY * lower + push * lip.end + STANDSTILL**2 > 0
    if may.any():
        # a lip turns up all the way, so that a bike that rolls off at its foot and reaches the edge is faster there than one that halts
        edge, _ = climb(one, np.full(int(may.sum()), STANDSTILL), one.roller(wind.lip_rolling, heights[may]))
        found[may] = np.nan_to_num(edge)
    return found
