"""The path of a point through air: one path or a million, one code path.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
m        mass                                                  kg
CdA      drag area                                             m²
k        ρ CdA/(2 m)                                           1/m
v        velocity                                              m/s
w        wind: along the course (tail +), across it (left +)   m/s
g        gravity                                               m/s²
h        length of a step in time                              s
σ        place in a step, -1 to 1
=======  ====================================================  =========

dv/dt = −g ẑ − k |v − w| (v − w), stepped by Gauss collocation (`collocation`). Touchdown is the first
contact of the wheels (`body`) with a ground line; joints of the ground are steps of the search, so
that neither a kink nor a wall nor a grazing path is missed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from jumpcalc.physics import collocation
from jumpcalc.physics.body import Departure
from jumpcalc.physics.ground import GroundLine
from jumpcalc.physics.roots import bracketed_roots
from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["Flight", "Touchdown", "drag_constant", "fly", "touchdown"]

_STEP_SHARE = 0.5  # of v/g: a step; the tests hold its error, 1e-8 m but for the bend below
_SLOWEST = 3.0  # m/s, speed below which steps grow no shorter
_STILL = 4.0  # m/s, level speed against the air below which the bend of the drag law is felt
_ROWS_AT_ONCE = 4096
_MOST_STEPS = 400
_SAMPLES = np.linspace(-1.0, 1.0, 13)
_SAMPLE_POWERS = collocation.powers(_SAMPLES, collocation.TWICE.shape[0]).T


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
class Flight:
    """Paths of n rows over m steps each, as polynomials.

    Parameters
    ----------
    first, step : numpy.ndarray
        Length in time of each row's first step and of the others [s], shape (n,).
    place : numpy.ndarray
        Coefficients of x, y, z [m] in powers of σ, shape (n, m, 3, 10).
    velocity : numpy.ndarray
        Coefficients of the velocity [m/s], shape (n, m, 3, 9). Steps after a row's arrival hold NaN.
    """

    first: np.ndarray
    step: np.ndarray
    place: np.ndarray
    velocity: np.ndarray

    def time(self, step: np.ndarray, sigma: np.ndarray) -> np.ndarray:
        """Time [s] of a place in a step of each row."""
        share = (sigma + 1) / 2
        return np.where(step == 0, share * self.first, self.first + (step - 1 + share) * self.step)

    def _locate(self, time: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        rows = np.arange(len(self.step)).reshape((-1,) + (1,) * (time.ndim - 1))
        first, step = self.first[rows], self.step[rows]
        place = np.where(time < first, time / first, 1 + (time - first) / step)
        steps = np.clip(place.astype(int), 0, self.place.shape[1] - 1)
        return rows, steps, 2 * (place - steps) - 1

    def at(self, time: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Place [m] and velocity [m/s] at `time` [s] of shape (n, ...); each of shape (n, ..., 3)."""
        time = np.asarray(time, dtype=float)
        rows, steps, sigma = self._locate(time)
        sigma = sigma[..., None]
        return (
            collocation.evaluate(self.place[rows, steps], sigma),
            collocation.evaluate(self.velocity[rows, steps], sigma),
        )


