"""What is said of a line of several jumps, ridden as one."""

from __future__ import annotations

from jumpcalc.plan.answer import Answer, Carry, JumpAnswer
from jumpcalc.show.words.jump import outcome
from jumpcalc.show.words.notes import note, strokes
from jumpcalc.show.words.said import Between, Least, Most, Words, listed, said, sentence

__all__ = ["ride"]


def ride(answer: Answer) -> list[Words]:
    """The ride through a line of jumps: how far it gets, from where it is clean, which jump is the tight one.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.

    Returns
    -------
    list of str or Said
        Sentences; none for a single jump.
    """
    found, names = answer.ride, [jump.name for jump in answer.jumps]
    if found is None or len(names) < 2:
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
                "All land clean from start marks {marks:length} before the first lip. The tight one on the slow side "
                "is {slow}, on the fast side {fast}.",
                marks=Between(Least(found.window[0]), Most(found.window[1])), slow=slow, fast=fast,
            )
        )  # fmt: skip
    else:
        told.append(
            sentence(said("no start mark rides the line clean: {why}", why=note(found.why_none, jumps=len(names))))
        )
    told += [_carry(carry, answer.jumps[i], answer.jumps[i + 1]) for i, carry in enumerate(found.carries)]
    return listed(told)


def _carry(carry: Carry | None, first: JumpAnswer, second: JumpAnswer) -> Words:
    """Which speeds of one jump carry to a clean next one."""
    if carry is None:
        return ""
    need = _need(carry)
    if carry.speeds is None:
        text = (
            "From {first} to {second} nothing carries without a stroke or a brake: shorten the second gap, steepen the ground "
            "between, or leave a deck in.{need}"
        )
        return said(text, first=first.name, second=second.name, need=need)
    if carry.share > 0.999:
        text = "From {first} to {second} the whole window carries without a stroke or a brake."
        return said(text, first=first.name, second=second.name)
    low, high = carry.speeds
    speeds = first.window.speeds
    part = "fastest" if high >= speeds.max - 1e-6 else "slowest" if low <= speeds.min + 1e-6 else "middle"
    return said(
        f"From {{first}} to {{second}} only the {part} {{share:share}} of the window carries ({{speeds:speed}} "
        "at the edge of {first}).{need}",
        first=first.name, second=second.name, share=carry.share, speeds=Between(Least(low), Most(high)), need=need,
    )  # fmt: skip


def _need(carry: Carry) -> Words:
    """What the aim of the first jump needs to become that of the next."""
    if carry.strokes:
        fits = "{fit:count} fit" if carry.strokes <= carry.fit else "only {fit:count} fit"
        return said(f" From the aim it needs {{strokes}}; {fits}.", strokes=strokes(carry.strokes), fit=carry.fit)
    if carry.brake > 0:
        return said(" From the aim it arrives {brake:speed} too fast: brake between.", brake=carry.brake)
    return ""
