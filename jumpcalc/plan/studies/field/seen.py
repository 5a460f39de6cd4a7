"""What was seen of tries, as numbers with their errors, ready to be held against what would be expected.

Of each try up to three things are held against the model: speed at the foot [m/s], the lip speed that the place of the rear wheel
takes [m/s], time in the air [s]. Where nobody taped the place, and short of the landing, how it landed bounds it on a side.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.plan import limits
from jumpcalc.plan.ask.run_in import run_in_of
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.field.expect import Marked
from jumpcalc.plan.studies.field.kinds import Airtime, Sensor, frame_timing
from jumpcalc.plan.studies.field.readings import Measured, measured_each
from jumpcalc.plan.studies.field.tries import Try
from jumpcalc.plan.terrain import Prepared, prepare

__all__ = ["ATTITUDE", "FOOT", "GUSTS", "PLACE", "TIME", "Left", "Seen", "clean_places", "landed_as", "seen_of"]

FOOT, PLACE, TIME = range(3)
"""Columns of what is seen."""

ATTITUDE = math.radians(10) / math.sqrt(3)
"""How a bike lies in the air as it touches, about the landing's slope [rad], standard deviation: assumption, as of timed flights."""

GUSTS = 0.5
"""How far the wind of one try lies from the wind as it was felt [m/s], standard deviation: assumption."""

_WHEEL_MARK = 0.1  # m either way, the place where a tyre first touched, from its mark: assumption
_BEYOND = 0.3  # m by which a mark may lie beyond the measured run-in: it is the top
_AIR_RATE = 30.0  # frames a second, of a time in the air whose video nobody tells of: assumption


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """A try that the fit does not use: its place among all, why, and whether that is wet ground."""

    number: int
    why: str
    wet: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """n tries: `number` of each among all; values and their standard uncertainties of shape (n, 3), NaN where nothing was seen.

    The value of a place is 0, since it is held against by how much faster than that place takes a try would be; its error is in
    metres as it was taped. `foot` [m/s] and `foot_error` are of the speed measured, NaN where none was; it is among `value` only where
    the start mark is known, since else it says how the try set off.
    """

    number: tuple[int, ...]
    tries: tuple[Try, ...]
    value: np.ndarray
    error: np.ndarray
    marked: Marked
    foot: np.ndarray
    foot_error: np.ndarray

    def __len__(self) -> int:
        return len(self.number)

    @property
    def unmarked(self) -> np.ndarray:
        """Which tries have no start mark, but a speed that was measured."""
        return np.isfinite(self.foot) & ~np.isfinite(self.value[:, FOOT])

    def errors(self, each: np.ndarray) -> np.ndarray:
        """Standard uncertainties of what was seen, that of a place as a speed, with how much more a metre takes [1/s], shape (n,)."""
        found = self.error.copy()
        found[:, PLACE] *= each
        return found

    @property
    def sensors(self) -> np.ndarray:
        """Which speeds came from a wheel sensor: all of them are off by the same share."""
        return np.array([one.measured == Sensor.word for one in self.tries], bool)


def seen_of(line: Line, tries: Sequence[Try]) -> tuple[Seen, tuple[Left, ...]]:
    """What was seen of tries on the first jump of a line.

    Parameters
    ----------
    line : Line
        As measured.
    tries : sequence of Try
        Of one rider on the line's bike.

    Returns
    -------
    seen : Seen
        Of the tries from which one can learn.
    left : tuple of Left
        The others.
    """
    prepared = prepare(line)
    one = prepared.jumps[0]
    ridden = run_in_of(prepared)
    room = 0.0 if ridden is None else ridden.foot
    rows, left = [], []
    speeds = _speeds(prepared.line, tries, room=room)
    for number, each in enumerate(tries):
        try:
            rows.append((number, each, *_numbers(prepared.line, each, speeds.get(number), room=room)))
        except InputError as error:
            left.append(Left(number=number, why=str(error)))
    first, last = clean_places(one)
    spans = {"short": (-np.inf, first), "clean": (first, last), "long": (last, np.inf), None: (-np.inf, np.inf)}
    told = [spans[None if np.isfinite(place) else landed_as(one, each)] for _, each, place, *_ in rows]
    bounds = np.array(told, dtype=float).reshape(-1, 2)
    places, values, errors, feet = (np.array([row[at] for row in rows], dtype=float) for at in range(2, 6))
    marked = Marked(places, bounds[:, 0], bounds[:, 1])
    seen = Seen(
        tuple(row[0] for row in rows), tuple(row[1] for row in rows), values.reshape(-1, 3), errors.reshape(-1, 3),
        marked, feet.reshape(-1, 2)[:, 0], feet.reshape(-1, 2)[:, 1],
    )  # fmt: skip
    return seen, tuple(left)


