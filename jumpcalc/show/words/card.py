"""What stands on the pocket card, in words: its title, its table cell by cell, and the notes under it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from jumpcalc.plan.answer import Abort, JumpAnswer, RunInAnswer, Speeds
from jumpcalc.plan.limits import TIGHT_ROOM
from jumpcalc.show import words

if TYPE_CHECKING:
    from jumpcalc.plan.studies.card import Card, CardRow, Damp

__all__ = ["Cell", "cells", "head", "notes", "subtitle", "title"]


_LONGEST_DATE = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """A piece of a table cell; `kind` is a kind of text of the sheet."""

    text: str
    kind: str = "cell"
    bold: bool = False


def title(card: Card) -> str:
    """Title of the card: the line's, and the jump's where there are several."""
    return card.title if card.jumps == 1 else f"{card.title}: {card.jump.name}"


def subtitle(card: Card, units: str) -> str:
    """When it was measured, which ground it is, and for whom it was worked out."""
    line = card.answer.complete
    date = card.measured_on or ""
    date = date if len(date) <= _LONGEST_DATE else date[: _LONGEST_DATE - 1].rstrip() + "…"
    measured = f"Measured on {date}" if date else "Measured on: not said"
    mass = f"{words.value(line.rider.mass, 'mass', 'lb', 0)} lb" if units == "imperial" else f"{line.rider.mass:.0f} kg"
    rolled, strokes = "rolling off from rest", "no pedal stroke"
    if line.run_in.start_speed:
        rolled = f"rolling in at {words.speed(line.run_in.start_speed, units)}"
    if line.run_in.strokes:
        strokes = f"{line.run_in.strokes} pedal stroke{'s' if line.run_in.strokes > 1 else ''}"
    text = (
        f"{measured} · ground {card.fingerprint} · by this model, of {card.model_date} · for {mass} with bike, "
        f"{line.bike.kind}, {rolled}, {strokes}"
    )
    return f"EXAMPLE, not your jump · {text}" if card.example else text


def head(card: Card, units: str) -> list[list[Cell]]:
    """The table's head."""
    length, speed = ("ft", "mph") if units == "imperial" else ("m", "km/h")
    lip = "edge" if card.jump.shape == "drop" else "lip"
    columns = (
        ("wind, ground", ""),
        (f"start, {length} before the {lip}", "(span)"),
        (f"speed just before the {lip}, {speed}", "(clean from–to)"),
        ("roll time from the start, s", "too slow · in the window · too fast".replace(" ·", "\u00a0·")),
        (f"last place to stop, {length} before the {lip}", "(speed there)"),
        (f"room after, {length}", ""),
    )
    return [
        [Cell(text=name, kind="head", bold=True), *([Cell(text=more, kind="head")] if more else [])]
        for name, more in columns
    ]


def cells(row: CardRow, units: str) -> list[list[Cell]]:
    """A row of the table; of two columns where no speed lands clean."""
    first = [Cell(text=row.wind, bold=True), Cell(text=row.ground)]
    if row.foot is None:
        return [first, [Cell(text="no speed lands clean", bold=True)]]
    return [
        first,
        _start(row.jump.run_in, units),
        _speeds(row.foot, units),
        _watch(row.jump.run_in),
        _stop(row.last_stop, row.jump.run_in, units),
        _room(row.jump, units),
    ]


