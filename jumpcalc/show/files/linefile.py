"""Line files: TOML in and out, made from the declarations beside the fields of `plan.line`.

A key is the name of a field and the suffix of a unit of its kind, so a new input needs nothing here.
Every refusal is a `FileError` of one line: file, key path, what was given, what is allowed.
"""

from __future__ import annotations

import difflib
import re
import stat
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import tomli_w

from jumpcalc.errors import FileError, InputError
from jumpcalc.plan.inputs.declare import Input, check_value, declared, echo, key_of, keys_of, table_key, tables
from jumpcalc.plan.inputs.line import Line, Piece
from jumpcalc.units import KINDS, shortest_in, to_si

__all__ = ["LARGEST_BYTES", "parse_line", "read_line", "write_line"]

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
    file = str(path) if str(path).isprintable() else echo(str(path))
    try:
        about = Path(path).stat()
        if stat.S_ISDIR(about.st_mode):
            raise FileError("a folder; give a line file (.toml)", file=file)
        if not stat.S_ISREG(about.st_mode):
            raise FileError("not an ordinary file; give a line file (.toml)", file=file)
        _check_size(about.st_size, file)
        content = Path(path).read_bytes()
    except FileNotFoundError:
        raise FileError("no such file", file=file) from None
    except (OSError, ValueError) as error:
        if isinstance(error, FileError):
            raise
        reason = getattr(error, "strerror", None) or str(error)
        raise FileError(f"cannot be read: {reason}", file=file) from None
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        raise FileError(
            f"not UTF-8 text (byte {error.start + 1}); save it as UTF-8 in a text editor", file=file
        ) from None
    return parse_line(text, file=file)


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
    _check_size(len(text), file)
    if not text.isascii() and re.search("[\ud800-\udfff]", text):
        raise FileError("not text: it holds halves of characters", file=file)
    text = text.removeprefix("\ufeff")
    if not text.strip():
        raise FileError("empty; a line needs one jump or more, each a [[jump]] table", file=file)
    typed: dict[str, str] = {}
    try:
        return _read(Line, _toml(text), "", typed)
    except InputError as error:
        raise FileError(error.text, file=file, key=typed.get(error.key, error.key)) from None


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
    return "\n".join(_sections(line, "", "")).strip("\n") + "\n"


def _check_size(size: int, file: str) -> None:
    if size > LARGEST_BYTES:
        raise FileError(f"{size / 1e6:.3g} MB; a line file has at most {LARGEST_BYTES / 1e6:.0f} MB", file=file)


def _toml(text: str) -> dict[str, Any]:
    """The tables of a TOML text; anything the parser cannot take is one `InputError`."""
    # the parser's time grows with the square of the parts of a dotted key
    if max(row.count(".") for row in text.split("\n")) > _MOST_DOTS:
        raise InputError(f"not a line file: a row with more than {_MOST_DOTS} dots")
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise InputError("not a line file: lists or tables nested too deeply") from None
    except ValueError as error:
        if not isinstance(error, tomllib.TOMLDecodeError):
            raise InputError("not TOML: a number or date in it cannot be read") from None
        reason, at, place = str(error).rpartition(" (at ")
        words = re.sub(r"\s+", " ", "".join(c if c.isprintable() else " " for c in reason or place))
        words = words if len(words) <= 100 else words[:99] + "…"
        raise InputError(f"not TOML: {words}{at}{place if at else ''}") from None


def _shown(key: str) -> str:
    """A key as a path shows it: as it is where it is a bare one, else in quotes, never long."""
    return key if re.fullmatch(r"[A-Za-z0-9_-]{1,60}", key) else echo(key)


def _read(kind: type, data: Any, path: str, typed: dict[str, str]) -> Any:
    """A table of the file as an object of its class; `typed` collects the key that was typed for each input."""
    own, inner = declared(kind), {}
    for name, (inner_kind, many) in tables(kind).items():
        inner[table_key(name, many=many)] = (name, inner_kind, many)
    known = {key: (name, unit) for name, d in own.items() for key, unit in keys_of(name, d).items()}
    dot = f"{path}." if path else ""
    values: dict[str, Any] = {name: None for name, d in own.items() if d.required}
    given_as: dict[str, str] = {}
    for key, value in data.items():
        at = dot + _shown(key)
        if key in inner:
            name, inner_kind, many = inner[key]
            values[name] = _read_inner(inner_kind, value, at, typed, many=many)
        elif key in known:
            name, unit = known[key]
            if name in given_as:
                raise InputError(f"given beside {given_as[name]}, which is the same quantity; give one", key=at)
            given_as[name] = key
            typed[dot + key_of(name, own[name])] = at
            values[name] = _read_input(value, own[name], at, unit, typed)
        else:
            raise InputError(_unknown(kind, key, own, [*known, *inner]), key=at)
    for key, (name, inner_kind, many) in inner.items():
        if name not in values and not many and any(d.required for d in declared(inner_kind).values()):
            needed = ", ".join(key_of(n, d) for n, d in declared(inner_kind).items() if d.required)
            raise InputError(f"not given; it is needed: a table with {needed}", key=dot + key)
        if name not in values and many:
            values[name] = ()
    try:
        return kind(**values)
    except InputError as error:
        raise error.under(path) if path else error from None


