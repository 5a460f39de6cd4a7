"""First contact of a flown path with ground of any shape, by a search along the whole of it.

The path is looked at in short stretches, cut where it is above joints of the ground, so that neither a
kink nor a wall is missed; a stretch that comes near the ground is searched for its lowest place, so
that neither a grazing path nor a second contact within one step is. Contact itself is found between
brackets. The few rows go through here in which `direct` is not sure of itself.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jumpcalc.physics.body import Departure
from jumpcalc.physics.ground import GroundLine, Pieces
from jumpcalc.physics.hodograph import Flight, Steps
from jumpcalc.physics.roots import bracketed_roots

__all__ = ["Contact", "first_contact"]

_SAMPLES = np.linspace(-1.0, 1.0, 13)


@dataclass(frozen=True, slots=True, eq=False)
class Contact:
    """First contact of each row, every entry of shape (n,); see `flight.Touchdown`."""

    time: np.ndarray
    x: np.ndarray
    y: np.ndarray
    z: np.ndarray
    v_x: np.ndarray
    v_y: np.ndarray
    v_z: np.ndarray
    piece: np.ndarray
    wall: np.ndarray


@dataclass(frozen=True, slots=True, eq=False)
class _Path:
    """The wheels in chosen steps of chosen rows, above chosen pieces of the ground; places in the step are σ."""

    steps: Steps
    leaving: Departure
    part: Pieces | None = None

    @classmethod
    def of(cls, flight: Flight, departure: Departure, row: np.ndarray, step: np.ndarray, part: Pieces | None = None) -> _Path:
        """The path in these steps of these rows; pieces of ground only where their height is asked for."""
        return cls(flight.steps(row, step), departure.rows(row), part)

    def some(self, which: np.ndarray) -> _Path:
        """The chosen ones."""
        return _Path(self.steps.some(which), self.leaving.rows(which), self.part and self.part.rows(which))

    def wheels(self, sigma: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Place (x, z) [m] of the wheels' midpoint."""
        x, _, z = self.steps.place(sigma)
        return self.leaving.wheels(x, z)

    def clearance(self, sigma: np.ndarray) -> np.ndarray:
        """Height of the wheels above the piece [m]."""
        x, z = self.wheels(sigma)
        return z - self.part.height(x)

    def climb(self, sigma: np.ndarray) -> np.ndarray:
        """Rate of the clearance [m/s]."""
        flying, _, z = self.steps.place(sigma)
        v_x, _, v_z = self.steps.speeds(sigma)
        x, _ = self.leaving.wheels(flying, z)
        v_x, v_z = self.leaving.wheels_velocity(flying, v_x, v_z)
        return v_z - v_x * np.tan(self.part.slope_over(x))


@dataclass(frozen=True, slots=True, eq=False)
class _Cells:
    """Stretches of the paths, row by row as flown: row, step, σ at both ends, place of the wheels there [m]."""

    row: np.ndarray
    step: np.ndarray
    low: np.ndarray
    high: np.ndarray
    x_low: np.ndarray
    x_high: np.ndarray
    z_low: np.ndarray
    z_high: np.ndarray

    def some(self, which: np.ndarray) -> _Cells:
        """The chosen stretches."""
        return _Cells(*(getattr(self, name)[which] for name in self.__slots__))

    def reach(self) -> np.ndarray:
        """How high above the ground its ends may be and a stretch still touch it [m]; ground is below 60°."""
        return 2.0 * np.hypot(self.x_high - self.x_low, self.z_high - self.z_low) + 1e-3


def _first_of_row(row: np.ndarray, chosen: np.ndarray, count: int) -> np.ndarray:
    """Index of the first chosen entry of each row, of entries in the order of rows; -1 where there is none."""
    first = np.full(count, -1)
    at = np.nonzero(chosen)[0][::-1]
    first[row[at]] = at  # backwards, so that the first one is written last
    return first


def _even_cells(flight: Flight, departure: Departure) -> _Cells:
    """All steps flown, each in even parts."""
    row, step = np.nonzero(np.isfinite(flight.way[0, 0]))
    x, _, z = flight.steps(row, step).place(_SAMPLES[:, None])
    x, z = departure.rows(row).wheels(x, z)
    parts = len(_SAMPLES) - 1
    each = np.ones((len(row), 1))
    return _Cells(
        row=np.repeat(row, parts),
        step=np.repeat(step, parts),
        low=(each * _SAMPLES[:-1]).ravel(),
        high=(each * _SAMPLES[1:]).ravel(),
        x_low=x[:-1].T.ravel(),
        x_high=x[1:].T.ravel(),
        z_low=z[:-1].T.ravel(),
        z_high=z[1:].T.ravel(),
    )


def _near_ground(cells: _Cells, ground: GroundLine, count: int) -> tuple[_Cells, np.ndarray, np.ndarray]:
    """Stretches that may touch the ground first; and the joints below them: of which stretch, place x [m].

    Each row's first stretch is among them, nothing beyond the first one that ends below the ground.
    """
    row = cells.row
    before, after = ground.piece_over(cells.x_low, row), ground.piece_over(cells.x_high, row)
    left = cells.z_low - ground.pieces(before, row).height(cells.x_low)
    right = cells.z_high - ground.pieces(after, row).height(cells.x_high)
    reach, number = cells.reach(), np.arange(len(cells.row))
    near = np.minimum(left, right) < reach
    # a joint may stand higher than the ground at both ends
    first, last = np.minimum(before, after) + 1, np.maximum(before, after)
    joints = last + 1 - first
    cell = np.repeat(number, joints)
    joint = first[cell] + np.arange(len(cell)) - (np.cumsum(joints) - joints)[cell]
    ahead = ground.pieces(joint, row[cell])
    top = np.maximum(ahead.z, ground.pieces(joint - 1, row[cell]).height(ahead.x))
    towers = np.minimum(cells.z_low, cells.z_high)[cell] - top < 2 * reach[cell]
    near[cell[towers]] = True
    near[np.searchsorted(cells.row, np.arange(count))] = True
    lands = _first_of_row(cells.row, right <= 0, count)[cells.row]
    near &= (number <= lands) | (lands < 0)
    kept = near[cell]
    return cells.some(near), (np.cumsum(near) - 1)[cell[kept]], ahead.x[kept]


