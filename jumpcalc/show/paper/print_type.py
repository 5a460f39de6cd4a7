"""Type on paper: the one face that is printed, how wide its words are, and rows of them."""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matplotlib.ft2font import FT2Font

__all__ = ["LEADING", "STYLE", "printable", "shortened", "wide", "wrapped"]

LEADING = 1.2
"""From row to row, of the size."""

STYLE = {"font.family": "DejaVu Sans", "pdf.fonttype": 42, "pdf.compression": 6, "text.parse_math": False}
"""For matplotlib: its own face, text that can be searched, no formulas."""

_LONGEST = 100  # characters of a title that are looked at
_SPARE = 1.02  # an image rounds the width of each letter to whole dots
_SCALE = 100  # pt, at which letters are measured
_UNITS = "km/h|mph|m|ft|kg|lb|s"


def wide(text: str, size: float, *, bold: bool = False) -> float:
    """Width of a row of text [pt]."""
    return size * _SPARE * sum(_advance(letter, bold) for letter in text)


def wrapped(text: str, size: float, width: float, *, bold: bool = False) -> list[str]:
    """Rows of at most that width [pt]; a word that is wider is broken."""
    rows: list[str] = []
    row = ""
    for word in text.split(" "):
        longer = f"{row} {word}" if row else word
        if wide(longer, size, bold=bold) <= width:
            row = longer
            continue
        rows += [row] if row else []
        while wide(word, size, bold=bold) > width and len(word) > 1:
            part = next(n for n in range(len(word) - 1, 0, -1) if n == 1 or wide(word[:n], size, bold=bold) <= width)
            rows.append(word[:part])
            word = word[part:]
        row = word
    return [*rows, row] if row else rows


def shortened(text: str, size: float, width: float, *, bold: bool = False) -> str:
    """The text on one row, its end replaced by an ellipsis where it is too wide."""
    if len(text) < _LONGEST and wide(text, size, bold=bold) <= width:
        return text
    text = text[:_LONGEST]
    while text and wide(text + "…", size, bold=bold) > width:
        text = text[:-1]
    return text.rstrip() + "…"


def printable(text: str) -> str:
    """Text of plain spaces, numbers kept with their units, a question mark for what the face does not have."""
    known = _font(False).get_char_index
    text = re.sub(rf"(\d) ({_UNITS})\b", "\\1\u00a0\\2", re.sub(r"[^\S\u00a0]+", " ", text.strip()))
    return "".join(c if known(ord(c)) else "?" for c in text)


def _font(bold: bool) -> FT2Font:
    """The face; matplotlib keeps one for each thread."""
    from matplotlib.font_manager import FontProperties, findfont, get_font

    return get_font(findfont(FontProperties(family="DejaVu Sans", weight="bold" if bold else "normal")))


@cache
def _advance(letter: str, bold: bool) -> float:
    """From a letter of size 1 to the next; closer pairs are left out, so that a row is up to a hundredth narrower than its letters."""
    font = _font(bold)
    font.set_size(_SCALE, 72)
    return font.load_char(ord(letter)).linearHoriAdvance / 2**16 / _SCALE
