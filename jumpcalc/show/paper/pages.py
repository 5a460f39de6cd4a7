"""Pages for the pocket or the clipboard: blocks set one under the other, on as many pages as it takes, nothing under 8 pt.

Everything is black on white or grey, so that it prints anywhere. Lengths are in points from the top left corner of a page, y down.
Each page carries its title, its number, the caution at its foot and, where it is of an example, EXAMPLE.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from jumpcalc.show.paper.print_sheet import put_sheet
from jumpcalc.show.paper.print_type import LEADING, STYLE, printable, shortened, wide, wrapped
from jumpcalc.show.paper.svg import Sheet

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["A4", "A6", "FORMATS", "SMALLEST", "Cell", "Pages", "foot_of"]

A4, A6 = (210.0, 297.0), (105.0, 148.0)
"""Width and height of a page [mm], ISO 216."""

SMALLEST = 8.0
"""No word on paper is smaller [pt]."""

_MM = 72 / 25.4
_TITLE, _ANSWER, _NUMBER = 11.0, 9.5, 10.0  # pt
_PAD = 1.8  # pt, over and under a row of a table
_GAP = 3.0  # pt, between blocks
_BOX = 7.0  # pt, a side of a box to tick
_DOTS = 300  # an inch, of an image


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """A row of words in a table's cell; `large` for the number that is looked for."""

    text: str
    bold: bool = False
    large: bool = False


@dataclass(slots=True)
class _Page:
    """What lies on one page."""

    texts: list[tuple[float, float, str, float, bool]] = field(default_factory=list)
    bands: list[tuple[float, float, str]] = field(default_factory=list)
    rules: list[float] = field(default_factory=list)
    boxes: list[tuple[float, float]] = field(default_factory=list)
    sheets: list[tuple[Sheet, float, float, float]] = field(default_factory=list)


