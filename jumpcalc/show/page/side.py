"""The jump from the side."""

from __future__ import annotations

from functools import lru_cache

from jumpcalc.plan.line import Line
from jumpcalc.plan.picture import SideView, first_view
from jumpcalc.show import draw
from jumpcalc.show.page.common import Panel, Shown, drawing

__all__ = ["PANEL", "drawn", "message", "show"]


def show(shown: Shown) -> None:
    """The side view to true scale; it needs no more than the line."""
    drawing(drawn(shown), alt=message(shown))


def drawn(shown: Shown) -> str:
    """The drawing, kept for the next run.

    Raises
    ------
    InputError
        Where inputs contradict each other.
    """
    return _drawn(shown.line, shown.index, shown.units, shown.stamp)


@lru_cache(maxsize=100)
def _view(line: Line, index: int) -> SideView:
    return first_view(line, index)


@lru_cache(maxsize=100)
def _drawn(line: Line, index: int, units: str, stamp: str) -> str:
    return draw.side(_view(line, index), units, stamp=stamp).svg()


def message(shown: Shown) -> str:
    """The drawing in words."""
    view = _view(shown.line, shown.index)
    seen = f"Side view to true scale: a {view.shape} with a gap of {shown.length(view.gap)}."
    flown = {path.name: path.landing for path in view.paths}
    if not {"min", "aim", "max"} <= flown.keys():
        tried = " and ".join(shown.speed(path.landing.lip_speed, digits=1) for path in view.paths)
        return f"{seen} No speed at the edge lands both wheels on the landing; shown are paths at {tried}."
    slow, aim, fast = (flown[name] for name in ("min", "aim", "max"))
    return (
        f"{seen} Paths of the wheels: {shown.speed(slow.lip_speed, digits=1)} at the edge lands "
        f"{shown.length(slow.along_face)} down the face, {shown.speed(aim.lip_speed, digits=1)} "
        f"{shown.length(aim.along_face)}, {shown.speed(fast.lip_speed, digits=1)} {shown.length(fast.along_face)}; "
        "a slower one lands short."
    )


PANEL = Panel("The jump from the side", show)
