"""Tries as a table, what was taken from a table, and every key that a try may have."""

from __future__ import annotations

import json

from jumpcalc.plan.inputs.declare import declared, key_of
from jumpcalc.plan.inputs.valid import spoken
from jumpcalc.plan.studies.field.tries import Try
from jumpcalc.show.files.tries_csv import COLUMNS
from jumpcalc.show.files.tries_read import Tries
from jumpcalc.show.words import text
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import Words, said
from jumpcalc.units import KINDS

__all__ = ["HEAD", "as_json", "imported", "in_words", "keys", "nothing_in", "rows", "table"]

_REASONS = 5  # of rows refused, on one line

HEAD = ("try", "day", "rider", "from", "strokes", "wind", "speed", "touched at", "landed", "note")
"""Heads of the table."""


def rows(tries: tuple[Try, ...]) -> list[list[Words]]:
    """Tries as rows of a table.

    Parameters
    ----------
    tries : tuple of Try
        In order.

    Returns
    -------
    list of list of str or Said
        Cells in the order of `HEAD`; empty where nothing was seen.
    """
    return [
        [
            said("{number:count}", number=number),
            one.date,
            one.rider or "",
            "" if one.start_mark is None else said("{mark:length}", mark=one.start_mark),
            "" if one.strokes is None else said("{strokes:count}", strokes=one.strokes),
            "" if one.tailwind is None else said("{wind:speed}", wind=one.tailwind),
            "" if one.measured is None else one.measured if one.speed is None else said("{speed:speed}", speed=one.speed),
            "" if one.touched is None else said("{place:length}", place=one.touched),
            one.outcome or "",
            one.note or "",
        ]
        for number, one in enumerate(tries, start=1)
    ]


def table(kept: Tries, log: str, reader: Reader) -> str:
    """The tries of a log, and what of it could not be read.

    Parameters
    ----------
    kept : Tries
        What it holds.
    log : str
        Where it is.
    reader : Reader
        Who reads it.

    Returns
    -------
    str
        Lines of text.
    """
    out = text.columns([list(HEAD), *(reader.texts(row) for row in rows(kept.tries))]) if kept.tries else ["No tries yet."]
    return "\n".join([*out, "", *_refused(kept), f"Kept in {log}."]) + "\n"


def as_json(kept: Tries, log: str) -> str:
    """The tries of a log as JSON, by the keys of its columns.

    Parameters
    ----------
    kept : Tries
        What it holds.
    log : str
        Where it is.

    Returns
    -------
    str
        SI.
    """
    names = list(declared(Try))
    own = [{_si_key(name): getattr(one, name) for name in names if getattr(one, name) is not None} for one in kept.tries]
    refused = [{"row": one.row, "text": one.text, "reason": one.reason} for one in kept.refused]
    return json.dumps({"log": log, "tries": own, "refused": refused}, indent=2, ensure_ascii=False) + "\n"


def _si_key(name: str) -> str:
    """A key with its unit in SI."""
    return f"{name}_mps" if declared(Try)[name].kind == "speed" else key_of(name, declared(Try)[name])


def in_words(one: Try) -> str:
    """A try as a person reads it, with every number as it is kept.

    Parameters
    ----------
    one : Try
        The try.

    Returns
    -------
    str
        What was seen of it, by the labels of its keys.
    """
    parts = []
    for name, declaration in declared(Try).items():
        value = getattr(one, name)
        if value is None:
            continue
        if declaration.kind == "flag":
            value = "yes" if value else "no"
        shown = spoken(value, declaration) if declaration.kind in KINDS and not isinstance(value, str) else value
        parts.append(f"{declaration.label[:1].lower()}{declaration.label[1:]} {shown}")
    return "; ".join(parts)


def imported(found: Tries, *, new: int, table: str, log: str) -> str:
    """What was taken from a table, and every row that was not.

    Parameters
    ----------
    found : Tries
        What the table holds.
    new : int
        How many of its tries were not in the log yet.
    table, log : str
        Names of both files.

    Returns
    -------
    str
        Lines of text.
    """
    there = len(found.tries) - new
    out = [f"{new} tries taken from {table}" + (f", {there} were there already" if there else "") + "."]
    out += _refused(found)
    if found.unused:
        out.append(f"Columns that mean nothing here: {', '.join(found.unused)}.")
    return "\n".join([*out, f"Kept in {log}."]) + "\n"


def nothing_in(found: Tries) -> str:
    """That nothing was taken from a table that holds no try, with the first reasons.

    Parameters
    ----------
    found : Tries
        What the table holds.

    Returns
    -------
    str
        On one line.
    """
    if not found.refused:
        return "nothing was kept: it holds no row of a try"
    count, first = len(found.refused), found.refused[:_REASONS]
    whole = "its only row was refused" if count == 1 else f"all of its {count} rows were refused"
    more = f"; and {count - _REASONS} more" if count > _REASONS else ""
    unused = f"; columns that mean nothing here: {', '.join(found.unused)}" if found.unused else ""
    return f"nothing was kept: {whole}; {'; '.join(f'row {one.row}: {one.reason}' for one in first)}{more}{unused}"


def _refused(found: Tries) -> list[str]:
    return [f"Row {one.row} was refused: {one.reason}   [{one.text}]" for one in found.refused]


def keys() -> str:
    """Every key that a try may have, with what it is.

    Returns
    -------
    str
        Lines of text.
    """
    out = []
    for column, declaration in zip(COLUMNS, declared(Try).values(), strict=True):
        allowed = "" if declaration.kind == "text" else f" ({declaration.allowed()})"
        out += [column, *text.bullets([f"{declaration.help}{allowed}"])]
    return "\n".join(out) + "\nOther units too: start_mark_ft, speed_mph and so on.\n"
