"""A line with other values: whatever may be different is a change of data, told by key path."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Mapping
from typing import Any

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.declare import declared, keys_of, table_key, tables
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.rider import Bike
from jumpcalc.plan.inputs.valid import check_value, echo, plain

__all__ = ["vary", "with_bike"]


def vary(line: Line, changes: Mapping[str, Any]) -> Line:
    """The line with other values in place of its own.

    Parameters
    ----------
    line : Line
        As measured.
    changes : mapping
        Key path as in a line file -> new value in the unit of the key: ``"air.tailwind_kmh"``,
        ``"jump[1].landing.gap_ft"``; None takes a value away. A path may also name a whole table
        (``"bike"``), for which the value is an object of its class.

    Returns
    -------
    Line
        All changes made at once, so that values which only go together are changed together.

    Raises
    ------
    InputError
        Naming the path that is none, the value that is not allowed, or what contradicts what.

    Examples
    --------
    >>> from jumpcalc import Jump, Landing, Lip
    >>> landing = Landing.of(gap_m=4, angle_deg=25, length_m=4.5)
    >>> line = Line(jumps=(Jump(lip=Lip.of(angle_deg=28, radius_m=4), landing=landing),))
    >>> vary(line, {"jump[1].landing.gap_m": 4.5, "air.tailwind_kmh": -10}).jumps[0].landing
    Landing(gap=4.5 m, angle=25°, length=4.5 m)
    """
    return _varied(line, {tuple(_parts(path)): (path, value) for path, value in changes.items()}, "")


def with_bike(line: Line, kind: str) -> Line:
    """The line ridden on a bike of that kind, with all that belongs to the kind: brakes, wheelbase, suspension.

    Parameters
    ----------
    line : Line
        As measured.
    kind : str
        A kind of bike.

    Returns
    -------
    Line
        The same but for its bike.

    Raises
    ------
    InputError
        Where there is no such kind.
    """
    return vary(line, {"bike": Bike(kind=kind)})


def _parts(path: str) -> list[str | int]:
    """Steps of a path: names, and numbers from 0 of one among many."""
    steps: list[str | int] = []
    for step in path.split("."):
        found = re.fullmatch(r"(\w+)(?:\[([1-9]\d{0,5})\])?", step)
        if not found:
            raise InputError("no key path; write it as in an answer, such as jump[1].landing.gap_m", key=echo(path))
        steps.append(found[1])
        if found[2]:
            steps.append(int(found[2]) - 1)
    return steps


def _varied(table: Any, changes: Mapping[tuple[str | int, ...], tuple[str, Any]], path: str) -> Any:
    """A table with its changes, each told by what is left of its path."""
    own = {key: (name, d, unit) for name, d in declared(type(table)).items() for key, unit in keys_of(name, d).items()}
    inner = {table_key(name, many=many): (name, kind, many) for name, (kind, many) in tables(type(table)).items()}
    new: dict[str, Any] = {}
    deeper: dict[str, dict[tuple[str | int, ...], tuple[str, Any]]] = {}
    for (first, *rest), (whole, value) in changes.items():
        if first in inner and rest:
            deeper.setdefault(first, {})[tuple(rest)] = (whole, value)
        elif first in inner:
            new[inner[first][0]] = value
        elif first in own and not rest:
            name, declaration, unit = own[first]
            value = plain(value)
            new[name] = value if value is None else check_value(value, declaration, key=whole, unit=unit)
        else:
            raise InputError(f"no such key; allowed {', '.join([*own, *inner])}", key=whole)
    for key, below in deeper.items():
        name, _, many = inner[key]
        now = new.get(name, getattr(table, name))
        new[name] = _varied_items(now, below) if many else _varied(now, below, f"{path}{key}.")
    try:
        return dataclasses.replace(table, **new)
    except InputError as error:
        raise error.under(path.rstrip(".")) if path else error from None


def _varied_items(items: tuple[Any, ...], changes: Mapping[tuple[str | int, ...], tuple[str, Any]]) -> tuple[Any, ...]:
    """Tables of which there may be many, some of them changed."""
    made = list(items)
    each: dict[int, dict[tuple[str | int, ...], tuple[str, Any]]] = {}
    for (number, *rest), (whole, value) in changes.items():
        if not isinstance(number, int) or number >= len(items):
            raise InputError(f"there is no such one; there are {len(items)}, written as {whole.split('.')[0]}[1]", key=whole)
        each.setdefault(number, {})[tuple(rest)] = (whole, value)
    for number, below in each.items():
        if () in below:
            made[number] = below.pop(())[1]
        made[number] = _varied(made[number], below, f"jump[{number + 1}].")
    return tuple(made)
