"""What the landing does over a range of lip speeds, as numbers for a drawing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.ask.landings import land
from jumpcalc.plan.ask.lip import foot_speeds, slowest_edge
from jumpcalc.plan.ask.window import FASTEST
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.views.side import floats, tries

__all__ = ["ImpactCurve", "impact_curve"]

_STEP = 0.1  # m/s between the speeds
_MOST_SPEEDS = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class ImpactCurve:
    """What the landing does over a range of lip speeds, slow to fast.

    `foot` are the same speeds [m/s] at the foot of the lip; empty for a drop. `fall_height` [m] is None
    where no height describes the hit, `surface` says what was hit.
    """

    speed: tuple[float, ...]
    foot: tuple[float, ...]
    fall_height: tuple[float | None, ...]
    outcome: tuple[str, ...]
    surface: tuple[str, ...]
    limit: float


def impact_curve(answer: Answer, index: int) -> ImpactCurve:
    """The hit of a landing over the lip speeds around the window.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    index : int
        Which jump, from 0.

    Returns
    -------
    ImpactCurve
        From three quarters of the slowest clean speed to a fifth above the fastest one; where there is
        none, around the first speed that reaches the landing; never slower than the edge can be left.
    """
    jump, one = answer.jumps[index], prepare(answer.line).jumps[index]
    if jump.window.speeds is not None:
        low, high = 0.75 * jump.window.speeds.min, min(1.2 * jump.window.speeds.max, FASTEST)
    else:
        shown = tries(one)
        low, high = 0.75 * shown[0].lip_speed, min(1.2 * shown[-1].lip_speed, FASTEST)
    least = float(slowest_edge(one, heights=one.body.height)[0])
    if low < least:
        low, high = least, max(high, 1.2 * least)
    step = max(_STEP, (high - low) / _MOST_SPEEDS)
    first = np.ceil(low / step)
    speed = np.arange(first, np.floor(high / step) + 1) * step
    landed = land(one, speed)
    foot = foot_speeds(one, speed, heights=one.body.height) if one.terrain.lip is not None else ()
    return ImpactCurve(
        speed=tuple(float(v) for v in speed),
        foot=floats(foot),
        fall_height=tuple(float(h) if np.isfinite(h) else None for h in landed.fall_height),
        outcome=landed.outcomes,
        surface=tuple(str(name) for name in landed.surface),
        limit=one.equivalent_fall,
    )
