"""One step of many rows along one piece of ground, by Gauss collocation in time.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
s        distance of the wheels along the ground               m
y        distance ridden since the start of the step           m
v        speed of the centre of mass                           m/s
T        time that the step takes                              s
x        share of that time, from 0 to 1                       –
q        1 − h_c κ                                             –
F        dv/dt = (de/ds)/q, turned round when followed back    m/s²
=======  ====================================================  =========

    dv/dx = T F(v, y),   dy/dx = T v/q

Over time the ride is smooth also where v comes from 0 or goes to it, and in any wind. At the Gauss points (`collocation`) F is taken for
the polynomial through them; integrals of it are fixed matrices, and the order at the end is twice the number of points.
A step ends at a place, y(1) given, at a speed, v(1) given, or after a time, T given: T is found along with the stages, by
Newton's method, its inverse by the first terms of a series. How smooth the step was is seen in the last Legendre
terms of F.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.polynomial import legendre, polynomial

from jumpcalc.physics.collocation import Gauss
from jumpcalc.physics.roller import Pull, Roller

__all__ = ["PLACE", "SPEED", "TIME", "USUAL", "Step", "speed_in", "take_step"]

PLACE, SPEED, TIME = range(3)
"""What ends a step."""

_MOST_ITERATIONS = 10
_MOST_TURNS = 4  # to the place of a greatest value, from the greatest of its samples
_CLOSE = 1e-12  # of v and T, what an iteration may leave
_CREEP = 1e-2  # m/s, slower speeds need not be known to a share of themselves


class _Rule:
    """Gauss collocation of so many stages over x: where they are, and the matrices that integrate what is known there."""

    def __init__(self, stages: int) -> None:
        gauss = Gauss(stages)
        once = gauss.once / 2  # x runs over 1 where σ runs over 2
        places = np.append(gauss.nodes, 1.0)
        last = np.arange(stages - 4, stages)
        self.shares = (places + 1) / 2
        """x at the stages, and at the end."""
        self.x = self.shares[:, None]
        self.half_square = 0.5 * self.x**2
        self.integrals = polynomial.polyvander(places, stages) @ once
        """Values at the stages -> integrals over x from 0 to each stage and to the end."""
        self.inner, self.whole = self.integrals[:-1], self.integrals[-1]
        self.powers = once
        """Values at the stages -> coefficients of their integral in powers of 2 x − 1."""
        self.tail = (last[:, None] + 0.5) * legendre.legvander(gauss.nodes, stages - 1)[:, last].T * gauss.weights
        """Values at the stages -> their last four Legendre terms."""
        self.through = np.linalg.inv(polynomial.polyvander(np.append(-1.0, places), stages + 1))
        """Values at the start, the stages and the end -> coefficients in powers of 2 x − 1."""

    def greatest(self, values: np.ndarray, most: np.ndarray) -> np.ndarray:
        """Greatest value of columns of values at the start, the stages and the end, the greatest of which is `most`."""
        at = np.argmax(values, axis=0)
        rows = np.nonzero((at > 0) & (at < len(values) - 1))[0]
        if not len(rows):
            return most
        x = np.append(-1.0, 2 * self.shares - 1)
        low, place, high = (x[at[rows] + side] for side in (-1, 0, 1))
        value = self.through @ values[:, rows]
        rate, bend = polynomial.polyder(value), polynomial.polyder(value, 2)
        for _ in range(_MOST_TURNS):
            bent = polynomial.polyval(place, bend, tensor=False)
            move = np.divide(polynomial.polyval(place, rate, tensor=False), bent, out=np.zeros(len(rows)), where=bent < 0)
            place = np.clip(place - move, low, high)
        most = most.copy()
        most[rows] = np.maximum(most[rows], polynomial.polyval(place, value, tensor=False))
        return most


_EVEN, USUAL = _Rule(5), _Rule(8)
_EVEN_TURN = 0.25  # rad, of steps for which the smaller rule will do
_EVEN_CHANGE = 0.2  # of v, in them, at the mean


@dataclass(slots=True)
class Step:
    """What a step gave: rows along the last axis; stages, and the end as the last of them, along the first of two.

    `time` is T, `speeds` and `places` are v and y, `rates` F at the stages alone, `pull` what slows there; `uneven` is
    about the share of v that the step misses, `rule` says where the stages are.
    """

    time: np.ndarray
    speeds: np.ndarray
    places: np.ndarray
    rates: np.ndarray
    pull: Pull
    uneven: np.ndarray
    rule: _Rule

    def coefficients(self, v: np.ndarray) -> np.ndarray:
        """Of v in powers of 2 x − 1, from v at the start."""
        found = self.rule.powers @ (self.time * self.rates)
        found[0] += v
        return found


def speed_in(coefficients: np.ndarray, share: np.ndarray) -> np.ndarray:
    """v [m/s] at shares of the way of steps, one for each row.

    Parameters
    ----------
    coefficients : numpy.ndarray
        Of v in powers of 2 x − 1, shape (terms, n).
    share : numpy.ndarray
        Share of each step's way, 0 to 1, shape (n,).

    Returns
    -------
    numpy.ndarray
        Shape (n,).
    """
    way = polynomial.polyint(coefficients, lbnd=-1)
    whole = polynomial.polyval(1.0, way)
    v0, v1 = (np.maximum(polynomial.polyval(end, coefficients), 0.0) for end in (-1.0, 1.0))
    share = np.minimum(np.maximum(share, 0.0), 1.0)
    # as if the acceleration were constant, then by Newton's method between brackets
    root = np.sqrt(v0 * v0 + (v1 * v1 - v0 * v0) * share)
    x = share * (v0 + v1) / np.maximum(v0 + root, 1e-150)
    low, high = np.zeros(len(share)), np.ones(len(share))
    for _ in range(60):
        over = polynomial.polyval(2 * x - 1, way, tensor=False) / whole - share
        low, high = np.where(over < 0, x, low), np.where(over > 0, x, high)
        v = polynomial.polyval(2 * x - 1, coefficients, tensor=False)
        move = np.divide(over * whole, 2 * v, out=np.zeros_like(v), where=v > 0)
        ahead = x - move
        ahead = np.where((ahead >= low) & (ahead <= high), ahead, 0.5 * (low + high))
        if (np.abs(ahead - x) <= 1e-13).all():
            break
        x = ahead
    return np.maximum(polynomial.polyval(2 * ahead - 1, coefficients, tensor=False), 0.0)


def take_step(
    roller: Roller,
    here: Pull,
    *,
    slope: np.ndarray,
    curvature: np.ndarray,
    sign: float,
    v: np.ndarray,
    rates: tuple[np.ndarray, np.ndarray],
    time: np.ndarray,
    stiff: bool,
    kind: np.ndarray,
    goals: tuple[np.ndarray, np.ndarray, np.ndarray],
) -> Step:
    """A step of each row along one piece.

    Parameters
    ----------
    roller : Roller
        What rolls; entries scalar or of shape (n,).
    here : Pull
        What slows at the start.
    slope : float or numpy.ndarray
        At the start [rad].
    curvature : float or numpy.ndarray
        Of the piece [1/m]; 0.0 where all rows are on straights.
    sign : float
        1 along the ground, -1 back against it.
    v : numpy.ndarray
        Speed at the start [m/s], shape (n,).
    rates : tuple of numpy.ndarray
        F at the start and about at the end [m/s²].
    time : numpy.ndarray
        T, about [s].
    stiff : bool
        Whether air steadies the speed of some row within the step.
    kind : numpy.ndarray
        What ends each row's step: `PLACE`, `SPEED` or `TIME`.
    goals : tuple of numpy.ndarray
        For each of these, the distance [m], the speed [m/s] and the time [s].

    Returns
    -------
    Step
        As it is, be it smooth or not.
    """
    first, last = rates
    distance, goal, span = goals
    q = 1 - roller.height * curvature
    turned = sign / q
    change = time * np.abs(first + last)
    turning = np.ndim(curvature) > 0
    even = not stiff and (not turning or (distance * np.abs(curvature)).max() < _EVEN_TURN) and change.sum() < 2 * _EVEN_CHANGE * v.sum()
    rule = _EVEN if even else USUAL
    integrals, whole = rule.integrals, rule.whole
    speeds = v + time * (first * rule.x + (last - first) * rule.half_square)
    by_place, by_speed = kind == PLACE, kind == SPEED
    only_place = bool(by_place.all())
    pull, missed, steeper = here, None, None
    guessed = time
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):  # rows that do not find their end
        for iteration in range(_MOST_ITERATIONS):
            stages, pace = speeds[:-1], time / q
            if turning:
                places = pace * (integrals @ stages)
                pull = roller.pull(slope + (sign * curvature) * places[:-1], curvature)
                way = places[-1]
            else:
                way = pace * (whole @ stages)
            # the first derivatives are good enough for most of the way
            anew = iteration % 4 == 0
            rates, changed = pull.with_change(stages, anew)
            if turning or sign < 0:
                rates *= turned
            adds = integrals @ rates
            # by how much the speeds lack, and what a longer time adds to them
            lacks = time * adds
            lacks += v
            lacks -= speeds
            if anew:
                change = changed * (time * turned)
                if turning:
                    # the slope changes on the way
                    steeper = (time * (-curvature / pull.inertia)) * pull.weight
                    more = adds + (integrals @ (steeper * places[:-1])) / time
                    steeper *= pace
                else:
                    more = adds
                inverse = _inverse(rule, change, steeper) if stiff else None
                if stiff:
                    longer_adds = _resolved(rule, more, change, steeper, inverse)
                else:
                    longer_adds = more + _after(rule, adds[:-1], change, steeper)
                per_time = pace * (whole @ longer_adds[:-1]) + way / time
            lacks = _resolved(rule, lacks, change, steeper, inverse)
            ahead = pace * (whole @ lacks[:-1]) + way
            if only_place:
                longer = (distance - ahead) / per_time
            else:
                longer = span - time
                np.divide(distance - ahead, per_time, out=longer, where=by_place)
                np.divide(goal - speeds[-1] - lacks[-1], longer_adds[-1], out=longer, where=by_speed)
            longer = np.minimum(np.maximum(longer, -0.6 * time), 1.5 * time)
            lacks += longer_adds * longer
            speeds = speeds + lacks
            fastest = speeds.max(axis=0)
            before, missed = missed, np.maximum(np.abs(lacks).max(axis=0) / np.maximum(fastest, _CREEP), np.abs(longer) / time)
            time = time + longer
            # the next move will be as much smaller again; few rows are not waited for
            found = missed <= _CLOSE if before is None else missed * missed <= _CLOSE * np.maximum(before, _CLOSE)
            if found.all() or (iteration > 2 and found.sum() > 0.9 * len(found)):
                break
        rates += change * (lacks[:-1] / time)
        last = np.abs(rule.tail @ rates)
        early, late = np.maximum(last[0], last[1]), np.maximum(last[2], last[3])
        fall = late / np.maximum(early, 1e-300)
        # about the first term that the integral misses, from the pace at which the last four fall
        missed = np.abs(time) * (late * fall * fall * fall) / np.maximum(fastest, _CREEP)
        uneven = np.where(found & (time > 0) & (fastest > 0), missed, np.inf)
        if not found.all():
            speeds, time = np.where(found, speeds, v), np.where(found, time, guessed)
        places = (time / q) * (integrals @ speeds[:-1])
    return Step(
        time=time,
        speeds=speeds,
        places=places,
        rates=rates,
        pull=pull,
        uneven=uneven,
        rule=rule,
    )


def _after(rule: _Rule, stages: np.ndarray, change: np.ndarray, steeper: np.ndarray | None) -> np.ndarray:
    """What moves of the stages' speeds make of the speeds after them; where the ground turns, also by the way ridden."""
    if steeper is None:
        return rule.integrals @ (change * stages)
    shift = rule.inner @ stages
    shift *= steeper
    shift += change * stages
    return rule.integrals @ shift


def _resolved(
    rule: _Rule, sides: np.ndarray, change: np.ndarray, steeper: np.ndarray | None, inverse: np.ndarray | None
) -> np.ndarray:
    """By how much the speeds have to move, so that what they lack is there: three terms of a series, or the inverse."""
    if inverse is not None:
        return sides + _after(rule, np.einsum("rij,jr->ir", inverse, sides[:-1]), change, steeper)
    once = _after(rule, sides[:-1], change, steeper)
    once += sides
    return sides + _after(rule, once[:-1], change, steeper)


def _inverse(rule: _Rule, change: np.ndarray, steeper: np.ndarray | None) -> np.ndarray:
    """For each row, the inverse of what Newton's method resolves: where air steadies the speed within the step, no series is."""
    matrix = rule.inner * change.T[:, None, :]
    if steeper is not None:
        matrix = matrix + (rule.inner * steeper.T[:, None, :]) @ rule.inner
    return np.linalg.inv(np.eye(len(rule.inner)) - matrix)
