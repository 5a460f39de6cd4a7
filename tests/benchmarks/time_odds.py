"""Odds of many tries, run-in included, for one jump and for a line of five; a whole search of a bundled site."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from figures import Figure, best

from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.many import try_all
from jumpcalc.plan.studies.odds import ROWS, begin_at, drawn, odds
from jumpcalc.plan.studies.sizing.whole import sized
from jumpcalc.plan.studies.spread import spread_of
from jumpcalc.plan.terrain import prepare
from jumpcalc.show.files.examples import examples, sites


def five() -> Line:
    """Five tables in a row on a slope that carries from one to the next."""
    jump = {
        "shape": "tabletop",
        "lip": {"angle_deg": 22, "radius_m": 5.0, "straight_m": 1.2},
        "landing": {"gap_m": 3.0, "drop_m": 0.5, "angle_deg": 20, "length_m": 5.0, "exit_radius_m": 7},
        "runout": {"pieces": [{"length_m": 10, "slope_deg": -1}]},
    }
    run_in = {"pieces": [{"length_m": 28, "slope_deg": -11}, {"radius_m": 9, "to_slope_deg": -4}, {"length_m": 4, "slope_deg": -4}]}
    return Line.of(run_in=run_in, jump=[jump] * 5)


def tries(line: Line) -> float:
    """Seconds for all tries of a line, the drawing of them and the run-in included."""
    answer = solve(line)
    begin, jumps, spread = begin_at(answer, None)[0], prepare(line).jumps, spread_of(line).spread
    return best(lambda: try_all(jumps, begin, drawn(np.random.default_rng(0), ROWS, len(jumps)), spread), repeats=3)


def fitted() -> None:
    """A bundled site, to its proposals and their trade."""
    for _ in sized(sites()["hazel_bank"], np.random.default_rng(0)):
        pass


def figures() -> Iterator[Figure]:
    """Tries alone, odds with all that is told of them, and sizing."""
    gap = examples()["first_gap"]
    yield Figure(work=f"{ROWS:,} tries of one jump", value=tries(gap), unit="s", aim=0.5, note="run-in included")
    answer = solve(gap)
    taken = best(lambda: odds(answer, np.random.default_rng(0)), repeats=3)
    yield Figure(work="odds of one jump, errors told apart", value=taken, unit="s", note="114,688 tries more")
    yield Figure(work=f"{ROWS:,} tries of a line of five", value=tries(five()), unit="s", aim=4.0, note="run-in included")
    yield Figure(work="sizing a bundled site", value=best(fitted, repeats=1, warm=0), unit="s", aim=20.0)
