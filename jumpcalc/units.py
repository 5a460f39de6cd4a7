"""Units at the edges: inside, everything is SI and radians.

A kind of quantity has a table of unit suffixes. The suffix of a file key or of a form field is
its unit: ``gap_m`` and ``gap_ft`` are one quantity. The constants are exact (NIST SP 811) and stand here
because importing those of scipy takes longer than most answers; the tests hold both to each other.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

__all__ = ["IMPERIAL", "KINDS", "METRIC", "STANDARD_GRAVITY", "Unit", "from_si", "shortest_in", "to_si"]

STANDARD_GRAVITY = 9.80665  # m/s², ISO 80000-3
_FOOT = 0.3048  # m
_INCH = 0.0254  # m
_MPH = 0.44704  # m/s
_KMH = 1 / 3.6  # m/s
_POUND = 0.45359237  # kg
_DEGREE = math.pi / 180  # rad
_ZERO_CELSIUS = 273.15  # K


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """One unit of a kind of quantity: its sign on a screen and the way to and from SI."""

    sign: str
    to_si: Callable[[float], float]
    from_si: Callable[[float], float]


def _scaled(sign: str, factor: float) -> Unit:
    return Unit(sign=sign, to_si=lambda v: v * factor, from_si=lambda v: v / factor)


_PERCENT_SLOPE = Unit(
    sign="%",
    to_si=lambda v: math.atan(v / 100),
    from_si=lambda v: 100 * math.tan(v),
)
_CELSIUS = Unit(
    sign="°C",
    to_si=lambda v: v + _ZERO_CELSIUS,
    from_si=lambda v: v - _ZERO_CELSIUS,
)
_FAHRENHEIT = Unit(
    sign="°F",
    to_si=lambda v: (v - 32) / 1.8 + _ZERO_CELSIUS,
    from_si=lambda v: (v - _ZERO_CELSIUS) * 1.8 + 32,
)
_ONE = Unit(sign="", to_si=lambda v: v, from_si=lambda v: v)

KINDS: dict[str, dict[str, Unit]] = {
    "length": {
        "m": _scaled("m", 1.0),
        "cm": _scaled("cm", 0.01),
        "mm": _scaled("mm", 0.001),
        "ft": _scaled("ft", _FOOT),
        "in": _scaled("in", _INCH),
    },
    "speed": {
        "kmh": _scaled("km/h", _KMH),
        "mph": _scaled("mph", _MPH),
        "mps": _scaled("m/s", 1.0),
    },
    "mass": {"kg": _scaled("kg", 1.0), "lb": _scaled("lb", _POUND)},
    "volume": {"m3": _scaled("m³", 1.0), "yd3": _scaled("yd³", (3 * _FOOT) ** 3)},
    "area": {"m2": _scaled("m²", 1.0), "ft2": _scaled("ft²", _FOOT**2)},
    "angle": {"deg": _scaled("°", _DEGREE), "percent": _PERCENT_SLOPE},
    "temperature": {"c": _CELSIUS, "f": _FAHRENHEIT},
    "time": {"s": _scaled("s", 1.0)},
    "energy": {"j": _scaled("J", 1.0)},
    "share": {"percent": _scaled("%", 0.01)},
    "number": {"": _ONE},
    "count": {"": _ONE},
}
"""Kind of quantity -> file suffix -> unit; the first unit is the one files are written in."""

METRIC = {kind: next(iter(units)) for kind, units in KINDS.items()}
"""Suffix shown for each kind in metric outputs."""

IMPERIAL = {**METRIC, "length": "ft", "speed": "mph", "mass": "lb", "volume": "yd3", "area": "ft2", "temperature": "f"}
"""Suffix shown for each kind in imperial outputs."""


def to_si(value: float, *, kind: str, unit: str) -> float:
    """The SI value of a number given in one unit of its kind.

    Parameters
    ----------
    value : float
        Number in `unit`.
    kind : str
        A key of `KINDS`, such as ``"length"``.
    unit : str
        A suffix of that kind, such as ``"ft"``.

    Returns
    -------
    float
        Value in SI units; angles in radians.

    Examples
    --------
    >>> to_si(100, kind="angle", unit="percent")
    0.7853981633974483
    """
    return KINDS[kind][unit].to_si(value)


def from_si(value: float, *, kind: str, unit: str) -> float:
    """The number in one unit of its kind for an SI value.

    Parameters
    ----------
    value : float
        Value in SI units; angles in radians.
    kind : str
        A key of `KINDS`.
    unit : str
        A suffix of that kind.

    Returns
    -------
    float
        Number in `unit`.

    Examples
    --------
    >>> round(from_si(10.0, kind="speed", unit="kmh"), 9)
    36.0
    """
    return KINDS[kind][unit].from_si(value)


def shortest_in(value: float, *, kind: str, unit: str) -> float:
    """The number with the fewest digits in `unit` that converts back to `value` exactly.

    Parameters
    ----------
    value : float
        Value in SI units; angles in radians.
    kind : str
        A key of `KINDS`.
    unit : str
        A suffix of that kind.

    Returns
    -------
    float
        Number in `unit`; where no double converts back exactly, the nearest one.
    """
    near = from_si(value, kind=kind, unit=unit)
    for digits in range(1, 18):
        candidate = float(f"{near:.{digits}g}")
        if to_si(candidate, kind=kind, unit=unit) == value:
            return candidate
    for candidate in (math.nextafter(near, -math.inf), math.nextafter(near, math.inf)):
        if to_si(candidate, kind=kind, unit=unit) == value:
            return candidate
    return near
