"""What piece of the ground a path touches first, by its exact clearance at joints on the way.

A path that is bent down everywhere is nearest to straight ground and to hollows at joints: what clears
all joints has touched nothing. It is also above the chord between any two of its places, which clears most
joints after the first without a closer look. A crest is bent by κ/cos³β, and while the wheels are set down their
midpoint is bent up against the flying point; where these could matter, the path is asked for more bend than they have.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jumpcalc.physics.body import Departure
from jumpcalc.physics.ground import GroundLine, Pieces
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
    behind : numpy.ndarray
        σ at the joint behind the contact, or `NONE`.
    asks : numpy.ndarray
        Bend −d²z/dx² [1/m] that the flying point's path must have all the way.
    plain : numpy.ndarray of bool
        Whether this is beyond doubt for a path that has it.
    """

    piece: np.ndarray
    wall: np.ndarray
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


@dataclass(frozen=True, slots=True, eq=False)
class _Seen:
    """Joints looked at: of which row, which piece lies before; σ there; clearance of the wheels above the pieces before
    and ahead, and at the beginning of the piece before [m]; whether wheels are set down over that piece or hang there still."""

    row: np.ndarray
    piece: np.ndarray
    sigma: np.ndarray
    over: np.ndarray
    step: np.ndarray
    earlier: np.ndarray
    turning: np.ndarray
    at_set: np.ndarray


def _look(
    path: Path, leaving: Departure, down: SetDown, ground: GroundLine, row: np.ndarray | None, joint: np.ndarray, end: np.ndarray
) -> tuple[_Seen, np.ndarray]:
    """Joints of rows (None: one of each row) at which the path is looked at exactly, and the height of the wheels there [m]."""
    ahead, under = ground.pieces(joint, row), ground.pieces(joint - 1, row)
    if row is not None:
        path, leaving, down, end = path.rows(row), leaving.rows(row), down.rows(row), end[row]
    sigma, z = _above(path, ahead.x - (leaving.x + down.aside), end)
    z += leaving.z - down.below
    turning = down.turns & (ahead.x <= down.x_set + SAME)
    at_set = turning & (ahead.x >= down.x_set - SAME)
    hanging = np.nonzero(turning & ~at_set)[0]
    if len(hanging):
        x = np.broadcast_to(ahead.x, z.shape)[hanging]
        sigma[hanging], z[hanging] = _above_hanging(path.rows(hanging), leaving.rows(hanging), x)
    seen = _Seen(
        row=np.arange(len(z)) if row is None else row,
        piece=np.broadcast_to(joint - 1, z.shape),
        sigma=sigma,
        over=z - under.height(ahead.x),
        step=z - ahead.z,
        earlier=np.zeros(len(z)),
        turning=turning,
        at_set=at_set,
    )
    return seen, z


