"""Words for a builder's choices: smaller and larger gaps, and how far off the next feature belongs."""

from __future__ import annotations

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.studies.sizes import Size, next_foot
from jumpcalc.show import words

__all__ = ["size_head", "size_row", "spacing"]

_NONE = "–"


def spacing(answer: Answer, index: int, units: str = "metric") -> str:
    """How far the next feature must be for one who stops before it; empty where stopping is not known."""
    room = next_foot(answer, index)
    if room is None:
        return ""
    return (
        f"The next feature's foot belongs {words.length(room, units)} or more from the lower end of the landing, along the ground, for "
        "one who brakes after the fastest clean landing. Space features by the speed with which the one before is left."
    )


def size_head(units: str = "metric", *, drop: bool, run_in: bool) -> list[str]:
    """What stands in each column of `size_row`, with its unit."""
    speed, length = words.speed_sign(units), words.length_sign(units)
    where = "at the edge" if drop else "before the lip"
    start = [f"start for the aim, {length}"] if run_in else []
    return [f"gap, {length}", f"clean {where}, {speed}", f"aim, {speed}", *start, f"room to spare, {length}"]


def size_row(size: Size, units: str = "metric", *, run_in: bool) -> list[str]:
    """One gap: clean speeds, aim, start mark where there is a run-in, room to stop; numbers without units."""
    gap, start = words.number(words.length(size.gap, units)), [_start(size, units)] if run_in else []
    if size.speeds is None:
        return [gap, "none", _NONE, *(_NONE for _ in start), _NONE]
    slow, aim, fast = (
        words.number(words.speed(v, units, digits=1)) for v in (size.speeds.min, size.speeds.aim, size.speeds.max)
    )
    spare = "not known" if size.spare is None else words.number(words.length(abs(size.spare), units))
    if size.spare is not None and size.spare < 0:
        spare = f"{spare} missing"
    return [gap, f"{slow} to {fast}", aim, *start, spare]


def _start(size: Size, units: str) -> str:
    if size.start is not None:
        return words.number(words.length(size.start, units))
    return "too fast from any start" if size.missing is None else "run-in too short"
