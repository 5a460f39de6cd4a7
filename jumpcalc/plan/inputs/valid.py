"""Values held against their declarations, and what is said of one that is refused."""

from __future__ import annotations

import math
from functools import cache
from typing import Any

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.declare import Input, declared, key_of, table_key, tables
from jumpcalc.units import KINDS, from_si, to_si

__all__ = ["check_value", "checked", "echo", "plain", "spoken"]


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
    amount = from_si(value, kind=declaration.kind, unit=unit)
    text = f"{amount:.{digits}g}" if abs(amount) < 10**digits else f"{amount:.0f}"
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
