"""How tries differ from one another besides what the unknowns say: covariance of what is seen, and the scatter most likely.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
y        what was seen less what is expected                   m/s, m, s
J        how y moves with the unknowns, each in its sd         of y
B        how y moves with spring, speed, attitude and gusts    of y each
σ        scatter: spring [m/s], speed [–], attitude [rad],
         gusts [m/s]
S        diag(error²) + B σ² Bᵀ of one try                     of y²
=======  ====================================================  =========

S goes over all tries as blocks. The scatter most likely maximises the likelihood with the unknowns integrated out, V = S + J Jᵀ:
−½ ln|V| − ½ yᵀV⁻¹y, times what is taken of it before any try.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize

from jumpcalc.plan.studies.field.expect import Expected
from jumpcalc.plan.studies.field.seen import ATTITUDE, FOOT, GUSTS, PLACE, TIME, Seen
from jumpcalc.plan.studies.field.unknowns import SCATTERS
from jumpcalc.plan.terrain import Prepared

__all__ = ["Linear", "Posterior", "evidence", "joined", "linear_of", "most_likely", "posterior", "ways_of"]

_JITTER = 1e-12
_TAILS = 4.0  # degrees of freedom of Student's distribution
_GRAZING = 0.12  # rad between path and landing, below which a place is as doubtful as there


@dataclass(frozen=True, slots=True, eq=False)
class Linear:
    """N numbers seen of n tries about a point of the unknowns: which try each is of, y, its error, J (N, p) and B (N, 4).

    `own` is the scatter of the speed of tries whose start is not known: that of their measured speed, NaN for the others.
    """

    of: np.ndarray
    y: np.ndarray
    error: np.ndarray
    jacobian: np.ndarray
    ways: np.ndarray
    own: np.ndarray

    def covariance(self, scatter: np.ndarray) -> np.ndarray:
        """S of all numbers, shape (N, N), for scatter of spring and speed."""
        moved = self.moved(scatter)
        same = self.of[:, None] == self.of[None, :]
        return same * (moved @ moved.T) + np.diag(np.square(self.error))

    def moved(self, scatter: np.ndarray) -> np.ndarray:
        """B σ, shape (N, 4)."""
        speed = np.where(np.isnan(self.own), scatter[1], self.own)
        fixed = (np.full(speed.shape, size) for size in (scatter[0], ATTITUDE, GUSTS))
        spring, attitude, gusts = fixed
        return self.ways * np.stack([spring, speed, attitude, gusts], axis=1)

    def softened(self, scatter: np.ndarray) -> Linear:
        """The same with tries that lie far off counted for less, as if what is seen had Student's distribution."""
        whole = self.covariance(scatter) + _JITTER * np.eye(len(self.y))
        far = self.y * np.linalg.solve(whole, self.y) if len(self.y) else self.y
        size = int(self.of.max(initial=-1)) + 1
        distance, count = np.bincount(self.of, far, size), np.bincount(self.of, minlength=size)
        less = np.sqrt((_TAILS + distance) / (_TAILS + count))[self.of]
        return Linear(self.of, self.y, self.error * less, self.jacobian, self.ways * less[:, None], self.own)

    def some(self, rows: np.ndarray) -> Linear:
        """Some of the numbers."""
        return Linear(*(getattr(self, name)[rows] for name in self.__slots__))


@dataclass(frozen=True, slots=True, eq=False)
class Posterior:
    """The unknowns after tries, in standard deviations of their priors: mean (p,) and covariance (p, p)."""

    mean: np.ndarray
    covariance: np.ndarray


def ways_of(
    one: Prepared, here: Expected, faster: Expected, step: float, *, taped: np.ndarray, spring: np.ndarray | None, wind: np.ndarray
) -> np.ndarray:
    """B of n tries, shape (n, 3 seen, 4 ways).

    Parameters
    ----------
    one : Prepared
        The jump.
    here, faster : Expected
        What is expected at one set of values, shape (n,), and with a speed greater by the share `step`.
    step : float
        That share.
    taped : numpy.ndarray
        Whether the place of each was taped.
    spring : numpy.ndarray or None
        How what is seen moves with the mean spring, for each m/s, shape (n, 3); None for a point.
    wind : numpy.ndarray
        The same for each m/s of tailwind.

    Returns
    -------
    numpy.ndarray
        Of each m/s of spring, each share of speed, each radian of attitude, each m/s of a gust. The margin of an untaped place is
        that of the speed itself.
    """
    ways = np.zeros((len(here.foot), 3, 4))
    ways[:, :, 3] = wind
    if spring is not None:
        ways[:, :, 0] = spring
        ways[:, FOOT, 0] = 0.0
    moved = faster.edge - here.edge
    ways[:, FOOT, 1] = (faster.foot - here.foot) / step
    ways[:, PLACE, 1] = moved / step
    ways[:, TIME, 1] = np.where(taped, 0.0, (faster.time - here.time) / step)
    if one.rig.path == "bike":
        lever = one.body.wheelbase - one.body.behind_front
        earlier = lever / np.tan(np.clip(here.angle, _GRAZING, 1.2))
        ways[:, PLACE, 2] = -earlier * here.each
        ways[:, TIME, 2] = here.later * earlier * taped - lever / np.clip(here.into, 0.8, None)
    return ways


