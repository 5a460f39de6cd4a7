"""The pocket card: A6 pages to save or print before there is no signal; today's marks first, each jump with its drawing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from jumpcalc.show.paper.pages import A6, Cell, Pages, foot_of
from jumpcalc.show.paper.side import side
from jumpcalc.show.paper.svg import Sheet
from jumpcalc.show.words import card as words
from jumpcalc.show.words.cautions import CAUTIONS, CHECKLIST
from jumpcalc.show.words.numbers import Reader

if TYPE_CHECKING:
    from jumpcalc.plan.studies.card import Card

__all__ = ["pages"]

_COLUMNS = (0.19, 0.21, 0.215, 0.2, 0.185)  # shares of the width
_OF_A_JUMP = (0.33, 0.2, 0.27, 0.2)


def pages(card: Card, reader: Reader = Reader.metric) -> Pages:
    """The card's pages.

    Parameters
    ----------
    card : Card
        From `plan.studies.card.card`.
    reader : Reader
        Who reads it.

    Returns
    -------
    Pages
        The first one holds what today asks for, the last one all cautions.
    """
    made = Pages(A6, title=card.title, foot=foot_of(example=card.example, more="Cautions: last page."), example=card.example)
    made.answer(reader.text(words.answer(card, 0)))
    shaded = [row.ground != "dry" for row in card.rows]
    if card.rows:
        rows = [_read(words.row_cells(row), reader) for row in card.rows]
        made.table(_COLUMNS, _read(words.head(card), reader), rows, shaded=shaded)
    for index in range(len(card.answer.jumps)):
        if index > 0:
            made.new_page()
        _jump(made, card, index, reader, shaded)
    made.new_page()
    made.paragraph(reader.text(words.about(card)))
    for text in reader.texts(words.day(card)):
        made.paragraph(text)
    looks = reader.texts(words.looks(card))
    if looks:
        made.heading("Look at")
        for text in looks:
            made.item(text)
    made.heading("First test")
    made.paragraph(" ".join(CHECKLIST))
    for text in CAUTIONS:
        made.paragraph(text, bold=True)
    return made


def _jump(made: Pages, card: Card, index: int, reader: Reader, shaded: Sequence[bool]) -> None:
    """A jump with its drawing; of those after the first also how one comes to it."""
    title = reader.text(words.jump_title(card, index))
    drawn = _drawing(card, index, reader)
    if title:
        made.heading(title[:1].upper() + title[1:], with_next=made.room * drawn.height / drawn.width if index == 0 else 0.0)
    if index > 0:
        told = reader.text(words.answer(card, index))
        if told:
            made.answer(told)
    if index > 0 and card.rows:
        rows = [_read(words.jump_cells(row, index), reader) for row in card.rows]
        made.table(_OF_A_JUMP, _read(words.jump_head(card, index), reader), rows, shaded=shaded)
    made.drawing(drawn)


def _drawing(card: Card, index: int, reader: Reader) -> Sheet:
    """A jump from the side with the aim's path, if there is one to ride."""
    view = card.views[index]
    ridden = card.refused is None and card.answer.jumps[index].no_ride is None
    paths = tuple(path for path in view.paths if path.name == "aim" and ridden)
    return side(replace(view, paths=paths), reader, brief=True)


def _read(row: Sequence[Sequence[words.Part]], reader: Reader) -> list[list[Cell]]:
    """The cells of a row as text."""
    return [[Cell(text=reader.text(part.text), bold=part.bold, large=part.large) for part in column] for column in row]
