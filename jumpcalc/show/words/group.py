"""Words for several riders on one line: one table of marks and speeds, and who cannot ride it and why."""

from __future__ import annotations

from typing import Any

from jumpcalc.plan.answer import JumpAnswer
from jumpcalc.plan.notes import Note
from jumpcalc.plan.studies.group import Cannot, Member, Together
from jumpcalc.show.words import text
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.jump import checked_at, foot, known_first
from jumpcalc.show.words.notes import note
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import Least, Most, Words, joined, said

__all__ = ["as_dict", "head", "report", "rows", "shared", "why_not"]

_NONE = "–"


def head(found: Together) -> tuple[str, ...]:
    """Heads of the table.

    Parameters
    ----------
    found : Together
        From `together`.

    Returns
    -------
    tuple of str
        In the order of the cells of `rows`.
    """
    return ("rider", "bike", "mass", "start", "clean from marks", f"aim {_where(_first(found))}", "hits as a drop of")


def _where(jump: JumpAnswer) -> str:
    """Where a jump's speeds are checked."""
    return "at the edge" if jump.shape == "drop" else "before the lip"


def _first(found: Together) -> JumpAnswer:
    """The first jump, as the first rider's answer has it."""
    return found.members[0].answer.jumps[0]


def rows(found: Together) -> list[list[Words]]:
    """One row for each rider: the aim's start, marks, the first jump's aim and its hit.

    Parameters
    ----------
    found : Together
        From `together`.

    Returns
    -------
    list of list of str or Said
        Cells of each row, in the order of `head`; no start for who cannot ride it.
    """
    return [_row(one) for one in found.members]


def _row(one: Member) -> list[Words]:
    first, rider = one.answer.jumps[0], one.rider
    who: list[Words] = [said("{name}", name=rider.name), said("{kind}", kind=rider.bike), said("{mass:mass}", mass=rider.mass)]
    if one.cannot:
        return [*who, "not for them", _NONE, _NONE, _NONE]
    start: Words = _NONE
    marks: Words = _NONE
    if one.mark is not None:
        # at the end of what lands clean it is rounded as that end is
        at_end = one.marks is not None and one.mark >= one.marks[1] - 0.1
        start = said("{mark:length}", mark=Most(one.mark) if at_end else one.mark)
    if one.marks is not None:
        marks = said("{low:length bare} to {high:length}", low=Least(one.marks[0]), high=Most(one.marks[1]))
    aim, hit = checked_at(first)[0].aim, first.landings[1].equivalent_fall
    return [*who, start, marks, said("{aim:speed}", aim=aim), said("{hit:drop}", hit=hit)]


def why_not(found: Together) -> list[Words]:
    """Who cannot ride it, and why.

    Parameters
    ----------
    found : Together
        From `together`.

    Returns
    -------
    list of Said
        A sentence for each, or for all of whom the same holds.
    """
    alike: dict[tuple[tuple[Note | Cannot, int | None, float], ...], list[Words]] = {}
    for one in found.members:
        if one.cannot:
            alike.setdefault(one.cannot, []).append(said("{name}", name=one.rider.name))
    return [
        said("{names}: {why}.", names=joined(names, ", "), why=joined([_reason(*reason, found) for reason in reasons], "; "))
        for reasons, names in alike.items()
    ]


def _known_first(found: Together) -> list[Words]:
    """What must be known before any speed, once for all of whom the same holds, of those who can ride it."""
    alike: dict[Words, list[Words]] = {}
    for one in found.members:
        for words in () if one.cannot else known_first(one.answer):
            alike.setdefault(words, []).append(said("{name}", name=one.rider.name))
    return [said("{names}: {words}", names=joined(names, ", "), words=words) for words, names in alike.items()]