def fly(
    v_x: np.ndarray,
    v_z: np.ndarray,
    *,
    drag: np.ndarray = 0.0,
    tailwind: np.ndarray = 0.0,
    crosswind: np.ndarray = 0.0,
    x: np.ndarray = 0.0,
    z: np.ndarray = 0.0,
    duration: float | None = None,
    until: Callable[[np.ndarray, np.ndarray, np.ndarray], np.ndarray] | None = None,
    gravity: float = STANDARD_GRAVITY,
) -> Flight:
    """Paths through air with quadratic drag and a steady, level wind.

    Parameters
    ----------
    v_x, v_z : array_like
        Velocity at the start [m/s], forward and up; all array arguments broadcast to shape (n,).
    drag : array_like
        k [1/m].
    tailwind, crosswind : array_like
        Wind along the course and to the left of it [m/s].
    x, z : array_like
        Place of the start [m].
    duration : float, optional
        Time every row has to cover [s].
    until : callable, optional
        Told the rows still flying and their places x and z [m] at the end of a step, answers which of them
        have arrived; those fly no further. One of `duration` and `until` is needed.
    gravity : float
        g [m/s²].

    Returns
    -------
    Flight
        n rows.

    Notes
    -----
    Gauss collocation with eight stages, steps of half of v/g: right to 1e-8 m within a jump's flight. The
    drag law has a bend where nothing moves against the air, so where a tailwind is within some 2 m/s of
    the level speed, 1e-6 m; of a start less than a tenth of a step before the bend, 2e-5 m.
    """
    v_x, v_z, drag, tailwind, crosswind, x, z = (
        np.atleast_1d(a)
        for a in np.broadcast_arrays(*(np.asarray(a, dtype=float) for a in (v_x, v_z, drag, tailwind, crosswind, x, z)))
    )
    speed = np.hypot(v_x, v_z)
    step = _STEP_SHARE * np.maximum(speed, _SLOWEST) / gravity / (1 + drag * speed**2 / gravity)
    # drag has a bend where nothing moves against the air: a row that comes near it ends a step there; where that is
    # less than a step away it is the first one, and those that follow are shorter, still near the bend
    climb = np.maximum(v_z, 0.0)
    soft = np.sqrt(np.maximum(drag, 1e-12) * gravity)
    level = np.arctan(climb * soft / gravity) / soft
    still = (np.hypot(v_x - tailwind, crosswind) < _STILL) & (level > 0.1 * step)
    soon = still & (level < step)
    even = np.where(still, level / np.ceil(np.maximum(level / step, 1.0)), step)
    first = np.where(soon, level, even)
    step = np.where(soon, np.maximum(level, step / 2), even)
    if duration is not None:
        step = np.maximum(step, duration / _MOST_STEPS)
    first = np.minimum(first, step)
    here = np.stack([x, np.zeros_like(x), z], axis=-1)
    now = np.stack([v_x, np.zeros_like(x), v_z], axis=-1)
    wind = np.stack([tailwind, crosswind, np.zeros_like(tailwind)], axis=-1)
    flying = np.arange(len(v_x))
    steps = []
    while len(flying) and len(steps) < _MOST_STEPS:
        place, velocity = _one_step(here, now, (step if steps else first)[flying], drag[flying], wind[flying], gravity)
        steps.append((flying, place, velocity))
        here, now = place.sum(axis=-1), velocity.sum(axis=-1)
        if duration is not None and np.all(first + (len(steps) - 1) * step >= duration):
            break
        if until is not None:
            on = ~until(flying, here[:, 0], here[:, 2])
            flying, here, now = flying[on], here[on], now[on]
    places = np.full((len(v_x), len(steps), 3, collocation.TWICE.shape[0]), np.nan)
    velocities = np.full((len(v_x), len(steps), 3, collocation.ONCE.shape[0]), np.nan)
    for number, (rows, place, velocity) in enumerate(steps):
        places[rows, number], velocities[rows, number] = place, velocity
    return Flight(first, step, places, velocities)


def _one_step(
    here: np.ndarray, now: np.ndarray, step: np.ndarray, drag: np.ndarray, wind: np.ndarray, gravity: float
) -> tuple[np.ndarray, np.ndarray]:
    """Coefficients of place [m] and velocity [m/s] over one step from place `here` and velocity `now`."""
    half, k = step[:, None, None] / 2, drag[:, None, None]
    since = half * (collocation.NODES + 1)
    falling = now[..., None] - wind[..., None] - np.array([0.0, 0.0, gravity])[:, None] * since
    # stages are velocities against the air; the first guess has the drag of the start
    against = now - wind
    push = -drag[:, None] * np.sqrt(np.einsum("nc,nc->n", against, against))[:, None] * against
    stages = falling + push[..., None] * since
    enough = 1e-12 * (1 + np.abs(now).max())
    for _ in range(60):
        push = -k * np.sqrt(np.einsum("ncj,ncj->nj", stages, stages))[:, None, :] * stages
        before, stages = stages, falling + half * (push @ collocation.STAGES)
        if np.abs(stages - before).max() <= enough:
            break
    push[:, 2] -= gravity
    velocity = (push @ collocation.ONCE.T) * half
    velocity[..., 0] += now
    place = (push @ collocation.TWICE.T) * half**2
    place[..., 0] += here + now * half[..., 0]
    place[..., 1] += now * half[..., 0]
    return place, velocity


