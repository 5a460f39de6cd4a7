"""Tries read from CSV, as tidy as the own log or as messy as a club's spreadsheet.

Found out from the file: encoding, separator, decimal comma, units in the header (``start mark (ft)``), in the cell
(``30 m``) or in a column of their own (``start mark unit``). A row that cannot be used is told with its reason; the others
are kept.
"""

from __future__ import annotations

import codecs
import csv
import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from jumpcalc.errors import FileError, InputError
from jumpcalc.plan.inputs.declare import Input, declared, keys_of
from jumpcalc.plan.inputs.valid import echo
from jumpcalc.plan.studies.field.tries import Try
from jumpcalc.show.files.tries_csv import DANGEROUS, LARGEST_BYTES, WHOLE
from jumpcalc.show.files.whole import shown_name
from jumpcalc.units import KINDS

__all__ = ["Refused", "Tries", "given_in_words", "new_among", "parse_tries", "read_tries"]

_OTHER_NAMES = {
    "day": "date", "when": "date", "who": "rider", "name": "rider", "mark": "start_mark", "start": "start_mark",
    "pedal_strokes": "strokes", "shove": "start_speed", "push": "start_speed", "wind": "tailwind", "ground": "surface",
    "flight_time": "air_time", "time_in_the_air": "air_time", "landed_at": "touched", "rear_wheel": "touched",
    "result": "outcome", "landing": "outcome", "notes": "note", "remark": "note", "comment": "note",
}  # fmt: skip
_UNIT_WORDS = {
    "metre": "m", "metres": "m", "meter": "m", "meters": "m", "foot": "ft", "feet": "ft", "'": "ft", "inch": "in", "inches": "in",
    "km/h": "kmh", "kph": "kmh", "m/s": "mps", "sec": "s", "seconds": "s", "%": "percent", "°": "deg",
}  # fmt: skip
_FLAGS = {"yes": True, "true": True, "1": True, "no": False, "false": False, "0": False}
_MOST_BREAKS = 20  # lines of one cell
_NUMBER = re.compile(r"([+-]?\d*[.,]?\d+(?:[eE][+-]?\d+)?)\s*([^\d\s].*)?")
_SIGNS = str.maketrans({"\u2212": "-", "\u2013": "-", "\u00a0": " ", "\u202f": " "})


Check = Callable[[Try], object]


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """A row that was not taken: its number in the file, its text, and why."""

    row: int
    text: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tries:
    """What a file of tries holds: the tries, the rows that were refused, and columns that mean nothing here."""

    tries: tuple[Try, ...] = ()
    refused: tuple[Refused, ...] = ()
    unused: tuple[str, ...] = ()


def read_tries(path: str | Path, *, check: Check | None = None) -> Tries:
    """The tries of a CSV file.

    Parameters
    ----------
    path : str or pathlib.Path
        A log, or a table from a spreadsheet.
    check : callable, optional
        As of `parse_tries`.

    Returns
    -------
    Tries
        With the rows that were refused.

    Raises
    ------
    FileError
        If there is no such file, it cannot be read, or none of its columns is known.
    """
    file = shown_name(path)
    try:
        if not Path(path).is_file():
            Path(path).stat()
            raise FileError("not an ordinary file; give a table of tries (.csv)", file=file)
        with Path(path).open("rb") as stream:
            content = stream.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        raise FileError("no such file", file=file) from None
    except (OSError, ValueError) as error:
        if isinstance(error, FileError):
            raise
        raise FileError(f"cannot be read: {getattr(error, 'strerror', None) or error}", file=file) from None
    return parse_tries(content, file=file, check=check)


def parse_tries(content: bytes, *, file: str = "log of tries", check: Check | None = None) -> Tries:
    """The tries in the bytes of a CSV file.

    Parameters
    ----------
    content : bytes
        UTF-8 or UTF-16 with or without a byte-order mark, or Western European.
    file : str
        Name that error messages call it by.
    check : callable, optional
        Raises `InputError` for a try that cannot be, whose row is refused then.

    Returns
    -------
    Tries
        With the rows that were refused.

    Raises
    ------
    FileError
        If it is too large, no text, or none of its columns is known.
    """
    if len(content) > LARGEST_BYTES:
        raise FileError(f"more than {LARGEST_BYTES / 1e6:.0f} MB; a log of tries is smaller", file=file)
    text = _text(content, file)
    if not text.strip():
        return Tries()
    separator = _separator(text)
    rows = _rows(text, separator)
    at, columns = _head(rows, file)
    tries, refused = [], []
    known = {index for index, _, _ in columns}
    for number, cells in rows[at + 1 :]:
        if not any(cell.strip() for cell in cells) or cells == rows[at][1]:
            continue
        try:
            one = _try(cells, columns, rows[at][1])
            if check is not None:
                check(one)
            tries.append(one)
        except InputError as error:
            told = separator.join(cells)
            refused.append(Refused(row=number, text=told if len(told) <= 120 else told[:119] + "…", reason=str(error)))
    unused = tuple(name for index, name in enumerate(rows[at][1]) if index not in known and name.strip())
    return Tries(tries=tuple(tries), refused=tuple(refused), unused=unused)


