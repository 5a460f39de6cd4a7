"""One declaration for each input: kind, bounds, default, help and source stand once, beside the field.

File reader, page, README table and error messages are all made from these declarations.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, fields
from functools import cache
from typing import Any

from jumpcalc.errors import InputError
from jumpcalc.units import IMPERIAL, KINDS, METRIC, from_si, to_si

__all__ = [
    "ASSUMPTION",
    "Input",
    "check_value",
    "checked",
    "declared",
    "echo",
    "given",
    "key_of",
    "keys_of",
    "plain",
    "quantity",
    "spoken",
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


def echo(value: Any, *, longest: int = 60) -> str:
    """What was given, on one line and cut to `longest` characters, as an error message shows it.

    Parameters
    ----------
    value : object
        What was given.
    longest : int
        Most characters.

    Returns
    -------
    str
        One line.
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, (list, tuple)):
        return "a list"
    if isinstance(value, int) and abs(value) >= 10**longest:
        return f"a whole number of more than {longest} digits"
    text = value.isoformat() if hasattr(value, "isoformat") else repr(value)
    if "\n" in text:  # as arrays and frames write themselves
        text = " ".join(text.split())
    return text if len(text) <= longest else text[: longest - 1] + "…"


def spoken(value: float, declaration: Input, *, unit: str | None = None, digits: int = 6) -> str:
    """A value in SI as a person reads it, with its unit.

    Parameters
    ----------
    value : float
        In SI.
    declaration : Input
        What is known of the input.
    unit : str, optional
        The unit spoken in; the input's own when not given.
    digits : int
        Significant digits.

    Returns
    -------
    str
        Number and sign of the unit.
    """
    unit = declaration.unit if unit is None else unit
    sign = KINDS[declaration.kind][unit].sign
    text = f"{from_si(value, kind=declaration.kind, unit=unit):.{digits}g}"
    return f"{text}{'' if sign in ('°', '') else ' '}{sign}"


def plain(value: Any) -> Any:
    """Python's own number, flag, word or list in place of one of numpy's.

    Parameters
    ----------
    value : object
        Anything.

    Returns
    -------
    object
        The same, of a type of Python's own; what is none of numpy's comes back as it is.
    """
    return value.tolist() if hasattr(value, "tolist") and not isinstance(value, type) else value


def checked(table_object: Any) -> None:
    """Refuse a table one of whose inputs or inner tables is missing, of the wrong kind, or out of its range.

    Numbers are kept as Python's own floats and ints, whatever kind of number was given.

    Parameters
    ----------
    table_object : object
        A table of inputs.

    Raises
    ------
    InputError
        Naming the input, what was given and what is allowed, in its unit.
    """
    kind = type(table_object)
    for name, declaration, low, high in _ranges(kind):
        value = getattr(table_object, name)
        if type(value) is float and value and low <= value <= high:
            continue
        key = key_of(name, declaration)
        if value is None:
            if declaration.required:
                raise InputError(f"not given; it is needed ({declaration.allowed()})", key=key)
            continue
        if declaration.kind == "stakes" and not (isinstance(value, tuple) and all(isinstance(v, tuple) for v in value)):
            raise InputError(f"{echo(value)}; must be a tuple of pairs, ((along, fall), ...)", key=key)
        right = check_value(value, declaration, key=key)
        if right is not value:
            object.__setattr__(table_object, name, right)
    for name, inner, many in _inner(kind):
        _check_inner(getattr(table_object, name), inner, table_key(name, many=many), many=many)


@cache
def _ranges(kind: type) -> tuple[tuple[str, Input, float, float], ...]:
    """The inputs of a table with the range in SI in which a float needs no closer look, if there is one."""
    return tuple(
        (name, d, *(d.bounds if d.kind in KINDS and d.kind != "count" else (math.nan, math.nan)))
        for name, d in declared(kind).items()
    )


@cache
def _inner(kind: type) -> tuple[tuple[str, type, bool], ...]:
    return tuple((name, *about) for name, about in tables(kind).items())