def _read_inner(kind: type, value: Any, at: str, typed: dict[str, str], *, many: bool) -> Any:
    """A table inside a table, or the tuple of them where there may be many."""
    if not many:
        if not isinstance(value, dict):
            raise InputError(f"{echo(value)}; must be one table, [{at}]", key=at)
        return _read(kind, value, at, typed)
    if isinstance(value, dict):
        raise InputError(f"a single table; write [[{at}]], in double brackets, above each one", key=at)
    if not isinstance(value, list):
        raise InputError(f"{echo(value)}; must be tables, each headed [[{at}]]", key=at)
    return tuple(_read_items(kind, value, at, typed))


def _read_items(kind: type, items: list[Any], at: str, typed: dict[str, str]) -> Iterator[Any]:
    for number, item in enumerate(items, start=1):
        if not isinstance(item, dict):
            keys = ", ".join(key_of(name, d) for name, d in declared(kind).items())
            raise InputError(f"{echo(item)}; must be a table{f' of {keys}' if keys else ''}", key=f"{at}[{number}]")
        yield _read(kind, item, f"{at}[{number}]", typed)


def _read_input(value: Any, declaration: Input, at: str, unit: str, typed: dict[str, str]) -> Any:
    """One input in SI, checked in the unit it was typed in."""
    if declaration.kind == "pieces":
        if not isinstance(value, list):
            keys = ", ".join(key_of(name, d) for name, d in declared(Piece).items())
            raise InputError(f"{echo(value)}; must be a list of pieces, each a table of {keys}", key=at)
        return tuple(_read_items(Piece, value, at, typed))
    if declaration.kind == "stakes":
        return tuple(_read_stakes(value, at, unit))
    if declaration.kind == "text" and hasattr(value, "isoformat"):
        return value.isoformat()  # TOML has dates of its own, written without quotes
    si = check_value(value, declaration, key=at, unit=unit)
    if declaration.kind == "count":
        return int(si)
    return float(si) + 0.0 if declaration.kind in KINDS else si  # + 0.0 makes a zero of -0.0


def _read_stakes(value: Any, at: str, unit: str) -> Iterator[tuple[float, float]]:
    """Stakes in SI, each a pair of distance along the ground and fall below the first."""
    if not isinstance(value, list):
        raise InputError(f"{echo(value)}; must be a list of stakes, each [along, fall]", key=at)
    for number, stake in enumerate(value, start=1):
        numbers = isinstance(stake, list) and len(stake) == 2
        if not numbers or any(isinstance(v, bool) or not isinstance(v, (int, float)) for v in stake):
            raise InputError(f"{echo(stake)}; must be a pair of numbers, [along, fall]", key=f"{at}[{number}]")
        if not all(abs(v) < 1e6 for v in stake):
            raise InputError("must be finite numbers below a million", key=f"{at}[{number}]")
        yield tuple(to_si(float(v), kind="length", unit=unit) + 0.0 for v in stake)


def _unknown(kind: type, key: str, own: dict[str, Input], here: list[str]) -> str:
    """What to tell about a key that its table does not have."""
    for name in sorted(own, key=len, reverse=True):
        keys = keys_of(name, own[name])
        if key == name and own[name].unit:
            return f"no unit given; the key says it: {' or '.join(keys)}"
        if key.startswith(f"{name}_") and own[name].unit and not difflib.get_close_matches(key, here, 1, 0.9):
            return f"unknown unit {echo(key.removeprefix(f'{name}_'))}; allowed {' or '.join(keys)}"
    elsewhere = [place for place, known in _places(Line, "") if key in known]
    if elsewhere:
        return f"not a key of this table; it belongs in {' or '.join(elsewhere)}"
    near = difflib.get_close_matches(key[:60], here, 1)
    if near:
        return f"unknown key; did you mean '{near[0]}'?"
    first = [key_of(name, d) for name, d in own.items()] + [table_key(n, many=m) for n, (_, m) in tables(kind).items()]
    return f"unknown key; allowed {', '.join(first)}"


def _places(kind: type, path: str) -> Iterator[tuple[str, set[str]]]:
    """Every table of a line file and the keys it may have, also without their unit."""
    own = {key for name, d in declared(kind).items() for key in (name, *keys_of(name, d))}
    inner = {table_key(name, many=many): (item, many) for name, (item, many) in tables(kind).items()}
    yield path or "the top of the file, above the first table", own | set(inner)
    for key, (item, many) in inner.items():
        name = f"{path}.{key}" if path else key
        yield from _places(item, f"[[{name}]]" if many and not path else name)


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
    own = _own(table)
    if header and (own or header.startswith("[[")):
        yield header
    if own or not header:
        yield tomli_w.dumps(own)
    for name, (_, many) in tables(type(table)).items():
        inner = f"{path}.{table_key(name, many=many)}".lstrip(".")
        for item in getattr(table, name) if many else [getattr(table, name)]:
            yield from _sections(item, inner, f"[[{inner}]]" if many else f"[{inner}]")