def new_among(found: Sequence[Try], there: Sequence[Try]) -> tuple[Try, ...]:
    """The tries that are not in a log yet, so that a table imported twice is counted once.

    Parameters
    ----------
    found : sequence of Try
        From a table; two alike in it are two tries.
    there : sequence of Try
        In the log.

    Returns
    -------
    tuple of Try
        In order.
    """
    left, new = Counter(there), []
    for one in found:
        if left[one]:
            left[one] -= 1
        else:
            new.append(one)
    return tuple(new)


def given_in_words(words: Mapping[str, str]) -> dict[str, object]:
    """The keys of a try that somebody typed, as `Try.of` takes them.

    Parameters
    ----------
    words : mapping
        Key with its unit -> text.

    Returns
    -------
    dict
        Numbers as numbers, yes and no as flags, texts as they are.
    """
    own = {key: (name, unit) for name, d in declared(Try).items() for key, unit in keys_of(name, d).items()}
    found: dict[str, object] = {}
    for key, word in words.items():
        name, unit = own.get(key, (key, ""))
        declaration = declared(Try).get(name)
        if declaration is None or declaration.kind in ("text", "choice"):
            found[key] = word
        elif declaration.kind == "flag":
            found[key] = _FLAGS.get(word.lower(), word)
        else:
            found[key] = _number(word, name, declaration, unit or None, "")[1]
    return found


def _text(content: bytes, file: str) -> str:
    """The text of a file whatever it is written in."""
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        tried = ("utf-16",)
    elif b"\0" in content[:1000]:
        tried = ("utf-16-le" if content[1:2] == b"\0" else "utf-16-be",)
    else:
        tried = ("utf-8-sig", "cp1252", "latin-1")
    for encoding in tried:
        try:
            return content.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise FileError("not a text; save the table as CSV", file=file)


def _separator(text: str) -> str:
    """What separates the cells: whichever finds most known columns in a row near the top."""
    def score(separator: str) -> int:
        head = [row for _, row in zip(range(10), csv.reader(text.splitlines(), delimiter=separator), strict=False)]
        return max(sum(_column(name) is not None for name in row) for row in head) if head else 0

    return max((",", ";", "\t", "|"), key=score)


def _rows(text: str, separator: str) -> list[tuple[int, list[str]]]:
    """Rows with their numbers in the file.

    A cell may hold line breaks where a spreadsheet wrote it. The own log has none: there a quote that is never closed is that of
    a row cut off, and must take no other row along.
    """
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    own = WHOLE in next(line for line in lines if line.strip())
    found, at = [], 0
    while at < len(lines):
        row, taken = lines[at], 1
        if not own and row.count('"') % 2:
            for more in range(2, min(_MOST_BREAKS, len(lines) - at) + 1):
                if sum(line.count('"') for line in lines[at : at + more]) % 2 == 0:
                    row, taken = " ".join(lines[at : at + more]), more
                    break
        if row.strip():
            found.append((at + 1, next(csv.reader([row], delimiter=separator))))
        at += taken
    return found


def _head(rows: Sequence[tuple[int, list[str]]], file: str) -> tuple[int, list[tuple[int, str, str | None]]]:
    """Which row names the columns, and the known ones: place, name, unit in its head."""
    known = [sum(_column(name) is not None for name in cells) + (WHOLE in cells) for _, cells in rows[:10]]
    best = known.index(max(known))
    columns = [(index, *found) for index, name in enumerate(rows[best][1]) if (found := _column(name)) is not None]
    if not columns:
        wanted = ", ".join(name for name in declared(Try))
        raise FileError(f"none of its columns is known; the first row must name some of {wanted}", file=file)
    twice = [name for name, count in Counter((n, u == "unit") for _, n, u in columns).items() if count > 1]
    if twice:
        raise FileError(f"two columns for {twice[0][0]}; leave one of them out", file=file)
    return best, columns


@cache
def _names() -> list[tuple[str, dict[str, str], tuple[str, str]]]:
    """Each field of a try, its keys with their units, and what else its column may be called."""
    return [
        (field, keys_of(field, declaration), (field, re.sub(r"[\s_\-]+", "_", declaration.label.lower())))
        for field, declaration in declared(Try).items()
    ]


