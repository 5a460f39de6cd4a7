"""Speed and direction of a flight from how long it took and where the rear wheel came down.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
T        time from the rear wheel's leaving to its touching    s
x z      where the rear wheel touched, from the edge           m
C        centre of mass                                        m
ψ        attitude of the wheel line, nose up                   rad
e n      along the wheel line, square to it                    –
l_r h    centre of mass ahead of the rear contact, above it    m
θ v      slope at the edge, lip speed                          rad, m/s
=======  ====================================================  =========

C = rear contact + l_r e + h n at both ends: between them the bike turns, so that C flies further and falls less than the
rear wheel. Without drag v_x = Δx/T, v_z = Δz/T + g T/2. Along the lip nobody can add speed in the air, so the lip speed is
that whose simulated departure has C' along the lip's slope; what is across it and differs is direction.
"""

from __future__ import annotations

import numpy as np

from jumpcalc.physics.hodograph import fly
from jumpcalc.physics.roller import Roller
from jumpcalc.physics.roots import bracketed_roots
from jumpcalc.plan.ask.leaving import curve_of
from jumpcalc.plan.studies.field.kinds import Airtime
from jumpcalc.plan.terrain import Prepared
from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["airborne", "thrown"]

_FASTEST = 40.0  # m/s
_SHORTEST = 0.02  # s, what is left of a time at least
_TURNS = 30
_EXACT = 1e-9


def thrown(
    x: np.ndarray,
    z: np.ndarray,
    time: np.ndarray,
    *,
    drag: np.ndarray = 0.0,
    tailwind: np.ndarray = 0.0,
    gravity: float = STANDARD_GRAVITY,
) -> tuple[np.ndarray, np.ndarray]:
    """Velocity with which a body must be thrown to be at a place after a time.

    Parameters
    ----------
    x, z : array_like
        Place from the start [m], forward and up; all array arguments broadcast to shape (n,).
    time : array_like
        T [s].
    drag : array_like
        k [1/m].
    tailwind : array_like
        Wind along the course [m/s].
    gravity : float
        g [m/s²].

    Returns
    -------
    v_x, v_z : numpy.ndarray
        Velocity at the start [m/s], shape (n,).

    Examples
    --------
    >>> v_x, v_z = thrown(6.2, -0.4, 0.85, gravity=9.81)
    >>> round(float(np.hypot(v_x, v_z)[0]), 4), round(float(np.degrees(np.arctan2(v_z, v_x))[0]), 3)
    (8.1783, 26.888)
    """
    x, z, time, drag, tailwind = (np.atleast_1d(a).astype(float) for a in np.broadcast_arrays(x, z, time, drag, tailwind))
    v_x, v_z = x / time, z / time + 0.5 * gravity * time
    for _ in range(_TURNS):
        place, _ = fly(v_x, v_z, drag=drag, tailwind=tailwind, duration=time, gravity=gravity).at(time)
        miss_x, miss_z = x - place[:, 0], z - place[:, 2]
        if not (np.hypot(miss_x, miss_z) > _EXACT).any():
            break
        v_x, v_z = v_x + miss_x / time, v_z + miss_z / time
    return v_x, v_z


def airborne(
    course: Prepared, reading: Airtime, roller: Roller, off: dict[str, np.ndarray]
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Lip speeds and directions of a flight.

    Parameters
    ----------
    course : Prepared
        The jump.
    reading : Airtime
        The flight.
    roller : Roller
        Drag and wind of each row.
    off : dict
        What is off in each row, by name: timing [s], length and height [m], attitude [rad], each of shape (n,).

    Returns
    -------
    edge : numpy.ndarray
        Lip speed [m/s], NaN where no departure gives the flight, shape (n,).
    direction : numpy.ndarray
        Direction of the centre of mass as the rear wheel leaves [rad].
    expected : numpy.ndarray
        The same of a stiff rider at that lip speed [rad].
    """
    slope, fall = course.terrain.angle, course.terrain.fall
    along = np.cos(slope), np.sin(slope)
    x, z = reading.along + off["length"], -reading.lower + off["height"]
    time = np.maximum(reading.time + off["timing"], _SHORTEST)
    air = {"drag": roller.drag, "tailwind": roller.tailwind}
    if course.rig.path == "point":
        v_x, v_z = thrown(x, z, time, **air)
        edge = along[0] * v_x + along[1] * v_z
        return np.where(edge > 0, edge, np.nan), np.arctan2(v_z, v_x), np.full(edge.shape, slope)
    body, curve = course.rig.bodies["bike"], curve_of(course)
    lever, attitude = body.wheelbase - body.behind_front, -fall + off["attitude"]
    end_x = x + lever * np.cos(attitude) - body.landing_height * np.sin(attitude)
    end_z = z + lever * np.sin(attitude) + body.landing_height * np.cos(attitude)

    def flown(speed: np.ndarray) -> tuple[np.ndarray, ...]:
        leaving = curve.leaving(speed)
        return leaving, *thrown(end_x - np.nan_to_num(leaving.x), end_z - np.nan_to_num(leaving.z), time, **air)

    def lacks(speed: np.ndarray) -> np.ndarray:
        leaving, v_x, v_z = flown(speed)
        return np.nan_to_num(along[0] * leaving.v_x + along[1] * leaving.v_z) - along[0] * v_x - along[1] * v_z

    low = np.full(time.shape, curve.slowest + 0.01)
    edge = bracketed_roots(lacks, low, np.full(time.shape, _FASTEST), tolerance=1e-10)
    leaving, v_x, v_z = flown(edge)
    edge = np.where(np.abs(lacks(edge)) < 1e-6, edge, np.nan)
    return edge, np.arctan2(v_z, v_x), np.arctan2(leaving.v_z, leaving.v_x)
