"""First contact solved directly, in the rows in which it is plain where it is.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
q        steepness of the path in the air (`hodograph`)        1
σ        place on the path, -1 at the start to 1 at its end    1
f        clearance of the wheels' midpoint                     m
=======  ====================================================  =========

1. A parabola with drag to first order says about where the path ends (`sketch`).
2. The whole path there as one polynomial, from values at Gauss points (`path`).
3. The exact clearance at every joint of the ground on the way, and so the piece that is touched (`joints`).
4. Contact with that piece in steps to second order; what is left of the last one is expanded to third.

Rows in which any of this is in doubt are said to be so, and left for a closer look: a clearance at a joint of
less than 3e-8 m, a descent of less than 2 cm/s, last coefficients of more than 1e-8 m, a path that is
not bent down enough, goes back or ends elsewhere than foreseen.
"""

from __future__ import annotations

import numpy as np

from jumpcalc.physics.body import Departure
from jumpcalc.physics.contact import Contact
from jumpcalc.physics.ground import GroundLine, Pieces
from jumpcalc.physics.hodograph import Airflow
from jumpcalc.physics.joints import NONE, SAME, candidates, until
from jumpcalc.physics.path import Moment, Path
from jumpcalc.physics.sketch import SetDown

__all__ = ["direct_contact"]

_TAIL = 1e-8  # m, last coefficients of the polynomials
_SPARE, _SPARE_Q = 0.02, 0.005  # of the path, and q, beyond the first guess of its end
_BEYOND = 1.03  # σ up to which the polynomials serve
_MARGIN = 1e-6  # m, before the next joint
_DESCENT = 0.02  # m/s towards the ground at contact, below which a path grazes
_DELAY = 5e-9  # s, the same over the descent: what is left out puts contact off by about this
_SMALL = 2e-3  # s, a last step that is expanded, where ground is straight and the descent swift
_CURVED, _SLOWED = 10.0, 10.0  # m and s, how much shorter it is on a bend and in a strong wind
_EXACT = 1e-9  # s, a step after which the next would be nothing
_MOST_TURNS = 8


def direct_contact(
    air: Airflow, leaving: Departure, down: SetDown, ground: GroundLine, *, end: np.ndarray, count: int
) -> tuple[Contact, np.ndarray, np.ndarray]:
    """First contact of the rows in which it is plain.

    Parameters
    ----------
    air : Airflow
        The starts of n rows.
    leaving : Departure
        Place, velocity and set-down of the same rows.
    down : SetDown
        Their set-down.
    ground : GroundLine
        Ground of all rows, or of each its own.
    end : numpy.ndarray
        Steepness q about where each path ends, shape (n,).
    count : int
        Gauss points on a path.

    Returns
    -------
    contact : Contact
        n rows.
    plain : numpy.ndarray of bool
        Which of them are right.
    end : numpy.ndarray
        Steepness q about where the paths end, better known.
    """
    path = Path.until(air, end - _SPARE * (air.start - end) - _SPARE_Q, count)
    touched = candidates(path, leaving, down, ground)
    part = ground.pieces(touched.piece)
    tail = path.tail()
    plain = touched.plain & down.plain & (tail < _TAIL)

    x0, z0 = leaving.x + down.aside, leaving.z - down.below
    passing = touched.behind == NONE
    sigma = np.where(passing, (air.start - end) / path.half - 1.0, touched.behind)
    hangs = down.turns & (part.x < down.x_set - SAME)
    now, dt, descent = _meet(path, x0, z0, part, sigma, plain & ~touched.wall & ~hangs)
    walls = np.nonzero(touched.wall & plain)[0]
    if len(walls):
        sigma[walls], descent[walls] = touched.behind[walls], np.inf
        now.put(walls, path.rows(walls).at(sigma[walls]))
        dt[walls] = np.where(hangs[walls], np.nan, until((part.x - x0)[walls], now.rows(walls)))
    hanging = np.nonzero(hangs & plain & ~touched.wall)[0]
    if len(hanging):
        some, edge = path.rows(hanging), leaving.rows(hanging)
        sigma[hanging], descent[hanging] = _meet_hanging(some, edge, part.rows(hanging), touched.behind[hanging])
        now.put(hanging, some.at(sigma[hanging]))
        dt[hanging] = 0.0
    x, z, v_x, v_z = now.after(dt, air)
    x, z = x0 + x, z0 + z
    if len(hanging):
        x[hanging], z[hanging] = edge.wheels(edge.x + now.x[hanging], edge.z + now.z[hanging])
    met = path.ahead(sigma, now, dt)

    asks = touched.asks
    if ground.curvature.min() < 0:
        asks = np.where(passing, np.maximum(asks, part.greatest_crest(x)), asks)
    plain &= (np.abs(dt) <= _SMALL) & (descent > _DESCENT) & (met > -1.0) & (x > part.x - SAME)
    plain &= met <= np.where(passing, _BEYOND, touched.behind + SAME)
    plain &= ~passing | (x < _next_joint(ground, touched.piece) - _MARGIN)
    plain &= tail < _DELAY * descent
    plain &= _bend(air, leaving, now, v_x, v_z) > asks
    time = path.time(sigma) + dt
    y = v_y = np.broadcast_to(0.0, time.shape)
    if air.sideways:
        way, level = now.level_after(dt, air)
        y = air.crosswind * time + air.aside * (path.level(sigma) + way)
        v_y = air.crosswind + air.aside * level
    contact = Contact(time=time, x=x, y=y, z=z, v_x=v_x, v_y=v_y, v_z=v_z, piece=touched.piece, wall=touched.wall)
    better = passing & (met > -0.9) & (met < 2.0)
    return contact, plain, np.where(better, air.start - path.half * (1.0 + met), end)


