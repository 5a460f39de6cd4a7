"""Tries that cannot be of a line, and those that may be but are worth a second look, before they are written down."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.plan.ask.landings import land
from jumpcalc.plan.ask.leaving import curve_of
from jumpcalc.plan.ask.run_in import RunIn, run_in_of
from jumpcalc.plan.inputs.declare import declared, key_of
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.field.kinds import Airtime, Filmed, Passing, Receiver, Sensor, Timed
from jumpcalc.plan.studies.field.tries import Try, elsewhere
from jumpcalc.plan.terrain import Prepared, prepare
from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["doubts"]

_TAPED = 0.3  # m by which a mark or a tyre's print may lie beyond what was measured
_SURE = 3.0  # standard uncertainties
_HARDER = 2.0  # times what is taken of a pedal stroke: as hard as anyone pedals
_HIGHER = 0.2  # m, by which the rider's middle may come down further than the ground: assumption
_SLOWEST, _FASTEST = 2.5, 25.0  # m/s, of a bike of which nobody knows where it set off
_JUMPED = 2.5  # m/s either way, more than riders add by jumping up or lose by squashing: assumption
_TIMED = {Timed: "time", Filmed: "frames"}
_BESIDE = 0.1  # of a time in the air, within which nobody is told


def doubts(line: Line, one: Try, *, today: str | None = None) -> tuple[str, ...]:
    """What of a try is hard to believe on a line.

    Parameters
    ----------
    line : Line
        As measured.
    one : Try
        A try on its first jump.
    today : str, optional
        The day it is, year first.

    Returns
    -------
    tuple of str
        What may be so but is worth a second look; nothing of a try that was ridden on other ground.

    Raises
    ------
    InputError
        Where it cannot be: an outcome that the taped place speaks against, or a place beyond all ground that was measured.
    """
    if elsewhere(line.fingerprint, [one]):
        return ()
    prepared = prepare(line)
    told = [*_before_the_edge(line, one), *_landed(line, one, prepared.jumps[0].rig.wheelbase)]
    ridden = run_in_of(prepared)
    if ridden is not None and one.start_mark is not None and one.start_mark > ridden.foot + _TAPED:
        told.append(
            f"{_key('start_mark')}: {one.start_mark:.4g} m before the foot, but the run-in was measured over {ridden.foot:.4g} m: "
            "nothing is learned from this try unless the run-in is measured further up"
        )
    fastest = _FASTEST if ridden is None or one.start_mark is None else _fastest(ridden, one)
    told += [*_too_fast(one, fastest), *_in_the_air(one, prepared.jumps[0], fastest)]
    if today is not None and one.date > today:
        told.append(f"{_key('date')}: {one.date} has not come yet by this machine's clock, which shows {today}")
    return tuple(told)


def _fastest(ridden: RunIn, one: Try) -> float:
    """A speed before the lip that no bike from a start mark has [m/s]: one that neither rolls hard nor meets air, pedalled hard."""
    at = max(ridden.foot - one.start_mark, 0.0)
    heights = ridden.ground.point(np.linspace(at, ridden.foot, 200))[1]
    strokes = ridden.strokes if one.strokes is None else one.strokes
    begun = ridden.start_speed if one.start_speed is None else one.start_speed
    falls = float(heights[0] - heights.min()) + _HIGHER
    free = math.sqrt(begun**2 + 2 * _HARDER * strokes * ridden.stroke_energy + 2 * STANDARD_GRAVITY * falls)
    return max(free, ridden.course.conditions.tailwind if one.tailwind is None else one.tailwind)


def _too_fast(one: Try, fastest: float) -> list[str]:
    """What is hard to believe of the speed that was measured."""
    reading = one.reading
    # of a bike's own length, filmed, nothing is asked: over so few frames it is far off
    if reading is None or one.start_mark is None or isinstance(reading, Passing):
        return []
    if isinstance(reading, (Sensor, Receiver)):
        name, shown, speed = "speed", reading.speed, reading.speed - _SURE * math.hypot(*reading.errors.values())
    else:
        name, length = ("air_time", reading.along) if isinstance(reading, Airtime) else (_TIMED[type(reading)], reading.length)
        shown, speed = length / reading.time, length / (reading.time + _SURE * reading.errors["timing"])
    if speed <= fastest:
        return []
    return [
        f"{_key(name)}: that is {_kmh(shown)}, but from {one.start_mark:.4g} m a bike that nothing slows has {_kmh(fastest)} at most: "
        "another mark, a shove, more strokes or a slip of the pen"
    ]


def _in_the_air(one: Try, jump: Prepared, fastest: float) -> list[str]:
    """What is hard to believe of the time in the air."""
    if one.air_time is None:
        return []
    speeds, times, on = _flights(jump)
    possible = (speeds <= max(fastest, float(speeds[0]))) & np.isfinite(times)
    there = possible & on if one.outcome == "clean" else possible
    if not there.any():
        return []
    longest, shortest = float(times[possible].max()), float(times[there].min())
    if one.air_time > (1 + _BESIDE) * longest:
        from_there = "" if one.start_mark is None else f" from {one.start_mark:.4g} m"
        return [f"{_key('air_time')}: {one.air_time:.3g} s, but who comes{from_there} and jumps up as well is down after {longest:.2g} s"]
    if one.outcome == "clean" and one.air_time < (1 - _BESIDE) * shortest:
        return [f"{_key('air_time')}: {one.air_time:.3g} s, but who comes down on the landing was in the air for {shortest:.2g} s at least"]
    return []


@lru_cache(maxsize=8)
def _flights(jump: Prepared) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Lip speeds [m/s] of riders who squash and who jump up, their times in the air [s], and who comes down on the landing."""
    slowest = curve_of(jump).swift if jump.rig.path == "bike" else _SLOWEST  # slower departures cost most, and are as short
    speeds = np.tile(np.linspace(slowest, _FASTEST, 46), 2)
    landed = land(jump, speeds, spring=np.repeat([-_JUMPED, _JUMPED], 46), apex=False)
    return speeds, landed.time, landed.surface == "face"


