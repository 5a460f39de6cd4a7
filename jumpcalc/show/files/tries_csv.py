"""The log of tries as CSV: one try a row, units in the header, opened by any spreadsheet.

A row is added at the end in one write, under a lock, and is on the disk before anyone is told that it is kept. Nothing that is
there is ever written again, so whatever ends the program leaves every row that was kept. The last column says that the row is
whole: a row that was cut off while it was written lacks it and is refused when the log is read.

Texts that a spreadsheet would take for a formula get an apostrophe in front, which reading takes off again.
"""

from __future__ import annotations

import contextlib
import csv
import io
import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from jumpcalc.errors import FileError
from jumpcalc.plan.inputs.declare import declared, key_of
from jumpcalc.plan.studies.field.tries import Try
from jumpcalc.show.files.whole import shown_name
from jumpcalc.units import KINDS, shortest_in

__all__ = ["BOM", "COLUMNS", "DANGEROUS", "LARGEST_BYTES", "WHOLE", "append_tries", "header_row", "try_row", "tries_csv"]

LARGEST_BYTES = 5_000_000
"""A larger log is refused unread: ten thousand tries are a fifth of it."""

BOM = "\ufeff".encode()
"""Tells spreadsheets that a file is UTF-8."""

WHOLE = "whole_row"
"""The last column: "yes" where the row was written to its end."""

DANGEROUS = ("=", "+", "-", "@", "\t", "\r", "'")
"""What a spreadsheet may take for the beginning of a formula, and the apostrophe that marks a text."""

COLUMNS = tuple(key_of(name, declaration) for name, declaration in declared(Try).items())
"""Keys of a try with their units, in the order of the columns."""


def header_row() -> bytes:
    """The first row of a log."""
    return _row([*COLUMNS, WHOLE])


def try_row(one: Try) -> bytes:
    """A try as a row of a log.

    Parameters
    ----------
    one : Try
        The try.

    Returns
    -------
    bytes
        UTF-8 with its line break.
    """
    return _row([*(_cell(getattr(one, name), d) for name, d in declared(Try).items()), "yes"])


def tries_csv(tries: Sequence[Try]) -> bytes:
    """A whole log as the bytes of a file.

    Parameters
    ----------
    tries : sequence of Try
        In order.

    Returns
    -------
    bytes
        UTF-8 with a byte-order mark.
    """
    return b"".join([BOM, header_row(), *map(try_row, tries)])


def append_tries(path: str | Path, tries: Sequence[Try]) -> None:
    """Add tries at the end of a log; they are on the disk when this comes back.

    Parameters
    ----------
    path : str or pathlib.Path
        The log; made where there is none, with its folder.
    tries : sequence of Try
        In order.

    Raises
    ------
    FileError
        If the file cannot be written, or is something else than a log: nothing was added then.
    """
    file, rows = shown_name(path), b"".join(map(try_row, tries))
    try:
        Path(path).parent.mkdir(parents=True, exist_ok=True)
        there = os.open(path, os.O_RDWR | os.O_CREAT | os.O_APPEND | getattr(os, "O_BINARY", 0), 0o644)
        try:
            with _alone(there):
                size = os.fstat(there).st_size
                content = _before(there, size, file) + rows
                written = os.write(there, content)
                os.fsync(there)
                if written < len(content):
                    raise OSError(f"only {written} of {len(content)} bytes could be written; is the disk full?")
                if size == 0:
                    _keep_name(Path(path).resolve().parent)
        finally:
            os.close(there)
    except (OSError, ValueError) as error:
        if isinstance(error, FileError):
            raise
        reason = getattr(error, "strerror", None) or str(error)
        raise FileError(f"not kept, cannot be written: {reason}", file=file) from None


def _before(there: int, size: int, file: str) -> bytes:
    """What must stand between the end of a log and a new row: its head where it is empty, a line break after a row cut off."""
    head = BOM + header_row()
    os.lseek(there, 0, os.SEEK_SET)
    start = os.read(there, len(head))
    if size < len(head) and head.startswith(start):
        # nothing yet, or a head that was cut off
        return head if not size else b"\n" + header_row()
    if not start.removeprefix(BOM).replace(b"\r\n", b"\n").startswith(header_row().rstrip(b"\n")):
        raise FileError("is no log of tries of this version: its columns are others; give another --log and import it", file=file)
    os.lseek(there, size - 1, os.SEEK_SET)
    return b"" if os.read(there, 1) == b"\n" else b"\n"


def _row(cells: Sequence[str]) -> bytes:
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerow(cells)
    return out.getvalue().encode("utf-8", errors="replace")


def _cell(value: Any, declaration: Any) -> str:
    """A value as the text of its cell."""
    if value is None:
        return ""
    if declaration.kind == "flag":
        return "yes" if value else "no"
    if declaration.kind in KINDS:
        number = shortest_in(value, kind=declaration.kind, unit=declaration.unit) if declaration.unit else value
        return repr(int(number) if float(number).is_integer() and abs(number) < 1e15 else number)
    return f"'{value}" if value.startswith(DANGEROUS) else value


@contextlib.contextmanager
def _alone(there: int) -> Iterator[None]:
    """While it lasts, no other program that asks writes to this file."""
    try:
        import fcntl
    except ImportError:
        import msvcrt

        os.lseek(there, 0, os.SEEK_SET)
        msvcrt.locking(there, msvcrt.LK_LOCK, 1)
        try:
            yield
        finally:
            os.lseek(there, 0, os.SEEK_SET)
            msvcrt.locking(there, msvcrt.LK_UNLCK, 1)
        return
    fcntl.flock(there, fcntl.LOCK_EX)
    try:
        yield
    finally:
        fcntl.flock(there, fcntl.LOCK_UN)


def _keep_name(folder: Path) -> None:
    """Have the name of a new file on the disk too, where the system can be asked for it."""
    with contextlib.suppress(OSError):
        about = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(about)
        finally:
            os.close(about)