@dataclass(frozen=True, slots=True, eq=False)
class Touchdown:
    """First contact of each row's wheels with the ground; every entry of shape (n,).

    `x`, `z` is the place of the wheels' midpoint [m] and `y` the side drift [m]; `v_x`, `v_y`, `v_z` the
    velocity of the flying point [m/s]; `apex` the highest place of the wheels [m], not below the start;
    `piece` the index of the ground's piece, `wall` whether a step in the ground was run into. A row
    that meets no ground within the steps allowed holds NaN and piece -1.
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
    drag, tailwind, crosswind, v_x = (
        np.atleast_1d(a)
        for a in np.broadcast_arrays(*(np.asarray(a, dtype=float) for a in (drag, tailwind, crosswind, departure.v_x)))
    )
    departure = departure.broadcast(v_x.shape)
    found = []
    for first in range(0, len(v_x), _ROWS_AT_ONCE):
        some = slice(first, first + _ROWS_AT_ONCE)
        leaving = departure.rows(some)

        def below(rows: np.ndarray, x: np.ndarray, z: np.ndarray, leaving: Departure = leaving) -> np.ndarray:
            at, height = leaving.rows(rows).wheels(x, z)
            return (height <= ground.height(at, _piece_over(ground, at))) | ~np.isfinite(at)

        flight = fly(
            leaving.v_x,
            leaving.v_z,
            drag=drag[some],
            tailwind=tailwind[some],
            crosswind=crosswind[some],
            x=leaving.x,
            z=leaving.z,
            until=below,
            gravity=gravity,
        )
        found.append(_first_contact(flight, leaving, ground, apex=apex))
    return Touchdown(*(np.concatenate([getattr(f, name) for f in found]) for name in Touchdown.__slots__))


def _piece_over(ground: GroundLine, x: np.ndarray) -> np.ndarray:
    """Index of the ground's piece below the place x [m]; at a joint, the piece ahead."""
    return np.maximum(np.searchsorted(ground.x, x, side="right") - 1, 0)


