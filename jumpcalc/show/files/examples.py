"""The bundled lines, and whether a line still holds a jump of theirs."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from jumpcalc.plan.inputs.line import Jump, Line
from jumpcalc.show.files.linefile import read_line

__all__ = ["FIRST", "FOLDER", "examples", "is_example"]

FOLDER = Path(__file__).parents[3] / "examples"
FIRST = "first_gap"
"""The one that is shown first."""


@cache
def examples() -> dict[str, Line]:
    """The bundled lines by file name without its ending, the one that is shown first at the front."""
    names = sorted((path.stem for path in FOLDER.glob("*.toml")), key=lambda name: (name != FIRST, name))
    return {name: read_line(FOLDER / f"{name}.toml") for name in names}


def is_example(line: Line) -> bool:
    """Whether any jump still has shape, lip, gap and landing of a bundled example: EXAMPLE must stand across all that is made of it."""
    bundled = {_measures(jump) for example in examples().values() for jump in example.jumps}
    return any(_measures(jump) in bundled for jump in line.jumps)


def _measures(jump: Jump) -> tuple[object, ...]:
    return jump.shape or "gap", jump.lip, jump.landing
