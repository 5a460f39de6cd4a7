"""What stands on the pocket card, in words: its answer, its tables cell by cell, and how to read them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from jumpcalc.plan.answer import Answer, JumpAnswer, RunInAnswer
from jumpcalc.plan.limits import TIGHT_ROOM
from jumpcalc.plan.studies.rideable import refused
from jumpcalc.show.words import jump as told
from jumpcalc.show.words import ride
from jumpcalc.show.words.notes import look_at, strokes, unsaid
from jumpcalc.show.words.rideable import do_not, in_full
from jumpcalc.show.words.said import Between, Least, Most, Words, joined, listed, said, sentence

if TYPE_CHECKING:
    from jumpcalc.plan.studies.card import Card, CardRow, Damp

__all__ = ["Part", "about", "answer", "day", "head", "jump_cells", "jump_head", "jump_title", "looks", "row_cells"]

_LONGEST_DATE = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A piece of a table's cell; `large` for the number that is looked for."""

    text: Words
    bold: bool = False
    large: bool = False


def answer(card: Card, index: int) -> Words:
    """What stands first of one jump: that it is not to be ridden, or the answer.

    Parameters
    ----------
    card : Card
        The card.
    index : int
        Which jump, from 0; before the first one, what holds for the whole line.

    Returns
    -------
    str or Said
        Sentences.
    """
    found, count = card.answer, len(card.answer.jumps)
    jump, why = found.jumps[index], card.refused or refused(found)
    if why is not None:
        here = index == 0 or why.jump == index + 1
        return in_full(why, found) if here else ""
    if count == 1:
        return told.headline(jump)
    speeds, where = told.checked_at(jump)
    clean = said(f"lands clean at {{clean:speed}} {where}", clean=told.clean(speeds))
    line = [ride.headline(found), told.reach(jump)] if index == 0 else [sentence(clean)]
    return joined([*told.before_speed(jump), *line])


def about(card: Card) -> Words:
    """When it was measured, which ground and model, and for whom it was worked out.

    Parameters
    ----------
    card : Card
        The card.

    Returns
    -------
    Said
        One paragraph.
    """
    found = card.answer
    line = found.complete
    date = line.measured_on or ""
    date = date if len(date) <= _LONGEST_DATE else date[: _LONGEST_DATE - 1].rstrip() + "…"
    rolled, pedalled = "from rest", "no stroke"
    if line.run_in.start_speed:
        rolled = said("rolled in at {speed:speed}", speed=line.run_in.start_speed)
    if line.run_in.strokes:
        pedalled = strokes(line.run_in.strokes)
    return said(
        f"{'Measured on {date}' if date else 'Measured on: not said'}; {{mass:mass}} "
        "with bike, {bike}, {rolled}, {pedalled}. Ground {ground}, model of {model}.",
        date=date, ground=found.fingerprint, model=found.model_date, mass=line.rider.mass, bike=line.bike.kind, rolled=rolled,
        pedalled=pedalled,
    )  # fmt: skip


def head(card: Card) -> list[list[Part]]:
    """The head of the table of the first page.

    Parameters
    ----------
    card : Card
        The card.

    Returns
    -------
    list of list of Part
        A list for each column.
    """
    lip, many = told.end(card.answer.jumps[0]), len(card.answer.jumps) > 1
    columns = (
        ("day", ""),
        (said(f"start, {{length_unit}} before {'edge' if lip == 'edge' else 'foot'}"), "(all clean)" if many else "(may be)"),
        (said(f"speed at {'edge' if lip == 'edge' else 'foot'}, {{speed_unit}}"), "(all clean)" if many else "(clean)"),
        (said("last stop, {length_unit} before"), "(speed)"),
        (said("room after, {length_unit}"), ""),
    )
    return [[Part(text=name, bold=True), *([Part(text=more)] if more else [])] for name, more in columns]


