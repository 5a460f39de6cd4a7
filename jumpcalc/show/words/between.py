"""Words for what lies between jumps: which spacing and fall carry, with how much to spare, which jump ends the line, what helps."""

from __future__ import annotations

import math
from collections.abc import Sequence

from jumpcalc.plan.answer import Answer, JumpAnswer, Jumps
from jumpcalc.plan.studies.between import LAST, Cell, Falls, Stretch, Way
from jumpcalc.plan.studies.remedies import Remedy
from jumpcalc.plan.views.carry import Foot
from jumpcalc.show.words import text
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.notes import note, strokes
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.ride import headline
from jumpcalc.show.words.said import Between, Least, Most, Words, joined, listed, said

__all__ = ["HELD", "STEPS", "cell", "comes_there", "cured", "ends", "falls", "head", "left", "margins", "report", "rows", "way_name"]

STEPS = {Reader.metric: (1.0, 0.2), Reader.imperial: (0.9144, 0.1524)}
"""Between the spacings and the falls of a table for each reader [m]: a metre and 20 cm, three feet and six inches."""

HELD = said(
    "Spacing is along the ground from the lower end of the landing to the foot of the next lip, fall how much lower that foot lies. In a "
    "cell: how much faster than the slowest clean speed just before the next lip the slowest of them comes / how much slower than the "
    "fastest clean one the fastest; {minus} is missing. Not [today], which is ridden as it lies, every ground is one even slope "
    "after the curve of the landing, then a curve into the last {last:length}, which keep their slope so that the next jump stays as it "
    "is. × cannot be built like that, or its crest would throw the wheels off.",
    minus="−", last=LAST,
)
"""How a table is read, and what is held in it."""


def left(answer: Jumps, stretch: Stretch) -> Words:
    """Who leaves the first jump, who comes to the next, and what that one takes.

    Parameters
    ----------
    answer : Jumps
        What was solved.
    stretch : Stretch
        Of it.

    Returns
    -------
    str or Said
        Sentences.
    """
    first, second = answer.jumps[stretch.index], answer.jumps[stretch.index + 1]
    if stretch.why_none == "no window":
        return said("{name} has no speed that lands clean: see what solve says of it.", name=answer.jumps[stretch.jump - 1].name)
    if stretch.why_none is not None:
        return said("The ground between {first} and {second} is not measured.", first=first.name, second=second.name)
    how = (
        "whatever the rider does at its lip, squashed, stiff or sprung" if first.shape != "drop"
        else "whether the bike rolls off it or its front is carried"
    )  # fmt: skip
    if not stretch.sure:
        how = "ridden stiffly: nothing is clean whatever the rider does"
    comes: Words = "somebody halts on the way"
    if stretch.arriving.speeds is not None:
        comes = said("they come {there} with {speeds:speed}", there=_at(second), speeds=Between(*stretch.arriving.speeds))
    return said(
        "Who leaves {first} with {left:speed} {here} lands it clean {how}. Over the ground as it lies {comes}; clean there are "
        "{wanted:speed}.",
        first=first.name, left=Between(Least(stretch.left[0]), Most(stretch.left[1])), here=_at(first), how=how, comes=comes,
        wanted=Between(Least(stretch.wanted.min), Most(stretch.wanted.max)),
    )  # fmt: skip


def _at(jump: JumpAnswer) -> str:
    return "at its edge" if jump.shape == "drop" else "just before its lip"


def margins(stretch: Stretch) -> Words:
    """What is there today, and whether it carries.

    Parameters
    ----------
    stretch : Stretch
        With a ground that is measured.

    Returns
    -------
    str or Said
        A sentence.
    """
    today = stretch.today
    where = said(
        "Today the foot lies {spacing:length} on and {fall} ({share:share.1})",
        spacing=today.spacing, fall=_lower(today.fall), share=today.share,
    )
    if not today.built:
        return said("{where}: a crest on the way would throw the wheels off.", where=where)
    if today.carries:
        return said(
            "{where}: all of them carry, with {slow:speed} to spare on the slow side and {fast:speed} on the fast side.",
            where=where, slow=Most(today.slow), fast=Most(today.fast),
        )  # fmt: skip
    return said("{where}: not all of them carry, {missed}.", where=where, missed=_missed(today))


def _missed(one: Cell) -> Words:
    """By how much a cell is missed, on either side."""
    if math.isinf(one.slow):
        return "the slowest halt on the way"
    slow = said("the slowest come {by:speed} too slowly", by=Least(-one.slow)) if one.slow < 0 else ""
    fast = said("the fastest come {by:speed} too fast", by=Least(-one.fast)) if one.fast < 0 else ""
    return joined([slow, fast], " and ")


def _lower(fall: float) -> Words:
    if abs(fall) < 0.005:
        return "level with the lower end of the landing"
    return said(f"{{by:level}} {'lower' if fall > 0 else 'higher'} than the lower end of the landing", by=abs(fall))


