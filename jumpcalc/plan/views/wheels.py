"""Where rear wheels come down, as numbers for a drawing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.studies.odds import JumpOdds
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.views.side import Stretch, along, ground_seen

__all__ = ["WheelsView", "wheels_view"]

_LEAST = 0.001  # of the tries: fewer are not drawn


@dataclass(frozen=True, slots=True, kw_only=True)
class WheelsView:
    """Ground around a landing and the shares of rear wheels over it.

    `x`, `z` are places [m] on the ground and `share` the wheels that come down around each, `clean` the stretch on which both
    wheels fit where the rear one comes down there.
    """

    ground: tuple[Stretch, ...]
    knuckle: tuple[float, float]
    left: float
    right: float
    x: tuple[float, ...]
    z: tuple[float, ...]
    share: tuple[float, ...]
    clean: Stretch | None


def wheels_view(answer: Answer, index: int, found: JumpOdds) -> WheelsView:
    """Where the rear wheels of many tries come down on one jump.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    index : int
        Which jump, from 0.
    found : JumpOdds
        Its odds.

    Returns
    -------
    WheelsView
        From the edge of the lip to past the landing, as far as wheels come down.
    """
    one = prepare(answer.line).jumps[index]
    terrain, wheelbase = one.terrain, one.rig.wheelbase
    places, share = np.array(found.places), np.array(found.wheels)
    kept = np.nonzero(share >= _LEAST)[0]
    middle = 0.5 * (places[:-1] + places[1:])[kept]
    x, z = terrain.ground.point(middle)
    if terrain.floor is not None:
        # before the knuckle the air of the gap is drawn over, at the level the near edge has
        z = np.where(middle < 0, -terrain.drop, z)
    clean = along(one, 0.0, terrain.face - wheelbase, "clean") if terrain.face > wheelbase else None
    ends = [float(v) for v in terrain.ground.point(np.array([terrain.face]))[0]]
    return WheelsView(
        ground=ground_seen(answer.complete, one, index),
        knuckle=(terrain.gap, -terrain.drop),
        left=float(min([terrain.gap - 2.0, *x])),
        right=float(max([*ends, *x]) + 1.0),
        x=tuple(float(v) for v in x),
        z=tuple(float(v) for v in z),
        share=tuple(float(v) for v in share[kept]),
        clean=clean,
    )
