"""Many logs judge the model: what lines, riders and grounds say together, without anybody's name.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
m_i s_i  what one log says of a value, and its doubt           of it
μ τ      mean over all, how far they differ besides doubt      of it
=======  ====================================================  =========

m_i ~ N(μ, τ² + s_i²) with τ at its most likely value; priors are taken out of m_i and s_i first, so that they are counted nowhere.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import minimize_scalar

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.assume import complete
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.field.fit import Fit
from jumpcalc.plan.studies.field.learn import ENOUGH, fitted
from jumpcalc.plan.studies.field.readings import NINETY
from jumpcalc.plan.studies.field.scatter import evidence
from jumpcalc.plan.studies.field.tries import Try
from jumpcalc.plan.studies.field.unknowns import rolling_of

__all__ = ["SEVERAL", "Pool", "Pooled", "Together", "pool", "together"]

SEVERAL = 3
"""Logs below which nothing is said of how places and riders differ, nor of which path is the better one."""

_MOST_DIFFERENT = 5.0  # times the largest doubt
_TELLS = 0.98  # share of a prior's doubt above which a log says nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class Pooled:
    """One rider's log on one line: nothing that names either.

    `spring` and `rolling` are what the log itself says, with standard deviations, None where it says nothing; `spring_scatter` [m/s] and
    `speed_scatter`, a share, from try to try. `held` of `checked` tries lay within the 90 % interval that the others give. `for_bike` is
    the logarithm of how many times likelier the tries are if the bike flies than if the textbook's point does.
    """

    surface: str | None
    bike: str
    shape: str
    lip_angle: float
    gap: float
    tries: int
    not_believed: int
    spring: tuple[float, float] | None
    rolling: tuple[float, float] | None
    spring_scatter: float
    speed_scatter: float
    held: int
    checked: int
    for_bike: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """A value that many logs tell: its mean with its standard deviation, and how far single ones differ besides their doubt.

    `differ` is None with fewer than `SEVERAL` logs.
    """

    count: int
    mean: float
    mean_sd: float
    differ: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Pool:
    """What many logs say together. `rolling` is by surface; `left` says which files were not used, by their place, and why."""

    logs: tuple[Pooled, ...]
    spring: Together | None
    spring_scatter: float | None
    speed_scatter: float | None
    rolling: tuple[tuple[str, Together], ...]
    held: int
    checked: int
    for_bike: float
    left: tuple[tuple[int, str], ...]


def pool(lines: Sequence[tuple[Line, Sequence[Try]]], *, progress: Callable[[int, int], None] | None = None) -> Pool:
    """What the logs of many lines say together.

    Parameters
    ----------
    lines : sequence of (Line, sequence of Try)
        Lines as measured, each with its log; every rider of a log counts apart.
    progress : callable, optional
        Told how many lines are done, of how many.

    Returns
    -------
    Pool
        Of riders with `ENOUGH` tries or more.
    """
    logs, left = [], []
    for number, (line, tries) in enumerate(lines):
        for rider in dict.fromkeys(one.rider for one in tries):
            own = [one for one in tries if one.rider == rider]
            if len(own) < ENOUGH:
                left.append((number, f"{len(own)} tries of one rider; {ENOUGH} or more are needed"))
                continue
            try:
                logs.append(_pooled(line, own))
            except InputError as error:
                left.append((number, str(error)))
        if progress is not None:
            progress(number + 1, len(lines))
    grounds = sorted({one.surface for one in logs if one.surface is not None and one.rolling is not None})
    by_ground = ((ground, together([one.rolling for one in logs if one.surface == ground and one.rolling])) for ground in grounds)
    return Pool(
        logs=tuple(logs),
        spring=together([one.spring for one in logs if one.spring is not None]),
        spring_scatter=float(np.median([one.spring_scatter for one in logs])) if logs else None,
        speed_scatter=float(np.median([one.speed_scatter for one in logs])) if logs else None,
        rolling=tuple((ground, found) for ground, found in by_ground if found is not None),
        held=sum(one.held for one in logs),
        checked=sum(one.checked for one in logs),
        for_bike=float(sum(one.for_bike for one in logs)),
        left=tuple(left),
    )


def _pooled(line: Line, tries: Sequence[Try]) -> Pooled:
    """One rider's log, fitted as a bike and as a point."""
    by_path = {path: fitted(replace(line, rider=replace(line.rider, path=path)), tries)[0] for path in ("bike", "point")}
    found = by_path["bike"]
    full, jump = complete(line)[0], line.jumps[0]
    base = rolling_of(full, None)
    factor = _itself(found, "rolling", of=full.run_in.surface or "")
    told = np.array([bool(np.any(found.every.of == number)) for number in range(len(found.seen))])
    checked = told & found.trusted
    return Pooled(
        surface=full.run_in.surface if full.run_in.rolling_resistance is None else None,
        bike=full.bike.kind,
        shape=jump.shape or "gap",
        lip_angle=jump.lip.angle,
        gap=jump.landing.gap,
        tries=len(found.seen),
        not_believed=int((~found.trusted).sum()),
        spring=_itself(found, "spring"),
        rolling=None if factor is None else (base * math.exp(factor[0]), base * math.exp(factor[0]) * factor[1]),
        spring_scatter=float(found.scatter[0]),
        speed_scatter=float(found.scatter[1]),
        held=int(np.sum(found.far[checked] <= NINETY)),
        checked=int(checked.sum()),
        for_bike=_likely(found) - _likely(by_path["point"]),
    )


def _likely(found: Fit) -> float:
    """How likely all that was seen is in a fit's world; blunders of either world count in both."""
    return evidence(found.every, found.scatter, found.after.mean)


def _itself(found: Fit, name: str, of: str = "") -> tuple[float, float] | None:
    """What the tries say of an unknown without its prior: value and standard deviation, None where they say nothing."""
    place = next((i for i, one in enumerate(found.world.unknowns) if (one.name, one.of) == (name, of)), None)
    if place is None or (share := math.sqrt(found.after.covariance[place, place])) > _TELLS:
        return None
    sd = found.world.unknowns[place].sd
    precision = 1 / share**2 - 1
    return float(found.after.mean[place] / share**2 / precision * sd), float(sd / math.sqrt(precision))


def together(values: Sequence[tuple[float, float]]) -> Together | None:
    """Values that belong together, each with its own doubt.

    Parameters
    ----------
    values : sequence of (float, float)
        Value and standard deviation.

    Returns
    -------
    Together or None
        None without values.
    """
    if not values:
        return None
    m, s = np.array(values).T

    def mean(differ: float) -> tuple[float, np.ndarray]:
        weight = 1 / (s**2 + differ**2)
        return float(np.sum(weight * m) / np.sum(weight)), weight

    def unlikely(differ: float) -> float:
        middle, weight = mean(differ)
        return float(np.sum(weight * (m - middle) ** 2) - np.sum(np.log(weight)) + np.log(np.sum(weight)))

    differ = 0.0
    if len(m) >= SEVERAL:
        found = minimize_scalar(unlikely, bounds=(0.0, _MOST_DIFFERENT * float(s.max()) + float(np.ptp(m))), method="bounded")
        differ = float(found.x) if unlikely(float(found.x)) < unlikely(0.0) else 0.0
    middle, weight = mean(differ)
    return Together(count=len(m), mean=middle, mean_sd=float(1 / math.sqrt(np.sum(weight))), differ=differ if len(m) >= SEVERAL else None)
