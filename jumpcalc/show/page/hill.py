"""The whole line on its hill, with the speed along it."""

from __future__ import annotations

from functools import lru_cache

from jumpcalc.plan.answer import Answer, RideStep
from jumpcalc.plan.hill import HillView, hill_view
from jumpcalc.show import draw_hill, words
from jumpcalc.show.page.common import Panel, Shown, drawing, plain, small, table

__all__ = ["PANEL", "drawn", "message"]


def _body(shown: Shown) -> None:
    """Hill, marks and speed, and the same numbers as tables."""
    drawing(drawn(shown), alt=message(shown))
    small(
        plain(
            "The ride from the start mark as measured. Triangles: start marks; bar: where dirt, wind and a misread slope put "
            "the aim's; square: the last place to decide to stop before the first lip."
        )
    )
    view = _view(shown.answer)
    if view.marks:
        table(["mark", "before the lip"], [[mark.name, shown.length(mark.before_foot)] for mark in view.marks])
    rows = [_row(shown, number, step) for number, step in enumerate(shown.answer.ride.steps)]
    if rows:
        table(["from the start mark", "before the lip", "at the edge", "what happens"], rows)


def drawn(shown: Shown) -> str:
    """The drawing of the whole ride, kept for the next run; empty where the run-in is not measured."""
    answer, _, units, stamp = shown.complete().drawn
    return "" if answer.ride is None else _drawn(answer, units, stamp)


def _row(shown: Shown, number: int, step: RideStep) -> list[str]:
    jump = shown.answer.jumps[number]
    foot = "–" if jump.shape == "drop" else shown.speed(step.foot_speed, digits=1)
    outcome = words.outcome(step.landing, jump.shape)
    return [jump.name or f"jump {number + 1}", foot, shown.speed(step.landing.lip_speed, digits=1), outcome]


@lru_cache(maxsize=100)
def _view(answer: Answer) -> HillView:
    return hill_view(answer)


@lru_cache(maxsize=100)
def _drawn(answer: Answer, units: str, stamp: str) -> str:
    return draw_hill.hill(_view(answer), units, stamp=stamp).svg()


def message(shown: Shown) -> str:
    """The drawing in words."""
    first = shown.answer.jumps[0]
    said = ["The hill to true scale with the speed along it.", *words.start_words(first, shown.units)[:1]]
    said += [words.abort_words(first, shown.units), *words.ride_words(shown.answer, shown.units)[:1]]
    return " ".join(text for text in said if text)


PANEL = Panel("The hill", _body, lambda shown: shown.answer.ride is not None)
