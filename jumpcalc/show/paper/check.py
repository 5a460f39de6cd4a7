"""The speed check as one page of A6, its figures large: to be read with gloves on, and off a wet phone."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from jumpcalc.plan.studies.field.check import Check
from jumpcalc.plan.studies.field.window import Grade
from jumpcalc.show.paper.leaf import Leaf, as_pdf, as_png, drawn, filled
from jumpcalc.show.words import check as told
from jumpcalc.show.words import stopping
from jumpcalc.show.words.card import Cell
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.check_report import title
from jumpcalc.show.words.jump import end
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import Words, joined, said

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["figure", "pdf", "png"]

_TYPE = {"title": 10.5, "answer": 9.0, "large": 17.0, "number": 13.0, "cell": 7.4, "head": 6.4, "small": 6.2}
_COLUMNS = (0.265, 0.195, 0.345, 0.195)  # shares of the width
_LONGEST_DATE = 40
_HALVES = (0.27, 0.27, 0.46)


def figure(check: Check, reader: Reader = Reader.metric) -> Figure:
    """The check as a figure of its true size.

    Parameters
    ----------
    check : Check
        From `plan.studies.field.check.check`.
    reader : Reader
        Who reads it.

    Returns
    -------
    matplotlib.figure.Figure
        One page.
    """
    compose = partial(_compose, check=check, reader=reader)
    rough = sum(band.grade is Grade.ROUGH for band in check.bands)
    return drawn(lambda: filled(compose, types=_TYPE, columns=_COLUMNS, leave_out=rough), example=check.example)


def png(check: Check, reader: Reader = Reader.metric) -> bytes:
    """The check as an image, the same bytes for the same check.

    Parameters
    ----------
    check : Check
        From `plan.studies.field.check.check`.
    reader : Reader
        Who reads it.

    Returns
    -------
    bytes
        A PNG file of 300 dots an inch.
    """
    return as_png(partial(figure, check, reader))


def pdf(check: Check, reader: Reader = Reader.metric) -> bytes:
    """The check as a PDF of one page, the same bytes for the same check.

    Parameters
    ----------
    check : Check
        From `plan.studies.field.check.check`.
    reader : Reader
        Who reads it.

    Returns
    -------
    bytes
        A PDF file whose text can be searched.
    """
    return as_pdf(partial(figure, check, reader), title=reader.text(title(check)))


def _compose(leaf: Leaf, rough: int, *, check: Check, reader: Reader) -> None:
    """The whole page; of the ways that tell only roughly so many."""
    leaf.title(reader.text(title(check)))
    date = "not said" if check.answer.line.measured_on is None else check.answer.line.measured_on[:_LONGEST_DATE]
    example = "EXAMPLE, not your jump · " if check.example else ""
    of = said(
        f"{example}Measured on: {{date}} · ground {{ground}} · by this model, of {{model}}",
        date=date, ground=check.answer.fingerprint, model=check.answer.model_date,
    )  # fmt: skip
    leaf.paragraph(reader.text(of), "small")
    leaf.paragraph(reader.text(told.headline(check)), "answer", bold=True, after=3)
    if check.cones is not None:
        _cones(leaf, check, reader)
    if check.bands:
        _bands(leaf, check, reader, rough)
    leaf.y += 3
    for words in _notes(check):
        leaf.paragraph(reader.text(words), "small", after=1)
    leaf.paragraph(" ".join(CAUTIONS), "small", bold=True, after=0)


def _cones(leaf: Leaf, check: Check, reader: Reader) -> None:
    """Where the cones stand, in the largest figures of the page."""
    cones, foot = check.cones, "edge" if end(check.jump) == "edge" else "foot of the lip"
    places = (("first cone", cones.before_foot + cones.length), ("second cone", cones.before_foot))
    cells = [
        [Cell(text=name, kind="head", bold=True), Cell(text=said("{place:length}", place=place), kind="large", bold=True)]
        for name, place in places
    ]
    how = said(
        f"before the {foot}, along the ground. They stand {{length:length}} apart; film from {{camera:length.0}} beside them.",
        length=cones.length, camera=cones.camera,
    )  # fmt: skip
    leaf.row([*cells, [Cell(text=how)]], reader, band="#efefef", columns=_HALVES)


def _bands(leaf: Leaf, check: Check, reader: Reader, rough: int) -> None:
    """Too slow, go, too fast, what is good enough first."""
    bands = [*check.good, *[band for band in check.bands if band.grade is Grade.ROUGH][:rough]]
    if not bands:
        return
    names = ("by", "too slow", "go", "too fast")
    leaf.row([[Cell(text=name, kind="head", bold=True)] for name in names], reader, band="#d6d6d6")
    for band in bands:
        slow, (go, unit), fast = told.ends(band)
        off = said(f"± {{ninety:speed}}{', only roughly' if band.grade is Grade.ROUGH else ''}", ninety=band.ninety)
        name = [Cell(text=told.name(band.reading), bold=True), Cell(text=off, kind="head")]
        number = [Cell(text=go, kind="number", bold=True), Cell(text=unit, kind="head")]
        leaf.row([name, [Cell(text=slow)], number, [Cell(text=fast)]], reader)


def _notes(check: Check) -> list[Words]:
    """How to read it, what cannot tell, and that nothing is jumped."""
    if check.window is None:
        return []
    cannot = [told.name(band.reading) for band in check.bands if band.grade is Grade.NOT]
    which = said("Cannot tell here: {ways}.", ways=joined(cannot, "; ")) if cannot else ""
    short = [] if check.cones is not None else told.where(check)[1:]
    return [
        words
        for words in (
            *([] if check.good else [told.best(check)]),
            *short,
            which,
            "The lip is not jumped: leave the run-in before it. Front wheel at the first cone to front wheel at the second; at a post "
            "from the front axle to the rear axle; the post stands, and sensors are read, where the second cone stands. No pedalling "
            "and no braking there. ± holds 90 of 100.",
            stopping.before(check.jump),
            "" if check.known_ground else "The run-in was not measured: its last metres are taken as straight on, to within 3°.",
        )
        if words
    ]
