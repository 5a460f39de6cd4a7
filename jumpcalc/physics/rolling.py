"""Speed along a ground line: coasting and braking, downhill and back up it.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
s        distance of the wheels along the ground               m
v        speed of the centre of mass                           m/s
e        v²/2                                                  m²/s²
=======  ====================================================  =========

What slows is in `roller`. Where the ground turns up by Δβ at a kink, v becomes v cosΔβ. A few rows go over all pieces at once,
as far as that is smooth (`roll_way`); all else goes piece by piece, over most of them in one step of Gauss collocation in time
(`roll_step`), of many rows at once (`roll_piece`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.physics.ground import GroundLine
from jumpcalc.physics.roll_piece import over_piece
from jumpcalc.physics.roll_plan import Rows, Stretch
from jumpcalc.physics.roll_way import KINK, over_pieces
from jumpcalc.physics.roller import Roller

__all__ = ["Track", "roll"]

_ROWS = 8192  # ridden at a time, so that memory is flat
_FEW = 64  # rows up to which calls of numpy cost more than arithmetic: steps need more of those, less of this
_SURE = 0.8  # of the slowing at the start, with which a row that is to stop has to


@dataclass(frozen=True, slots=True, eq=False)
class Track:
    """Where and how fast n rows end, and the way there.

    A row that has neither reached the end nor stopped ran out of time, or was given up: it rolls on for good down the
    endless last slope, or is followed back to more than a thousand metres a second.

    Parameters
    ----------
    start : numpy.ndarray
        Distance [m] at which each row started, shape (n,).
    s, speed, time : numpy.ndarray
        End of each row: distance [m], speed [m/s], time since the start [s], shape (n,).
    reached : numpy.ndarray
        Whether the row got to `end`, shape (n,), of bool.
    stopped : numpy.ndarray
        Whether it came down to the stop speed on the way.
    lifted : numpy.ndarray
        Distance [m] at which the wheels first left the ground, NaN where they did not.
    dropped : numpy.ndarray
        Distance [m] of the first kink at which the ground turned down, NaN where there was none.
    peak_load : numpy.ndarray
        Greatest load of the ground [multiples of gravity].
    steps : tuple or None
        What was ridden, as `roll_plan.Stretch`; None where the track was not asked for.
    """

    start: np.ndarray
    s: np.ndarray
    speed: np.ndarray
    time: np.ndarray
    reached: np.ndarray
    stopped: np.ndarray
    lifted: np.ndarray
    dropped: np.ndarray
    peak_load: np.ndarray
    steps: tuple | None

    def speed_at(self, s: np.ndarray) -> np.ndarray:
        """Speed [m/s] of each row at the distances `s` [m] of shape (m,); (n, m), NaN off the track."""
        if self.steps is None:
            raise ValueError("no track was kept of this ride; ask `roll` for it")
        s = np.asarray(s, dtype=float)
        speed = np.full((len(self.s), len(s)), np.nan)
        for stretch in self.steps:
            share = (s - stretch.start[:, None]) / stretch.length[:, None]
            way, place = np.nonzero(np.abs(share - 0.5) <= 0.5 + 1e-9)
            if len(way):
                speed[stretch.number[way], place] = stretch.some(way).speed(share[way, place])
        return speed

    def row(self, number: int) -> Track:
        """One row alone."""
        only = slice(number, number + 1)
        steps = None
        if self.steps is not None:
            mine = (stretch.some(stretch.number == number) for stretch in self.steps)
            steps = tuple(replace(stretch, number=np.zeros(len(stretch.number), int)) for stretch in mine if len(stretch.number))
        return Track(*(getattr(self, name)[only] for name in self.__slots__[:-1]), steps)


def roll(
    ground: GroundLine,
    start: np.ndarray,
    speed: np.ndarray,
    roller: Roller,
    *,
    end: float = np.inf,
    back: bool = False,
    stop_speed: np.ndarray = 0.0,
    duration: float = np.inf,
    track: bool = False,
) -> Track:
    """The ride along a ground line from `start` towards `end`.

    Parameters
    ----------
    ground : GroundLine
        The ground.
    start : array_like
        Distance at which each row starts [m]; with `speed`, `stop_speed` and the roller it broadcasts to shape (n,).
    speed : array_like
        Speed of the centre of mass at the start [m/s].
    roller : Roller
        What rolls.
    end : float
        Distance at which the ride ends [m]; no end when it is to roll until it stops.
    back : bool
        Whether the ride is followed back, against its direction, from where it arrived with `speed`.
    stop_speed : array_like
        Speed at which a row ends [m/s]: 0 for a standstill; followed back, the speed it started with.
    duration : float
        Time after which a row ends [s].
    track : bool
        Whether the way is kept, for `Track.speed_at`.

    Returns
    -------
    Track
        n rows.

    Notes
    -----
    Followed back, the same equation is integrated against s, so that a start found in this way rides
    forward to just the speed it was found for. Suspension loses energy at joints where the load rises,
    a share of what it takes to compress a linear spring from the one load to the other.
    """
    roller = roller.each(_plain)
    entries: list[np.ndarray] = []
    roller.each(lambda entry: entries.append(entry) or entry)
    count = max((len(a) for a in (start, speed, stop_speed, *entries) if np.ndim(a)), default=1)
    start, speed, stop = (np.broadcast_to(np.asarray(a, dtype=float), (count,)) for a in (start, speed, stop_speed))
    kept: list[Stretch] | None = [] if track else None
    rows = Rows(
        number=np.arange(count),
        s=start.copy(),
        v=speed.copy(),
        time=np.zeros(count),
        stop=stop,
        reached=np.zeros(count, bool),
        stopped=np.zeros(count, bool),
        lifted=np.full(count, np.nan),
        dropped=np.full(count, np.nan),
        peak=np.zeros(count),
    )
    ride = _Ride(ground, -1.0 if back else 1.0, end, duration, kept)
    for first in range(0, count, _ROWS):
        some = slice(first, first + _ROWS)
        ride.go(rows.some(some), roller if count <= _ROWS else roller.each(lambda entry, some=some: entry[some]))
    return Track(
        start=start,
        s=rows.s,
        speed=rows.v,
        time=rows.time,
        reached=rows.reached,
        stopped=rows.stopped,
        lifted=rows.lifted,
        dropped=rows.dropped,
        peak_load=rows.peak,
        steps=None if kept is None else tuple(kept),
    )


def _plain(entry: np.ndarray) -> np.ndarray | float:
    """An entry that is the same for all rows as the number it is."""
    return float(entry[0]) if len(entry) == 1 or not entry.any() else np.asarray(entry, dtype=float)


@dataclass(frozen=True, slots=True)
class _Ride:
    """What is the same for all rows of a ride."""

    ground: GroundLine
    sign: float
    end: float
    duration: float
    kept: list[Stretch] | None

    def go(self, rows: Rows, roller: Roller) -> None:
        """Ride these rows to their ends, piece by piece."""
        start, back = self.ground.start, self.sign < 0
        piece = self.ground.piece_at(rows.s)
        if back:
            piece = np.where(rows.s <= start[piece], np.maximum(piece - 1, 0), piece)
        rows.reached |= self.sign * (self.end - rows.s) <= 0
        piece[rows.reached | ~np.isfinite(rows.v)] = -1
        ahead = np.nonzero(piece >= 0)[0]
        while len(ahead):
            # as far as it is smooth, and who is not at the end then over one piece in steps
            if len(ahead) <= _FEW:
                goes_on = ahead[~self._ends_at_once(rows, roller, piece, ahead)]
                if len(goes_on):
                    self._smoothly(rows, roller, piece, goes_on)
            ahead = np.nonzero(piece >= 0)[0]
            straight = self.ground.curvature[piece[ahead]] == 0
            for some in (ahead[straight], ahead[~straight]):
                if len(some):
                    self._in_steps(rows, roller, piece, some)
            ahead = ahead[piece[ahead] >= 0]

    def _ends_at_once(self, rows: Rows, roller: Roller, piece: np.ndarray, at: np.ndarray) -> np.ndarray:
        """Which rows are likely to end on the piece that they are on: they stop there, or their time is up."""
        s, v, on, stop = rows.s[at], rows.v[at], piece[at], rows.stop[at]
        room = self.sign * (self._target(on)[0] - s)
        mine = roller if len(at) == len(piece) else roller.each(lambda entry: entry[at])
        slows = self.sign * mine.pull(self.ground.slope_at(s, on), self.ground.curvature[on])(v)
        with np.errstate(invalid="ignore", over="ignore"):
            stops = v * v + 2 * _SURE * slows * room < stop * stop
        return stops if self.duration == np.inf else stops | (v * (self.duration - rows.time[at]) < room)

    def _target(self, piece: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Where the ride over pieces ends [m], and whether it is the last one."""
        if self.sign > 0:
            edge = np.append(self.ground.start[1:], np.inf)[piece]
            return np.minimum(edge, self.end), edge >= self.end
        edge = self.ground.start[piece]
        return np.maximum(edge, self.end), (edge <= self.end) | (piece == 0)

    def _smoothly(self, rows: Rows, roller: Roller, piece: np.ndarray, at: np.ndarray) -> None:
        """Ride some of the rows on as far as their ride is smooth."""
        every = len(at) == len(piece)
        here, mine, on = (rows, roller, piece) if every else (rows.some(at), roller.each(lambda entry: entry[at]), piece[at])
        over_pieces(self.ground, here, on, mine, end=self.end, sign=self.sign, duration=self.duration, kept=self.kept)
        if not every:
            rows.put(at, here)
            piece[at] = on

    def _in_steps(self, rows: Rows, roller: Roller, piece: np.ndarray, at: np.ndarray) -> None:
        """Ride some of the rows, all on straights or all on arcs, to the ends of their pieces, or to where they end before."""
        every = len(at) == len(piece)
        here, mine, on = (rows, roller, piece) if every else (rows.some(at), roller.each(lambda entry: entry[at]), piece[at])
        target, last = self._target(on)
        there = over_piece(self.ground, on, here, mine, target=target, sign=self.sign, duration=self.duration, kept=self.kept)
        here.reached |= there & last & np.isfinite(target)
        on = np.where(there & ~last, on + int(self.sign), -1)
        if (on >= 0).any():
            self._joint(here, mine, on)
        piece[at] = on
        if not every:
            rows.put(at, here)

    def _joint(self, rows: Rows, roller: Roller, piece: np.ndarray) -> None:
        """Kink and suspension before the pieces that rows come to; -1 where they do not."""
        ground, there = self.ground, piece >= 0
        before, after = (piece - 1, piece) if self.sign > 0 else (piece, piece + 1)
        before, after = np.where(there, before, 0), np.where(there, after, 1)
        slope, curvature = ground.slope, ground.curvature
        arriving = slope[before] + curvature[before] * (ground.start[after] - ground.start[before])
        turn = slope[after] - arriving
        kept = np.where(turn > KINK, np.cos(turn), 1.0)
        v = rows.v
        if np.any(roller.soak):
            sides = (arriving, curvature[before]), (slope[after], curvature[after])
            if self.sign > 0:
                e = 0.5 * v * v
                v = np.sqrt(2 * (e - roller.soaked(e, *sides))) * kept
            else:
                e = arrived = 0.5 * (v / kept) ** 2
                for _ in range(40):
                    e, last = arrived + roller.soaked(e, *sides), e
                    if (np.abs(e - last) <= 1e-16 * e).all():
                        break
                v = np.sqrt(2 * e)
        else:
            v = v * kept if self.sign > 0 else v / kept
        rows.v[there] = v[there]
        dropped = there & (turn < -KINK) & np.isnan(rows.dropped)
        rows.dropped[dropped] = ground.start[after[dropped]]
