"""Words for a builder's choices: smaller and larger gaps, and how far off the next feature belongs."""

from __future__ import annotations

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.studies import spacing as feet
from jumpcalc.plan.studies.carry import aim_carries
from jumpcalc.plan.studies.sizes import Size, next_foot
from jumpcalc.show.words.jump import clean
from jumpcalc.show.words.said import Between, Least, Most, Words, joined, said

__all__ = ["carrying", "size_head", "size_row", "spacing"]

_NONE = "–"


def spacing(answer: Answer, index: int) -> Words:
    """Where the next feature's foot belongs: where the speed carries to it, and from where on one could stop before it.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    index : int
        Which jump, from 0.

    Returns
    -------
    str or Said
        Sentences; empty where neither is known.
    """
    room = next_foot(answer, index)
    stops = "" if room is None else said("To stop before it after the fastest clean landing takes {room:length}.", room=room)
    return joined([carrying(answer, index), stops])


def carrying(answer: Answer, index: int) -> Words:
    """Where the foot of the next lip belongs for the aim to carry; empty where the ground after the jump is not known.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    index : int
        Which jump, from 0; the last one is taken to be followed by the same once more.

    Returns
    -------
    str or Said
        A sentence.
    """
    found = feet.spacing(answer, index)
    if found is None:
        return ""
    if _lies_well(answer, index) and not (
        found.nearest is not None and found.nearest <= found.now <= (found.farthest or found.now)
    ):
        return ""  # where it lies it does, if by little: no other place is told
    first = answer.jumps[index].name
    what = said("the same jump once more") if found.again else said("{second}", second=answer.jumps[index + 1].name)
    if found.nearest is None:
        return said(
            "Nowhere within {farthest:length} of the lower end of its landing, along this ground and on down its last slope, does the "
            "aim of {first} land {what} clean.",
            farthest=feet.FARTHEST, first=first, what=what,
        )  # fmt: skip
    where = said("{near:length} or more", near=Least(found.nearest))
    if found.farthest is not None:
        where = said("{feet:length}", feet=Between(Least(found.nearest), Most(found.farthest)))
    now = "" if found.now is None else said("; it lies {now:length} off", now=found.now)
    return said(
        "For the aim of {first} to land {what} clean its foot belongs {where} from the lower end of the landing of {first}, along this "
        "ground{now}.",
        first=first, what=what, where=where, now=now,
    )  # fmt: skip


def _lies_well(answer: Answer, index: int) -> bool:
    """Whether the aim carries to the next jump as the ground lies; before the ride that is not known."""
    ridden = answer.ride if isinstance(answer, Answer) else None
    return ridden is not None and index < len(ridden.carries) and aim_carries(ridden.carries[index], answer.jumps[index + 1])


def size_head(*, drop: bool, run_in: bool, last: bool) -> list[Words]:
    """What stands in each column of `size_row`, with its unit.

    Parameters
    ----------
    drop : bool
        Whether it is a drop.
    run_in : bool
        Whether the run-in is measured.
    last : bool
        Whether it is the last jump of its line: before another one nobody stops.

    Returns
    -------
    list of Said
        A cell for each column.
    """
    where = "at the edge" if drop else "before the lip"
    start = ["start for the aim, {length_unit}"] if run_in else []
    columns = ["gap, {length_unit}", f"clean {where}, {{speed_unit}}", "aim, {speed_unit}", *start]
    columns += ["room to spare, {length_unit}"] if last else []
    return [said(column) for column in columns]


def size_row(size: Size, *, run_in: bool, last: bool) -> list[Words]:
    """One gap: clean speeds, aim, start mark where there is a run-in, room to stop; numbers without units.

    Parameters
    ----------
    size : Size
        One gap.
    run_in : bool
        Whether the run-in is measured.
    last : bool
        Whether it is the last jump of its line.

    Returns
    -------
    list of str or Said
        A cell for each column.
    """
    gap, start = _bare(size.gap), [_start(size)] if run_in else []
    if size.speeds is None:
        return [gap, "no speed to ride" if size.no_ride else "none", _NONE, *(_NONE for _ in start), *([_NONE] if last else [])]
    speeds = said("{clean:speed bare}", clean=clean(size.speeds))
    spare: Words = "not known" if size.spare is None else _bare(abs(size.spare))
    if size.spare is not None and size.spare < 0:
        spare = said("{spare} missing", spare=spare)
    return [gap, speeds, said("{aim:speed bare}", aim=size.speeds.aim), *start, *([spare] if last else [])]


def _bare(metres: float) -> Words:
    return said("{length:length bare}", length=metres)


def _start(size: Size) -> Words:
    if size.start is not None and size.missing is not None:
        return said("{top:length bare}, the top: {missing:speed} under it", top=size.start, missing=size.missing)
    if size.start is not None:
        return _bare(size.start)
    return "too fast from any start" if size.missing is None else "run-in too short"
