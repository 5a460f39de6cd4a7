"""The lip speeds that land a jump clean, at the edge and at the foot of the lip: worked out once for each jump."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from jumpcalc.plan.answer import Speeds, Window
from jumpcalc.plan.ask.lip import STANDSTILL, foot_speeds, slowest_edge
from jumpcalc.plan.ask.window import Found, aim_speed, find_windows, nothing_sure, targets
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.terrain import Prepared

__all__ = ["Clean", "clean_speeds"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Clean:
    """The window of the path that decides and that of the point, and what is clean whatever the rider does.

    `sure` and `sure_foot` are the slowest and the fastest lip speed and foot speed [m/s] of the latter, None where
    there are none; `why_not_sure` then says why.
    """

    window: Window
    point: Window
    sure: tuple[float, float] | None
    sure_foot: tuple[float, float] | None
    why_not_sure: Note | None


@lru_cache(maxsize=128)
def clean_speeds(one: Prepared) -> Clean:
    """The lip speeds that land a jump clean.

    Parameters
    ----------
    one : Prepared
        The jump.

    Returns
    -------
    Clean
        Windows with their speeds at the foot.

    Notes
    -----
    The aim is min((v_min + v_max)/2, v_min/0.9), moved to the nearer end of the sure window where it lies outside. Speeds
    below the slowest at which the edge can be left at all, from rest at the foot, are cut off.
    """
    least, least_point = (float(v) for v in slowest_edge(one, heights=(one.body.height, 0.0)))
    window, sure, point = map(_cut, find_windows(one, targets(one)), (least, least, least_point))
    pair = None
    if sure.low is not None and window.low is not None:
        # a part of the window, also where both end at the same knuckle and a rounding apart
        low, high = max(sure.low, window.low), min(sure.high, window.high)
        pair = (low, high) if low <= high else None
    speeds, points = _three(window, pair), _three(point, None)
    heights = [one.body.height] * len(speeds) + [0.0] * len(points) + [one.body.height] * len(pair or ())
    lips = [*speeds, *points, *(pair or ())]
    # followed back, a rounding stops what came from a standstill
    foot = [max(float(v), STANDSTILL) for v in foot_speeds(one, lips, heights=heights)] if lips else []
    why = sure.why_none
    if pair is None and why is None:
        why = nothing_sure(one)
    return Clean(
        window=_window(window, speeds, foot[: len(speeds)], least),
        point=_window(point, points, foot[len(speeds) : len(speeds) + len(points)], least_point),
        sure=pair,
        sure_foot=None if pair is None else (foot[-2], foot[-1]),
        why_not_sure=None if pair is not None else why,
    )


def _cut(found: Found, least: float) -> Found:
    """What was found without the speeds that are slower than the edge can be left."""
    if found.low is None or found.low >= least:
        return found
    if found.high <= least:
        note = Note(code=Code.ALWAYS_TOO_FAST, values=(("least", least), ("fastest", found.high)))
        return Found(low=None, high=None, limited_by=None, why_none=note)
    return Found(low=least, high=found.high, limited_by=found.limited_by, why_none=None)


def _three(found: Found, sure: tuple[float, float] | None) -> tuple[float, ...]:
    """Slowest, aim and fastest lip speed of what was found."""
    if found.low is None:
        return ()
    aim = aim_speed(found.low, found.high)
    if sure is not None:
        aim = min(max(aim, sure[0]), sure[1])
    return found.low, aim, found.high


def _window(found: Found, lips: Sequence[float], foot: Sequence[float], least: float) -> Window:
    """A window of what was found, with its speeds at the foot; `least` can be had at the edge."""
    if not lips:
        return Window(speeds=None, foot=None, limited_by=None, why_none=found.why_none)
    speeds, feet = (Speeds(min=slow, aim=aim, max=fast) for slow, aim, fast in (lips, foot))
    return Window(speeds=speeds, foot=feet, limited_by=found.limited_by, why_none=None, from_rest=speeds.min <= least)
