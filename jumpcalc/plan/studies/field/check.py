"""Answer -> Check: where to set two cones before the first lip, and what is too slow, in the window and too fast by each way of measuring.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
L        distance of the cones                                 m
U        half of the interval that holds 90 of 100             m/s
half     half of the window of foot speeds                     m/s
=======  ====================================================  =========

A way of measuring is good enough here where U ≤ half/2, it still tells something where U ≤ half; below that no window is
given for it. Nothing of it jumps the lip: whoever checks leaves the run-in before it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.plan.answer import Answer, JumpAnswer
from jumpcalc.plan.inputs.declare import declared
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.notes import Note
from jumpcalc.plan.studies.field.cones import Cones, cones_before, last_place
from jumpcalc.plan.studies.field.kinds import Airtime, Filmed, Passing, Reading, Receiver, Sensor, Timed
from jumpcalc.plan.studies.field.readings import NINETY, Measured, measured, shown
from jumpcalc.plan.studies.field.way import way_before
from jumpcalc.plan.studies.field.window import Grade, Window, grade_of, window_of
from jumpcalc.plan.terrain import prepare

__all__ = ["RATES", "RUNS", "Band", "Check", "bands_of", "check"]

RATES = (30, 60, 120, 240)
"""Frames a second of phones."""

RUNS = (1, 3, 10)
"""How many runs are timed by hand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """What one way of measuring shows at the slow end, the aim and the fast end of the window: s, frames or m/s.

    `reading` is how it would look at the aim. Frames are whole ones, inside the window; `slow` is None where nothing is too
    slow. `ninety` is half of the interval that holds 90 of 100 [m/s at the foot], `shares` what adds to it.
    """

    reading: Reading
    slow: float | None
    aim: float
    fast: float
    ninety: float
    shares: tuple[tuple[str, float], ...]
    grade: Grade


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """The speed check of a line's first jump.

    `why_none` says why there is none; then `window` and `cones` are None and `bands` is empty. `cones` is also None where the
    ground before the lip is too short for them. `known_ground` is whether that ground was measured.
    """

    answer: Answer
    example: bool
    why_none: Note | None
    window: Window | None
    cones: Cones | None
    bands: tuple[Band, ...]
    known_ground: bool

    @property
    def jump(self) -> JumpAnswer:
        """The jump that is checked for."""
        return self.answer.jumps[0]

    def places(self, kind: type[Reading]) -> dict[str, float]:
        """Where that kind of reading is made if the check is followed, by input [m]: cones, post, camera; empty where it has no place."""
        if self.cones is None or kind is Airtime:
            return {}
        told = {"length": self.cones.length, "before_foot": self.cones.before_foot, "camera": self.cones.camera}
        return {name: value for name, value in told.items() if name in declared(kind)}

    @property
    def good(self) -> tuple[Band, ...]:
        """Ways of measuring that are good enough."""
        return tuple(band for band in self.bands if band.grade is Grade.GOOD)

    @property
    def telling(self) -> tuple[Band, ...]:
        """Ways of measuring that tell it well enough, then those that tell it roughly."""
        return (*self.good, *(band for band in self.bands if band.grade is Grade.ROUGH))


def check(answer: Answer, *, example: bool = False) -> Check:
    """The speed check of a line's first jump.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    example : bool
        Whether it is an example, not the reader's own jump.

    Returns
    -------
    Check
        Where to set cones, and what each way of measuring shows at the ends of the window.
    """
    line = answer.line
    prepared = prepare(line)
    way = way_before(prepared, 0)
    window = window_of(answer, prepared.jumps[0])
    if isinstance(window, Note):
        return Check(
            answer=answer, example=example, why_none=window, window=None, cones=None, bands=(), known_ground=way.known
        )
    cones = cones_before(line, way, window)
    return Check(
        answer=answer,
        example=example,
        why_none=None,
        window=window,
        cones=cones,
        bands=bands_of(line, window, cones, last_place(way)),
        known_ground=way.known,
    )


