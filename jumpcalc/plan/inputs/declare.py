"""One declaration for each input: kind, bounds, default, help and source stand once, beside the field.

File reader, page, README table and error messages are all made from these declarations.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, fields
from typing import Any

from jumpcalc.units import IMPERIAL, KINDS, METRIC, from_si, to_si

__all__ = [
    "ASSUMPTION",
    "Input",
    "declared",
    "given",
    "key_of",
    "keys_of",
    "quantity",
    "table",
    "table_key",
    "tables",
]

ASSUMPTION = "assumption"


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """What is known of one input before anyone gives it.

    `low` and `high` are in the unit `unit`; `default` too, or None where there is none or it is worked
    out (`default_words` then says from what). `items` is the class of the tables in a list.
    """

    kind: str
    help: str
    unit: str = ""
    imperial: str = ""
    low: float | None = None
    high: float | None = None
    default: Any = None
    default_words: str = ""
    choices: tuple[str, ...] = ()
    items: type | None = None
    required: bool = False
    label: str = ""
    source: str = ASSUMPTION

    @property
    def bounds(self) -> tuple[float, float]:
        """Allowed range in SI."""
        return tuple(to_si(value, kind=self.kind, unit=self.unit) for value in (self.low, self.high))

    @property
    def default_si(self) -> Any:
        """The default in SI units, or as it is where it has no unit."""
        if self.kind in KINDS and self.default is not None and self.unit:
            return to_si(self.default, kind=self.kind, unit=self.unit)
        return self.default

    def allowed(self, unit: str | None = None) -> str:
        """What is allowed in words; a range in `unit`, or in the input's own unit."""
        if self.choices:
            return " or ".join(f'"{choice}"' for choice in self.choices)
        if self.kind not in KINDS:
            return {
                "text": "text in quotes",
                "flag": "true or false",
                "pieces": "a list of pieces",
                "stakes": "two stakes or more, [[along, fall], ...], first [0, 0]",
            }[self.kind]
        unit = self.unit if unit is None else unit
        low, high = self.low, self.high
        if unit != self.unit:
            low, high = (from_si(value, kind=self.kind, unit=unit) for value in self.bounds)
            low, high = _inward(low, math.ceil), _inward(high, math.floor)
        sign = KINDS[self.kind][unit].sign
        space = "" if sign in ("°", "") else " "
        return f"{low:.10g} to {high:.10g}{space}{sign}"


def _inward(value: float, to_whole: Callable[[float], int]) -> float:
    """A bound to four digits, rounded so that what is told as allowed is allowed."""
    rounded = float(f"{value:.4g}")
    if math.isclose(rounded, value, rel_tol=1e-9):
        return rounded
    step = 10.0 ** (math.floor(math.log10(abs(value))) - 3)
    return to_whole(value / step) * step


def quantity(
    kind: str,
    low: float | None = None,
    high: float | None = None,
    *,
    help: str,
    unit: str | None = None,
    imperial: str | None = None,
    default: Any = None,
    default_words: str = "",
    choices: tuple[str, ...] = (),
    items: type | None = None,
    required: bool = False,
    label: str = "",
    source: str = ASSUMPTION,
) -> Any:
    """A dataclass field with its declaration; not given means None, unless it is required.

    Parameters
    ----------
    kind : str
        A kind of `units.KINDS`, or ``"text"``, ``"choice"``, ``"flag"``, ``"pieces"``, ``"stakes"``.
    low, high : float, optional
        Bounds in `unit`.
    help : str
        What it is and how to measure it.
    unit, imperial : str, optional
        Suffixes shown in metric and imperial outputs; those of the kind when not given.
    default : optional
        Value taken when not given, in `unit`.
    default_words : str
        How the default is worked out, where it depends on other inputs.
    choices : tuple of str
        Allowed words of a choice.
    items : type, optional
        Class of the tables in a list of pieces.
    required : bool
        Whether a line without it is refused.
    label : str
        Words on a form.
    source : str
        Where the default comes from.

    Returns
    -------
    dataclasses.Field
        The field.
    """
    declaration = Input(
        kind=kind,
        help=help,
        unit=METRIC.get(kind, "") if unit is None else unit,
        imperial=(unit if unit is not None and imperial is None else IMPERIAL.get(kind, ""))
        if imperial is None
        else imperial,
        low=low,
        high=high,
        default=default,
        default_words=default_words,
        choices=choices,
        items=items,
        required=required,
        label=label,
        source=source,
    )
    if required:
        return field(metadata={"input": declaration})
    return field(default=None, metadata={"input": declaration})


