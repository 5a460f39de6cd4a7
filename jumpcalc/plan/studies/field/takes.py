"""What it would take for a way of measuring to tell a window that it cannot tell now: every proposal was worked out."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.field.check import Band, Check, bands_of
from jumpcalc.plan.studies.field.cones import Cones
from jumpcalc.plan.studies.field.kinds import Filmed, Reading, Timed
from jumpcalc.plan.studies.field.readings import NINETY
from jumpcalc.plan.studies.field.way import Way, way_before
from jumpcalc.plan.studies.field.window import Grade
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import vary

__all__ = ["LEVEL", "Takes", "what_it_takes"]

LEVEL = math.radians(0.3)
"""How far off a slope may be that is read from a digital level; common practice, no source."""

_MOST_RUNS = 20
_CAMERA = 30.0  # m
_STRETCH = 2.0  # times as far apart


@dataclass(frozen=True, slots=True, kw_only=True)
class Takes:
    """What makes one way of measuring good enough: what is None or False stays as it is.

    `runs` timed by hand, frames a second `rate`, cones `length` apart [m], the camera so far beside them [m], the slopes measured
    with a digital `level`; then 90 of 100 lie within `ninety` [m/s].
    """

    kind: type[Reading]
    runs: int | None
    rate: int | None
    length: float | None
    camera: float | None
    level: bool
    ninety: float


def what_it_takes(found: Check, kind: type[Reading]) -> Takes | None:
    """What would make timing by hand, or filming, good enough here.

    Parameters
    ----------
    found : Check
        The check as it is.
    kind : type of Reading
        `Timed` or `Filmed`.

    Returns
    -------
    Takes or None
        The least that does; None where it is good enough now, or where nothing tried does: then it is not for this window.
    """
    if found.window is None or found.cones is None or any(isinstance(band.reading, kind) for band in found.good):
        return None
    line = found.answer.line
    way = way_before(prepare(line), 0)
    for changed, cones, level in _tries(line, found.cones, way, filmed=kind is Filmed):
        bands = [band for band in bands_of(changed, found.window, cones, None) if isinstance(band.reading, kind)]
        told = {
            "length": cones.length if cones.length != found.cones.length else None,
            "camera": cones.camera if kind is Filmed and cones.camera > found.cones.camera else None,
            "level": level,
        }
        if kind is Timed and bands:
            runs, ninety = _runs(bands[0], found)
            if runs is not None:
                return Takes(kind=kind, runs=runs, rate=None, ninety=ninety, **told)
        for band in bands:
            if kind is Filmed and band.grade is Grade.GOOD:
                return Takes(kind=kind, runs=None, rate=int(band.reading.rate), ninety=band.ninety, **told)
    return None


def _tries(line: Line, cones: Cones, way: Way, *, filmed: bool) -> Iterator[tuple[Line, Cones, bool]]:
    """Ever more effort: as it is, the camera further off, a better level, cones further apart."""
    lines = [(line, False)]
    if way.known and way.tilt > LEVEL:
        lines.append((vary(line, {"run_in.slope_accuracy_deg": math.degrees(LEVEL)}), True))
    room = way.room - way.course.rig.wheelbase / 2 - cones.before_foot
    lengths = [cones.length] + ([_STRETCH * cones.length] if _STRETCH * cones.length <= room else [])
    cameras = [cones.camera] + ([_CAMERA] if filmed and cones.camera < _CAMERA else [])
    for length in lengths:
        for changed, level in lines:
            for camera in cameras:
                yield changed, replace(cones, length=length, camera=camera), level


def _runs(once: Band, found: Check) -> tuple[int | None, float]:
    """The fewest runs whose mean is good enough, and its 90 of 100 [m/s]; None where no number is."""
    shares = dict(once.shares)
    timing = shares.pop("timing") * math.sqrt(once.reading.runs or 1)
    rest = sum(share**2 for share in shares.values())
    left = (0.5 * found.window.half / NINETY) ** 2 - rest
    if left <= 0:
        return None, math.nan
    runs = max(math.ceil(timing**2 / left), 1)
    return (runs if runs <= _MOST_RUNS else None), NINETY * math.sqrt(timing**2 / runs + rest)
