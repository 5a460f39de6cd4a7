"""Gauss collocation on one step: an implicit Runge-Kutta scheme of fixed order with dense output.

A step [0, h] is mapped to σ in [-1, 1]. A right-hand side known at n Gauss points is a polynomial of degree n − 1 there;
its integral is a polynomial whose coefficients are a fixed matrix. With n stages the order at the end of a step is 2 n. How
the stages are found is the matter of whoever steps, many rows at once.

References
----------
E. Hairer, S. P. Nørsett, G. Wanner, *Solving Ordinary Differential Equations I*, 2nd ed.
(Springer, 1993), II.7 (collocation methods). Formulas from memory; the tests hold the accuracy.
"""

from __future__ import annotations

import numpy as np
from numpy.polynomial import legendre, polynomial

__all__ = ["Gauss", "powers"]


class Gauss:
    """The rule of so many stages.

    Parameters
    ----------
    stages : int
        How many.
    """

    def __init__(self, stages: int) -> None:
        self.nodes, self.weights = legendre.leggauss(stages)
        """Gauss points σ in (-1, 1) and weights of ∫ dσ over [-1, 1]; shape (stages,)."""
        self.coefficients = np.linalg.inv(polynomial.polyvander(self.nodes, stages - 1))
        """Values at the nodes -> coefficients in powers of σ."""
        self.once = np.stack([polynomial.polyint(column, lbnd=-1) for column in self.coefficients.T], axis=1)
        """Values at the nodes -> power coefficients of ∫ from -1 to σ; shape (stages + 1, stages)."""
        self.stages = (polynomial.polyvander(self.nodes, stages) @ self.once).T
        """Values at the nodes, along the last axis, -> their integrals from -1 to each node."""


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