def table(kind: type, *, many: bool = False, required: bool = False, help: str = "") -> Any:
    """A dataclass field that holds another table of inputs, or a list of them.

    Parameters
    ----------
    kind : type
        Class of the inner table.
    many : bool
        Whether there may be several.
    required : bool
        Whether a line without it is refused.
    help : str
        What it is.

    Returns
    -------
    dataclasses.Field
        The field.
    """
    metadata = {"table": kind, "many": many, "help": help}
    if required:
        return field(metadata=metadata)
    return field(default_factory=tuple if many else kind, metadata=metadata)


def declared(kind: type) -> dict[str, Input]:
    """The declarations of a table's own inputs, by field name.

    Parameters
    ----------
    kind : type
        The class of a table.

    Returns
    -------
    dict
        Field name -> Input.
    """
    return {f.name: f.metadata["input"] for f in fields(kind) if "input" in f.metadata}


def tables(kind: type) -> dict[str, tuple[type, bool]]:
    """The tables inside a table, by field name: their class and whether there may be many.

    Parameters
    ----------
    kind : type
        The class of a table.

    Returns
    -------
    dict
        Field name -> class, whether there may be many.
    """
    return {f.name: (f.metadata["table"], f.metadata["many"]) for f in fields(kind) if "table" in f.metadata}


def table_key(name: str, *, many: bool) -> str:
    """The key of a table in a line file: of many, each is named in the singular.

    Parameters
    ----------
    name : str
        Field name.
    many : bool
        Whether there may be several.

    Returns
    -------
    str
        The key.
    """
    return name.removesuffix("s") if many else name


def key_of(name: str, declaration: Input) -> str:
    """The key of an input in a line file, in its first unit.

    Parameters
    ----------
    name : str
        Field name.
    declaration : Input
        Its declaration.

    Returns
    -------
    str
        Such as ``"gap_m"``.
    """
    return f"{name}_{declaration.unit}" if declaration.unit else name


def keys_of(name: str, declaration: Input) -> dict[str, str]:
    """Every key that an input may have in a line file, with the unit that the key stands for.

    Parameters
    ----------
    name : str
        Field name.
    declaration : Input
        Its declaration.

    Returns
    -------
    dict
        Key -> unit, the first unit of the input first.
    """
    kind = "length" if declaration.kind == "stakes" else declaration.kind
    units = sorted(KINDS.get(kind, {"": None}), key=lambda unit: unit != declaration.unit)
    return {f"{name}_{unit}" if unit else name: unit for unit in units}


def given(table_object: Any, prefix: str = "") -> Iterator[tuple[str, Input, Any]]:
    """Every input of a table and of the tables inside it: its path, its declaration and its value or None.

    Parameters
    ----------
    table_object : object
        A table such as a Line.
    prefix : str
        Path of the table itself.

    Yields
    ------
    tuple
        Path, Input, value in SI or None; in the order of the declarations.
    """
    for f in dataclasses.fields(table_object):
        path = f"{prefix}{'.' if prefix else ''}"
        if "input" in f.metadata:
            yield path + key_of(f.name, f.metadata["input"]), f.metadata["input"], getattr(table_object, f.name)
        elif f.metadata.get("many"):
            key = table_key(f.name, many=True)
            for number, item in enumerate(getattr(table_object, f.name) or (), start=1):
                yield from given(item, f"{path}{key}[{number}]")
        elif "table" in f.metadata:
            yield from given(getattr(table_object, f.name), path + f.name)
