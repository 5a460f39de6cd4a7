"""The start that costs least when tries differ and short costs another price than long.

The costs are a rider's own judgement: what a landing that is not clean is thought to cost, beside one another.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import astuple, dataclass, fields

import numpy as np

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.ask.run_in import RunIn, run_in_of
from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.studies.many import Begin, Tried, try_all
from jumpcalc.plan.studies.odds import begin_at, drawn
from jumpcalc.plan.studies.rideable import marks, refused
from jumpcalc.plan.studies.spread import spread_of
from jumpcalc.plan.terrain import prepare

__all__ = ["Best", "Cost", "Costs", "best_mark", "costs_of"]

_ROWS = 4096
_PLACES = 15  # starts tried at first
_BEYOND = 0.3  # of the window, how far past its ends is looked
_CLOSER = 2  # times
_SAME_COST = 0.01  # of what the dearest landing costs: one in a hundred tries, about what sampling moves


@dataclass(frozen=True, slots=True, kw_only=True)
class Costs:
    """What each landing is thought to cost; clean and not harder than accepted costs nothing."""

    short: float
    rear_short: float
    front_long: float
    long: float
    hard: float


_COSTS = {
    "gap": Costs(short=10.0, rear_short=4.0, front_long=2.0, long=5.0, hard=2.0),
    "tabletop": Costs(short=1.0, rear_short=2.0, front_long=2.0, long=5.0, hard=2.0),
    "drop": Costs(short=6.0, rear_short=3.0, front_long=2.0, long=5.0, hard=2.0),
}  # fmt: skip


def costs_of(answer: Answer) -> Costs:
    """The costs that are taken for the first jump of a line where nobody says others: a judgement, no source.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.

    Returns
    -------
    Costs
        By its shape: into a gap short costs more than long, onto a table less.
    """
    return _COSTS[answer.jumps[0].shape]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """A start and what it costs.

    `mark` [m before the foot], None where the run-in is not measured; `foot_speed` [m/s] that it gives with no error; `cost` of a
    try on average; `short`, `good`, `long` the shares before, on and past where both wheels fit.
    """

    mark: float | None
    foot_speed: float
    cost: float
    short: float
    good: float
    long: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Best:
    """The start that costs least, beside that of the aim.

    `aim_reached` is False where no start on the run-in gives the aim: `aim` is then the top. `ends_at_top` says that a start higher
    than the run-in would cost less still.
    """

    costs: Costs
    best: Cost
    aim: Cost
    aim_reached: bool
    ends_at_top: bool


def best_mark(answer: Answer, rng: np.random.Generator, *, rider: str | None = None, costs: Costs | None = None) -> Best | None:
    """The start mark, or speed where no run-in is measured, that keeps the cost of being wrong least on the first jump.

    Only starts are tried that land clean whatever the rider does at the lip, where there are such, as a speed check asks for; of a line
    of several jumps only those that ride all of it clean. The aim's start is the best one where no other costs noticeably less.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    rng : numpy.random.Generator
        Scrambles the points.
    rider : str, optional
        A name of `RIDERS` for what the line does not say.
    costs : Costs, optional
        What each landing costs; those of `costs_of` when not given.

    Returns
    -------
    Best or None
        None where the answer is none to ride by, or the run-in is too short or too fast for any try around the window.
    """
    jump, prepared = answer.jumps[0], prepare(answer.line)
    if refused(answer) is not None:
        return None
    spread, run_in, one = spread_of(answer.line, rider).spread, run_in_of(prepared), prepared.jumps[0]
    costs = costs_of(answer) if costs is None else costs
    tries = drawn(rng, _ROWS, 1)
    speeds = jump.window.speeds if run_in is not None else jump.window.foot
    wide = speeds.max - speeds.min
    low, high = max(speeds.min - _BEYOND * wide, 0.5 * speeds.min), speeds.max + _BEYOND * wide
    top = math.inf if run_in is None else jump.run_in.lip_speed or 0.0
    if top <= low:
        return None
    high = min(high, top)
    sure = jump.sure if run_in is not None else jump.sure_foot
    if sure is not None and min(high, sure[1]) > max(low, sure[0]):
        low, high = max(low, sure[0]), min(high, sure[1])
    if len(answer.jumps) > 1 and answer.ride is not None:
        # a start that is best for the first jump and fails the next is none
        found = marks(answer)
        if found is None:
            return None
        low, high = max(low, found.edge[0]), min(high, found.edge[2])

    def begins(wanted: np.ndarray) -> list[Begin | None]:
        """The starts that give these speeds, None where there is none."""
        if run_in is None:
            return [Begin(foot_speed=float(v)) for v in wanted]
        found = run_in.starts(wanted, run_in.roller())
        return [Begin(run_in=run_in, start=float(s)) if np.isfinite(s) and run_in.fits(s) else None for s in found]

    def tried(wanted: np.ndarray) -> list[tuple[float, Cost]]:
        return [
            (float(v), _cost(begin, found[0], costs, len(tries)))
            for v, begin in zip(wanted, begins(wanted), strict=True)
            if begin is not None and (found := try_all([one], begin, tries, spread))
        ]

    known = tried(np.linspace(low, high, _PLACES))
    if not known:
        return None
    step = (high - low) / (_PLACES - 1)
    for _ in range(_CLOSER):
        at = min(known, key=lambda pair: pair[1].cost)[0]
        step /= 3
        known += tried(np.clip(at + step * np.array([-2.0, -1.0, 1.0, 2.0]), low, high))
    at, best = min(known, key=lambda pair: pair[1].cost)
    begin = begin_at(answer, None)[0]
    ridden = try_all([one], begin, tries, spread)
    if not ridden:
        return None
    aim = _cost(begin, ridden[0], costs, len(tries))
    reached = run_in is None or jump.run_in.marks[1] is not None
    if reached and aim.cost - best.cost < _SAME_COST * max(astuple(costs)) and _among(aim, run_in, low, high):
        best, at = aim, low
    return Best(
        costs=costs,
        best=best,
        aim=aim,
        aim_reached=reached,
        ends_at_top=bool(high == top and at >= high - step / 2),
    )


def _among(aim: Cost, run_in: RunIn | None, low: float, high: float) -> bool:
    """Whether the aim's start is one of those that are tried, from one speed to the other [m/s]."""
    if run_in is None:
        return low <= aim.foot_speed <= high
    edge = run_in.forward(np.array([run_in.foot - aim.mark]), run_in.roller())[1][0]
    return low - 1e-6 <= edge <= high + 1e-6


