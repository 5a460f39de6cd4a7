"""Whole answers: `solve` on lines once solved before, and the command from its start to its end."""

from __future__ import annotations

import itertools
import math
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

from figures import Figure, best, median

from jumpcalc.plan.inputs.dug import Jump, Landing, Lip, Piece, RunIn, Runout
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.solve import solve
from jumpcalc.plan.vary import vary
from jumpcalc.show.files.linefile import read_line

ROOT = Path(__file__).parents[2]
DEG = math.pi / 180
TABLE = Jump(
    shape="tabletop",
    lip=Lip(angle=24 * DEG, radius=5.0, straight=0.8),
    landing=Landing(gap=3.6, drop=0.1, angle=20 * DEG, length=6.0, exit_radius=7.0),
    runout=Runout(
        pieces=(Piece(length=8.0, slope=-3 * DEG), Piece(radius=15.0, to_slope=-2 * DEG), Piece(length=4.0, slope=-2 * DEG))
    ),
)
PIECES = (Piece(length=50.0, slope=-11 * DEG), Piece(radius=10.0, to_slope=-3 * DEG), Piece(length=6.0, slope=-3 * DEG))
STAKES = ((0.0, 0.0), (10.0, 1.9), (20.0, 3.8), (30.0, 5.6), (40.0, 7.5), (46.0, 8.3), (52.0, 8.7))


def ten(run_in: RunIn, count: int = 10) -> Line:
    """A line of so many tables, each carrying to the next."""
    last = replace(TABLE, runout=Runout(pieces=(Piece(length=10.0, slope=-3 * DEG), Piece(length=60.0, slope=0.0))))
    return Line(run_in=run_in, jumps=(TABLE,) * (count - 1) + (last,))


def fresh(line: Line) -> Callable[[], object]:
    """Solves the line with a rider a milligram heavier each time: what is prepared for one line is kept, and would be timed as free."""
    heavier = itertools.count(1)
    mass = line.rider.mass or 85.0
    return lambda: solve(vary(line, {"rider.mass_kg": mass + 1e-6 * next(heavier)}))


def figures() -> Iterator[Figure]:
    """Figures of whole answers."""
    for name, aim in (("first_gap", 0.025), ("two_in_a_row", 0.060)):
        line = read_line(ROOT / "examples" / f"{name}.toml")
        yield Figure(work=f"`solve`, warm: {name}", value=best(fresh(line), repeats=7), unit="ms", aim=aim)
    for name, run_in in (("pieces", RunIn(pieces=PIECES)), ("stakes", RunIn(stakes=STAKES))):
        line = ten(run_in)
        yield Figure(
            work=f"`solve`, warm: ten jumps, run-in by {name}", value=best(fresh(line)), unit="ms", aim=0.250
        )
    command = [sys.executable, "-m", "jumpcalc", "solve", str(ROOT / "examples" / "first_gap.toml")]
    empty = [sys.executable, "-c", "import numpy"]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}

    def run(words: list[str]) -> float:
        return median(lambda: subprocess.run(words, check=True, capture_output=True, env=environment), repeats=9)

    yield Figure(
        work="`jumpcalc solve FILE`, whole process",
        value=run(command),
        unit="s",
        aim=0.5,
        note=f"{run(empty):.2f} s of it start Python and numpy",
    )
