"""The departure of one bike from one edge as a curve over the lip speed: made once, looked up for any number of rows.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
v        lip speed                                             m/s
g        gravity                                               m/s²
w        wheelbase                                             m
θ        slope at the edge                                     rad
=======  ====================================================  =========

Measured in multiples of v, what happens on a given ground depends on g/v² alone and smoothly so: places,
velocity/v, rate/v, time·v and load/v² are polynomials in 1/v², from a fast speed without bound down to where the bike
hardly leaves. Two spans of 1/v² are fitted at Chebyshev places, [0, 1/v_b²] and [1/v_b², 2/v_b²] with
v_b² = g w (1 + 4 sin²θ). A span is used when the bike leaves at all of its places and the ends of its
Chebyshev series are small enough; rows outside of the spans are simulated one by one.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.polynomial import chebyshev, polynomial

from jumpcalc.physics import collocation
from jumpcalc.physics.departure import Leaving, Loads, Takeoff, Track, leave, loads

__all__ = ["DepartureCurve"]

_PLACES = 12
_TAIL = 2e-11  # m, and m/s for each m/s: the last two terms of a series that is used
_MOST_TRIES = 4
_FASTER = 1.3  # the next try's v_b
_ROWS_AT_ONCE = 4096

_AT = chebyshev.chebpts1(_PLACES)
_SERIES = np.linalg.inv(chebyshev.chebvander(_AT, _PLACES - 1))
_POWERS = np.linalg.inv(polynomial.polyvander(_AT, _PLACES - 1))
# powers of v in which each entry is measured: of a `Leaving` after `leaves`, of a `Track` before `before`
_LEAVING = np.array([0, 0, 1, 1, 0, 1, -1, 0, 0])
_TRACK = np.array([0, 0, 2, 0])


@dataclass(frozen=True, slots=True, eq=False)
class _Span:
    """Polynomials over 1/v² from `low` to `high`: coefficients of shape (entries, powers)."""

    low: float
    high: float
    leaving: np.ndarray
    track: np.ndarray

    def raised(self, speed: np.ndarray) -> np.ndarray:
        """Powers of the place of speeds in the span, shape (powers, n)."""
        half = (self.high - self.low) / 2
        return collocation.powers((1 / np.square(speed) - self.low) / half - 1, _PLACES).T


@dataclass(frozen=True, slots=True, eq=False)
class DepartureCurve:
    """How a bike leaves an edge, for any lip speeds.

    Parameters
    ----------
    takeoff : Takeoff
        Bike and ground.

    Attributes
    ----------
    slowest : float
        Lip speed [m/s] from which on polynomials serve; slower rows are simulated, about 0.1 ms each.
    """

    takeoff: Takeoff
    slowest: float = field(init=False)
    _spans: tuple[_Span, ...] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        takeoff = self.takeoff
        middle = np.sqrt(takeoff.gravity * float(takeoff.body.wheelbase) * (1 + 4 * np.sin(max(takeoff.slope, 0.0)) ** 2))
        for _ in range(_MOST_TRIES):
            spans = _fitted(takeoff, [(0.0, middle**-2), (middle**-2, 2 * middle**-2)])
            if spans:
                break
            middle *= _FASTER
        object.__setattr__(self, "_spans", spans)
        object.__setattr__(self, "slowest", float(spans[-1].high**-0.5) if spans else np.inf)

    def leaving(self, speed: np.ndarray) -> Leaving:
        """The moment the rear contact passes the edge, for lip speeds [m/s] of shape (n,)."""
        speed = np.atleast_1d(np.asarray(speed, dtype=float))
        values, leaves = np.empty((len(_LEAVING), len(speed))), np.ones(len(speed), bool)
        for span, rows in self._shared_out(speed):
            if span is None:
                exact = leave(self.takeoff, speed[rows])[0]
                values[:, rows] = [getattr(exact, name) for name in Leaving.__slots__[2:]]
                leaves[rows] = exact.leaves
            else:
                values[:, rows] = span.leaving @ span.raised(speed[rows])
                values[2:4, rows] *= speed[rows]
                values[5, rows] *= speed[rows]
                values[6, rows] /= speed[rows]
        return Leaving(speed, leaves, *values)

    def track(self, speed: np.ndarray) -> Track:
        """The way from the front's passing the edge to the rear's leaving, for lip speeds [m/s] of shape (n,)."""
        speed = np.atleast_1d(np.asarray(speed, dtype=float))
        found = None
        for span, rows in self._shared_out(speed):
            if span is None:
                exact = leave(self.takeoff, speed[rows])[1]
                values = np.stack([getattr(exact, name) for name in Track.__slots__])
            else:
                values = (span.track @ span.raised(speed[rows])).reshape(len(_TRACK), -1, len(speed[rows])).swapaxes(1, 2)
                values[2] *= np.square(speed[rows])[:, None]
            if found is None:
                found = np.empty((len(_TRACK), len(speed), values.shape[2]))
            found[:, rows] = values
        return Track(*found)

    def loads(self, speed: np.ndarray) -> Loads:
        """Loads of the wheels and where one lifts, for lip speeds [m/s] of shape (n,)."""
        return loads(self.takeoff, speed, self.track(speed))

    def _shared_out(self, speed: np.ndarray) -> list[tuple[_Span | None, np.ndarray | slice]]:
        """Rows of each span, and those that are to be simulated, in bites."""
        bounds = np.array([span.high**-0.5 for span in self._spans])
        number = (speed[:, None] < bounds).sum(axis=1)
        parts = []
        for which, span in enumerate(self._spans):
            rows = number == which
            if rows.all():
                return [(span, slice(None))]
            if rows.any():
                parts.append((span, rows))
        slow = np.nonzero(number == len(self._spans))[0]
        bites = np.array_split(slow, -(-len(slow) // _ROWS_AT_ONCE)) if len(slow) else []
        return parts + [(None, bite) for bite in bites]


def _fitted(takeoff: Takeoff, bounds: list[tuple[float, float]]) -> tuple[_Span, ...]:
    """The spans of 1/v² between these bounds, up to the first that does not serve."""
    places = np.concatenate([low + (high - low) * (_AT + 1) / 2 for low, high in bounds])
    speed = places**-0.5
    leaving, track = leave(takeoff, speed)
    at_leaving = np.stack([getattr(leaving, name) for name in Leaving.__slots__[2:]], axis=1) * speed[:, None] ** -_LEAVING
    along = np.stack([getattr(track, name) for name in Track.__slots__], axis=1) * speed[:, None, None] ** -_TRACK[:, None]
    spans = []
    for (low, high), at, ways in zip(
        bounds, np.split(at_leaving, len(bounds)), np.split(along.reshape(len(speed), -1), len(bounds)), strict=True
    ):
        if not np.isfinite(at).all() or np.abs(_SERIES[-2:] @ at).max() > _TAIL:
            break
        spans.append(_Span(low, high, (_POWERS @ at).T, (_POWERS @ ways).T))
    return tuple(spans)
