"""The jump from the side."""

from __future__ import annotations

from jumpcalc.plan.answer import LandingResult
from jumpcalc.plan.views.side import SideView
from jumpcalc.show.page import worked
from jumpcalc.show.page.common import Panel, Shown, drawing
from jumpcalc.show.words.jump import outcome
from jumpcalc.show.words.said import Least, Most, joined, said

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
    return _seen(shown, own)[1]


def _seen(shown: Shown, own: LandingResult | None) -> tuple[SideView, str]:
    return worked.side(shown.line, shown.index, own, shown.reader, shown.stamp)


def message(shown: Shown, own: LandingResult | None = None) -> str:
    """The drawing in words."""
    view, _ = _seen(shown, own)
    flown = {path.name: path.landing for path in view.paths}
    mine = flown.pop("own", None)
    seen = said(f"Side view to true scale: a {view.shape} with a gap of {{gap:length}}.", gap=view.gap)
    if mine is not None:
        text = f"From your start mark, {{speed:speed}} at the edge: {outcome(mine, view.shape)}."
        seen = joined([seen, said(text, speed=mine.lip_speed)])
    if not {"min", "aim", "max"} <= flown.keys():
        tried = joined([said("{speed:speed}", speed=path.landing.lip_speed) for path in view.paths if path.name != "own"], " and ")
        none = said("No speed at the edge lands both wheels on the landing; shown are paths at {tried}.", tried=tried)
        return shown.text(joined([seen, none]))
    slow, aim, fast = (flown[name] for name in ("min", "aim", "max"))
    paths = said(
        "Paths of the wheels: {slow:speed} at the edge lands {slow_at:length} down the face, {aim:speed} {aim_at:length}, "
        f"{{fast:speed}} {{fast_at:length}}{'; a slower one lands short' if 'slow' in flown else ''}.",
        slow=Least(slow.lip_speed), slow_at=slow.along_face, aim=aim.lip_speed, aim_at=aim.along_face,
        fast=Most(fast.lip_speed), fast_at=fast.along_face,
    )  # fmt: skip
    return shown.text(joined([seen, paths]))


PANEL = Panel("The jump from the side", show)
