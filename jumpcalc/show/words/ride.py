"""What is said of a line of several jumps, ridden as one."""

from __future__ import annotations

from jumpcalc.plan.answer import Answer, Carry, JumpAnswer
from jumpcalc.plan.studies.carry import Cure, aim_carries, cures
from jumpcalc.show.words import sizes
from jumpcalc.show.words.jump import outcome
from jumpcalc.show.words.notes import note, strokes
from jumpcalc.show.words.said import Between, Least, Most, Words, joined, listed, said, sentence

__all__ = ["headline", "no_start", "ride"]


def ride(answer: Answer) -> list[Words]:
    """The ride through a line of jumps: how far it gets, from where it is clean, which jump is the tight one, what carries.

    That no start mark rides it clean is no part of this: `no_start` says so first.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.

    Returns
    -------
    list of str or Said
        Sentences; none for a single jump, and where no speed to ride is given.
    """
    found, names = answer.ride, [jump.name for jump in answer.jumps]
    if found is None or len(names) < 2 or any(jump.no_ride is not None for jump in answer.jumps):
        return []
    told: list[Words] = [
        said(
            "From the start mark: {name} is left at {speed:speed}: {outcome}.",
            name=name, speed=step.lip_speed, outcome=outcome(step.landing, jump.shape),
        )
        for name, step, jump in zip(names, found.steps, answer.jumps, strict=False)
    ]  # fmt: skip
    if found.ended_by is not None:
        told.append(sentence(said("the ride ends: {why}", why=note(found.ended_by, jumps=len(names)))))
    if found.window is not None:
        slow, fast = (names[i - 1] for i in found.tight)
        told.append(
            said(
                "All land clean from start marks {marks:length} before the foot of the first lip. The tight one on the slow side "
                "is {slow}, on the fast side {fast}.",
                marks=_marks(found.window), slow=slow, fast=fast,
            )
        )  # fmt: skip
    for i in range(len(names) - 1):
        told += [_carry(answer, i), sizes.carrying(answer, i)]
    return listed(told)


def headline(answer: Answer) -> Words:
    """Whether a line of several jumps is ridden clean from any start mark at all: what is to be said of it first.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.

    Returns
    -------
    str or Said
        A sentence; nothing for a single jump, and where the run-in is not measured.
    """
    found, count = answer.ride, len(answer.jumps)
    if found is None or count < 2 or any(jump.no_ride is not None for jump in answer.jumps):
        return ""
    return no_start(answer) or said(
        f"{'Both' if count == 2 else 'All {count:count}'} jumps land clean from start marks {{marks:length}} before the foot of the first "
        "lip.",
        count=count, marks=_marks(found.window),
    )  # fmt: skip


def no_start(answer: Answer) -> Words:
    """That a line of several jumps is ridden clean from no start mark, and why.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.

    Returns
    -------
    str or Said
        A sentence; nothing where there is such a mark, for a single jump, and where the run-in is not measured.
    """
    found, count = answer.ride, len(answer.jumps)
    if found is None or count < 2 or found.window is not None:
        return ""
    return sentence(said("no start mark rides this line clean: {why}", why=note(found.why_none, jumps=count)))


def _marks(window: tuple[float, float]) -> Between:
    return Between(Least(window[0]), Most(window[1]))


