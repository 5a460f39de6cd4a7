"""A leaf for the pocket: one page of A6, filled from its top in the largest type that fits.

Everything on it is black on white or grey, so that it prints anywhere. Lengths inside are in points,
y down from the top; one scale for all type is chosen so that the page is full and nothing is cut off.
"""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

from jumpcalc.show.words.card import Cell
from jumpcalc.show.words.numbers import Reader

if TYPE_CHECKING:
    from matplotlib.figure import Figure

__all__ = ["SIZE", "Leaf", "as_pdf", "as_png", "drawn", "filled"]

SIZE = (105.0, 148.0)
"""Width and height of the page [mm], ISO 216 A6."""

_MM = 72 / 25.4
_WIDTH, _HEIGHT = SIZE[0] * _MM, SIZE[1] * _MM
_EDGE = 4 * _MM  # what most printers leave white
_SCALES = tuple(1.3 - 0.02 * step for step in range(24))
_LEADING = 1.22
_PAD = 1.6
_LONGEST = 100  # characters of a title that are looked at
_SPARE = 1.025  # an image rounds the width of each letter to whole dots
_DOTS = 300  # an inch, of the image
_UNITS = "km/h|mph|m|ft|kg|lb"
_STYLE = {"font.family": "DejaVu Sans", "pdf.fonttype": 42, "pdf.compression": 6, "text.parse_math": False}


def filled(
    compose: Callable[[Leaf, int], None], *, types: dict[str, float], columns: Sequence[float], leave_out: int = 0
) -> Leaf:
    """A leaf in the largest type that fits.

    Parameters
    ----------
    compose : callable
        Fills a leaf; it is told how many of what may be left out are to stand on it.
    types : dict
        Size of each kind of text [pt] at the scale of 1.
    columns : sequence of float
        Width of the table's columns, as shares of the page's.
    leave_out : int
        How many things may be left out, the last first, where not even the smallest type has room for them.

    Returns
    -------
    Leaf
        To be drawn.
    """
    for kept in range(leave_out, -1, -1):
        for scale in _SCALES:
            leaf = Leaf(scale, types, columns)
            compose(leaf, kept)
            if leaf.y <= _HEIGHT - _EDGE:
                return leaf
    return leaf


def drawn(leaf: Callable[[], Leaf], *, example: bool) -> Figure:
    """A leaf as a figure of its true size.

    Parameters
    ----------
    leaf : callable
        Makes the leaf, within the style of the page.
    example : bool
        Whether it says so over the page.

    Returns
    -------
    matplotlib.figure.Figure
        One page.
    """
    import matplotlib
    from matplotlib.figure import Figure

    with matplotlib.rc_context(_STYLE):
        page = Figure(figsize=(_WIDTH / 72, _HEIGHT / 72), dpi=_DOTS, facecolor="white")
        leaf().draw(page)
        if example:
            page.text(
                0.5, 0.5, "EXAMPLE", rotation=56, ha="center", va="center", fontsize=74, fontweight="bold", color="#e2e2e2", zorder=1
            )
        return page


def as_png(figure: Callable[[], Figure]) -> bytes:
    """A page as an image, the same bytes for the same page.

    Parameters
    ----------
    figure : callable
        Makes the page.

    Returns
    -------
    bytes
        A PNG file of 300 dots an inch.
    """
    import matplotlib
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    out = io.BytesIO()
    with matplotlib.rc_context(_STYLE):
        FigureCanvasAgg(figure()).print_png(out, metadata={"Software": "jumpcalc"})
    return out.getvalue()


def as_pdf(figure: Callable[[], Figure], *, title: str) -> bytes:
    """A page as a PDF, the same bytes for the same page.

    Parameters
    ----------
    figure : callable
        Makes the page.
    title : str
        What the file says it is.

    Returns
    -------
    bytes
        A PDF file whose text can be searched.
    """
    import matplotlib
    from matplotlib.backends.backend_pdf import PdfPages

    out = io.BytesIO()
    about = {"Title": _printable(title), "Creator": "jumpcalc", "Producer": None, "CreationDate": None}
    with matplotlib.rc_context(_STYLE), PdfPages(out, metadata=about) as pages:
        pages.savefig(figure())
    return out.getvalue()


