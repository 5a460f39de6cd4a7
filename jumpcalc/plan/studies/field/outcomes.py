"""What an outcome tells where nobody taped the place: that it lay within bounds, short of them being as likely as scatter makes it.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
d        expected lip speed less the one that a bound takes,    m/s
         given what else was seen of the same try
s        its scatter                                           m/s
a b      −(d of the lower bound)/s, −(d of the upper)/s        –
P        probability of the outcome, Φ(b) − Φ(a)               –
=======  ====================================================  =========

The residual of an outcome is √(−2 ln P): next to nothing far inside the bounds, the distance in standard deviations far outside.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from jumpcalc.plan.studies.field.expect import Expected
from jumpcalc.plan.studies.field.scatter import Linear
from jumpcalc.plan.studies.field.seen import PLACE, Seen

__all__ = ["Outcomes", "outcomes_of", "probability"]

_FARTHEST = 25.0  # standard deviations
_TELLS = 1e-3  # curvature in units of the scatter below which an outcome tells nothing


@dataclass(frozen=True, slots=True, eq=False)
class Outcomes:
    """The outcomes of k tries: which tries, scatter [m/s], and what the numbers seen of the same try add to d, shape (k, N)."""

    rows: np.ndarray
    spread: np.ndarray
    gain: np.ndarray

    def residuals(self, here: Expected, y: np.ndarray) -> np.ndarray:
        """√(−2 ln P) with what is expected of all tries, shape (n,), and what was seen less that, shape (N,)."""
        return np.sqrt(2 * self._unlikely(here, y)[0])

    def derivative(self, here: Expected, y: np.ndarray, moves: np.ndarray, own: np.ndarray) -> np.ndarray:
        """How the residuals move with the unknowns; `moves` (n, p) of the margins of the bounds, `own` (N, p) of what is expected."""
        unlikely, slope, _ = self._unlikely(here, y)
        return (slope / np.sqrt(2 * np.maximum(unlikely, 1e-30)))[:, None] * (moves[self.rows] - self.gain @ own)

    def pseudo(self, here: Expected, y: np.ndarray, moves: np.ndarray, own: np.ndarray) -> Linear:
        """The numbers that would tell as much as the outcomes do, about a point (Laplace)."""
        _, slope, bend = self._unlikely(here, y)
        tells = bend * np.square(self.spread) > _TELLS
        slope, bend, count = slope[tells], bend[tells], int(tells.sum())
        moved = (moves[self.rows] - self.gain @ own)[tells]
        return Linear(self.rows[tells], -slope / bend, 1 / np.sqrt(bend), moved, np.zeros((count, 4)), np.full(count, np.nan))

    def bounds(self, here: Expected) -> tuple[np.ndarray, np.ndarray]:
        """The lip speeds of the bounds less the one expected [m/s], infinite where nothing bounds it."""
        return (here.low - here.edge)[self.rows], (here.high - here.edge)[self.rows]

    def _unlikely(self, here: Expected, y: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """−ln P and its first two derivatives by d."""
        a, b = ((bound - self.gain @ y) / self.spread for bound in self.bounds(here))
        # so far outside that P is lost, an outcome goes on as at the farthest
        shift = np.where(a > _FARTHEST, a - _FARTHEST, np.where(b < -_FARTHEST, b + _FARTHEST, 0.0))
        a, b = a - shift, b - shift
        p = np.where(a > 0, ndtr(-a) - ndtr(-b), ndtr(b) - ndtr(a))
        first, second = (np.exp(-0.5 * np.square(v)) / np.sqrt(2 * np.pi) for v in (a, b))
        weighted = [np.where(np.isfinite(v), v, 0.0) * density for v, density in ((a, first), (b, second))]
        slope = -(first - second) / (self.spread * p)
        bend = np.square(slope) - (weighted[0] - weighted[1]) / (np.square(self.spread) * p)
        return -np.log(p) + np.abs(shift) * _FARTHEST, slope, np.maximum(bend, 0.0)


def outcomes_of(seen: Seen, linear: Linear, ways: np.ndarray, scatter: np.ndarray) -> Outcomes:
    """The outcomes of tries whose place nobody taped.

    Parameters
    ----------
    seen : Seen
        n tries.
    linear : Linear
        The numbers seen of them.
    ways : numpy.ndarray
        B of the tries, shape (n, 3, 4).
    scatter : numpy.ndarray
        Of spring [m/s] and speed, as a share.

    Returns
    -------
    Outcomes
        Of those that are bounded on a side.
    """
    rows = np.nonzero(np.isfinite(seen.marked.low) | np.isfinite(seen.marked.high))[0]
    own, none = np.where(seen.unmarked, seen.foot_error / seen.foot, np.nan)[rows], np.zeros(len(rows))
    place = Linear(rows, none, none, np.zeros((len(rows), 0)), ways[rows, PLACE], own)
    variance = np.diag(place.covariance(scatter))
    gain = np.zeros((len(rows), len(linear.y)))
    if len(linear.y):
        shared = place.moved(scatter) @ linear.moved(scatter).T * (rows[:, None] == linear.of[None, :])
        gain = np.linalg.solve(linear.covariance(scatter) + 1e-12 * np.eye(len(linear.y)), shared.T).T
        variance = variance - np.sum(gain * shared, axis=1)
    return Outcomes(rows, np.sqrt(np.maximum(variance, 1e-6)), gain)


def probability(low: float, high: float, middle: float, sd: float) -> float:
    """Probability that a normal number lies within bounds.

    Parameters
    ----------
    low, high : float
        The bounds.
    middle, sd : float
        Of the number.

    Returns
    -------
    float
        0 to 1.
    """
    return float(ndtr((high - middle) / sd) - ndtr((low - middle) / sd))