def notes(card: Card, units: str, *, warnings: int) -> list[str]:
    """What must be known to read the table, then what to look at: so many warnings, the others counted."""
    edge = "edge" if card.jump.shape == "drop" else "foot of the lip"
    wind = "6 mph" if units == "imperial" else "10 km/h"
    said = [
        f"Headwind and tailwind: about {wind}, leaves and twigs move. From the side: not by this card. "
        "Gusty, or not sure: not today."
    ]
    if card.damp:
        taken = "; ".join(_damp(damp) for damp in card.damp)
        said.append(f"Damp is an assumption: {taken}. Wet, or it sticks: not today.")
    elif card.rows[0].ground == "dry":
        said.append("Damp wood is not on this card.")
    said.append(
        f"Start: begin at the lowest and find it by speed checks. Roll time: from the start to the {edge}, the "
        "average of three. Room after: left over when stopping from the fastest clean landing."
    )
    if card.jumps > 1:
        said.append(
            f"Only the first of {card.jumps} jumps is on this card: whether its speed carries to the next is not. The "
            "room after it ends at the next lip."
        )
    if card.answer.warnings:
        look = [words.sentence(words.note(one, units)) for one in card.answer.warnings[:warnings]]
        left = len(card.answer.warnings) - warnings
        said.append("Look at: " + " ".join([*look, *([f"{left} more in the full answer."] if left else [])]))
    return said


def _metres(metres: float, units: str) -> str:
    """A length without its unit: 0.1 m or 1 ft."""
    return words.number(words.length(metres, units, digits=0 if units == "imperial" else 1))


def _start(found: RunInAnswer | None, units: str) -> list[Cell]:
    """The start mark for the aim and its span, or why there is none."""
    if found is None:
        return [Cell(text="run-in not measured")]
    span = found.span
    if span is None:
        if found.missing is None:
            fewer = found.strokes is not None and found.strokes.made
            return [Cell(text="no mark", bold=True), Cell(text="make fewer strokes" if fewer else "rolled in too fast")]
        lacking = "edge not reached"
        if found.lip_speed is not None:
            lacking = f"for the aim by {words.speed(found.missing, units, digits=1)}"
        return [Cell(text="too short", bold=True), Cell(text=lacking)]
    short = _metres(span.short, units)
    may = f"(from {short})" if span.long is None else f"({short}–{_metres(span.long, units)})"
    return [Cell(text=_metres(span.mark, units), kind="number", bold=True), Cell(text=may)]


def _speeds(speeds: Speeds, units: str) -> list[Cell]:
    """The aim in whole units where that lies inside the window, and the window."""
    low, aim, high = (words.number(words.speed(v, units, digits=1)) for v in (speeds.min, speeds.aim, speeds.max))
    whole = words.number(words.speed(speeds.aim, units))
    aim = whole if float(low) <= float(whole) <= float(high) else aim
    return [Cell(text=aim, kind="number", bold=True), Cell(text=f"({low}–{high})")]


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


def _stop(found: Abort | None, run_in: RunInAnswer | None, units: str) -> list[Cell]:
    """The last place to stop before the lip."""
    if found is None:
        return [Cell(text="not known")]
    if not found.exists:
        return [Cell(text="none", bold=True), Cell(text="leave to the side")]
    from_top = ", from the top" if run_in.span is None else ""
    return [
        Cell(text=_metres(found.last, units), kind="number", bold=True),
        Cell(text=f"({words.speed(found.speed, units)}{from_top})"),
    ]


def _room(jump: JumpAnswer, units: str) -> list[Cell]:
    """The room left after stopping."""

    if jump.stop is None:
        return [Cell(text="not known")]
    margin = jump.stop.margin
    if margin is None:
        return [Cell(text="do not ride", bold=True), Cell(text="does not stop")]
    if margin < 0:
        return [Cell(text="do not ride", bold=True), Cell(text=f"{_metres(-margin, units)} missing")]
    room = [Cell(text=_metres(margin, units), kind="number", bold=True)]
    return [*room, Cell(text="tight")] if margin < TIGHT_ROOM.value else room


def _damp(damp: Damp) -> str:
    """How one surface is taken when damp."""
    towards = f", midway to {damp.towards}" if damp.towards else ""
    factors = f"rolling resistance × {damp.rolling_factor:.2g}, grip × {damp.grip_factor:.2g}"
    return f"{damp.surface} with {factors}{towards}"
