"""Rows over many pieces of ground at once, as far as their rides are smooth over place.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
s        distance of the wheels along the ground               m
e        v²/2                                                  m²/s²
x        share of a part's way, from 0 to 1                    –
τ        share of the time, if e changed evenly on the part    –
q        1 − h_c κ                                             –
=======  ====================================================  =========

The rate of e depends little on e itself:

    e(s) = e_0 + ∫ de/ds(e, s) ds + what the joints take,   t = ∫ q ds/v.

So e is put into the right side until it does not change any more (E. Picard's successive approximation), at the Gauss
points of all parts of the way at once: a part is a piece of ground, or as much of an arc as turns by 0.25 rad. The points are
even in τ, over which e and v are smooth also where a bike starts from rest: with √e from u_0 to u_1 along a part,

    x = τ (2 u_0 + (u_1 − u_0) τ)/(u_0 + u_1).

A row goes as far as all of this is beyond doubt: the last Legendre terms small, load on the wheels, air that brakes all
the way or pushes all the way, no stop. The piece after that it rides in steps over time (`roll_piece`).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from jumpcalc.physics.ground import GroundLine
from jumpcalc.physics.roll_plan import SMOOTH, Rows, Stretch
from jumpcalc.physics.roll_step import Rule
from jumpcalc.physics.roll_try import BEND, LIGHT
from jumpcalc.physics.roller import Pull, Roller

__all__ = ["KINK", "over_pieces"]

KINK = 1e-9
"""Turns of the ground at a joint that count as none [rad]."""

_LARGEST_TURN = 0.25  # rad of an arc in one part
_ENTRIES = 400_000  # of an array, so that memory is flat
_LEAST = 1e-9  # m²/s², below which a row starts or stops
_ABOVE = 1.1  # times e at the stop speed, below which a row is about to stop
_ROUGHLY = 2  # turns, after which e is known well enough to place the points
_MOST_TURNS = 60
_SETTLED = 1e-13  # of e, a change that is none
_FASTEST = 1000.0  # m/s
_ON_TIME = 2e-11  # of the time, an error that is none
_MOST_GROWN = 30.0  # of Λ
_RULE = Rule(12)
_TAU = np.append(0.0, _RULE.shares)[:, None, None]


@dataclass(frozen=True, slots=True, eq=False)
class _Parts:
    """Parts of a way in riding order, entries of shape (parts, 1), and the joints after them.

    Piece of the ground, where the part lies [m], slope at the start of the piece [rad], that start [m], curvature [1/m];
    of a joint the slope and curvature before and after it along the ground, and how far the ground turns up there [rad].
    """

    piece: np.ndarray
    low: np.ndarray
    high: np.ndarray
    slope: np.ndarray
    start: np.ndarray
    curvature: np.ndarray
    before: tuple[np.ndarray, np.ndarray]
    after: tuple[np.ndarray, np.ndarray]
    turn: np.ndarray

    @classmethod
    @lru_cache(maxsize=256)
    def of(cls, ground: GroundLine, first: int, last: int, low: float, high: float, sign: float) -> _Parts:
        """Those of the pieces from `first` to `last` in riding order that lie between two places [m]."""
        piece = np.arange(min(first, last), max(first, last) + 1)
        low = np.maximum(ground.start[piece], low)
        high = np.minimum(np.append(ground.start, np.inf)[piece + 1], high)
        parts = np.maximum(np.ceil(np.abs(ground.curvature[piece]) * (high - low) / _LARGEST_TURN), 1).astype(int)
        if len(piece) < parts.sum():
            at = np.repeat(np.arange(len(piece)), parts)
            number = np.arange(len(at)) - (np.cumsum(parts) - parts)[at]
            bounds = (low[at] + (high - low)[at] * (count / parts[at]) for count in (number, number + 1))
            low, high = (np.where(number + 1 == parts[at], high[at], bound) if which else bound for which, bound in enumerate(bounds))
            piece = piece[at]
        if sign < 0:
            piece, low, high = piece[::-1], low[::-1], high[::-1]
        ahead = np.append(piece[1:], np.clip(last + int(sign), 0, len(ground.start) - 1))
        joint = high if sign > 0 else low
        here, there = (
            (ground.slope[of] + ground.curvature[of] * (joint - ground.start[of]), ground.curvature[of]) for of in (piece, ahead)
        )
        before, after = (tuple(entry[:, None] for entry in side) for side in ((here, there) if sign > 0 else (there, here)))
        turn = np.where((piece == ahead)[:, None], 0.0, after[0] - before[0])
        columns = (piece, low, high, ground.slope[piece], ground.start[piece], ground.curvature[piece])
        return cls(*(entry[:, None] for entry in columns), before, after, turn)


def over_pieces(
    ground: GroundLine,
    rows: Rows,
    piece: np.ndarray,
    roller: Roller,
    *,
    end: float,
    sign: float,
    duration: float,
    kept: list[Stretch] | None,
) -> None:
    """Ride rows over the rest of their way, as far as that is smooth.

    Parameters
    ----------
    ground : GroundLine
        The ground.
    rows : Rows
        Those that ride; changed in place.
    piece : numpy.ndarray of int
        The piece that each is on, shape (n,); changed in place, -1 for those that have reached the end.
    roller : Roller
        What rolls; entries scalar or of shape (n,).
    end : float
        Where the ride ends [m]; infinite where nothing ends it.
    sign : float
        1 along the ground, -1 back against it.
    duration : float
        Time after which a row ends [s].
    kept : list or None
        Takes what was ridden.
    """
    pieces, begins = len(ground.start), int(piece.min() if sign > 0 else piece.max())
    goes_on = end > ground.start[-1]
    if sign > 0:
        last, high = (pieces - 2, float(ground.start[-1])) if goes_on else (int(ground.piece_at(end)), end)
        low = float(ground.start[begins])
    else:
        low, high, goes_on = max(end, float(ground.start[0])), float(rows.s.max()), False
        last = int(ground.piece_at(low))
    if high <= low or sign * (last - begins) < 0:
        return
    parts = _Parts.of(ground, begins, last, low, high, sign)
    bite = max(_ENTRIES // (len(parts.piece) * (len(_RULE.x) + 1)), 1)
    for first in range(0, len(piece), bite):
        whole, some = len(piece) <= bite, slice(first, first + bite)
        mine = roller if whole else roller.each(lambda entry, some=some: entry[some])
        with np.errstate(over="ignore", invalid="ignore", divide="ignore"):  # rows that do not settle go no further here
            way = _Way.of(parts, rows.some(some), mine, sign)
            way.settle(_ROUGHLY)
            way.look()
            way.settle(_MOST_TURNS)
            way.ride(rows.some(some), piece[some], beyond=pieces - 1 if goes_on else -1, duration=duration, kept=kept)


@dataclass(slots=True, eq=False)
class _Way:
    """Rides of n rows over parts.

    Where each row enters a part and how far it rides on it [m], and q: of shape (parts, n). At the begin of each part, its
    Gauss points and its end, of shape (points, parts, n): e and what slows; at the Gauss points `pace`, ds/dτ, and `slowing`,
    λ e^Λ ds/dτ; at them and the end `shrink`, e^−Λ. `least` is the e of a row below which it starts or may be about to stop, `ahead`
    that behind the joints, `ends` are about u_0 and u_1, `settled` says where e was found.
    """

    parts: _Parts
    roller: Roller
    sign: float
    enters: np.ndarray
    length: np.ndarray
    q: np.ndarray
    least: np.ndarray
    e: np.ndarray
    ahead: np.ndarray
    ends: tuple[np.ndarray, np.ndarray] = field(init=False)
    pace: np.ndarray = field(init=False)
    pull: Pull = field(init=False)
    slowing: np.ndarray = field(init=False)
    shrink: np.ndarray = field(init=False)
    settled: np.ndarray = field(init=False)

    @classmethod
    def of(cls, parts: _Parts, rows: Rows, roller: Roller, sign: float) -> _Way:
        """What lies ahead of rows, as if they rode on as fast as they are."""
        enters = np.minimum(np.maximum(rows.s, parts.low), parts.high)
        e = np.broadcast_to(0.5 * rows.v * rows.v, (len(_TAU), *enters.shape))
        way = cls(
            parts=parts,
            roller=roller,
            sign=sign,
            enters=enters,
            length=parts.high - enters if sign > 0 else enters - parts.low,
            q=1 - roller.height * parts.curvature,
            least=np.maximum(0.5 * _ABOVE * rows.stop * rows.stop, _LEAST),
            e=e.copy(),
            ahead=e[0],
        )
        way.look()
        return way

    def look(self) -> None:
        """Place the Gauss points by what e is at the ends of the parts."""
        begin, end = self.ends = np.sqrt(self.e[0]), np.sqrt(np.maximum(self.e[-1], self.least))
        both = begin + end
        grows = (end - begin) * _TAU
        share = begin + grows
        x = _TAU * (begin + share) / both
        self.e[1:-1] = np.square(share[1:-1])
        way = self.sign * self.length
        self.pace = (2 / both) * share[1:-1]
        along = (self.enters - self.parts.start) + way * x
        self.pull = self.roller.pull(self.parts.slope + self.parts.curvature * along, self.parts.curvature)
        self.pace *= way
        slowing = np.broadcast_to(self.pull.steadies(self.e), x.shape)[1:-1] * self.pace
        grown = np.exp(np.minimum(self._along(slowing), _MOST_GROWN))
        self.shrink = 1 / grown
        self.slowing = slowing * grown[:-1]

    def _along(self, rates: np.ndarray) -> np.ndarray:
        """Integrals of rates over τ, from the start of each way to the Gauss points and to the ends of the parts."""
        found = (_RULE.integrals @ rates.reshape(len(rates), -1)).reshape(-1, *self.length.shape)
        if len(self.length) > 1:
            found[:, 1:] += np.cumsum(found[-1, :-1], axis=0)
        return found

    def settle(self, turns: int) -> None:
        """Find e by putting it into its own integral; beyond where it falls to the least it means nothing.

        What a turn changes, changes the rates in turn: −λ for each unit with λ = −∂(de/ds)/∂e, so that by Lagrange's variation of
        constants a change ρ(s) comes to ρ − e^−Λ ∫ λ e^Λ ρ ds, Λ = ∫ λ ds.
        """
        begin, after = self.e[0], self.e[1:]
        start = begin[0].copy()
        kept = np.where(self.parts.turn > KINK, np.square(np.cos(self.parts.turn)), 1.0)
        joints = bool((kept < 1).any() or np.any(self.roller.soak))
        rides = self.length > 0  # a row that begins further on does not move here
        passed = np.cumsum(self.length, axis=0) > 0  # a joint that a row does not come to costs it nothing
        for _ in range(turns):
            change = start + self._along(self.pull.by_energy(self.e)[1:-1] * self.pace)
            if joints:
                takes = np.where(passed, self._after_joint(after[-1], kept) - after[-1], 0.0)
                change[:, 1:] += np.cumsum(takes, axis=0)[:-1]
            change -= after
            moved = (np.abs(change).max(axis=0) > _SETTLED * after.max(axis=(0, 1))) & rides
            change -= self.shrink * self._along(self.slowing * change[:-1])
            after += change
            slow = (after.min(axis=0) <= self.least) & rides
            np.maximum(after, self.least, out=after)
            self.ahead = np.where(passed, self._after_joint(after[-1], kept) if joints else after[-1], start)
            begin[1:] = self.ahead[:-1]
            if not (moved & ~np.logical_or.accumulate(slow, axis=0)).any():
                break
        self.settled = ~moved

    def _after_joint(self, arrives: np.ndarray, kept: np.ndarray) -> np.ndarray:
        """e behind the joints, from what it is before them; `kept` is the share that a kink up leaves."""
        soaked, sides = self.roller.soaked, (self.parts.before, self.parts.after)
        return (arrives - soaked(arrives, *sides)) * kept if self.sign > 0 else arrives / kept + soaked(self.ahead, *sides)

    def ride(self, rows: Rows, piece: np.ndarray, *, beyond: int, duration: float, kept: list[Stretch] | None) -> None:
        """Move rows as far as there is no doubt; who gets over all parts is on the piece `beyond` then."""
        parts, length = self.parts, self.length
        v = np.sqrt(2 * self.e)
        rates, load = self.pull.by_energy(self.e)[1:-1] * self.pace, self.pull.load(v)
        slowness = np.abs(self.pace) / v[1:-1]
        time = self.q * _over(slowness)
        good = self._good(v, load, rates, slowness)
        if duration < np.inf:
            good &= rows.time + np.cumsum(time, axis=0) <= duration
        ridden = np.logical_and.accumulate(good | (length <= 0), axis=0)
        count = ridden.sum(axis=0)
        ridden &= length > 0
        moved = ridden.any(axis=0)
        if not moved.any():
            return
        at, row = np.minimum(count, len(length) - 1), np.arange(len(count))
        over = count == len(length)
        arrives = parts.high[-1] if self.sign > 0 else parts.low[-1]
        leaves = self.e[-1, -1] if beyond < 0 else self.ahead[-1]
        np.copyto(rows.s, np.where(over, arrives, self.enters[at, row]), where=moved)
        np.copyto(rows.v, np.sqrt(2 * np.where(over, leaves, self.e[0, at, row])), where=moved)
        np.copyto(piece, np.where(over, beyond, parts.piece[at, 0]), where=moved)
        if beyond < 0:
            rows.reached |= moved & over
        rows.time += np.where(ridden, time, 0.0).sum(axis=0)
        self._feel(rows, load, ridden, over if beyond < 0 else np.zeros(len(over), bool))
        if kept is not None:
            which = ridden.nonzero()
            way = self.sign * length
            inside = _RULE.powers @ rates[:, *which]
            inside[0] += self.e[0][which]
            ends = np.stack([end[which] for end in self.ends])
            kept.append(Stretch(rows.number[which[1]], self.enters[which], way[which], inside, ends))

    def _good(self, v: np.ndarray, load: np.ndarray, rates: np.ndarray, slowness: np.ndarray) -> np.ndarray:
        """Whether each row rides each part smoothly, of bool."""
        good = self.settled & (self.e[1:].min(axis=0) > self.least) & (v[-1] < _FASTEST)
        good &= _missed(rates, 3) <= 2 * SMOOTH * self.e[-1]
        good &= _missed(slowness, 3) <= SMOOTH * slowness.max(axis=0)
        # the time of a slow beginning takes e at the points, which is not as exact as at the end
        off = _missed(rates, 1) / (2 * len(rates) + 1)
        good &= off * _over(slowness / self.e[1:-1]) <= _ON_TIME * _over(slowness)
        if (self.parts.curvature < 0).any():
            good &= load.min(axis=0) > LIGHT
        blown = self.roller.tailwind > 0
        if np.any(blown):
            against = v - self.pull.wind
            good &= np.logical_not(blown) | (against.min(axis=0) > BEND) | (against.max(axis=0) < -BEND)
        return good

    def _feel(self, rows: Rows, load: np.ndarray, ridden: np.ndarray, ends: np.ndarray) -> None:
        """Note the greatest load, and the first kink down that was ridden over; rows that end do so before the last joint."""
        most = load.max(axis=0)
        hollow = np.nonzero(self.parts.curvature[:, 0] > 0)[0]
        if len(hollow):
            flat = load[:, hollow].reshape(len(load), -1)
            most[hollow] = _RULE.greatest(flat, most[hollow].ravel()).reshape(len(hollow), -1)
        np.maximum(rows.peak, np.where(ridden, most, 0.0).max(axis=0) / self.roller.gravity, out=rows.peak)
        kinks = ridden & (self.parts.turn < -KINK)
        kinks[-1] &= ~ends
        first = np.argmax(kinks, axis=0)
        down = kinks.any(axis=0) & np.isnan(rows.dropped)
        joint = self.parts.high if self.sign > 0 else self.parts.low
        np.copyto(rows.dropped, joint[first, 0], where=down)


def _over(rates: np.ndarray) -> np.ndarray:
    """Integrals of rates at Gauss points over the parts."""
    return (_RULE.whole @ rates.reshape(len(rates), -1)).reshape(rates.shape[1:])


def _missed(values: np.ndarray, falls: int) -> np.ndarray:
    """About the Legendre term of values at Gauss points that stands so many falls behind the last ones."""
    last = np.abs(_RULE.tail @ values.reshape(len(values), -1)).reshape(4, *values.shape[1:])
    early, late = np.maximum(last[0], last[1]), np.maximum(last[2], last[3])
    return late * (late / np.maximum(early, 1e-300)) ** falls
