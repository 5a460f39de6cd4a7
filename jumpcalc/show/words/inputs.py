"""Inputs as a person reads them, and which of them were assumed."""

from __future__ import annotations

from dataclasses import dataclass

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.inputs.declare import Input, given
from jumpcalc.show.words.said import Given, Words, and_list, joined, said

__all__ = ["Assumed", "assumed", "corrected", "groups", "value"]

_TABLES = {
    "rider": "Rider",
    "bike": "Bike",
    "air": "Air and wind",
    "run_in": "Run-in",
    "lip": "Lip",
    "landing": "Landing",
    "runout": "Runout",
    "skill": "How exactly it is ridden",
    "limits": "What is accepted",
}
"""What each table of inputs is called."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumed:
    """An input that was not given: its key path, its table and its name in words, the value taken and its source."""

    path: str
    table: str
    name: str
    value: Words
    source: str


def value(declaration: Input, number: object) -> Words:
    """Any input as a person reads it, also one that is not given; a number to three digits.

    Parameters
    ----------
    declaration : Input
        The input's.
    number : object
        Its value in SI, None where it is not given.

    Returns
    -------
    str or Said
        With its unit.
    """
    if number is None:
        return "not given"
    if isinstance(number, str):
        return number
    if isinstance(number, bool):
        return "yes" if number else "no"
    if declaration.kind == "pieces":
        return said(f"{{count:count}} piece{'s' if len(number) > 1 else ''}", count=len(number))
    if declaration.kind == "stakes":
        return said("{count:count} stakes over {length:length}", count=len(number), length=number[-1][0])
    return said("{value}", value=Given(declaration, number))


def assumed(answer: Answer) -> list[Assumed]:
    """What was assumed, in the order of the declarations.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.

    Returns
    -------
    list of Assumed
        One for each input.
    """
    names = set(answer.assumed)
    return [
        Assumed(
            path=path, table=_table(path, several=len(answer.jumps) > 1), name=_lower(declaration.label or path),
            value=value(declaration, number), source=declaration.source,
        )
        for path, declaration, number in given(answer.complete)
        if path in names
    ]  # fmt: skip


def corrected(answer: Answer) -> Words:
    """That tries corrected the line, and which.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.

    Returns
    -------
    str or Said
        A sentence; nothing for a line as measured.
    """
    return said("This line is corrected by {tries}.", tries=answer.line.learned_from) if answer.line.learned_from else ""


def groups(answer: Answer) -> list[Words]:
    """What was assumed, an item for each table of inputs; what is the same for several jumps is said once.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.

    Returns
    -------
    list of Said
        Such as "Bike: brakes both; sag 25 %".
    """
    tables: dict[str, list[Words]] = {}
    for each in assumed(answer):
        tables.setdefault(each.table, []).append(said("{name} {value}", name=each.name, value=each.value))
    alike: dict[tuple[str, Words], list[str]] = {}
    for table, items in tables.items():
        jump, comma, part = table.partition(", ")
        alike.setdefault((part if comma else table, joined(items, "; ")), []).append(jump.removeprefix("Jump ") if comma else "")
    told = []
    for (part, items), numbers in alike.items():
        jumps = f"Jump{'s' if len(numbers) > 1 else ''} {and_list(numbers)}, " if numbers[0] else ""
        told.append(said("{table}: {items}", table=f"{jumps}{part}", items=items))
    return told


def _table(path: str, *, several: bool) -> str:
    """What the table of an input is called, with its jump where there are several."""
    first, *rest = path.split(".")
    if not first.startswith("jump["):
        return _TABLES.get(first, "Line") if rest else "Line"
    part = _TABLES[rest[0]] if len(rest) > 1 else "Jump"
    return f"Jump {first[5:-1]}, {_lower(part)}" if several else part


def _lower(name: str) -> str:
    """A name inside a sentence."""
    return name[:1].lower() + name[1:]
