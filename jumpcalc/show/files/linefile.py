"""Line files: TOML in and out, made from the declarations beside the fields of `plan.inputs.line`.

A key is the name of a field and the suffix of a unit of its kind, so a new input needs nothing here.
Every refusal is a `FileError` of one line: file, key path, what was given, what is allowed.
"""

from __future__ import annotations

import re
import stat
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from jumpcalc.errors import FileError, InputError
from jumpcalc.plan.inputs.declare import Input, declared, key_of, keys_of, table_key, tables
from jumpcalc.plan.inputs.keys import from_keys
from jumpcalc.plan.inputs.line import Line
from jumpcalc.show.files.whole import shown_name
from jumpcalc.units import KINDS, shortest_in, to_si

__all__ = ["LARGEST_BYTES", "parse_line", "read_line", "read_text", "table_in", "write_line"]

LARGEST_BYTES = 1_000_000
"""A larger file is refused unread: a line of a hundred jumps is a hundredth of it."""

_MOST_DOTS = 1000


def read_line(path: str | Path) -> Line:
    """The line that a line file describes.

    Parameters
    ----------
    path : str or pathlib.Path
        A TOML file of at most 1 MB.

    Returns
    -------
    Line
        In SI and radians, with only what the file gives.

    Raises
    ------
    FileError
        If there is no such file, it cannot be read, or it does not describe a line.
    """
    return parse_line(read_text(path, what="line file"), file=shown_name(path))


def read_text(path: str | Path, *, what: str) -> str:
    """The text of a TOML file.

    Parameters
    ----------
    path : str or pathlib.Path
        A file of at most 1 MB.
    what : str
        What it should be, for a refusal: "line file".

    Returns
    -------
    str
        Its text.

    Raises
    ------
    FileError
        If there is no such file, or it cannot be read.
    """
    file = shown_name(path)
    if not str(path):
        raise FileError(f"an empty name; give a {what} (.toml)", file=file)
    try:
        about = Path(path).stat()
        if stat.S_ISDIR(about.st_mode):
            raise FileError(f"a folder; give a {what} (.toml)", file=file)
        if not stat.S_ISREG(about.st_mode):
            raise FileError(f"not an ordinary file; give a {what} (.toml)", file=file)
        _check_size(about.st_size, file, what)
        with Path(path).open("rb") as stream:
            content = stream.read(LARGEST_BYTES + 1)  # some files tell no size
        _check_size(len(content), file, what)
    except FileNotFoundError:
        raise FileError("no such file", file=file) from None
    except (OSError, ValueError) as error:
        if isinstance(error, FileError):
            raise
        reason = getattr(error, "strerror", None) or str(error)
        raise FileError(f"cannot be read: {reason}", file=file) from None
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        raise FileError(
            f"not UTF-8 text (byte {error.start + 1}); save it as UTF-8 in a text editor", file=file
        ) from None


def parse_line(text: str, *, file: str = "line file") -> Line:
    """The line that the text of a line file describes.

    Parameters
    ----------
    text : str
        TOML.
    file : str
        Name that error messages call it by.

    Returns
    -------
    Line
        In SI and radians, with only what the text gives.

    Raises
    ------
    FileError
        If the text is not TOML or does not describe a line.

    Examples
    --------
    >>> line = parse_line('''
    ... [[jump]]
    ... lip = { angle_deg = 28, radius_ft = 15 }
    ... landing = { gap_m = 4.2, angle_deg = 24, length_m = 4.5 }
    ... ''')
    >>> round(line.jumps[0].lip.radius, 3)
    4.572
    """
    return table_in(Line, text, file=file, what="line file", empty="a line needs one jump or more, each a [[jump]] table")


def table_in(kind: type, text: str, *, file: str, what: str, empty: str) -> Any:
    """The table of inputs that the text of a file describes.

    Parameters
    ----------
    kind : type
        Class of the table.
    text : str
        TOML.
    file : str
        Name that error messages call it by.
    what : str
        What the file should be: "line file".
    empty : str
        What is needed, told where there is nothing.

    Returns
    -------
    object
        Of that class.

    Raises
    ------
    FileError
        If the text is not TOML or does not describe such a table.
    """
    _check_size(len(text), file, what)
    if not text.isascii() and re.search("[\ud800-\udfff]", text):
        raise FileError("not text: it holds halves of characters", file=file)
    text = text.removeprefix("\ufeff")
    if not text.strip():
        raise FileError(f"empty; {empty}", file=file)
    try:
        keys = _toml(text, what)
        _check_kind(keys, file, what)
        return from_keys(kind, keys)
    except InputError as error:
        raise FileError(error.text, file=file, key=error.key) from None


def write_line(line: Line) -> str:
    """The text of a line file that reads back as the same line.

    Parameters
    ----------
    line : Line
        What to write; what it does not give is left out.

    Returns
    -------
    str
        TOML, in metric units and with no more digits than it takes to read the same numbers back.

    Notes
    -----
    A number that no decimal in its metric unit reads back as exactly is written in another unit of its
    kind. An angle that was never a decimal of degrees or percent may come back changed in its last bit.
    """
    return write_table(line)


