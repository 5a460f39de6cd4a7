"""The landings around the one at the aim: slower and faster, squashed and sprung, in gusts and side winds; all flown in one call."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
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
    own = [
        np.array([speeds.min, aim, speeds.max]),
        aim * np.array(_SHARES),
        aim + np.array([-_SMALL, _SMALL, 0, 0, 0, 0]),
        np.full(2 + 2 + len(SIDE_WINDS), aim),
    ]
    rows = sum(len(some) for some in own) + len(carried)
    angle, spring, tailwind, crosswind = (
        np.full(rows, value) for value in (one.terrain.angle, 0.0, wind.tailwind, wind.crosswind)
    )
    angle[9:11] += (-_SMALL, _SMALL)
    tailwind[11:13] += (-_SMALL, _SMALL)
    spring[13:15] = -one.rig.squash, one.rig.spring
    tailwind[15:17] += (-gust, gust)
    crosswind[17 : 17 + len(SIDE_WINDS)] = SIDE_WINDS
    landed = land(
        one,
        np.concatenate([*own, carried]),
        style=[(Style(path=one.rig.path), rows - len(carried)), (CARRIED, len(carried))],
        angle=angle,
        spring=spring,
        tailwind=tailwind,
        crosswind=crosswind,
    )
    return Around(**_shared_out(landed, [3, 4, 6, 2, 2, len(SIDE_WINDS), len(carried)]))


def _shared_out(landed: Landings, counts: Sequence[int]) -> dict[str, Landings]:
    """The rows of each part of `Around`."""
    starts = [0, *itertools.accumulate(counts)]
    return {name: landed.rows(slice(*some)) for name, some in zip(Around.__slots__, itertools.pairwise(starts), strict=True)}
