"""What a benchmark measures: one figure, its aim, and the machine it was measured on."""

from __future__ import annotations

import os
import platform
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

UNITS = {"ns": 1e-9, "µs": 1e-6, "ms": 1e-3, "s": 1.0, "MB": 1.0, "×": 1.0}
"""What a figure is told in, and how much of SI (or MB, or a plain ratio) that is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One row of the table: what was done, how long one of it took (or how much it needed), and the aim.

    `value` and `aim` are in seconds, in MB, or plain ratios, as `unit` says. `least` marks figures that are to be at
    least their aim. `note` says what is worth knowing beside it.
    """

    work: str
    value: float
    unit: str
    aim: float | None = None
    least: bool = False
    note: str = ""

    @property
    def ratio(self) -> float | None:
        """How much of the aim is used: 1 or less meets it."""
        if self.aim is None:
            return None
        return self.aim / self.value if self.least else self.value / self.aim

    def row(self) -> str:
        """A row of a Markdown table: work, figure, aim, ratio, note."""
        aim = "" if self.aim is None else f"{'≥' if self.least else '≤'} {self._told(self.aim)}"
        ratio = "" if self.ratio is None else f"{self.ratio:.2f}"
        return f"| {self.work} | {self._told(self.value)} | {aim} | {ratio} | {self.note} |"

    def _told(self, value: float) -> str:
        shown = value / UNITS[self.unit]
        return f"{shown:,.0f} {self.unit}" if shown >= 100 else f"{shown:.3g} {self.unit}"


def best(call: Callable[[], object], *, repeats: int = 5, warm: int = 1) -> float:
    """The shortest of so many calls [s]: what else the machine does only ever adds."""
    for _ in range(warm):
        call()
    taken = []
    for _ in range(repeats):
        begun = time.perf_counter()
        call()
        taken.append(time.perf_counter() - begun)
    return min(taken)


def median(call: Callable[[], object], *, repeats: int = 7, warm: int = 1) -> float:
    """The median of so many calls [s], for whole processes, whose start varies."""
    for _ in range(warm):
        call()
    taken = []
    for _ in range(repeats):
        begun = time.perf_counter()
        call()
        taken.append(time.perf_counter() - begun)
    return statistics.median(taken)


def machine() -> str:
    """Processor, cores and versions, as a sentence."""
    import scipy

    try:
        rows = Path("/proc/cpuinfo").read_text(encoding="utf-8").split("\n")
        name = next(row.partition(":")[2].strip() for row in rows if row.startswith("model name"))
    except (OSError, StopIteration):
        name = platform.processor() or platform.machine()
    return (
        f"{name}, {os.cpu_count()} cores, {platform.system()}; Python {platform.python_version()}, "
        f"numpy {np.__version__}, scipy {scipy.__version__}"
    )
