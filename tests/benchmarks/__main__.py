"""How long everything takes: ``python tests/benchmarks`` prints one table, with aim and ratio beside each figure.

Every ``time_*.py`` of this folder gives figures of its own by `figures()`; words after the command choose some of them
by name, such as ``python tests/benchmarks solve``. Nothing is asserted: figures depend on the machine and on what else
it does, so two versions are compared in one run, side by side. The page under load is measured by ``load_page.py``.
"""

from __future__ import annotations

import importlib
import sys
import time
from pathlib import Path

import jumpcalc.show.one_core  # noqa: F401, before numpy: one core for one figure

FOLDER = Path(__file__).parent


def main(words: list[str]) -> None:
    """Print the table, row by row as it is measured."""
    names = sorted(path.stem for path in FOLDER.glob("time_*.py"))
    chosen = [name for name in names if not words or name.removeprefix("time_") in words]
    if not chosen or len(words) > len(chosen):
        raise SystemExit(f"choose among {', '.join(name.removeprefix('time_') for name in names)}")
    sys.path.insert(0, str(FOLDER))
    from figures import machine

    begun = time.perf_counter()
    print(machine(), "\n")
    print("| work | figure | aim | figure/aim | |\n|---|---|---|---|---|")
    for name in chosen:
        for figure in importlib.import_module(name).figures():
            print(figure.row(), flush=True)
    print(f"\nFigure/aim of 1 or less meets the aim. All of it took {time.perf_counter() - begun:.0f} s.")


if __name__ == "__main__":
    main(sys.argv[1:])
