"""What was typed of one thing, a line or a site: kept in SI by key path, its widgets, and the tables of inputs built from it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from jumpcalc.errors import FileError, InputError
from jumpcalc.plan.inputs.declare import Input, declared, key_of, table_key, tables
from jumpcalc.plan.inputs.dug import Piece
from jumpcalc.plan.inputs.valid import check_value
from jumpcalc.show.files.linefile import LARGEST_BYTES
from jumpcalc.show.page import names
from jumpcalc.show.page.stakes import pasted
from jumpcalc.units import KINDS, from_si

__all__ = ["LINE", "SITE", "Form", "file_text", "unit_of", "units"]

_ONLY_A_LIP = ("radius", "height", "straight")  # a drop has none of these


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """Where values are kept by key path, the widgets of its inputs, how many there are of what may be many, what was refused of it."""

    kept: names.Kept
    widgets: names.Family
    counts: Mapping[str, names.Kept]
    message: names.Kept
    assumed: names.Kept

    def typed(self, path: str) -> Any:
        """The stored value of an input [SI] or None."""
        return self.kept.value.get(path)

    def store(self, path: str, value: Any) -> None:
        """Store the value of an input [SI] or None; what was said of a file before is over with it."""
        self.kept.value[path] = value
        self.message.put("")

    def built(self, kind: type) -> Any:
        """The table of what was typed.

        Raises
        ------
        InputError
            One line that names the input by its label, what was given and what is allowed.
        """
        return self._built(kind, "", "")

    def _built(self, kind: type, prefix: str, where: str) -> Any:
        """A table from what is stored under `prefix`, named `where` in messages."""
        dot = f"{prefix}." if prefix else ""
        drop = self.typed(f"{prefix.removesuffix('.lip')}.shape") == "drop"
        values: dict[str, Any] = {}
        for name, declaration in declared(kind).items():
            value = self.typed(dot + key_of(name, declaration))
            if prefix.endswith(".lip") and drop and name in _ONLY_A_LIP:
                value = None
            values[name] = _checked(value, declaration, where)
        for name, (inner, many) in tables(kind).items():
            key = dot + table_key(name, many=many)
            if many:
                count = self.counts[key].value
                called = key.replace("_", "-")
                values[name] = tuple(
                    self._built(inner, f"{key}[{i}]", f"{called} {i}" if count > 1 else "") for i in range(1, count + 1)
                )
            else:
                values[name] = self._built(inner, key, ", ".join(part for part in (where, name.replace("_", "-")) if part))
        return _said(lambda: kind(**values), kind, where)


LINE = Form(kept=names.TYPED, widgets=names.INPUT, counts={"jump": names.JUMPS}, message=names.MESSAGE, assumed=names.ASSUMED)
SITE = Form(
    kept=names.SITE, widgets=names.SITE_FIELD, counts={"rider": names.SITE_RIDERS, "keep_out": names.SITE_KEEP_OUTS},
    message=names.SITE_MESSAGE, assumed=names.SITE_ASSUMED,
)  # fmt: skip


def units() -> str:
    """``"metric"`` or ``"imperial"``."""
    return names.UNITS.value


def unit_of(declaration: Input) -> str:
    """The suffix of the unit in which an input is shown."""
    return declaration.imperial if units() == "imperial" else declaration.unit


def file_text(name: str, content: bytes, *, what: str) -> tuple[str, str]:
    """Name, as it can be shown, and text of an uploaded file.

    Parameters
    ----------
    name : str
        As the browser says.
    content : bytes
        Its content.
    what : str
        What it must be, such as "line file".

    Returns
    -------
    tuple of str
        Name and text.

    Raises
    ------
    FileError
        Where it is too large, or no text.
    """
    name = "".join(c if c.isprintable() else "?" for c in name)[:80]
    if len(content) > LARGEST_BYTES:
        raise FileError(f"{len(content) / 1e6:.3g} MB; a {what} has at most 1 MB", file=name)
    try:
        return name, content.decode("utf-8")
    except UnicodeDecodeError as error:
        raise FileError(f"not UTF-8 text (byte {error.start + 1}); it must be a {what} (.toml)", file=name) from None


def _checked(value: Any, declaration: Input, where: str) -> Any:
    """A stored value, refused in the units on the screen where it is out of its range."""
    if value is None:
        return None
    if declaration.kind == "pieces":
        return tuple(_piece(row, f"{where}, piece {i}".lstrip(", ")) for i, row in enumerate(value, start=1)) or None
    if declaration.kind == "stakes":
        if isinstance(value, str):  # pasted, and not yet two numbers a row
            value = pasted(value, unit_of(declaration))
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
