"""Many tries of one line at once: each with a speed, a lip, a spring, a wind, a drag area and a pitch of its own.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
n        number of tries                                       –
j        number of jumps                                       –
=======  ====================================================  =========
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.physics.chart import charted
from jumpcalc.plan.ask.landings import Landings, land, set_down
from jumpcalc.plan.ask.lip import climb
from jumpcalc.plan.ask.ride import roll_on
from jumpcalc.plan.ask.run_in import RunIn
from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.studies.spread import Spread
from jumpcalc.plan.terrain import Prepared

__all__ = ["ERRORS", "Begin", "Tries", "Tried", "normals", "size", "try_all"]

ERRORS = ("speed", "angle", "spring", "tailwind", "drag", "pitch")
"""What differs from try to try; angle, spring and pitch anew at every jump."""

_COMMON = ("speed", "tailwind", "drag")
_OWN = ("angle", "spring", "pitch")
_SAME_HIT = 1e-9  # m
_FAR = 6.0  # standard deviations: no try lies further off


@dataclass(frozen=True, slots=True, kw_only=True)
class Begin:
    """How tries begin: from a start s [m] on a run-in, or with a speed at the foot of the first lip [m/s] where none is measured."""

    run_in: RunIn | None = None
    start: float | None = None
    foot_speed: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Tries:
    """What differs in n tries, as multiples of the standard deviations: `common` of shape (3, n), `own` of shape (j, 3, n)."""

    common: np.ndarray
    own: np.ndarray

    def __len__(self) -> int:
        return self.common.shape[1]

    def rows(self, which: slice) -> Tries:
        """The chosen tries."""
        return Tries(self.common[:, which], self.own[:, :, which])

    def changed(self, error: str, change: Tries | float) -> Tries:
        """The same with one error taken from other tries, or so many times as large."""
        common, own = self.common.copy(), self.own.copy()
        if error in _COMMON:
            at = _COMMON.index(error)
            common[at] = change.common[at] if isinstance(change, Tries) else change * common[at]
        else:
            at = _OWN.index(error)
            own[:, at] = change.own[:, at] if isinstance(change, Tries) else change * own[:, at]
        return Tries(common, own)


@dataclass(frozen=True, slots=True, eq=False)
class Tried:
    """What became of tries at one jump: the numbers of those that came to its lip, and their landings in the same order.

    `good` says of them whether they landed clean and no harder than is accepted.
    """

    number: np.ndarray
    landed: Landings
    good: np.ndarray


def size(jumps: int) -> int:
    """How many normal numbers a try of so many jumps takes.

    Parameters
    ----------
    jumps : int
        j.

    Returns
    -------
    int
        Three, and three for every jump.
    """
    return len(_COMMON) + len(_OWN) * jumps


def normals(uniform: np.ndarray, jumps: int) -> Tries:
    """Tries from numbers between 0 and 1.

    Parameters
    ----------
    uniform : numpy.ndarray
        Evenly spread, shape (n, size(jumps)).
    jumps : int
        j.

    Returns
    -------
    Tries
        n tries.
    """
    from scipy.special import ndtri

    drawn = np.clip(ndtri(np.ascontiguousarray(uniform.T)), -_FAR, _FAR)
    return Tries(drawn[: len(_COMMON)], drawn[len(_COMMON) :].reshape(jumps, len(_OWN), -1))


def try_all(jumps: Sequence[Prepared], begin: Begin, tries: Tries, spread: Spread) -> tuple[Tried, ...]:
    """Tries ridden through run-in, lip, flight and landing, jump after jump.

    Parameters
    ----------
    jumps : sequence of Prepared
        The line, with the ground between its jumps measured.
    begin : Begin
        Where from.
    tries : Tries
        What differs.
    spread : Spread
        How much.

    Returns
    -------
    tuple of Tried
        One for each jump that anyone comes to. Who did not land well on one does not come to the next.
    """
    air = jumps[0].conditions
    tailwind = air.tailwind + spread.tailwind * tries.common[1]
    drag = air.drag * np.exp(spread.drag * tries.common[2])
    foot = _foot(begin, tailwind, drag) * (1 + spread.speed * tries.common[0])
    number = np.nonzero(foot > 0)[0]
    edge = charted(lambda v, w, k: _edge(jumps[0], v, w, k), [foot[number], tailwind[number], drag[number]], places=(10, 4, 4))
    found = []
    for index, one in enumerate(jumps):
        there = edge > 0
        number, speed = number[there], np.sqrt(edge[there])
        if not len(number):
            break
        angle, spring, pitch = tries.own[index][:, number]
        landed = land(
            one,
            speed,
            angle=one.terrain.angle + spread.angle * angle,
            spring=spread.spring * spring,  # about the line's own mean, which `land` adds
            drag=drag[number],
            tailwind=tailwind[number],
            apex=False,
        )
        pitched = set_down(one, landed, spread.pitch * pitch)
        good = pitched.is_(Outcome.CLEAN) & (landed.fall_height <= one.equivalent_fall + _SAME_HIT)
        found.append(Tried(number, pitched, good))
        if index < len(jumps) - 1:
            edge = _onward(one, jumps[index + 1], landed, good, tailwind[number], drag[number])
            number = number[good]
    return tuple(found)


def _foot(begin: Begin, tailwind: np.ndarray, drag: np.ndarray) -> np.ndarray:
    """Speeds at the foot of the first lip [m/s] without the error of speed; NaN where the rider halts."""
    if begin.run_in is None:
        return np.full(tailwind.shape, begin.foot_speed)
    ridden, start = begin.run_in, begin.start

    def rolled(wind: np.ndarray, drag: np.ndarray) -> np.ndarray:
        return ridden.forward(np.full(wind.shape, start), ridden.roller(tailwind=wind, drag=drag))[0]

    return charted(rolled, [tailwind, drag], places=(6, 5))


def _edge(one: Prepared, foot: np.ndarray, tailwind: np.ndarray, drag: np.ndarray) -> np.ndarray:
    """Squares of the speeds at the edge [m²/s²], which are smooth also where one hardly gets there."""
    return np.square(climb(one, foot, replace(one.up_the_lip, tailwind=tailwind, drag=drag))[0])


def _onward(
    here: Prepared, following: Prepared, landed: Landings, good: np.ndarray, tailwind: np.ndarray, drag: np.ndarray
) -> np.ndarray:
    """Squares of the speeds at the next edge of the good landings [m²/s²]; NaN where it is not reached."""

    def rolled(along: np.ndarray, speed: np.ndarray, wind: np.ndarray, drag: np.ndarray) -> np.ndarray:
        return np.square(roll_on(here, following, along, speed, tailwind=wind, drag=drag)[1])

    # the bike is on the ground with both wheels when it has landed, however it was pitched
    variables = landed.along[good], landed.onward[good], tailwind[good], drag[good]
    return charted(rolled, variables, places=(6, 9, 4, 4))