class Pages:
    """Pages being filled from the top."""

    def __init__(self, size: tuple[float, float], *, title: str, foot: str, example: bool, edge: float = 4.0, larger: float = 1.0) -> None:
        """`size` and `edge`, which most printers leave white, in mm; `foot` stands on every page; type and what goes with it `larger`."""
        self.plain, self.title_size, self.answer_size, self.number_size = (larger * s for s in (SMALLEST, _TITLE, _ANSWER, _NUMBER))
        self._larger = larger
        self.width, self.height = size[0] * _MM, size[1] * _MM
        self.edge, self.example, self.title = edge * _MM, example, printable(title)
        self.room = self.width - 2 * self.edge
        self._foot = wrapped(printable(foot), self.plain, self.room, bold=True)
        self._bottom = self.height - self.edge - LEADING * self.plain * len(self._foot) - _GAP
        self._top = self.edge + LEADING * self.title_size + _GAP
        self._pages = [_Page()]
        self.y = self._top

    @property
    def count(self) -> int:
        """How many pages there are."""
        return len(self._pages)

    @property
    def left(self) -> float:
        """Height that is left on this page [pt]."""
        return self._bottom - self.y

    def new_page(self) -> None:
        """Go on at the top of the next page, unless this one is empty."""
        if self.y > self._top:
            self._pages.append(_Page())
            self.y = self._top

    def answer(self, text: str) -> None:
        """The sentence that is looked for first."""
        self._rows(text, self.answer_size, bold=True)
        self.y += _GAP

    def heading(self, text: str, *, with_next: float = 30.0) -> None:
        """A title over what follows, of which at least so much stands on the same page [pt]."""
        if self.left < LEADING * self.answer_size + with_next:
            self.new_page()
        self._rows(text, self.answer_size, bold=True)
        self.y += 1.0

    def paragraph(self, text: str, *, bold: bool = False) -> None:
        """Text over the whole width."""
        self._rows(text, self.plain, bold=bold)
        self.y += 2.0

    def item(self, text: str, *, box: bool = False) -> None:
        """An item of a list, with a box to tick where asked for."""
        indent = self._larger * (_BOX + 5.0 if box else 9.0)
        rows = wrapped(printable(text), self.plain, self.room - indent)
        self._make_room(LEADING * self.plain * min(len(rows), 4))
        if box:
            self._page.boxes.append((self.edge + 1.0, self.y + 1.2))
        else:
            self._page.texts.append((self.edge + 1.0, self.y, "–", self.plain, False))
        self._set(rows, self.plain, bold=False, indent=indent)
        self.y += 1.5

    def drawing(self, sheet: Sheet) -> bool:
        """A drawing over the whole width, on the next page where this one has no room for it; whether it fits on a page at all."""
        scale = self.room / sheet.width
        tall = scale * sheet.height
        if tall > self._bottom - self._top:
            return False
        self._make_room(tall)
        self._page.sheets.append((sheet, self.edge, self.y, scale))
        self.y += tall + _GAP
        return True

    def table(self, shares: Sequence[float], head: Sequence[Sequence[Cell]], rows: Sequence[Sequence[Sequence[Cell]]], *,
              shaded: Sequence[bool] = ()) -> None:  # fmt: skip
        """A table with its head, which comes again on each page; a row of fewer columns has its last one go to the end."""
        top = self._cells(shares, head)
        first = True
        for number, row in enumerate(rows):
            made = self._cells(shares, row)
            if first or self.left < made[1]:
                if not first or self.left < top[1] + made[1]:
                    self.new_page()
                self._put_row(top, band="#d6d6d6")
                first = False
            self._put_row(made, band="#efefef" if number < len(shaded) and shaded[number] else None)
        self.y += _GAP

    def figures(self) -> list[Figure]:
        """The pages as figures of their true size."""
        import matplotlib

        with matplotlib.rc_context(STYLE):
            return [self._drawn(number) for number in range(self.count)]

    def pdf(self) -> bytes:
        """A PDF file whose text can be searched, the same bytes for the same pages."""
        import matplotlib
        from matplotlib.backends.backend_pdf import PdfPages

        out = io.BytesIO()
        about = {"Title": self.title, "Creator": "jumpcalc", "Producer": None, "CreationDate": None}
        with matplotlib.rc_context(STYLE), PdfPages(out, metadata=about) as pages:
            for page in self.figures():
                pages.savefig(page)
        return out.getvalue()

    def png(self) -> bytes:
        """One image of 300 dots an inch with the pages one under the other, the same bytes for the same pages."""
        import matplotlib
        import numpy as np
        from matplotlib.backends.backend_agg import FigureCanvasAgg
        from matplotlib.image import imsave

        images = []
        with matplotlib.rc_context(STYLE):
            for page in self.figures():
                canvas = FigureCanvasAgg(page)
                canvas.draw()
                images.append(np.asarray(canvas.buffer_rgba()).copy())
            out = io.BytesIO()
            imsave(out, np.vstack(images), format="png", dpi=_DOTS, metadata={"Software": "jumpcalc"})
        return out.getvalue()

    @property
    def _page(self) -> _Page:
        return self._pages[-1]

    def _make_room(self, height: float) -> None:
        if self.left < height:
            self.new_page()

    def _rows(self, text: str, size: float, *, bold: bool) -> None:
        """Wrapped text; up to three rows stay together."""
        rows = wrapped(printable(text), size, self.room, bold=bold)
        self._make_room(LEADING * size * min(len(rows), 3))
        self._set(rows, size, bold=bold)

    def _set(self, rows: Sequence[str], size: float, *, bold: bool, indent: float = 0.0) -> None:
        for row in rows:
            self._make_room(LEADING * size)
            self._page.texts.append((self.edge + indent, self.y, row, size, bold))
            self.y += LEADING * size

    def _cells(self, shares: Sequence[float], row: Sequence[Sequence[Cell]]) -> tuple[list[tuple[float, float, str, float, bool]], float]:
        """The texts of a row of a table, places from its own top left corner, and its height."""
        texts, deepest, x = [], 0.0, 0.0
        for number, column in enumerate(row):
            width = self.room * (shares[number] if number < len(row) - 1 else sum(shares[number:]))
            y = _PAD
            for cell in column:
                size = self.number_size if cell.large else self.plain
                for text in wrapped(printable(cell.text), size, width - 3.0, bold=cell.bold):
                    texts.append((x + 1.5, y, text, size, cell.bold))
                    y += LEADING * size
            deepest = max(deepest, y + _PAD)
            x += width
        return texts, deepest

    def _put_row(self, made: tuple[list[tuple[float, float, str, float, bool]], float], *, band: str | None) -> None:
        texts, height = made
        page = self._page
        page.texts += [(self.edge + x, self.y + y, text, size, bold) for x, y, text, size, bold in texts]
        if band is not None:
            page.bands.append((self.y, self.y + height, band))
        self.y += height
        page.rules.append(self.y)

    def _drawn(self, number: int) -> Figure:
        """A page as a figure."""
        from matplotlib.figure import Figure
        from matplotlib.lines import Line2D
        from matplotlib.patches import Rectangle

        made = Figure(figsize=(self.width / 72, self.height / 72), dpi=_DOTS, facecolor="white")
        page, wide_, tall = self._pages[number], self.width, self.height

        def block(x: float, y: float, width: float, height: float, **look: object) -> None:
            corner = x / wide_, 1 - (y + height) / tall
            made.add_artist(Rectangle(corner, width / wide_, height / tall, transform=made.transFigure, **look))

        if self.example:
            made.text(
                0.5, 0.5, "EXAMPLE", rotation=56, ha="center", va="center", fontsize=0.25 * wide_, fontweight="bold", color="#e6e6e6",
                zorder=1,
            )  # fmt: skip
        for top, bottom, color in page.bands:
            block(self.edge, top, self.room, bottom - top, facecolor=color, edgecolor="none", zorder=0)
        for y in page.rules:
            ends = [self.edge / wide_, 1 - self.edge / wide_]
            made.add_artist(Line2D(ends, [1 - y / tall] * 2, color="#777777", linewidth=0.5, zorder=2))
        side = self._larger * _BOX
        for x, y in page.boxes:
            block(x, y, side, side, facecolor="white", edgecolor="black", linewidth=0.8, zorder=2)
        for sheet, x, y, scale in page.sheets:
            put_sheet(made, sheet, x=x, y=y, scale=scale, tall=tall)
        for x, y, text, size, bold in [*page.texts, *self._margins(number)]:
            made.text(
                x / wide_, 1 - (y + 0.95 * size) / tall, text, fontsize=size, ha="left", va="baseline", zorder=6,
                fontweight="bold" if bold else "normal", color="black", parse_math=False,
            )  # fmt: skip
        return made

    def _margins(self, number: int) -> list[tuple[float, float, str, float, bool]]:
        """Title and number of a page at its head, what stands at its foot."""
        count = f"{number + 1}/{self.count}"
        at_right = self.width - self.edge - wide(count, self.plain)
        title = shortened(self.title, self.title_size, at_right - self.edge - 6.0, bold=True)
        foot = self._bottom + _GAP
        return [
            (self.edge, self.edge, title, self.title_size, True),
            (at_right, self.edge + 2.0, count, self.plain, False),
            *((self.edge, foot + LEADING * self.plain * i, row, self.plain, True) for i, row in enumerate(self._foot)),
        ]


FORMATS = {".pdf": Pages.pdf, ".png": Pages.png}
"""What makes a file of pages, by how its name ends."""


def foot_of(*, example: bool, more: str = "") -> str:
    """What stands at the foot of every page: the first caution, and where the others are if not on it.

    Parameters
    ----------
    example : bool
        Whether it is of an example, which is said first.
    more : str
        A sentence after it.

    Returns
    -------
    str
        Sentences.
    """
    return " ".join([*(["EXAMPLE, not your jump."] if example else []), "A model's numbers, not a permit.", *([more] if more else [])])