def way_name(way: Way, bike: str) -> Words:
    """What a way of riding is called.

    Parameters
    ----------
    way : Way
        With its strokes.
    bike : str
        Kind of bike.

    Returns
    -------
    Said
        A title.
    """
    how = strokes(way.strokes) if way.strokes else ""
    return said("{bike}, {how}", bike=bike, how=said("{how} from the end of the landing on", how=how) if way.strokes else "rolling")


def head(stretch: Stretch) -> list[Words]:
    """What stands over the columns of `rows`.

    Parameters
    ----------
    stretch : Stretch
        With a ground that is measured.

    Returns
    -------
    list of str or Said
        A cell for each column.
    """
    columns: list[Words] = [said("{fall:level}", fall=fall) for fall in stretch.falls]
    return ["spacing", *columns, "carries with a fall of"]


def rows(way: Way) -> list[list[Words]]:
    """Margins, a row for each spacing, and the falls that carry.

    Parameters
    ----------
    way : Way
        Of a stretch.

    Returns
    -------
    list of list of str or Said
        Cells.
    """
    made = []
    for cells, limits in zip(way.cells, way.falls, strict=True):
        made.append([said("{spacing:length}", spacing=limits.spacing), *(cell(one, way) for one in cells), falls(limits)])
    return made


def cell(one: Cell, way: Way) -> Words:
    """The margins of one spacing and fall, between brackets where it is today's.

    Parameters
    ----------
    one : Cell
        Of that way.
    way : Way
        The way.

    Returns
    -------
    str or Said
        Two numbers without their unit.
    """
    if not one.built:
        return "[×]" if one is way.today else "×"
    slow = "halts" if math.isinf(one.slow) else said("{slow:speed bare}", slow=Most(one.slow))
    both = said("{slow}/{fast:speed bare}", slow=slow, fast=Most(one.fast))
    return said("[{both}]", both=both) if one is way.today else both


def falls(limits: Falls) -> Words:
    """The falls that carry at a spacing, as a tape and a level have them and in percent.

    Parameters
    ----------
    limits : Falls
        Of a spacing.

    Returns
    -------
    str or Said
        Words.
    """
    if limits.low is None:
        return "none"
    low, high = limits.low, limits.high
    return said(
        "{fall:level} ({share:share.1})",
        fall=Between(Least(low.fall), Most(high.fall)), share=Between(Least(low.share), Most(high.share)),
    )  # fmt: skip


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
                number=number, name=jump.name, missed=_missed(first.today) if first.today.built else "some are thrown off a crest",
            )
        )  # fmt: skip
    return listed(told)


_KINDS = {
    "strokes": "{made} from the end of the landing on",
    "brake": "braking over the first {becomes:length} of the runout, by everybody and every time",
    "landing": "the landing of {second} {by:height} longer, {becomes:height} in all",
    "gap": "the gap of {second} {by:height} {more}, {becomes:height} in all",
    "fall": "the foot of {second} {by:level} {way} than it lies, with all that follows, on an even slope",
    "spacing": "the foot of {second} {by:length} {further}, {becomes:length} in all, at the same fall on an even slope",
}


def _remedy(one: Remedy, second: str) -> Words:
    longer = one.becomes > one.was
    what = said(
        _KINDS[one.kind], second=second, by=abs(one.becomes - one.was), becomes=one.becomes, made=strokes(round(one.becomes)),
        more="longer" if longer else "shorter", further="further on" if longer else "nearer", way="lower" if longer else "higher",
    )  # fmt: skip
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


def comes_there(foot: Foot) -> Words:
    """Who comes to a jump and what is clean there, in short.

    Parameters
    ----------
    foot : Foot
        Of a drawing.

    Returns
    -------
    Said
        A row of words.
    """
    comes = "not all get there" if foot.comes is None else said("{speeds:speed}", speeds=Between(*foot.comes))
    clean = "none" if foot.clean is None else said("{speeds:speed}", speeds=Between(Least(foot.clean.min), Most(foot.clean.max)))
    return said("{name}: {comes} come, clean {clean}", name=foot.name, comes=comes, clean=clean)


def report(
    answer: Answer, stretches: Sequence[Sequence[Stretch]], found: Sequence[Sequence[Remedy]], reader: Reader = Reader.metric
) -> str:
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

    Returns
    -------
    str
        Lines of text, ending with a line break.
    """
    out = [f"{answer.complete.title}: what lies between the jumps", "A model's numbers, not a permit.", ""]
    why = next((jump.no_ride for jump in answer.jumps if jump.no_ride is not None), None)
    if why is not None:
        out += [*text.wrapped(reader.text(said("Not to be ridden: {why}.", why=note(why)))), ""]
    out += [*text.bullets(reader.texts(ends(answer, [one[0] for one in stretches]))), ""]
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
