"""From what was measured to the speed before the lip and at its edge, each with its standard uncertainty.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
v        speed of the centre of mass at the foot               m/s
T        time between two places                               s
u_i      standard uncertainty of an input                      of it
f        speed found from the inputs                           m/s
=======  ====================================================  =========

What an instrument would show is worked out for a speed at the foot, by following the ride back over the ridden ground; the
speed that it did show is sought among those. u² = Σ (f(x_i + u_i) − f(x_i − u_i))²/4 over all inputs (JCGM 100:2008, eq. 10
with the differences of 5.1.3, note 2): the instrument's own, and the slopes, the rolling resistance, the wind and the drag
between it and the lip.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.physics.roller import Roller
from jumpcalc.physics.roots import bracketed_roots
from jumpcalc.plan import limits
from jumpcalc.plan.ask.leaving import curve_of
from jumpcalc.plan.ask.lip import climb, descend
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.field.airborne import airborne
from jumpcalc.plan.studies.field.kinds import BOUND, Airtime, Filmed, Passing, Reading, Receiver, Sensor, Timed
from jumpcalc.plan.studies.field.way import Way, way_before
from jumpcalc.plan.terrain import PreparedLine, prepare

__all__ = ["NINETY", "Measured", "foot_speeds_read", "measured", "measured_each", "shown"]

NINETY = 1.6449
"""Standard uncertainties to either side that hold 90 of 100 (JCGM 100:2008, table G.1)."""

_SLOWEST, _FASTEST = 0.2, 45.0  # m/s at the foot
_SHORTEST = 1e-3  # s, what is left of a time at least
_NEAR = 0.7, 1.5  # of a speed read, between which the one at the foot is sought first
_CLOSE = 1e-9  # m/s, to which roots are sought
_EXACT = 1e-6  # m/s, within which a root was found

Off = dict[str, np.ndarray]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """Speeds of the centre of mass found from one reading, with standard uncertainties [m/s].

    `edge_speed` is None where the rider would halt on the lip. Of a flight `direction` is that of the centre of mass as the
    rear wheel leaves [rad, up positive], and `expected` the one that a stiff rider would have off the lip as measured; else
    both are None. `shares` says what adds how much to the uncertainty at the foot, largest first; `known_ground` whether
    the ground between was measured.
    """

    reading: Reading
    jump: int
    foot_speed: float
    foot_uncertainty: float
    edge_speed: float | None
    edge_uncertainty: float | None
    direction: float | None
    direction_uncertainty: float | None
    expected: float | None
    shares: tuple[tuple[str, float], ...]
    known_ground: bool

    @property
    def foot_interval(self) -> tuple[float, float]:
        """Speeds at the foot that hold 90 of 100 [m/s]."""
        return self.foot_speed - NINETY * self.foot_uncertainty, self.foot_speed + NINETY * self.foot_uncertainty


def measured(line: Line, reading: Reading, *, jump: int = 0) -> Measured:
    """The speed before a lip and at its edge that something measured tells of.

    Parameters
    ----------
    line : Line
        As measured.
    reading : Reading
        What was measured, where and how; one of `kinds.KINDS`.
    jump : int
        Before which jump, from 0. Of a later one the runout before it is what is measured on.

    Returns
    -------
    Measured
        Speeds with standard uncertainties.

    Raises
    ------
    InputError
        Where the reading does not fit the ground, or no speed gives it.

    Notes
    -----
    Times between cones are taken as the front wheel passes them: the bike's middle is half a wheelbase behind.
    """
    (found,) = measured_each(line, (reading,), jump=jump)
    if isinstance(found, InputError):
        raise found
    return found


def measured_each(
    line: Line, readings: Sequence[Reading], *, jump: int = 0, tailwinds: Sequence[float] | None = None
) -> tuple[Measured | InputError, ...]:
    """The same of several readings; those taken at one place in one way are sought together.

    Parameters
    ----------
    line : Line
        As measured.
    readings : sequence of Reading
        What was measured.
    jump : int
        Before which jump, from 0.
    tailwinds : sequence of float, optional
        Wind along the course as each was taken [m/s]; that of the line where not given.

    Returns
    -------
    tuple of Measured or InputError
        One for each; why not, where one does not fit the ground, or no speed gives it.
    """
    prepared = prepare(line)
    way = way_before(prepared, jump)
    winds = np.full(len(readings), way.course.conditions.tailwind) if tailwinds is None else np.asarray(tailwinds, dtype=float)
    groups: dict[tuple, list[int]] = {}
    for number, reading in enumerate(readings):
        groups.setdefault(_taken(reading, number), []).append(number)
    found = {}
    for numbers in groups.values():
        some = [readings[i] for i in numbers]
        found.update(zip(numbers, _at_one_place(prepared, way, some, winds[numbers], jump=jump), strict=True))
    return tuple(found[i] for i in range(len(readings)))


def _taken(reading: Reading, number: int) -> tuple:
    """Where and how something was measured; each flight is one by itself."""
    if isinstance(reading, Airtime):
        return (number,)
    return type(reading), reading.before_foot, getattr(reading, "length", None)


def _at_one_place(
    prepared: PreparedLine, way: Way, readings: Sequence[Reading], tailwinds: np.ndarray, *, jump: int
) -> Iterator[Measured | InputError]:
    """What readings tell that were taken at one place in one way."""
    first = readings[0]
    try:
        _check_place(way, first)
    except InputError as error:
        yield from (error for _ in readings)
        return
    errors = [{**one.errors, **_doubts(prepared, way, one)} for one in readings]
    off, roller = _rows(way, errors, tailwinds)
    rows = 1 + 2 * len(errors[0])
    direction = expected = np.full(rows * len(readings), np.nan)
    if isinstance(first, Airtime):
        edge, direction, expected = airborne(way.course, first, roller, off)
        foot = descend(way.course, edge, roller)
        foot = np.where(foot > 0, foot, np.nan)
    else:
        foot = foot_speeds_read(way, first, np.repeat([_read(one) for one in readings], rows), roller, off)
        edge, _ = climb(way.course, np.nan_to_num(foot), roller)
    by_reading = (values.reshape(-1, rows) for values in (foot, edge, direction, expected))
    for reading, names, *one in zip(readings, errors, *by_reading, strict=True):
        yield _told(way, reading, tuple(names), *one, jump=jump)


def _told(
    way: Way, reading: Reading, errors: Sequence[str], foot: np.ndarray, edge: np.ndarray, direction: np.ndarray, expected: np.ndarray,
    *, jump: int,
) -> Measured | InputError:  # fmt: skip
    """What one reading tells, of rows: nothing off in the first, then each error up and down."""
    if not np.isfinite(foot[0]):
        return InputError(_impossible(way, reading), key=reading.word)
    shares = dict(zip(errors, map(float, _moves(foot)), strict=True))
    lifted, flown = bool(np.isfinite(edge[0])), isinstance(reading, Airtime)
    return Measured(
        reading=reading,
        jump=jump,
        foot_speed=float(foot[0]),
        foot_uncertainty=_together(foot),
        edge_speed=float(edge[0]) if lifted else None,
        edge_uncertainty=_together(edge) if lifted else None,
        direction=float(direction[0]) if flown else None,
        direction_uncertainty=_together(direction) if flown else None,
        expected=float(expected[0]) if flown else None,
        shares=tuple(sorted(shares.items(), key=lambda share: -share[1])),
        known_ground=way.known or flown,
    )


def shown(line: Line, reading: Reading, foot_speeds: np.ndarray, *, jump: int = 0) -> np.ndarray:
    """What an instrument would show of bikes that come to the foot at these speeds.

    Parameters
    ----------
    line : Line
        As measured.
    reading : Reading
        Where and how; what it showed is not looked at. Not of a flight.
    foot_speeds : array_like
        Speeds of the centre of mass at the foot [m/s], shape (n,).
    jump : int
        Before which jump, from 0.

    Returns
    -------
    numpy.ndarray
        Time [s], or speed [m/s] of a sensor or a receiver, shape (n,); NaN where none comes from there at that speed.

    Raises
    ------
    InputError
        Where the place does not fit the ground.
    """
    way = way_before(prepare(line), jump)
    _check_place(way, reading)
    pace = _pace(way, reading, np.atleast_1d(np.asarray(foot_speeds, dtype=float)), way.roller(), {})
    pace = np.where(pace > 0, pace, np.nan)
    return pace if isinstance(reading, (Sensor, Receiver)) else _over(way, reading) / pace


def _doubts(prepared: PreparedLine, way: Way, reading: Reading) -> dict[str, float]:
    """Standard uncertainties of what lies between the instrument and the lip."""
    conditions, rider = way.course.conditions, prepared.line.rider
    doubts = {
        "rolling": conditions.lip_rolling * limits.ROLLING_DOUBT.value * BOUND,
        "wind": limits.WIND_DOUBT.value * BOUND,
        "drag": conditions.drag * min(limits.DRAG_DOUBT.value / max(rider.drag_area, 1e-9), 1.0) * BOUND,
    }
    on_the_lip = isinstance(reading, Airtime) or reading.before_foot is None
    return doubts if on_the_lip else {"slope": way.tilt, **doubts}


def _rows(way: Way, errors: Sequence[dict[str, float]], tailwinds: np.ndarray) -> tuple[Off, Roller]:
    """What is off in each row, one reading after the other: nothing in its first, then each error up and down; and what rolls in each."""
    names = tuple(errors[0])
    rows = 1 + 2 * len(names)
    off = {}
    for number, name in enumerate(names):
        each = np.zeros((len(errors), rows))
        each[:, 1 + 2 * number] = [one[name] for one in errors]
        each[:, 2 + 2 * number] = -each[:, 1 + 2 * number]
        off[name] = each.ravel()
    plain, none = way.roller(), np.zeros(rows * len(errors))
    roller = replace(
        plain,
        rolling_resistance=plain.rolling_resistance + off["rolling"],
        tailwind=np.repeat(tailwinds, rows) + off["wind"],
        drag=plain.drag + off["drag"],
        tilt=plain.tilt + off.get("slope", none),
    )
    return off, roller


def _moves(rows: np.ndarray) -> np.ndarray:
    """How far each error moves the first row; where one way is impossible, by the other."""
    ways = np.abs(rows[1:].reshape(-1, 2) - rows[0])
    both = 0.5 * np.abs(rows[1::2] - rows[2::2])
    return np.where(np.isfinite(both), both, np.nan_to_num(np.fmax(ways[:, 0], ways[:, 1])))


def _together(rows: np.ndarray) -> float:
    return float(np.sqrt(np.sum(np.square(_moves(rows)))))


def foot_speeds_read(way: Way, reading: Reading, read: np.ndarray, roller: Roller, off: Off) -> np.ndarray:
    """Speeds at the foot of which readings tell, for any number of doubts together.

    Parameters
    ----------
    way : Way
        The ground before the lip.
    reading : Reading
        Where and how was measured; what it showed is not looked at. Not a flight.
    read : numpy.ndarray
        What was read in each row: time [s] or speed [m/s], shape (n,).
    roller : Roller
        What rolls in each row.
    off : dict
        What is off in each row, by the name of the error, in SI; each of shape (n,).

    Returns
    -------
    numpy.ndarray
        Speeds of the centre of mass [m/s], shape (n,); NaN in rows in which none gives the reading.
    """
    count = len(read)
    if isinstance(reading, (Timed, Filmed, Passing)):
        read = _over(way, reading) / np.maximum(read + off["timing"], _SHORTEST)
    else:
        read = read + off["circumference" if isinstance(reading, Sensor) else "receiver"]

    def lacks(speed: np.ndarray) -> np.ndarray:
        return _pace(way, reading, speed, roller, off) - read

    # near the lip it is about what was read; further up it may be anything
    for low, high in ((_NEAR[0] * read, _NEAR[1] * read), (np.full(count, _SLOWEST), np.full(count, _FASTEST))):
        foot = bracketed_roots(lacks, low, high, tolerance=_CLOSE)
        missed = np.abs(lacks(foot))
        if (missed < _EXACT).all():
            break
    return np.where(missed < _EXACT, foot, np.nan)


def _read(reading: Reading) -> float:
    """What an instrument showed: time [s] or speed [m/s]."""
    return reading.speed if isinstance(reading, (Sensor, Receiver)) else reading.time


def _over(way: Way, reading: Timed | Filmed | Passing) -> float:
    """Over what distance a time was taken [m]."""
    return way.course.rig.wheelbase if isinstance(reading, Passing) else reading.length


def _pace(way: Way, reading: Reading, foot: np.ndarray, roller: Roller, off: Off) -> np.ndarray:
    """Speed that an instrument makes of bikes at these foot speeds, 0 where none comes from there."""
    none = np.zeros(len(foot))
    if isinstance(reading, Passing) and reading.before_foot is None:
        wheelbase = way.course.rig.wheelbase
        return _over_the_edge(way, foot, roller) / (1 + off.get("wheelbase", none) / wheelbase)
    if isinstance(reading, (Sensor, Receiver)):
        (here,) = way.passages(foot, (reading.before_foot,), roller)
        shift = here.acceleration / here.wheels * off.get("place", none)  # further down by so much it would be faster
        if isinstance(reading, Receiver):
            late = -here.acceleration * (reading.lag + off.get("lag", none))
            return np.nan_to_num(here.speed + late + shift)
        return np.nan_to_num(here.wheels * (1 + shift / here.speed))
    half, length = way.course.rig.wheelbase / 2, _over(way, reading)
    first, last = reading.before_foot or 0.0, reading.before_foot or 0.0
    if isinstance(reading, Passing):
        first, last = first + half, last - half
        stretched = off.get("wheelbase", none)
    else:
        first, last = first + half + length, last + half
        stretched = off.get("length", none) + off.get("camera", none)
    end, start = way.passages(foot, (last, first), roller)
    time = start.time - end.time + stretched / start.wheels + off.get("place", none) * (1 / start.wheels - 1 / end.wheels)
    return np.nan_to_num(length / time)


def _over_the_edge(way: Way, foot: np.ndarray, roller: Roller) -> np.ndarray:
    """Wheelbase over the time from the front axle at the edge to the rear one, 0 where the rear does not get there."""
    edge, _ = climb(way.course, foot, roller)
    if way.course.rig.path == "point":
        return np.nan_to_num(edge)
    leaving = curve_of(way.course).leaving(np.nan_to_num(edge))
    return np.nan_to_num(way.course.rig.wheelbase / leaving.time)


def _check_place(way: Way, reading: Reading) -> None:
    """Refuse what was measured on ground that there is not."""
    half = way.course.rig.wheelbase / 2
    if isinstance(reading, Airtime) or reading.before_foot is None:
        return
    far = reading.before_foot
    if isinstance(reading, (Timed, Filmed)):
        far += reading.length + half
    if isinstance(reading, Passing):
        far += half
        if reading.before_foot < half:
            raise InputError(
                f"{reading.before_foot:.3g} m; must be at least half a wheelbase, {half:.3g} m, or not given: then the post is "
                "the edge of the lip",
                key="before_foot_m",
            )
    if far > way.room + 1e-9:
        ground = "long" if way.known else "what may be measured on where the run-in is not"
        raise InputError(
            f"begins {far:.4g} m before the foot of the lip; the ground before it is {way.room:.4g} m {ground}", key="before_foot_m"
        )


def _impossible(way: Way, reading: Reading) -> str:
    """Why no speed gives a reading."""
    if isinstance(reading, Airtime):
        return f"{reading.time:.3g} s over {reading.along:.3g} m; no flight off this lip gives that"
    given = f"{reading.speed:.3g} m/s" if isinstance(reading, (Sensor, Receiver)) else f"{reading.time:.3g} s"
    return f"{given}; no speed before this lip gives that there: slower than rolling off from rest, or faster than {_FASTEST:g} m/s"
