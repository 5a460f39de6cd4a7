"""Printed text: wrapped lines, lists, columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence

__all__ = ["HARD_SPACE", "WIDTH", "bullets", "columns", "wrapped"]

WIDTH = 96
HARD_SPACE = "\N{NO-BREAK SPACE}"
"""Keeps two words on one line; printed as a space."""


def wrapped(text: str) -> list[str]:
    """A paragraph as lines."""
    return textwrap.wrap(text, WIDTH)


def bullets(items: Iterable[str]) -> list[str]:
    """Lines of a list, one item after the other."""
    out = []
    for item in items:
        rows = textwrap.wrap(item, WIDTH, initial_indent="  - ", subsequent_indent="    ", break_on_hyphens=False)
        out += [row.replace(HARD_SPACE, " ") for row in rows]
    return out


def columns(rows: Sequence[Sequence[str]]) -> list[str]:
    """Lines of a table whose columns are as wide as their widest cell."""
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    return ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows]
