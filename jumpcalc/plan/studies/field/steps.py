"""The steps of a test day, and what a log of tries shows of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from jumpcalc.plan.answer import Abort
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.limits import WIND_DOUBT
from jumpcalc.plan.studies.field.readings import Measured, measured_each
from jumpcalc.plan.studies.field.seen import landed_as
from jumpcalc.plan.studies.field.tries import Try, named
from jumpcalc.plan.terrain import prepare

__all__ = ["SAME_MARK", "Shown", "Step", "counted"]

SAME_MARK = 0.3
"""Within this a try started at a mark [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of the day.

    `kind` is ``"check"`` (ride from `mark`, the lip not jumped), ``"jump"`` (the first flight from `mark`) or ``"next"`` (on to the
    jump of number `jump`). `mark` is None where no run-in was measured. `go` holds the least, the expected and the most speed at the
    foot [m/s] that let it count; `stop` the last place to stop riding from there, None where no grip is known. It takes `needs` in a
    row; `done` is how many the log shows, None without one.
    """

    kind: str
    jump: int
    mark: float | None
    go: tuple[float, float, float]
    stop: Abort | None
    needs: int
    done: int | None

    @property
    def shown(self) -> bool:
        """Whether the log shows it done."""
        return self.done is not None and self.done >= self.needs


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What the rides of a day show.

    Of all `rides`, `counted` were of a step, told whether they were good, and were made by the `rider` of the last one in about its
    wind. `outside` is whether the last two of them were not good, `off` whether any landing of the day was not clean.
    """

    rides: int
    counted: int
    rider: str | None
    outside: bool
    off: bool


def counted(line: Line, steps: Sequence[Step], tries: Sequence[Try]) -> tuple[tuple[Step, ...], Shown | None]:
    """The steps with what tries show of them.

    Parameters
    ----------
    line : Line
        As measured.
    steps : sequence of Step
        In order.
    tries : sequence of Try
        Of one day, in order.

    Returns
    -------
    steps : tuple of Step
        With what was done, where there are tries.
    shown : Shown or None
        What the tries come to.
    """
    if not tries:
        return tuple(steps), None
    own, last = prepare(line).line, tries[-1]
    speeds = _speeds(line, tries)
    told: dict[int, list[bool]] = {}
    inside: list[bool] = []
    for one, speed in zip(tries, speeds, strict=True):
        number = _step_of(line, steps, one) if _same_ride(own, one, last) else None
        good = None if number is None else _good(line, steps[number], one, speed)
        if good is None:
            continue
        told.setdefault(number, []).append(good)
        inside.append(good)
    done = [_in_a_row(told.get(number, [])) if step.kind != "next" else None for number, step in enumerate(steps)]
    made = tuple(replace(step, done=count) for step, count in zip(steps, done, strict=True))
    off = any(landed_as(prepare(line).jumps[0], one) in ("short", "long") for one in tries)
    outside = len(inside) >= 2 and not any(inside[-2:])
    return made, Shown(rides=len(tries), counted=len(inside), rider=last.rider, outside=outside, off=off)


def _same_ride(own: Line, one: Try, last: Try) -> bool:
    """Whether a try was ridden by whom, on what and in which wind the last one was."""
    wind, that = (own.air.tailwind if each.tailwind is None else each.tailwind for each in (one, last))
    return named(one.rider) == named(last.rider) and one.bike in (None, last.bike or one.bike) and abs(wind - that) <= WIND_DOUBT.value


def _step_of(line: Line, steps: Sequence[Step], one: Try) -> int | None:
    """The step that a try is one of; None for another bike, other ground, other strokes, or a start at no mark of the plan."""
    own = prepare(line).line
    others = ((one.bike, own.bike.kind), (one.surface, own.run_in.surface), (one.strokes, own.run_in.strokes))
    if any(theirs is not None and theirs != ours for theirs, ours in others):
        return None
    if one.start_speed is not None and abs(one.start_speed - own.run_in.start_speed) > 0.1:
        return None
    flown = any(value is not None for value in (one.outcome, one.touched, one.air_time))
    kind = "jump" if flown else "check"
    for number, step in enumerate(steps):
        unknown = step.mark is None
        if step.kind == kind and (unknown or (one.start_mark is not None and abs(one.start_mark - step.mark) <= SAME_MARK)):
            return number
    return None


def _speeds(line: Line, tries: Sequence[Try]) -> tuple[float | None, ...]:
    """Speeds at the foot that were measured [m/s], None where none was or no ride gives what was read."""
    read = [number for number, one in enumerate(tries) if one.measured is not None]
    found = dict(zip(read, measured_each(line, [tries[number].reading for number in read]), strict=True))
    return tuple(one.foot_speed if isinstance(one := found.get(number), Measured) else None for number in range(len(tries)))


def _good(line: Line, step: Step, one: Try, speed: float | None) -> bool | None:
    """Whether a try is what its step must show; None where it does not say."""
    if step.kind == "jump":
        landed = landed_as(prepare(line).jumps[0], one)
        return None if landed is None else landed == "clean"
    return None if speed is None else step.go[0] <= speed <= step.go[2]


def _in_a_row(shown: Sequence[bool]) -> int:
    """How many of the last ones were good, without one between that was not."""
    count = 0
    for good in reversed(shown):
        if not good:
            break
        count += 1
    return count