@dataclass(frozen=True, slots=True, eq=False)
class _Path:
    """The wheels in chosen steps of chosen rows, above chosen pieces of the ground; places in the step are σ."""

    place: np.ndarray
    velocity: np.ndarray
    leaving: Departure
    ground: GroundLine | None
    piece: np.ndarray | None

    @classmethod
    def of(
        cls,
        flight: Flight,
        departure: Departure,
        row: np.ndarray,
        step: np.ndarray,
        ground: GroundLine | None = None,
        piece: np.ndarray | None = None,
    ) -> _Path:
        """The path in these steps of these rows; ground and its pieces only where their height is asked for."""
        return cls(flight.place[row, step], flight.velocity[row, step], departure.rows(row), ground, piece)

    def some(self, which: np.ndarray) -> _Path:
        """The chosen ones."""
        return _Path(self.place[which], self.velocity[which], self.leaving.rows(which), self.ground, self.piece[which])

    def wheels(self, sigma: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Place (x, z) [m] of the wheels' midpoint."""
        place = collocation.evaluate(self.place[:, ::2], sigma[:, None])
        return self.leaving.wheels(place[:, 0], place[:, 1])

    def clearance(self, sigma: np.ndarray) -> np.ndarray:
        """Height of the wheels above the piece [m]."""
        x, z = self.wheels(sigma)
        return z - self.ground.height(x, self.piece)

    def _moving(self, sigma: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Place x [m] and velocity (v_x, v_z) [m/s] of the wheels' midpoint."""
        x = collocation.evaluate(self.place[:, 0], sigma)
        speed = collocation.evaluate(self.velocity[:, ::2], sigma[:, None])
        v_x, v_z = self.leaving.wheels_velocity(x, speed[:, 0], speed[:, 1])
        return self.leaving.wheels(x, x)[0], v_x, v_z

    def climb(self, sigma: np.ndarray) -> np.ndarray:
        """Rate of the clearance [m/s]."""
        x, v_x, v_z = self._moving(sigma)
        return v_z - v_x * np.tan(self.ground.slope_over(x, self.piece))

    def rise(self, sigma: np.ndarray) -> np.ndarray:
        """Vertical speed of the wheels' midpoint [m/s]."""
        return self._moving(sigma)[2]


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
    row, step = np.nonzero(np.isfinite(flight.place[:, :, 0, 0]))
    places = flight.place[row, step][:, ::2] @ _SAMPLE_POWERS
    x, z = departure.rows(row[:, None]).wheels(places[:, 0], places[:, 1])
    parts = len(_SAMPLES) - 1
    each = np.ones((len(row), 1))
    return _Cells(
        row=np.repeat(row, parts),
        step=np.repeat(step, parts),
        low=(each * _SAMPLES[:-1]).ravel(),
        high=(each * _SAMPLES[1:]).ravel(),
        x_low=x[:, :-1].ravel(),
        x_high=x[:, 1:].ravel(),
        z_low=z[:, :-1].ravel(),
        z_high=z[:, 1:].ravel(),
    )


def _near_ground(cells: _Cells, ground: GroundLine, count: int) -> tuple[_Cells, np.ndarray, np.ndarray]:
    """Stretches that may touch the ground first; and the joints below them: of which stretch, place x [m].

    Each row's first stretch is among them, nothing beyond the first one that ends below the ground.
    """
    before, after = _piece_over(ground, cells.x_low), _piece_over(ground, cells.x_high)
    left = cells.z_low - ground.height(cells.x_low, before)
    right = cells.z_high - ground.height(cells.x_high, after)
    reach, number = cells.reach(), np.arange(len(cells.row))
    near = np.minimum(left, right) < reach
    # a joint may stand higher than the ground at both ends
    first, last = np.minimum(before, after) + 1, np.maximum(before, after)
    joints = last + 1 - first
    cell = np.repeat(number, joints)
    joint = first[cell] + np.arange(len(cell)) - (np.cumsum(joints) - joints)[cell]
    top = ground.z.copy()
    top[1:] = np.maximum(top[1:], ground.height(ground.x[1:], np.arange(len(top) - 1)))
    towers = np.minimum(cells.z_low, cells.z_high)[cell] - top[joint] < 2 * reach[cell]
    near[cell[towers]] = True
    near[np.searchsorted(cells.row, np.arange(count))] = True
    lands = _first_of_row(cells.row, right <= 0, count)[cells.row]
    near &= (number <= lands) | (lands < 0)
    kept = near[cell]
    return cells.some(near), (np.cumsum(near) - 1)[cell[kept]], ground.x[joint[kept]]


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


def _first_contact(flight: Flight, departure: Departure, ground: GroundLine, *, apex: bool) -> Touchdown:
    """First contact of each row of a flight that ends below the ground."""
    count = len(flight.step)
    even = _even_cells(flight, departure)
    cells = _cut(flight, departure, *_near_ground(even, ground, count))
    piece = _piece_over(ground, 0.5 * (cells.x_low + cells.x_high))
    left = cells.z_low - ground.height(cells.x_low, piece)
    right = cells.z_high - ground.height(cells.x_high, piece)
    high = cells.high.copy()

    def above(which: np.ndarray) -> _Path:
        return _Path.of(flight, departure, cells.row[which], cells.step[which], ground, piece[which])

    # ground that begins at the edge: touched at once, or left behind
    begin = np.searchsorted(cells.row, np.arange(count))
    on_ground = np.abs(left[begin]) <= 1e-12
    climb = above(begin).climb(cells.low[begin])
    rises = climb > 1e-14 * (1 + np.abs(flight.velocity[:, 0, :, 0]).sum(axis=1))
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

    path = _Path.of(flight, departure, np.arange(count), step, ground, piece)
    sigma = np.where(left <= 0, low, high)
    inside = landed & (left > 0) & (path.clearance(high) < 0)
    if hop.any():
        low = np.where(hop, low + 1e-9, low)
        inside &= ~hop | (path.clearance(low) > 0)
        sigma[hop & ~inside] = low[hop & ~inside]
    who = np.nonzero(inside)[0]
    sigma[who] = bracketed_roots(path.some(who).clearance, low[who], high[who])

    x, z = path.wheels(sigma)
    speed = collocation.evaluate(path.velocity, sigma[:, None])
    highest = _apex(flight, departure, even, end=step + (sigma + 1) / 2, z_end=z) if apex else np.full(count, np.nan)
    lost = np.where(landed, 0.0, np.nan)
    return Touchdown(
        time=flight.time(step, sigma) + lost,
        x=x + lost,
        y=collocation.evaluate(path.place[:, 1], sigma) + lost,
        z=z + lost,
        v_x=speed[:, 0] + lost,
        v_y=speed[:, 1] + lost,
        v_z=speed[:, 2] + lost,
        apex=highest + lost,
        piece=np.where(landed, piece, -1),
        wall=wall,
    )


def _apex(
    flight: Flight, departure: Departure, even: _Cells, *, end: np.ndarray, z_end: np.ndarray
) -> np.ndarray:
    """Highest place of the wheels up to `end`: the top of the even places, or the turning point beside it."""
    flown = even.step + (even.low + 1) / 2 <= end[even.row]
    z = np.where(flown, even.z_low, -np.inf)
    begin = np.searchsorted(even.row, np.arange(len(end)))
    peak = np.maximum.reduceat(z, begin)
    top = _first_of_row(even.row, z == peak[even.row], len(end))
    # between even places the path turns where its rise changes sign, also at the bend where the wheels are set down
    rising = _Path.of(flight, departure, even.row[top], even.step[top]).rise(even.low[top]) > 0
    cell = np.where(rising, top, np.maximum(top - 1, begin))
    step, low = even.step[cell], even.low[cell]
    high = np.minimum(even.high[cell], 2 * (end - step) - 1)
    path = _Path.of(flight, departure, even.row[cell], step)
    turn = bracketed_roots(path.rise, low, high, tolerance=1e-9)
    return np.maximum(np.maximum(peak, z_end), path.wheels(turn)[1]).clip(min=0.0)