def joined(first: Linear, second: Linear) -> Linear:
    """Both, one after the other.

    Parameters
    ----------
    first, second : Linear
        About the same point.

    Returns
    -------
    Linear
        All their numbers.
    """
    return Linear(*(np.concatenate([getattr(first, name), getattr(second, name)]) for name in Linear.__slots__))


def linear_of(seen: Seen, here: Expected, jacobian: np.ndarray, ways: np.ndarray) -> Linear:
    """What was seen of tries, about a point.

    Parameters
    ----------
    seen : Seen
        n tries.
    here : Expected
        What is expected there, shape (n,).
    jacobian : numpy.ndarray
        How that moves with the unknowns, shape (n, 3, p).
    ways : numpy.ndarray
        B, shape (n, 3, 4).

    Returns
    -------
    Linear
        Only what was seen.
    """
    there = np.isfinite(seen.value)
    of = np.nonzero(there)[0]
    own = np.where(seen.unmarked, seen.foot_error / seen.foot, np.nan)
    return Linear(of, (seen.value - here.seen)[there], seen.errors(here.each)[there], jacobian[there], ways[there], own[of])


def posterior(linear: Linear, scatter: np.ndarray, at: np.ndarray) -> Posterior:
    """The unknowns after tries.

    Parameters
    ----------
    linear : Linear
        About a point.
    scatter : numpy.ndarray
        Of spring and speed.
    at : numpy.ndarray
        That point, shape (p,).

    Returns
    -------
    Posterior
        From priors of mean 0 and standard deviation 1.
    """
    solved = np.linalg.solve(linear.covariance(scatter) + _JITTER * np.eye(len(linear.y)), linear.jacobian)
    covariance = np.linalg.inv(np.eye(len(at)) + linear.jacobian.T @ solved)
    return Posterior(covariance @ (solved.T @ (linear.y + linear.jacobian @ at)), covariance)


def evidence(linear: Linear, scatter: np.ndarray, at: np.ndarray) -> float:
    """How likely what was seen is in a world, the unknowns integrated out, as a logarithm: to be compared with that of another world.

    Parameters
    ----------
    linear : Linear
        About a point.
    scatter : numpy.ndarray
        Of spring [m/s] and speed, as a share.
    at : numpy.ndarray
        That point, shape (p,).

    Returns
    -------
    float
        −½ ln|V| − ½ yᵀV⁻¹y, without what both worlds share.
    """
    y = linear.y + linear.jacobian @ at
    lower = np.linalg.cholesky(linear.covariance(scatter) + linear.jacobian @ linear.jacobian.T + _JITTER * np.eye(len(y)))
    solved = np.linalg.solve(lower, y)
    return float(-np.log(np.diag(lower)).sum() - 0.5 * solved @ solved)


def most_likely(linear: Linear, at: np.ndarray, begin: Sequence[float] | None = None) -> np.ndarray:
    """The scatter that is most likely.

    Parameters
    ----------
    linear : Linear
        About a point.
    at : numpy.ndarray
        That point, shape (p,).
    begin : sequence of float, optional
        Where to begin to look; what is taken before any try when not given.

    Returns
    -------
    numpy.ndarray
        Of spring [m/s] and of speed, as a share.
    """
    middle = np.log([one.sd for one in SCATTERS])
    doubt = np.array([one.doubt for one in SCATTERS])
    y = linear.y + linear.jacobian @ at
    shared = linear.jacobian @ linear.jacobian.T + _JITTER * np.eye(len(y))
    same = linear.of[:, None] == linear.of[None, :]
    # the spring moves all, the scatter of speed those whose own is not known
    free = np.stack([np.ones(len(y)), np.isnan(linear.own)], axis=1)

    def unlikely(logs: np.ndarray) -> tuple[float, np.ndarray]:
        """What is least at the most likely, and its slopes: ∂V/∂ln σ = 2 B σ² Bᵀ of that scatter."""
        spread = np.exp(logs)
        inverse = np.linalg.inv(linear.covariance(spread) + shared)
        solved, moved = inverse @ y, linear.moved(spread)[:, :2] * free
        slopes = [((same * inverse) @ each) @ each - (same @ (each * solved)) @ (each * solved) for each in moved.T]
        off = (logs - middle) / doubt
        size = -0.5 * np.linalg.slogdet(inverse)[1] + 0.5 * y @ solved + 0.5 * off @ off
        return float(size), np.array(slopes) + off / doubt

    if not len(y):
        return np.exp(middle)
    start = middle if begin is None else np.log(begin)
    found = minimize(
        unlikely, start, jac=True, method="L-BFGS-B", bounds=[(m - 3 * d, m + 3 * d) for m, d in zip(middle, doubt, strict=True)]
    )
    return np.exp(found.x)
