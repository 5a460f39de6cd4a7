"""The whole line in the page's address, so that a link, a bookmark or a reload brings it back."""

from __future__ import annotations

import base64
import binascii
import zlib

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.valid import echo
from jumpcalc.show.files.examples import examples
from jumpcalc.show.files.linefile import parse_line, write_line
from jumpcalc.show.page import names, today, ways

__all__ = ["decoded", "encoded", "keep", "packed", "take", "unpacked"]

_LONGEST = 20_000  # characters of an address
_LARGEST = 200_000  # bytes of a file in it


def encoded(line: Line) -> str:
    """A line as a word for an address."""
    return packed(write_line(line))


def packed(text: str) -> str:
    """A file's text as a word for an address."""
    return base64.urlsafe_b64encode(zlib.compress(text.encode(), 9)).decode().rstrip("=")


def decoded(word: str) -> Line:
    """The line that a word of an address stands for.

    Raises
    ------
    InputError
        If it does not stand for a line.
    """
    return parse_line(unpacked(word, "line"), file="line in the address")


def unpacked(word: str, what: str) -> str:
    """The text that a word of an address stands for.

    Parameters
    ----------
    word : str
        From `packed`.
    what : str
        What it should be: "line" or "site".

    Returns
    -------
    str
        Text of a file.

    Raises
    ------
    InputError
        If it does not stand for one.
    """
    key = f"{what} in the address"
    if len(word) > _LONGEST:
        raise InputError(f"the address is too long to hold a {what}", key=key)
    try:
        unpacking = zlib.decompressobj()
        text = unpacking.decompress(base64.urlsafe_b64decode(word + "=" * (-len(word) % 4)), _LARGEST).decode("utf-8")
        if unpacking.unconsumed_tail or not unpacking.eof:
            raise ValueError
    except (ValueError, binascii.Error, zlib.error):
        raise InputError("it was cut off or changed and cannot be read", key=key) from None
    return text


def take() -> tuple[Line | None, str | None, str]:
    """The line in the address or the name of the example in it, if any, and what to say where it cannot be used."""
    word, example = names.IN_LINE.value, names.IN_EXAMPLE.value
    refused = []
    try:
        if word:
            return decoded(word), None, _sentences(_unknown())
    except InputError as error:
        refused.append(str(error))
    if example and example not in examples():
        known = ", ".join(examples())
        refused.append(f"example in the address: {echo(example)} is none of those that there are: {known}")
        example = None
    if refused:
        refused.append(f"The page starts on {'the' if example else 'an'} example instead")
    return None, example or None, _sentences(refused + _unknown())


def _unknown() -> list[str]:
    """What the address asks for besides that there is not."""
    asked = (
        (names.IN_WAY, tuple(ways.WAYS), next(iter(ways.WAYS))),
        (names.IN_UNITS, ("metric", "imperial"), "metric"),
        (names.IN_TODAY, (today.IN_ADDRESS,), "a day without gusts"),
    )
    return [
        f"{parameter.name} in the address: {echo(parameter.value)}; there is {' or '.join(known)}. {instead} is shown instead"
        for parameter, known, instead in asked
        if parameter.value and parameter.value not in known
    ]


def _sentences(told: list[str]) -> str:
    return " ".join(f"{one}." for one in told)


def keep(line: Line | None, *, example: str | None, units: str) -> None:
    """Put what is shown into the address: the example's name, or the whole line; the units; whether it is a day to ride."""
    names.IN_UNITS.put(units if units != "metric" else None)
    names.IN_TODAY.put(today.IN_ADDRESS if names.RIDE_WIND.value == today.GUSTY else None)
    if line is not None:
        names.IN_LINE.put(None if example is not None else encoded(line))
        names.IN_EXAMPLE.put(example)
