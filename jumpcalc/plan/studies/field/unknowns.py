"""What is not known of a line before anyone has ridden it: each unknown with its prior, and the line that has other values.

Priors are the accuracies that the line file tells and the stated spread of defaults; of a bound ±a within which anything is as
likely, the standard deviation is a/√3 (JCGM 100:2008, 4.3.7). An unknown is counted in standard deviations of its prior.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from jumpcalc.plan import limits
from jumpcalc.plan.inputs.assume import complete, ground_pieces
from jumpcalc.plan.inputs.dug import Piece
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.surfaces import SURFACES
from jumpcalc.plan.studies.field.kinds import Sensor
from jumpcalc.plan.studies.field.tries import Try

__all__ = ["SCATTERS", "Scatter", "Unknown", "by_name", "reshaped", "rolling_of", "unknowns_of"]

_BOUND = 1 / math.sqrt(3)
_FLAT = math.radians(3)  # a run-in that falls less is no more doubtful than one that falls so much


@dataclass(frozen=True, slots=True, kw_only=True)
class Unknown:
    """One unknown.

    `name` is ``"rolling"`` (logarithm of a factor on the rolling resistance of the ground `of`), ``"drag"`` (of a factor on the drag
    area), ``"lip"`` (on the lip angle [rad]), ``"spring"`` (on the rider's mean spring [m/s]), ``"slope"`` (share by which the slopes of
    the run-in are steeper) ``"sensor"`` (share by which a
    wheel sensor shows too much) or ``"wind"`` (on the tailwind [m/s] of the day `of`). `sd` is the standard deviation of its prior, whose
    mean is 0.
    """

    name: str
    sd: float
    of: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scatter:
    """What differs from one try to the next: `sd` as it is taken before any try, `doubt` the standard deviation of its logarithm."""

    name: str
    sd: float
    doubt: float


SCATTERS = (
    Scatter(name="spring", sd=0.15, doubt=0.5),
    Scatter(name="speed", sd=0.012, doubt=0.5),
)
"""Of the spring across the lip [m/s] and of the speed at the foot from the same mark, as a share of it: assumptions."""


def unknowns_of(line: Line, tries: Sequence[Try]) -> tuple[Unknown, ...]:
    """The unknowns of a line that tries may tell of.

    Parameters
    ----------
    line : Line
        As measured.
    tries : sequence of Try
        The tries.

    Returns
    -------
    tuple of Unknown
        In order; of grounds the line's own first, of days the earliest first.
    """
    filled = complete(line)[0]
    own = filled.run_in.surface or ""
    grounds = sorted({one.surface or own for one in tries} | {own}, key=lambda name: (name != own, name))
    pieces = ground_pieces(filled.run_in, "run-in")
    found = [Unknown(name="rolling", sd=limits.ROLLING_DOUBT.value * _BOUND, of=ground) for ground in grounds]
    drag = min(limits.DRAG_DOUBT.value / max(filled.rider.drag_area, 1e-9), 1.0)
    found.append(Unknown(name="drag", sd=drag * _BOUND))
    found.append(Unknown(name="lip", sd=limits.BOARD.value * _BOUND))
    found.append(Unknown(name="spring", sd=0.5 * (filled.skill.squash + filled.skill.spring) * _BOUND))
    if pieces:
        found.append(Unknown(name="slope", sd=filled.run_in.slope_accuracy * _BOUND / max(_steepness(filled), _FLAT)))
    sensors = [one.reading for one in tries if one.measured == Sensor.word]
    if sensors:
        found.append(Unknown(name="sensor", sd=max(one.errors["circumference"] / one.speed for one in sensors)))
    days = sorted({one.date for one in tries})
    return (*found, *(Unknown(name="wind", sd=limits.WIND_DOUBT.value * _BOUND, of=day) for day in days))


def _steepness(line: Line) -> float:
    """Mean of the slopes of a run-in by their length, uphill or down [rad]."""
    pieces, slope, total, length = ground_pieces(line.run_in, "run-in"), 0.0, 0.0, 0.0
    for piece in pieces:
        if hasattr(piece, "slope"):
            slope, long = piece.slope, piece.length
            total += abs(slope) * long
        else:
            long = piece.radius * abs(piece.to_slope - slope)
            total += abs(piece.to_slope + slope) / 2 * long
            slope = piece.to_slope
        length += long
    return total / length


def reshaped(line: Line, *, lip: float, slope: float) -> Line:
    """The line with another lip angle and another steepness of its run-in.

    Parameters
    ----------
    line : Line
        As measured.
    lip : float
        What is added to the angle of the first lip [rad]; of a drop nothing: its edge is the run-in's end.
    slope : float
        Share by which the slopes of the run-in are steeper.

    Returns
    -------
    Line
        The ground that bikes seem to have ridden.
    """
    first = line.jumps[0]
    run_in = line.run_in
    if slope and run_in.pieces is not None:
        run_in = replace(run_in, pieces=tuple(_steeper(piece, 1 + slope) for piece in run_in.pieces))
    if slope and run_in.stakes is not None:
        run_in = replace(run_in, stakes=tuple((along, fall * (1 + slope)) for along, fall in run_in.stakes))
    if lip:
        first = replace(first, lip=replace(first.lip, angle=first.lip.angle + lip))
    return replace(line, run_in=run_in, jumps=(first, *line.jumps[1:]))


def _steeper(piece: Piece, factor: float) -> Piece:
    if piece.length is not None:
        return replace(piece, slope=piece.slope * factor)
    return replace(piece, to_slope=piece.to_slope * factor)


def rolling_of(line: Line, surface: str | None) -> float:
    """Rolling resistance of the bike on the run-in.

    Parameters
    ----------
    line : Line
        With its defaults filled in.
    surface : str or None
        Another ground than the line's, where a try says so.

    Returns
    -------
    float
        Rolling resistance coefficient.
    """
    own = line.run_in.rolling_resistance
    if surface is not None and surface != line.run_in.surface:
        own = SURFACES[surface].rolling_resistance
    elif own is None:
        own = SURFACES[line.run_in.surface].rolling_resistance
    return own * line.bike.rolling_factor


def by_name(unknowns: Sequence[Unknown], values: np.ndarray) -> Mapping[tuple[str, str], Any]:
    """Columns of values in units of the unknowns themselves.

    Parameters
    ----------
    unknowns : sequence of Unknown
        The unknowns.
    values : numpy.ndarray
        In standard deviations of their priors, shape (..., p).

    Returns
    -------
    mapping
        By name and what each is of.
    """
    return {(one.name, one.of): values[..., i] * one.sd for i, one in enumerate(unknowns)}
