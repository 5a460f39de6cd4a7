"""The ground before a lip as it is measured on: followed back from the foot to where a stopwatch or a sensor stood.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
s        distance along the ground before the lip              m
v        speed of the centre of mass                           m/s
q        1 − h_c κ: the wheels roll v/q                        –
e        v²/2                                                  m²/s²
=======  ====================================================  =========

Places are the bike's middle, between its wheels' contacts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.physics.ground import GroundLine, Straight, chain
from jumpcalc.physics.roller import Roller
from jumpcalc.physics.rolling import roll
from jumpcalc.plan import limits
from jumpcalc.plan.ask.run_in import run_in_of
from jumpcalc.plan.inputs.assume import foot_slope, ground_pieces
from jumpcalc.plan.studies.field.kinds import BOUND
from jumpcalc.plan.terrain import Prepared, PreparedLine

__all__ = ["UNMEASURED_ROOM", "Passage", "Way", "way_before"]

UNMEASURED_ROOM = 8.0
"""Ground before a foot that nothing was measured of, on which one may measure all the same [m]: assumption."""


@dataclass(frozen=True, slots=True, eq=False)
class Passage:
    """How n rows pass one place: speed of the centre of mass, of the wheels, time from there to the foot, acceleration.

    Rows that stood still further down, followed back, have not come from there: NaN.
    """

    speed: np.ndarray
    wheels: np.ndarray
    time: np.ndarray
    acceleration: np.ndarray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Way:
    """The ground before one lip and what rolls on it.

    `room` is how much ground before the foot may be measured on [m], `known` whether it was measured; `tilt` the standard
    uncertainty of its slopes [rad]. Pedal strokes add `stroke` [m²/s²] to v²/2 at the place `strokes_at`, None where they
    are made at the start mark, which lies before all that is measured.
    """

    ground: GroundLine
    foot: float
    room: float
    known: bool
    course: Prepared
    stroke: float
    strokes_at: float | None
    tilt: float

    def roller(self, **rows: np.ndarray) -> Roller:
        """What rolls here, with entries replaced by rows."""
        return replace(self.course.up_the_lip, **rows)

    def passages(self, foot_speed: np.ndarray, places: Sequence[float], roller: Roller) -> list[Passage]:
        """How rows that come to the foot at these speeds [m/s] pass places [m before the foot], in the order given."""
        speed = np.asarray(foot_speed, dtype=float)
        time, at = np.zeros(speed.shape), self.foot
        by_place = {}
        stops = {self.foot - place: False for place in places}
        if self.stroke and self.strokes_at is not None and any(s <= self.strokes_at for s in stops):
            # who stands at the very place of the strokes has them before him
            stops[self.strokes_at] = True
        for s in sorted(stops, reverse=True):
            if s < at:
                ridden = roll(self.ground, at, speed, roller, end=s, back=True)
                speed = np.where(ridden.reached & (ridden.speed > 0), ridden.speed, np.nan)
                time, at = time + ridden.time, s
            if stops[s]:
                before = speed * speed - 2 * self.stroke
                speed = np.sqrt(np.where(before > 0, before, np.nan))
            by_place[s] = self._passage(s, speed, time, roller)
        return [by_place[self.foot - place] for place in places]

    def speeds(self, foot_speed: np.ndarray, places: np.ndarray) -> np.ndarray:
        """Speeds [m/s] at places [m before the foot] after the last stroke, of shape (n, places); NaN where none comes from there."""
        ridden = roll(self.ground, self.foot, foot_speed, self.roller(), end=self.foot - float(np.max(places)), back=True, track=True)
        return ridden.speed_at(self.foot - np.asarray(places))

    def _passage(self, s: float, speed: np.ndarray, time: np.ndarray, roller: Roller) -> Passage:
        """A passage at a distance s of the ground."""
        piece = int(self.ground.piece_at(np.array(s - 1e-9)))
        curvature = float(self.ground.curvature[piece])
        slope = float(self.ground.slope[piece]) + curvature * (s - float(self.ground.start[piece]))
        q = 1 - self.course.body.height * curvature
        acceleration = roller.slowing(0.5 * speed * speed, slope, curvature) / q
        return Passage(speed, speed / q, np.where(np.isfinite(speed), time, np.nan), acceleration)


def way_before(prepared: PreparedLine, jump: int) -> Way:
    """The ground before the lip of a jump.

    Parameters
    ----------
    prepared : PreparedLine
        The line.
    jump : int
        Which one, from 0.

    Returns
    -------
    Way
        Of a foot before which nothing was measured: straight on at the slope that is taken there, with a doubt to match.
    """
    line, one = prepared.line, prepared.jumps[jump]
    before = line.run_in if jump == 0 else line.jumps[jump - 1].runout
    pieces = ground_pieces(before, "run-in")
    known = bool(pieces)
    if not known:
        slope = one.terrain.angle if one.terrain.shape == "drop" else foot_slope(line, jump)
        pieces = [Straight(length=UNMEASURED_ROOM, slope=slope, name="run-in")]
    ground = chain(pieces)
    ridden = run_in_of(prepared) if jump == 0 else None
    doubt = limits.UNMEASURED_SLOPE.value
    if known:
        doubt = line.run_in.slope_accuracy if jump == 0 else limits.BOARD.value
    return Way(
        ground=ground,
        foot=ground.end,
        room=ground.end,
        known=known,
        course=one,
        stroke=0.0 if ridden is None else ridden.stroke,
        strokes_at=None if ridden is None else ridden.strokes_at,
        tilt=doubt * BOUND,
    )
