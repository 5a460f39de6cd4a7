"""Words for what lies between two jumps: who comes over it, which spacing and fall carry, with how much to spare."""

from __future__ import annotations

import math

from jumpcalc.plan.answer import Jumps
from jumpcalc.plan.studies.arrive import LAST
from jumpcalc.plan.studies.between import Cell, Falls, Stretch, Way
from jumpcalc.plan.views.carry import Foot
from jumpcalc.show.words.jump import where_checked
from jumpcalc.show.words.notes import strokes
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import Between, Least, Most, Words, joined, said

__all__ = [
    "HELD", "STEPS", "cell", "comes_there", "falls", "head", "left", "margins", "missed", "rows", "spans", "spans_head", "way_name",
]  # fmt: skip

STEPS = {Reader.metric: (1.0, 0.2), Reader.imperial: (0.9144, 0.1524)}
"""Between the spacings and the falls of a table for each reader [m]: a metre and 20 cm, three feet and six inches."""

HELD = said(
    "Spacing is along the ground from the lower end of the landing to the foot of the next lip, or the edge of a drop, fall how much "
    "lower that lies. In a cell: how much faster than the slowest clean speed just before the next lip the slowest of them comes / how "
    "much slower than the fastest clean one the fastest; {minus} is missing. Not [today], which is ridden as it lies, every ground is "
    "one even slope after the curve of the landing, then a curve into the last {last:length}, which keep their slope so that the next "
    "jump stays as it is. × cannot be built like that, or its crest would throw the wheels off; halts: somebody does not get there.",
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
        comes = said("they come {there} with {speeds:speed}", there=where_checked(second), speeds=Between(*stretch.arriving.speeds))
    return said(
        "Who leaves {first} with {left:speed} {here} lands it clean {how}. Over the ground as it lies {comes}; clean there are "
        "{wanted:speed}.",
        first=first.name, left=Between(Least(stretch.left[0]), Most(stretch.left[1])), here=where_checked(first), how=how, comes=comes,
        wanted=Between(Least(stretch.wanted.min), Most(stretch.wanted.max)),
    )  # fmt: skip


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
        "Today the next jump begins {spacing:length} on and {fall} ({share:share.1})",
        spacing=today.spacing, fall=_lower(today.fall), share=today.share,
    )
    if not today.built:
        return said("{where}: a crest on the way would throw the wheels off.", where=where)
    if today.carries:
        return said(
            "{where}: all of them carry, with {slow:speed} to spare on the slow side and {fast:speed} on the fast side.",
            where=where, slow=Most(today.slow), fast=Most(today.fast),
        )  # fmt: skip
    return said("{where}: not all of them carry, {missed}.", where=where, missed=missed(today))


def missed(one: Cell) -> Words:
    """By how much a spacing and fall is missed, on either side.

    Parameters
    ----------
    one : Cell
        That does not carry.

    Returns
    -------
    str or Said
        Words.
    """
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
    both: Words = "halts"
    if math.isfinite(one.slow):
        both = said("{slow:speed bare}/{fast:speed bare}", slow=Most(one.slow), fast=Most(one.fast))
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


def spans_head(stretch: Stretch) -> list[Words]:
    """What stands over the columns of `spans`.

    Parameters
    ----------
    stretch : Stretch
        With a ground that is measured.

    Returns
    -------
    list of str or Said
        A cell for each column.
    """
    return ["spacing", *("rolling" if way.strokes == 0 else strokes(way.strokes) for way in stretch.ways)]


def spans(stretch: Stretch) -> list[list[Words]]:
    """The falls that carry: a row for each spacing, a column for each way of riding.

    Parameters
    ----------
    stretch : Stretch
        With a ground that is measured.

    Returns
    -------
    list of list of str or Said
        Cells.
    """
    made = []
    for each in zip(*(way.falls for way in stretch.ways), strict=True):
        cells = [
            "none" if one.low is None else said("{fall:level bare}", fall=Between(Least(one.low.fall), Most(one.high.fall))) for one in each
        ]
        made.append([said("{spacing:length}", spacing=each[0].spacing), *cells])
    return made


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