def _column(name: str) -> tuple[str, str | None] | None:
    """Field and unit that a head stands for: its unit, ``"unit"`` for a column of units, None where it says none."""
    plain = name.strip().lstrip("\ufeff").lower()
    if plain == WHOLE:
        return WHOLE, None
    bracketed = re.fullmatch(r"(.*?)\s*[\[(]\s*(.*?)\s*[\])]", plain)
    unit = None
    if bracketed:
        plain, unit = bracketed[1], _UNIT_WORDS.get(bracketed[2], bracketed[2])
    plain = re.sub(r"[\s_\-]+", "_", plain).strip("_")
    plain = _OTHER_NAMES.get(plain, plain)
    for field, keys, labels in _names():
        if unit is None and plain in (f"{field}_unit", f"{field}_units"):
            return field, "unit"
        if unit is None and plain in keys:
            return field, keys[plain] or None
        if plain in labels:
            return field, unit
    stem, _, last = plain.rpartition("_")
    if unit is None and stem in _OTHER_NAMES:
        field = _OTHER_NAMES[stem]
        if last in ("unit", "units"):
            return field, "unit"
        if last in KINDS.get(declared(Try)[field].kind, {}):
            return field, last
    return None


def _try(cells: Sequence[str], columns: Sequence[tuple[int, str, str | None]], head: Sequence[str]) -> Try:
    """The try of a row."""
    values = {(name, unit == "unit"): cells[index].strip(" \u00a0") if index < len(cells) else "" for index, name, unit in columns}
    if (WHOLE, False) in values and values.pop((WHOLE, False)) != "yes":
        raise InputError(f"cut off: its last cell, {WHOLE}, does not say yes")
    if len(cells) > len(head) and any(cell.strip() for cell in cells[len(head) :]):
        raise InputError(f"has {len(cells)} cells where the first row names {len(head)}; is a text with a separator not in quotes?")
    keys: dict[str, object] = {}
    declarations = declared(Try)
    for _, name, unit in columns:
        cell = values.get((name, False), "")
        if name == WHOLE or unit == "unit" or not cell:
            continue
        declaration = declarations[name]
        if declaration.kind == "text":
            keys[name] = _day(_unmarked(cell)) if name == "date" else _unmarked(cell)
        elif declaration.kind == "choice":
            keys[name] = cell.lower()
        elif declaration.kind == "flag":
            keys[name] = _FLAGS.get(cell.lower(), cell)
        else:
            key, number = _number(cell, name, declaration, unit, values.get((name, True), ""))
            keys[key] = number
    if "date" not in keys:
        raise InputError("not given; a day is needed, year first, as 2026-11-14", key="date")
    return Try.of(**keys)


def _unmarked(cell: str) -> str:
    """A text without the apostrophe that keeps a spreadsheet from taking it for a formula."""
    return cell[1:] if cell.startswith("'") and cell[1:].startswith(DANGEROUS) else cell


def _number(cell: str, name: str, declaration: Input, head: str | None, beside: str) -> tuple[str, float]:
    """Key with its unit and number of a cell."""
    cell = cell.translate(_SIGNS).strip()
    if cell.startswith(("=", "@")) or cell.startswith("'="):
        raise InputError(f"{echo(cell)} is a formula; give its value", key=name)
    found = _NUMBER.fullmatch(cell.removeprefix("'"))
    if not found:
        raise InputError(f"{echo(cell)} is not a number; allowed {declaration.allowed()}", key=name)
    units = KINDS[declaration.kind]
    told = [_UNIT_WORDS.get(u.strip().lower(), u.strip().lower()) for u in (found[2] or "", beside) if u.strip()]
    told += [head] if head else []
    for unit in told:
        if unit not in units:
            raise InputError(f"{echo(unit)} is no unit of it; allowed {', '.join(u for u in units if u) or 'none'}", key=name)
    if len(set(told)) > 1:
        raise InputError(f"given in {' and in '.join(dict.fromkeys(told))}; which is it?", key=name)
    unit = told[0] if told else declaration.unit
    if "" in units and not declaration.unit:
        unit = ""
    number = float(found[1].replace(",", "."))
    return (f"{name}_{unit}" if unit else name), number


def _day(text: str) -> str:
    """A day with its year first, from what spreadsheets write."""
    found = re.fullmatch(r"(\d{4}-\d\d-\d\d)[T ].*", text)
    if found:
        return found[1]
    found = re.fullmatch(r"(\d{1,2})\s*([./])\s*(\d{1,2})\s*[./]\s*(\d{4})", text)
    if not found:
        return text
    first, sign, second, year = int(found[1]), found[2], int(found[3]), found[4]
    if sign == "/" and first <= 12 and second <= 12 and first != second:
        raise InputError(f"{echo(text)} may be two days; write it as {year}-11-14", key="date")
    day, month = (second, first) if sign == "/" and second > 12 else (first, second)
    return f"{year}-{month:02d}-{day:02d}"


