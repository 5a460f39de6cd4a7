"""The first jump ridden from a start mark of the rider's own choice."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.plan.answer import LandingResult
from jumpcalc.plan.ask.landings import land
from jumpcalc.plan.ask.run_in import run_in_of
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.terrain import prepare

__all__ = ["FromMark", "from_mark"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FromMark:
    """A ride from one start mark: speeds [m/s] at foot and edge, time to the foot [s], landing.

    All but `mark` are None where the rider halts before the edge.
    """

    mark: float
    foot_speed: float | None
    lip_speed: float | None
    roll_time: float | None
    landing: LandingResult | None


def from_mark(line: Line, mark: float, *, strokes: int | None = None) -> FromMark | None:
    """The first jump of a line ridden from a start mark.

    Parameters
    ----------
    line : Line
        As measured.
    mark : float
        Start mark [m before the foot of the lip], 0 to the length of the run-in.
    strokes : int, optional
        Pedal strokes that are made; those of the line when not given.

    Returns
    -------
    FromMark or None
        None where the run-in is not measured.

    Raises
    ------
    InputError
        If the mark does not lie on the run-in, strokes that are given do not fit from there, or inputs of the line contradict
        each other.
    """
    prepared = prepare(line)
    one, run_in = prepared.jumps[0], run_in_of(prepared)
    if run_in is None:
        return None
    given, mark = mark, run_in.mark(mark)
    if mark is None:
        raise InputError(
            f"{given:.4g} m; allowed above 0 to {run_in.foot:.4g} m, the length of the run-in", key="start mark"
        )
    start = max(run_in.foot - mark, 0.0)
    if strokes is not None:
        run_in = replace(run_in, strokes=strokes)
        if strokes < 0 or not run_in.fits(start):
            raise InputError(
                f"{strokes}; allowed 0 to {run_in.most_strokes(start)}, what fits from {mark:.4g} m before the foot of the lip",
                key="strokes",
            )
    foot, edge, time, _ = run_in.forward(np.array([start]), run_in.roller())
    if not np.isfinite(edge[0]):
        return FromMark(mark=mark, foot_speed=None, lip_speed=None, roll_time=None, landing=None)
    return FromMark(
        mark=mark,
        foot_speed=float(foot[0]),
        lip_speed=float(edge[0]),
        roll_time=float(time[0]),
        landing=land(one, edge).result(0),
    )
