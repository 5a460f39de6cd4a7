"""Roots of many rows between brackets, by Chandrupatla's method.

The touchdown of one jump asks for roots of small batches some dozens of times. The same method in
`scipy.optimize.elementwise.find_root` costs three times as much at each of them and half a second of
import, which is most of what a person waits for; the tests hold both to the same roots.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

__all__ = ["bracketed_roots"]

_MOST_STEPS = 100


def bracketed_roots(
    function: Callable[..., np.ndarray],
    low: np.ndarray,
    high: np.ndarray,
    *args: np.ndarray,
    tolerance: float = 1e-14,
) -> np.ndarray:
    """Root of each row between `low` and `high`, where the function changes sign.

    Parameters
    ----------
    function : callable
        ``function(x, *args)``, with arrays of shape (n,); the value of each row.
    low, high : numpy.ndarray
        Brackets, shape (n,).
    *args : numpy.ndarray
        Further arguments, one entry a row.
    tolerance : float
        Width to which the brackets are closed.

    Returns
    -------
    numpy.ndarray
        Roots, shape (n,). Where a row does not change sign: the end with the smaller value.

    Notes
    -----
    The first place looked at is the secant's, not the middle: the functions here are nearly straight.

    References
    ----------
    T. R. Chandrupatla, "A new hybrid quadratic/bisection algorithm for finding the zero of a nonlinear
    function without using derivatives," Adv. Eng. Softw. 28 (1997) 145-149.

    Examples
    --------
    >>> bracketed_roots(lambda x, a: x * x - a, np.zeros(2), np.full(2, 3.0), np.array([1.0, 4.0]))
    array([1., 2.])
    """
    if not len(low):
        return low
    b, a = np.array(low, dtype=float), np.array(high, dtype=float)
    fb, fa = function(b, *args), function(a, *args)
    best = np.where(np.abs(fa) < np.abs(fb), a, b)
    open_rows = ((fa < 0) & (fb > 0)) | ((fa > 0) & (fb < 0))
    share = np.divide(fa, fa - fb, out=np.full(len(a), 0.5), where=open_rows)
    if not open_rows.any():
        return best
    for _ in range(_MOST_STEPS):
        x = a + share * (b - a)
        fx = function(x, *args)
        same = (fx > 0) == (fa > 0)
        c, fc = np.where(same, a, b), np.where(same, fa, fb)
        b, fb = np.where(same, b, a), np.where(same, fb, fa)
        a, fa = x, fx
        closer = np.abs(fa) < np.abs(fb)
        best = np.where(open_rows, np.where(closer, a, b), best)
        width = np.abs(b - a)
        open_rows = open_rows & (width > 2 * tolerance) & (np.where(closer, fa, fb) != 0)
        if not open_rows.any():
            break
        with np.errstate(divide="ignore", invalid="ignore"):
            xi, phi = (a - b) / (c - b), (fa - fb) / (fc - fb)
            smooth = (phi**2 < xi) & ((1 - phi) ** 2 < 1 - xi)
            quadratic = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
            least = np.minimum(tolerance / width, 0.5)
        share = np.minimum(np.maximum(np.where(smooth, quadratic, 0.5), least), 1 - least)
    return best
