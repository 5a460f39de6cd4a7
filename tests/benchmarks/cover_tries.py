"""How often the 90 % intervals hold: logs of tries from the two-wheel simulation, and the next try in the same world.

``python tests/benchmarks/cover_tries.py 200`` makes so many logs of 4, 8 and 16 tries (other sizes by words after it), lets each
be learned from, rides the start mark that it asks for next and counts how often the speed at the foot and the place of the rear
wheel lie within what was said of them: as shares with their sampling error, with the width of the intervals against those of the
line that nobody had tried.
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from made_tries import Made, drawn, made_log

from jumpcalc import Line, read_line, solve
from jumpcalc.plan.studies.field.learn import learn

SIZES = (4, 8, 16)
EXAMPLES = Path(__file__).parents[2] / "examples"
LINES = ("first_gap", "step_up_table")


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """One log: whether the next try lay in what was said of it, and how wide that was as a share of the untried line's."""

    foot: bool
    touched: bool
    foot_width: float
    touched_width: float
    untried_foot: bool
    untried_touched: bool
    seconds: float
    blunders: int
    off: float


def lines() -> list[Line]:
    """Lines that the logs are made on."""
    return [read_line(EXAMPLES / f"{name}.toml") for name in LINES]


def one_log(line: Line, size: int, rng: np.random.Generator) -> Held | None:
    """A world, a log in it, what is learned, and the next try; None where what is learned leaves no speed or no mark."""
    made = Made(line, drawn(line, rng))
    run_in = solve(line).jumps[0].run_in
    middle = run_in.marks[1] or run_in.length
    low, high = middle - 3.0, min(middle + 3.0, run_in.length)
    marks = np.round(rng.uniform(low, high, size), 1)
    tries, _ = made_log(made, marks, rng)
    start = time.perf_counter()
    learned = learn(line, tries)
    taken = time.perf_counter() - start
    told = learned.next.learned
    if told is None or learned.next.mark is None:
        return None
    really = np.array([learned.next.mark + rng.normal() * 0.1])
    foot, _, along, _ = made.ride(really, rng)
    within = lambda span, value: span[0] <= value <= span[1]  # noqa: E731
    width = lambda span: span[1] - span[0]  # noqa: E731
    untried = learned.next.untried
    return Held(
        foot=within(told.foot, foot[0]),
        touched=within(told.touched, along[0]),
        foot_width=width(told.foot) / width(untried.foot),
        touched_width=width(told.touched) / width(untried.touched),
        untried_foot=within(untried.foot, foot[0]),
        untried_touched=within(untried.touched, along[0]),
        seconds=taken,
        blunders=len(learned.blunders),
        off=(foot[0] - sum(told.foot) / 2) / (width(told.foot) / 2) * 1.645,
    )


def many(size: int, count: int, *, seed: int = 11) -> Iterator[Held | None]:
    """Logs of one size, on each of the lines in turn."""
    given = lines()
    for number in range(count):
        yield one_log(given[number % len(given)], size, np.random.default_rng([seed, size, number]))


def share(values: list[bool]) -> str:
    """A share with its sampling error."""
    p, n = float(np.mean(values)), len(values)
    return f"{100 * p:.0f} ± {100 * math.sqrt(max(p * (1 - p), 1e-4) / n):.0f} %"


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    print("| tries | logs | foot speed held | touchdown held | untried held | foot width | touchdown width | named | s each |")
    print("|---|---|---|---|---|---|---|---|---|")
    for size in [int(word) for word in sys.argv[2:]] or SIZES:
        found = [one for one in many(size, count) if one is not None]
        print(
            f"| {size} | {len(found)} | {share([one.foot for one in found])} | {share([one.touched for one in found])} | "
            f"{share([one.untried_foot for one in found])}, {share([one.untried_touched for one in found])} | "
            f"{np.median([one.foot_width for one in found]):.2f} | {np.median([one.touched_width for one in found]):.2f} | "
            f"{np.mean([one.blunders for one in found]):.2f} | {np.median([one.seconds for one in found]):.1f} |",
            flush=True,
        )