class Leaf:
    """A page being filled from its top: `y` is where the next row begins."""

    def __init__(self, scale: float, types: dict[str, float], columns: Sequence[float]) -> None:
        self.scale, self.y = scale, _EDGE
        self._types, self._columns = types, columns
        self.left, self.width = _EDGE, _WIDTH - 2 * _EDGE
        self._texts: list[tuple[float, float, str, float, bool]] = []
        self._bands: list[tuple[float, float, str]] = []
        self._rules: list[float] = []

    def size(self, kind: str) -> float:
        """Size of a kind of text [pt]."""
        return self._types[kind] * self.scale

    def paragraph(self, text: str, kind: str, *, bold: bool = False, after: float = 2.0) -> None:
        """Text over the whole width, wrapped."""
        size = self.size(kind)
        for row in _wrapped(_printable(text), size, self.width, bold):
            self._texts.append((self.left, self.y, row, size, bold))
            self.y += _LEADING * size
        self.y += after

    def title(self, text: str) -> None:
        """One row, shortened where it is too long."""
        size = self.size("title")
        self._texts.append((self.left, self.y, _shortened(_printable(text), size, self.width), size, True))
        self.y += _LEADING * size + 1

    def row(self, cells: Iterable[Sequence[Cell]], reader: Reader, *, band: str | None = None, columns: Sequence[float] = ()) -> None:
        """A row of the table, or of columns of its own; where there are fewer cells than columns, the last one takes the rest."""
        widths, start, deepest = columns or self._columns, self.y, 0.0
        read = [[replace(cell, text=reader.text(cell.text)) for cell in column] for column in cells]
        x = self.left
        for number, column in enumerate(read):
            share = widths[number] if number < len(read) - 1 else sum(widths[number:])
            y = start + _PAD
            for cell in column:
                size = self.size(cell.kind)
                for text in _wrapped(_printable(cell.text), size, share * self.width - 3, cell.bold):
                    self._texts.append((x + 1.5, y, text, size, cell.bold))
                    y += _LEADING * size
            deepest = max(deepest, y + _PAD)
            x += share * self.width
        self.y = deepest
        if band is not None:
            self._bands.append((start, deepest, band))
        self._rules.append(deepest)

    def draw(self, page: Figure) -> None:
        """Put everything on the page."""
        from matplotlib.lines import Line2D
        from matplotlib.patches import Rectangle

        for top, bottom, color in self._bands:
            page.add_artist(
                Rectangle(
                    (self.left / _WIDTH, 1 - bottom / _HEIGHT),
                    self.width / _WIDTH,
                    (bottom - top) / _HEIGHT,
                    facecolor=color,
                    edgecolor="none",
                    zorder=0,
                    transform=page.transFigure,
                )
            )
        for y in self._rules:
            ends = [self.left / _WIDTH, (self.left + self.width) / _WIDTH]
            page.add_artist(Line2D(ends, [1 - y / _HEIGHT] * 2, color="#777777", linewidth=0.5, zorder=2))
        for x, y, text, size, bold in self._texts:
            page.text(
                x / _WIDTH,
                1 - (y + 0.95 * size) / _HEIGHT,
                text,
                fontsize=size,
                ha="left",
                va="baseline",
                zorder=3,
                fontweight="bold" if bold else "normal",
                color="black",
                parse_math=False,
            )


@cache
def _font(bold: bool) -> object:
    from matplotlib.font_manager import FontProperties

    return FontProperties(family="DejaVu Sans", weight="bold" if bold else "normal", size=100)


@cache
def _word_width(text: str, bold: bool) -> float:
    """Width of a text of size 1."""
    from matplotlib.textpath import text_to_path

    return _SPARE * text_to_path.get_text_width_height_descent(text, _font(bold), False)[0] / 100


def _wrapped(text: str, size: float, width: float, bold: bool) -> list[str]:
    """Rows of at most that width; a word that is wider is broken."""
    space = _word_width("a a", bold) - 2 * _word_width("a", bold)
    rows: list[str] = []
    row, used = "", 0.0
    for word in text.split(" "):
        while size * _word_width(word, bold) > width and len(word) > 1:
            part = next(n for n in range(len(word) - 1, 0, -1) if n == 1 or size * _word_width(word[:n], bold) <= width)
            rows += [row] if row else []
            rows.append(word[:part])
            row, used, word = "", 0.0, word[part:]
        wide = size * _word_width(word, bold)
        if row and used + size * space + wide > width:
            rows.append(row)
            row, used = word, wide
        else:
            row, used = (f"{row} {word}", used + size * space + wide) if row else (word, wide)
    return [*rows, row] if row else rows


def _shortened(text: str, size: float, width: float) -> str:
    """The text, its end replaced by an ellipsis where it is too wide."""
    if len(text) < _LONGEST and size * _word_width(text, True) <= width:
        return text
    text = text[:_LONGEST]
    while text and size * _word_width(text + "…", True) > width:
        text = text[:-1]
    return text.rstrip() + "…"


def _printable(text: str) -> str:
    """Text of plain spaces, numbers kept with their units, a question mark for what the font does not have."""
    from matplotlib.font_manager import findfont, get_font

    known = get_font(findfont(_font(False))).get_char_index
    text = re.sub(rf"(\d) ({_UNITS})\b", "\\1\u00a0\\2", " ".join(text.split()))
    return "".join(c if known(ord(c)) else "?" for c in text)