def _carry(answer: Answer, index: int) -> Words:
    """Which speeds of one jump carry to a clean next one, and what helps where the aim is not among them."""
    carry, first, second = answer.ride.carries[index], answer.jumps[index], answer.jumps[index + 1]
    if carry is None:
        return ""
    names = {"first": first.name, "second": second.name}
    if carry.speeds is None:
        text = said("From {first} to {second} nothing carries without a stroke or a brake.", **names)
    elif carry.share > 0.999:
        how = "rolled off" if first.shape == "drop" and first.path == "bike" else "ridden stiffly at the lip"
        return said(f"From {{first}} to {{second}} the whole window carries without a stroke or a brake, {how}.", **names)
    else:
        low, high = carry.speeds
        speeds = first.window.speeds
        part = "fastest" if high >= speeds.max - 1e-6 else "slowest" if low <= speeds.min + 1e-6 else "middle"
        text = said(
            f"From {{first}} to {{second}} only the {part} {{share:share}} of the window carries ({{speeds:speed}} "
            "at the edge of {first}).",
            share=carry.share, speeds=Between(Least(low), Most(high)), **names,
        )  # fmt: skip
    off = _off(carry, second)
    return joined([text, off, _cured(cures(answer, index), second.name) if off else ""])


def _off(carry: Carry, second: JumpAnswer) -> Words:
    """How far from clean the aim of the first arrives at the second; nothing where it is clean."""
    arrives, wanted = carry.from_aim, second.window.speeds
    if arrives is None:
        return said("From the aim it does not get to the edge of {second}.", second=second.name)
    if aim_carries(carry, second):
        return ""
    by, how = (arrives - wanted.max, "fast") if arrives > wanted.max else (wanted.min - arrives, "slowly")
    return said(f"From the aim it arrives at the edge of {{second}} {{by:speed}} too {how}.", by=Least(by), second=second.name)


def _cured(found: tuple[Cure, ...], second: str) -> Words:
    """What makes the aim carry; each was ridden."""
    if not found:
        return said(
            "Nothing that was tried by itself makes it carry: the ground between longer, shorter, steeper or flatter, another gap of "
            "{second}, strokes, brakes. Change a lip or a landing.",
            second=second,
        )
    each = joined([_CURES[cure.kind](cure, second) for cure in found], "; ")
    return said("Each of these by itself makes it carry, by this model ridden so: {each}.", each=each)


def _then(cure: Cure) -> Words:
    return "all of the window carries" if cure.share > 0.999 else said("{share:share} of the window carries", share=cure.share)


def _longer(cure: Cure, second: str) -> Words:
    return said(
        f"the straight of {{was:length}} that {{runs}} made {{by:length}} {_more(cure)}, {{becomes:length}} in all (then {{then}})",
        was=cure.was, runs=_slope(cure.of), by=abs(cure.becomes - cure.was), becomes=cure.becomes, then=_then(cure),
    )  # fmt: skip


def _tilted(cure: Cure, second: str) -> Words:
    return said(
        "the straight of {of:length} built so that it {becomes} where it {was} now (then {then})",
        of=cure.of, becomes=_slope(cure.becomes), was=_slope(cure.was), then=_then(cure),
    )  # fmt: skip


def _other_gap(cure: Cure, second: str) -> Words:
    return said(
        f"the gap of {{second}} {{by:length}} {_more(cure)}, {{becomes:length}} in all (then {{then}})",
        second=second, by=abs(cure.becomes - cure.was), becomes=cure.becomes, then=_then(cure),
    )  # fmt: skip


def _pedalled(cure: Cure, second: str) -> Words:
    return said("{strokes} from the end of the landing on (then {then})", strokes=strokes(round(cure.becomes)), then=_then(cure))


def _braked(cure: Cure, second: str) -> Words:
    return said(
        "braking over the first {over:length} of the runout, a finger on the levers from touchdown on, from {was:speed} to "
        "{becomes:speed} (then {then})",
        over=cure.over, was=cure.was, becomes=cure.becomes, then=_then(cure),
    )  # fmt: skip


_CURES = {"length": _longer, "slope": _tilted, "gap": _other_gap, "strokes": _pedalled, "brake": _braked}


def _more(cure: Cure) -> str:
    return "longer" if cure.becomes > cure.was else "shorter"


def _slope(slope: float) -> Words:
    """A slope in words."""
    if abs(slope) < 1e-6:
        return "is level"
    return said(f"{'falls' if slope < 0 else 'climbs'} {{by:angle}}", by=abs(slope))
