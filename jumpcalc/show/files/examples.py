"""The bundled lines and sites, and whether a line still holds a jump, or a site the ground, of theirs."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from jumpcalc.plan.inputs.dug import Jump
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.site import Site
from jumpcalc.show.files.linefile import read_line
from jumpcalc.show.files.sitefile import read_site

__all__ = ["FIRST", "FOLDER", "examples", "is_example", "is_example_site", "sites"]

FOLDER = Path(__file__).parents[3] / "examples"
FIRST = "first_gap"
"""The one that is shown first."""


@cache
def examples() -> dict[str, Line]:
    """The bundled lines by file name without its ending, the one that is shown first at the front."""
    names = sorted((path.stem for path in FOLDER.glob("*.toml")), key=lambda name: (name != FIRST, name))
    return {name: read_line(FOLDER / f"{name}.toml") for name in names}


@cache
def sites() -> dict[str, Site]:
    """The bundled sites by file name without its ending."""
    return {path.stem: read_site(path) for path in sorted((FOLDER / "sites").glob("*.toml"))}


def is_example_site(site: Site) -> bool:
    """Whether the ground of a site is still that of a bundled one: EXAMPLE must stand over what is proposed for it."""
    return any(site.ground.stakes == other.ground.stakes for other in sites().values())


def is_example(line: Line) -> bool:
    """Whether any jump still has shape, lip, gap and landing of a bundled example: EXAMPLE must stand across all that is made of it."""
    bundled = {_measures(jump) for example in examples().values() for jump in example.jumps}
    return any(_measures(jump) in bundled for jump in line.jumps)


def _measures(jump: Jump) -> tuple[object, ...]:
    return jump.shape or "gap", jump.lip, jump.landing
