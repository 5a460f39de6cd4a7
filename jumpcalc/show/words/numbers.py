"""The one reader of units: how numbers are read, with which unit and how finely.

Everything else in `jumpcalc.show.words` says what it says without knowing the units; a drawing, a panel or a report turns
that into text through a `Reader`.

One quantity has one rounding, wherever it stands:

- speeds to a tenth, since a window of clean speeds may be as narrow as one or two km/h; whole ones only after "about";
- lengths along the ground to a tenth of a metre, in feet to a tenth and from 30 ft on to whole ones;
- heights that are checked with a level, and what is built as exactly, to a hundredth; the drop a hit is likened to, to a tenth;
- how much lower one place lies than another (`level`), to whole centimetres or inches;
- the ends of what lands clean inward, so that a printed end still lands clean (`Least`, `Most`);
- sums and differences from the numbers as they are printed (`Plus`, `Minus`);
- a number that reads like the limit it is held against, as just over or just under it (``{height:height>limit}``).
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from string import Formatter
from typing import Any

from jumpcalc.show.words.said import Between, Either, Given, Least, Minus, Most, Plus, Quantity, Words
from jumpcalc.units import KINDS, from_si

__all__ = ["Reader"]


@dataclass(frozen=True, slots=True)
class _Reading:
    """How a kind is read: its kind in `jumpcalc.units`, the unit in metric and in imperial, the decimals."""

    kind: str
    units: tuple[str, str]
    digits: int


_READINGS = {
    "speed": _Reading("speed", ("kmh", "mph"), 1),
    "length": _Reading("length", ("m", "ft"), 1),
    "height": _Reading("length", ("m", "ft"), 2),
    "drop": _Reading("length", ("m", "ft"), 1),
    "level": _Reading("length", ("cm", "in"), 0),
    "angle": _Reading("angle", ("deg", "deg"), 0),
    "share": _Reading("share", ("percent", "percent"), 0),
    "mass": _Reading("mass", ("kg", "lb"), 0),
    "volume": _Reading("volume", ("m3", "yd3"), 1),
    "area": _Reading("area", ("m2", "ft2"), 1),
    "time": _Reading("time", ("s", "s"), 1),
    "load": _Reading("number", ("", ""), 1),
    "count": _Reading("count", ("", ""), 0),
}
"""What may stand after the colon of a place in a template."""

_WHOLE_FEET = 30.0  # from here on lengths are read in whole feet
_LEAST_DROP = 0.05  # m, a hit that reads as a drop of 0.0 m is not none
_CLOSE = 1e-6  # of the last decimal, taken for rounding of the machine
_SPEC = re.compile(r"(?P<kind>\w+)(\.(?P<digits>\d))?(>(?P<limits>\w+(,\w+)*))?(?P<flags>( bare| signed)*)")


class Reader(Enum):
    """Someone who reads metres and km/h, or feet and mph."""

    metric = "metric"
    imperial = "imperial"

    def text(self, words: Words) -> str:
        """What is said, as text.

        Parameters
        ----------
        words : str, Said or Either
            Text, which stays as it is, a template with its values, or one for each reader.

        Returns
        -------
        str
            The text, every quantity with its unit.

        Examples
        --------
        >>> from jumpcalc.show.words.said import said
        >>> margin = said("{margin:length} to spare", margin=2.0)
        >>> Reader.metric.text(margin), Reader.imperial.text(margin)
        ('2.0 m to spare', '6.6 ft to spare')
        """
        if isinstance(words, str):
            return words
        if isinstance(words, Either):
            return self.text(self._at((words.metric, words.imperial)))
        values = dict(words.values)
        return "".join(
            fixed + ("" if name is None else self._place(name, spec, values))
            for fixed, name, spec, _ in Formatter().parse(words.template)
        )

    def texts(self, words: list[Words]) -> list[str]:
        """Each of several things said, as text.

        Parameters
        ----------
        words : list of str or Said
            What is said.

        Returns
        -------
        list of str
            The texts, in the same order.
        """
        return [self.text(each) for each in words]

    def speed(self, metres_per_second: Quantity, spec: str = "speed") -> str:
        """A speed as a rider reads it.

        Parameters
        ----------
        metres_per_second : float, Least, Most, Plus or Minus
            Speed [m/s].
        spec : str
            The kind with its decimals, as in a template.

        Returns
        -------
        str
            With its unit.
        """
        return self.quantity(metres_per_second, spec)

    def length(self, metres: Quantity, spec: str = "length") -> str:
        """A length as a builder reads it.

        Parameters
        ----------
        metres : float, Least, Most, Plus or Minus
            Length [m].
        spec : str
            The kind with its decimals, as in a template.

        Returns
        -------
        str
            With its unit.
        """
        return self.quantity(metres, spec)

    def quantity(self, value: Quantity, spec: str, limits: Sequence[Quantity] = ()) -> str:
        """A number in SI as it is read.

        Parameters
        ----------
        value : float, Least, Most, Plus or Minus
            In SI and radians.
        spec : str
            A kind, the decimals where they differ from the usual ones, and ``bare`` for a number without its unit or
            ``signed`` for one with its sign: ``"speed.1 bare"``.
        limits : sequence of float
            What it is held against: where it reads like one of them without being it, that is said.

        Returns
        -------
        str
            Without a minus before zero.
        """
        found = _SPEC.fullmatch(spec)
        kind, flags = found["kind"], found["flags"].split()
        if kind == "drop" and isinstance(value, float) and value < _LEAST_DROP:
            return f"under {self.quantity(0.1, 'drop')}"
        number, digits = self._number(value, kind, found["digits"])
        text = f"{number:.{digits}f}"
        text = text.removeprefix("-") if float(text) == 0 else text.replace("-", "−")
        if "signed" in flags and not text.startswith("−"):
            text = f"+{text}"
        sign = "" if "bare" in flags else "g" if kind == "load" else self.sign(kind)
        text = f"{text}{'' if sign in ('', '°') else ' '}{sign}"
        for limit in limits:
            if limit != value and number == round(self.amount(limit, kind), digits):
                return f"just {'over' if value > limit else 'under'} {text}"
        return text

    def _number(self, value: Quantity, kind: str, digits: str | None) -> tuple[float, int]:
        """A quantity in the reader's unit as it is printed, and to how many decimals."""
        if isinstance(value, Plus | Minus):
            (first, some), (second, others) = (self._number(part, kind, digits) for part in (value.first, value.second))
            return first + (second if isinstance(value, Plus) else -second), max(some, others)
        number = self.amount(value.value if isinstance(value, Least | Most) else value, kind)
        places = _READINGS[kind].digits if digits is None else int(digits)
        if kind == "length" and digits is None and self is Reader.imperial and round(abs(number), places) >= _WHOLE_FEET:
            places = 0
        if isinstance(value, Least):
            return math.ceil(number * 10**places - _CLOSE) / 10**places, places
        if isinstance(value, Most):
            return math.floor(number * 10**places + _CLOSE) / 10**places, places
        return round(number, places), places

    def amount(self, value: float, kind: str) -> float:
        """A number in SI in the reader's unit.

        Parameters
        ----------
        value : float
            In SI and radians.
        kind : str
            A kind, as in a template.

        Returns
        -------
        float
            Not rounded.
        """
        return from_si(value, kind=_READINGS[kind].kind, unit=self.unit(kind))

    def unit(self, kind: str) -> str:
        """The reader's unit of a kind, as its suffix in `jumpcalc.units`.

        Parameters
        ----------
        kind : str
            A kind, as in a template.

        Returns
        -------
        str
            Such as ``"kmh"``.
        """
        return self._at(_READINGS[kind].units)

    def sign(self, kind: str) -> str:
        """The sign of the reader's unit of a kind.

        Parameters
        ----------
        kind : str
            A kind, as in a template.

        Returns
        -------
        str
            Such as ``"km/h"``.
        """
        return KINDS[_READINGS[kind].kind][self.unit(kind)].sign

    def _at(self, pair: tuple[Any, Any]) -> Any:
        return pair[self is Reader.imperial]

    def _place(self, name: str, spec: str, values: dict[str, Any]) -> str:
        """What stands at a place of a template."""
        if name.endswith("_unit"):
            return self.sign(name.removesuffix("_unit"))
        value = values[name]
        if spec == "sentence":
            text = self.text(value)
            return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")
        if isinstance(value, Between):
            low, high = (self.quantity(end, spec) for end in (value.low, value.high))
            return high if low == high else f"{self.quantity(value.low, f'{spec} bare')} to {high}"
        if isinstance(value, Given):
            return self._given(value)
        if spec:
            limits = _SPEC.fullmatch(spec)["limits"]
            return self.quantity(value, spec, [values[limit] for limit in limits.split(",")] if limits else ())
        return _on_one_line(value) if isinstance(value, str) else self.text(value)

    def _given(self, given: Given) -> str:
        """The value of an input in the unit that its declaration has for this reader, to three digits."""
        declaration = given.declaration
        unit = self._at((declaration.unit, declaration.imperial))
        sign = KINDS[declaration.kind][unit].sign
        text = f"{from_si(given.number, kind=declaration.kind, unit=unit):.3g}".replace("-", "−")
        return f"{text}{'' if sign in ('', '°') else ' '}{sign}"


def _on_one_line(text: str) -> str:
    """A text that someone typed, without line breaks and without signs that cannot be printed."""
    return "".join(c for c in re.sub(r"[^\S\u00a0]+", " ", text) if c.isprintable() or c == "\u00a0")
