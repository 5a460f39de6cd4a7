"""What was typed, kept in SI beside the widgets, so that neither a switch of units nor an error loses it.

`typed` maps the key path of every input to its SI value or None; ground pieces are rows of kind, size
and slope, stakes rows of distance and fall. Widgets write into it; `line` builds the Line from it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import streamlit as st

from jumpcalc.errors import FileError, InputError
from jumpcalc.plan.answer import Answer
from jumpcalc.plan.inputs.declare import Input, check_value, declared, given, key_of, table_key, tables
from jumpcalc.plan.inputs.line import Line, Piece
from jumpcalc.show.files.examples import FIRST, examples
from jumpcalc.show.files.linefile import LARGEST_BYTES, parse_line
from jumpcalc.show.page import address
from jumpcalc.units import KINDS, from_si

__all__ = [
    "OF_A_LANDING",
    "assumed",
    "bind",
    "example_of",
    "forget",
    "index",
    "line",
    "load",
    "refill",
    "remember",
    "start",
    "store",
    "typed",
    "units",
    "unit_of",
    "uploaded",
]

OF_A_LANDING = ("explain place", "explain way")
"""What a coach told of one landing on one jump."""

_KEPT = ("ride wind", "size kind", "more ", "groups", "explain way", "line files", "other_bike")
_ONLY_A_LIP = ("radius", "height", "straight")  # a drop has none of these


def start() -> None:
    """Begin a session on the line in the address, or on an example; keep what parts not shown now were told."""
    if "typed" in st.session_state:
        for key in st.session_state:
            if str(key).startswith(_KEPT):
                # else Streamlit forgets it with its widget, at a change of way or while a value is refused
                st.session_state[key] = st.session_state[key]
        return
    units = "imperial" if st.query_params.get("units") == "imperial" else "metric"
    found, asked, message = address.take()
    name = asked or FIRST
    st.session_state.update(units=units, example=name, message="", assumed={})
    load(found if found is not None else examples()[name])
    st.session_state["message"] = message


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
    st.session_state.update(typed=values, jumps=len(new.jumps), jump=1, message="")
    # they belong to the line and the day they were given for
    forget("ride wind", "own wind", "bikes", "ride mark", *OF_A_LANDING)
    refill()


def forget(*told: str) -> None:
    """Let go of what was picked or told outside the line."""
    for name in told:
        st.session_state.pop(name, None)


def refill() -> None:
    """Have every widget show what is stored at the next run."""
    st.session_state["round"] = st.session_state.get("round", 0) + 1


def bind(key: str, value: Any) -> None:
    """Give a widget the value it shows: at its first run, and after a line was loaded or units were switched."""
    rounds = st.session_state.setdefault("rounds", {})
    if key not in st.session_state or rounds.get(key) != st.session_state["round"]:
        st.session_state[key] = value
        rounds[key] = st.session_state["round"]


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
    except InputError as error:
        st.session_state["message"] = f"{error}. Nothing was changed."


def typed(path: str) -> Any:
    """The stored value of an input [SI] or None."""
    return st.session_state["typed"].get(path)


def store(path: str, value: Any) -> None:
    """Store the value of an input [SI] or None; what was said of a file before is over with it."""
    st.session_state["typed"][path] = value
    st.session_state["message"] = ""


def units() -> str:
    """``"metric"`` or ``"imperial"``."""
    return st.session_state["units"]


def index() -> int:
    """Which jump of the line is looked at, from 0."""
    return min(st.session_state.get("jump", 1), st.session_state["jumps"]) - 1


def remember(answer: Answer) -> None:
    """Keep what was assumed, so that empty fields can say it."""
    names = set(answer.assumed)
    st.session_state["assumed"] = {path: value for path, _, value in given(answer.complete) if path in names}


def assumed(path: str) -> Any:
    """What the last answer assumed for an input [SI], None where it assumed nothing."""
    return st.session_state["assumed"].get(path)


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
            count = st.session_state["jumps"]
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
    names = ("length", "slope") if kind == "straight" else ("radius", "to_slope")
    values = dict(zip(names, (size, slope), strict=True))
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
        key = labels.get(error.key, error.key)
        raise InputError(
            error.text, key=f"{where}: {key}" if where and key and key not in labels.values() else key or where
        ) from None


def unit_of(declaration: Input) -> str:
    """The suffix of the unit in which an input is shown."""
    return declaration.imperial if units() == "imperial" else declaration.unit
