"""Where two cones stand before a lip: as far apart as the speed hardly changes between them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.field.way import Way
from jumpcalc.plan.studies.field.window import Window
from jumpcalc.plan.terrain import prepare

__all__ = ["Cones", "cones_before", "last_place"]

_CHANGE = 0.05  # of the speed, within the cones
_STEP = 0.5  # m, to which cones are set
_LONGEST, _SHORTEST = 30.0, 1.0  # m
_CAMERA = 15.0  # m beside the cones, at least; and one and a half times their distance, so that both are in the picture
_BESIDE = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Cones:
    """Two cones: their distance, how far the second stands before the foot [m], by which share the speed changes between them.

    `camera` is how far beside them one stands to film [m].
    """

    length: float
    before_foot: float
    change: float
    camera: float


def last_place(way: Way) -> float:
    """How far before the foot the last thing is measured.

    Parameters
    ----------
    way : Way
        The ground.

    Returns
    -------
    float
        A wheelbase, on the next half metre [m].
    """
    return math.ceil(way.course.rig.wheelbase / _STEP - 1e-9) * _STEP


def cones_before(line: Line, way: Way, window: Window) -> Cones | None:
    """The cones furthest apart within which the speed changes by less than a twentieth.

    Parameters
    ----------
    line : Line
        As measured.
    way : Way
        Its ground before the first lip.
    window : Window
        Speeds at the foot.

    Returns
    -------
    Cones or None
        After the last pedal stroke; on ground so steep that no cones are like that, the two nearest; None where it is too short.
    """
    near, half = last_place(way), way.course.rig.wheelbase / 2
    room = min(way.room, _pedalled_to(line, way)) - half - near
    lengths = np.arange(min(math.floor(room / _STEP) * _STEP, _LONGEST), _SHORTEST - 1e-9, -_STEP)
    if not len(lengths):
        return None
    places = near + half + np.append(lengths, 0.0)[::-1]  # from the second cone up
    speeds = way.speeds(np.array([window.low, window.aim]), places)
    low, high = np.minimum.accumulate(speeds, axis=1), np.maximum.accumulate(speeds, axis=1)
    change = ((high - low) / speeds[:, :1])[:, :0:-1].T  # longest first, as the lengths are
    there = np.isfinite(change).all(axis=1) if not window.from_rest else np.isfinite(change[:, 1])
    fits = np.nonzero(there & (change[:, 1] < _CHANGE))[0]
    # on a steep run-in, where nothing is as steady as that, the nearest that can be told apart
    pick = fits[0] if len(fits) else next(iter(np.nonzero(there)[0][::-1]), None)
    if pick is None:
        return None
    length = float(lengths[pick])
    return Cones(
        length=length, before_foot=near, change=float(change[pick, 1]), camera=max(_CAMERA, math.ceil(_BESIDE * length))
    )


def _pedalled_to(line: Line, way: Way) -> float:
    """Ground before the foot on which nobody pedals any more [m]."""
    complete = prepare(line).line
    strokes, at = complete.run_in.strokes, complete.run_in.strokes_at
    if not strokes:
        return math.inf
    return (way.room if at is None else min(at, way.room)) - strokes * complete.bike.development
