"""What was read of bikes that rolled out: distances, times and speeds, put together into runs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from jumpcalc.errors import InputError
from jumpcalc.physics.coast import Coast
from jumpcalc.plan import limits
from jumpcalc.plan.inputs.declare import quantity
from jumpcalc.plan.inputs.keys import Table
from jumpcalc.plan.inputs.valid import checked
from jumpcalc.plan.studies.field.kinds import BOUND

__all__ = ["Rolled", "Run", "first_speed", "kinds_of", "misses", "runs_of"]

_SPEED = 0.01, 0.05  # of a speed that a sensor shows, and m/s at least
_PULL = 0.4  # m/s², twice of what slows a bike that is about to stand, roughly
_FAR = 1000.0  # m, how far off a rest counts that does not come


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Rolled(Table):
    """One reading of a run, counted from its first one: at a distance, at a time, a speed; two of them or all three."""

    run: str | None = quantity("text", default="1", help="Which run it is of.")
    way: str | None = quantity(
        "choice", choices=("there", "back"), default="there", help="Which way along the strip; back has slope and wind reversed."
    )
    slope: float | None = quantity(
        "angle", -30, 30, default_words="the line's own ground", help="Of the strip on the way there; negative falls."
    )
    tailwind: float | None = quantity("speed", -40, 40, default=0, help="Wind along the strip on the way there, from behind.")
    distance: float | None = quantity("length", 0, 2000, help="Along the ground from where the run's first reading was.")
    time: float | None = quantity("time", 0, 600, help="Since the run's first reading.")
    speed: float | None = quantity("speed", 0, 80, help="There, or then; 0 is where it came to rest.")
    distance_error: float | None = quantity(
        "length", 0.0001, 100, default_words="1 % of it, at least 5 cm, either way", help="Standard uncertainty of the distance."
    )
    time_error: float | None = quantity("time", 0.0001, 10, default_words="by hand, 0.10 s", help="Standard uncertainty of the time.")
    speed_error: float | None = quantity(
        "speed", 0.0001, 20, default_words="1 % of it, at least 0.18 km/h", help="Standard uncertainty of the speed."
    )

    def __post_init__(self) -> None:
        checked(self)
        if sum(value is not None for value in (self.distance, self.time, self.speed)) < 2:
            raise InputError("needs two of a distance, a time and a speed", key="distance_m, time_s, speed_kmh")


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """The readings of one run, in order; the first one is its start."""

    name: str
    back: bool
    slope: float | None
    tailwind: float
    readings: tuple[Rolled, ...]


def runs_of(readings: Sequence[Rolled]) -> tuple[Run, ...]:
    """Rolleds put together into runs, in the order in which they come.

    Parameters
    ----------
    readings : sequence of Rolled
        In any order of runs; within a run as they were made.

    Returns
    -------
    tuple of Run
        Each with its start first.

    Raises
    ------
    InputError
        Naming the run whose readings are not in order, or that begins with none of a start.
    """
    by_name: dict[str, list[Rolled]] = {}
    for reading in readings:
        by_name.setdefault(reading.run or "1", []).append(reading)
    return tuple(_run(name, made) for name, made in by_name.items())


def _run(name: str, made: list[Rolled]) -> Run:
    first = made[0]
    key = f"run {name!r}"
    if (first.distance or 0.0) != 0 or (first.time or 0.0) != 0:
        raise InputError("its first reading must be its start: distance 0, or time 0", key=key)
    if first.speed is None and len([r for r in made if r.time is not None]) < 3 and not any(r.speed for r in made):
        raise InputError("needs the speed at its start, or the times at two marks more", key=key)
    for name_of in ("distance", "time"):
        known = [getattr(reading, name_of) for reading in made if getattr(reading, name_of) is not None]
        if any(later <= earlier for earlier, later in pairwise(known)):
            raise InputError(f"its readings must be in order, each {name_of} more than the one before", key=key)
    if len(made) < 2:
        raise InputError("has one reading; it needs its start and one more", key=key)
    if any(len({getattr(reading, of) for reading in made}) > 1 for of in ("way", "slope", "tailwind")):
        raise InputError("its readings have different ways, slopes or winds; a run has one", key=key)
    return Run(
        name=name,
        back=first.way == "back",
        slope=first.slope,
        tailwind=first.tailwind or 0.0,
        readings=tuple(made),
    )


def first_speed(run: Run) -> float:
    """About how fast a run starts.

    Parameters
    ----------
    run : Run
        The run.

    Returns
    -------
    float
        Speed [m/s].
    """
    first = run.readings[0].speed
    if first:
        return first
    later = next(reading for reading in run.readings[1:] if reading.time)
    if later.distance is not None:
        return later.distance / later.time
    return later.speed or 1.0


def kinds_of(reading: Rolled) -> list[str]:
    """What a reading tells of a run.

    Parameters
    ----------
    reading : Rolled
        The reading.

    Returns
    -------
    list of str
        ``"rest"``, where it came to rest, or ``"speed"`` at a time or a place, ``"distance"`` at a time, or both.
    """
    if reading.time is None and reading.speed == 0:
        return ["rest"]
    kinds = []
    if reading.speed is not None:
        kinds.append("speed")
    if reading.time and reading.distance is not None:
        kinds.append("distance")
    return kinds


def misses(reading: Rolled, went: Coast, row: int) -> list[float]:
    """Residuals of one reading.

    Parameters
    ----------
    reading : Rolled
        What was read.
    went : Coast
        What would have been.
    row : int
        Which of its times and places the reading's are.

    Returns
    -------
    list of float
        Read less would be, over its standard uncertainty; one for each of `kinds_of`.
    """
    found = []
    for kind in kinds_of(reading):
        if kind == "rest":
            # who never stands is told apart by how fast that still is
            rest = went.rest if math.isfinite(went.rest) else reading.distance + _FAR * (1 + float(went.speed_at[row]))
            found.append((reading.distance - rest) / _tape(reading))
        elif kind == "speed":
            shown = reading.speed_error or max(_SPEED[0] * reading.speed, _SPEED[1])
            would = float(went.speed[row] if reading.time is not None else went.speed_at[row])
            if math.isnan(would):
                # it stood before: the fit must feel by how much, as if its speed went on through nothing
                would = -math.sqrt(_PULL * (reading.distance - went.rest))
            found.append((reading.speed - would) / shown)
        else:
            timed = (reading.time_error or limits.HAND_TIMING.value) * float(went.speed[row])
            found.append((reading.distance - float(went.s[row])) / math.hypot(_tape(reading), timed))
    return found


def _tape(reading: Rolled) -> float:
    """Standard uncertainty of a distance [m]."""
    return reading.distance_error or max(limits.TAPE.value, limits.TAPE_SHARE.value * reading.distance) * BOUND
