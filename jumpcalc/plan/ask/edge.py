"""The lip speed at which landings begin to meet a condition, closed in on by what is known around it."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence

import numpy as np

from jumpcalc.plan.ask.landings import Landings, land_each
from jumpcalc.plan.ask.leaving import Style
from jumpcalc.plan.terrain import Prepared

__all__ = ["Edge", "close_in"]

_WIDTH = 1e-9  # m/s, width to which edges are closed in
_SHARES = np.array([0.3, 0.1, 3e-2, 1e-2, 1e-3, 1e-4, 1e-6, 1e-8])  # of the width, around a guess
_SPREAD = np.linspace(0.0, 1.0, 31)[1:-1]  # of the width: rows cost little, a call as much as a thousand of them
_NEAREST = 8  # known margins, of which a guess is made


class Edge:
    """The lip speed at which landings begin to meet a condition, between one that does not and one that does.

    Parameters
    ----------
    styles : tuple of Style
        Who leaves the edge: the condition is one on the landings of all of them.
    outside, inside : float
        Speeds [m/s] of which the second meets the condition and the first does not.
    good : callable
        Told `Landings` of n rows, one for each style, answers which of them meet the condition.
    margin : callable
        Told the same, answers numbers that are 0 where the condition ends and smooth around it; NaN where nothing is known.
    """

    def __init__(
        self,
        styles: tuple[Style, ...],
        outside: float,
        inside: float,
        *,
        good: Callable[..., np.ndarray],
        margin: Callable[..., np.ndarray],
    ) -> None:
        self.styles, self.outside, self.inside = styles, float(outside), float(inside)
        self._good, self._margin = good, margin
        self._speeds, self._margins = np.empty(0), np.empty(0)
        self.last: tuple[tuple[Landings, ...], int] | None = None
        """Landings, one for each style, of which that row is the one of `inside`; None before any was looked at."""

    @property
    def width(self) -> float:
        """How far apart outside and inside are [m/s]."""
        return abs(self.outside - self.inside)

    def know(self, *landed: Landings) -> None:
        """Keep the margins of landings.

        Parameters
        ----------
        *landed : Landings
            One for each style.
        """
        margins = self._margin(*landed)
        there = np.isfinite(margins)
        self._speeds = np.concatenate([self._speeds, landed[0].speed[there]])
        self._margins = np.concatenate([self._margins, margins[there]])

    def tries(self) -> np.ndarray:
        """Speeds to look at next [m/s]: where a polynomial through the nearest known margins ends, and around it."""
        low, high = sorted((self.outside, self.inside))
        nearest = []
        for at in np.argsort(np.abs(self._margins)):
            # closer ones say little more than their rounding
            if len(nearest) < _NEAREST and all(abs(self._speeds[at] - self._speeds[k]) > 1e-4 for k in nearest):
                nearest.append(at)
        margins, speeds = self._margins[nearest], self._speeds[nearest]
        guess = 0.5 * (low + high)
        if len(nearest) > 1 and len(set(margins.tolist())) == len(margins):
            # Lagrange's weights of the polynomial at a margin of 0
            apart = margins[:, None] - margins
            np.fill_diagonal(apart, margins)
            weights = np.prod(margins[:, None] / apart, axis=0)
            guess = min(max(float(weights @ speeds), low), high)
        around = np.concatenate([[guess], guess - _SHARES * self.width, guess + _SHARES * self.width])
        spread = low + (high - low) * _SPREAD
        tries = np.sort(np.concatenate([around, spread]))
        return tries[(tries > low) & (tries < high) & np.append(True, np.diff(tries) > 0)]

    def learn(self, *landed: Landings) -> None:
        """Close in by what was seen between outside and inside.

        Parameters
        ----------
        *landed : Landings
            Those of `tries`, one for each style.
        """
        self.know(*landed)
        speeds = landed[0].speed
        if not len(speeds):
            self.outside = self.inside
            return
        outward = np.argsort(np.abs(speeds - self.inside))
        good = self._good(*landed)[outward]
        first_bad = int(np.argmin(good)) if not good.all() else len(good)
        if first_bad < len(good):
            self.outside = float(speeds[outward[first_bad]])
        if first_bad > 0:
            row = int(outward[first_bad - 1])
            self.inside, self.last = float(speeds[row]), (landed, row)


def close_in(course: Prepared, edges: Sequence[Edge]) -> None:
    """Close in on edges to within 1e-9 m/s, all of them in the same calls.

    Parameters
    ----------
    course : Prepared
        The jump.
    edges : sequence of Edge
        Changed in place.
    """
    for _ in range(60):
        active = [edge for edge in edges if edge.width > _WIDTH]
        if not active:
            break
        groups = [(style, tries) for edge in active for tries in [edge.tries()] for style in edge.styles]
        if not any(len(tries) for _, tries in groups):
            break
        landed = iter(land_each(course, groups))
        for edge in active:
            edge.learn(*itertools.islice(landed, len(edge.styles)))