def _check_inner(value: Any, kind: type, key: str, *, many: bool) -> None:
    """Refuse what is not a table of that class, or not a tuple of such tables."""
    if not many:
        if not isinstance(value, kind):
            raise InputError(f"{echo(value)}; must be a {kind.__name__}", key=key)
        return
    if not isinstance(value, tuple):
        raise InputError(f"{echo(value)}; must be a tuple of {kind.__name__}", key=key)
    for number, item in enumerate(value, start=1):
        _check_inner(item, kind, f"{key}[{number}]", many=False)


def check_value(value: Any, declaration: Input, *, key: str, unit: str | None = None) -> Any:
    """The value in SI, refused where it is of the wrong kind or out of its range.

    Parameters
    ----------
    value : object
        What was given; numpy's numbers, flags and words are as good as Python's.
    declaration : Input
        What is known of the input.
    key : str
        Its key, for the message.
    unit : str, optional
        Unit in which the value is given and the message speaks; SI, told in the input's own unit, when
        not given.

    Returns
    -------
    object
        A float in SI, an int for a count, tuples for lists, or a value of Python's own where there is no unit.

    Raises
    ------
    InputError
        Naming the input, what was given and what is allowed, in the unit it was given in.
    """
    if declaration.kind == "pieces":
        _check_inner(value, declaration.items, key, many=True)
        return value
    if declaration.kind == "stakes":
        return _stakes(value, key, declaration.unit if unit is None else unit)
    value = plain(value)
    if declaration.kind not in KINDS:
        right = {"text": str, "choice": str, "flag": bool}[declaration.kind]
        if not isinstance(value, right) or (declaration.choices and value not in declaration.choices):
            raise InputError(f"{echo(value)}; must be {declaration.allowed(unit)}", key=key)
        return value
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise InputError(f"{echo(value)} is not a number; allowed {declaration.allowed(unit)}", key=key)
    if isinstance(value, int) and abs(value) > 10**300:
        raise InputError(f"{echo(value)}; allowed {declaration.allowed(unit)}", key=key)
    if not math.isfinite(value):
        raise InputError(f"{value}; must be a finite number, {declaration.allowed(unit)}", key=key)
    if declaration.kind == "count" and int(value) != value:
        raise InputError(f"{value:g}; must be a whole number, {declaration.allowed(unit)}", key=key)
    si = value if unit is None else to_si(value, kind=declaration.kind, unit=unit)
    low, high = declaration.bounds
    # a bound typed in another unit may miss the one in SI by its last bits
    if not low - 1e-9 * abs(low) <= si <= high + 1e-9 * abs(high):
        told = spoken(si, declaration, unit=unit, digits=12)
        raise InputError(f"{told}; allowed {declaration.allowed(unit)}", key=key)
    return int(si) if declaration.kind == "count" else float(si) + 0.0  # + 0.0 makes a zero of -0.0


def _stakes(value: Any, key: str, unit: str) -> tuple[tuple[float, float], ...]:
    """Stakes in SI as pairs of floats, refused where they are anything else."""
    if not isinstance(value, (list, tuple)):
        raise InputError(f"{echo(value)}; must be a list of stakes, each [along, fall]", key=key)
    pairs = []
    for number, stake in enumerate(value, start=1):
        at = f"{key}[{number}]"
        pair = [plain(part) for part in stake] if isinstance(stake, (list, tuple)) else []
        if len(pair) != 2:
            raise InputError(f"{echo(stake)}; must be a pair of numbers, [along, fall]", key=at)
        for part in pair:
            if isinstance(part, bool) or not isinstance(part, (int, float)):
                raise InputError(f"{echo(part)} is not a number; must be a pair of numbers, [along, fall]", key=at)
            if not abs(part) < 1e6:
                raise InputError("must be finite numbers below a million", key=at)
        pairs.append(tuple(to_si(float(part), kind="length", unit=unit) + 0.0 for part in pair))
    return tuple(pairs)


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