def _meet(
    path: Path, x0: np.ndarray, z0: np.ndarray, part: Pieces, sigma: np.ndarray, follow: np.ndarray
) -> tuple[Moment, np.ndarray, np.ndarray]:
    """The moment at σ, which is moved in the rows to `follow`, the time [s] still missing to contact, and the descent
    towards the ground [m/s]."""
    now = path.at(sigma)
    dt, descent, far = _until_contact(now, path.air.drag * now.speed, x0, z0, part)
    far &= follow
    for _ in range(_MOST_TURNS):
        off = np.nonzero(far)[0]
        if not len(off):
            break
        some, then = path.rows(off), now.rows(off)
        sigma[off] = np.clip(some.ahead(sigma[off], then, dt[off]), -1.0, 1.5)
        then = some.at(sigma[off])
        now.put(off, then)
        dt[off], descent[off], far[off] = _until_contact(then, some.air.drag * then.speed, x0[off], z0[off], part.rows(off))
    return now, dt, descent


def _until_contact(
    now: Moment, push: np.ndarray, x0: np.ndarray, z0: np.ndarray, part: Pieces
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Time [s] to contact to second order, descent towards the ground [m/s], and whether the time is too long for that;
    `push` is k V [1/s]."""
    height, slope, bend = part.shape(x0 + now.x)
    f = z0 + now.z - height
    descent = slope * now.v_x - now.v_z
    bent = slope * now.a_x - now.a_z + bend * now.v_x * now.v_x
    dt = 2.0 * f / (descent + np.sqrt(np.maximum(descent * descent + 2.0 * f * bent, 0.0)))
    far = np.abs(dt) * (1.0 + _CURVED * np.abs(bend) + _SLOWED * push) > _SMALL * np.minimum(descent, 1.0)
    return dt, descent, far


def _meet_hanging(path: Path, leaving: Departure, part: Pieces, sigma: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """σ where wheels that are being set down touch a piece, from behind, and the descent towards it [m/s]."""
    for _ in range(3 * _MOST_TURNS):
        now = path.at(sigma)
        flying = leaving.x + now.x
        x, z = leaving.wheels(flying, leaving.z + now.z)
        v_x, v_z = leaving.wheels_velocity(flying, now.v_x, now.v_z)
        height, slope, _ = part.shape(x)
        descent = slope * v_x - v_z
        dt = (z - height) / descent
        sigma = np.clip(path.ahead(sigma, now, dt), -1.0, 1.5)
        if not np.abs(dt).max() > _EXACT:
            break
    return sigma, np.where(np.abs(dt) <= _EXACT, descent, 0.0)


def _next_joint(ground: GroundLine, piece: np.ndarray) -> np.ndarray:
    """Where the next piece begins [m]; without end for the last one."""
    last = ground.x.shape[-1] - 1
    return np.where(piece < last, ground.joint(np.minimum(piece + 1, last)), np.inf)


def _bend(air: Airflow, leaving: Departure, now: Moment, v_x: np.ndarray, v_z: np.ndarray) -> np.ndarray:
    """Least bend −d²z/dx² = (g v_x + k V w v_z)/v_x³ [1/m] of the way to the contact; negative where it may come back."""
    # v_x and v_z change one way only, V is greatest at an end
    least, most = np.minimum(leaving.v_x, v_x), np.maximum(leaving.v_x, v_x)
    pull = air.gravity * least
    if air.windy:
        fastest = np.maximum(now.speed, air.level * np.sqrt(1.0 + air.slope * air.slope))
        pull += air.drag * fastest * np.minimum(np.minimum(leaving.v_z * air.tailwind, v_z * air.tailwind), 0.0)
    return np.where((least > 0) & (now.a_z < 0), pull, -1.0) / (most * most * most)
