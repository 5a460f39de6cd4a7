"""The made-up logs among the examples: simulated tries on a bundled line, with a truth that is told in `examples/README.md`.

``python tests/benchmarks/make_logs.py`` writes them anew; a test holds that they are as they would be made.
"""

from __future__ import annotations

import math
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from made_tries import Made, Truth, made_log

from jumpcalc.plan.studies.field.tries import Try
from jumpcalc.show.files.examples import FOLDER
from jumpcalc.show.files.linefile import read_line
from jumpcalc.show.files.tries_csv import tries_csv

TRUTH = Truth(rolling=0.75, lip=math.radians(-0.5), spring=0.25, wind=-0.3, spring_sd=0.12, speed_sd=0.008, gust_sd=0.3, sensor=0.004)
"""A quarter less rolling resistance, a lip half a degree flatter, a rider who springs by 0.25 m/s, 0.3 m/s of headwind unnoticed."""

TIDY = Truth(rolling=0.75, lip=math.radians(-0.5), spring=0.25, wind=-0.3, spring_sd=0.1, speed_sd=0.004, gust_sd=0.2, sensor=0.004)
"""The same, a rider who sets off the same every time."""


def logs() -> dict[str, list[Try]]:
    """Each log by the name of its file."""
    line = read_line(FOLDER / "first_gap.toml")
    made: dict[str, list[Try]] = {}
    marks = np.round(np.random.default_rng(1).uniform(28.0, 31.5, 12), 1)
    made["first_gap_tries"] = made_log(Made(line, TRUTH), marks, np.random.default_rng(2), rider="Robin")[0]
    marks = np.round(np.random.default_rng(3).uniform(28.0, 31.5, 14), 1)
    marks[4], marks[9] = 28.2, 31.2
    made["first_gap_blunders"] = made_log(
        Made(line, TIDY), marks, np.random.default_rng(4), how=("wheel sensor",), taped=0.9, rider="Robin", misread=(4,), dragged=(9,)
    )[0]
    made["first_gap_two_tries"] = made["first_gap_tries"][:2]
    return made


if __name__ == "__main__":
    for name, tries in logs().items():
        (FOLDER / f"{name}.csv").write_bytes(tries_csv(tries))
