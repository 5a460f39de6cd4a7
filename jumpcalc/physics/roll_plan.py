"""Rows that ride, and what they are about to do on their piece of ground."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.polynomial import polynomial

from jumpcalc.physics.roll_step import TIME, Step, speed_in

__all__ = ["ANY", "SMOOTH", "Plan", "Rows", "Stretch"]

ANY = -1  # what ends a step is yet to be guessed
SMOOTH = 1e-11  # largest share of v that a step misses


@dataclass(slots=True, eq=False)
class Rows:
    """Rows that ride: where they are, and what has become of them; every entry of shape (n,).

    `number` counts them, `stop` is the speed at which one ends; the others are those of a track.
    """

    number: np.ndarray
    s: np.ndarray
    v: np.ndarray
    time: np.ndarray
    stop: np.ndarray
    reached: np.ndarray
    stopped: np.ndarray
    lifted: np.ndarray
    dropped: np.ndarray
    peak: np.ndarray

    def some(self, rows: np.ndarray | slice) -> Rows:
        """Some of the rows; with a slice, changes to them are changes to these."""
        return Rows(*(getattr(self, name)[rows] for name in self.__slots__))

    def put(self, rows: np.ndarray, some: Rows) -> None:
        """Take back some of the rows."""
        for name in self.__slots__:
            if name not in ("number", "stop"):
                getattr(self, name)[rows] = getattr(some, name)


@dataclass(slots=True, eq=False)
class Plan:
    """What rows are about to do on their piece.

    `kind` is what is known to end the next step, `goal` the speed, `span` the longest time of it, `time` what it will
    take [s], NaN where that is not known; `careful` rows were rough before, and `trials` counts their steps that did not
    stand. `fresh` says that nothing of this is known of any row.
    """

    kind: np.ndarray
    goal: np.ndarray
    span: np.ndarray
    time: np.ndarray
    careful: np.ndarray
    trials: np.ndarray
    fresh: bool = True

    @classmethod
    def of(cls, rows: Rows) -> Plan:
        count = len(rows.s)
        return cls(
            kind=np.full(count, ANY),
            goal=rows.stop.copy(),
            span=np.full(count, np.inf),
            time=np.full(count, np.nan),
            careful=np.zeros(count, bool),
            trials=np.zeros(count, int),
        )

    def some(self, rows: np.ndarray) -> Plan:
        arrays = (getattr(self, name)[rows] for name in self.__slots__[:-1])
        return Plan(*arrays, fresh=self.fresh)

    def shorten(self, rough: np.ndarray, step: Step) -> None:
        """A shorter time for rows whose step was rough, or that do not find their end."""
        with np.errstate(divide="ignore", invalid="ignore"):
            share = np.minimum(0.8 * (SMOOTH / step.uneven) ** 0.1, 0.7)
        share = np.where(np.isfinite(step.uneven), np.maximum(share, 0.05), 0.35)
        self.span = np.where(rough, share * np.minimum(step.time, self.span), self.span)
        self.kind = np.where(rough, TIME, self.kind)
        self.careful = self.careful | rough
        self.fresh = False

    def renew(self, go: np.ndarray, step: Step, stop: np.ndarray) -> None:
        """Start afresh where a step stands; one that was rough makes the next one careful."""
        if self.fresh:
            return
        self.span = np.where(go, np.where(self.careful, 3 * step.time, np.inf), self.span)
        self.kind, self.goal = np.where(go, ANY, self.kind), np.where(go, stop, self.goal)
        self.trials, self.time = np.where(go, 0, self.trials + 1), np.where(go, np.nan, self.time)


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """Ways ridden, one for each of k entries: whose, from which distance on and how far [m], and the speeds there.

    `coefficients` of shape (terms, k) are those of v [m/s] in powers of 2 x − 1 with x the share of the time. Or, where `ends` of
    shape (2, k) are given, those of v²/2 with x the share of the time of a ride whose speed changes evenly as from one to the other.
    """

    number: np.ndarray
    start: np.ndarray
    length: np.ndarray
    coefficients: np.ndarray
    ends: np.ndarray | None = None

    def some(self, which: np.ndarray) -> Stretch:
        """The chosen ones."""
        ends = None if self.ends is None else self.ends[:, which]
        return Stretch(self.number[which], self.start[which], self.length[which], self.coefficients[:, which], ends)

    def speed(self, share: np.ndarray) -> np.ndarray:
        """v [m/s] at a share of the way of each, 0 to 1."""
        if self.ends is None:
            return speed_in(self.coefficients, share)
        share, (first, last) = np.clip(share, 0.0, 1.0), self.ends
        even = first + np.sqrt(np.maximum(first * first + share * (last * last - first * first), 0.0))
        tau = np.divide(share * (first + last), even, out=np.zeros(len(share)), where=even > 0)
        e = polynomial.polyval(2 * tau - 1, self.coefficients, tensor=False)
        return np.sqrt(2 * np.maximum(e, 0.0))
