"""What piece of the ground a path touches first, by its exact clearance at every joint on the way.

A path that is bent down everywhere is nearest to straight ground and to hollows at joints: what clears
all joints has touched nothing. A crest is bent by κ/cos³β, and while the wheels are set down their
midpoint is bent up against the flying point; where these could matter, the path is asked for more bend than they have.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jumpcalc.physics.body import Departure
from jumpcalc.physics.ground import GroundLine
from jumpcalc.physics.hodograph import steepness
from jumpcalc.physics.path import Moment, Path
from jumpcalc.physics.sketch import SetDown

__all__ = ["NONE", "SAME", "Candidates", "candidates", "until"]

SAME = 1e-9
"""Places that count as one [m]."""
NONE = 2.0
"""σ of the joint behind where the path ends before one."""

_SURE = 3e-8  # m, clearance at a joint below which a row is looked at closely
_RISES = 0.02  # m/s away from ground that begins at the edge
_SMALL = 1e-3  # s, time to a joint that is left to second order
_EXACT = 1e-11  # s, where it is not
_MOST_TURNS = 8


@dataclass(frozen=True, slots=True, eq=False)
class Candidates:
    """What is touched, of n rows.

    Parameters
    ----------
    piece : numpy.ndarray of int
        Piece of the ground.
    wall : numpy.ndarray of bool
        Whether a step up at the piece's beginning is run into.
    after : numpy.ndarray
        Place of the joint before the contact [m], beyond which it must lie.
    behind : numpy.ndarray
        σ at the joint behind it, or `NONE`.
    asks : numpy.ndarray
        Bend −d²z/dx² [1/m] that the flying point's path must have all the way.
    plain : numpy.ndarray of bool
        Whether this is beyond doubt for a path that has it.
    """

    piece: np.ndarray
    wall: np.ndarray
    after: np.ndarray
    behind: np.ndarray
    asks: np.ndarray
    plain: np.ndarray


def until(way: np.ndarray, now: Moment) -> np.ndarray:
    """Time from a moment to a level way from the start, to second order.

    Parameters
    ----------
    way : numpy.ndarray
        Level way from the start [m].
    now : Moment
        Close to it.

    Returns
    -------
    numpy.ndarray
        Time [s].
    """
    dt = (way - now.x) / now.v_x
    return dt * (1.0 - 0.5 * now.a_x * dt / now.v_x)


def _above(path: Path, way: np.ndarray, end: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """σ and height from the start [m] where the flying point is `way` [m] from it; `end` [m] is the way to the end."""
    # p0 − p over the way: a square through both ends, with the right rate at the start
    air = path.air
    grown = np.exp(air.start - 2.0 * path.half)
    fall = air.slope - 0.5 * (grown - 1.0 / grown)
    rate = air.level / air.gravity * (air.along * air.level + air.tailwind)
    bent = (rate * fall - end) / (fall * fall)
    slope = air.slope - 2.0 * way / (rate + np.sqrt(np.maximum(rate * rate - 4.0 * bent * way, 0.0)))
    sigma = (air.start - steepness(slope)) / path.half - 1.0
    now = path.at(sigma)
    dt = until(way, now)
    for _ in range(_MOST_TURNS):
        off = np.nonzero(np.abs(dt) > _SMALL)[0]
        if not len(off):
            break
        some, then = path.rows(off), now.rows(off)
        sigma[off] = np.clip(some.ahead(sigma[off], then, dt[off]), -1.0, 1.0)
        now.put(off, some.at(sigma[off]))
        dt[off] = until(way[off], now.rows(off))
    return path.ahead(sigma, now, dt), now.z + dt * (now.v_z + 0.5 * now.a_z * dt)


def _above_hanging(path: Path, leaving: Departure, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """σ and height z [m] where wheels that are being set down are above the places `x` [m]; NaN where not found."""
    sigma = np.full(len(x), -1.0)
    for _ in range(3 * _MOST_TURNS):
        now = path.at(sigma)
        flying = leaving.x + now.x
        at, z = leaving.wheels(flying, leaving.z + now.z)
        dt = (x - at) / leaving.wheels_velocity(flying, now.v_x, now.v_z)[0]
        sigma = np.clip(path.ahead(sigma, now, dt), -1.0, 1.0)
        if not np.abs(dt).max() > _EXACT:
            break
    return sigma, np.where(np.abs(dt) <= _EXACT, z, np.nan)


def candidates(path: Path, leaving: Departure, down: SetDown, ground: GroundLine) -> Candidates:
    """The pieces that are touched first.

    Parameters
    ----------
    path : Path
        Paths of n rows to about the contact.
    leaving : Departure
        Place, velocity and set-down of the same rows.
    down : SetDown
        Their set-down.
    ground : GroundLine
        Ground of all rows, or of each its own.

    Returns
    -------
    Candidates
        n rows.
    """
    count = len(down.x)
    end = path.end()
    first = ground.piece_over(down.x + SAME)
    last = ground.piece_over(leaving.x + end + down.aside)
    height, slope, _ = ground.pieces(first).shape(down.x)
    clear = down.z - height
    plain = clear > -_SURE
    on = np.nonzero(plain & (clear <= _SURE))[0]
    if len(on):
        edge = leaving if len(on) == count else leaving.rows(on)
        v_x, v_z = edge.wheels_velocity(edge.x, edge.v_x, edge.v_z)
        plain[on] = v_z - slope[on] * v_x > _RISES
    joints = np.maximum(last - first, 0)
    ends = np.cumsum(joints)
    total = int(ends[-1])
    after, behind = down.x - SAME, np.full(count, NONE)
    if not total:
        return Candidates(first, np.zeros(count, dtype=bool), after, behind, np.zeros(count), plain & ~down.turns)

    # one entry for each joint on the way of each row, in order
    row = np.repeat(np.arange(count), joints)
    begins = ends - joints
    joint = np.arange(total) + (first + 1 - begins)[row]
    ahead = ground.pieces(joint, row)
    way = ahead.x - (down.aside + leaving.x)[row]
    base = leaving.z - down.below
    sigma, z = np.empty(total), np.empty(total)
    # the first joint of each row as it stands, without gathering, where every row has one
    lead = begins if joints.min() > 0 else begins[joints > 0]
    whole = len(lead) == count
    sigma[lead], z[lead] = _above(path if whole else path.rows(row[lead]), way[lead], end if whole else end[row[lead]])
    turning = down.turns[row] & (ahead.x <= down.x_set[row] + SAME)
    at_set = turning & (ahead.x >= down.x_set[row] - SAME)
    rest = np.ones(total, dtype=bool)
    rest[lead] = False
    rest = np.nonzero(rest)[0]
    if len(rest):
        # a path that is bent down is above the chord from the first joint to its end: mostly that is enough
        at = row[rest]
        from_x, from_z = way[begins[at]], z[begins[at]]
        share = (way[rest] - from_x) / (end[at] - from_x)
        z[rest] = from_z + share * (path.end_height()[at] - from_z)
        top = np.maximum(ahead.z[rest], ground.pieces(joint[rest] - 1, at).height(ahead.x[rest]))
        enough = (z[rest] + base[at] > top + _SURE) & (at_set | ~turning)[begins[at]]
        rest = rest[~enough]
    if len(rest):
        sigma[rest], z[rest] = _above(path.rows(row[rest]), way[rest], end[row[rest]])
    z += base[row]
    hanging = np.nonzero(turning & ~at_set)[0]
    if len(hanging):
        sigma[hanging], z[hanging] = _above_hanging(path.rows(row[hanging]), leaving.rows(row[hanging]), ahead.x[hanging])
    # wheels that are set down over no joint have a kink there that is not looked at
    set_down = ~down.turns
    set_down[row[at_set]] = True
    plain &= set_down

    under = ground.pieces(joint - 1, row)
    over, step = z - under.height(ahead.x), z - ahead.z
    stop = np.full(count, -1)
    stops = np.nonzero(~(np.minimum(over, step) > _SURE))[0][::-1]
    stop[row[stops]] = stops
    stopped = np.nonzero(stop >= 0)[0]
    same = row[1:] == row[:-1]
    piece, wall = last, np.zeros(count, dtype=bool)
    passed = np.nonzero(joints)[0]
    after[passed] = ahead.x[ends[passed] - 1]
    if len(stopped):
        at = stop[stopped]
        wall[stopped] = over[at] > 0
        piece[stopped] = joint[at] - 1 + wall[stopped]
        after[stopped] = np.where(np.append(False, same)[at], ahead.x[at - 1], down.x[stopped]) - SAME
        behind[stopped] = sigma[at]
        doubt = (np.abs(over[at]) <= _SURE) | (wall[stopped] & (np.abs(step[at]) <= _SURE)) | ~np.isfinite(z[at])
        plain[stopped] &= ~doubt
    asks = np.zeros(count)
    matter = np.nonzero(turning | (under.curvature < 0))[0]
    if len(matter):
        at = row[matter]
        part, over = under.rows(matter), over[matter]
        crest = part.greatest_crest(ahead.x[matter])
        steep = np.maximum(1.0 / part.cosine, 1.0 / np.cos(part.slope_over(ahead.x[matter])))
        need = np.where(turning[matter], down.bend[at] * steep + 4.0 * crest, crest)
        width = np.where(turning[matter], leaving.x_set[at] - leaving.x[at], 0.0)
        width = np.maximum(width, ahead.x[matter] - part.x)
        earlier = np.where(np.append(False, same)[matter], step[matter - 1], clear[at])
        # f'' <= d above both ends leaves f over the chord less d w²/8, and over a share of f at the higher end less d w²/2
        spare = np.maximum(2.0 * np.maximum(earlier, over), 8.0 * np.minimum(earlier, over)) / (width * width)
        need -= np.where(matter == stop[at], 0.0, np.maximum(spare, 0.0))
        asked = (need > 0) & ((stop[at] < 0) | (matter <= stop[at]))
        np.maximum.at(asks, at[asked], need[asked])
    return Candidates(piece, wall, after, behind, asks, plain)
