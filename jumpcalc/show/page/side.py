"""The jump from the side."""

from __future__ import annotations

from functools import lru_cache

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.picture import side_view
from jumpcalc.show import draw, words
from jumpcalc.show.page.common import Panel, Shown, drawing

__all__ = ["PANEL", "drawn", "message", "show"]


def show(shown: Shown) -> None:
    """The side view to true scale."""
    drawing(drawn(shown), alt=message(shown))


def drawn(shown: Shown) -> str:
    """The drawing, kept for the next run."""
    return _drawn(*shown.drawn)


@lru_cache(maxsize=100)
def _drawn(answer: Answer, index: int, units: str, stamp: str) -> str:
    return draw.side(side_view(answer, index), units, stamp=stamp).svg()


def message(shown: Shown) -> str:
    """The drawing in words."""
    jump = shown.jump
    landing = shown.answer.complete.jumps[shown.index].landing
    seen = f"Side view to true scale: a {jump.shape} with a gap of {shown.length(landing.gap)}."
    if not jump.landings:
        return f"{seen} {words.headline(jump, shown.units)}"
    slow, aim, fast = jump.landings
    return (
        f"{seen} Paths of the wheels: {shown.speed(slow.lip_speed, digits=1)} at the edge lands "
        f"{shown.length(slow.along_face)} down the face, {shown.speed(aim.lip_speed, digits=1)} "
        f"{shown.length(aim.along_face)}, {shown.speed(fast.lip_speed, digits=1)} {shown.length(fast.along_face)}; "
        "a slower one lands short."
    )


PANEL = Panel("The jump from the side", show)
