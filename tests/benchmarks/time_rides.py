"""Rolling: many varied run-ins up to the edge of the lip, how that grows, and what one ride costs."""

from __future__ import annotations

import tracemalloc
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
from figures import Figure, best

from jumpcalc.physics.rolling import Roller, roll
from jumpcalc.plan.ask.lip import climb
from jumpcalc.plan.ask.run_in import RunIn, run_in_of
from jumpcalc.plan.terrain import prepare
from jumpcalc.show.files.linefile import read_line

ROOT = Path(__file__).parents[2]


def first_gap() -> RunIn:
    """The run-in of the first example."""
    return run_in_of(prepare(read_line(ROOT / "examples" / "first_gap.toml")))


def varied(run_in: RunIn, count: int) -> tuple[np.ndarray, Roller]:
    """Start marks and rollers: rolling resistance, tailwind, drag and slope, all of them different in every row."""
    rng = np.random.default_rng(10)
    plain = run_in.roller()
    return rng.uniform(0.0, 20.0, count), replace(
        plain,
        drag=plain.drag * rng.uniform(0.7, 1.3, count),
        rolling_resistance=rng.uniform(0.01, 0.06, count),
        tailwind=rng.normal(0.0, 2.0, count),
        tilt=rng.normal(0.0, 0.02, count),
    )


def run(run_in: RunIn, start: np.ndarray, roller: Roller) -> np.ndarray:
    """Speed at the edge of the lip [m/s], NaN where the rider halts."""
    ridden = roll(run_in.ground, start, run_in.start_speed, roller, end=run_in.foot)
    edge, _ = climb(run_in.course, np.where(ridden.reached, ridden.speed, 0.0), roller)
    return edge


def peak_memory(run_in: RunIn, count: int) -> float:
    """The most memory that so many run-ins need beside what they are given [MB]."""
    start, roller = varied(run_in, count)
    tracemalloc.start()
    run(run_in, start, roller)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak / 1e6


def figures() -> Iterator[Figure]:
    """Figures of rolling."""
    run_in = first_gap()
    taken = {}
    for count, repeats in ((1_000, 20), (10_000, 7), (100_000, 3), (1_000_000, 1)):
        start, roller = varied(run_in, count)
        taken[count] = best(lambda start=start, roller=roller: run(run_in, start, roller), repeats=repeats, warm=count < 1e6)
    yield Figure(work="100,000 varied run-ins", value=taken[100_000], unit="s", aim=1.0)
    yield Figure(work="their peak memory", value=peak_memory(run_in, 100_000), unit="MB", note="half of it what is handed back")
    for few, many in ((1_000, 10_000), (10_000, 100_000), (100_000, 1_000_000)):
        yield Figure(work=f"growth of time, {few:,} to {many:,} run-ins", value=taken[many] / taken[few], unit="×", aim=10.0)
    plain = run_in.roller()
    yield Figure(work="one run-in and lip", value=best(lambda: run(run_in, np.zeros(1), plain), repeats=200), unit="ms")