def row_cells(row: CardRow) -> list[list[Part]]:
    """A row of the first page's table; of two columns where there is nothing to ride by.

    Parameters
    ----------
    row : CardRow
        One wind on one ground.

    Returns
    -------
    list of list of Part
        A list for each column.
    """
    found = row.answer
    first = [Part(text=row.wind, bold=True), Part(text=row.ground)]
    if row.refused is not None:
        return [first, [Part(text=do_not(row.refused, jumps=len(found.jumps)), bold=True)]]
    return [first, _start(row), _speeds(row), _stop(found.jumps[0]), _room(found.jumps[-1])]


def jump_title(card: Card, index: int) -> Words:
    """Which jump of the line it is, where there are several.

    Parameters
    ----------
    card : Card
        The card.
    index : int
        Which jump, from 0.

    Returns
    -------
    str or Said
        A few words, or nothing.
    """
    jumps = card.answer.jumps
    if len(jumps) == 1:
        return ""
    return said("jump {number:count} of {count:count}: {name}", number=index + 1, count=len(jumps), name=jumps[index].name)


def jump_head(card: Card, index: int) -> list[list[Part]]:
    """The head of the table of a jump after the first.

    Parameters
    ----------
    card : Card
        The card.
    index : int
        Which jump, from 0.

    Returns
    -------
    list of list of Part
        A list for each column.
    """
    foot = "edge" if told.end(card.answer.jumps[index]) == "edge" else "foot"
    names = ("day", said("comes to it at, {speed_unit}"), said(f"clean at its {foot}, {{speed_unit}}"), said("room after, {length_unit}"))
    return [[Part(text=name, bold=True)] for name in names]


def jump_cells(row: CardRow, index: int) -> list[list[Part]]:
    """A row of the table of a jump after the first; of two columns where there is nothing to ride by.

    Parameters
    ----------
    row : CardRow
        One wind on one ground.
    index : int
        Which jump, from 0.

    Returns
    -------
    list of list of Part
        A list for each column.
    """
    jump = row.answer.jumps[index]
    first = [Part(text=said("{wind}, {ground}", wind=row.wind, ground=row.ground), bold=True)]
    if row.refused is not None:
        return [first, [Part(text="do not ride: see page 1", bold=True)]]
    speeds, _ = told.checked_at(jump)
    comes = said("{speed:speed bare}", speed=row.arrives[index]) if index < len(row.arrives) else "–"
    clean = said("{low:speed bare}–{high:speed bare}", low=Least(speeds.min), high=Most(speeds.max))
    return [first, [Part(text=comes, bold=True)], [Part(text=clean)], _room(jump)]


def day(card: Card) -> list[Words]:
    """What must be known to read the tables.

    Parameters
    ----------
    card : Card
        The card.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    from jumpcalc.plan.studies.day import SEEN

    if not card.rows:
        return []
    jumps = card.answer.jumps
    winds = [jump.side_wind for jump in jumps if jump.side_wind]
    side: Words = said("not by this card, from {wind:speed.0} on not at all", wind=Most(min(winds))) if winds else "not by this card"
    wind = said(
        "Headwind, tailwind: about {wind:speed.0}, leaves and twigs move. Side wind: {side}. Gusty, or not sure: not today.",
        wind=SEEN, side=side,
    )  # fmt: skip
    damp: Words = "Damp wood, or ground nothing is known of: not by this card."
    if card.damp:
        damp = said("Damp is an assumption: {taken}.", taken=joined(map(_damp, card.damp), "; "))
    start = "Start: find it by speed checks, the lip not jumped."
    if len(jumps) == 1:
        start += " In brackets: where dirt, wind or a misread slope may put it."
    room = "Room after: what is left when stopping from the fastest clean landing."
    return [wind, joined([damp, "Wet, or it sticks: not today."]), joined([start, room]), *_stiff(card.answer)]


def _stiff(answer: Answer) -> list[Words]:
    """For whom the clean speeds are, and what speed checks ask for instead."""
    jump, wind = answer.jumps[0], "the line's own wind" if answer.complete.air.tailwind else "still air"
    sure = jump.sure_foot
    if len(answer.jumps) > 1 or sure is None or jump.shape == "drop":
        return []
    clean = Between(Least(sure[0]), Most(sure[1]))
    text = "Clean is for who rides the lip stiffly. Checks ask for {clean:speed} in {wind}: clean too if it is soaked up or sprung off."
    return [said(text, clean=clean, wind=wind)]


def looks(card: Card) -> list[Words]:
    """What to look at.

    Parameters
    ----------
    card : Card
        The card.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    found = card.answer
    return listed(look_at(unsaid(found, headlines=range(len(found.jumps))), jumps=len(found.jumps)))


