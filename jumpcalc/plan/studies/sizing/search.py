"""The jumps on a site that nothing beats: many tried at random, then all around the best ones, until nothing better turns up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.plan.studies.sizing.ground import LaidOut
from jumpcalc.plan.studies.sizing.lay import Candidates
from jumpcalc.plan.studies.sizing.rate import KEPT, Rated, rated

__all__ = ["Found", "Space", "exceeding", "objectives", "search", "space_of", "unbeaten"]

_FIRST = 16384  # jumps tried at random, a power of two
_AROUND = 24  # jumps tried around each good one
_GOOD_ONES = 256  # around which is looked at a time
_ROUNDS = 6
_NEAREST = 64  # of those that exceed a limit, kept
_FAR = 3  # steps
_BLOCK = 512


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Space:
    """What may be built: least, most and step of each measure, in the order of `Candidates`; one value where both are alike."""

    low: np.ndarray
    high: np.ndarray
    step: np.ndarray

    def at(self, counts: np.ndarray) -> np.ndarray:
        """Measures, so many steps above the least."""
        return self.low + np.clip(counts, 0, self.most) * self.step

    @property
    def most(self) -> np.ndarray:
        """How many steps there are."""
        return np.floor((self.high - self.low) / self.step + 1e-9).astype(int)

    def steps(self, array: np.ndarray) -> np.ndarray:
        """How many steps above the least measures are."""
        return np.rint((array - self.low) / self.step).astype(int)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Found:
    """What is known so far: the jumps that keep every limit and that nothing beats, the nearest of the others, and how many were tried."""

    front: Rated
    nearest: Rated
    tried: int


def space_of(laid: LaidOut) -> Space:
    """What may be built on a site, in steps that a builder can peg out.

    Parameters
    ----------
    laid : LaidOut
        The site.

    Returns
    -------
    Space
        Place, gap, angle at the edge, radius, straight, drop, fall of the landing.
    """
    site, degree = laid.site, np.radians(1.0)
    end = float(laid.natural.s[-1])
    tallest = max(float(there.one.body.height) for there in laid.riders)
    least_radius = np.ceil(4 * max(2.5, tallest + 1.0)) / 4
    straight = site.wanted.shortest_straight
    if straight is None:
        straight = np.ceil(20 * laid.half - 1e-9) / 10
    if site.wanted.shape == "drop":  # its edge is level or falls a little; the deck may be longer than a bike
        low = [3.0, site.wanted.smallest_gap, -8 * degree, least_radius, straight, 0.2, 14 * degree]
        high = [end - 8.0, site.wanted.largest_gap, 0.0, 9.0, straight + 2.4, 1.6, 38 * degree]
        return _space(low, high)
    low = [6.0, site.wanted.smallest_gap, min(12 * degree, site.limits.lip_angle), least_radius, straight, -0.6, 14 * degree]
    high = [end - 8.0, site.wanted.largest_gap, site.limits.lip_angle, 9.0, straight + 0.6, 1.4, 38 * degree]
    return _space(low, high)


def _space(low: list[float], high: list[float]) -> Space:
    """In the steps in which each measure is pegged out."""
    degree = np.radians(1.0)
    return Space(low=np.array(low), high=np.maximum(high, low), step=np.array([0.5, 0.25, degree, 0.25, 0.2, 0.1, degree]))


def objectives(found: Rated) -> np.ndarray:
    """What is weighed against one another, less is better: tolerance, size, dirt, room; shape (n, 4).

    Parameters
    ----------
    found : Rated
        n jumps.

    Returns
    -------
    numpy.ndarray
        Negative tolerance [m/s] and size [m], dirt [m³], room [m].
    """
    return np.stack([-found.tolerance, -found.size, found.dirt, found.room], axis=1)


def unbeaten(values: np.ndarray) -> np.ndarray:
    """Which of n rows no other row is at least as good as in everything and better in something.

    Parameters
    ----------
    values : numpy.ndarray
        Less is better, shape (n, m).

    Returns
    -------
    numpy.ndarray
        Of bool, shape (n,).

    Examples
    --------
    >>> unbeaten(np.array([[0.0, 2.0], [1.0, 1.0], [1.0, 2.0]])).tolist()
    [True, True, False]
    """
    kept = np.ones(len(values), bool)
    for first in range(0, len(values), _BLOCK):
        mine = values[first : first + _BLOCK, None]
        beaten = ((values <= mine).all(axis=2) & (values < mine).any(axis=2)).any(axis=1)
        kept[first : first + _BLOCK] = ~beaten
    return kept


def search(laid: LaidOut, rng: np.random.Generator, *, space: Space | None = None, first: int | None = None) -> Iterator[Found]:
    """Jumps on a site, better ones each time; may be left at any time with what it has.

    Parameters
    ----------
    laid : LaidOut
        The site.
    rng : numpy.random.Generator
        Draws them.
    space : Space, optional
        What may be built; that of `space_of` when not given.
    first : int
        How many are tried at random, a power of two; 16,384 when not given.

    Yields
    ------
    Found
        After each batch.
    """
    from scipy.stats import qmc

    space = space_of(laid) if space is None else space
    points = qmc.Sobol(len(space.low), rng=rng).random(_FIRST if first is None else first)
    steps = np.unique(np.minimum((points * (space.most + 1)).astype(int), space.most), axis=0)
    seen = {row.tobytes() for row in steps}
    found = _with(None, rated(laid, Candidates.of(space.at(steps))))
    yield found
    for _ in range(_ROUNDS):
        steps = _around(found, space, rng)
        steps = np.array([row for row in np.unique(steps, axis=0) if row.tobytes() not in seen], dtype=int)
        if not len(steps):
            return
        seen.update(row.tobytes() for row in steps)
        found = _with(found, rated(laid, Candidates.of(space.at(steps))))
        yield found


def _with(known: Found | None, more: Rated) -> Found:
    """What is known with more jumps rated."""
    fits, lacks = more.rows(np.nonzero(more.fits)[0]), more.rows(np.nonzero(more.there & ~more.fits)[0])
    if known is not None:
        fits, lacks = _joined(known.front, fits), _joined(known.nearest, lacks)
    nearest = np.argsort(exceeding(lacks), kind="stable")[:_NEAREST]
    tried = len(more.jumps) + (0 if known is None else known.tried)
    return Found(front=fits.rows(np.nonzero(unbeaten(objectives(fits)))[0]), nearest=lacks.rows(nearest), tried=tried)


def exceeding(found: Rated) -> np.ndarray:
    """By how much limits are exceeded in all, each counted in what of it is alike.

    Parameters
    ----------
    found : Rated
        n jumps.

    Returns
    -------
    numpy.ndarray
        Shape (n,).
    """
    return sum(found.over[name] / alike for name, alike in KEPT.items())


def _joined(first: Rated, second: Rated) -> Rated:
    """Both."""
    both = {
        name: np.concatenate([getattr(first, name), getattr(second, name)])
        for name in ("size", "face", "landing_s", "tolerance", "dirt", "room", "there")
    }
    jumps = Candidates.of(np.concatenate([first.jumps.array, second.jumps.array]))
    over = {name: np.concatenate([first.over[name], second.over[name]]) for name in KEPT}
    return replace(first, jumps=jumps, over=over, **both)


def _around(found: Found, space: Space, rng: np.random.Generator) -> np.ndarray:
    """Steps of jumps around the good ones, and around the nearest of the others while there are few of them."""
    good = space.steps(found.front.jumps.array)
    if len(good) > _GOOD_ONES:
        good = good[rng.permutation(len(good))[:_GOOD_ONES]]
    if len(good) < _GOOD_ONES // 4:
        good = np.concatenate([good, space.steps(found.nearest.jumps.array)])
    around = np.repeat(good, _AROUND, axis=0)
    moves = rng.integers(-_FAR, _FAR + 1, around.shape)
    # most neighbours differ in a few measures only
    moves[rng.random(around.shape) > rng.choice([0.2, 0.4, 0.8], size=(len(around), 1))] = 0
    return np.clip(around + moves, 0, space.most)
