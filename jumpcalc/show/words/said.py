"""What is said before anyone knows in which units: templates with typed values.

A template is text with named places, ``"{margin:length} to spare"``. What stands after the colon says what kind of quantity
the value is, so that a `jumpcalc.show.words.numbers.Reader` can put it into metres or feet. A place without a kind takes
text, or something else that is said. Names that people typed are values, never templates: braces in them mean nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from jumpcalc.plan.inputs.declare import Input

__all__ = [
    "Between",
    "Either",
    "Given",
    "Least",
    "Minus",
    "Most",
    "Plus",
    "Quantity",
    "Said",
    "Words",
    "and_list",
    "inward",
    "joined",
    "listed",
    "said",
    "sentence",
]


@dataclass(frozen=True, slots=True)
class Said:
    """A template and the values of its places, in SI and radians."""

    template: str
    values: tuple[tuple[str, Any], ...] = ()


@dataclass(frozen=True, slots=True)
class Either:
    """Words that are others for each reader, such as what one km/h or one mph does."""

    metric: Words
    imperial: Words


Words = str | Said | Either
"""Text that holds no quantity, a template with its values, or one for each reader; an empty text says nothing."""


@dataclass(frozen=True, slots=True)
class Least:
    """The least of what is allowed, such as the slowest clean speed: rounded up, so that what is printed is allowed too."""

    value: float


@dataclass(frozen=True, slots=True)
class Most:
    """The most of what is allowed, such as the fastest clean speed: rounded down, so that what is printed is allowed too."""

    value: float


@dataclass(frozen=True, slots=True)
class Plus:
    """Two quantities of one kind as they are printed, added, so that a reader who adds them finds the same."""

    first: Quantity
    second: Quantity


@dataclass(frozen=True, slots=True)
class Minus:
    """Two quantities of one kind as they are printed, the second taken off the first."""

    first: Quantity
    second: Quantity


@dataclass(frozen=True, slots=True)
class Between:
    """Two quantities of one kind as a span, said as one where both read the same."""

    low: Quantity
    high: Quantity


@dataclass(frozen=True, slots=True)
class Given:
    """The value of an input, said in the unit that its declaration has for the reader."""

    declaration: Input
    number: Any


Quantity = float | Least | Most | Plus | Minus
"""A number in SI and radians, or how one that is printed comes from it."""


def said(template: str, **values: Any) -> Said:
    """A template with its values.

    Parameters
    ----------
    template : str
        Text with places such as ``{margin:length}``.
    **values : object
        What stands there, by name.

    Returns
    -------
    Said
        Both together.

    Examples
    --------
    >>> said("{margin:length} to spare", margin=2.0).values
    (('margin', 2.0),)
    """
    return Said(template, tuple(values.items()))


def inward(name: str, value: float) -> Quantity:
    """A quantity that is an end of what lands clean, if its name says so, as that end.

    Parameters
    ----------
    name : str
        What it is called: ``"min"`` or ending with "slowest clean", ``"max"`` or ending with "fastest clean", or else; of the last
        place to stop the next one further up counts.
    value : float
        In SI.

    Returns
    -------
    float, Least or Most
        What a reader rounds inward, or the number itself.
    """
    if name == "min" or name.endswith("slowest clean") or name.startswith("last place to stop"):
        return Least(value)
    return Most(value) if name == "max" or name.endswith("fastest clean") else value


def joined(parts: Iterable[Words], between: str = " ") -> Words:
    """All parts that say something, one after the other; empty where none does.

    Parameters
    ----------
    parts : iterable of str or Said
        In order.
    between : str
        What stands between two of them.

    Returns
    -------
    str or Said
        One text.
    """
    there = [part for part in parts if part]
    if len(there) < 2:
        return there[0] if there else ""
    between = between.replace("{", "{{").replace("}", "}}")
    return Said(between.join(f"{{part{i}}}" for i in range(len(there))), tuple((f"part{i}", p) for i, p in enumerate(there)))


def and_list(parts: Sequence[str]) -> str:
    """Several words as a person lists them.

    Parameters
    ----------
    parts : sequence of str
        In order.

    Returns
    -------
    str
        With commas, and "and" before the last.

    Examples
    --------
    >>> and_list(["1", "2", "4"])
    '1, 2 and 4'
    """
    return " and ".join([", ".join(parts[:-1]), parts[-1]] if len(parts) > 1 else parts)


def listed(parts: Iterable[Words]) -> list[Words]:
    """The parts that say something.

    Parameters
    ----------
    parts : iterable of str or Said
        In order.

    Returns
    -------
    list of str or Said
        Without the empty ones.
    """
    return [part for part in parts if part]


def sentence(words: Words) -> Said:
    """The words as a sentence: a capital letter and a full stop.

    Parameters
    ----------
    words : str or Said
        A sentence's body.

    Returns
    -------
    Said
        The sentence.
    """
    return said("{body:sentence}", body=words)