def write_table(table: Any) -> str:
    """The text of a file that reads back as the same table of inputs; see `write_line`."""
    return "\n".join(_sections(table, "", "")).strip("\n") + "\n"


_MARKS = {
    "line file": ("jump", "[[jump]]", "solve and odds read it"),
    "site file": ("ground", "[ground]", "size reads it"),
    "file of riders": ("rider", "[[rider]]", "group reads it"),
}
"""Each kind of file, the first that fits being told: the table that tells it, and what reads it."""


def _check_kind(keys: dict[str, Any], file: str, what: str) -> None:
    """That a file is of the kind that is asked for, where its tables tell that it is of another."""
    if what not in _MARKS:
        return
    # the riders of a line are one table, those of a site or a group a list of them
    found = (kind for kind, (key, *_) in _MARKS.items() if key in keys and (key != "rider" or isinstance(keys[key], list)))
    other = next(found, None)
    if other not in (None, what):
        (_, table, _), (_, has, reads) = _MARKS[what], _MARKS[other]
        raise FileError(f"a {other} ({has}): {reads}; needed is a {what}, with {table}", file=file)


def _check_size(size: int, file: str, what: str) -> None:
    if size > LARGEST_BYTES:
        raise FileError(f"{size / 1e6:.3g} MB; a {what} has at most {LARGEST_BYTES / 1e6:.0f} MB", file=file)


def _toml(text: str, what: str) -> dict[str, Any]:
    """The tables of a TOML text; anything the parser cannot take is one `InputError`."""
    # the parser's time grows with the square of the parts of a dotted key
    if max(row.count(".") for row in text.split("\n")) > _MOST_DOTS:
        raise InputError(f"not a {what}: a row with more than {_MOST_DOTS} dots")
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise InputError(f"not a {what}: lists or tables nested too deeply") from None
    except ValueError as error:
        if not isinstance(error, tomllib.TOMLDecodeError):
            raise InputError("not TOML: a number or date in it cannot be read") from None
        reason, at, place = str(error).rpartition(" (at ")
        words = re.sub(r"\s+", " ", "".join(c if c.isprintable() else " " for c in reason or place))
        words = words if len(words) <= 100 else words[:99] + "…"
        comma = "; a number has a point, not a comma" if _comma_at(text, place) else ""
        raise InputError(f"not TOML: {words}{at}{place if at else ''}{comma}") from None


def _comma_at(text: str, place: str) -> bool:
    """Whether the line at a place, as a refusal of TOML names it, holds a number with a decimal comma."""
    row = re.match(r"line (\d+)", place)
    lines = text.splitlines()
    return row is not None and int(row[1]) <= len(lines) and re.search(r"=\s*[-+]?\d+,\d", lines[int(row[1]) - 1]) is not None


def _own(table: Any) -> dict[str, Any]:
    """The keys and plain values of a table's own inputs, without what is not given."""
    plain: dict[str, Any] = {}
    for name, declaration in declared(type(table)).items():
        value = getattr(table, name)
        if value is None:
            continue
        if declaration.kind == "pieces":
            plain[key_of(name, declaration)] = [_own(piece) for piece in value]
        elif declaration.kind == "stakes":
            plain[key_of(name, declaration)] = [
                [shortest_in(v, kind="length", unit=declaration.unit) for v in stake] for stake in value
            ]
        elif declaration.kind in KINDS:
            key, number = _decimal(value, name, declaration)
            plain[key] = number
        else:
            plain[name] = value
    return plain


def _decimal(value: float, name: str, declaration: Input) -> tuple[str, float | int]:
    """Key and shortest number of a value: in its metric unit, or in the first one that gives it back exactly."""
    kind = declaration.kind
    tried = [(key, unit, shortest_in(value, kind=kind, unit=unit)) for key, unit in keys_of(name, declaration).items()]
    exact = [(key, number) for key, unit, number in tried if to_si(number, kind=kind, unit=unit) == value]
    key, number = exact[0] if exact else (tried[0][0], tried[0][2])
    return key, int(number) if float(number).is_integer() and abs(number) < 1e15 else number


def _sections(table: Any, path: str, header: str) -> Iterator[str]:
    """The text of a table and, each under its own header, of the tables inside it."""
    from tomli_w import dumps

    own = _own(table)
    if header and (own or header.startswith("[[")):
        yield header
    if own or not header:
        yield dumps(own)
    for name, (_, many) in tables(type(table)).items():
        inner = f"{path}.{table_key(name, many=many)}".lstrip(".")
        for item in getattr(table, name) if many else [getattr(table, name)]:
            yield from _sections(item, inner, f"[[{inner}]]" if many else f"[{inner}]")
