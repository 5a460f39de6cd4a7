"""The printed answer on what lies between the jumps of a line: which jump ends it, tables, and what helps."""

from __future__ import annotations

from collections.abc import Sequence

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.studies.between import Stretch
from jumpcalc.plan.studies.remedies import Remedy, Together
from jumpcalc.show.words import text
from jumpcalc.show.words.between import HELD, head, left, margins, missed, rows, way_name
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.jump import known_first
from jumpcalc.show.words.notes import note, strokes
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.ride import headline
from jumpcalc.show.words.said import Most, Words, joined, listed, said

__all__ = ["all_together", "cured", "ends", "report"]


def ends(answer: Answer, stretches: Sequence[Stretch]) -> list[Words]:
    """Which jump ends the line for those who begin it well, and whether any start mark rides it.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    stretches : sequence of Stretch
        Of all of the line.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    told: list[Words] = [headline(answer)]
    first = next((one for one in stretches if one.why_none is not None or not one.today.carries), None)
    if first is None:
        return listed([*told, "Whoever is in the sure window of a jump comes clean to the next one, all along the line."])
    number, jump = first.index + 2, answer.jumps[first.index + 1]
    if first.why_none is not None:
        told.append(said("Jump {number:count}, {name}, ends what can be said of the line.", number=number, name=jump.name))
    else:
        told.append(
            said(
                "Jump {number:count}, {name}, is the first to end the line for some: of those who land the jump before well {missed}.",
                number=number, name=jump.name, missed=missed(first.today) if first.today.built else "some are thrown off a crest",
            )
        )  # fmt: skip
    return listed(told)


_KINDS = {
    "strokes": "{made} from the end of the landing on",
    "brake": "braking over the first {becomes:length} of the runout, a finger on the levers from touchdown on, by everybody and every time",
    "landing": "the landing of {second} {by:height} longer, {becomes:height} in all",
    "gap": "the gap of {second} {by:height} {more}, {becomes:height} in all",
    "fall": "the start of {second} {by:level} {way} than it lies, with all that follows, on an even slope",
    "spacing": "the start of {second} {by:length} {further}, {becomes:length} in all, at the same fall on an even slope",
}


def _changed(one: Remedy, second: str) -> Words:
    longer = one.becomes > one.was
    return said(
        _KINDS[one.kind], second=second, by=abs(one.becomes - one.was), becomes=one.becomes, made=strokes(round(one.becomes)),
        more="longer" if longer else "shorter", further="further on" if longer else "nearer", way="lower" if longer else "higher",
    )  # fmt: skip


def all_together(found: Together) -> Words:
    """What makes a whole line carry.

    Parameters
    ----------
    found : Together
        From `together`.

    Returns
    -------
    Said
        A sentence.
    """
    names = [jump.name for jump in found.answer.jumps]
    each = joined([_changed(one, names[index + 1]) for index, one in found.changes], "; ")
    return said("All of it carries with these, solved one after the other: {each}. Then: {then}", each=each, then=headline(found.answer))


def _remedy(one: Remedy, second: str) -> Words:
    what = _changed(one, second)
    earth = "" if one.line is None else said(", about {earth:volume} of earth", earth=one.earth)
    left_over = said("then {slow:speed} and {fast:speed} to spare", slow=Most(one.slow), fast=Most(one.fast))
    rides = {True: "", False: "; the line is still ridden clean from no start mark", None: ""}[one.rides if one.line is not None else None]
    return said("{what}{earth}; {left_over}{rides}", what=what, earth=earth, left_over=left_over, rides=rides)


def cured(stretch: Stretch, found: Sequence[Remedy], second: str) -> list[Words]:
    """What would carry all of them, the cheapest first; each was solved or ridden.

    Parameters
    ----------
    stretch : Stretch
        Of a line.
    found : sequence of Remedy
        From `remedies`.
    second : str
        Name of the next jump.

    Returns
    -------
    list of str or Said
        Sentences; none where today's ground carries.
    """
    if stretch.why_none is not None or stretch.today.carries:
        return []
    if not found:
        return [
            said(
                "No single change that was tried carries all of them: strokes, brakes, another spacing or fall, another gap or a longer "
                "landing of {second}. Change several, the largest first, and ask again.",
                second=second,
            )
        ]
    ridden, built = ([one for one in found if (one.line is None) is way] for way in (True, False))
    told: list[Words] = [said("Without digging, ridden so by this model: {one}.", one=_remedy(one, second)) for one in ridden]
    if built:
        told.append(said("Cheapest to dig, solved before it is said: {one}.", one=_remedy(built[0], second)))
        told += [said("Or, solved too: {one}.", one=_remedy(one, second)) for one in built[1:]]
        told.append(
            "Earth is what is cut and filled up to the end of the next landing, sides upright; what follows must be led on from there."
        )
    return told


def report(
    answer: Answer, stretches: Sequence[Sequence[Stretch]], found: Sequence[Sequence[Remedy]], reader: Reader = Reader.metric, *,
    all_of_it: Together | None = None,
) -> str:  # fmt: skip
    """What lies between the jumps of a line, as a person reads it.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    stretches : sequence of sequence of Stretch
        For each two jumps, on the line's own bike first, then on others.
    found : sequence of sequence of Remedy
        For each two jumps, on the line's own bike.
    reader : Reader
        Who reads it.
    all_of_it : Together, optional
        What makes the whole line carry.

    Returns
    -------
    str
        Lines of text, ending with a line break.
    """
    out = [f"{answer.complete.title}: what lies between the jumps", "A model's numbers, not a permit.", ""]
    why = next((jump.no_ride for jump in answer.jumps if jump.no_ride is not None), None)
    if why is not None:
        out += [*text.wrapped(reader.text(said("Not to be ridden: {why}.", why=note(why)))), ""]
    first_of_all = [] if why is not None else known_first(answer)
    helped = [] if all_of_it is None else [all_together(all_of_it)]
    out += [*text.bullets(reader.texts([*first_of_all, *ends(answer, [one[0] for one in stretches]), *helped])), ""]
    for each, helps in zip(stretches, found, strict=True):
        first, second = (answer.jumps[each[0].index + i] for i in (0, 1))
        out += [reader.text(said("From {first} to {second}", first=first.name, second=second.name))]
        for stretch in each:
            out += _one(answer, stretch, helps if stretch is each[0] else (), second.name, reader)
        out.append("")
    return "\n".join([*out, *text.wrapped(reader.text(HELD)), "", "Cautions", *text.bullets(CAUTIONS)]) + "\n"


def _one(answer: Answer, stretch: Stretch, helps: Sequence[Remedy], second: str, reader: Reader) -> list[str]:
    """One bike over what lies between two jumps."""
    told = [left(answer, stretch)]
    if stretch.why_none is None:
        told.append(margins(stretch))
    own = stretch.bike == answer.complete.bike.kind
    out = text.bullets(reader.texts([*told, *(cured(stretch, helps, second) if own else [])]))
    for way in stretch.ways:
        out += ["", f"{reader.text(way_name(way, stretch.bike))}; {reader.sign('speed')} to spare, by spacing and fall"]
        if any(one.built for row in way.cells for one in row):
            out += text.columns([reader.texts(head(stretch)), *(reader.texts(row) for row in rows(way))])
        else:
            out.append("so many strokes do not fit between them")
    return [*out, ""]
