"""The fit: which values of the unknowns go best with what was seen, and how sure they are.

Penalised least squares: everything seen by its own covariance (`scatter`), softened beyond one standard deviation (soft_l1) so
that one wrong number does not carry the fit off; outcomes as probabilities (`outcomes`); priors as they are. A try further than 3 standard
deviations from what the others say is named and not believed. What that takes is iterated with the scatter until nothing moves.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import least_squares
from scipy.special import chdtrc, ndtri

from jumpcalc.plan.studies.field.expect import Expected, Marked, Started, World
from jumpcalc.plan.studies.field.outcomes import Outcomes, outcomes_of, probability
from jumpcalc.plan.studies.field.scatter import Linear, Posterior, joined, linear_of, most_likely, posterior, ways_of
from jumpcalc.plan.studies.field.seen import PLACE, Seen
from jumpcalc.plan.studies.field.unknowns import SCATTERS

__all__ = ["BLUNDER", "Fit", "Swings", "fit", "swings"]

BLUNDER = 3.0
"""Standard deviations beyond which a try is not believed."""

_ROUNDS = 8
_STEP = 0.05  # of a prior's standard deviation
_SHARE = 0.002  # of the speed
_BOUND = 4.0  # standard deviations
_STEADY = 0.03  # of the scatter
_NEAR = 0.05  # of a prior's standard deviation: over so little how things move stays the same
_SOFTER = 3
_FULL = 1.15  # the scatter of what is normal over the one found so
_MOST_BLUNDERS = 1 / 3  # of the tries


@dataclass(frozen=True, slots=True, eq=False)
class Swings:
    """What is expected of n tries, and how it moves with the unknowns, J (n, 3, p), and with what differs from try to try, B (n, 3, 4)."""

    here: Expected
    jacobian: np.ndarray
    ways: np.ndarray


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """A world after tries.

    `after` holds the unknowns, `scatter` that of spring and speed, `swings` what is expected of the tries, `every` what all of them
    tell about it; `far` how far each try lies from what the others say, in standard deviations; `trusted` which are believed.
    """

    world: World
    seen: Seen
    begun: Started
    after: Posterior
    scatter: np.ndarray
    swings: Swings
    every: Linear
    far: np.ndarray
    trusted: np.ndarray

    @property
    def believed(self) -> Linear:
        """What the tries tell that are believed."""
        return self.every.some(self.trusted[self.every.of])


def fit(world: World, seen: Seen, begun: Started, *, progress: Callable[[int, int], None] | None = None) -> Fit:
    """The world that goes best with tries.

    Parameters
    ----------
    world : World
        As measured.
    seen : Seen
        What was seen, of one try or more.
    begun : Started
        How the same tries set off.
    progress : callable, optional
        Told after each round how many are done, of how many at most.

    Returns
    -------
    Fit
        The values, their covariance, the scatter and which tries are believed.
    """
    n = len(seen)
    trusted, far = np.ones(n, bool), np.zeros(n)
    at, scatter = np.zeros(len(world.unknowns)), np.array([one.sd for one in SCATTERS])
    now = swings(world, begun, seen.marked, at)
    for number in range(_ROUNDS):
        since, at = at, _best(seen, now, at, scatter, trusted)
        now = swings(world, begun, seen.marked, at)
        numbers = linear_of(seen, now.here, now.jacobian, now.ways)
        told = outcomes_of(seen, numbers, now.ways, scatter)
        every = joined(numbers, told.pseudo(now.here, numbers.y, now.jacobian[:, PLACE], numbers.jacobian))
        linear = every.some(trusted[every.of])
        before, scatter = scatter, most_likely(linear, at, scatter)
        far = _far(numbers, every, told, now, scatter, at, trusted)
        if progress is not None:
            progress(number + 1, _ROUNDS)
        doubted = np.where(trusted, far, 0.0)
        worst = int(doubted.argmax())
        if doubted[worst] > BLUNDER and (~trusted).sum() + 1 <= _MOST_BLUNDERS * n:
            trusted[worst] = False
            continue
        if np.all(np.abs(scatter / before - 1) < _STEADY) and np.all(np.abs(at - since) < _NEAR):
            break
    after = Posterior(at, posterior(linear, scatter, at).covariance)
    return Fit(world, seen, begun, after, scatter, now, every, far, trusted)


def swings(world: World, begun: Started, marked: Marked, values: np.ndarray) -> Swings:
    """What is expected of n tries, and how it moves.

    Parameters
    ----------
    world : World
        The world.
    begun : Started
        How the tries set off.
    marked : Marked
        What is known of where they came down.
    values : numpy.ndarray
        The unknowns about which, shape (p,).

    Returns
    -------
    Swings
        By differences.
    """
    sets = np.vstack([values, values, values + _STEP * np.eye(len(values))])
    found = world.expected(begun, marked, sets, faster=np.where(np.arange(len(sets)) == 1, _SHARE, 0.0))
    seen, here, faster = found.seen, found.row(0), found.row(1)
    jacobian = np.moveaxis(seen[2:] - seen[0], 0, -1) / _STEP
    place = {name: [i for i, one in enumerate(world.unknowns) if one.name == name] for name in ("spring", "wind")}
    by = {name: jacobian[..., at].sum(axis=-1) / world.unknowns[at[0]].sd if at else None for name, at in place.items()}
    one = world.prepared(0.0, 0.0).jumps[0]
    ways = ways_of(one, here, faster, _SHARE, taped=np.isfinite(marked.place), spring=by["spring"], wind=by["wind"])
    return Swings(here, jacobian, ways)


def _best(seen: Seen, now: Swings, since: np.ndarray, scatter: np.ndarray, trusted: np.ndarray) -> np.ndarray:
    """The values at the least of the penalised squares, as far as things move as they do at `since`: the next round looks again."""
    numbers = linear_of(seen, now.here, now.jacobian, now.ways)
    believed = trusted[numbers.of]
    lower = np.linalg.cholesky(numbers.some(believed).covariance(scatter) + 1e-12 * np.eye(int(believed.sum())))
    told, margins = outcomes_of(seen, numbers, now.ways, scatter), now.jacobian[:, PLACE]
    counted, moves = trusted[told.rows], -np.linalg.solve(lower, numbers.jacobian[believed])

    def seen_from(values: np.ndarray) -> tuple[Expected, np.ndarray]:
        """What is expected there, and what was seen less that."""
        step = values - since
        return replace(now.here, edge=now.here.edge + margins @ step), numbers.y - numbers.jacobian @ step

    def residuals(values: np.ndarray) -> np.ndarray:
        here, y = seen_from(values)
        return np.concatenate([np.linalg.solve(lower, y[believed]), told.residuals(here, y)[counted], values])

    def derivative(values: np.ndarray) -> np.ndarray:
        outcomes = told.derivative(*seen_from(values), margins, numbers.jacobian)
        return np.concatenate([moves, outcomes[counted], np.eye(len(values))])

    softened = int(believed.sum() + counted.sum())
    found = least_squares(
        residuals, np.clip(since, -_BOUND + 1e-6, _BOUND - 1e-6), jac=derivative, bounds=(-_BOUND, _BOUND),
        loss=lambda z: _loss(z, softened), max_nfev=50, xtol=1e-6, ftol=1e-8, gtol=1e-8,
    )  # fmt: skip
    return found.x


def _loss(z: np.ndarray, softened: int) -> np.ndarray:
    """soft_l1 of what was seen, the plain square of priors."""
    rho = np.stack([z, np.ones(z.shape), np.zeros(z.shape)])
    root = np.sqrt(1 + z[:softened])
    rho[:, :softened] = 2 * (root - 1), 1 / root, -0.5 / root**3
    return rho


def _far(
    numbers: Linear, every: Linear, told: Outcomes, now: Swings, scatter: np.ndarray, at: np.ndarray, trusted: np.ndarray
) -> np.ndarray:
    """How far each try lies from what the others that are believed say of it, in standard deviations.

    What lies far off is counted for less meanwhile, so that two blunders do not hide each other behind the scatter they make.
    """
    rough = scatter
    for _ in range(_SOFTER):
        soft = every.softened(rough)
        rough = most_likely(soft.some(trusted[every.of]), at, rough) * _FULL
    far, low, high = np.zeros(len(trusted)), *told.bounds(now.here)
    bounded = {int(row): place for place, row in enumerate(told.rows)}
    for number in range(len(trusted)):
        others = soft.some(trusted[every.of] & (every.of != number))
        spread = most_likely(others, at, rough) * _FULL if trusted[number] else rough
        after, chance = posterior(others, spread, at), 1.0
        moved, own = at - after.mean, numbers.some(numbers.of == number)
        if len(own.y):
            off = own.y + own.jacobian @ moved
            whole = own.covariance(spread) + own.jacobian @ after.covariance @ own.jacobian.T
            chance = chdtrc(len(own.y), float(off @ np.linalg.solve(whole, off)))
        if number in bounded:
            moves, row = now.jacobian[number, PLACE], bounded[number]
            sd = float(np.hypot(told.spread[row], np.sqrt(moves @ after.covariance @ moves)))
            adds = told.gain[row] @ (numbers.y + numbers.jacobian @ moved)
            chance = min(chance, probability(low[row], high[row], adds - moves @ moved, sd))
        far[number] = -ndtri(0.5 * max(chance, 1e-300))
    return far
