"""Ground lines: straights and arcs chained along the course.

=======  ===============================================  =========
symbol   meaning                                          unit
=======  ===============================================  =========
s        distance along the ground                        m
x, z     place, x forward and z up                        m
β        slope angle, positive uphill                     rad
κ        curvature, positive where ground turns upward    1/m
=======  ===============================================  =========
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jumpcalc.errors import InputError

__all__ = ["Arc", "GroundLine", "Straight", "chain", "end_slope", "through_stakes"]


_MOST_ARCS = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Straight:
    """A straight of ground: its length [m] along the ground and its slope [rad]."""

    length: float
    slope: float
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """An arc of ground, tangent to what lies before it: its radius [m] and the slope [rad] it ends with."""

    radius: float
    to_slope: float
    name: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class GroundLine:
    """Ground as arrays, one entry for each piece; beyond the last piece its end slope goes on.

    Parameters
    ----------
    start : numpy.ndarray
        Distance s [m] at the start of each piece, shape (n,).
    x, z : numpy.ndarray
        Place [m] of the start of each piece, shape (n,).
    slope : numpy.ndarray
        Slope β [rad] at the start of each piece, shape (n,).
    curvature : numpy.ndarray
        Curvature κ [1/m] of each piece, shape (n,); 0 on a straight.
    length : numpy.ndarray
        Length [m] of each piece, shape (n,); infinite for the last one, the continuation.
    names : tuple of str
        Name of each piece.
    """

    start: np.ndarray
    x: np.ndarray
    z: np.ndarray
    slope: np.ndarray
    curvature: np.ndarray
    length: np.ndarray
    names: tuple[str, ...]

    @property
    def end(self) -> float:
        """Distance s [m] at which the last given piece ends and the continuation begins."""
        return float(self.start[-1])

    def piece_at(self, s: np.ndarray) -> np.ndarray:
        """Index of the piece at distance `s` [m]; at a joint, the piece ahead."""
        return np.maximum(np.searchsorted(self.start, s, side="right") - 1, 0)

    def slope_at(self, s: np.ndarray, piece: np.ndarray | None = None) -> np.ndarray:
        """Slope β [rad] at distance `s` [m]; at a joint, of the piece ahead."""
        piece = self.piece_at(s) if piece is None else piece
        return self.slope[piece] + self.curvature[piece] * (s - self.start[piece])

    def point(self, s: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Place (x, z) [m] at distance `s` [m], of the shape of `s`."""
        s = np.asarray(s, dtype=float)
        piece = self.piece_at(s)
        u = s - self.start[piece]
        half = 0.5 * self.curvature[piece] * u
        chord = u * np.sinc(half / math.pi)
        middle = self.slope[piece] + half
        return self.x[piece] + chord * np.cos(middle), self.z[piece] + chord * np.sin(middle)

    def height(self, x: np.ndarray, piece: np.ndarray) -> np.ndarray:
        """Height z [m] of a piece, or of its continuation, above the place `x` [m]."""
        dx = x - self.x[piece]
        slope, curvature = self.slope[piece], self.curvature[piece]
        first = np.sin(slope)
        sine = np.minimum(np.maximum(first + curvature * dx, -1.0), 1.0)
        # (cos β0 − cos β)/κ written so that it stays exact for κ -> 0
        return self.z[piece] + dx * (first + sine) / (np.cos(slope) + np.sqrt(1.0 - sine * sine))

    def slope_over(self, x: np.ndarray, piece: np.ndarray) -> np.ndarray:
        """Slope β [rad] of a piece above the place `x` [m]."""
        sine = np.sin(self.slope[piece]) + self.curvature[piece] * (x - self.x[piece])
        return np.arcsin(np.minimum(np.maximum(sine, -1.0), 1.0))

    def distance_over(self, x: np.ndarray, piece: np.ndarray) -> np.ndarray:
        """Distance s [m] along the ground of the place `x` [m] on a piece."""
        dx = x - self.x[piece]
        curved = self.curvature[piece]
        turn = self.slope_over(x, piece) - self.slope[piece]
        straight = np.array(dx / np.cos(self.slope[piece]))
        along = np.divide(turn, curved, out=straight, where=curved != 0)
        return self.start[piece] + along

    def moved(self, *, x: float, z: float, s: float) -> GroundLine:
        """The same ground with its place and its distance shifted by (x, z) and s [m]."""
        return GroundLine(self.start + s, self.x + x, self.z + z, self.slope, self.curvature, self.length, self.names)


