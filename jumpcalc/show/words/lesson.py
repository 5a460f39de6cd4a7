"""The lesson of a log as a page of text."""

from __future__ import annotations

from collections.abc import Sequence

from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.field.learn import Learned
from jumpcalc.plan.studies.field.why import Why
from jumpcalc.show.files.examples import is_example
from jumpcalc.show.files.tries_read import Refused
from jumpcalc.show.words import learned, text, why
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import Words

__all__ = ["report", "why_report"]

_EXAMPLE = "EXAMPLE: this jump is a bundled one, made up to show how it goes."


def report(found: Learned, reader: Reader, *, refused: Sequence[Refused] = (), log: str = "", tries: bool = False) -> str:
    """What tries taught.

    Parameters
    ----------
    found : Learned
        From `learn`.
    reader : Reader
        Who reads it.
    refused : sequence of Refused
        Rows of the log that are no tries.
    log : str
        Where the tries are kept.
    tries : bool
        Whether every try is listed.

    Returns
    -------
    str
        Lines of text.
    """
    out = _head(found.line)
    out += [*_section("The next try", learned.next_try(found), reader)]
    out += [*_section("What these tries teach", learned.taught(found), reader)]
    out += [*text.columns([list(learned.TAUGHT_HEAD), *(reader.texts(row) for row in learned.taught_rows(found))]), ""]
    out += ["± holds 9 of 10.", ""]
    doubted = [*learned.blunders(found), *(f"Row {one.row} of the log is no try: {one.reason}." for one in refused)]
    out += _section("Not believed, or left out", doubted, reader) if doubted else []
    if tries:
        out += ["Each try", *text.columns([list(learned.HELD_HEAD), *(reader.texts(row) for row in learned.held_rows(found.held))]), ""]
    out += _section("Cautions", list(CAUTIONS), reader)
    return "\n".join([*out, f"Tries kept in {log}." if log else ""]).rstrip() + "\n"


def why_report(found: Why, line: Line, reader: Reader) -> str:
    """Why tries land where they do.

    Parameters
    ----------
    found : Why
        From `why`.
    line : Line
        As measured.
    reader : Reader
        Who reads it.

    Returns
    -------
    str
        Lines of text.
    """
    out = [*_head(line), *_section("What the landings have in common", why.summary(found), reader)]
    looked = why.look(found)
    out += _section("Look at this first, in this order", looked, reader) if looked else []
    return "\n".join([*out, *_section("Cautions", list(CAUTIONS), reader)]).rstrip() + "\n"


def _head(line: Line) -> list[str]:
    marks = [_EXAMPLE] if is_example(line) else []
    return [line.title or "untitled line", *marks, "A model's numbers, not a permit.", ""]


def _section(head: str, items: list[Words], reader: Reader) -> list[str]:
    return [head, *text.bullets(reader.texts([item for item in items if item])), ""]
