"""The window of foot speeds that a check is for, and where what was measured lies in it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from jumpcalc.plan.answer import Answer, JumpAnswer, Speeds
from jumpcalc.plan.ask.lip import foot_speeds
from jumpcalc.plan.notes import Note
from jumpcalc.plan.studies.field.readings import Measured
from jumpcalc.plan.terrain import Prepared

__all__ = ["Grade", "Lies", "Window", "grade_of", "lies", "window_alone", "window_of"]


class Grade(StrEnum):
    """How well a way of measuring tells this window."""

    GOOD = "good enough"
    ROUGH = "tells roughly"
    NOT = "cannot tell"


class Lies(StrEnum):
    """Where a speed lies that is known to 90 of 100."""

    INSIDE = "inside"
    SLOW = "too slow"
    FAST = "too fast"
    MAYBE_SLOW = "maybe too slow"
    MAYBE_FAST = "maybe too fast"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """Speeds of the centre of mass at the foot [m/s] that are to be had; of a drop at its edge.

    `of` is ``"sure"`` for those that land clean whatever the rider does at the lip, ``"clean"`` where there are no such,
    ``"line"`` where the jumps after it ask for less. `from_rest` says that nothing is too slow.
    """

    low: float
    aim: float
    high: float
    of: str
    from_rest: bool

    @property
    def half(self) -> float:
        """Half of it [m/s]."""
        return 0.5 * (self.high - self.low)


def window_of(answer: Answer, first: Prepared) -> Window | Note:
    """The speeds to be checked for: those of the first jump, cut by what the jumps after it ask for; or why there are none.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    first : Prepared
        Its first jump.

    Returns
    -------
    Window or Note
        Speeds at the foot.
    """
    jump = answer.jumps[0]
    if jump.no_ride is not None or jump.window.speeds is None:
        return jump.no_ride or jump.window.why_none
    own, (speeds, _) = window_alone(jump), _clean_and_sure(jump)
    of, low, high = own.of, own.low, own.high
    if answer.ride is not None and len(answer.jumps) > 1:
        if answer.ride.window is None:
            return answer.ride.why_none
        least, most = (float(v) for v in foot_speeds(first, answer.ride.lip_speeds, heights=first.body.height))
        if max(low, least) >= min(high, most):  # what is sure of the first is none of the line's
            low, high = speeds.min, speeds.max
        if least > low + 1e-9 or most < high - 1e-9:
            of, low, high = "line", max(low, least), min(high, most)
    return _window(jump, of, low, high)


def window_alone(jump: JumpAnswer) -> Window:
    """The same of a jump by itself.

    Parameters
    ----------
    jump : JumpAnswer
        One that has a window.

    Returns
    -------
    Window
        Speeds at its foot that land clean whatever the rider does at the lip; where there are none, all that do.
    """
    speeds, sure = _clean_and_sure(jump)
    return _window(jump, "clean", speeds.min, speeds.max) if sure is None else _window(jump, "sure", *sure)


def _clean_and_sure(jump: JumpAnswer) -> tuple[Speeds, tuple[float, float] | None]:
    """Speeds [m/s] that land clean, and those that do whatever the rider does at the lip: at the foot, of a drop at its edge."""
    return (jump.window.speeds, jump.sure) if jump.shape == "drop" else (jump.window.foot, jump.sure_foot)


def _window(jump: JumpAnswer, of: str, low: float, high: float) -> Window:
    """Speeds of a jump from one to the other, with the aim as far as it lies between them."""
    speeds, _ = _clean_and_sure(jump)
    aim = min(max(speeds.aim, low), high)
    return Window(low=low, aim=aim, high=high, of=of, from_rest=jump.window.from_rest and low <= speeds.min)


def grade_of(ninety: float, window: Window) -> Grade:
    """How well something tells a window.

    Parameters
    ----------
    ninety : float
        Half of the interval that holds 90 of 100 [m/s].
    window : Window
        The window.

    Returns
    -------
    Grade
        Good enough up to half of half the window, roughly up to half of it.
    """
    if ninety <= 0.5 * window.half:
        return Grade.GOOD
    return Grade.ROUGH if ninety <= window.half else Grade.NOT


def lies(window: Window, found: Measured) -> Lies:
    """Where what was measured lies in a window.

    Parameters
    ----------
    window : Window
        Speeds at the foot.
    found : Measured
        From one reading.

    Returns
    -------
    Lies
        By the whole interval that holds 90 of 100.
    """
    low, high = found.foot_interval
    slowest = -math.inf if window.from_rest else window.low
    if high < slowest:
        return Lies.SLOW
    if low > window.high:
        return Lies.FAST
    below, above = low < slowest, high > window.high
    if below and above:
        return Lies.CANNOT_TELL
    return Lies.MAYBE_SLOW if below else Lies.MAYBE_FAST if above else Lies.INSIDE
