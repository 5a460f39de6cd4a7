"""A line with what tries taught: a new line whose values come from them, and the next try on it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from jumpcalc.plan import limits
from jumpcalc.plan.answer import Answer
from jumpcalc.plan.inputs.declare import declared
from jumpcalc.plan.inputs.dug import Lip, Piece, RunIn
from jumpcalc.plan.inputs.line import Air, Line
from jumpcalc.plan.inputs.rider import Rider, Skill
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.field.expect import Marked, Started
from jumpcalc.plan.studies.field.fit import Fit, swings
from jumpcalc.plan.studies.field.readings import NINETY
from jumpcalc.plan.studies.field.scatter import Posterior
from jumpcalc.plan.studies.field.seen import ATTITUDE, FOOT, GUSTS, PLACE
from jumpcalc.plan.studies.field.unknowns import SCATTERS, by_name, reshaped, rolling_of
from jumpcalc.plan.studies.rideable import Refused, refused
from jumpcalc.units import from_si, to_si

__all__ = ["Forecast", "Next", "corrected_line", "forecast", "next_try"]

_MAY_BE_LEARNED = ("no speed", "no start")  # of the line as measured: what tries may show to be otherwise


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """Where 90 of 100 next tries are expected to be, from one start mark.

    `foot` [m/s], `touched` [m along the landing from its top edge, of the rear wheel] and `mark` [m before the foot], the marks
    from which as many would come to the foot at the speed in the middle; each lowest and highest.
    """

    foot: tuple[float, float]
    touched: tuple[float, float]
    mark: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Next:
    """The next try: start mark [m before the foot], speeds at the foot and the edge [m/s] that it gives by the corrected line.

    `mark` is None where the run-in is not measured or the strokes do not fit, and where the run-in is too short for the aim (both
    speeds are the aim's then): `top` is
    its length then [m before the foot]. `learned` is the forecast from these tries from the mark, or from the top, `untried` the one
    from there for the line as measured; None without either. `refused` is why there is no next try whatever the run-in: all else is None
    then. It is of `answer`, the line's as measured where that is none to ride by, else the corrected line's, which `as_measured` tells.
    """

    mark: float | None
    top: float | None = None
    foot_speed: float | None = None
    edge_speed: float | None = None
    learned: Forecast | None = None
    untried: Forecast | None = None
    refused: Refused | None = None
    answer: Answer
    as_measured: bool = False


def corrected_line(found: Fit, line: Line, *, origin: str) -> Line:
    """The line with the values that go best with tries.

    Parameters
    ----------
    found : Fit
        The fit.
    line : Line
        As measured; what the fit says nothing of stays as it is given.
    origin : str
        Where the values come from: ``"9 tries of 2026-11-14"``.

    Returns
    -------
    Line
        For `solve`. Its wind is that of the last of the days.
    """
    full, values = found.world.line, _values(found)
    sd = _sds(found)
    ground = full.run_in.surface or ""
    rolling = rolling_of(full, None) / full.bike.rolling_factor * math.exp(values[("rolling", ground)])
    spring, doubt = (full.skill.spring_mean or 0.0) + values.get(("spring", ""), 0.0), sd.get(("spring", ""), 0.0)
    day = max(key[1] for key in values if key[0] == "wind")
    band = NINETY * math.hypot(doubt, found.scatter[0])
    run_in = replace(line.run_in, rolling_resistance=_within(RunIn, "rolling_resistance", rolling, 4))
    if run_in.surface is not None and run_in.grip is not None:
        run_in = replace(run_in, surface=None)  # with both values it would set neither
    skill = replace(line.skill, speed_sd=_within(Skill, "speed_sd", float(found.scatter[1]), 1))
    if ("spring", "") in values:
        spread = {"spring_mean": spring, "spring_sd": float(found.scatter[0]), "squash": band, "spring": band}
        skill = replace(skill, **{name: _within(Skill, name, value, 2) for name, value in spread.items()})
    area = full.rider.drag_area * math.exp(values[("drag", "")])
    new = replace(
        line,
        rider=replace(line.rider, drag_area=_within(Rider, "drag_area", area, 3)),
        run_in=run_in,
        air=replace(line.air, tailwind=_within(Air, "tailwind", full.air.tailwind + values[("wind", day)], 1)),
        skill=skill,
        learned_from=origin,
    )
    return _readable(reshaped(new, lip=values.get(("lip", ""), 0.0), slope=values.get(("slope", ""), 0.0)))


def _readable(line: Line) -> Line:
    """The line with its corrected angles and stakes as a file says them: hundredths of a degree, millimetres."""
    run_in, first = line.run_in, line.jumps[0]
    if run_in.pieces is not None:
        names = {True: "slope", False: "to_slope"}
        pieces = ((piece, names[piece.slope is not None]) for piece in run_in.pieces)
        run_in = replace(run_in, pieces=tuple(replace(p, **{name: _within(Piece, name, getattr(p, name), 2)}) for p, name in pieces))
    if run_in.stakes is not None:
        run_in = replace(run_in, stakes=tuple((along, round(fall, 3)) for along, fall in run_in.stakes))
    first = replace(first, lip=replace(first.lip, angle=_within(Lip, "angle", first.lip.angle, 2)))
    return replace(line, run_in=run_in, jumps=(first, *line.jumps[1:]))


def _values(found: Fit) -> Mapping[tuple[str, str], Any]:
    return {key: float(value) for key, value in by_name(found.world.unknowns, found.after.mean).items()}


def _sds(found: Fit) -> Mapping[tuple[str, str], Any]:
    spread = np.sqrt(np.diag(found.after.covariance))
    return {key: float(value) for key, value in by_name(found.world.unknowns, spread).items()}


def _within(table: type, name: str, value: float, digits: int) -> float:
    """A value moved into what a line may say, with so many decimals in the unit of its key."""
    about = declared(table)[name]
    unit = from_si(value, kind=about.kind, unit=about.unit) if about.unit else value
    decimal = round(min(max(unit, about.low), about.high), digits) + 0.0
    return to_si(decimal, kind=about.kind, unit=about.unit) if about.unit else decimal


def next_try(found: Fit, line: Line, corrected: Line) -> Next:
    """The next try on a corrected line, with what is to be expected of it.

    Parameters
    ----------
    found : Fit
        The fit.
    line : Line
        As measured.
    corrected : Line
        From `corrected_line`.

    Returns
    -------
    Next
        On the last of the days, with the strokes and the start that the line has.
    """
    measured, answer = solve(line), solve(corrected)
    for one in (measured, answer):
        why = refused(one)
        # that the line as measured gives none is no reason where the tries say that it does
        if why is not None and (one is answer or why.why not in _MAY_BE_LEARNED):
            return Next(mark=None, refused=why, answer=one, as_measured=one is measured)
    first = answer.jumps[0]
    run_in = first.run_in
    mark = top = learned = untried = None
    if run_in is not None:
        mark = run_in.mark
        top = run_in.length if run_in.short_of_aim is not None else None
    start = top if mark is None else mark
    if start is not None:
        count = len(found.after.mean)
        learned = forecast(found, start, found.after, found.scatter)
        untried = forecast(found, start, Posterior(np.zeros(count), np.eye(count)), np.array([one.sd for one in SCATTERS]))
    speeds = {"foot_speed": first.window.foot.aim, "edge_speed": first.window.speeds.aim}
    if run_in is not None and run_in.from_top:
        speeds = {"foot_speed": run_in.foot_speed, "edge_speed": run_in.lip_speed}
    return Next(mark=mark, top=top, **speeds, learned=learned, untried=untried, answer=answer)


def forecast(found: Fit, mark: float, after: Posterior, scatter: np.ndarray) -> Forecast:
    """Where tries from a mark are expected to be: the doubt of all unknowns, and the scatter from try to try.

    Parameters
    ----------
    found : Fit
        The fit.
    mark : float
        Start mark [m before the foot].
    after : Posterior
        The unknowns.
    scatter : numpy.ndarray
        Of spring [m/s] and speed, as a share.

    Returns
    -------
    Forecast
        90 of 100.
    """
    line, step = found.world.line, 0.2
    day = max(one.of for one in found.world.unknowns if one.name == "wind")
    marks = np.array([mark, max(mark - step, 0.1)])
    begun = Started(
        mark=marks,
        strokes=np.full(2, float(line.run_in.strokes)),
        speed=np.full(2, line.run_in.start_speed),
        tailwind=np.full(2, line.air.tailwind),
        ground=(line.run_in.surface or "",) * 2,
        day=(day,) * 2,
        foot=np.full(2, np.nan),
        sensor=np.zeros(2, bool),
    )
    nowhere = np.full(2, np.inf)
    place = found.world.expected(begun, Marked(np.full(2, np.nan), -nowhere, nowhere), after.mean).place[0]
    now = swings(found.world, begun, Marked(place, -nowhere, nowhere), after.mean)
    spread = np.array([*scatter, ATTITUDE, GUSTS])
    foot, edge = (
        math.sqrt(now.jacobian[0, at] @ after.covariance @ now.jacobian[0, at] + np.sum(np.square(now.ways[0, at] * spread)))
        for at in (FOOT, PLACE)
    )
    by_mark = (now.here.foot[0] - now.here.foot[1]) / (marks[0] - marks[1])
    low, high = _span(mark, foot / max(by_mark, limits.SAME_SPEED.value))
    return Forecast(
        foot=_span(now.here.foot[0], foot),
        touched=found.world.places(begun, after.mean, _span(now.here.edge[0], edge)),
        mark=(max(low, 0.0), high),
    )


def _span(middle: float, sd: float) -> tuple[float, float]:
    return float(middle - NINETY * sd), float(middle + NINETY * sd)
