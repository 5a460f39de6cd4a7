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
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from jumpcalc.errors import InputError

__all__ = ["Arc", "GroundLine", "Pieces", "Straight", "chain", "end_slope", "joined", "through_stakes"]


_MOST_ARCS = 400
_FEW = 8  # pieces that are compared with sooner than searched
_ENTRIES = "start", "x", "z", "slope", "curvature", "length"


@dataclass(frozen=True, slots=True, kw_only=True)
class Straight:
    """A straight of ground: its length [m] along the ground and its slope [rad]; arrays where rows differ."""

    length: float | np.ndarray
    slope: float | np.ndarray
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """An arc of ground, tangent to what lies before it: its radius [m] and the slope [rad] it ends with.

    Arrays where rows differ; a radius of 0 is a kink.
    """

    radius: float | np.ndarray
    to_slope: float | np.ndarray
    name: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Pieces:
    """Chosen pieces of a ground line, one for each place that is asked for.

    `x`, `z` [m] is where they start, with the slope whose `sine` and `cosine` they are; `curvature` [1/m].
    """

    x: np.ndarray
    z: np.ndarray
    sine: np.ndarray
    cosine: np.ndarray
    curvature: np.ndarray

    def rows(self, which: np.ndarray) -> Pieces:
        """The chosen ones."""
        return Pieces(self.x[which], self.z[which], self.sine[which], self.cosine[which], self.curvature[which])

    def _sine(self, dx: np.ndarray) -> np.ndarray:
        """Sine of the slope `dx` [m] from the start."""
        return np.minimum(np.maximum(self.sine + self.curvature * dx, -1.0), 1.0)

    def height(self, x: np.ndarray) -> np.ndarray:
        """Height z [m] of the pieces, or of their continuations, above the places `x` [m]."""
        dx = x - self.x
        sine = self._sine(dx)
        # (cos β0 − cos β)/κ written so that it stays exact for κ -> 0
        return self.z + dx * (self.sine + sine) / (self.cosine + np.sqrt(1.0 - sine * sine))

    def shape(self, x: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Height z [m], its slope dz/dx and its bend d²z/dx² [1/m] above the places `x` [m]."""
        dx = x - self.x
        sine = self._sine(dx)
        cosine = np.sqrt(1.0 - sine * sine)
        height = self.z + dx * (self.sine + sine) / (self.cosine + cosine)
        return height, sine / cosine, self.curvature / (cosine * cosine * cosine)

    def slope_over(self, x: np.ndarray) -> np.ndarray:
        """Slope β [rad] above the places `x` [m]."""
        return np.arcsin(self._sine(x - self.x))

    def greatest_crest(self, x: np.ndarray) -> np.ndarray:
        """Greatest bend −d²z/dx² [1/m] between the start and the places `x` [m]; 0 where the ground is no crest."""
        sine = self._sine(x - self.x)
        return np.maximum(-self.curvature, 0.0) / np.minimum(self.cosine, np.sqrt(1.0 - sine * sine)) ** 3


@dataclass(frozen=True, slots=True, eq=False)
class GroundLine:
    """Ground as arrays, one entry for each piece; beyond the last piece its end slope goes on.

    One line for all rows has entries of shape (pieces,); a line of its own for each of n rows has entries
    of shape (n, pieces), with a piece of no length where a row lacks it.

    Parameters
    ----------
    start : numpy.ndarray
        Distance s [m] at the start of each piece.
    x, z : numpy.ndarray
        Place [m] of the start of each piece.
    slope : numpy.ndarray
        Slope β [rad] at the start of each piece.
    curvature : numpy.ndarray
        Curvature κ [1/m] of each piece; 0 on a straight.
    length : numpy.ndarray
        Length [m] of each piece; infinite for the last one, the continuation.
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
    _table: np.ndarray | None = field(init=False, repr=False)

    def __post_init__(self) -> None:
        # pieces that all rows share are looked up millions of times
        shared = None if self.each else np.stack([self.x, self.z, np.sin(self.slope), np.cos(self.slope), self.curvature])
        object.__setattr__(self, "_table", shared)

    @property
    def each(self) -> bool:
        """Whether every row has ground of its own."""
        return self.x.ndim > 1

    @property
    def end(self) -> float | np.ndarray:
        """Distance s [m] at which the last given piece ends and the continuation begins; of each row its own."""
        return self.start[:, -1] if self.each else float(self.start[-1])

    def rows(self, which: np.ndarray) -> GroundLine:
        """The ground of the chosen rows; the same one where all rows share it."""
        return self._change(lambda entry: entry[which]) if self.each else self

    def _change(self, change: Callable[[np.ndarray], np.ndarray]) -> GroundLine:
        return GroundLine(*(change(getattr(self, name)) for name in _ENTRIES), self.names)

    def _flat(self, piece: np.ndarray, row: np.ndarray | None) -> np.ndarray:
        """Index into the flattened entries of pieces of these rows, or of each row along the first axis."""
        if not self.each:
            return piece
        if row is None:
            row = np.arange(len(self.x)).reshape((-1,) + (1,) * (np.ndim(piece) - 1))
        return row * self.x.shape[1] + piece

    def joint(self, piece: np.ndarray, row: np.ndarray | None = None) -> np.ndarray:
        """Place x [m] where these pieces begin: of these rows, or of each row along the first axis."""
        return self.x.take(self._flat(piece, row))

    def pieces(self, piece: np.ndarray, row: np.ndarray | None = None) -> Pieces:
        """The pieces with these indices: of these rows, or of each row along the first axis."""
        if self._table is not None:
            return Pieces(*self._table.take(piece, axis=1, mode="clip"))
        flat = self._flat(piece, row)
        slope = self.slope.take(flat)
        return Pieces(self.x.take(flat), self.z.take(flat), np.sin(slope), np.cos(slope), self.curvature.take(flat))

    def _among(self, begins: np.ndarray, value: np.ndarray, row: np.ndarray | None) -> np.ndarray:
        """Index of the last piece that begins at or before `value`, 0 where none does."""
        if not self.each:
            if len(begins) > _FEW:
                return np.maximum(np.searchsorted(begins, value, side="right") - 1, 0)
            found = np.zeros(np.shape(value), dtype=int)
            for begin in begins[1:]:
                found += begin <= value
            return found
        row = np.arange(len(begins)).reshape((-1,) + (1,) * (np.ndim(value) - 1)) if row is None else row
        found = np.zeros(np.shape(value), dtype=int)
        for column in begins.T[1:]:
            found += column[row] <= value
        return found

    def piece_at(self, s: np.ndarray) -> np.ndarray:
        """Index of the piece at distance `s` [m]; at a joint, the piece ahead."""
        return self._among(self.start, s, None)

    def piece_over(self, x: np.ndarray, row: np.ndarray | None = None) -> np.ndarray:
        """Index of the piece below the place `x` [m], of these rows; at a joint, the piece ahead."""
        return self._among(self.x, x, row)

    def slope_at(self, s: np.ndarray, piece: np.ndarray | None = None) -> np.ndarray:
        """Slope β [rad] at distance `s` [m]; at a joint, of the piece ahead."""
        flat = self._flat(self.piece_at(s) if piece is None else piece, None)
        start, slope, curvature = (np.take(entry, flat) for entry in (self.start, self.slope, self.curvature))
        return slope + curvature * (s - start)

    def point(self, s: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Place (x, z) [m] at distance `s` [m], of the shape of `s`."""
        s = np.asarray(s, dtype=float)
        flat = self._flat(self.piece_at(s), None)
        start, x, z, slope, curvature = (np.take(getattr(self, name), flat) for name in _ENTRIES[:5])
        u = s - start
        half = 0.5 * curvature * u
        chord = u * np.sinc(half / math.pi)
        middle = slope + half
        return x + chord * np.cos(middle), z + chord * np.sin(middle)

    def height(self, x: np.ndarray, piece: np.ndarray) -> np.ndarray:
        """Height z [m] of a piece, or of its continuation, above the place `x` [m]."""
        return self.pieces(piece).height(x)

    def slope_over(self, x: np.ndarray, piece: np.ndarray) -> np.ndarray:
        """Slope β [rad] of a piece above the place `x` [m]."""
        return self.pieces(piece).slope_over(x)

    def distance_over(self, x: np.ndarray, piece: np.ndarray) -> np.ndarray:
        """Distance s [m] along the ground of the place `x` [m] on a piece."""
        flat = self._flat(piece, None)
        start, x0, slope, curvature = (np.take(entry, flat) for entry in (self.start, self.x, self.slope, self.curvature))
        turn = self.slope_over(x, piece) - slope
        straight = np.array((x - x0) / np.cos(slope))
        return start + np.divide(turn, curvature, out=straight, where=curvature != 0)

    def moved(self, *, x: float | np.ndarray, z: float | np.ndarray, s: float | np.ndarray) -> GroundLine:
        """The same ground with its place and its distance shifted by (x, z) and s [m], of each row its own."""
        x, z, s = (np.asarray(shift)[..., None] for shift in (x, z, s))
        return GroundLine(self.start + s, self.x + x, self.z + z, self.slope, self.curvature, self.length, self.names)


def joined(*lines: GroundLine) -> GroundLine:
    """One ground line of several, as they lie; a step between them is a wall or a drop.

    Parameters
    ----------
    *lines : GroundLine
        Each for all rows, or of one number of rows.

    Returns
    -------
    GroundLine
        All their pieces.
    """
    return GroundLine(
        *(_side_by_side(*(getattr(line, name) for line in lines)) for name in _ENTRIES),
        tuple(name for line in lines for name in line.names),
    )


def chain(
    pieces: Sequence[Straight | Arc],
    *,
    x: float | np.ndarray = 0.0,
    z: float | np.ndarray = 0.0,
    s: float | np.ndarray = 0.0,
    slope: float | np.ndarray | None = None,
    end_name: str = "beyond",
) -> GroundLine:
    """Ground line of pieces laid one after the other.

    Parameters
    ----------
    pieces : sequence of Straight or Arc
        At least one; an arc begins with the slope before it. Where a measure is an array of shape (n,), so is
        the line of each of n rows.
    x, z : array_like
        Place [m] of the start.
    s : array_like
        Distance [m] of the start.
    slope : array_like, optional
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
    >>> chain([Straight(length=np.array([2.0, 3.0]), slope=-0.4)]).x
    array([[0.        , 1.84212199],
           [0.        , 2.76318298]])
    """
    if not pieces:
        raise InputError("no piece of ground given; at least one is needed", key="pieces")
    before, after, radius, length = [], [], [], []
    for piece in pieces:
        straight = isinstance(piece, Straight)
        if slope is None and not straight:
            raise InputError("an arc, but nothing before it says with which slope it begins", key="pieces[1]")
        before.append(piece.slope if straight else slope)
        slope = piece.slope if straight else piece.to_slope
        after.append(slope)
        radius.append(0.0 if straight else piece.radius)
        length.append(piece.length if straight else 0.0)
    before, after, radius, length = (_columns(column) for column in (before, after, radius, length))
    turn = after - before
    curvature = np.copysign(np.divide(1.0, radius, out=np.zeros(radius.shape), where=radius > 0), turn)
    length = length + radius * np.abs(turn)
    half = 0.5 * curvature * length
    middle, chord = before + half, length * np.sinc(half / math.pi)
    starts = [
        np.cumsum(_side_by_side(np.asarray(first, dtype=float)[..., None], way), axis=-1)
        for first, way in ((s, length), (x, chord * np.cos(middle)), (z, chord * np.sin(middle)))
    ]
    beyond = np.array([0.0]), np.array([math.inf])
    entries = [
        *starts,
        _side_by_side(before, after[..., -1:]),
        *(_side_by_side(entry, last) for entry, last in zip((curvature, length), beyond, strict=True)),
    ]
    shape = max((entry.shape for entry in entries), key=len)
    if len(shape) > 1:
        entries = [np.ascontiguousarray(np.broadcast_to(entry, shape)) for entry in entries]
    return GroundLine(*entries, (*(piece.name for piece in pieces), end_name))


def _columns(values: Sequence[float | np.ndarray]) -> np.ndarray:
    """One measure of all pieces, along the last axis."""
    if all(isinstance(value, float | int) for value in values):
        return np.array(values, dtype=float)
    return np.stack(np.broadcast_arrays(*(np.asarray(value, dtype=float) for value in values)), axis=-1)


def _side_by_side(*entries: np.ndarray) -> np.ndarray:
    """Entries of some pieces each, one after the other along the last axis."""
    rows = max((entry.shape[:-1] for entry in entries), key=len)
    if rows:
        entries = tuple(np.broadcast_to(entry, (*rows, entry.shape[-1])) for entry in entries)
    return np.concatenate(entries, axis=-1)


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
    # four arcs or more between the closest stakes, so that all of them are met
    finest = min(spacing, float(np.min(np.diff(along))) / 4)
    count = max(min(round(along[-1] / finest), _MOST_ARCS), 2 * len(along))
    ends = np.linspace(0.0, along[-1], count + 1)
    slopes = np.arcsin(np.clip(_batten_slopes(along, -fall, ends), -0.95, 0.95))
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


def _batten_slopes(x: np.ndarray, z: np.ndarray, at: np.ndarray) -> np.ndarray:
    """dz/dx at places of the natural cubic spline through three or more points.

    With the slopes m at the points as unknowns (C. de Boor, *A Practical Guide to Splines*, 1978, chapter IV, from memory):
    its second derivative is continuous inside and 0 at both ends. `scipy.interpolate` has the same, held to it by a test, but
    loading it takes as long as a whole answer.
    """
    h, rise = np.diff(x), np.diff(z) / np.diff(x)
    rows, right = 2 * np.eye(len(x)), np.empty(len(x))
    rows[0, 1] = rows[-1, -2] = 1
    right[0], right[-1] = 3 * rise[0], 3 * rise[-1]
    inner, share = np.arange(1, len(x) - 1), h[:-1] / (h[:-1] + h[1:])
    rows[inner, inner - 1], rows[inner, inner + 1] = 1 - share, share
    right[1:-1] = 3 * ((1 - share) * rise[:-1] + share * rise[1:])
    m = np.linalg.solve(rows, right)
    i = np.clip(np.searchsorted(x, at, side="right") - 1, 0, len(h) - 1)
    t = (at - x[i]) / h[i]
    return 6 * t * (1 - t) * rise[i] + (1 - t) * (1 - 3 * t) * m[i] + t * (3 * t - 2) * m[i + 1]
