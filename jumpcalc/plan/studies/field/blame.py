"""What would explain that tries landed elsewhere than expected: each cause by itself, ranked by how well it goes with what was seen.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
y        what was seen less what is expected                   m/s, m, s
g        how what is seen moves with the cause                 of y each
a        how much of the cause                                 of it
s        how much of it is usual                               of it
S        covariance of what is seen                            of y²
=======  ====================================================  =========

a = gᵀS⁻¹y/(gᵀS⁻¹g + 1/s²) is the likeliest amount; what is left, (y − g a)ᵀS⁻¹(y − g a) + (a/s)², says how well the cause explains.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.plan.studies.field.fit import Fit, Swings, swings
from jumpcalc.plan.studies.field.scatter import Linear, joined, linear_of
from jumpcalc.plan.studies.field.seen import FOOT, PLACE

__all__ = ["Cause", "causes_of", "ways_to_differ"]

_USUAL = {
    "mark": 2.0, "shove": 1.0, "brake": 0.05, "wind": 1.5, "spring": 0.45, "reading": 0.6, "tape": 0.6,
    "rolling": 0.5, "lip": math.radians(2), "gap": 0.4, "slope": 0.08,
}  # fmt: skip
"""How much of a cause is usual, in its unit: m, m/s, share of speed, m/s, m/s, m/s, m; share, rad, m, share. Judgements."""

_ONE_WAY = {"shove": 1, "brake": 1}
_MOST = 3.0  # times what is usual, beyond which a cause is none that anyone would find
_STEP = 0.3
_LEAST = 0.25  # share of what was unexplained that a cause must explain


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """A cause by itself: `amount` in SI (a share for brake, rolling and slope), and the share of what is unexplained that it explains.

    Names: ``"mark"`` the start lay further up by the amount, ``"shove"`` speed at the start, ``"brake"`` share of speed lost before the
    foot, ``"wind"`` wind from behind beyond what was seen, ``"spring"`` across the lip, ``"reading"`` the speed read too high by it,
    ``"tape"`` the place taped too far down by it, ``"rolling"`` share of more rolling resistance, ``"lip"`` a steeper lip, ``"gap"`` a
    longer gap, ``"slope"`` a steeper run-in.
    """

    name: str
    amount: float
    explains: float


Ways = tuple[Swings, dict[str, np.ndarray], Linear]


def causes_of(
    found: Fit, rows: Sequence[int], ways: Ways, *, among: Sequence[str] | None = None, toward: float = 0.0
) -> tuple[Cause, ...]:
    """What would explain some tries, each cause by itself, the best first.

    Parameters
    ----------
    found : Fit
        The fit.
    rows : sequence of int
        Which of its tries; a cause has the same amount in all of them.
    ways : tuple
        What is expected of the tries and how it moves, from `ways_to_differ`.
    among : sequence of str, optional
        The causes that are asked about; those of a single try when not given.
    toward : float
        Which way landings are off: positive further, negative shorter. A cause that moves them the other way explains something else
        that was seen, and is left out; 0 takes either.

    Returns
    -------
    tuple of Cause
        Those that explain a good part.
    """
    names = among or ("mark", "shove", "brake", "wind", "spring", "reading", "tape")
    now, moves, numbers = ways
    place = np.isin(numbers.of, rows)
    own, columns = numbers.some(place), np.nonzero(np.isfinite(found.seen.value))[1][place]
    own, columns = _with_outcomes(now, own, columns, rows)
    y = own.y
    if not len(y):
        return ()
    inverse = np.linalg.inv(own.covariance(found.scatter))
    unexplained = float(y @ inverse @ y)
    causes = []
    for name in names:
        if name not in moves:
            continue
        g = moves[name][own.of, columns]
        amount = float(g @ inverse @ y / (g @ inverse @ g + 1 / _USUAL[name] ** 2))
        if amount * _ONE_WAY.get(name, 0) < 0 or not 0 < abs(amount) <= _MOST * _USUAL[name]:
            continue
        if toward and amount * toward * float(np.sum(g[columns == PLACE])) <= 0:
            continue
        left = y - g * amount
        explains = 1 - (float(left @ inverse @ left) + (amount / _USUAL[name]) ** 2) / max(unexplained, 1e-9)
        if explains > _LEAST:
            # the unknown behind rolling resistance is its logarithm
            causes.append(Cause(name=name, amount=math.expm1(amount) if name == "rolling" else amount, explains=explains))
    return tuple(sorted(causes, key=lambda cause: -cause.explains))


def _with_outcomes(now: Swings, own: Linear, columns: np.ndarray, rows: Sequence[int]) -> tuple[Linear, np.ndarray]:
    """The same with the nearest bound for each try of which only the outcome was told and is another than expected."""
    here = now.here
    off = np.where(here.edge < here.low, here.low, np.where(here.edge > here.high, here.high, np.nan)) - here.edge
    more = np.nonzero(np.isfinite(off) & np.isin(np.arange(len(off)), rows))[0]
    none = np.full(len(more), np.nan)
    extra = Linear(more, off[more], np.full(len(more), 0.02), now.jacobian[more, PLACE], now.ways[more, PLACE], none)
    return joined(own, extra), np.concatenate([columns, np.full(len(more), PLACE)])


def ways_to_differ(found: Fit, values: np.ndarray) -> Ways:
    """What is expected of tries, and how it moves with each cause.

    Parameters
    ----------
    found : Fit
        The fit.
    values : numpy.ndarray
        The unknowns, shape (p,).

    Returns
    -------
    now : Swings
        What is expected.
    moves : dict
        By cause, for one unit of it, shape (n, 3) each. What a speed check would have shown moves with the speed at the foot.
    numbers : Linear
        What was seen, about there.
    """
    world, begun, marked = found.world, found.begun, found.seen.marked
    now = swings(world, begun, marked, values)
    moves = {"spring": now.ways[:, :, 0], "brake": -now.ways[:, :, 1]}
    for cause, changed in (("mark", {"mark": begun.mark + _STEP}), ("shove", {"speed": begun.speed + _STEP})):
        moves[cause] = (world.expected(replace(begun, **changed), marked, values).row(0).seen - now.here.seen) / _STEP
    scale = {one.name: one.sd for one in world.unknowns}
    for name in ("rolling", "lip", "slope", "wind"):
        if name in scale:
            which = [i for i, one in enumerate(world.unknowns) if one.name == name]
            moves[name] = now.jacobian[:, :, which].sum(axis=2) / scale[name]
    for name in ("reading", "tape", "gap"):
        moves[name] = np.zeros(now.here.seen.shape)
    moves["reading"][:, FOOT] = 1.0
    moves["tape"][:, PLACE] = now.here.each
    angle = np.clip(now.here.angle, 0.12, 1.2)
    moves["gap"][:, PLACE] = -np.sin(angle + world.line.jumps[0].landing.angle) / np.sin(angle) * now.here.each
    return now, moves, linear_of(found.seen, now.here, now.jacobian, now.ways)