def _reason(why: Note | Cannot, jump: int | None, amount: float, found: Together) -> Words:
    jumps = found.members[0].answer.jumps
    where = f"jump {jump}, " if len(jumps) > 1 and jump is not None else ""
    if isinstance(why, Note):
        words: Words = note(why)
    elif why is Cannot.TOO_FAST_FOR_THEM:
        at = _where(jumps[0 if jump is None else jump - 1])
        words = said(f"it asks for {{speed:speed}} {at}, more than they ride", speed=amount)
    elif why is Cannot.RUN_IN_TOO_SHORT:
        words = said("the run-in is too short for the aim: from its top they leave the edge {missing:speed} too slowly", missing=amount)
    elif why is Cannot.NO_MARK:
        words = "no start mark gives the aim"
    else:
        words = said("{missing:length} of room to stop are missing", missing=amount) if amount else "on its last slope they do not stop"
    return said("{where}{words}", where=where, words=words)


def shared(found: Together) -> Words:
    """Whether one mark serves everyone who can ride it.

    Parameters
    ----------
    found : Together
        From `together`.

    Returns
    -------
    str or Said
        A sentence; empty where there is nobody to say it of, or no run-in is measured.
    """
    able = [one for one in found.members if not one.cannot]
    if len(able) < 2 or any(one.marks is None for one in able):
        return ""
    if found.shared is None:
        return "No one mark serves all of them: each starts from their own."
    low, high = found.shared
    return said(
        f"Marks from {{low:length bare}} to {{high:length}} before the {foot(_first(found))} land all of those clean who can ride it; "
        "each one's own start leaves more to spare.",
        low=Least(low), high=Most(high),
    )  # fmt: skip


def report(found: Together, reader: Reader = Reader.metric) -> str:
    """The group as a person reads it.

    Parameters
    ----------
    found : Together
        From `together`.
    reader : Reader
        Who reads it.

    Returns
    -------
    str
        Lines of text, ending with a line break.
    """
    answer = found.members[0].answer
    jumps, able = len(answer.jumps), sum(not one.cannot for one in found.members)
    who = f"{able} of {len(found.members)} riders can ride it" if able < len(found.members) else f"all {able} riders can ride it"
    out = [*text.wrapped(reader.text(said("{title}: {who}, by this model.", title=answer.complete.title, who=who)))]
    out += ["A model's numbers, not a permit.", "", *text.columns([list(head(found)), *(reader.texts(row) for row in rows(found))]), ""]
    told = reader.texts([*why_not(found), *_known_first(found), *([shared(found)] if shared(found) else [])])
    told.append(_about_the_table(found, jumps))
    out += [*text.bullets(told), "", "Cautions", *text.bullets(CAUTIONS), f"Ground {answer.fingerprint}, model of {answer.model_date}."]
    return "\n".join(out) + "\n"


def _about_the_table(found: Together, jumps: int) -> str:
    able = [one for one in found.members if not one.cannot]
    of = "peeds and hit are those of the first jump." if able else ""
    if able and all(one.marks is None for one in able):
        of = f"No start is given: the run-in is not measured. S{of}"
    elif able:
        of = f"From these marks {'every jump of the line' if jumps > 1 else 'the jump'} is landed clean; s{of}"
    return f"{of} Rider and bike of the line file are left aside.".strip()


def as_dict(found: Together) -> dict[str, Any]:
    """The group for a program: SI.

    Parameters
    ----------
    found : Together
        From `together`.

    Returns
    -------
    dict
        For JSON.
    """
    answer, reader = found.members[0].answer, Reader.metric
    return {
        "title": answer.complete.title, "model_date": answer.model_date, "fingerprint": answer.fingerprint, "cautions": list(CAUTIONS),
        "shared_marks_m": None if found.shared is None else list(found.shared),
        "riders": [
            {
                "name": one.rider.name, "bike": one.rider.bike, "mass_kg": one.rider.mass, "start_m": None if one.cannot else one.mark,
                "marks_m": None if one.cannot or one.marks is None else list(one.marks),
                "cannot": [reader.text(_reason(*reason, found)) for reason in one.cannot],
                "jumps": [
                    None if one.cannot or jump.window.foot is None
                    else {"foot_speed_mps": {"min": jump.window.foot.min, "aim": jump.window.foot.aim, "max": jump.window.foot.max}}
                    for jump in one.answer.jumps
                ],
            }
            for one in found.members
        ],
    }  # fmt: skip
