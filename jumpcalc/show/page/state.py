"""What was typed, kept in SI beside the widgets, so that neither a switch of units nor an error loses it.

`typed` maps the key path of every input to its SI value or None; ground pieces are rows of kind, size
and slope, stakes rows of distance and fall. Widgets write into it; `line` builds the Line from it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from jumpcalc.errors import FileError, InputError
from jumpcalc.plan.answer import Answer
from jumpcalc.plan.inputs.declare import Input, check_value, declared, given, key_of, table_key, tables
from jumpcalc.plan.inputs.line import Line, Piece
from jumpcalc.show.files.examples import FIRST, examples
from jumpcalc.show.files.linefile import LARGEST_BYTES, parse_line
from jumpcalc.show.page import address, names, today
from jumpcalc.units import KINDS, from_si

__all__ = [
    "another_landing",
    "assumed",
    "bind",
    "example_of",
    "index",
    "line",
    "load",
    "refill",
    "remember",
    "start",
    "store",
    "take_choice",
    "typed",
    "units",
    "unit_of",
    "uploaded",
]

_ONLY_A_LIP = ("radius", "height", "straight")  # a drop has none of these
_OF_A_LINE = (names.OWN_WIND, names.ASIDE, names.RIDE_MARK, names.SOURCE, names.READ)
_OF_A_LANDING = (names.TOUCHED, names.TOUCHED_FAR, names.BEGAN, names.PEDALLED)


def start() -> None:
    """Begin a session on the line in the address, or on an example; keep what parts not shown now were told."""
    if names.TYPED.known:
        for one in names.declared(names.Kept):
            if one.goes and one.known:
                # else Streamlit forgets it with its widget, at a change of way or while a value is refused
                one.put(one.value)
        return
    found, asked, message = address.take()
    name = asked or FIRST
    names.UNITS.put("imperial" if names.IN_UNITS.value == "imperial" else "metric")
    names.EXAMPLE.put(name)
    if names.IN_TODAY.value == today.IN_ADDRESS:
        names.RIDE_WIND.put(today.GUSTY)
    load(found if found is not None else examples()[name])
    names.MESSAGE.put(message)


def example_of(one: Line) -> str | None:
    """The name of the example that a line is, unchanged, or None."""
    return next((name for name, line in examples().items() if line == one), None)


def load(new: Line) -> None:
    """Put a line's inputs in place of what was typed."""
    values: dict[str, Any] = {}
    for path, declaration, value in given(new):
        if declaration.kind == "pieces" and value is not None:
            value = tuple(
                ("straight", piece.length, piece.slope)
                if piece.length is not None
                else ("curve", piece.radius, piece.to_slope)
                for piece in value
            )
        values[path] = value
    names.TYPED.put(values)
    names.JUMPS.put(len(new.jumps))
    names.JUMP.put(1)
    names.MESSAGE.put("")
    # they belong to the line and the day they were given for
    for one in (*_OF_A_LINE, *_OF_A_LANDING):
        one.forget()
    if names.RIDE_WIND.value != today.GUSTY:  # a gust does not ask which line it is
        names.RIDE_WIND.forget()
    refill()


def another_landing() -> None:
    """Let go of where a wheel touched: that was on one jump, not on all of them."""
    for one in _OF_A_LANDING:
        one.forget()
    refill()


def take_choice(of: str, *, was: str, now: str, fresh: Mapping[str, Any]) -> None:
    """Take another choice of something that brings values with it; what was typed for the one before comes back with that one.

    Parameters
    ----------
    of : str
        What is chosen.
    was, now : str
        The choice before, and the one taken.
    fresh : mapping of str to object
        All key paths that go with it, with what they are at the first time.
    """
    aside = {**names.ASIDE.value, (of, was): {path: typed(path) for path in fresh}}
    names.ASIDE.put(aside)
    for path, value in aside.get((of, now), fresh).items():
        store(path, value)
    refill()


def refill() -> None:
    """Have every widget show what is stored at the next run."""
    names.ROUND.put(names.ROUND.value + 1)


def bind(widget: names.Kept, value: Any) -> None:
    """Give a widget the value it shows: at its first run, and after a line was loaded or units were switched."""
    rounds, now = names.ROUNDS.value, names.ROUND.value
    if not widget.known or rounds.get(widget.name) != now:
        widget.put(value)
        names.ROUNDS.put({**rounds, widget.name: now})


