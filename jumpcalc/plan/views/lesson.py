"""What tries taught, as numbers for drawings: tries over the curve, what was narrowed, how far each lies off."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from jumpcalc.plan.ask.lip import descend
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.field.charts import charts_of, speeds_over
from jumpcalc.plan.studies.field.learn import Held, Learned
from jumpcalc.plan.studies.field.readings import NINETY
from jumpcalc.plan.terrain import prepare

__all__ = ["CurveView", "Narrowed", "Off", "TryDot", "curve_view", "narrowed_view", "off_view"]


_POINTS = 25


@dataclass(frozen=True, slots=True, kw_only=True)
class TryDot:
    """A try whose place was taped: speed before the lip [m/s], whether that was measured well, place down the landing [m]."""

    number: int
    foot: float
    measured: bool
    touched: float
    trusted: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CurveView:
    """Places of the rear wheel down the landing [m] over speeds before the lip [m/s]: rows of (speed, place).

    `learned` is the curve of the corrected line, `measured` that of the line as measured; `band` is how far to either side of the
    former 9 of 10 tries from one mark lie [m/s]; `face` the length of the landing [m].
    """

    learned: tuple[tuple[float, float], ...]
    measured: tuple[tuple[float, float], ...]
    band: float
    tries: tuple[TryDot, ...]
    face: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Narrowed:
    """One unknown: where 9 of 10 lay before is −1 to 1; `low` and `high` of what holds as many now."""

    name: str
    of: str
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Off:
    """One try against the fit, in standard deviations, faster and further positive; None where it was not measured."""

    number: int
    foot: float | None
    place: float | None
    trusted: bool


def curve_view(found: Learned) -> CurveView:
    """Tries over the curve that is expected.

    Parameters
    ----------
    found : Learned
        What tries taught.

    Returns
    -------
    CurveView
        In the wind of the corrected line.
    """
    believed = [one for one in found.held if one.trusted]
    band = NINETY * float(np.median([one.foot_sd for one in believed or found.held]))
    told = found.next.learned
    return CurveView(
        learned=_curve(found.corrected),
        measured=_curve(found.line),
        band=band if told is None else (told.foot[1] - told.foot[0]) / 2,
        tries=tuple(
            TryDot(
                number=one.number,
                foot=one.foot_seen if _well_checked(one) else one.foot,
                measured=_well_checked(one),
                touched=one.touched_seen,
                trusted=one.trusted,
            )
            for one in found.held
            if one.touched_seen is not None
        ),
        face=found.line.jumps[0].landing.length,
    )


def _well_checked(one: Held) -> bool:
    """Whether a speed check says more of a try than what is expected of it."""
    return one.foot_seen is not None and one.foot_error <= one.foot_sd


def _curve(line: Line) -> tuple[tuple[float, float], ...]:
    """Places over speeds before the lip, from the top edge of the landing to its end."""
    one = prepare(line).jumps[0]
    air = one.conditions
    (chart,) = charts_of(
        one, speeds_over(one), spring=np.zeros(1), drag=np.array([air.drag]), tailwind=np.array([air.tailwind])
    )
    if chart is None:
        return ()
    places = np.linspace(0.0, one.terrain.face, _POINTS)
    foot = descend(one, chart.needed(places)[0], one.up_the_lip)
    return tuple((float(v), float(place)) for v, place in zip(foot, places, strict=True))


def narrowed_view(found: Learned) -> tuple[Narrowed, ...]:
    """How much each unknown was narrowed, and where to.

    Parameters
    ----------
    found : Learned
        What tries taught.

    Returns
    -------
    tuple of Narrowed
        In order.
    """
    rows = []
    for one in found.taught:
        # rolling and drag are known by their logarithm
        scale = one.after / one.before if one.name in ("rolling", "drag") else 1.0
        middle = (np.log(scale) * one.before if one.name in ("rolling", "drag") else one.after - one.before) / (NINETY * one.before_sd)
        rows.append(Narrowed(name=one.name, of=one.of, low=float(middle - one.share), high=float(middle + one.share)))
    return tuple(rows)


def off_view(found: Learned) -> tuple[Off, ...]:
    """How far each try lies from what is expected of it.

    Parameters
    ----------
    found : Learned
        What tries taught.

    Returns
    -------
    tuple of Off
        Of the tries whose speed or place was measured.
    """
    rows = []
    for one in found.held:
        foot = None if one.foot_seen is None or one.mark is None else (one.foot_seen - one.foot) / math.hypot(one.foot_sd, one.foot_error)
        place = None if one.touched_seen is None else (one.touched_seen - one.touched) / one.touched_sd
        if foot is not None or place is not None:
            rows.append(Off(number=one.number, foot=foot, place=place, trusted=one.trusted))
    return tuple(rows)
