"""A try: one ride at a jump, as it is written down at the spot.

Whatever was not seen is None. Numbers are SI; a speed is kept as a number that a decimal of km/h gives back, and a text on one
line, so that a try comes back the same from a file.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.declare import declared, key_of, quantity
from jumpcalc.plan.inputs.keys import Table
from jumpcalc.plan.inputs.surfaces import BIKES, SURFACES
from jumpcalc.plan.inputs.valid import checked, echo
from jumpcalc.plan.studies.field.kinds import KINDS, Reading
from jumpcalc.units import from_si, to_si

__all__ = ["OUTCOMES", "Try", "days", "elsewhere", "fields_of", "named"]

OUTCOMES = ("short", "clean", "long")
"""How a landing is told by who only saw it: short of the landing or hung up on its top; both wheels on it; beyond it."""

_LONGEST_TEXT = 500
_DAYS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Try(Table):
    """One ride at a jump: from where, on what, and what was seen of it."""

    date: str = quantity(
        "text", required=True, label="Day", help="Day of the try, year first: 2026-11-14.", source="",
    )
    rider: str | None = quantity("text", default_words="not said", label="Rider", help="Who rode; a nickname will do.", source="")
    bike: str | None = quantity(
        "choice", choices=tuple(BIKES), default_words="that of the line", label="Kind of bike", source="",
        help="Kind of bike, where it is another than the line's.",
    )
    start_mark: float | None = quantity(
        "length", 0.1, 1000, default_words="not known: towed in, or from further up", label="Start mark before the foot of the lip",
        source="", help="Where the bike started: distance along the ground before the foot of the lip.",
    )
    strokes: int | None = quantity(
        "count", 0, 100, default_words="those of the line", label="Pedal strokes", source="",
        help="Half-turns of the cranks that were made.",
    )
    start_speed: float | None = quantity(
        "speed", 0, 80, default_words="that of the line", label="Speed at the start mark", source="",
        help="A shove or rolling in: the speed already there at the start mark; 0 is rolling off from rest.",
    )
    tailwind: float | None = quantity(
        "speed", -80, 80, default_words="that of the line", label="Wind from behind (negative: from ahead)", source="",
        help="Wind along the course at the rider's height as it was felt or read, from behind; negative is a headwind.",
    )
    surface: str | None = quantity(
        "choice", choices=tuple(SURFACES), default_words="that of the line", label="Ground of the run-in", source="",
        help="What the run-in was like, where it was other than the line says.",
    )
    measured: str | None = quantity(
        "choice", choices=tuple(KINDS), default_words="no speed was measured", label="Speed measured", source="",
        help="How a speed was measured: seconds by hand between cones, frames of a video, and so on.",
    )
    stretch: float | None = quantity(
        "length", 0.3, 200, default_words="not measured", label="Length of the stretch", source="",
        help="By hand or filmed: from the first cone to the second, along the ground.",
    )
    before_foot: float | None = quantity(
        "length", 0, 500, default_words="not measured", label="Measured before the foot by", source="",
        help="From the second cone, or from where the speed was read, along the ground to the foot of the lip; of a drop, to its edge.",
    )
    time: float | None = quantity(
        "time", 0.05, 200, default_words="not timed", label="Time between the cones", source="", help="By hand; of several runs their mean."
    )
    runs: int | None = quantity("count", 1, 100, default_words="one", label="Mean of so many times", source="", help="Times by hand.")
    frames: float | None = quantity(
        "number", 1, 20000, default_words="not filmed", label="Frames", source="",
        help="From one cone to the other, or in which the bike passes its own wheelbase.",
    )
    rate: float | None = quantity("number", 10, 2000, default_words="not filmed", label="Frames a second", source="", help="Of the video.")
    camera: float | None = quantity(
        "length", 1, 200, default_words="10 m", label="Camera to the line of the cones", source="", help="Level distance."
    )
    speed: float | None = quantity(
        "speed", 1, 120, default_words="not read", label="Speed shown", source="", help="By a wheel sensor or a satellite receiver."
    )
    rolled_out: bool | None = quantity(
        "flag", default_words="no", label="Circumference rolled out", source="",
        help="Whether the sensor's wheel was measured by rolling it out under the rider.",
    )
    along: float | None = quantity(
        "length", 0.3, 80, default_words="not measured", label="Rear wheel down, level from the edge", source="",
        help="Of a flight that was timed.",
    )
    lower: float | None = quantity(
        "length", -15, 40, default_words="not measured", label="Lower than the edge by", source="",
        help="Of a flight that was timed: how far the place where the rear wheel came down lies below the edge.",
    )
    air_time: float | None = quantity(
        "time", 0.05, 6, default_words="not timed", label="Time in the air", source="",
        help="From the rear wheel's leaving the edge to its touching down, from a video.",
    )
    touched: float | None = quantity(
        "length", -60, 100, default_words="not taped", label="Where the rear wheel touched", source="",
        help="From the top edge of the landing down along it to where the rear wheel came down; on a deck before that edge, negative.",
    )
    outcome: str | None = quantity(
        "choice", choices=OUTCOMES, default_words="not said", label="How it landed", source="",
        help="Where the place was not taped: short, clean or long.",
    )
    note: str | None = quantity("text", default_words="none", label="Note", help="Anything worth keeping.", source="")
    fingerprint: str | None = quantity(
        "text", default_words="not said", label="Fingerprint of the ground", source="",
        help="Eight characters that tell the line's ground as it was measured then; written without being asked.",
    )

    def __post_init__(self) -> None:
        for name, declaration in declared(type(self)).items():
            value = getattr(self, name)
            if declaration.kind == "text" and isinstance(value, str):
                object.__setattr__(self, name, _plain_text(value) or None)
        checked(self)
        for name, declaration in declared(type(self)).items():
            value = getattr(self, name)
            if declaration.kind == "text" and value is not None and len(value) > _LONGEST_TEXT:
                raise InputError(f"{len(value)} characters; allowed at most {_LONGEST_TEXT}", key=name)
            if declaration.kind == "speed" and value is not None:
                decimal = float(f"{from_si(value, kind='speed', unit=declaration.unit):.12g}")
                object.__setattr__(self, name, to_si(decimal, kind="speed", unit=declaration.unit))
        _check_date(self.date)
        taken = _taken(KINDS[self.measured]) if self.measured else {}
        for name in _NUMBERS:
            if getattr(self, name) is not None and name not in taken and name != "air_time":
                told = " or ".join(f'"{word}"' for word, kind in KINDS.items() if name in _taken(kind))
                raise InputError(f"given, but measured does not say {told}", key=_key(name))
        _ = self.reading  # refuses what is none
        if all(value is None for value in (self.touched, self.outcome, self.air_time, self.measured)):
            wanted = ", ".join(map(_key, ("touched", "outcome", "air_time")))
            raise InputError(f"nothing was seen; give one of {wanted}, or a speed and how it was measured", key="try")

    @property
    def reading(self) -> Reading | None:
        """What was measured of its speed, None where nothing was."""
        if self.measured is None:
            return None
        taken = _taken(KINDS[self.measured])
        try:
            return KINDS[self.measured](**{own: getattr(self, name) for name, own in taken.items()})
        except InputError as error:
            for name, own in taken.items():
                if error.key.startswith(own):
                    raise InputError(error.text, key=_key(name)) from None
            raise


def elsewhere(fingerprint: str, tries: Sequence[Try]) -> int:
    """How many tries say that they were ridden on other ground.

    Parameters
    ----------
    fingerprint : str
        That of a line.
    tries : sequence of Try
        A log.

    Returns
    -------
    int
        Tries that say nothing of it are taken for the line's own.
    """
    return sum(one.fingerprint not in (None, fingerprint) for one in tries)


def _key(name: str) -> str:
    return key_of(name, declared(Try)[name])


@cache
def _taken(kind: type[Reading]) -> dict[str, str]:
    """Which fields of a try make a reading of a kind, and what it calls them."""
    other = {"length": "stretch", **({"time": "air_time"} if kind is KINDS["flight"] else {})}
    return {other.get(own, own): own for own in declared(kind)}


def fields_of(word: str) -> tuple[str, ...]:
    """The fields of a try that a way of measuring a speed takes.

    Parameters
    ----------
    word : str
        A word of `kinds.KINDS`.

    Returns
    -------
    tuple of str
        Names of fields.
    """
    return tuple(_taken(KINDS[word]))


_NUMBERS = tuple(dict.fromkeys(name for kind in KINDS.values() for name in _taken(kind)))


def days(tries: tuple[Try, ...]) -> str:
    """The days of tries in words.

    Parameters
    ----------
    tries : tuple of Try
        One or more.

    Returns
    -------
    str
        The day, or the first and the last.

    Examples
    --------
    >>> days((Try(date="2026-11-14", outcome="clean"), Try(date="2026-11-20", outcome="short")))
    '2026-11-14 to 2026-11-20'
    """
    found = sorted({one.date for one in tries})
    return found[0] if len(found) == 1 else f"{found[0]} to {found[-1]}"


def _plain_text(text: str) -> str:
    """A text on one line, without what cannot be printed."""
    return "".join(c if c.isprintable() else " " if c.isspace() else "" for c in text).strip()


def _check_date(date: str) -> None:
    """Refuse what is no day of a calendar."""
    found = re.fullmatch(r"(\d{4})-(\d\d)-(\d\d)", date)
    if found:
        year, month, day = map(int, found.groups())
        leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
        if 1 <= month <= 12 and 1 <= day <= _DAYS[month - 1] and (month != 2 or day < 29 or leap):
            return
    raise InputError(f"{echo(date)}; must be a day written as 2026-11-14", key="date")


def named(rider: str | None) -> str:
    """A name as it is told from others, however it was typed.

    Parameters
    ----------
    rider : str or None
        As typed.

    Returns
    -------
    str
        Without capitals and spare spaces; empty for nobody by name.
    """
    return " ".join((rider or "").split()).casefold()
