"""The printed speed check: for which speed, where the cones stand, the bands, what was read, then cautions."""

from __future__ import annotations

from collections.abc import Sequence

from jumpcalc.plan.studies.field.check import Check
from jumpcalc.plan.studies.field.kinds import Filmed, Timed
from jumpcalc.plan.studies.field.readings import Measured
from jumpcalc.plan.studies.field.takes import what_it_takes
from jumpcalc.plan.studies.field.window import lies
from jumpcalc.show.words import check as told
from jumpcalc.show.words import inputs, stopping, text
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.notes import look_at, unsaid
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import Words, listed, said

__all__ = ["report", "sentences", "title"]

_EXAMPLE = "EXAMPLE, not your jump."


def report(found: Check, reader: Reader = Reader.metric, *, readings: Sequence[Measured] = ()) -> str:
    """The speed check as a person reads it.

    Parameters
    ----------
    found : Check
        From `plan.studies.field.check.check`.
    reader : Reader
        Who reads it.
    readings : sequence of Measured
        What was measured, to be put into sentences.

    Returns
    -------
    str
        Lines of text, ending with a line break.
    """
    out = [
        *text.wrapped(reader.text(title(found))),
        *([_EXAMPLE] if found.example else []),
        "A model's numbers, not a permit.",
        "",
        *text.wrapped(reader.text(told.headline(found))),
        "",
    ]
    measured = [words for one in readings for words in sentences(found, one)]
    if measured:
        out += ["What was measured", *text.bullets(reader.texts(measured)), ""]
    where = listed([*told.where(found), stopping.before(found.jump) if found.window is not None else ""])
    if where:
        out += ["Where", *text.bullets(reader.texts(where)), ""]
    if found.window is not None:
        out += ["What counts"]
        if found.bands:
            out += [*text.columns([list(told.HEAD), *(reader.texts(told.row(band)) for band in found.bands)]), ""]
        taken = [told.takes(kind, what_it_takes(found, kind), found) for kind in (Timed, Filmed)]
        out += [*text.bullets(reader.texts(listed([told.best(found), *taken]))), ""]
    warnings = unsaid(found.answer, headlines=[0])
    if warnings:
        out += ["Look at", *text.bullets(reader.texts(look_at(warnings, jumps=len(found.answer.jumps)))), ""]
    assumed = reader.texts(inputs.groups(found.answer)) or ["nothing"]
    out += ["Assumed, not measured", *text.bullets(assumed), "", "Cautions", *text.bullets(CAUTIONS), ""]
    return "\n".join([*out, f"Ground {found.answer.fingerprint}, model of {found.answer.model_date}."]) + "\n"


def sentences(found: Check, one: Measured) -> list[Words]:
    """Where what was measured lies in the window of a check.

    Parameters
    ----------
    found : Check
        The check.
    one : Measured
        From one reading.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    at = None if found.window is None else lies(found.window, one)
    return told.lies(one, at, found.window, drop=found.jump.shape == "drop")


def title(found: Check) -> Words:
    """What is checked.

    Parameters
    ----------
    found : Check
        The check.

    Returns
    -------
    Said
        On one line.
    """
    which = said(": {jump}", jump=found.jump.name) if len(found.answer.jumps) > 1 else ""
    by = found.answer.line.learned_from
    corrected = said(", corrected by {tries}", tries=by) if by else ""
    return said("Speed check, {title}{which}{corrected}", title=found.answer.complete.title, which=which, corrected=corrected)
