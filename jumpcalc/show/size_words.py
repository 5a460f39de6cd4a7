"""Words for a builder's choices: smaller and larger gaps, and how far off the next feature belongs."""

from __future__ import annotations

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.sizes import Size, next_foot
from jumpcalc.show import words

__all__ = ["size_head", "size_row", "spacing"]

_NONE = "–"


def spacing(answer: Answer, index: int, units: str = "metric") -> str:
    """How far the next feature must be for one who stops before it; empty where stopping is not known."""
    room = next_foot(answer, index)
    if room is None:
        return ""
    return (
        f"The next feature's foot belongs {words.length(room, units)} or more from the end of the landing, along the ground, for "
        "one who brakes after the fastest clean landing. Space features by the speed with which the one before is left."
    )


def size_head(*, drop: bool, run_in: bool) -> list[str]:
    """What stands in each column of `size_row`."""
    return [
        "gap", f"clean, {'at the edge' if drop else 'before the lip'}", "aim", *(["start for the aim"] if run_in else []),
        "room to spare", "hardest clean hit",
    ]  # fmt: skip


def size_row(size: Size, units: str = "metric", *, run_in: bool) -> list[str]:
    """One gap: clean speeds, aim, start mark where there is a run-in, room to stop, hardest hit."""
    gap, start = words.length(size.gap, units), [_start(size, units)] if run_in else []
    if size.speeds is None:
        return [gap, f"none: {words.note(size.why_none, units)}", _NONE, *(_NONE for _ in start), _NONE, _NONE]
    slow, fast = (words.speed(v, units, digits=1) for v in (size.speeds.min, size.speeds.max))
    if size.spare is None:
        spare = "not known"
    else:
        missing = size.spare < 0
        spare = f"{words.length(abs(size.spare), units)}{' missing' if missing else ''}"
    hit = _NONE if size.hardest is None else words.length(size.hardest, units)
    return [gap, f"{slow.rpartition(' ')[0]} to {fast}", words.speed(size.speeds.aim, units, digits=1), *start, spare, hit]


def _start(size: Size, units: str) -> str:
    if size.start is not None:
        return f"{words.length(size.start, units)} before"
    if size.missing is not None:
        return f"run-in too short by {words.speed(size.missing, units, digits=1)}"
    return "not measured"
