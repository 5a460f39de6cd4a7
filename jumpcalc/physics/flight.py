"""First contact of the wheels with the ground: one flight or ten million, one code path.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
m        mass                                                  kg
CdA      drag area                                             m²
k        ρ CdA/(2 m)                                           1/m
v        velocity                                              m/s
w        wind: along the course (tail +), across it (left +)   m/s
g        gravity                                               m/s²
q        steepness of the path in the air (`hodograph`)        1
=======  ====================================================  =========

dv/dt = −g ẑ − k |v − w| (v − w) is solved exactly (`hodograph`). Touchdown is the first contact of the wheels
(`body`) with a ground line. Rows are flown in batches of a size that keeps memory flat, each in the first
of these tiers that is sure of it: contact solved directly (`direct`) with 14, 24 or 48 Gauss points on the path, as
its span in q needs them; a search along the whole path (`contact`). `Touchdown.tier` says which.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jumpcalc.physics.apex import highest
from jumpcalc.physics.body import Departure
from jumpcalc.physics.contact import Contact, first_contact
from jumpcalc.physics.direct import direct_contact
from jumpcalc.physics.ground import GroundLine
from jumpcalc.physics.hodograph import Airflow, fly
from jumpcalc.physics.path import Path
from jumpcalc.physics.sketch import SetDown, rough_end
from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["Touchdown", "drag_constant", "touchdown"]

# glibc returns freed memory to the system at once, page by page, until a block of this size has been freed:
# arithmetic on arrays of some thousand rows is three to ten times as fast afterwards
np.empty(4_100_000)
_ROWS_AT_ONCE = 32768  # a call of numpy costs about a µs: larger batches gain nothing, smaller ones lose
_CAREFUL_ROWS = 4096
_MOSTLY = 0.8  # of the rows of a batch, from which on all are flown rather than gathered
_POINTS = 14, 24, 48  # Gauss points of a path
_SPANS = 0.9, 2.6, 6.0  # half spans in q up to which they serve
_TO_THE_TOP = 24, 48  # Gauss points where the highest place is sought: more, for nothing there looks at what they miss
_SHORT, _BENT = 0.9, 6.0  # half spans in q up to which they serve


def drag_constant(*, density: float, drag_area: np.ndarray, mass: np.ndarray) -> np.ndarray:
    """Drag constant of a body in air.

    Parameters
    ----------
    density : float
        ρ [kg/m³].
    drag_area : array_like
        CdA [m²].
    mass : array_like
        m [kg].

    Returns
    -------
    numpy.ndarray
        k = ρ CdA/(2 m) [1/m], of the broadcast shape.

    Examples
    --------
    >>> round(float(drag_constant(density=1.225, drag_area=0.6, mass=85.0)), 12)
    0.004323529412
    """
    return density * np.asarray(drag_area) / (2 * np.asarray(mass))


@dataclass(frozen=True, slots=True, eq=False)
class Touchdown:
    """First contact of each row's wheels with the ground; every entry of shape (n,).

    `x`, `z` is the place of the wheels' midpoint [m] and `y` the side drift [m]; `v_x`, `v_y`, `v_z` the
    velocity of the flying point [m/s]; `apex` the highest place of the wheels [m], not below the start;
    `piece` the index of the ground's piece, `wall` whether a step in the ground was run into. A row
    that meets no ground within the steps allowed, or has an input that is none, holds NaN and piece -1. `tier`
    says how closely it was looked at: 0, 1, 2 directly, 3 by a search along the whole path.
    """

    time: np.ndarray
    x: np.ndarray
    y: np.ndarray
    z: np.ndarray
    v_x: np.ndarray
    v_y: np.ndarray
    v_z: np.ndarray
    apex: np.ndarray
    piece: np.ndarray
    wall: np.ndarray
    tier: np.ndarray


def touchdown(
    departure: Departure,
    ground: GroundLine,
    *,
    drag: np.ndarray = 0.0,
    tailwind: np.ndarray = 0.0,
    crosswind: np.ndarray = 0.0,
    gravity: float = STANDARD_GRAVITY,
    apex: bool = True,
) -> Touchdown:
    """First contact of each path with the ground; grazing counts.

    Parameters
    ----------
    departure : Departure
        Start, velocity and set-down; all array arguments broadcast to shape (n,).
    ground : GroundLine
        Ground from the edge on. Its pieces need not join in height: a step up is a wall.
    drag : array_like
        k [1/m].
    tailwind, crosswind : array_like
        Wind along the course and to the left of it [m/s].
    gravity : float
        g [m/s²].
    apex : bool
        Whether the highest place is wanted; a search over many rows can do without, and gets NaN.

    Returns
    -------
    Touchdown
        n rows.

    Notes
    -----
    At a joint the piece ahead counts. Ground that begins at the edge is touched at once where it is at
    least as steep as the path.
    """
    count = max(np.size(a) for a in (drag, tailwind, crosswind, departure.v_x))
    count = max(count, len(ground.x)) if ground.each else count
    departure = departure.broadcast((count,))
    # what is the same for all rows stays a number
    air = [float(a[0]) if a.size == 1 else a for a in (np.ravel(np.asarray(a, dtype=float)) for a in (drag, tailwind, crosswind))]
    found = _nothing(count, apex=apex, aside=np.ndim(air[2]) > 0 or air[2] != 0)
    with np.errstate(all="ignore"):
        for first in range(0, count, _ROWS_AT_ONCE):
            some = slice(first, min(first + _ROWS_AT_ONCE, count))
            of_rows = (a if np.ndim(a) == 0 else a[some] for a in air)
            _fill(found, some, departure.rows(some), ground.rows(some), *of_rows, gravity)
        if apex:
            landed = np.nonzero(found.piece >= 0)[0]
            for first in range(0, len(landed), _CAREFUL_ROWS):
                some = landed[first : first + _CAREFUL_ROWS]
                leaving, of_rows = departure.rows(some), (a if np.ndim(a) == 0 else a[some] for a in air)
                found.apex[some] = highest(_way(leaving, found, some, *of_rows, gravity), leaving)
    return found


def _way(
    leaving: Departure,
    found: Touchdown,
    rows: np.ndarray,
    drag: np.ndarray,
    tailwind: np.ndarray,
    crosswind: np.ndarray,
    gravity: float,
) -> Path:
    """The paths of rows to where they touched down; of one that falls upright at last, as far as it bends."""
    air = Airflow.of(leaving.v_x, leaving.v_z, drag=drag, tailwind=tailwind, crosswind=crosswind, gravity=gravity)
    end = np.maximum(air.steepness_at(found.v_x[rows], found.v_y[rows], found.v_z[rows]), air.start - 2 * _BENT)
    few = 0.5 * (air.start - end).max(initial=0.0) <= _SHORT
    return Path.until(air, end, _TO_THE_TOP[0 if few else 1])


def _nothing(count: int, *, apex: bool, aside: bool) -> Touchdown:
    """Rows that have met no ground; what is not asked for takes no memory."""
    values = {name: np.full(count, np.nan) for name in ("time", "x", "z", "v_x", "v_z")}
    for name, asked, value in (("apex", apex, np.nan), ("y", aside, 0.0), ("v_y", aside, 0.0)):
        values[name] = np.full(count, np.nan) if asked else np.broadcast_to(value, (count,))
    kinds = {"piece": np.full(count, -1, dtype=np.int16), "wall": np.zeros(count, dtype=bool)}
    return Touchdown(**values, **kinds, tier=np.full(count, len(_POINTS), dtype=np.int8))


def _fill(
    found: Touchdown,
    some: slice,
    leaving: Departure,
    ground: GroundLine,
    drag: np.ndarray,
    tailwind: np.ndarray,
    crosswind: np.ndarray,
    gravity: float,
) -> None:
    """Enter the touchdowns of some rows."""
    air = Airflow.of(leaving.v_x, leaving.v_z, drag=drag, tailwind=tailwind, crosswind=crosswind, gravity=gravity)
    down = SetDown.of(leaving)
    end = rough_end(air, leaving, down, ground)
    known = np.isfinite(air.first + air.bend + down.x + down.z + leaving.x_set)
    row = np.arange(some.start, some.stop)
    tier = np.searchsorted(_SPANS, 0.5 * (air.start - end))
    for number, count in enumerate(_POINTS):
        turn = (tier <= number) & known
        now = np.nonzero(turn)[0]
        if not len(now):
            continue
        if len(now) > _MOSTLY * len(row):
            # gathering most of the rows costs more than flying the others along
            contact, plain, better = direct_contact(air, leaving, down, ground, end=end, count=count)
            plain &= turn
            end = np.where(turn, better, end)
            _enter(found, row, contact, plain, number)
            known &= ~plain
            continue
        here = air.rows(now), leaving.rows(now), down.rows(now), ground.rows(now)
        contact, plain, end[now] = direct_contact(*here, end=end[now], count=count)
        _enter(found, row[now], contact, plain, number)
        known[now[plain]] = False
    left = np.nonzero(known)[0]
    for first in range(0, len(left), _CAREFUL_ROWS):
        part = left[first : first + _CAREFUL_ROWS]
        careful = _carefully(air.rows(part), leaving.rows(part), ground.rows(part))
        _enter(found, row[part], careful, np.ones(len(part), dtype=bool), len(_POINTS))


def _enter(found: Touchdown, row: np.ndarray, contact: Contact, plain: np.ndarray, tier: int) -> None:
    """Enter contacts of rows, where they are plain."""
    whole = bool(plain.all())
    to = slice(row[0], row[-1] + 1) if whole and row[-1] - row[0] == len(row) - 1 else row[plain]
    for name in contact.__slots__:
        into = getattr(found, name)
        if into.flags.writeable:
            value = getattr(contact, name)
            into[to] = value if whole else value[plain]
    found.tier[to] = tier


def _carefully(air: Airflow, leaving: Departure, ground: GroundLine) -> Contact:
    """First contact of each row by a search along its whole path."""

    def below(rows: np.ndarray, x: np.ndarray, z: np.ndarray) -> np.ndarray:
        at, height = leaving.rows(rows).wheels(x, z)
        return (height <= ground.pieces(ground.piece_over(at, rows), rows).height(at)) | ~np.isfinite(at)

    wind = {"tailwind": air.tailwind, "crosswind": air.crosswind}
    flight = fly(leaving.v_x, leaving.v_z, drag=air.drag, **wind, x=leaving.x, z=leaving.z, until=below, gravity=air.gravity)
    return first_contact(flight, leaving, ground)