def _tape(metres: float | Least) -> Words:
    """A length without its unit."""
    return said("{length:length bare}", length=metres)


def _start(row: CardRow) -> list[Part]:
    """The start mark and its span, or why there is none."""
    found = row.answer.jumps[0].run_in
    if found is None:
        return [Part(text="run-in not measured")]
    if row.marks is None:
        return _no_start(found)
    number = Part(text=_tape(row.marks.mark), bold=True, large=True)
    if len(row.answer.jumps) > 1:
        low, high = Least(row.marks.short), Most(row.marks.long)
        return [number, Part(text=said("({low:length bare}–{high:length bare})", low=low, high=high))]
    span = found.span
    if span is None:
        return [number, Part(text=said("({low:length bare} to top)", low=Least(row.marks.short)))]
    may = "({short:length bare} on)" if span.long is None else "({short:length bare}–{long:length bare})"
    return [number, Part(text=said(may, short=span.short, long=span.long))]


def _no_start(found: RunInAnswer) -> list[Part]:
    """Why no mark gives a clean landing."""
    if found.missing is None:
        fewer = found.strokes is not None and found.strokes.made
        return [Part(text="no mark", bold=True), Part(text="make fewer strokes" if fewer else "rolled in too fast")]
    lacking: Words = "edge not reached"
    if found.lip_speed is not None:
        lacking = said("by {missing:speed}", missing=found.missing)
    return [Part(text="too short", bold=True), Part(text=lacking)]


def _speeds(row: CardRow) -> list[Part]:
    """The speed to come with, and what lands clean."""
    jump = row.answer.jumps[0]
    speeds, _ = told.checked_at(jump)
    low, aim, high = speeds.min, speeds.aim, speeds.max
    if row.marks is not None and len(row.answer.jumps) > 1:
        low, aim, high = row.marks.foot
    elif row.marks is not None and jump.run_in.from_top:
        aim = row.marks.foot[1]
    return [
        Part(text=said("{aim:speed bare}", aim=Most(aim) if aim >= high else aim), bold=True, large=True),
        Part(text=said("({low:speed bare}–{high:speed bare})", low=Least(low), high=Most(high))),
    ]


def _stop(jump: JumpAnswer) -> list[Part]:
    """The last place to stop before the first lip, riding from the mark."""
    found = jump.abort
    if jump.run_in is None or jump.run_in.mark is None:
        return [Part(text="–")]
    if found is None:
        return [Part(text="not known")]
    if not found.exists:
        return [Part(text="none", bold=True), Part(text="way off!")]
    return [Part(text=_tape(Least(found.last)), bold=True, large=True), Part(text=said("({speed:speed})", speed=found.speed))]


def _room(jump: JumpAnswer) -> list[Part]:
    """The room left after stopping; where the next jump follows nobody stops."""
    if jump.way_out is not None:
        return [Part(text="none: next jump")]
    if jump.stop is None or jump.stop.margin is None:
        return [Part(text="not known")]
    room = [Part(text=_tape(jump.stop.margin), bold=True, large=True)]
    return [*room, Part(text="tight")] if jump.stop.margin < TIGHT_ROOM.value else room


def _damp(damp: Damp) -> Words:
    """How one surface is taken when damp."""
    rolls: Words = f"{damp.surface} rolls the same"
    if damp.rolling_factor != 1:
        rolls = said("{surface} rolls {harder:share} harder", surface=damp.surface, harder=damp.rolling_factor - 1)
    return said("{rolls}, grips {less:share} less", rolls=rolls, less=1 - damp.grip_factor)