def _cost(begin: Begin, tried: Tried, costs: Costs, count: int) -> Cost:
    """What tries from one start cost on average."""
    landed = tried.landed

    def share(which: np.ndarray) -> float:
        return float(which.sum() / count)

    outcomes: dict[str, Callable[[], np.ndarray]] = {
        "short": lambda: landed.is_(Outcome.SHORT),
        "rear_short": lambda: landed.is_(Outcome.REAR_SHORT),
        "front_long": lambda: landed.is_(Outcome.FRONT_LONG),
        "long": lambda: landed.is_(Outcome.LONG),
        "hard": lambda: landed.is_(Outcome.CLEAN) & ~tried.good,
    }
    shares = {f.name: share(outcomes[f.name]()) for f in fields(costs)}
    halts = 1 - len(tried.number) / count  # who does not come to the edge is not hurt, but lands nothing
    if begin.run_in is None:
        mark, foot = None, begin.foot_speed
    else:
        mark = begin.run_in.foot - begin.start
        foot = float(np.nan_to_num(begin.run_in.forward(np.array([begin.start]), begin.run_in.roller())[0][0]))
    return Cost(
        mark=mark,
        foot_speed=foot,
        cost=sum(getattr(costs, name) * value for name, value in shares.items()),
        short=shares["short"] + shares["rear_short"] + halts,
        good=share(tried.good),
        long=shares["front_long"] + shares["long"],
    )
