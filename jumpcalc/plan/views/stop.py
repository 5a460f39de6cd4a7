"""Where the bike stops after a landing, as numbers for a drawing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.terrain import Prepared, prepare
from jumpcalc.plan.views.side import SPACING, Stretch, along

__all__ = ["StopView", "stop_view"]


@dataclass(frozen=True, slots=True, kw_only=True)
class StopView:
    """Landing and runout with the places of a stop from the fastest clean landing.

    Each place is (x, z) [m]; `stops` is None where the bike never stops on the last slope. `room_end`
    is where the middle of the bike must stand at the latest, `end` the end of the runout.
    """

    ground: Stretch
    touchdown: tuple[float, float]
    brakes: tuple[float, float]
    stops: tuple[float, float] | None
    room_end: tuple[float, float]
    end: tuple[float, float]
    reaction: Stretch
    braking: Stretch | None


def stop_view(answer: Answer, index: int) -> StopView | None:
    """Where the bike stops after the fastest clean landing of a jump.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    index : int
        Which jump, from 0.

    Returns
    -------
    StopView or None
        None where there is no stopping answer.
    """
    jump, one = answer.jumps[index], prepare(answer.line).jumps[index]
    stop = jump.stop
    if stop is None or one.terrain.runout_end is None:
        return None
    start = jump.landings[-1].along_face
    brakes = start + stop.reaction
    stands = None if stop.total is None else start + stop.total
    room = start + stop.available
    last = max(value for value in (one.terrain.runout_end, stands, brakes) if value is not None)
    return StopView(
        ground=along(one, 0.0, last + max(2.0, 0.04 * last), "runout", spacing=max(SPACING, last / 400)),
        touchdown=_place(one, start),
        brakes=_place(one, brakes),
        stops=None if stands is None else _place(one, stands),
        room_end=_place(one, room),
        end=_place(one, one.terrain.runout_end),
        reaction=along(one, start, brakes, "reaction"),
        braking=None if stands is None else along(one, brakes, stands, "braking"),
    )


def _place(one: Prepared, s: float) -> tuple[float, float]:
    x, z = one.terrain.ground.point(np.array([s]))
    return float(x[0]), float(z[0])