def clean_places(one: Prepared) -> tuple[float, float]:
    """Where the rear wheel first touches of bikes that land clean.

    Parameters
    ----------
    one : Prepared
        The jump.

    Returns
    -------
    tuple of float
        The least and the most [m along the landing from its top edge].
    """
    behind = one.body.wheelbase - one.body.behind_front if one.rig.path == "bike" else 0.0
    half = one.rig.wheelbase / 2
    return half - behind, one.terrain.face - half - behind


def landed_as(one: Prepared, each: Try) -> str | None:
    """How a try came down, `OUTCOMES`: as whoever saw it says, or by where the rear wheel touched.

    Parameters
    ----------
    one : Prepared
        The jump.
    each : Try
        The try.

    Returns
    -------
    str or None
        None where neither is told. A place off the landing is believed against a word.
    """
    if each.touched is None:
        return each.outcome
    first, last = (0.0, one.terrain.face) if each.outcome == "clean" else clean_places(one)
    if each.touched < max(first, 0.0):
        return "short"
    return "long" if each.touched > last else each.outcome or "clean"


def _marked(one: Try, room: float) -> bool:
    """Whether it is known where a try set off on a measured run-in."""
    return room > 0 and one.start_mark is not None


def _speeds(line: Line, tries: Sequence[Try], *, room: float) -> dict[int, Measured | InputError]:
    """What the readings of tries tell, by their numbers.

    Of a flight from a mark the time and the place are held against the model, not the speed made of them.
    """
    told = [i for i, one in enumerate(tries) if one.reading and not (_marked(one, room) and isinstance(one.reading, Airtime))]
    strokes = {i: line.run_in.strokes if tries[i].strokes is None else tries[i].strokes for i in told}
    found = {}
    for count in sorted(set(strokes.values())):
        mine = [i for i in told if strokes[i] == count]
        winds = [line.air.tailwind if tries[i].tailwind is None else tries[i].tailwind for i in mine]
        try:
            ridden = replace(line, run_in=replace(line.run_in, strokes=count))
            speeds = measured_each(ridden, [tries[i].reading for i in mine], tailwinds=winds)
        except InputError as error:
            speeds = [error] * len(mine)
        found.update(zip(mine, speeds, strict=True))
    return found


def _numbers(
    line: Line, one: Try, found: Measured | InputError | None, *, room: float
) -> tuple[float, np.ndarray, np.ndarray, tuple[float, float]]:
    """Place, values and errors of a try, and speed at the foot with its error; `found` is what its reading tells."""
    value, error, place = np.full(3, np.nan), np.full(3, np.nan), np.nan
    marked, reading = _marked(one, room), one.reading
    if marked and one.start_mark > room + _BEYOND:
        raise InputError(f"began {one.start_mark:.4g} m before the foot; the run-in was measured over {room:.4g} m")
    foot = foot_error = np.nan
    if isinstance(found, InputError):
        raise found
    if found is not None:
        foot, foot_error = found.foot_speed, found.foot_uncertainty
        if marked and isinstance(reading, Sensor):
            # the same for all tries: an unknown of its own
            shared = dict(found.shares)["circumference"]
            foot_error = math.sqrt(max(foot_error**2 - shared**2, 1e-6))
    if marked:
        value[FOOT], error[FOOT] = foot, foot_error
    elif not np.isfinite(foot):
        raise InputError("neither a start mark on a measured run-in nor a speed: nothing to compare the landing with")
    if one.touched is not None and one.touched >= 0:
        place, error[PLACE] = one.touched, _tape(one.touched)
    elif one.touched is None and isinstance(reading, Airtime) and marked:
        landing = line.jumps[0].landing
        place = (reading.along - landing.gap) / math.cos(landing.angle)
        error[PLACE] = _tape(reading.along) / math.cos(landing.angle)
    value[PLACE] = 0.0 if np.isfinite(place) else np.nan
    if one.air_time is not None and (marked or not isinstance(reading, Airtime)) and (one.touched or 0) >= 0:
        value[TIME] = one.air_time
        error[TIME] = reading.errors["timing"] if isinstance(reading, Airtime) else frame_timing(one.rate or _AIR_RATE)
    if not np.isfinite(value).any() and one.outcome is None and one.touched is None:
        raise InputError("nothing was seen of where it landed, and its speed is not compared with a start mark")
    return place, value, error, (foot, foot_error)


def _tape(length: float) -> float:
    """Standard uncertainty of the place of a tyre's mark by tape [m]."""
    return math.hypot(max(limits.TAPE.value, limits.TAPE_SHARE.value * length), _WHEEL_MARK) / math.sqrt(3)