@lru_cache(maxsize=64)
def bands_of(line: Line, window: Window, cones: Cones | None, near: float | None) -> tuple[Band, ...]:
    """What every way of measuring shows at the ends of a window.

    Parameters
    ----------
    line : Line
        As measured.
    window : Window
        Speeds at the foot.
    cones : Cones or None
        Where they stand.
    near : float or None
        How far before the foot a sensor is read and a post stands [m]; None for neither.

    Returns
    -------
    tuple of Band
        By hand, filmed, at a post, sensors, receiver; those that the ground is long enough for.
    """
    bands = []
    for readings in _ways(cones, near):
        try:
            bands += _bands(line, window, readings)
        except InputError:  # it does not fit the ground, or nobody comes from there so slowly
            continue
    return tuple(bands)


def _ways(cones: Cones | None, near: float | None) -> Iterator[list[Reading]]:
    """Ways of measuring with nothing measured yet; those of a list look at the same passage, the last one closest."""
    if cones is not None:
        where = {"length": cones.length, "before_foot": cones.before_foot}
        yield [
            *(Timed(**where, time=1.0, runs=runs) for runs in RUNS),
            *(Filmed(**where, frames=rate, rate=rate, camera=cones.camera) for rate in RATES),
        ]
    if near is None:
        return
    yield [Passing(frames=rate, rate=rate, before_foot=near) for rate in RATES[1:]]
    yield [Sensor(speed=10.0, before_foot=near, rolled_out=rolled) for rolled in (False, True)]
    yield [Receiver(speed=10.0, before_foot=near)]


def _bands(line: Line, window: Window, readings: list[Reading]) -> Iterator[Band]:
    """What ways of measuring show that look at the same passage."""
    ends = [float(value) for value in shown(line, readings[-1], np.array([window.low, window.aim, window.high]))]
    closest = measured(line, _shows(readings[-1], ends[1]))
    for reading in readings:
        reading = _shows(reading, ends[1])
        yield _band(window, reading, ends, _shares(reading, closest))


def _shares(reading: Reading, closest: Measured) -> tuple[tuple[str, float], ...]:
    """What adds to the uncertainty of a reading: in proportion to its own errors, from one of the same passage (JCGM 100, eq. 10)."""
    own, others = reading.errors, closest.reading.errors
    shares = {name: share * own.get(name, 0.0) / others[name] if name in others else share for name, share in closest.shares}
    return tuple(sorted(shares.items(), key=lambda share: -share[1]))


def _band(window: Window, reading: Reading, ends: list[float], shares: tuple[tuple[str, float], ...]) -> Band:
    """One way of measuring, from what it shows at the slow end, the aim and the fast end."""
    slow, aim, fast = ends
    ninety = NINETY * math.sqrt(sum(share**2 for _, share in shares))
    grade = grade_of(ninety, window)
    if isinstance(reading, (Filmed, Passing)):
        slow = math.floor(slow * reading.rate + 1e-9) if math.isfinite(slow) else slow
        aim, fast = aim * reading.rate, math.ceil(fast * reading.rate - 1e-9)
        if fast > slow:  # no whole frame lies in the window
            grade = Grade.NOT
    return Band(
        reading=reading,
        slow=None if window.from_rest or not math.isfinite(slow) else slow,
        aim=aim,
        fast=fast,
        ninety=ninety,
        shares=shares,
        grade=grade,
    )


def _shows(reading: Reading, value: float) -> Reading:
    """The same way of measuring, having shown a value."""
    if not math.isfinite(value):
        raise InputError("nobody comes from there at that speed", key=reading.word)
    if isinstance(reading, Timed):
        return replace(reading, time=value)
    if isinstance(reading, (Filmed, Passing)):
        return replace(reading, frames=value * reading.rate)
    return replace(reading, speed=value)
