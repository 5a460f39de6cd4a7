"""Braking on the run-in: to come to the lip more slowly, or to stop before it."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from jumpcalc.physics.rolling import Track, roll
from jumpcalc.plan.answer import Abort, Brake
from jumpcalc.plan.ask.run_in import RunIn

__all__ = ["abort_of", "brake_before"]

_ROLLED = 1.0  # m, a last place to stop that is nearer to the start is none to decide at
_LET_GO = 3.0  # m before the foot at which the brakes are let go of, a judgement
_STEADY = 0.5  # of the braking in need, for braking on the way, a judgement


def brake_before(run_in: RunIn, foot_speed: float, ridden: list[Track]) -> Brake | None:
    """Where to brake, and how hard, to come from the top to a foot speed.

    Parameters
    ----------
    run_in : RunIn
        The run-in.
    foot_speed : float
        Speed wanted at the foot of the lip [m/s].
    ridden : list of Track
        The ride from the top, with its tracks.

    Returns
    -------
    Brake or None
        None where that does not do, or no grip is known.

    Notes
    -----
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
    if left > 1e-9 or decide.s[0] < start + _ROLLED:
        return nowhere
    return Abort(exists=True, last=float(run_in.foot - decide.s[0]), speed=float(decide.speed[0]), foot_speed=foot)


def _speeds(ridden: list[Track], places: np.ndarray) -> np.ndarray:
    """Speed at places on a ride of one row that goes on from track to track."""
    return np.nanmax([track.speed_at(places)[0] for track in ridden], axis=0)
