"""The smallest change of one measure that brings a jump that stands to the odds that are wanted, each tried before it is told."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.plan.answer import Answer
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.many import try_all
from jumpcalc.plan.studies.odds import Odds, begin_at, drawn
from jumpcalc.plan.studies.spread import spread_of
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import vary

__all__ = ["Smallest", "smallest"]

_ROWS = 4096


@dataclass(frozen=True, slots=True, kw_only=True)
class Smallest:
    """One measure changed: `path` its key, `kind` how it is read, from `was` to `becomes` [SI], and the share that lands well then."""

    path: str
    kind: str
    was: float
    becomes: float
    good: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Measure:
    """What may be changed of a jump: its key, how it is read, its step and how many steps each way."""

    key: str
    kind: str
    step: float
    down: int
    up: int


_MEASURES = (
    _Measure(key="landing.length_m", kind="height", step=0.25, down=0, up=16),
    _Measure(key="landing.drop_m", kind="height", step=0.05, down=10, up=10),
    _Measure(key="landing.angle_deg", kind="angle", step=1.0, down=8, up=8),
    _Measure(key="lip.angle_deg", kind="angle", step=1.0, down=6, up=6),
)


def smallest(answer: Answer, found: Odds, rng: np.random.Generator, *, wanted: float, rider: str | None = None) -> Iterator[Smallest]:
    """The smallest change of each measure of the tightest jump with which a line is landed well as often as wanted.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    found : Odds
        Its odds.
    rng : numpy.random.Generator
        Scrambles the points.
    wanted : float
        Share of the tries in which every jump is to be landed clean and no harder than accepted.
    rider : str, optional
        A name of `RIDERS` for what the line does not say.

    Yields
    ------
    Smallest
        One for each measure and way that gets there within what is tried; each ridden from the aim's start that it then has.
    """
    index = int(np.argmin([jump.good.value for jump in found.jumps]))
    tries = drawn(rng, _ROWS, len(found.jumps))

    def share(line: Line) -> float:
        """How often it goes well, by the same tries for every line."""
        there = solve(line)
        begin, _ = begin_at(there, None)
        jumps = prepare(line).jumps[: len(found.jumps)]
        if begin is None or len(jumps) < len(found.jumps):
            return 0.0
        tried = try_all(jumps, begin, tries, spread_of(line, rider).spread)
        return float(tried[-1].good.sum() / _ROWS) if len(tried) == len(jumps) else 0.0

    for measure in _MEASURES:
        path = f"jump[{index + 1}].{measure.key}"
        was = _measured(answer.complete, index, measure)
        for way, most in ((1, measure.up), (-1, measure.down)):
            step = _fewest(answer.line, path, was, way * measure.step, most, wanted, share)
            if step is not None:
                steps, good = step
                becomes = was + way * measure.step * steps
                yield Smallest(path=path, kind=measure.kind, was=_si(was, measure), becomes=_si(becomes, measure), good=good)


def _measured(line: Line, index: int, measure: _Measure) -> float:
    """A measure as it stands, in the unit of its key."""
    part, name = measure.key.split(".")
    value = getattr(getattr(line.jumps[index], part), name.rpartition("_")[0])
    return math.degrees(value) if measure.kind == "angle" else float(value)


def _si(value: float, measure: _Measure) -> float:
    return math.radians(value) if measure.kind == "angle" else value


def _fewest(
    line: Line, path: str, was: float, step: float, most: int, wanted: float, share: Callable[[Line], float]
) -> tuple[int, float] | None:
    """The fewest steps with which enough goes well, and how much does; None where none of those tried is enough."""

    def at(steps: int) -> float:
        try:
            return share(vary(line, {path: was + step * steps}))
        except InputError:
            return -1.0

    tried, steps, before = {}, 1, 0
    while steps <= most:
        tried[steps] = at(steps)
        if tried[steps] >= wanted:
            break
        before, steps = steps, 2 * steps if 2 * steps <= most or steps == most else most
    if steps > most or tried.get(steps, -1.0) < wanted:
        return None
    low, high = before, steps
    while high - low > 1:
        middle = (low + high) // 2
        tried[middle] = at(middle)
        low, high = (low, middle) if tried[middle] >= wanted else (middle, high)
    return high, tried[high]
