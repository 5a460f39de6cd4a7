"""Printed text: wrapped lines, lists, columns."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Sequence

from jumpcalc.units import KINDS

__all__ = ["WIDTH", "bullets", "columns", "numbered", "wrapped"]

WIDTH = 96
_HARD_SPACE = "\N{NO-BREAK SPACE}"
_SIGNS = sorted({unit.sign for units in KINDS.values() for unit in units.values() if unit.sign} | {"g"}, key=len, reverse=True)
_WITH_UNIT = re.compile(rf"(?<=\d) (?=({'|'.join(map(re.escape, _SIGNS))})(?!\w))")


def wrapped(text: str) -> list[str]:
    """A paragraph as lines."""
    return _rows(text)


def bullets(items: Iterable[str]) -> list[str]:
    """Lines of a list, one item after the other."""
    out = []
    for item in items:
        out += _rows(item, initial_indent="  - ", subsequent_indent="    ", break_on_hyphens=False)
    return out


def numbered(number: int, item: str) -> list[str]:
    """Lines of an item of a list with its number."""
    return _rows(item, initial_indent=f"{number:3}. ", subsequent_indent="     ", break_on_hyphens=False)


def columns(rows: Sequence[Sequence[str]]) -> list[str]:
    """Lines of a table whose columns are as wide as their widest cell."""
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    return ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows]


def _rows(text: str, **how: object) -> list[str]:
    """Wrapped rows, a number on one row with its unit."""
    return [row.replace(_HARD_SPACE, " ") for row in textwrap.wrap(_WITH_UNIT.sub(_HARD_SPACE, text), WIDTH, **how)]
