"""Pooled logs of made-up lines in a world where bikes fly, and in one where points do.

``python tests/benchmarks/pool_worlds.py 40`` makes so many lines with a log of 8 tries each in both worlds, with riders who spring by a
known mean, and prints what the pool says of them.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from made_tries import Made, drawn, made_log

from jumpcalc import Line, read_line
from jumpcalc.plan.studies.field.pool import Pool, pool
from jumpcalc.plan.studies.field.tries import Try
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.pool import report

LINE = read_line(Path(__file__).parents[2] / "examples" / "first_gap.toml")
SPRING, DIFFER = 0.12, 0.1  # m/s, of the riders that are made


def lines(count: int, path: str, *, seed: int = 3, tries: int = 8) -> list[tuple[Line, list[Try]]]:
    """Lines with gaps and lips of their own, each with a log."""
    made = []
    for number in range(count):
        rng = np.random.default_rng([seed, number, path == "point"])
        jump = LINE.jumps[0]
        gap = round(float(rng.uniform(3.4, 4.4)), 2)
        angle = round(float(np.degrees(jump.lip.angle) + rng.uniform(-3, 3)), 1)
        shaped = replace(jump, landing=replace(jump.landing, gap=gap), lip=replace(jump.lip, angle=np.radians(angle)))
        line = replace(LINE, jumps=(shaped,))
        # marks about where the truth lands on the middle of the face
        truth = drawn(line, rng, spring=SPRING + DIFFER * float(rng.normal()), rolling=1 + 0.2 * float(rng.uniform(-1, 1)), path=path)
        world = Made(line, truth)
        grid = np.linspace(12.0, world.before, 60)
        along = world.ride(grid, rng, scatter=False)[2]
        good = grid[(along > 0.6) & (along < 3.2)]
        marks = np.round(rng.uniform(good.min(), good.max(), tries), 1) if len(good) else np.full(tries, world.before)
        made.append((line, made_log(world, np.minimum(marks, world.before), rng)[0]))
    return made


def pooled(count: int, path: str) -> Pool:
    """What the pool says of so many lines in a world."""
    return pool(lines(count, path))


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 40
    for path in ("bike", "point"):
        found = pooled(count, path)
        print(f"a world of {path}s, springs of {SPRING} m/s on the mean\n{report(found, Reader.metric).partition('Cautions')[0]}")
        if found.spring:
            print(f"spring {found.spring.mean:.3f} ± {found.spring.mean_sd:.3f} m/s, differ {found.spring.differ:.3f}\n", flush=True)
