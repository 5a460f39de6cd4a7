"""The landings around the one at the aim: slower and faster, squashed and sprung, in gusts and side winds; all flown in one call."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

from jumpcalc.plan import limits
from jumpcalc.plan.answer import Sensitivity, Speeds
from jumpcalc.plan.ask.landings import Landings, land
from jumpcalc.plan.ask.leaving import CARRIED, Style
from jumpcalc.plan.ask.lip import climb
from jumpcalc.plan.terrain import Prepared

__all__ = ["SIDE_WINDS", "Around", "around", "gust_of"]

SIDE_WINDS = np.linspace(0.0, limits.SIDE_WIND.value, 51)
"""Winds across the course that are looked at [m/s]."""

_SMALL = 1e-3  # m/s and rad, half the interval of the derivatives
_SHARES = 0.9, 0.95, 1.05, 1.1  # of the aim


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Around:
    """Landings around the aim.

    Parameters
    ----------
    window : Landings
        At the slowest, the aimed and the fastest clean speed.
    mistakes : Landings
        At 0.9, 0.95, 1.05 and 1.1 times the aim.
    moved : Landings
        At the aim but for a little less and more speed, lip angle and wind, two rows each.
    sprung : Landings
        At the aim, squashed and sprung.
    gusts : Landings
        At the aim, in a gust from ahead and from behind.
    sideways : Landings
        At the aim, in each of `SIDE_WINDS`.
    carried : Landings
        The textbook's point from the same speed at the foot; no row where the path is the point's, or it does not get to the edge.
    """

    window: Landings
    mistakes: Landings
    moved: Landings
    sprung: Landings
    gusts: Landings
    sideways: Landings
    carried: Landings

    def sensitivity(self) -> Sensitivity:
        """What a mistake does."""
        x = self.moved.x
        per_speed, per_angle, per_wind = (float(x[i + 1] - x[i]) / (2 * _SMALL) for i in (0, 2, 4))
        slow_10, slow_5, fast_5, fast_10 = (self.mistakes.result(row) for row in range(4))
        return Sensitivity(
            per_speed=per_speed,
            per_angle=per_angle,
            per_wind=per_wind,
            slow_10=slow_10,
            slow_5=slow_5,
            fast_5=fast_5,
            fast_10=fast_10,
        )

    def rider_moves(self) -> tuple[float, float]:
        """How much shorter the aim lands squashed and how much further sprung [m, level]."""
        aim, (short, long) = float(self.window.x[1]), (float(x) for x in self.sprung.x)
        return aim - short, long - aim

    def point_lands_longer(self) -> float | None:
        """How much further the textbook's point lands from the same speed at the foot [m, level]; None where that is not known."""
        reached = len(self.carried.x) and self.carried.reached[0]
        return float(self.carried.x[0] - self.window.x[1]) if reached else None


def gust_of(one: Prepared) -> float:
    """The gust that a jump has to bear in the flight.

    Parameters
    ----------
    one : Prepared
        The jump.

    Returns
    -------
    float
        Wind along the course, besides the day's [m/s].
    """
    wind = one.conditions
    return max(limits.GUST.value, limits.GUST_SHARE.value * math.hypot(wind.tailwind, wind.crosswind))


def around(one: Prepared, speeds: Speeds, foot: Speeds) -> Around:
    """The landings around the aim.

    Parameters
    ----------
    one : Prepared
        The jump.
    speeds, foot : Speeds
        Its window at the edge and at the foot [m/s].

    Returns
    -------
    Around
        Each with its highest place.
    """
    aim, wind, gust = speeds.aim, one.conditions, gust_of(one)
    carried = np.empty(0)
    if one.rig.path != "point":
        edge, _ = climb(one, np.array([foot.aim]), one.roller(wind.lip_rolling, 0.0))
        carried = edge[np.isfinite(edge)]
    usual = {"angle": one.terrain.angle, "spring": 0.0, "tailwind": wind.tailwind, "crosswind": wind.crosswind}
    small, still = np.array([-_SMALL, _SMALL]), np.zeros(2)
    # of each part of `Around`: lip speeds, and what is other than usual
    parts: dict[str, tuple[np.ndarray, dict[str, np.ndarray]]] = {
        "window": (np.array([speeds.min, aim, speeds.max]), {}),
        "mistakes": (aim * np.array(_SHARES), {}),
        "moved": (
            aim + np.concatenate([small, still, still]),
            {
                "angle": one.terrain.angle + np.concatenate([still, small, still]),
                "tailwind": wind.tailwind + np.concatenate([still, still, small]),
            },
        ),
        "sprung": (np.full(2, aim), {"spring": np.array([-one.rig.squash, one.rig.spring])}),
        "gusts": (np.full(2, aim), {"tailwind": wind.tailwind + np.array([-gust, gust])}),
        "sideways": (np.full(len(SIDE_WINDS), aim), {"crosswind": SIDE_WINDS}),
        "carried": (carried, {}),
    }
    counts = [len(lips) for lips, _ in parts.values()]
    rows = {
        name: np.concatenate([other.get(name, np.full(len(lips), value)) for lips, other in parts.values()])
        for name, value in usual.items()
    }
    landed = land(
        one,
        np.concatenate([lips for lips, _ in parts.values()]),
        style=[(Style(path=one.rig.path), sum(counts) - len(carried)), (CARRIED, len(carried))],
        **rows,
    )
    starts = [0, *itertools.accumulate(counts)]
    return Around(**{name: landed.rows(slice(*some)) for name, some in zip(parts, itertools.pairwise(starts), strict=True)})
