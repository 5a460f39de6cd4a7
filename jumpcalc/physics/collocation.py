"""Gauss collocation on one step: an implicit Runge-Kutta scheme of fixed order with dense output.

A step [0, h] is mapped to σ in [-1, 1]. A right-hand side known at the eight Gauss points is a
polynomial of degree seven there; its integrals are polynomials whose coefficients are fixed
matrices. With eight stages the order at the end of a step is sixteen. The stages are found by
iteration, which converges quickly because drag and rolling resistance are small
beside gravity, and the whole of it works on many rows at once.

References
----------
E. Hairer, S. P. Nørsett, G. Wanner, *Solving Ordinary Differential Equations I*, 2nd ed.
(Springer, 1993), II.7 (collocation methods). Formulas from memory; the tests hold the order.
"""

from __future__ import annotations

import numpy as np
from numpy.polynomial import legendre, polynomial

__all__ = ["COEFFICIENTS", "NODES", "ONCE", "STAGES", "WEIGHTS", "powers"]

_STAGES = 8

NODES, WEIGHTS = legendre.leggauss(_STAGES)
"""Gauss points σ in (-1, 1) and weights of ∫ dσ over [-1, 1]; shape (8,)."""

COEFFICIENTS = np.linalg.inv(polynomial.polyvander(NODES, _STAGES - 1))
"""Values at the nodes -> coefficients in powers of σ: ``c = COEFFICIENTS @ f``; shape (8, 8)."""


def _integrated(coefficients: np.ndarray) -> np.ndarray:
    """Columns of power coefficients, integrated over σ from -1."""
    return np.stack([polynomial.polyint(column, lbnd=-1) for column in coefficients.T], axis=1)


ONCE = _integrated(COEFFICIENTS)
"""Values at the nodes -> power coefficients of ∫ from -1 to σ; shape (9, 8)."""

STAGES = (polynomial.polyvander(NODES, _STAGES) @ ONCE).T
"""Values at the nodes, along the last axis, -> their integrals from -1 to each node; shape (8, 8)."""


def powers(sigma: np.ndarray, count: int) -> np.ndarray:
    """Powers of places in a step.

    Parameters
    ----------
    sigma : numpy.ndarray
        Places, any shape.
    count : int
        How many powers, from the zeroth on.

    Returns
    -------
    numpy.ndarray
        Powers along a new last axis.
    """
    raised = np.empty((*np.shape(sigma), count))
    raised[..., 0] = 1.0
    raised[..., 1:] = np.asarray(sigma)[..., None]
    return np.multiply.accumulate(raised, axis=-1, out=raised)
