"""The window: what ends it, what a rider at the lip does to it, and what the textbook's point says."""

from __future__ import annotations

from jumpcalc.plan.answer import Window
from jumpcalc.show.page.common import Panel, Shown, said, table
from jumpcalc.show.words.said import Between, Least, Most
from jumpcalc.show.words.said import said as said_of
from jumpcalc.show.words.window import window as told

__all__ = ["PANEL"]


def _body(shown: Shown) -> None:
    """The windows of both paths and the sure part, before the lip and at the edge."""
    jump = shown.jump
    flown = "a point (textbook)" if jump.path == "point" else "the bike with its rider"
    rows = [_row(shown, flown, jump.window)]
    if jump.window.speeds is not None:
        ends = jump.sure, jump.sure_foot
        rows.append(
            [
                "… soaked up, ridden stiffly or sprung off",
                *(_between(shown, pair) for pair in (ends if jump.shape != "drop" else ends[:1])),
            ]
        )
    if jump.path != "point":
        rows.append(_row(shown, "the textbook's point", jump.point))
    head = ["path of", "at the edge", "before the lip"]
    table(head if jump.shape != "drop" else head[:2], rows)
    said(shown.texts(told(jump)))


def _row(shown: Shown, name: str, window: Window) -> list[str]:
    pairs = [
        None if speeds is None else (speeds.min, speeds.max)
        for speeds in ((window.speeds, window.foot) if shown.jump.shape != "drop" else (window.speeds,))
    ]
    return [name, *(_between(shown, pair) for pair in pairs)]


def _between(shown: Shown, pair: tuple[float, float] | None) -> str:
    if pair is None:
        return "none"
    low, high = pair
    return shown.text(said_of("{clean:speed}", clean=Between(Least(low), Most(high))))


PANEL = Panel(
    "The window of clean speeds",
    _body,
    lambda shown: shown.jump.window.speeds is not None or shown.jump.point.speeds is not None,
)