def _asked(part: Pieces, bend: np.ndarray, x: np.ndarray, room: np.ndarray, earlier: np.ndarray, over: np.ndarray) -> np.ndarray:
    """Bend [1/m] that keeps a path from touching a piece between its beginning and `x`, which it clears by `earlier` and
    `over` [m]; `bend` and `room` are those of a set-down above it."""
    crest = part.greatest_crest(x)
    steep = np.maximum(1.0 / part.cosine, 1.0 / np.cos(part.slope_over(x)))
    need = np.where(room > 0, bend * steep + 4.0 * crest, crest)
    width = np.maximum(x - part.x, room)
    # f'' <= d above both ends leaves f over the chord less d w²/8, and over a share of f at the higher end less d w²/2
    spare = np.maximum(2.0 * np.maximum(earlier, over), 8.0 * np.minimum(earlier, over)) / (width * width)
    return np.where(need > 0, need - np.maximum(spare, 0.0), 0.0)


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
    piece = ground.piece_over(leaving.x + end + down.aside)
    if not ground.each and (first == first[0]).all():
        first = first[:1]  # one entry serves all rows
    height, slope, _ = ground.pieces(first).shape(down.x)
    clear = down.z - height
    plain = clear > -_SURE
    on = np.nonzero(plain & (clear <= _SURE))[0]
    if len(on):
        edge = leaving if len(on) == count else leaving.rows(on)
        v_x, v_z = edge.wheels_velocity(edge.x, edge.v_x, edge.v_z)
        plain[on] = v_z - slope[on] * v_x > _RISES
    behind, asks, wall = np.full(count, NONE), np.zeros(count), np.zeros(count, dtype=bool)
    joints = np.maximum(piece - first, 0)
    if joints.all():
        seen, z = _look(path, leaving, down, ground, None, first + 1, end)
        seen = _Seen(*(clear if name == "earlier" else getattr(seen, name) for name in _Seen.__slots__))
    else:
        row = np.nonzero(joints)[0]
        if not len(row):
            return Candidates(piece, wall, behind, asks, plain & ~down.turns)
        seen, z = _look(path, leaving, down, ground, row, np.broadcast_to(first, clear.shape)[row] + 1, end)
        seen = _Seen(*(clear[row] if name == "earlier" else getattr(seen, name) for name in _Seen.__slots__))
    seen = _with_later(path, leaving, down, ground, seen, z, joints, end, asks)
    # wheels that are set down over no joint have a kink there that is not looked at
    set_down = ~down.turns
    set_down[seen.row[seen.at_set]] = True
    plain &= set_down

    stops = ~(np.minimum(seen.over, seen.step) > _SURE)
    stop = np.full(count, -1)
    backwards = np.nonzero(stops)[0][::-1]
    stop[seen.row[backwards]] = backwards
    stopped = np.nonzero(stop >= 0)[0]
    if len(stopped):
        at = stop[stopped]
        over, step = seen.over[at], seen.step[at]
        wall[stopped] = over > 0
        piece[stopped] = seen.piece[at] + wall[stopped]
        behind[stopped] = seen.sigma[at]
        plain[stopped] &= ~((np.abs(over) <= _SURE) | ((over > 0) & (np.abs(step) <= _SURE)) | ~np.isfinite(over))

    if seen.turning.any() or ground.curvature.min() < 0:
        # ground is below 60°: what is high enough above level ground is so above it
        room = (leaving.x_set - leaving.x)[seen.row]
        doubt = ~(2.0 * np.minimum(seen.earlier, seen.over) > down.bend[seen.row] * room * room) & seen.turning
        if ground.curvature.min() < 0:
            doubt |= ground.pieces(seen.piece, seen.row).curvature < 0
        last = stop[seen.row]
        which = np.nonzero(doubt & ((last < 0) | (np.arange(len(last)) <= last)))[0]
        row, before = seen.row[which], seen.piece[which]
        part, x = ground.pieces(before, row), ground.joint(before + 1, row)
        room, stops = np.where(seen.turning, room, 0.0)[which], stops[which]
        # the piece that is touched is cleared up to the contact, and by nothing there
        over = np.where(stops, 0.0, seen.over[which])
        asked = _asked(part, down.bend[row], x, room, np.maximum(seen.earlier[which], 0.0), over)
        np.maximum.at(asks, row, asked)
    return Candidates(piece, wall, behind, asks, plain)


def _with_later(
    path: Path,
    leaving: Departure,
    down: SetDown,
    ground: GroundLine,
    seen: _Seen,
    z: np.ndarray,
    joints: np.ndarray,
    end: np.ndarray,
    asks: np.ndarray,
) -> _Seen:
    """The first joints of rows, and those after them that the chord from there to the end does not clear, in order."""
    more = joints[seen.row] - 1
    at = np.repeat(np.arange(len(more)), more)
    if not len(at):
        return seen
    row = seen.row[at]
    joint = np.arange(len(at)) - np.repeat(np.cumsum(more) - more, more) + seen.piece[at] + 2
    ahead, under = ground.pieces(joint, row), ground.pieces(joint - 1, row)
    from_x = ground.joint(seen.piece + 1, seen.row)
    to_x, to_z = ((leaving.x + down.aside + end)[seen.row], (leaving.z - down.below + path.end_height())[seen.row])
    rise = (to_z - z) / (to_x - from_x)
    start, rise = (z - rise * from_x)[at], rise[at]
    over = start + rise * ahead.x - np.maximum(under.height(ahead.x), ahead.z)
    earlier = start + rise * under.x - under.z
    bent = ~(seen.turning & ~seen.at_set)[at]
    enough = (over > _SURE) & bent
    crests = np.nonzero(enough & (under.curvature < 0))[0]
    if len(crests):
        none = np.zeros(len(crests))
        asked = _asked(under.rows(crests), none, ahead.x[crests], none, earlier[crests], over[crests])
        np.maximum.at(asks, row[crests], asked)
    left = np.nonzero(~enough)[0]
    if not len(left):
        return seen
    closer, _ = _look(path, leaving, down, ground, row[left], joint[left], end)
    known = {"earlier": np.where(bent[left], earlier[left], 0.0)}
    both = [np.concatenate([getattr(seen, name), known.get(name, getattr(closer, name))]) for name in _Seen.__slots__]
    order = np.lexsort((both[1], both[0]))
    return _Seen(*(entry[order] for entry in both))
