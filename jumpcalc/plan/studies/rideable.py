"""Whether an answer is one to ride by, and from which start marks: what a card, a test day and a pocket page must not miss."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.ask.run_in import run_in_of
from jumpcalc.plan.ask.today import NOT_TODAY
from jumpcalc.plan.notes import Code
from jumpcalc.plan.terrain import prepare

__all__ = ["NOT_AT_ALL", "Marks", "Refused", "marks", "refused"]

NOT_AT_ALL = ("today", "outside", "exact", "narrow")
"""Reasons of `Refused` after which nothing to ride by is told of a line as it is given."""


_AT_TOP = 0.05  # m


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """Why an answer is none to ride by.

    `why` is ``"today"`` (wet ground, side wind), ``"outside"`` (nothing stands behind a speed), ``"exact"`` (next to no speed lands
    clean), ``"narrow"`` (a landing narrower than a handlebar), ``"no speed"``, ``"no room"``, ``"no stop"`` (the last slope is too
    steep to stop on) or ``"no start"`` (none rides the whole line clean); `jump` its number where it is one jump's, `missing` how
    much room lacks [m], `code` what it is today.
    """

    why: str
    jump: int | None = None
    missing: float | None = None
    code: Code | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """Start marks [m before the foot of the first lip] and the speeds at that foot and at the lip's edge [m/s] they give.

    From `short` to `long` all jumps of the line land clean; `mark` is the one to ride from.
    """

    short: float
    mark: float
    long: float
    foot: tuple[float, float, float]
    edge: tuple[float, float, float]


def refused(answer: Answer) -> Refused | None:
    """Why an answer is none to ride by.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.

    Returns
    -------
    Refused or None
        The first reason that there is; None where nothing known speaks against it. Room to stop that was not measured is none.
    """
    for number, jump in enumerate(answer.jumps, start=1):
        if jump.no_ride is not None:
            return Refused(why=_kind(jump.no_ride.code), jump=number, code=jump.no_ride.code)
        if any(of.code is Code.NARROWER_THAN_A_HANDLEBAR for of in jump.beware):
            return Refused(why="narrow", jump=number)
        if jump.window.speeds is None:
            return Refused(why="no speed", jump=number)
        if jump.way_out is None and jump.stop is not None and not jump.stop.stops:
            if jump.stop.margin is None:
                return Refused(why="no stop", jump=number)
            return Refused(why="no room", jump=number, missing=-jump.stop.margin)
    if len(answer.jumps) > 1 and answer.ride is not None and answer.ride.window is None:
        return Refused(why="no start")
    return None


def _kind(code: Code) -> str:
    """Which `why` a note stands for that gives no speed to ride."""
    if code in NOT_TODAY:
        return "today"
    return "exact" if code is Code.NO_SPEED_LIES_INSIDE else "outside"


def marks(answer: Answer) -> Marks | None:
    """The start marks that ride the whole line clean.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.

    Returns
    -------
    Marks or None
        Ridden from where the first jump is to be started for where that is one of them, else from the middle of them; None where the
        run-in is not measured or has no such mark, where a single jump has no start, and where only the length of the run-in keeps a
        line from one.
    """
    if answer.ride is None or answer.ride.window is None:
        return None
    short, long = answer.ride.window
    found = answer.jumps[0].run_in
    start = found.mark
    if start is None and (len(answer.jumps) == 1 or (found.missing is not None and long > found.length - _AT_TOP)):
        return None
    mark = start if start is not None and short <= start <= long else 0.5 * (short + long)
    run_in = run_in_of(prepare(answer.line))
    starts = run_in.foot - np.clip((short, mark, long), 1e-6, run_in.foot)
    foot, edge, _, _ = run_in.forward(starts, run_in.roller())
    if not np.isfinite(edge).all():
        return None
    return Marks(short=short, mark=mark, long=long, foot=tuple(map(float, foot)), edge=tuple(map(float, edge)))
