"""The whole line on its hill, with the speed along it."""

from __future__ import annotations

from jumpcalc.plan.answer import RideStep
from jumpcalc.show.page import worked
from jumpcalc.show.page.common import Panel, Shown, drawing, plain, small, table
from jumpcalc.show.words import run_in, stopping
from jumpcalc.show.words.jump import foot, outcome
from jumpcalc.show.words.notes import look_at
from jumpcalc.show.words.ride import ride
from jumpcalc.show.words.said import inward

__all__ = ["PANEL", "show"]


def show(shown: Shown, own: float | None = None) -> None:
    """Hill, marks and speed, and the same numbers as tables.

    Parameters
    ----------
    shown : Shown
        What is looked at.
    own : float, optional
        The rider's own start mark [m before the lip]; else the ride is the one from the aim's, or from the top.
    """
    first = shown.answer.jumps[0]
    mark = own if own is not None else first.run_in.marks[1]
    whose = "your start mark" if own is not None else "the top of the run-in" if mark is None else "the aim's start mark"
    view, drawn = worked.hill(shown.line, mark, shown.reader, shown.stamp)
    drawing(drawn, alt=_message(shown, whose))
    tape = foot(first)
    small(
        plain(
            f"The ride from {whose}, {shown.length(view.mark)} before the {tape}. Triangles: start marks; bar: where dirt, wind and a "
            "misread slope put the aim's; square: the last place to decide to stop before the first lip."
        )
    )
    if view.marks:
        table(["mark", f"before the {tape}"], [[mark.name, shown.length(inward(mark.name, mark.before_foot))] for mark in view.marks])
    rows = [_row(shown, number, step) for number, step in enumerate(view.steps)]
    if rows:
        table([f"from {shown.length(view.mark)}", "before the lip", "at the edge", "what happens"], rows)
    if view.ended is not None:
        small(plain(*shown.texts(look_at((view.ended,), jumps=len(shown.answer.jumps)))))


def _row(shown: Shown, number: int, step: RideStep) -> list[str]:
    jump = shown.answer.jumps[number]
    before = "–" if jump.shape == "drop" else shown.speed(step.foot_speed)
    return [jump.name or f"jump {number + 1}", before, shown.speed(step.landing.lip_speed), outcome(step.landing, jump.shape)]


def _message(shown: Shown, whose: str) -> str:
    """The drawing in words."""
    first = shown.answer.jumps[0]
    said = [f"The hill to true scale with the speed along it, ridden from {whose}.", *run_in.start(first)[:1]]
    said += [stopping.before(first), *ride(shown.answer)[:1]]
    return " ".join(text for text in shown.texts(said) if text)


PANEL = Panel("The hill", show, lambda shown: shown.answer.ride is not None)
