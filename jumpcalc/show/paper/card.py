"""The pocket card: one page of A6 to save or print before there is no signal."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from jumpcalc.show.paper.leaf import SIZE, Leaf, as_pdf, as_png, drawn, filled
from jumpcalc.show.words.card import cells, head, notes, subtitle, title
from jumpcalc.show.words.cautions import CAUTIONS, CHECKLIST
from jumpcalc.show.words.jump import headline
from jumpcalc.show.words.numbers import Reader

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from jumpcalc.plan.studies.card import Card

__all__ = ["SIZE", "figure", "pdf", "png"]

_TYPE = {"title": 10.5, "answer": 8.2, "number": 7.6, "cell": 5.9, "head": 5.5, "small": 5.6}
_COLUMNS = (0.145, 0.155, 0.165, 0.245, 0.155, 0.135)  # shares of the width


def figure(card: Card, reader: Reader = Reader.metric) -> Figure:
    """The card as a figure of its true size.

    Parameters
    ----------
    card : Card
        From `plan.card.card`.
    reader : Reader
        Who reads it.

    Returns
    -------
    matplotlib.figure.Figure
        One page.
    """
    compose = partial(_compose, card=card, reader=reader)
    return drawn(
        lambda: filled(compose, types=_TYPE, columns=_COLUMNS, leave_out=len(card.answer.warnings)), example=card.example
    )


def png(card: Card, reader: Reader = Reader.metric) -> bytes:
    """The card as an image, the same bytes for the same card.

    Parameters
    ----------
    card : Card
        From `plan.card.card`.
    reader : Reader
        Who reads it.

    Returns
    -------
    bytes
        A PNG file of 300 dots an inch.
    """
    return as_png(partial(figure, card, reader))


def pdf(card: Card, reader: Reader = Reader.metric) -> bytes:
    """The card as a PDF of one page, the same bytes for the same card.

    Parameters
    ----------
    card : Card
        From `plan.card.card`.
    reader : Reader
        Who reads it.

    Returns
    -------
    bytes
        A PDF file whose text can be searched.
    """
    return as_pdf(partial(figure, card, reader), title=card.title)


def _compose(sheet: Leaf, warnings: int, *, card: Card, reader: Reader) -> None:
    """The whole card, from its title down; with many warnings the last ones are only counted."""
    sheet.title(reader.text(title(card)))
    sheet.paragraph(reader.text(subtitle(card)), "small")
    sheet.paragraph(reader.text(headline(card.jump)), "answer", bold=True, after=3)
    sheet.row(head(card), reader, band="#d6d6d6")
    for row in card.rows:
        sheet.row(cells(row), reader, band=None if row.ground == "dry" else "#efefef")
    sheet.y += 3
    for text in reader.texts(notes(card, warnings=warnings)):
        sheet.paragraph(text, "small", after=1)
    sheet.paragraph("First test: " + " ".join(CHECKLIST), "small", after=1)
    sheet.paragraph(" ".join(CAUTIONS), "small", bold=True, after=0)