def chain(
    pieces: Sequence[Straight | Arc],
    *,
    x: float = 0.0,
    z: float = 0.0,
    s: float = 0.0,
    slope: float | None = None,
    end_name: str = "beyond",
) -> GroundLine:
    """Ground line of pieces laid one after the other.

    Parameters
    ----------
    pieces : sequence of Straight or Arc
        At least one; an arc begins with the slope before it.
    x, z : float
        Place [m] of the start.
    s : float
        Distance [m] of the start.
    slope : float, optional
        Slope [rad] before the first piece; needed when the first piece is an arc.
    end_name : str
        Name of the continuation beyond the last piece.

    Returns
    -------
    GroundLine
        The pieces, and a straight without end at the last slope.

    Raises
    ------
    InputError
        If there is no piece, or the first one is an arc and no slope is given before it.

    Notes
    -----
    Arc from β0 to β1: length R |β1 − β0|, dx = R |sinβ1 − sinβ0|, curvature ±1/R, positive where it
    turns upward.

    Examples
    --------
    >>> ground = chain([Straight(length=2.0, slope=0.0), Arc(radius=4.0, to_slope=math.radians(30))])
    >>> [round(float(value), 3) for value in ground.point(ground.end)]
    [4.0, 0.536]
    """
    if not pieces:
        raise InputError("no piece of ground given; at least one is needed", key="pieces")
    rows: list[tuple[float, float, float, float, float, float]] = []
    names = []
    for piece in pieces:
        if isinstance(piece, Straight):
            slope, curvature, length = piece.slope, 0.0, piece.length
        else:
            if slope is None:
                raise InputError("an arc, but nothing before it says with which slope it begins", key="pieces[1]")
            turn = piece.to_slope - slope
            curvature, length = math.copysign(1 / piece.radius, turn), piece.radius * abs(turn)
        rows.append((s, x, z, slope, curvature, length))
        names.append(piece.name)
        middle = slope + 0.5 * curvature * length
        half = 0.5 * curvature * length
        chord = length * (math.sin(half) / half if half else 1.0)
        x, z, s = x + chord * math.cos(middle), z + chord * math.sin(middle), s + length
        slope += curvature * length
    rows.append((s, x, z, slope, 0.0, math.inf))
    names.append(end_name)
    return GroundLine(*(np.array(column) for column in zip(*rows, strict=True)), tuple(names))


def end_slope(pieces: Sequence[Straight | Arc]) -> float:
    """Slope [rad] with which a list of pieces ends.

    Parameters
    ----------
    pieces : sequence of Straight or Arc
        At least one.

    Returns
    -------
    float
        Slope [rad].
    """
    last = pieces[-1]
    return last.slope if isinstance(last, Straight) else last.to_slope


def through_stakes(
    stakes: Sequence[tuple[float, float]], *, name: str = "", spacing: float = 1.0
) -> list[Straight | Arc]:
    """A smooth ground through stakes, as a bent batten would lie on them.

    Parameters
    ----------
    stakes : sequence of (along, fall)
        Distance along the ground from the first stake and how far it lies lower [m]; two or more, the
        first one (0, 0).
    name : str
        Name of the pieces.
    spacing : float
        Longest length of the arcs it is made of [m], about.

    Returns
    -------
    list of Straight or Arc
        A short straight at the first stake, then arcs; two stakes give one straight.

    Notes
    -----
    A natural cubic spline of height over distance; its slope β = asin(dz/ds) is taken at the ends of
    arcs of at most about `spacing`, four or more between stakes, so that slope is continuous and curvature constant on each arc.

    Examples
    --------
    >>> through_stakes([(0.0, 0.0), (10.0, 5.0)])
    [Straight(length=10.0, slope=-0.5235987755982989, name='')]
    """
    along, fall = np.array(stakes, dtype=float).T
    if len(along) == 2:
        return [Straight(length=float(along[1]), slope=float(-np.arcsin(fall[1] / along[1])), name=name)]
    from scipy.interpolate import CubicSpline  # half the import time of the whole package, seldom needed

    # four arcs or more between the closest stakes, so that all of them are met
    finest = min(spacing, float(np.min(np.diff(along))) / 4)
    count = max(min(round(along[-1] / finest), _MOST_ARCS), 2 * len(along))
    ends = np.linspace(0.0, along[-1], count + 1)
    slopes = np.arcsin(np.clip(CubicSpline(along, -fall, bc_type="natural")(ends, 1), -0.95, 0.95))
    pieces: list[Straight | Arc] = []
    for length, before, after in zip(np.diff(ends), slopes[:-1], slopes[1:], strict=True):
        if not pieces:
            # chain() needs a slope to begin with
            pieces.append(Straight(length=1e-6, slope=float(before), name=name))
            length -= 1e-6
        turn = after - end_slope(pieces)
        if abs(turn) < 1e-7:
            pieces.append(Straight(length=float(length), slope=end_slope(pieces), name=name))
        else:
            pieces.append(Arc(radius=float(length / abs(turn)), to_slope=float(after), name=name))
    return pieces
