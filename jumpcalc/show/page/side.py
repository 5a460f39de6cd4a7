"""The jump from the side."""

from __future__ import annotations

from functools import lru_cache

from jumpcalc.plan.answer import LandingResult
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.views.side import SideView, first_view
from jumpcalc.show import words
from jumpcalc.show.page.common import Panel, Shown, drawing
from jumpcalc.show.paper import side as draw

__all__ = ["PANEL", "drawn", "message", "show"]


def show(shown: Shown, own: LandingResult | None = None) -> None:
    """The side view to true scale; it needs no more than the line."""
    drawing(drawn(shown, own), alt=message(shown, own))


def drawn(shown: Shown, own: LandingResult | None = None) -> str:
    """The drawing, kept for the next run.

    Parameters
    ----------
    shown : Shown
        What is looked at.
    own : LandingResult, optional
        The landing from the rider's own start mark.

    Returns
    -------
    str
        An SVG.

    Raises
    ------
    InputError
        Where inputs contradict each other.
    """
    return _drawn(shown.line, shown.index, own, shown.units, shown.stamp)


@lru_cache(maxsize=100)
def _view(line: Line, index: int, own: LandingResult | None) -> SideView:
    return first_view(line, index, own)


@lru_cache(maxsize=100)
def _drawn(line: Line, index: int, own: LandingResult | None, units: str, stamp: str) -> str:
    return draw.side(_view(line, index, own), units, stamp=stamp).svg()


def message(shown: Shown, own: LandingResult | None = None) -> str:
    """The drawing in words."""
    view = _view(shown.line, shown.index, own)
    seen = f"Side view to true scale: a {view.shape} with a gap of {shown.length(view.gap)}."
    flown = {path.name: path.landing for path in view.paths}
    mine = flown.pop("own", None)
    if mine is not None:
        seen += f" From your start mark, {shown.speed(mine.lip_speed, digits=1)} at the edge: {words.outcome(mine, view.shape)}."
    if not {"min", "aim", "max"} <= flown.keys():
        tried = " and ".join(shown.speed(path.landing.lip_speed, digits=1) for path in view.paths if path.name != "own")
        return f"{seen} No speed at the edge lands both wheels on the landing; shown are paths at {tried}."
    slow, aim, fast = (flown[name] for name in ("min", "aim", "max"))
    return (
        f"{seen} Paths of the wheels: {shown.speed(slow.lip_speed, digits=1)} at the edge lands "
        f"{shown.length(slow.along_face)} down the face, {shown.speed(aim.lip_speed, digits=1)} "
        f"{shown.length(aim.along_face)}, {shown.speed(fast.lip_speed, digits=1)} {shown.length(fast.along_face)}; "
        "a slower one lands short."
    )


PANEL = Panel("The jump from the side", show)
