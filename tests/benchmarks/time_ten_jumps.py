"""How long a line of ten jumps takes to solve; run by hand, nothing is asserted: ``python tests/benchmarks/time_ten_jumps.py``."""

import math
import time
from dataclasses import replace

from jumpcalc.plan.inputs.line import Jump, Landing, Line, Lip, Piece, RunIn, Runout
from jumpcalc.plan.solve import solve

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


def main() -> None:
    """Print the best of five, for one and for ten jumps."""
    for name, run_in in (("pieces", RunIn(pieces=PIECES)), ("stakes", RunIn(stakes=STAKES))):
        for count in (1, 10):
            line = ten(run_in, count)
            solve(line)
            taken = []
            for _ in range(5):
                begin = time.perf_counter()
                solve(line)
                taken.append(time.perf_counter() - begin)
            print(f"{count:2d} jumps, run-in by {name}: best {min(taken):.3f} s, worst {max(taken):.3f} s")


if __name__ == "__main__":
    main()
