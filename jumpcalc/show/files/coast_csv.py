"""Coast-downs from a CSV with units in its header: one row a reading, its keys those of `Rolled`."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path
from typing import Any

from jumpcalc.errors import FileError, InputError
from jumpcalc.plan.inputs.declare import declared, keys_of
from jumpcalc.plan.inputs.keys import from_keys
from jumpcalc.plan.inputs.valid import echo
from jumpcalc.plan.studies.field.rolled import Rolled
from jumpcalc.show.files.whole import shown_name

__all__ = ["MOST_ROWS", "parse_coasts", "read_coasts"]

LARGEST_BYTES = 1_000_000
MOST_ROWS = 5000
_TEXTS = ("run", "way")
_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?")


def read_coasts(path: str | Path) -> tuple[Rolled, ...]:
    """The readings of a CSV file.

    Parameters
    ----------
    path : str or pathlib.Path
        A CSV of at most 1 MB: commas, semicolons or tabs; decimal points, or commas where those do not part columns.

    Returns
    -------
    tuple of Rolled
        In the order of the file.

    Raises
    ------
    FileError
        If it cannot be read, naming the row and the column.
    """
    file = shown_name(path)
    try:
        with Path(path).open("rb") as stream:
            content = stream.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        raise FileError("no such file", file=file) from None
    except (OSError, ValueError) as error:
        raise FileError(f"cannot be read: {getattr(error, 'strerror', None) or error}", file=file) from None
    if len(content) > LARGEST_BYTES:
        raise FileError("more than 1 MB; a coast-down has at most some thousand readings", file=file)
    try:
        return parse_coasts(content.decode("utf-8-sig"), file=file)
    except UnicodeDecodeError as error:
        raise FileError(f"not UTF-8 text (byte {error.start + 1}); save it as CSV in UTF-8", file=file) from None


def parse_coasts(text: str, *, file: str = "CSV") -> tuple[Rolled, ...]:
    """The readings of the text of a CSV.

    Parameters
    ----------
    text : str
        With units in its header.
    file : str
        Name that error messages call it by.

    Returns
    -------
    tuple of Rolled
        In the order of the text; empty rows and rows that begin with # are none.

    Raises
    ------
    FileError
        Naming the row and the column.
    """
    rows = [(number, row) for number, row in enumerate(text.splitlines(), start=1) if row.strip() and not row.lstrip().startswith("#")]
    if not rows:
        raise FileError("empty; the first row names the columns, as run,time_s,speed_kmh", file=file)
    parted = max(";\t,", key=rows[0][1].count)
    head = [name.strip() for name in _cells(rows[0][1], parted)]
    known = {key for name, d in declared(Rolled).items() for key in keys_of(name, d)}
    for name in head:
        if name not in known:
            # the same words as those of a line file, with what it might have been
            _reading({name: 0}, file, rows[0][0])
    if len(set(head)) != len(head):
        raise FileError("a column stands in it twice", file=file, key=f"row {rows[0][0]}")
    if len(rows) - 1 > MOST_ROWS:
        raise FileError(f"{len(rows) - 1} readings; at most {MOST_ROWS}", file=file)
    found = []
    for number, row in rows[1:]:
        cells = _cells(row, parted)
        if len(cells) > len(head):
            raise FileError(f"{len(cells)} cells; the header has {len(head)} columns", file=file, key=f"row {number}")
        values = {name: _value(name, cell.strip()) for name, cell in zip(head, cells, strict=False)}
        found.append(_reading({name: value for name, value in values.items() if value is not None}, file, number))
    if not found:
        raise FileError("has a header and no reading", file=file)
    return tuple(found)


def _cells(row: str, parted: str) -> list[str]:
    return next(csv.reader(io.StringIO(row), delimiter=parted), [])


def _value(name: str, cell: str) -> Any:
    """A cell as a line file would have it; None where it is empty."""
    if not cell:
        return None
    if name in _TEXTS:
        return cell
    return float(cell.replace(",", ".")) if _NUMBER.fullmatch(cell) else cell


def _reading(keys: dict[str, Any], file: str, number: int) -> Rolled:
    try:
        return from_keys(Rolled, keys)
    except InputError as error:
        text = error.text if len(error.text) < 400 else echo(error.text, longest=400)
        raise FileError(text, file=file, key=f"row {number}, {error.key}".rstrip(", ")) from None
