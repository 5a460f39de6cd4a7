"""Words for a builder's choices: smaller and larger gaps, and how far off the next feature belongs."""

from __future__ import annotations

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.studies.sizes import Size, next_foot
from jumpcalc.show.words.jump import clean
from jumpcalc.show.words.said import Words, said

__all__ = ["size_head", "size_row", "spacing"]

_NONE = "–"


def spacing(answer: Answer, index: int) -> Words:
    """How far the next feature must be for one who stops before it; empty where stopping is not known.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    index : int
        Which jump, from 0.

    Returns
    -------
    str or Said
        Sentences.
    """
    room = next_foot(answer, index)
    if room is None:
        return ""
    return said(
        "The next feature's foot belongs {room:length} or more from the lower end of the landing, along the ground, for one who "
        "brakes after the fastest clean landing. Space features by the speed with which the one before is left.",
        room=room,
    )


def size_head(*, drop: bool, run_in: bool) -> list[Words]:
    """What stands in each column of `size_row`, with its unit.

    Parameters
    ----------
    drop : bool
        Whether it is a drop.
    run_in : bool
        Whether the run-in is measured.

    Returns
    -------
    list of Said
        A cell for each column.
    """
    where = "at the edge" if drop else "before the lip"
    start = ["start for the aim, {length_unit}"] if run_in else []
    columns = ["gap, {length_unit}", f"clean {where}, {{speed_unit}}", "aim, {speed_unit}", *start, "room to spare, {length_unit}"]
    return [said(column) for column in columns]


def size_row(size: Size, *, run_in: bool) -> list[Words]:
    """One gap: clean speeds, aim, start mark where there is a run-in, room to stop; numbers without units.

    Parameters
    ----------
    size : Size
        One gap.
    run_in : bool
        Whether the run-in is measured.

    Returns
    -------
    list of str or Said
        A cell for each column.
    """
    gap, start = _bare(size.gap), [_start(size)] if run_in else []
    if size.speeds is None:
        return [gap, "none", _NONE, *(_NONE for _ in start), _NONE]
    speeds = said("{clean:speed bare}", clean=clean(size.speeds))
    spare: Words = "not known" if size.spare is None else _bare(abs(size.spare))
    if size.spare is not None and size.spare < 0:
        spare = said("{spare} missing", spare=spare)
    return [gap, speeds, said("{aim:speed bare}", aim=size.speeds.aim), *start, spare]


def _bare(metres: float) -> Words:
    return said("{length:length bare}", length=metres)


def _start(size: Size) -> Words:
    if size.start is not None:
        return _bare(size.start)
    return "too fast from any start" if size.missing is None else "run-in too short"
