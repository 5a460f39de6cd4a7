"""A bike that rolls out: how fast and where it is at times and at places, until it stands.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
s        distance along the ground                             m
v        speed of the centre of mass                           m/s
e        v²/2                                                  m²/s²
q        1 − h_c κ: the wheels roll v/q                        –
=======  ====================================================  =========

dv/dt = (de/ds)/q with de/ds as in `roller`, ds/dt = v/q; from joint to joint of the ground, up to a standstill.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from jumpcalc.physics.ground import GroundLine
from jumpcalc.physics.roller import Roller

__all__ = ["Coast", "coast"]

_TOLERANCE = 1e-9
_LONGEST = 3600.0  # s
_KINK = 1e-9  # rad
_MORE = 1e-6  # m and s


@dataclass(frozen=True, slots=True, eq=False)
class Coast:
    """One coasting bike.

    Parameters
    ----------
    s, speed : numpy.ndarray
        Distance [m] and speed [m/s] at the times asked for; once it stands, where it stands, and 0.
    speed_at, time_at : numpy.ndarray
        Speed [m/s] and time [s] at the places asked for; NaN where it stands before.
    rest, rest_time : float
        Where [m] and when [s] it came to rest; NaN where it did not as far as it was followed, at most an hour.
    """

    s: np.ndarray
    speed: np.ndarray
    speed_at: np.ndarray
    time_at: np.ndarray
    rest: float
    rest_time: float


def coast(
    ground: GroundLine,
    roller: Roller,
    *,
    start: float,
    speed: float,
    times: Sequence[float] = (),
    places: Sequence[float] = (),
    to_rest: bool = False,
) -> Coast:
    """How fast and where a coasting bike is.

    Parameters
    ----------
    ground : GroundLine
        The ground; beyond its last piece the last slope goes on.
    roller : Roller
        What rolls; every entry a scalar.
    start : float
        Distance at which it starts [m].
    speed : float
        Speed at the start [m/s], more than 0.
    times : sequence of float
        Times since the start [s].
    places : sequence of float
        Distances along the ground [m].
    to_rest : bool
        Whether it is followed until it stands, or no further than the last of these times and places.

    Returns
    -------
    Coast
        At these times and places.

    Notes
    -----
    At a kink that turns up by Δβ, v becomes v cosΔβ; suspension is left out.
    """
    from scipy.optimize import brentq

    times, places = np.asarray(times, dtype=float), np.asarray(places, dtype=float)
    s, v, now, rest = float(start), float(speed), 0.0, np.nan
    # nobody needs more of it than was asked for, and a little
    enough = (np.inf, np.inf) if to_rest else (np.max(places, initial=-np.inf) + _MORE, np.max(times, initial=0.0) + _MORE)
    at_times, at_places = np.full((2, len(times)), np.nan), np.full((2, len(places)), np.nan)
    for piece in range(int(ground.piece_at(np.array(s))), len(ground.start)):
        solved = _over(ground, roller, piece, now, s, v, enough)
        end, (gone, left) = float(solved.t[-1]), solved.y[:, -1]
        here = np.isnan(at_times[0]) & (times <= end)
        at_times[:, here] = solved.sol(times[here]) if here.any() else np.empty((2, 0))
        for number in np.nonzero(np.isnan(at_places[0]) & (places >= s) & (places <= gone))[0]:
            place = float(places[number])
            when = now if place == s else brentq(_beyond, now, end, args=(solved.sol, place), xtol=1e-12)
            at_places[:, number] = solved.sol(when)[1], when
        now = end
        if solved.t_events[0].size:
            rest = float(gone)
            at_times[:, np.isnan(at_times[0])] = [[rest], [0.0]]
            break
        if not solved.t_events[1].size:
            break
        arriving = ground.slope[piece] + ground.curvature[piece] * (ground.start[piece + 1] - ground.start[piece])
        turn = float(ground.slope[piece + 1] - arriving)
        s, v = float(ground.start[piece + 1]), float(left) * (np.cos(turn) if turn > _KINK else 1.0)
    stood = np.isfinite(rest)
    return Coast(at_times[0], np.maximum(at_times[1], 0.0), *at_places, rest, now if stood else np.nan)


def _beyond(time: float, ridden: Callable[[float], np.ndarray], place: float) -> float:
    """How far beyond a place the bike is at a time [m]."""
    return float(ridden(time)[0]) - place


def _over(ground: GroundLine, roller: Roller, piece: int, now: float, s: float, v: float, enough: tuple[float, float]) -> Any:
    """The ride over one piece: up to its end, a standstill, or as far as was asked for."""
    from scipy.integrate import solve_ivp

    begin, slope, curvature = (float(entry[piece]) for entry in (ground.start, ground.slope, ground.curvature))
    end = float(ground.start[piece + 1]) if piece + 1 < len(ground.start) else np.inf
    q = 1 - float(roller.height) * curvature
    slowing = _slowing(roller, begin, slope, curvature)

    def rates(_: float, y: np.ndarray) -> tuple[float, float]:
        fast = max(float(y[1]), 0.0)
        return fast / q, slowing(float(y[0]), fast) / q

    def stands(_: float, y: np.ndarray) -> float:
        return y[1]

    def leaves(_: float, y: np.ndarray) -> float:
        return y[0] - end if np.isfinite(end) else -1.0

    def passed(time: float, y: np.ndarray) -> float:
        beyond = min(y[0] - enough[0], time - enough[1])
        return beyond if np.isfinite(beyond) else np.sign(beyond)

    stands.terminal = leaves.terminal = passed.terminal = True
    stands.direction, leaves.direction, passed.direction = -1.0, 1.0, 1.0
    return solve_ivp(
        rates, (now, now + _LONGEST), (s, v), method="DOP853", rtol=_TOLERANCE, atol=_TOLERANCE, dense_output=True,
        events=(stands, leaves, passed), max_step=20.0,
    )  # fmt: skip


def _slowing(roller: Roller, begin: float, slope: float, curvature: float) -> Callable[[float, float], float]:
    """de/ds at a distance and a speed; on a straight the ground's part is worked out once."""
    if curvature == 0:
        pull = roller.pull(slope, 0.0)
        return lambda s, v: float(pull(v))
    return lambda s, v: float(roller.slowing(0.5 * v * v, slope + curvature * (s - begin), curvature))
