"""Loads of a bike's wheels on the way up to an edge and over it, and where one lifts.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
s'       speed of the rear contact                             m/s
v        lip speed, by energy                                  m/s
g        gravity                                               m/s²
=======  ====================================================  =========

With both wheels on the ground each load is a multiple of g and one of s'² (`stance`), and s'² follows from v by energy;
with the rear wheel alone it comes with the simulated departure (`departure`).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jumpcalc.physics.departure import Takeoff, Track

__all__ = ["LIFTS", "Loads", "loads"]

LIFTS = ("", "front", "rear")
"""What the entries of `Loads.lifts` stand for."""


@dataclass(frozen=True, slots=True, eq=False)
class Loads:
    """Loads of the wheels before the bike has left, in multiples of gravity; arrays of shape (n,).

    Looked at from the front's passing the foot on: of both wheels until the front passes the edge, of the rear
    alone until it leaves. NaN where the bike does not leave.

    Parameters
    ----------
    least_front, least_rear : numpy.ndarray
        Least load of either wheel, negative where the ground would have to hold it down.
    greatest : numpy.ndarray
        Greatest load of both wheels together, both on the ground.
    lifts : numpy.ndarray
        Which wheel lifts first, an index of `LIFTS`; 0 where none does.
    lift_before : numpy.ndarray
        How far before the edge that wheel's contact is then [m], NaN where none lifts.
    """

    least_front: np.ndarray
    least_rear: np.ndarray
    greatest: np.ndarray
    lifts: np.ndarray
    lift_before: np.ndarray


def loads(takeoff: Takeoff, speed: np.ndarray, track: Track) -> Loads:
    """Loads of the wheels on the way to the edge, and whether and where one lifts.

    Parameters
    ----------
    takeoff : Takeoff
        Bike and ground.
    speed : array_like
        Lip speeds v [m/s], shape (n,).
    track : Track
        The way from the front's passing the edge on, as `leave` gives it for these speeds.

    Returns
    -------
    Loads
        n rows.

    Notes
    -----
    Where a wheel lifts the simulation no longer holds: it goes on as if the ground held the wheel down.

    Examples
    --------
    No wheel of this bike lifts, and the lip presses it with 2.6 times its weight at most:

    >>> from jumpcalc.physics.body import Body
    >>> from jumpcalc.physics.departure import leave
    >>> from jumpcalc.physics.ground import Arc, Straight, chain
    >>> bike = Body(height=1.0, landing_height=1.0, wheelbase=1.2, behind_front=0.62, pitch_radius=0.45)
    >>> lip = chain([Straight(length=1.0, slope=0.0), Arc(radius=5.0, to_slope=0.6)], s=-1.0)
    >>> up = Takeoff(ground=lip, edge=lip.end, foot=0.0, body=bike)
    >>> found = loads(up, [7.0], leave(up, [7.0])[1])
    >>> LIFTS[found.lifts[0]], round(float(found.greatest[0]), 1)
    ('', 2.6)
    """
    speed = np.atleast_1d(np.asarray(speed, dtype=float))
    both, gravity, rows = takeoff.stances(), takeoff.gravity, np.arange(len(speed))
    squared = np.maximum(takeoff.rear_speed_squared(both, speed), 0.0) / gravity
    front, rear = both.front_weight + both.front_press * squared, both.rear_weight + both.rear_press * squared
    alone = track.rear_load / gravity
    # in the order of travel: front and rear at each place, then the rear alone
    way = np.concatenate([np.stack([front, rear], axis=2).reshape(len(speed), -1), alone], axis=1)
    places = takeoff.edge - np.stack([both.front, both.rear], axis=1).ravel()
    before = np.concatenate([np.broadcast_to(places, (len(speed), len(places))), track.before], axis=1)
    known = np.isfinite(alone).all(axis=1)
    first = np.argmax(way < 0, axis=1)
    lifting = known & (way[rows, first] < 0)
    with_both = first < len(places)
    # where the load passes 0, between that wheel's look before and this one
    last = first - np.where(with_both, 2, 1)
    last = np.where(last < 0, first, last)
    now, then = way[rows, first], way[rows, last]
    share = np.divide(then, then - now, out=np.ones_like(now), where=(then > 0) & lifting)
    place = before[rows, last] + share * (before[rows, first] - before[rows, last])
    return Loads(
        least_front=np.where(known, front.min(axis=1), np.nan),
        least_rear=np.where(known, np.minimum(rear.min(axis=1), alone.min(axis=1)), np.nan),
        greatest=np.where(known, (front + rear).max(axis=1), np.nan),
        lifts=np.where(lifting, np.where(with_both & (first % 2 == 0), 1, 2), 0),
        lift_before=np.where(lifting, place, np.nan),
    )
