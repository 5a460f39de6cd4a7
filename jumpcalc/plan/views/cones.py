"""Where the cones of a speed check stand, as numbers for a drawing: the end of the run-in and the lip, from the foot."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jumpcalc.plan.studies.field.check import Check
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.views.side import Stretch

__all__ = ["ConesView", "cones_view"]

_BEFORE = 2.0  # m of ground seen before the first cone
_SPACING = 0.1  # m


@dataclass(frozen=True, slots=True, kw_only=True)
class ConesView:
    """Ground with two cones on it; places (x, z) [m] are counted from the edge.

    `first` and `second` are the cones, `apart` is the ground between them, `foot` that of the lip; of a drop it is the edge.
    """

    ground: Stretch
    first: tuple[float, float]
    second: tuple[float, float]
    apart: Stretch
    foot: tuple[float, float]
    edge: tuple[float, float]
    drop: bool


def cones_view(found: Check) -> ConesView | None:
    """The end of the run-in with the cones of a check.

    Parameters
    ----------
    found : Check
        From `plan.studies.field.check.check`.

    Returns
    -------
    ConesView or None
        None where there are no cones.
    """
    if found.cones is None:
        return None
    terrain = prepare(found.answer.line).jumps[0].terrain
    ground, edge, foot = terrain.approach
    origin = tuple(float(value) for value in ground.point(np.array(edge)))
    second = foot - found.cones.before_foot
    first = second - found.cones.length

    def along(start: float, end: float, name: str) -> Stretch:
        x, z = ground.point(np.linspace(start, end, max(2, int((end - start) / _SPACING))))
        return Stretch(name=name, x=tuple((x - origin[0]).tolist()), z=tuple((z - origin[1]).tolist()))

    apart = along(first, second, "apart")
    begin = first - _BEFORE if not found.known_ground else max(first - _BEFORE, 0.0)
    return ConesView(
        ground=along(begin, edge, "ground"),
        first=(apart.x[0], apart.z[0]),
        second=(apart.x[-1], apart.z[-1]),
        apart=apart,
        foot=(terrain.foot_x, terrain.foot_z),
        edge=(0.0, 0.0),
        drop=terrain.shape == "drop",
    )
