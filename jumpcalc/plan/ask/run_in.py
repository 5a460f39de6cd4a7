"""The run-in of a line ready to be ridden: from starts to the edge of the first lip, and back to where to start.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
s        distance from the top of the run-in                   m
mark     distance of a start before the foot of the lip        m
E        energy of one pedal stroke per moving mass            m²/s²
=======  ====================================================  =========

A stroke adds E/(m + m_r) to v²/2. Starts are found by following the ride back from the edge, so that
a start found in this way rides forward to just the speed it was found for.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.physics.ground import GroundLine, chain
from jumpcalc.physics.roller import Roller
from jumpcalc.physics.rolling import Track, roll
from jumpcalc.plan.ask.lip import climb, descend
from jumpcalc.plan.inputs import line as measured
from jumpcalc.plan.inputs.assume import grip_of, ground_pieces, stroke_energy, strokes_that_fit
from jumpcalc.plan.inputs.declare import declared
from jumpcalc.plan.terrain import Prepared, PreparedLine, braking_of

__all__ = ["MOST_STROKES", "RunIn", "run_in_of"]

MOST_STROKES = int(declared(measured.RunIn)["strokes"].high)
"""What a line may ask for."""

_SAME_ENERGY = 1e-9  # m²/s², a rounding of v²
_READ_TO = 0.16  # m, half of a whole foot


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RunIn:
    """A run-in ready to be ridden: ground with s = 0 at its top, and what the rider does on it.

    `stroke` is E/(m + m_r) of all strokes together [m²/s²]; `strokes_at` the distance s at which they
    are made, or None for the start mark.
    """

    ground: GroundLine
    foot: float
    course: Prepared
    start_speed: float
    stroke_energy: float
    strokes: int
    strokes_at: float | None
    development: float
    braking: float | None
    brake_use: float
    area_per_drag: float

    @property
    def stroke(self) -> float:
        return self.strokes * self.stroke_energy

    def roller(self, **changes: np.ndarray) -> Roller:
        """What rolls here; `changes` replaces entries of it."""
        return replace(self.course.roller(self.course.conditions.lip_rolling, self.course.body.height), **changes)

    def forward(
        self, start: np.ndarray, roller: Roller, *, track: bool = False
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray, list[Track]]:
        """Speed at the foot and at the edge [m/s] and time to the foot [s] from starts s [m]; NaN where the rider halts.

        `track` keeps the way to the foot.
        """
        start = np.atleast_1d(np.asarray(start, dtype=float))
        at = start if self.strokes_at is None else np.maximum(start, self.strokes_at)
        tracks = []
        speed, time = np.full(start.shape, self.start_speed), np.zeros(start.shape)
        halted = np.zeros(start.shape, bool)
        if np.any(at > start):
            # rows that make their strokes at once wait at the place of the others
            first = roll(self.ground, start, speed, roller, end=float(self.strokes_at), track=track)
            waits = start >= at
            speed = np.where(waits, speed, first.speed)
            time = np.where(waits, 0.0, first.time)
            halted |= ~waits & ~first.reached
            tracks.append(first)
        speed = np.sqrt(speed**2 + 2 * self.stroke)
        on = roll(self.ground, at, speed, roller, end=self.foot, track=track)
        tracks.append(on)
        halted |= ~on.reached
        foot, time = np.where(halted, np.nan, on.speed), np.where(halted, np.nan, time + on.time)
        edge, up = climb(self.course, foot, roller)
        tracks.append(up)
        return foot, np.where(halted, np.nan, edge), time, tracks

    def mark(self, given: float) -> float | None:
        """A start mark [m before the foot] that is on it, the top where it is further up by what a printed length is rounded; else None."""
        return min(given, self.foot) if 0 < given <= self.foot + _READ_TO else None

    def fits(self, start: float) -> bool:
        """Whether the strokes fit the ground from a start s [m] on."""
        return self.strokes * self.development <= self._room(start) + 1e-9

    def most_strokes(self, start: float) -> int:
        """How many strokes fit the ground from a start s [m] on."""
        return int(self._room(start) / self.development + 1e-9)

    def _room(self, start: float) -> float:
        """Ground for strokes from a start s [m] on."""
        return self.foot - (start if self.strokes_at is None else max(start, self.strokes_at))

    def starts(self, lip_speeds: np.ndarray, roller: Roller) -> np.ndarray:
        """Starts s [m] that leave the edge at these speeds [m/s]; NaN where the run-in is too short, or too fast anywhere."""
        lip_speeds = np.atleast_1d(np.asarray(lip_speeds, dtype=float))
        foot = descend(self.course, lip_speeds, roller)
        with_strokes = math.sqrt(self.start_speed**2 + 2 * self.stroke)
        end = 0.0 if self.strokes_at is None else self.strokes_at
        first = roll(self.ground, self.foot, foot, roller, end=end, back=True, stop_speed=with_strokes)
        # who comes to the very foot with more than is wanted has no start that is slow enough
        too_fast = (first.s >= self.foot) & (foot < with_strokes - 1e-9)
        found = np.where(first.stopped & ~too_fast, first.s, np.nan)
        arrived, wanted = first.speed, with_strokes
        if self.strokes_at is not None:
            earlier = ~first.stopped
            slower = np.sqrt(np.maximum(first.speed**2 - 2 * self.stroke, 0.0))
            rest = roll(self.ground, end, slower, roller, end=0.0, back=True, stop_speed=self.start_speed)
            found = np.where(earlier & rest.stopped, rest.s, found)
            arrived, wanted = np.where(earlier, rest.speed, np.nan), self.start_speed
        # the very top is a start as well; near a standstill it is v² that is known to a rounding, not v
        top = ~np.isfinite(found) & (np.abs(arrived**2 - wanted**2) < _SAME_ENERGY)
        return np.where(top, 0.0, found)


@lru_cache(maxsize=128)
def run_in_of(prepared: PreparedLine) -> RunIn | None:
    """The run-in of the first jump, None where it is not measured.

    Parameters
    ----------
    prepared : PreparedLine
        The line.

    Returns
    -------
    RunIn or None
        Ready to be ridden.

    Raises
    ------
    InputError
        Where the strokes asked for do not fit the ground.
    """
    line, course = prepared.line, prepared.jumps[0]
    pieces = ground_pieces(line.run_in, "run-in")
    if not pieces:
        return None
    ground = chain(pieces)
    foot = ground.end
    strokes_at = line.run_in.strokes_at
    room = foot if strokes_at is None else min(strokes_at, foot)
    fit = strokes_that_fit(line, room)
    if line.run_in.strokes > fit:
        raise InputError(
            f"{line.run_in.strokes}; only {fit} fit on {room:.3g} m before the foot of the lip, "
            f"each needs {line.bike.development:.3g} m (bike.development_m)",
            key="run_in.strokes",
        )
    return RunIn(
        ground=ground,
        foot=foot,
        course=course,
        start_speed=line.run_in.start_speed,
        stroke_energy=stroke_energy(line),
        strokes=line.run_in.strokes,
        strokes_at=None if strokes_at is None else max(foot - strokes_at, 0.0),
        development=line.bike.development,
        braking=braking_of(line, grip_of(line.run_in)),
        brake_use=line.rider.brake_use,
        area_per_drag=2 * line.rider.mass / course.conditions.density,
    )
