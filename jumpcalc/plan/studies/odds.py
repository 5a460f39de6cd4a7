"""How often each landing comes about, given how far a rider's tries lie apart.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
S_T      total-order index of an error                         –
=======  ====================================================  =========

Tries are scrambled Sobol' points, several times scrambled afresh: how far the scramblings lie apart is the sampling error.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.plan.answer import Answer
from jumpcalc.plan.ask.run_in import run_in_of
from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.studies.many import ERRORS, Begin, Tried, Tries, normals, size, try_all
from jumpcalc.plan.studies.spread import Spread, Taken, spread_of
from jumpcalc.plan.terrain import Prepared, prepare
from jumpcalc.plan.vary import vary

__all__ = ["LONGER", "ROWS", "JumpOdds", "Matters", "Odds", "Share", "begin_at", "drawn", "odds"]

ROWS = 131072
LONGER = 1.0
"""By how much longer a landing is tried [m]."""

_SCRAMBLINGS = 16
_FEW = 8192  # tries with which the errors are told apart
_BIN = 0.25  # m
_QUANTILES = (0.05, 0.25, 0.5, 0.75, 0.95)


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """A share of tries and the standard deviation of its sampling."""

    value: float
    error: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Matters:
    """What one error does.

    `total` is its total-order index S_T on where the first jump is landed: the part of the variance that would be left if all
    else were known. `halved` is the share of tries in which all goes well with half of it, `gain` how much more that is.
    """

    error: str
    total: float
    halved: float
    gain: float


@dataclass(frozen=True, slots=True, kw_only=True)
class JumpOdds:
    """One jump: shares of the tries that come to its lip.

    `outcomes` go from short to long; `unknown` counts as none of them. `hard` landed clean but harder than is accepted,
    `good` clean and no harder. `fall` are equivalent fall heights [m] that 5, 25, 50, 75 and 95 in 100 of the landings on the face
    and beyond stay under. `places` are the ends of stretches along the ground from the knuckle [m] and `wheels` the shares of
    rear wheels that come down on them, those before the first and beyond the last in the first and the last.
    """

    name: str
    comes: Share
    outcomes: tuple[tuple[Outcome, Share], ...]
    unknown: float
    good: Share
    hard: Share
    fall: tuple[float, ...]
    limit: float
    places: tuple[float, ...]
    wheels: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Odds:
    """The odds of a line ridden from a start.

    `mark` is the start [m before the foot], None where the run-in is not measured; `foot_speed` what it gives with no error
    [m/s]. `all_good` is the share of tries in which every jump is landed clean and no harder than accepted. `longer` is how much more
    that is, of each jump, with its landing a metre longer and all else as it is. `jumps` end where the ground between them is not
    measured, or where nobody gets any further.
    """

    taken: Taken
    mark: float | None
    foot_speed: float
    rows: int
    jumps: tuple[JumpOdds, ...]
    all_good: Share
    matters: tuple[Matters, ...]
    longer: tuple[float, ...]


def odds(
    answer: Answer, rng: np.random.Generator, *, rider: str | None = None, mark: float | None = None, rows: int = ROWS
) -> Odds | None:
    """The odds of a line.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    rng : numpy.random.Generator
        Scrambles the points.
    rider : str, optional
        A name of `RIDERS` for what the line does not say.
    mark : float, optional
        Start mark [m before the foot of the first lip]; that of the aim when not given.
    rows : int
        How many tries, a power of two from 4096 on.

    Returns
    -------
    Odds or None
        None where no speed to ride is given, where no start is given and no speed lands the first jump clean, and where nobody gets
        to its edge.

    Raises
    ------
    InputError
        Where the mark does not lie on the run-in, or there is no such rider.
    """
    taken = spread_of(answer.line, rider)
    begin, mark = begin_at(answer, mark)
    if begin is None or any(jump.no_ride is not None for jump in answer.jumps):
        return None
    prepared = prepare(answer.line)
    last = next((i for i, one in enumerate(prepared.jumps[:-1]) if one.terrain.runout_end is None), len(prepared.jumps) - 1)
    jumps, spread = prepared.jumps[: last + 1], taken.spread
    tries, few, others = drawn(rng, rows, len(jumps)), *_pairs(rng, len(jumps))
    found = try_all(jumps, begin, tries, spread)
    if not found:
        return None
    longer = [
        prepare(vary(answer.line, {f"jump[{i + 1}].landing.length_m": jump.landing.length + LONGER})).jumps[: last + 1]
        for i, jump in enumerate(answer.line.jumps[: last + 1])
    ]
    before = float(_all_good(jumps, begin, few, spread).mean())
    return Odds(
        taken=taken,
        mark=mark,
        foot_speed=_foot_speed(begin),
        rows=rows,
        jumps=tuple(_jump(answer, i, one, rows) for i, one in enumerate(found)),
        all_good=_share(_landed_all(found, len(jumps), rows), np.ones(rows, bool)),
        matters=_matters(jumps, begin, few, others, spread, before),
        longer=tuple(float(_all_good(each, begin, few, spread).mean()) - before for each in longer),
    )


def begin_at(answer: Answer, mark: float | None) -> tuple[Begin | None, float | None]:
    """The start of tries: a mark, else that of the aim, else the top where no mark is high enough for it.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    mark : float or None
        Start mark [m before the foot of the first lip].

    Returns
    -------
    begin : Begin or None
        None where no speed lands clean and no mark is given.
    mark : float or None
        The mark; None where the run-in is not measured.

    Raises
    ------
    InputError
        Where the mark does not lie on the run-in.
    """
    run_in, first = run_in_of(prepare(answer.line)), answer.jumps[0]
    if mark is not None:
        given, mark = mark, None if run_in is None else run_in.mark(mark)
        if mark is None:
            allowed = "none: the run-in is not measured"
            if run_in is not None:
                allowed = f"above 0 to {run_in.foot:.4g} m, the length of the run-in"
            raise InputError(f"{given:.4g} m; allowed {allowed}", key="mark")
    if first.window.speeds is None and mark is None:
        return None, None
    if run_in is None:
        return Begin(foot_speed=first.window.foot.aim), None
    if mark is None:
        mark = first.run_in.marks[1] or run_in.foot
        if answer.ride is not None and answer.ride.window is not None and len(answer.jumps) > 1:
            mark = min(max(mark, answer.ride.window[0]), answer.ride.window[1])
    if not run_in.fits(max(run_in.foot - mark, 0.0)):
        fit = run_in.most_strokes(max(run_in.foot - mark, 0.0))
        raise InputError(f"{mark:.4g} m; {run_in.strokes} strokes do not fit from there, only {fit}", key="mark")
    return Begin(run_in=run_in, start=max(run_in.foot - mark, 0.0)), mark


def _foot_speed(begin: Begin) -> float:
    """The speed at the foot without any error [m/s]."""
    if begin.run_in is None:
        return begin.foot_speed
    return float(np.nan_to_num(begin.run_in.forward(np.array([begin.start]), begin.run_in.roller())[0][0]))


def drawn(rng: np.random.Generator, rows: int, jumps: int) -> Tries:
    """Tries of as many scramblings of Sobol' points as there are, one after the other.

    Parameters
    ----------
    rng : numpy.random.Generator
        Scrambles them.
    rows : int
        How many, a power of two.
    jumps : int
        How many jumps.

    Returns
    -------
    Tries
        All.
    """
    from scipy.stats import qmc

    each = rows // _SCRAMBLINGS
    if each < 1 or 2 ** round(math.log2(each)) * _SCRAMBLINGS != rows:
        raise InputError(f"{rows}; must be a power of two, {_SCRAMBLINGS} or more", key="rows")
    points = [qmc.Sobol(size(jumps), rng=rng).random(each) for _ in range(_SCRAMBLINGS)]
    return normals(np.concatenate(points), jumps)


def _pairs(rng: np.random.Generator, jumps: int) -> tuple[Tries, Tries]:
    """Two sets of tries that know nothing of each other, evenly spread together."""
    from scipy.stats import qmc

    points = qmc.Sobol(2 * size(jumps), rng=rng).random(_FEW)
    return normals(points[:, : size(jumps)], jumps), normals(points[:, size(jumps) :], jumps)


def _share(what: np.ndarray, of: np.ndarray) -> Share:
    """The share of tries of which something holds, among those `of` which another does."""
    parts, wholes = (each.reshape(_SCRAMBLINGS, -1).sum(axis=1) for each in (what & of, of))
    if not wholes.sum():
        return Share(value=0.0, error=0.0)
    value = parts.sum() / wholes.sum()
    # the error of a ratio of sums, by how its parts lie apart
    apart = (parts - value * wholes) / wholes.mean()
    return Share(value=float(value), error=float(np.std(apart, ddof=1) / math.sqrt(_SCRAMBLINGS)))


def _all_good(jumps: Sequence[Prepared], begin: Begin, tries: Tries, spread: Spread) -> np.ndarray:
    """Whether all jumps were landed well, of each try."""
    return _landed_all(try_all(jumps, begin, tries, spread), len(jumps), len(tries))


def _landed_all(found: tuple[Tried, ...], jumps: int, rows: int) -> np.ndarray:
    """The same of tries that were ridden."""
    good = np.zeros(rows, bool)
    if len(found) == jumps:
        good[found[-1].number[found[-1].good]] = True
    return good


def _jump(answer: Answer, index: int, tried: Tried, rows: int) -> JumpOdds:
    """The odds of one jump."""
    landed, line = tried.landed, answer.complete
    half, face = line.bike.wheelbase / 2, line.jumps[index].landing.length

    def spread_out(rows_of: np.ndarray) -> np.ndarray:
        whole = np.zeros(rows, bool)
        whole[tried.number[rows_of]] = True
        return whole

    comes = spread_out(np.ones(len(tried.number), bool))
    clean = landed.is_(Outcome.CLEAN)
    heights = landed.fall_height[landed.reached & np.isfinite(landed.fall_height)]
    places = np.arange(math.floor(-line.jumps[index].landing.gap / _BIN), math.ceil((face + 3.0) / _BIN) + 1) * _BIN
    wheels = np.clip(landed.along[np.isfinite(landed.along)] - half, places[0], places[-1])
    return JumpOdds(
        name=answer.jumps[index].name,
        comes=_share(comes, np.ones(rows, bool)),
        outcomes=tuple((o, _share(spread_out(landed.is_(o)), comes)) for o in Outcome if o is not Outcome.UNKNOWN),
        unknown=float(landed.is_(Outcome.UNKNOWN).mean()) if len(clean) else 0.0,
        good=_share(spread_out(tried.good), comes),
        hard=_share(spread_out(clean & ~tried.good), comes),
        fall=tuple(float(v) for v in np.quantile(heights, _QUANTILES)) if len(heights) else (),
        limit=line.limits.equivalent_fall,
        places=tuple(float(v) for v in places),
        wheels=tuple(float(v) for v in np.histogram(wheels, places)[0] / max(len(wheels), 1)),
    )


def _matters(
    jumps: Sequence[Prepared], begin: Begin, few: Tries, others: Tries, spread: Spread, before: float
) -> tuple[Matters, ...]:
    """What each error does, the one whose halving brings most first.

    Total-order indices as Jansen estimates them, S_T = E[(f(A) − f(A_B))²]/(2 Var f), on where the first jump is landed.
    """

    def place(tries: Tries) -> np.ndarray:
        along = np.full(len(tries), np.nan)
        for tried in try_all(jumps[:1], begin, tries, spread):
            along[tried.number] = tried.landed.along
        return along

    mine = place(few)
    found = []
    for error in ERRORS:
        if getattr(spread, error) == 0:
            continue
        apart = place(few.changed(error, others)) - mine
        halved = _all_good(jumps, begin, few.changed(error, 0.5), spread)
        total = float(np.nanmean(apart**2) / (2 * np.nanvar(mine))) if np.nanvar(mine) > 0 else 0.0
        share = float(halved.mean())
        found.append(Matters(error=error, total=total, halved=share, gain=share - before))
    return tuple(sorted(found, key=lambda one: -one.gain))

