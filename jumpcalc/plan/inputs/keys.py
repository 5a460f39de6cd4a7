"""Tables from keys with units, as a line file and a Python caller give them: ``angle_deg = 28``, ``gap_ft = 14``.

A key is the name of a field and the suffix of a unit of its kind, so a new input needs nothing here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import fields
from typing import Any, Self

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.declare import Input, declared, key_of, keys_of, table_key, tables
from jumpcalc.plan.inputs.valid import check_value, echo, plain, spoken
from jumpcalc.units import KINDS

__all__ = ["Table", "from_keys"]


class Table:
    """What all tables of inputs have in common: made from keys with units, and shown with only what is given."""

    __slots__ = ()

    @classmethod
    def of(cls, **keys: Any) -> Self:
        """The table that these keys of a line file describe, so that numbers come in the units they were measured in.

        Parameters
        ----------
        **keys : object
            The table's keys in a line file; a table inside it as an object, or as a mapping of its keys,
            and several in a list. None is the same as not given.

        Returns
        -------
        Table
            In SI and radians.

        Raises
        ------
        InputError
            In the words in which a line file is refused.

        Examples
        --------
        >>> from jumpcalc import Jump, Landing, Line, Lip
        >>> Lip.of(angle_deg=28, radius_m=3.6)
        Lip(angle=28°, radius=3.6 m)
        >>> landing = Landing.of(gap_ft=14, angle_percent=45, length_m=4.5)
        >>> Line.of(jump=[Jump.of(lip=Lip.of(angle_deg=28, radius_m=3.6), landing=landing)])
        Line(untitled, 1 jump)
        """
        return from_keys(cls, keys)

    def __repr__(self) -> str:
        parts = []
        for f in fields(self):
            value = getattr(self, f.name)
            if "input" in f.metadata:
                parts += [] if value is None else [_told(f.name, value, f.metadata["input"])]
            elif f.metadata["many"] or f.default_factory is not f.metadata["table"] or value != f.default_factory():
                parts.append(f"{f.name}={value!r}")
        return f"{type(self).__name__}({', '.join(parts)})"


def _told(name: str, value: Any, declaration: Input) -> str:
    """An input that is given, as a table shows it."""
    if declaration.kind in ("pieces", "stakes"):
        return f"{len(value)} {name if len(value) > 1 else name.removesuffix('s')}"
    return f"{name}={spoken(value, declaration) if declaration.kind in KINDS else echo(value)}"


def from_keys(kind: type, keys: Mapping[str, Any]) -> Any:
    """The table that keys with units describe.

    Parameters
    ----------
    kind : type
        Class of the table.
    keys : mapping
        Key -> number, word, flag, list, table or mapping of the keys of a table.

    Returns
    -------
    object
        An object of that class, in SI and radians, with only what is given.

    Raises
    ------
    InputError
        With the path of the key as it was given, what was given and what is allowed.
    """
    typed: dict[str, str] = {}
    try:
        return _Reader(root=kind, typed=typed).table(kind, keys, "")
    except InputError as error:
        raise InputError(error.text, key=typed.get(error.key, error.key)) from None


class _Reader:
    """Reads the tables inside `root`; `typed` collects the key that was typed for each input."""

    def __init__(self, *, root: type, typed: dict[str, str]) -> None:
        self.root, self.typed = root, typed

    def table(self, kind: type, keys: Mapping[str, Any], path: str) -> Any:
        """A table as an object of its class."""
        own, inner = declared(kind), {}
        for name, (inner_kind, many) in tables(kind).items():
            inner[table_key(name, many=many)] = (name, inner_kind, many)
        known = {key: (name, unit) for name, d in own.items() for key, unit in keys_of(name, d).items()}
        dot = f"{path}." if path else ""
        values: dict[str, Any] = {name: None for name, d in own.items() if d.required}
        given_as: dict[str, str] = {}
        for key, value in keys.items():
            at = dot + _shown(key)
            if key not in inner and key not in known:
                raise InputError(self.unknown(kind, key, own, [*known, *inner]), key=at)
            if value is None:
                continue
            if key in inner:
                name, inner_kind, many = inner[key]
                values[name] = self.inner(inner_kind, value, at, many=many)
                continue
            name, unit = known[key]
            if name in given_as:
                raise InputError(f"given as {given_as[name]} and as {_shown(key)}, which is the same quantity; give one", key=at)
            given_as[name] = key
            self.typed[dot + key_of(name, own[name])] = at
            values[name] = self.input(value, own[name], at, unit)
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

    def inner(self, kind: type, value: Any, at: str, *, many: bool) -> Any:
        """A table inside a table, or the tuple of them where there may be many."""
        if not many:
            if isinstance(value, kind):
                return value
            if not isinstance(value, Mapping):
                raise InputError(f"{echo(value)}; must be one table, [{at}]", key=at)
            return self.table(kind, value, at)
        if isinstance(value, kind):
            raise InputError(f"a single {kind.__name__}; give a list of them", key=at)
        if isinstance(value, Mapping):
            raise InputError(f"a single table; write [[{at}]], in double brackets, above each one", key=at)
        if not isinstance(value, (list, tuple)):
            raise InputError(f"{echo(value)}; must be tables, each headed [[{at}]]", key=at)
        return tuple(self.items(kind, value, at))

    def items(self, kind: type, items: list[Any], at: str) -> Iterator[Any]:
        """The tables of a list."""
        for number, item in enumerate(items, start=1):
            if isinstance(item, kind):
                yield item
                continue
            if not isinstance(item, Mapping):
                keys = ", ".join(key_of(name, d) for name, d in declared(kind).items())
                raise InputError(f"{echo(item)}; must be a table{f' of {keys}' if keys else ''}", key=f"{at}[{number}]")
            yield self.table(kind, item, f"{at}[{number}]")

    def input(self, value: Any, declaration: Input, at: str, unit: str) -> Any:
        """One input in SI, checked in the unit it was typed in."""
        value = plain(value)
        if declaration.kind == "pieces":
            if not isinstance(value, (list, tuple)):
                keys = ", ".join(key_of(name, d) for name, d in declared(declaration.items).items())
                raise InputError(f"{echo(value)}; must be a list of pieces, each a table of {keys}", key=at)
            return tuple(self.items(declaration.items, value, at))
        if declaration.kind == "text" and hasattr(value, "isoformat"):
            return value.isoformat()  # TOML has dates of its own, written without quotes
        return check_value(value, declaration, key=at, unit=unit)

    def unknown(self, kind: type, key: str, own: dict[str, Input], here: list[str]) -> str:
        """What to tell about a key that its table does not have."""
        import difflib  # only for those who mistype

        for name in sorted(own, key=len, reverse=True):
            keys = keys_of(name, own[name])
            if key == name and own[name].unit:
                return f"no unit given; the key says it: {' or '.join(keys)}"
            if key.startswith(f"{name}_") and own[name].unit and not difflib.get_close_matches(key, here, 1, 0.9):
                return f"unknown unit {echo(key.removeprefix(f'{name}_'))}; allowed {' or '.join(keys)}"
        elsewhere = [place for place, known in _places(self.root, "") if key in known]
        if elsewhere:
            return f"not a key of this table; it belongs in {' or '.join(elsewhere)}"
        near = difflib.get_close_matches(key[:60], here, 1)
        if near:
            return f"unknown key; did you mean '{near[0]}'?"
        first = [key_of(name, d) for name, d in own.items()]
        first += [table_key(n, many=m) for n, (_, m) in tables(kind).items()]
        return f"unknown key; allowed {', '.join(first)}"


def _shown(key: str) -> str:
    """A key as a path shows it: as it is where it is a bare one, else in quotes, never long."""
    return key if re.fullmatch(r"[A-Za-z0-9_-]{1,60}", key) else echo(key)


def _places(kind: type, path: str) -> Iterator[tuple[str, set[str]]]:
    """Every table inside a table and the keys it may have, also without their unit."""
    own = {key for name, d in declared(kind).items() for key in (name, *keys_of(name, d))}
    inner = {table_key(name, many=many): (item, many) for name, (item, many) in tables(kind).items()}
    yield path or "the top of the file, above the first table", own | set(inner)
    for key, (item, many) in inner.items():
        name = f"{path}.{key}" if path else key
        yield from _places(item, f"[[{name}]]" if many and not path else name)
