"""A smooth function of a few variables, taken at Chebyshev places of a box and looked up for any number of rows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import reduce

import numpy as np
from numpy.polynomial import chebyshev

__all__ = ["charted"]

_ALONE = 260_000  # operations of a product up to which it is not spread over threads, which costs more than it
_WORTH = 4  # rows for each place from which on a chart is cheaper than the function itself
_NARROW = 1e-12  # of a variable's size, a box that is a point


def charted(
    function: Callable[..., np.ndarray], variables: Sequence[np.ndarray], *, places: Sequence[int]
) -> np.ndarray:
    """Values of a function of several variables at many rows.

    Parameters
    ----------
    function : callable
        Takes one array of shape (m,) for each variable; gives values of shape (m,), NaN where there is none. Smooth.
    variables : sequence of numpy.ndarray
        Of shape (n,), each finite.
    places : sequence of int
        How many Chebyshev places each variable is given between its least and its greatest value.

    Returns
    -------
    numpy.ndarray
        Of shape (n,).

    Notes
    -----
    A tensor product of Chebyshev series through all places. Where the function has no value at one of them, or there are
    too few rows for it to pay, every row is asked of the function itself.

    Examples
    --------
    >>> x, y = np.linspace(1, 2, 5000), np.linspace(0, 1, 5000)
    >>> bool(np.abs(charted(lambda x, y: np.exp(y) / x, [x, y], places=(12, 8)) - np.exp(y) / x).max() < 1e-7)
    True
    """
    rows = len(variables[0])
    spans = [(float(v.min()), float(v.max())) if rows else (0.0, 0.0) for v in variables]
    # a variable that is the same for all rows needs one place
    counts = [1 if high - low <= _NARROW * max(abs(low), abs(high)) else n for (low, high), n in zip(spans, places, strict=True)]
    if rows < _WORTH * np.prod(counts):
        return function(*variables) if rows else np.empty(0)
    at = [chebyshev.chebpts1(n) for n in counts]
    grids = [(low + high) / 2 + (high - low) / 2 * t for (low, high), t in zip(spans, at, strict=True)]
    values = function(*(grid.ravel() for grid in np.meshgrid(*grids, indexing="ij"))).reshape(counts)
    if not np.isfinite(values).all():
        return function(*variables)
    for axis, (t, n) in enumerate(zip(at, counts, strict=True)):
        series = np.linalg.inv(chebyshev.chebvander(t, n - 1))
        values = np.moveaxis(np.tensordot(series, values, axes=(1, axis)), 0, axis)
    # half of the variables on each side of one product of matrices
    cut = max(1, len(counts) // 2)
    matrix = values.reshape(int(np.prod(counts[:cut])), -1)
    found = np.empty(rows)
    bite = max(_ALONE // matrix.size, 64)
    for first in range(0, rows, bite):
        some = slice(first, first + bite)
        powers = [_powers(v[some], span, n) for v, span, n in zip(variables, spans, counts, strict=True)]
        left, right = reduce(_each_with_each, powers[:cut]), reduce(_each_with_each, powers[cut:], np.ones((1, 1)))
        found[some] = np.einsum("ir,ir->r", left, matrix @ right) if len(powers) > 1 else (matrix.T @ left)[0]
    return found


def _powers(values: np.ndarray, span: tuple[float, float], count: int) -> np.ndarray:
    """Chebyshev polynomials of a variable, shape (count, rows)."""
    low, high = span
    place = np.zeros(values.shape) if count == 1 else (2 * values - low - high) / (high - low)
    return chebyshev.chebvander(place, count - 1).T


def _each_with_each(first: np.ndarray, second: np.ndarray) -> np.ndarray:
    """All products of two sets of polynomials, shape (first · second, rows)."""
    return (first[:, None] * second).reshape(-1, first.shape[1] if first.shape[1] > 1 else second.shape[1])
