"""From the start mark to the edge of the first lip, and back: where to start for a lip speed.

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
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.physics.ground import GroundLine, chain
from jumpcalc.physics.roller import Roller
from jumpcalc.physics.rolling import Track, roll
from jumpcalc.plan import limits
from jumpcalc.plan.answer import Abort, Brake, Change, JumpAlone, RunInAnswer, Span, StrokePlan
from jumpcalc.plan.inputs.assume import grip_of, ground_pieces, stroke_energy, strokes_that_fit
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.terrain import Prepared, PreparedLine, braking_of
from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["MOST_STROKES", "STANDSTILL", "RunIn", "abort_of", "foot_speeds", "run_in_answer", "run_in_of", "slowest_edge"]

MOST_STROKES = 100  # that a line may ask for
TIMING_ERROR = 0.1  # s, one reading start to stop: Am. J. Phys. 87 (2019) 110-115
AVERAGED = 3  # readings

STANDSTILL = 0.01  # m/s, before the lip: so slow that a bike is taken to start from rest there
_WIND_DOUBT = 1.0  # m/s, a calm day, assumption
_ROLLING_DOUBT = 0.5  # share of the rolling resistance, assumption
_ROLLING_STEP = 0.01
_SLOPE_STEP = math.radians(1)
_AREA_STEP = 0.1  # m²
_LET_GO = 3.0  # m before the foot at which the brakes are let go of, a judgement
_STEADY = 0.5  # of the braking in need, for braking on the way, a judgement
_SAME_ENERGY = 1e-9  # m²/s², a rounding of v²
_DIRT = np.linspace(0.0, 0.15, 16)  # rolling resistances that a stopwatch is asked about


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
        edge, up = climb(self.course, np.nan_to_num(foot), roller)
        tracks.append(up)
        return foot, np.where(halted, np.nan, edge), time, tracks

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


def climb(
    course: Prepared, foot_speed: np.ndarray, roller: Roller, *, track: bool = False
) -> tuple[np.ndarray, Track]:
    """Speed at the edge [m/s] for speeds at the foot, NaN where the rider halts; and the way there, kept if asked for."""
    terrain = course.terrain
    if terrain.lip is None:
        return foot_speed, roll(terrain.ground, 0.0, foot_speed, roller, end=0.0, track=track)
    up = roll(terrain.lip, -1e-9, foot_speed, replace(roller, tilt=0.0), end=terrain.lip.end, track=track)
    return np.where(up.reached, up.speed, np.nan), up


def descend(course: Prepared, lip_speed: np.ndarray, roller: Roller) -> np.ndarray:
    """Speed at the foot [m/s] that becomes `lip_speed` at the edge."""
    if course.terrain.lip is None:
        return lip_speed
    return roll(course.terrain.lip, course.terrain.lip.end, lip_speed, replace(roller, tilt=0.0), end=-1e-9, back=True).speed


def foot_speeds(one: Prepared, lip_speeds: Sequence[float], *, heights: Sequence[float] | float) -> np.ndarray:
    """Speeds at the foot of the lip that become these at its edge.

    Parameters
    ----------
    one : Prepared
        The jump.
    lip_speeds : sequence of float
        Speeds of the centre of mass at the edge [m/s], shape (n,).
    heights : float or sequence of float
        Height of the centre of mass above the wheel line [m], 0 for a point; one or shape (n,).

    Returns
    -------
    numpy.ndarray
        Speeds of the centre of mass at the foot [m/s], shape (n,); those at the edge for a drop.
    """
    speeds = np.asarray(lip_speeds, dtype=float)
    return descend(one, speeds, one.roller(one.conditions.lip_rolling, np.asarray(heights, dtype=float)))


def slowest_edge(one: Prepared, *, heights: Sequence[float] | float) -> np.ndarray:
    """The slowest lip speeds that can be had: of a lip whose edge lies so much lower than its foot that a bike rolls there, more than 0.

    Parameters
    ----------
    one : Prepared
        The jump.
    heights : float or sequence of float
        Height of the centre of mass above the wheel line [m], 0 for a point; one or shape (n,).

    Returns
    -------
    numpy.ndarray
        Lip speeds [m/s] of bikes that come to the foot at no more than `STANDSTILL`, shape (n,); 0 where those halt on the lip.
    """
    heights = np.atleast_1d(np.asarray(heights, dtype=float))
    if one.terrain.lip is None:
        return np.zeros(heights.shape)
    lip, wind = one.terrain.lip, one.conditions
    lower = one.terrain.foot_z + heights * (math.cos(lip.slope_at(np.array(0.0))) - math.cos(one.terrain.angle))
    push = wind.drag * max(wind.tailwind, 0.0) * math.hypot(wind.tailwind, wind.crosswind)
    # neither its height nor the wind at its back takes it to the edge, which would take long to find by rolling
    found = np.zeros(heights.shape)
    may = STANDARD_GRAVITY * lower + push * lip.end + STANDSTILL**2 > 0
    if may.any():
        # a lip turns up all the way, so that a bike that rolls off at its foot and reaches the edge is faster there than one that halts
        edge, _ = climb(one, np.full(int(may.sum()), STANDSTILL), one.roller(wind.lip_rolling, heights[may]))
        found[may] = np.nan_to_num(edge)
    return found


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


def run_in_answer(line: Line, run_in: RunIn, jump: JumpAlone) -> tuple[RunInAnswer, list[Note], list[Track]]:
    """What the run-in gives, where to start, and how sure that is; and the ride for the aim.

    Parameters
    ----------
    line : Line
        With its defaults filled in.
    run_in : RunIn
        The run-in.
    jump : JumpAlone
        The first jump's window.

    Returns
    -------
    answer : RunInAnswer
        Marks [m before the foot].
    notes : list of Note
        Where the wheels leave the ground, what is too short or too fast.
    ridden : list of Track
        The way to the foot for the aim, from the top where the run-in is too short for it; one row each.
    """
    speeds = jump.window.speeds
    if speeds is None:
        foot, edge, _, tracks = run_in.forward(np.zeros(1), run_in.roller(), track=True)
        nothing = (None, None, None)
        answer = RunInAnswer(
            **_from_top(run_in, foot[0], edge[0], tracks),
            marks=nothing,
            roll_times=nothing,
            span=None,
            strokes=None,
            missing=None,
            too_fast=None,
            slow_time=None,
            fast_time=None,
            brake=None,
            changes=(),
        )
        return answer, _ground_notes(run_in, tracks), _to_foot(tracks, 0, waits=False)
    # all starts in one call: those of the window, then the aim's with one doubt each
    doubts = _doubts(line, run_in)
    wanted = np.array([speeds.min, speeds.aim, speeds.max] + [speeds.aim] * len(doubts))
    starts = run_in.starts(wanted, _varied(run_in, ({}, {}, {}, *doubts)))
    aim_start = starts[1] if np.isfinite(starts[1]) else 0.0
    # all rides in one call: from the top, from the window's starts, from the aim's with each change, by stopwatch
    changes = _changes(run_in)
    dirt = tuple({"rolling_resistance": value} for value in _DIRT)
    begin = np.concatenate([[0.0], np.nan_to_num(starts[:3]), np.full(len(changes) + len(dirt), aim_start)])
    varied = _varied(run_in, ({}, {}, {}, {}, *changes.values(), *dirt))
    foot, edge, time, tracks = run_in.forward(begin, varied, track=True)
    marks = tuple(_known(run_in.foot - s) if run_in.fits(s) else None for s in starts[:3])
    top = edge[0] if np.isfinite(edge[0]) else 0.0
    if marks[1] is None and max(speeds.min, speeds.aim - limits.SAME_SPEED.value) <= top <= speeds.aim and run_in.fits(0.0):
        marks = (marks[0], run_in.foot, marks[2])  # short of the aim by less than anyone can tell
    missing = float(speeds.aim - top) if marks[1] is None and top < speeds.aim else None
    by_change = edge[4 : 4 + len(changes)]
    from_aim = edge[2] if marks[1] is not None else top
    slow_time, fast_time = _stopwatch(edge[4 + len(changes) :], time[4 + len(changes) :], speeds.min, speeds.max)
    answer = RunInAnswer(
        **_from_top(run_in, foot[0], edge[0], tracks),
        marks=marks,
        roll_times=tuple(_known(t) if m is not None else None for t, m in zip(time[1:4], marks, strict=True)),
        span=_span(run_in, marks[1], run_in.foot - starts[3:]),
        strokes=_strokes(run_in, jump.window.foot.aim, starts[1]),
        missing=missing,
        too_fast=float(top - speeds.max) if top > speeds.max + limits.SAME_SPEED.value else None,
        slow_time=slow_time,
        fast_time=fast_time,
        brake=_brake(run_in, jump.window.foot.aim, _to_foot(tracks, 0, waits=False)) if top > speeds.max else None,
        changes=tuple(
            Change(code=code, by=_known(speed - from_aim), stays=bool(speeds.min <= speed <= speeds.max))
            for code, speed in zip(changes, by_change, strict=True)
        ),
    )
    notes = _ground_notes(run_in, tracks)
    if missing is not None and np.isfinite(edge[0]):
        notes.append(Note(code=Code.THE_RUN_IN_IS_TOO_SHORT, values=(("missing", missing),)))
    if np.isfinite(starts[1]) and marks[1] is None:
        place = float(run_in.foot - starts[1])
        fit = int(place / run_in.development + 1e-9)
        values = (("made", run_in.strokes), ("mark", place), ("fit", fit))
        notes.append(Note(code=Code.THE_STROKES_DO_NOT_FIT_FROM_THE_MARK, values=values))
    if answer.too_fast is not None:
        notes.append(Note(code=Code.THE_START_MARK_IS_TOO_HIGH, values=(("over", answer.too_fast),)))
    row = 0 if marks[1] is None else 2
    waits = run_in.strokes_at is not None and begin[row] >= run_in.strokes_at
    return answer, notes, _to_foot(tracks, row, waits=waits)


def _to_foot(tracks: list[Track], row: int, *, waits: bool) -> list[Track]:
    """The tracks of one row of rides down to the foot; one that waits at its strokes has none before them."""
    ridden = [track.row(row) for track in tracks[:-1]]
    return ridden[-1:] if waits else ridden


def _from_top(run_in: RunIn, foot: float, edge: float, tracks: list[Track]) -> dict[str, float | None]:
    """What the ride from the top gives; row 0 of the tracks."""
    ridden = tracks[:-1]
    halts = None
    if not np.isfinite(foot):
        # with strokes further down there are two tracks, and the rider may halt before the strokes
        ridden = ridden[: 1 + next(i for i, track in enumerate(ridden) if not track.reached[0])]
        halts = float(run_in.foot - ridden[-1].s[0])
    return {
        "length": run_in.foot,
        "lip_speed": _known(edge),
        "foot_speed": _known(foot),
        "halts_at": halts,
        "lip_load": None if run_in.course.terrain.lip is None or halts is not None else float(tracks[-1].peak_load[0]),
        "arc_load": float(max(track.peak_load[0] for track in ridden)),
    }


def _known(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def _ground_notes(run_in: RunIn, tracks: list[Track]) -> list[Note]:
    """Where the wheels leave the ground, where it turns down at a kink, and where the rider halts."""
    notes = []
    on_lip = len(tracks) - 1
    for number, track in enumerate(tracks):
        for code, places in ((Code.WHEELS_LEAVE_THE_RUN_IN, track.lifted), (Code.THE_RUN_IN_HAS_A_KINK_DOWN, track.dropped)):
            if np.isfinite(places[0]) and number != on_lip:
                notes.append(Note(code=code, values=(("mark", float(run_in.foot - places[0])),)))
        if track.stopped[0]:
            if number == on_lip:
                notes.append(Note(code=Code.HALTS_ON_THE_LIP))
            else:
                notes.append(Note(code=Code.HALTS_ON_THE_RUN_IN, values=(("mark", float(run_in.foot - track.s[0])),)))
            break
    return notes


def _doubts(line: Line, run_in: RunIn) -> tuple[dict[str, float], ...]:
    """One change each: what makes the run-in faster, then what makes it slower."""
    course, tilt = run_in.course, line.run_in.slope_accuracy
    rolling, wind = course.conditions.lip_rolling, course.conditions.tailwind
    return (
        {"rolling_resistance": rolling * (1 - _ROLLING_DOUBT)},
        {"tailwind": wind + _WIND_DOUBT},
        {"tilt": -tilt},
        {"rolling_resistance": rolling * (1 + _ROLLING_DOUBT)},
        {"tailwind": wind - _WIND_DOUBT},
        {"tilt": tilt},
    )


def _span(run_in: RunIn, mark: float | None, doubted: np.ndarray) -> Span | None:
    """The marks that plausible dirt, wind and slope put in place of the aim's.

    Each doubt on its own, their shifts added as independent ones are: root of the sum of squares (JCGM
    100:2008, eq. 10).
    """
    if mark is None:
        return None
    faster, slower = doubted[:3], doubted[3:]
    down = np.sqrt(np.nansum(np.square(np.minimum(faster - mark, 0.0))))
    up = np.sqrt(np.sum(np.square(np.maximum(slower - mark, 0.0)))) if np.isfinite(slower).all() else math.inf
    farthest = mark + up
    return Span(
        mark=mark, short=max(float(mark - down), 0.0), long=float(farthest) if farthest <= run_in.foot else None
    )


def _varied(run_in: RunIn, changes: tuple[dict[str, float], ...]) -> Roller:
    """A roller of one row for each set of changes."""
    plain = run_in.roller()
    names = {name for change in changes for name in change}
    rows = {name: np.array([change.get(name, getattr(plain, name)) for change in changes]) for name in names}
    return replace(plain, **rows)


def _changes(run_in: RunIn) -> dict[str, dict[str, float]]:
    """What may be different on the day, one change each."""
    plain = run_in.roller()
    drag = _AREA_STEP / run_in.area_per_drag
    return {
        "tailwind_1_mps": {"tailwind": plain.tailwind + 1},
        "headwind_1_mps": {"tailwind": plain.tailwind - 1},
        "rolling_resistance_plus_0_01": {"rolling_resistance": plain.rolling_resistance + _ROLLING_STEP},
        "rolling_resistance_minus_0_01": {"rolling_resistance": max(plain.rolling_resistance - _ROLLING_STEP, 0.0)},
        "slope_1_deg_steeper": {"tilt": -_SLOPE_STEP},
        "slope_1_deg_flatter": {"tilt": _SLOPE_STEP},
        "drag_area_plus_0_1_m2": {"drag": plain.drag + drag},
        "drag_area_minus_0_1_m2": {"drag": max(plain.drag - drag, 0.0)},
    }


def _strokes(run_in: RunIn, foot: float, start: float) -> StrokePlan | None:
    """Fewest whole strokes from the top for a foot speed, and how many fit; None where their place is not reached.

    `start` is the start found for that speed, NaN where there is none.
    Beyond what fits, and beyond any number that may be asked for, they are not counted: over a long, flat or soft run-in
    what is needed at its top grows without bounds.
    """
    plain = run_in.roller()
    fit = int(
        (run_in.foot if run_in.strokes_at is None else run_in.foot - run_in.strokes_at) / run_in.development + 1e-9
    )
    if run_in.strokes == 0 and run_in.strokes_at is None and np.isfinite(start):
        return StrokePlan(made=0, needed=0, fit=fit)
    at = 0.0 if run_in.strokes_at is None else run_in.strokes_at
    back = roll(run_in.ground, run_in.foot, foot, plain, end=at, back=True)
    if back.stopped[0]:
        return StrokePlan(made=run_in.strokes, needed=0, fit=fit)
    here = run_in.start_speed
    if at > 0:
        rolled = roll(run_in.ground, 0.0, here, plain, end=at)
        if not rolled.reached[0]:
            return None
        here = rolled.speed[0]
    lacking = (back.speed[0] ** 2 - here**2) / 2
    # what is lacking may be too much for a whole number; a ride given up on the way back lacks that already
    needed = math.ceil(min(lacking / run_in.stroke_energy, 1e9) - 1e-9) if run_in.stroke_energy else 0
    return StrokePlan(made=run_in.strokes, needed=min(max(0, needed), max(fit, MOST_STROKES) + 1), fit=fit)


def _stopwatch(edge: np.ndarray, time: np.ndarray, slowest: float, fastest: float) -> tuple[float | None, float | None]:
    """Readings [s] from the start to the foot that mean in the window: not more than, not less than.

    The dirt is what is least known, so the rides are those with rolling resistances from none to very
    soft, hardest dirt first; the timing error of the average is taken off on both sides.
    """
    there = np.isfinite(edge)
    edge, time = edge[there][::-1], time[there][::-1]
    error = TIMING_ERROR / math.sqrt(AVERAGED)
    if not len(edge) or edge[0] > slowest or edge[-1] < slowest:
        return None, None
    slow = float(np.interp(slowest, edge, time)) - error
    fast = float(np.interp(fastest, edge, time)) + error if edge[-1] >= fastest else None
    if fast is not None and slow - fast < limits.ROLL_TIME.value:
        return None, None
    return slow, fast


def _brake(run_in: RunIn, foot_speed: float, ridden: list[Track]) -> Brake | None:
    """Where to brake, and how hard, to come from the top to a foot speed; None where that does not do.

    The brakes are let go of before the foot, so that the bike comes to the lip level; half of what the rider would
    brake with in need is enough to be steady.
    """
    if run_in.braking is None or not all(track.reached[0] for track in ridden):
        return None
    plain, end = run_in.roller(), run_in.foot - _LET_GO
    if end <= 0:
        return None
    free = roll(run_in.ground, run_in.foot, foot_speed, plain, end=end, back=True)
    braking = replace(plain, braking=_STEADY * run_in.braking)
    back = roll(run_in.ground, end, float(free.speed[0]), braking, end=0.0, back=True, track=True)
    places = np.linspace(max(float(back.s[0]), 0.0), end, 400)
    ride = _speeds(ridden, places)
    over = ride - np.nan_to_num(back.speed_at(places)[0])
    if not free.reached[0] or over[-1] <= 0 or not (over <= 0).any():
        return None
    last = int(np.nonzero(over <= 0)[0][-1])
    share = over[last] / (over[last] - over[last + 1])
    begin = float(places[last] + share * (places[last + 1] - places[last]))
    return Brake(
        begin=float(run_in.foot - begin),
        end=_LET_GO,
        use=_STEADY * run_in.brake_use,
        from_speed=float(_speeds(ridden, np.array([begin]))[0]),
        to_speed=float(free.speed[0]),
    )


def _speeds(ridden: list[Track], places: np.ndarray) -> np.ndarray:
    """Speed at places on a ride of one row that goes on from track to track."""
    return np.nanmax([track.speed_at(places)[0] for track in ridden], axis=0)


def abort_of(run_in: RunIn, ridden: list[Track], reaction: float) -> Abort | None:
    """The last place to decide to stop before the lip, riding for the aim.

    Parameters
    ----------
    run_in : RunIn
        The run-in.
    ridden : list of Track
        The ride for the aim, from `run_in_answer`.
    reaction : float
        Time until the brakes bite [s].

    Returns
    -------
    Abort or None
        None where no grip is known.

    Notes
    -----
    From the place of the decision the bike rolls on for the reaction time, then brakes; its front wheel
    stops before the foot. Braking followed back from a standstill there meets the ride for the aim at
    the last place to brake; the reaction time before it lies the last place to decide.
    """
    if run_in.braking is None:
        return None
    if not all(track.reached[0] for track in ridden):
        return None
    plain = run_in.roller()
    start, foot = float(ridden[0].start[0]), float(ridden[-1].speed[0])
    nowhere = Abort(exists=False, last=None, speed=None, foot_speed=foot)
    limit = run_in.foot - run_in.course.rig.wheelbase / 2
    if limit <= start:
        return nowhere
    stopping = roll(run_in.ground, limit, 0.0, replace(plain, braking=run_in.braking), end=start, back=True, track=True)

    def over(places: np.ndarray) -> np.ndarray:
        """How much faster the ride is than what can still be stopped [m/s]."""
        return _speeds(ridden, places) - np.nan_to_num(stopping.speed_at(places)[0])

    first, last = max(float(stopping.s[0]), start), limit
    for _ in range(3):
        # the last of two hundred places at which it is slow enough, then between that and the next one
        places = np.linspace(first, last, 200)
        faster = over(places)
        in_time = np.nonzero(faster <= 0)[0]
        if not len(in_time):
            return nowhere
        at = min(int(in_time[-1]), len(places) - 2)
        first, last = places[at], places[at + 1]
    share = faster[at] / (faster[at] - faster[at + 1]) if faster[at + 1] > faster[at] else 1.0
    brake_at = float(first + share * (last - first))
    speed = _speeds(ridden, np.array([brake_at]))[0]
    pedals = run_in.strokes_at is not None and start < run_in.strokes_at < brake_at
    end = run_in.strokes_at if pedals else start
    decide = roll(run_in.ground, brake_at, speed, plain, end=end, back=True, duration=reaction)
    left = reaction - float(decide.time[0])
    if pedals and left > 1e-9:
        slower = math.sqrt(max(float(decide.speed[0]) ** 2 - 2 * run_in.stroke, 0.0))
        decide = roll(run_in.ground, end, slower, plain, end=start, back=True, duration=left)
        left -= float(decide.time[0])
    if left > 1e-9:
        return nowhere
    return Abort(exists=True, last=float(run_in.foot - decide.s[0]), speed=float(decide.speed[0]), foot_speed=foot)
