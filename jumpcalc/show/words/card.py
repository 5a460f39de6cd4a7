"""What stands on the pocket card, in words: its title, its table cell by cell, and the notes under it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from jumpcalc.plan.answer import Abort, JumpAnswer, RunInAnswer, Speeds
from jumpcalc.plan.limits import TIGHT_ROOM
from jumpcalc.show.words.jump import end
from jumpcalc.show.words.notes import look_at, strokes, unsaid
from jumpcalc.show.words.said import Least, Most, Words, joined, said

if TYPE_CHECKING:
    from jumpcalc.plan.studies.card import Card, CardRow, Damp

__all__ = ["Cell", "cells", "head", "notes", "subtitle", "title"]


_LONGEST_DATE = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """A piece of a table cell; `kind` is a kind of text of the sheet."""

    text: Words
    kind: str = "cell"
    bold: bool = False


def title(card: Card) -> Words:
    """Title of the card: the line's, and the jump's where there are several.

    Parameters
    ----------
    card : Card
        The card.

    Returns
    -------
    Said
        On one line.
    """
    return said("{title}" if card.jumps == 1 else "{title}: {name}", title=card.title, name=card.jump.name)


def subtitle(card: Card) -> Words:
    """When it was measured, which ground it is, and for whom it was worked out.

    Parameters
    ----------
    card : Card
        The card.

    Returns
    -------
    Said
        One row.
    """
    line = card.answer.complete
    date = card.measured_on or ""
    date = date if len(date) <= _LONGEST_DATE else date[: _LONGEST_DATE - 1].rstrip() + "…"
    rolled, pedalled = "rolling off from rest", "no pedal stroke"
    if line.run_in.start_speed:
        rolled = said("rolling in at {speed:speed}", speed=line.run_in.start_speed)
    if line.run_in.strokes:
        pedalled = strokes(line.run_in.strokes)
    return said(
        f"{'EXAMPLE, not your jump · ' if card.example else ''}{'Measured on {date}' if date else 'Measured on: not said'} · ground "
        "{ground} · by this model, of {model} · for {mass:mass} with bike, {bike}, {rolled}, {pedalled}",
        date=date, ground=card.fingerprint, model=card.model_date, mass=line.rider.mass, bike=line.bike.kind, rolled=rolled,
        pedalled=pedalled,
    )  # fmt: skip


def head(card: Card) -> list[list[Cell]]:
    """The table's head.

    Parameters
    ----------
    card : Card
        The card.

    Returns
    -------
    list of list of Cell
        A list for each column.
    """
    lip = end(card.jump)
    columns = (
        ("wind, ground", ""),
        (said(f"start, {{length_unit}} before the {lip}"), "(span)"),
        (said(f"speed just before the {lip}, {{speed_unit}}"), "(clean from–to)"),
        ("roll time from the start, s", "too slow · in the window · too fast".replace(" ·", "\u00a0·")),
        (said(f"last place to stop, {{length_unit}} before the {lip}"), "(speed there)"),
        (said("room after, {length_unit}"), ""),
    )
    return [
        [Cell(text=name, kind="head", bold=True), *([Cell(text=more, kind="head")] if more else [])]
        for name, more in columns
    ]


def cells(row: CardRow) -> list[list[Cell]]:
    """A row of the table; of two columns where no speed lands clean.

    Parameters
    ----------
    row : CardRow
        One wind on one ground.

    Returns
    -------
    list of list of Cell
        A list for each column.
    """
    first = [Cell(text=row.wind, bold=True), Cell(text=row.ground)]
    if row.foot is None:
        return [first, [Cell(text="no speed lands clean", bold=True)]]
    return [
        first,
        _start(row.jump.run_in),
        _speeds(row.foot),
        _watch(row.jump.run_in),
        _stop(row.last_stop, row.jump.run_in),
        _room(row.jump),
    ]


def notes(card: Card, *, warnings: int) -> list[Words]:
    """What must be known to read the table, then what to look at: so many warnings, the others counted.

    Parameters
    ----------
    card : Card
        The card.
    warnings : int
        How many warnings are said in full.

    Returns
    -------
    list of str or Said
        Paragraphs.
    """
    from jumpcalc.plan.studies.day import SEEN

    edge = "edge" if card.jump.shape == "drop" else "foot of the lip"
    side: Words = "not by this card"
    if card.jump.side_wind:
        side = said("not by this card, and from {wind:speed.0} on not at all", wind=Most(card.jump.side_wind))
    told: list[Words] = [
        said(
            "Headwind and tailwind: about {wind:speed.0}, leaves and twigs move. From the side: {side}. "
            "Gusty, or not sure: not today.",
            wind=SEEN, side=side,
        )
    ]
    if card.damp:
        taken = joined(map(_damp, card.damp), "; ")
        told.append(said("Damp is an assumption: {taken}. Wet, or it sticks: not today.", taken=taken))
    elif card.rows[0].ground == "dry":
        told.append("Damp wood is not on this card.")
    told.append(
        f"Start: begin at the lowest and find it by speed checks. Roll time: from the start to the {edge}, the "
        "average of three. Room after: left over when stopping from the fastest clean landing."
    )
    if card.jumps > 1:
        told.append(
            f"Only the first of {card.jumps} jumps is on this card: whether its speed carries to the next is not. The "
            "room after it ends at the next lip."
        )
    looks = look_at(unsaid(card.answer, headlines=[0]), jumps=1)
    if looks:
        left = len(looks) - warnings
        told.append(joined(["Look at:", *looks[:warnings], f"{left} more in the full answer." if left > 0 else ""]))
    return told


def _tape(metres: float) -> Words:
    """A length without its unit."""
    return said("{length:length bare}", length=metres)


def _start(found: RunInAnswer | None) -> list[Cell]:
    """The start mark for the aim and its span, or why there is none."""
    if found is None:
        return [Cell(text="run-in not measured")]
    span = found.span
    if span is None:
        if found.missing is None:
            fewer = found.strokes is not None and found.strokes.made
            return [Cell(text="no mark", bold=True), Cell(text="make fewer strokes" if fewer else "rolled in too fast")]
        lacking: Words = "edge not reached"
        if found.lip_speed is not None:
            lacking = said("for the aim by {missing:speed}", missing=found.missing)
        return [Cell(text="too short", bold=True), Cell(text=lacking)]
    may = "(from {short:length bare})" if span.long is None else "({short:length bare}–{long:length bare})"
    return [Cell(text=_tape(span.mark), kind="number", bold=True), Cell(text=said(may, short=span.short, long=span.long))]


def _speeds(speeds: Speeds) -> list[Cell]:
    """The aim, and the window."""
    return [
        Cell(text=said("{aim:speed bare}", aim=speeds.aim), kind="number", bold=True),
        Cell(text=said("({low:speed bare}–{high:speed bare})", low=Least(speeds.min), high=Most(speeds.max))),
    ]


def _watch(found: RunInAnswer | None) -> list[Cell]:
    """The roll time, and the readings that mean too slow, in the window and too fast."""
    if found is None or found.span is None or found.roll_times[1] is None:
        return [Cell(text="–")]
    time = Cell(text=f"{found.roll_times[1]:.1f}", kind="number", bold=True)
    slow, fast = (None if t is None else f"{t:.1f}" for t in (found.slow_time, found.fast_time))
    if slow is None or slow == fast:
        return [time, Cell(text="cannot tell: check the speed")]
    readings = f">{slow} · ≤{slow} · –" if fast is None else f">{slow} · {fast}–{slow} · <{fast}"
    return [time, Cell(text=readings)]


def _stop(found: Abort | None, run_in: RunInAnswer | None) -> list[Cell]:
    """The last place to stop before the lip."""
    if found is None:
        return [Cell(text="not known")]
    if not found.exists:
        return [Cell(text="none", bold=True), Cell(text="leave to the side")]
    from_top = ", from the top" if run_in.span is None else ""
    return [
        Cell(text=_tape(found.last), kind="number", bold=True),
        Cell(text=said(f"({{speed:speed}}{from_top})", speed=found.speed)),
    ]


def _room(jump: JumpAnswer) -> list[Cell]:
    """The room left after stopping; where the next jump follows nobody stops."""
    if jump.way_out is not None:
        return [Cell(text="none: next jump")]
    if jump.stop is None:
        return [Cell(text="not known")]
    margin = jump.stop.margin
    if margin is None:
        return [Cell(text="do not ride", bold=True), Cell(text="does not stop")]
    if margin < 0:
        return [Cell(text="do not ride", bold=True), Cell(text=said("{missing:length bare} missing", missing=-margin))]
    room = [Cell(text=_tape(margin), kind="number", bold=True)]
    return [*room, Cell(text="tight")] if margin < TIGHT_ROOM.value else room


def _damp(damp: Damp) -> Words:
    """How one surface is taken when damp."""
    towards = f", halfway to {damp.towards}" if damp.towards else ""
    rolls: Words = f"{damp.surface} rolls the same"
    if damp.rolling_factor != 1:
        rolls = said("{surface} rolls {harder:share} harder", surface=damp.surface, harder=damp.rolling_factor - 1)
    return said(f"{{rolls}} and grips {{less:share}} less{towards}", rolls=rolls, less=1 - damp.grip_factor)