def uploaded(name: str, content: bytes) -> None:
    """Load an uploaded line file; where it cannot be read, say why and keep what was typed.

    Parameters
    ----------
    name : str
        Name of the file as the browser says.
    content : bytes
        Its content.
    """
    name = "".join(c if c.isprintable() else "?" for c in name)[:80]
    try:
        if len(content) > LARGEST_BYTES:
            raise FileError(f"{len(content) / 1e6:.3g} MB; a line file has at most 1 MB", file=name)
        try:
            text = content.decode("utf-8")
        except UnicodeDecodeError as error:
            raise FileError(
                f"not UTF-8 text (byte {error.start + 1}); it must be a line file (.toml)", file=name
            ) from None
        load(parse_line(text, file=name))
        names.SOURCE.put(name)
    except InputError as error:
        names.MESSAGE.put(f"{error}. Nothing was changed.")


def typed(path: str) -> Any:
    """The stored value of an input [SI] or None."""
    return names.TYPED.value.get(path)


def store(path: str, value: Any) -> None:
    """Store the value of an input [SI] or None; what was said of a file before is over with it."""
    names.TYPED.value[path] = value
    names.MESSAGE.put("")


def units() -> str:
    """``"metric"`` or ``"imperial"``."""
    return names.UNITS.value


def index() -> int:
    """Which jump of the line is looked at, from 0."""
    return min(names.JUMP.value, names.JUMPS.value) - 1


def remember(answer: Answer) -> None:
    """Keep what was assumed, so that empty fields can say it."""
    paths = set(answer.assumed)
    names.ASSUMED.put({path: value for path, _, value in given(answer.complete) if path in paths})


def assumed(path: str) -> Any:
    """What the last answer assumed for an input [SI], None where it assumed nothing."""
    return names.ASSUMED.value.get(path)


def line() -> Line:
    """The Line of what was typed.

    Raises
    ------
    InputError
        One line that names the input by its label, what was given and what is allowed.
    """
    return _built(Line, "", "")


def _built(kind: type, prefix: str, where: str) -> Any:
    """A table from what is stored under `prefix`, named `where` in messages."""
    dot = f"{prefix}." if prefix else ""
    drop = typed(f"{prefix.removesuffix('.lip')}.shape") == "drop"
    values: dict[str, Any] = {}
    for name, declaration in declared(kind).items():
        value = typed(dot + key_of(name, declaration))
        if prefix.endswith(".lip") and drop and name in _ONLY_A_LIP:
            value = None
        values[name] = _checked(value, declaration, where)
    for name, (inner, many) in tables(kind).items():
        key = dot + table_key(name, many=many)
        if many:
            count = names.JUMPS.value
            values[name] = tuple(
                _built(inner, f"{key}[{i}]", f"jump {i}" if count > 1 else "") for i in range(1, count + 1)
            )
        else:
            values[name] = _built(inner, key, ", ".join(part for part in (where, name.replace("_", "-")) if part))
    return _said(lambda: kind(**values), kind, where)


def _checked(value: Any, declaration: Input, where: str) -> Any:
    """A stored value, refused in the units on the screen where it is out of its range."""
    if value is None:
        return None
    if declaration.kind == "pieces":
        return tuple(_piece(row, f"{where}, piece {i}".lstrip(", ")) for i, row in enumerate(value, start=1)) or None
    if declaration.kind == "stakes":
        if any(part is None for row in value for part in row):
            raise InputError("a stake needs both its numbers", key=f"{where}, stakes".lstrip(", "))
        return tuple(tuple(row) for row in value) or None
    if declaration.kind in KINDS:
        unit = unit_of(declaration)
        shown = from_si(value, kind=declaration.kind, unit=unit)
        check_value(int(shown) if declaration.kind == "count" else shown, declaration, key=declaration.label, unit=unit)
    return value


def _piece(row: tuple[str, float | None, float | None], where: str) -> Piece:
    kind, size, slope = row
    parts = ("length", "slope") if kind == "straight" else ("radius", "to_slope")
    values = dict(zip(parts, (size, slope), strict=True))
    for name, value in values.items():
        if value is None:
            raise InputError(f"its {declared(Piece)[name].label.lower()} is missing", key=where)
        _checked(value, declared(Piece)[name], where)
    return _said(lambda: Piece(**values), Piece, where)


def _said(build: Callable[[], Any], kind: type, where: str) -> Any:
    """What `build` gives; its refusal speaks of labels instead of file keys."""
    try:
        return build()
    except InputError as error:
        labels = {key_of(name, d): d.label for name, d in declared(kind).items() if d.label}
        for inner, (part, many) in tables(kind).items():
            dot = f"{table_key(inner, many=many)}."
            labels |= {dot + key_of(name, d): d.label for name, d in declared(part).items() if d.label}
        key = labels.get(error.key, error.key)
        raise InputError(
            error.text, key=f"{where}: {key}" if where and key and key not in labels.values() else key or where
        ) from None


def unit_of(declaration: Input) -> str:
    """The suffix of the unit in which an input is shown."""
    return declaration.imperial if units() == "imperial" else declaration.unit
