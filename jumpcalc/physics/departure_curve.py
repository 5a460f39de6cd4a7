"""The departure of one bike from one edge as a curve over the lip speed: made once, looked up for any number of rows.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
v        lip speed                                             m/s
v_b      a speed below which the bike pitches a lot            m/s
g        gravity                                               m/s²
w        wheelbase                                             m
θ        slope at the edge                                     rad
=======  ====================================================  =========

Measured in multiples of v, what happens on a given ground depends on g/v² alone and smoothly so: places, pitch,
velocity/v, rate/v, time·v and load/v² are polynomials in 1/v², from a speed without bound down to where the bike
hardly leaves. They are fitted at Chebyshev places of spans of 1/v², counted in 1/v_b² with
v_b² = g w (1 + 3 sin²θ). A span serves when the bike leaves at all its places and the ends of its Chebyshev
series are small; what lies in none that serves is simulated. Spans of slow speeds are fitted when they
are first asked for.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from numpy.polynomial import chebyshev, polynomial

from jumpcalc.physics.body import Body, Departure
from jumpcalc.physics.departure import Leaving, Takeoff, Track, leave
from jumpcalc.physics.rear_wheel import SHARES
from jumpcalc.physics.wheel_loads import Loads, loads

__all__ = ["DepartureCurve", "left"]

_SPANS = np.array([0.0, 0.35, 0.75, 1.2])  # in 1/v_b²
_SLOW_SPANS = np.array([1.2, 1.5, 1.8, 2.15, 2.5, 3.0, 3.6, 4.2])
_PLACES = 18
_TAIL = 2e-11  # m, and m/s for each m/s: the last two terms of a series that serves
_HALTS_WITHIN = 1e-3  # m/s, to which the fastest speed that does not leave is sought
_FASTEST = 40.0  # m/s, at which every bike is taken to leave
_TRIES = 32
_ROWS_AT_ONCE = 2048
_ALONE = 400_000  # operations of a product up to which it is not spread over threads, which costs more than it

_AT = chebyshev.chebpts1(_PLACES)
_SERIES = np.linalg.inv(chebyshev.chebvander(_AT, _PLACES - 1))[-2:]
_POWERS = np.linalg.inv(polynomial.polyvander(_AT, _PLACES - 1))
# entries of a `Leaving` and a `Track`, and the power of v that each is counted in
_LEAVING = {"x": 0, "z": 0, "v_x": 1, "v_z": 1, "pitch": 0, "pitch_rate": 1, "time": -1, "front_x": 0, "front_z": 0}
_TRACK = {"front_x": 0, "front_z": 0, "rear_load": 2, "before": 0}


@dataclass(frozen=True, slots=True, eq=False)
class _Span:
    """Polynomials over 1/v² from `low` to `high`: coefficients of shape (entries, powers)."""

    low: float
    high: float
    leaving: np.ndarray
    track: np.ndarray

    def at(self, coefficients: np.ndarray, speed: np.ndarray) -> np.ndarray:
        """Values of its polynomials at speeds in it, shape (entries, n)."""
        values = np.empty((len(coefficients), len(speed)))
        rows = max(min(_ALONE // coefficients.size, _ROWS_AT_ONCE), 64)
        for first in range(0, len(speed), rows):
            bite = slice(first, first + rows)
            place = (1 / np.square(speed[bite]) - self.low) * (2 / (self.high - self.low)) - 1
            raised = np.ones((_PLACES, len(place)))
            for power in range(1, _PLACES):
                np.multiply(raised[power - 1], place, out=raised[power])
            values[:, bite] = coefficients @ raised
        return values


@dataclass(frozen=True, slots=True, eq=False)
class DepartureCurve:
    """How a bike leaves an edge, for any lip speeds; equal to `leave` within 1e-9 m and m/s up to 40 m/s.

    Parameters
    ----------
    takeoff : Takeoff
        Bike and ground.
    """

    takeoff: Takeoff
    _spans: tuple[_Span, ...] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_spans", _fitted(self.takeoff, _SPANS)[0])

    @property
    def slowest(self) -> float:
        """Lip speed at and below which the bike does not leave [m/s], to 1e-3 m/s from below."""
        return _slow(self.takeoff)[1]

    @property
    def swift(self) -> float:
        """Lip speed from which on departures are looked up at once [m/s]; slower ones cost some hundredths of a second."""
        return float((_unit(self.takeoff) * _SPANS[-1]) ** -0.5)

    def leaving(self, speed: np.ndarray) -> Leaving:
        """The moment the rear contact passes the edge, for lip speeds [m/s] of shape (n,), 0 or more."""
        speed = np.atleast_1d(np.asarray(speed, dtype=float))
        values = np.full((len(_LEAVING), len(speed)), np.nan)
        for span, rows in self._shared_out(speed):
            if span is None:
                exact = leave(self.takeoff, speed[rows])[0]
                values[:, rows] = [getattr(exact, name) for name in _LEAVING]
                continue
            values[:, rows] = span.at(span.leaving, speed[rows])
            for entry, power in enumerate(_LEAVING.values()):
                if power:
                    values[entry, rows] *= speed[rows] if power > 0 else 1 / speed[rows]
        return Leaving(speed, np.isfinite(values[0]), **dict(zip(_LEAVING, values, strict=True)))

    def track(self, speed: np.ndarray) -> Track:
        """The way from the front's passing the edge to the rear's leaving, for lip speeds [m/s] of shape (n,)."""
        speed = np.atleast_1d(np.asarray(speed, dtype=float))
        pieces = self.takeoff.last + 1 - int(self.takeoff.start.rear_piece[0])
        values = np.full((len(_TRACK), len(speed), pieces * len(SHARES)), np.nan)
        for span, rows in self._shared_out(speed):
            if span is None:
                exact = leave(self.takeoff, speed[rows])[1]
                values[:, rows] = [getattr(exact, name) for name in _TRACK]
                continue
            found = span.at(span.track, speed[rows]).reshape(*values.shape[::2], -1).swapaxes(1, 2)
            for entry, power in enumerate(_TRACK.values()):
                values[entry, rows] = found[entry] * speed[rows, None] ** power
        return Track(**dict(zip(_TRACK, values, strict=True)))

    def loads(self, speed: np.ndarray) -> Loads:
        """Loads of the wheels and where one lifts, for lip speeds [m/s] of shape (n,)."""
        return loads(self.takeoff, speed, self.track(speed))

    def _shared_out(self, speed: np.ndarray) -> list[tuple[_Span | None, np.ndarray | slice]]:
        """Rows of each span, and those that are to be simulated; rows known not to leave are in neither."""
        spans, rest = self._spans, np.ones(len(speed), bool)
        bound = _unit(self.takeoff) * _SPANS[-1]
        if np.any(speed * speed * bound < 1):
            slow, slowest = _slow(self.takeoff)
            spans, rest = spans + slow, speed > slowest
        parts: list[tuple[_Span | None, np.ndarray | slice]] = []
        with np.errstate(divide="ignore"):
            place = 1 / np.square(speed)
        for span in spans:
            rows = (place > span.low) & (place <= span.high)
            if rows.all():
                return [(span, slice(None))]
            if rows.any():
                parts.append((span, np.nonzero(rows)[0]))
                rest &= ~rows
        left = np.nonzero(rest)[0]
        return parts + [(None, left[i : i + _ROWS_AT_ONCE]) for i in range(0, len(left), _ROWS_AT_ONCE)]


def _unit(takeoff: Takeoff) -> float:
    """1/v_b² [s²/m²]."""
    steep = np.sin(max(takeoff.slope, 0.0))
    return float(1 / (takeoff.gravity * float(takeoff.body.wheelbase) * (1 + 3 * steep * steep)))


def _fitted(takeoff: Takeoff, bounds: np.ndarray) -> tuple[tuple[_Span, ...], np.ndarray, np.ndarray]:
    """The spans between these bounds that serve; the speeds tried, and at which of them the bike leaves."""
    bounds = bounds * _unit(takeoff)
    places = bounds[:-1, None] + np.diff(bounds)[:, None] * (_AT + 1) / 2
    speed = places.ravel() ** -0.5
    leaving, track = leave(takeoff, speed)
    at = np.stack([getattr(leaving, name) * speed**-power for name, power in _LEAVING.items()], axis=-1)
    way = np.stack([getattr(track, name) * speed[:, None] ** -power for name, power in _TRACK.items()], axis=1)
    spans = []
    for span in range(len(places)):
        rows = slice(span * _PLACES, (span + 1) * _PLACES)
        if leaving.leaves[rows].all() and np.abs(_SERIES @ at[rows]).max() <= _TAIL:
            spans.append(
                _Span(bounds[span], bounds[span + 1], (_POWERS @ at[rows]).T, (_POWERS @ way[rows].reshape(_PLACES, -1)).T)
            )
    return tuple(spans), speed, leaving.leaves


@lru_cache(maxsize=64)
def _slow(takeoff: Takeoff) -> tuple[tuple[_Span, ...], float]:
    """Spans of slow speeds, and the fastest speed [m/s] at which the bike does not leave."""
    spans, speed, leaves = _fitted(takeoff, _SLOW_SPANS)
    halts, goes = 0.0, _FASTEST
    while goes - halts > _HALTS_WITHIN:
        halts = speed[~leaves].max(initial=halts)
        goes = speed[leaves & (speed > halts)].min(initial=goes)
        speed = np.linspace(halts, goes, _TRIES)
        leaves = leave(takeoff, speed)[0].leaves
    return spans, float(halts)


def left(
    body: Body,
    leaving: Leaving,
    *,
    slope: float,
    gap: float,
    fall: float,
    turn: np.ndarray = 0.0,
    spring: np.ndarray = 0.0,
) -> Departure:
    """Start of the flight and set-down of the wheels for a bike whose leaving was simulated.

    Parameters
    ----------
    body : Body
        Bike with rider.
    leaving : Leaving
        The moment the rear wheel leaves, n rows.
    slope : float
        Slope of the ground at the edge [rad].
    gap : float
        Level distance from the edge to the knuckle [m].
    fall : float
        Fall φ of the landing face at the knuckle [rad].
    turn : array_like
        How much steeper the lip is than the one that was simulated [rad]: all of it is turned about the edge.
    spring : array_like
        Speed [m/s] that the rider adds across the lip as the rear wheel leaves, along its normal at the edge.

    Returns
    -------
    Departure
        n rows, NaN where the bike does not leave.

    Notes
    -----
    Turned as a whole, a lip keeps its loads but for the direction of gravity: for differences of a few degrees.
    """
    turn = np.broadcast_to(np.asarray(turn, dtype=float), leaving.x.shape)
    sine, cosine = np.sin(turn), np.cos(turn)
    across = slope + turn
    each = np.ones_like(leaving.x)
    x = leaving.x * cosine - leaving.z * sine
    return Departure(
        x=x,
        z=leaving.x * sine + leaving.z * cosine,
        v_x=leaving.v_x * cosine - leaving.v_z * sine - spring * np.sin(across),
        v_z=leaving.v_x * sine + leaving.v_z * cosine + spring * np.cos(across),
        attitude=leaving.pitch + turn,
        set_attitude=-fall * each,
        height=body.height * each,
        set_height=body.landing_height * each,
        x_set=(gap + body.landing_height * np.sin(fall)) * each,
    )