def _kmh(speed: float) -> str:
    return f"{speed * 3.6:.0f} km/h"


def _before_the_edge(line: Line, one: Try) -> list[str]:
    """What is hard to believe of a place before the top edge of the landing."""
    if one.touched is None or one.touched >= -_TAPED:
        return []
    first, key = line.jumps[0], _key("touched")
    gap = first.landing.gap
    if one.touched < -(gap + _TAPED):
        raise InputError(f"{one.touched:.4g} m; the lip lies {gap:.4g} m before that edge: no bike comes down before it", key=key)
    if first.shape == "gap":
        return [f"{key}: {one.touched:.4g} m is in the gap, where there is no ground to touch"]
    return []


def _landed(line: Line, one: Try, wheelbase: float) -> list[str]:
    """What is hard to believe of where it touched."""
    if one.touched is None:
        return []
    jump, key = line.jumps[0], _key("touched")
    length = jump.landing.length
    face = "" if length is None else f"; the landing is {length:.4g} m long"
    # the rear wheel's place: a bike that hangs on the top edge has its front wheel a wheelbase further
    cannot = {
        "short": one.touched > wheelbase,
        "clean": one.touched < -_TAPED or (length is not None and one.touched > length + _TAPED),
        "long": length is not None and one.touched < length - wheelbase - _TAPED,
    }
    if one.outcome is not None and cannot[one.outcome]:
        raise InputError(f"{one.touched:.4g} m, and outcome={one.outcome}: both cannot be{face}", key=key)
    if one.outcome == "clean" and one.touched < 0:
        return [f"{key}: {one.touched:.4g} m is before the top edge of the landing, so it is taken for short, although outcome=clean"]
    if length is None or one.touched <= length + _TAPED:
        return []
    pieces = jump.runout.pieces
    if len(line.jumps) == 1 and pieces is not None and all(piece.length is not None for piece in pieces):
        room = length + sum(piece.length for piece in pieces)
        if one.touched > room + _TAPED:
            raise InputError(f"{one.touched:.4g} m; landing and runout were measured over {room:.4g} m: no bike comes down beyond", key=key)
    return [f"{key}: {one.touched:.4g} m is beyond the end of the landing, which is {length:.4g} m long"]


def _key(name: str) -> str:
    return key_of(name, declared(Try)[name])