def _cut(flight: Flight, departure: Departure, cells: _Cells, cell: np.ndarray, joint: np.ndarray) -> _Cells:
    """The stretches, cut where the wheels are above joints of the ground [m]."""
    if not len(cell):
        return cells
    path = _Path.of(flight, departure, cells.row[cell], cells.step[cell])
    sigma = bracketed_roots(lambda s: path.wheels(s)[0] - joint, cells.low[cell], cells.high[cell], tolerance=1e-12)
    starts = (cells.low, sigma), (cells.x_low, joint), (cells.z_low, path.wheels(sigma)[1])
    cell = np.concatenate([np.arange(len(cells.row)), cell])
    low, x_low, z_low = (np.concatenate(pair) for pair in starts)
    order = np.lexsort((low, cell))
    cell, low, x_low, z_low = (a[order] for a in (cell, low, x_low, z_low))
    last = np.append(cell[1:] != cell[:-1], True)
    high, x_high, z_high = (
        np.where(last, end[cell], np.append(start[1:], 0.0))
        for start, end in ((low, cells.high), (x_low, cells.x_high), (z_low, cells.z_high))
    )
    return _Cells(cells.row[cell], cells.step[cell], low, high, x_low, x_high, z_low, z_high)


def first_contact(flight: Flight, departure: Departure, ground: GroundLine) -> Contact:
    """First contact of each row of a flight that ends below the ground; NaN and piece -1 where there is none.

    Parameters
    ----------
    flight : Flight
        Path of the flying point of n rows.
    departure : Departure
        Set-down of the same rows.
    ground : GroundLine
        Ground of all rows, or of each its own.

    Returns
    -------
    Contact
        n rows.
    """
    count = len(flight.half)
    even = _even_cells(flight, departure)
    cells = _cut(flight, departure, *_near_ground(even, ground, count))
    piece = ground.piece_over(0.5 * (cells.x_low + cells.x_high), cells.row)
    part = ground.pieces(piece, cells.row)
    left = cells.z_low - part.height(cells.x_low)
    right = cells.z_high - part.height(cells.x_high)
    high = cells.high.copy()

    def above(which: np.ndarray) -> _Path:
        return _Path.of(flight, departure, cells.row[which], cells.step[which], part.rows(which))

    # ground that begins at the edge: touched at once, or left behind
    begin = np.searchsorted(cells.row, np.arange(count))
    on_ground = np.abs(left[begin]) <= 1e-12
    climb = above(begin).climb(cells.low[begin])
    rises = climb > 1e-14 * (1 + np.abs(departure.v_x) + np.abs(departure.v_z))
    at_once = (on_ground & ~rises) | (left[begin] < -1e-12)
    left[begin[at_once]] = np.minimum(left[begin[at_once]], 0.0)
    leaves = begin[on_ground & rises]
    left[leaves] = np.inf

    # a lowest point inside a stretch: only where it could reach the ground
    near = np.nonzero((left > 0) & (right > 0) & (np.minimum(left, right) < cells.reach()) & np.isfinite(left))[0]
    path = above(near)
    dips = near[(path.climb(cells.low[near]) < 0) & (path.climb(high[near]) > 0)]
    path = above(dips)
    lowest = bracketed_roots(path.climb, cells.low[dips], high[dips])
    touches = path.clearance(lowest) <= 0
    right[dips[touches]] = 0.0
    high[dips[touches]] = lowest[touches]

    contact = (left <= 0) | (right <= 0)
    contact[begin[at_once]] = True
    first = _first_of_row(cells.row, contact, count)
    landed = first >= 0
    first = np.where(landed, first, begin)
    hop = np.isinf(left[first])
    step, low, high, left, piece = cells.step[first], cells.low[first], high[first], left[first], piece[first]
    wall = landed & (left < -1e-9) & (first > begin)

    path = _Path.of(flight, departure, np.arange(count), step, part.rows(first))
    sigma = np.where(left <= 0, low, high)
    inside = landed & (left > 0) & (path.clearance(high) < 0)
    if hop.any():
        low = np.where(hop, low + 1e-9, low)
        inside &= ~hop | (path.clearance(low) > 0)
        sigma[hop & ~inside] = low[hop & ~inside]
    who = np.nonzero(inside)[0]
    sigma[who] = bracketed_roots(path.some(who).clearance, low[who], high[who])

    x, z = path.wheels(sigma)
    v_x, v_y, v_z = path.steps.speeds(sigma)
    lost = np.where(landed, 0.0, np.nan)
    return Contact(
        time=path.steps.time(sigma) + lost,
        x=x + lost,
        y=path.steps.place(sigma)[1] + lost,
        z=z + lost,
        v_x=v_x + lost,
        v_y=v_y + lost,
        v_z=v_z + lost,
        piece=np.where(landed, piece, -1),
        wall=wall,
    )
