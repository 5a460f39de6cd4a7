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
    step : numpy.ndarray
        Length in time of each row's steps [s], shape (n,).
    place : numpy.ndarray
        Coefficients of x, y, z [m] in powers of σ, shape (n, m, 3, 10).
    velocity : numpy.ndarray
        Coefficients of the velocity [m/s], shape (n, m, 3, 9).
    """

    step: np.ndarray
    place: np.ndarray
    velocity: np.ndarray

    def _locate(self, time: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        rows = np.arange(len(self.step)).reshape((-1,) + (1,) * (time.ndim - 1))
        steps = np.clip((time / self.step[rows]).astype(int), 0, self.place.shape[1] - 1)
        return rows, steps, 2 * (time / self.step[rows] - steps) - 1

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
    speed: np.ndarray,
    direction: np.ndarray,
    *,
    drag: np.ndarray = 0.0,
    tailwind: np.ndarray = 0.0,
    crosswind: np.ndarray = 0.0,
    x: np.ndarray = 0.0,
    z: np.ndarray = 0.0,
    duration: float | None = None,
    until: Callable[[np.ndarray, np.ndarray], np.ndarray] | None = None,
    gravity: float = STANDARD_GRAVITY,
) -> Flight:
    """Paths through air with quadratic drag and a steady, level wind.

    Parameters
    ----------
    speed : array_like
        Speed at the start [m/s]; all array arguments broadcast to shape (n,).
    direction : array_like
        Direction at the start, positive up [rad].
    drag : array_like
        k [1/m].
    tailwind, crosswind : array_like
        Wind along the course and to the left of it [m/s].
    x, z : array_like
        Place of the start [m].
    duration : float, optional
        Time every row has to cover [s].
    until : callable, optional
        Told the rows' places x and z [m] at the end of a step, answers which rows have arrived; the
        flight ends when all have. One of `duration` and `until` is needed.
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
    speed, direction, drag, tailwind, crosswind, x, z = (
        np.atleast_1d(a)
        for a in np.broadcast_arrays(
            *(np.asarray(a, dtype=float) for a in (speed, direction, drag, tailwind, crosswind, x, z))
        )
    )
    step = _STEP_SHARE * np.maximum(speed, _SLOWEST) / gravity / (1 + drag * speed**2 / gravity)
    # drag has a bend where nothing moves against the air: a row that comes near it ends a step there
    climb = np.maximum(speed * np.sin(direction), 0.0)
    soft = np.sqrt(np.maximum(drag, 1e-12) * gravity)
    level = np.arctan(climb * soft / gravity) / soft
    still = (np.hypot(speed * np.cos(direction) - tailwind, crosswind) < _STILL) & (level > 0.1 * step)
    step = np.where(still, level / np.ceil(np.maximum(level / step, 0.1)), step)
    if duration is not None:
        step = np.maximum(step, duration / _MOST_STEPS)
    wind = np.stack([tailwind, crosswind, np.zeros_like(tailwind)], axis=-1)[..., None]
    here = np.stack([x, np.zeros_like(x), z], axis=-1)
    now = np.stack([speed * np.cos(direction), np.zeros_like(x), speed * np.sin(direction)], axis=-1)
    pull = np.array([0.0, 0.0, -gravity])[:, None]
    half, k = step[:, None, None] / 2, drag[:, None, None]
    fallen = pull * (half * (collocation.NODES + 1))
    places, velocities = [], []
    while True:
        against = now - wind[..., 0]
        push = -drag[:, None] * np.sqrt(np.einsum("nc,nc->n", against, against))[:, None] * against
        stages = now[..., None] + fallen + push[..., None] * (half * (collocation.NODES + 1))
        for _ in range(60):
            relative = stages - wind
            push = -k * np.sqrt(np.einsum("ncj,ncj->nj", relative, relative))[:, None, :] * relative
            before, stages = stages, now[..., None] + fallen + half * (push @ collocation.STAGES)
            if np.abs(stages - before).max() <= 1e-12 * (1 + np.abs(now).max()):
                break
        push = push + pull
        velocity = (push @ collocation.ONCE.T) * half
        velocity[..., 0] += now
        place = (push @ collocation.TWICE.T) * half**2
        place[..., 0] += here + now * step[:, None] / 2
        place[..., 1] += now * step[:, None] / 2
        places.append(place)
        velocities.append(velocity)
        here, now = place.sum(axis=-1), velocity.sum(axis=-1)
        covered = len(places)
        if covered >= _MOST_STEPS:
            break
        if duration is not None and np.all(covered * step >= duration):
            break
        if until is not None and np.all(until(here[:, 0], here[:, 2])):
            break
    return Flight(step, np.stack(places, axis=1), np.stack(velocities, axis=1))


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
    speed: np.ndarray,
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
    speed : array_like
        Speed of the flying point at the start [m/s]; all array arguments broadcast to shape (n,).
    departure : Departure
        Start, direction and set-down, of the same n rows.
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
    speed, drag, tailwind, crosswind, direction = (
        np.atleast_1d(a)
        for a in np.broadcast_arrays(
            *(np.asarray(a, dtype=float) for a in (speed, drag, tailwind, crosswind, departure.direction))
        )
    )
    departure = Departure(*(np.broadcast_to(getattr(departure, n), speed.shape) for n in Departure.__slots__))
    found = []
    for first in range(0, len(speed), _ROWS_AT_ONCE):
        some = slice(first, first + _ROWS_AT_ONCE)
        leaving = departure.rows(some)

        def below(x: np.ndarray, z: np.ndarray, leaving: Departure = leaving) -> np.ndarray:
            at, height = leaving.wheels(x, z)
            return (height <= ground.height(at, _piece_over(ground, at))) | ~np.isfinite(at)

        flight = fly(
            speed[some],
            direction[some],
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
    return np.clip(np.searchsorted(ground.x, x, side="right") - 1, 0, len(ground.x) - 1)


class _Search:
    """Height of each row's wheels above the ground, for any row, step and place in the step."""

    def __init__(self, flight: Flight, departure: Departure, ground: GroundLine) -> None:
        self.flight, self.departure, self.ground = flight, departure, ground

    def wheels(self, sigma: np.ndarray, row: np.ndarray, step: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        place = self.flight.place[row, step]
        return self.departure.rows(row).wheels(
            collocation.evaluate(place[..., 0, :], sigma), collocation.evaluate(place[..., 2, :], sigma)
        )

    def clearance(self, sigma, row, step, piece) -> np.ndarray:  # noqa: ANN001 (arrays of one shape)
        x, z = self.wheels(sigma, row, step)
        return z - self.ground.height(x, piece)

    def _moving(self, sigma, row, step) -> tuple[np.ndarray, np.ndarray, np.ndarray]:  # noqa: ANN001
        """Place x [m] and velocity (v_x, v_z) [m/s] of the wheels' midpoint."""
        place, speed = self.flight.place[row, step], self.flight.velocity[row, step]
        x = collocation.evaluate(place[..., 0, :], sigma)
        leaving = self.departure.rows(row)
        v_x, v_z = leaving.wheels_velocity(
            x, collocation.evaluate(speed[..., 0, :], sigma), collocation.evaluate(speed[..., 2, :], sigma)
        )
        return leaving.wheels(x, x)[0], v_x, v_z

    def climb(self, sigma, row, step, piece) -> np.ndarray:  # noqa: ANN001 (arrays of one shape)
        """Rate of the clearance [m/s]."""
        x, v_x, v_z = self._moving(sigma, row, step)
        return v_z - v_x * np.tan(self.ground.slope_over(x, piece))

    def rise(self, sigma, row, step) -> np.ndarray:  # noqa: ANN001 (arrays of one shape)
        """Vertical speed of the wheels' midpoint [m/s]."""
        return self._moving(sigma, row, step)[2]

    def crossing(self, sigma, row, step, joint) -> np.ndarray:  # noqa: ANN001 (arrays of one shape)
        """How far the wheels are past a joint of the ground [m]."""
        return self.wheels(sigma, row, step)[0] - joint


def _first_contact(flight: Flight, departure: Departure, ground: GroundLine, *, apex: bool) -> Touchdown:
    """First contact of each row of a flight that ends below the ground."""
    search = _Search(flight, departure, ground)
    count, steps = flight.place.shape[:2]
    row = np.arange(count)
    x, z = (
        np.concatenate([part[:, :, :-1].reshape(count, -1), part[:, -1:, -1]], axis=1)
        for part in _wheel_samples(flight, departure)
    )
    sample = np.linspace(0.0, steps, x.shape[1]) * np.ones((count, 1))
    even = sample, z

    # joints of the ground become ends of intervals
    extra, at = [], []
    for joint in ground.x[1:]:
        past = (x[:, :-1] < joint) & (x[:, 1:] >= joint)
        hit = past.any(axis=1)
        cell = np.argmax(past, axis=1)
        extra.append(np.where(hit, cell, -1))
        at.append(np.full(count, joint))
    if extra:
        cells, joints = np.stack(extra, axis=1), np.stack(at, axis=1)
        who, which = np.nonzero(cells >= 0)
        cell = cells[who, which]
        per = len(_SAMPLES) - 1
        step = cell // per
        low = _SAMPLES[cell % per]
        sigma = bracketed_roots(search.crossing, low, low + 2 / per, who, step, joints[who, which])
        times = np.full(cells.shape, float(steps))
        times[who, which] = step + (sigma + 1) / 2
        new_x, new_z = np.full(cells.shape, np.nan), np.full(cells.shape, np.nan)
        _, new_z[who, which] = search.wheels(sigma, who, step)
        new_x[who, which] = joints[who, which]
        absent = cells < 0
        new_x[absent] = np.broadcast_to(x[:, -1:], cells.shape)[absent]
        new_z[absent] = np.broadcast_to(z[:, -1:], cells.shape)[absent]
        sample, x, z = (np.concatenate(pair, axis=1) for pair in ((sample, times), (x, new_x), (z, new_z)))
        order = np.argsort(sample, axis=1, kind="stable")
        sample, x, z = (np.take_along_axis(a, order, axis=1) for a in (sample, x, z))

    piece = _piece_over(ground, 0.5 * (x[:, :-1] + x[:, 1:]))
    left = z[:, :-1] - ground.height(x[:, :-1], piece)
    right = z[:, 1:] - ground.height(x[:, 1:], piece)
    wide = np.diff(sample, axis=1) > 0
    step = np.clip(sample[:, :-1].astype(int), 0, steps - 1)
    low, high = 2 * (sample[:, :-1] - step) - 1, 2 * (sample[:, 1:] - step) - 1

    # ground that begins at the edge: touched at once, or left behind
    on_ground = np.abs(left[:, 0]) <= 1e-12
    climb = search.climb(low[:, 0], row, step[:, 0], piece[:, 0])
    rises = climb > 1e-14 * (1 + np.abs(flight.velocity[:, 0, :, 0]).sum(axis=1))
    at_once = (on_ground & ~rises) | (left[:, 0] < -1e-12)
    leaves = on_ground & rises
    left[at_once, 0] = np.minimum(left[at_once, 0], 0.0)
    hop = leaves & (right[:, 0] <= 0)
    left[leaves, 0] = np.inf

    # a lowest point inside an interval: only where it could reach the ground
    reach = 2.0 * np.hypot(np.diff(x, axis=1), np.diff(z, axis=1)) + 1e-3
    near = wide & (left > 0) & (right > 0) & (np.minimum(left, right) < reach)
    near[leaves, 0] = False
    who, cell = np.nonzero(near)
    ends = [search.climb(end[who, cell], who, step[who, cell], piece[who, cell]) for end in (low, high)]
    dips = (ends[0] < 0) & (ends[1] > 0)
    who, cell = who[dips], cell[dips]
    lowest = bracketed_roots(search.climb, low[who, cell], high[who, cell], who, step[who, cell], piece[who, cell])
    touches = search.clearance(lowest, who, step[who, cell], piece[who, cell]) <= 0
    who, cell = who[touches], cell[touches]
    right[who, cell] = 0.0
    high[who, cell] = lowest[touches]

    contact = wide & ((left <= 0) | (right <= 0))
    contact[:, 0] |= at_once
    landed = contact.any(axis=1)
    first = np.argmax(contact, axis=1)
    piece, step, low, high, left, right = (a[row, first] for a in (piece, step, low, high, left, right))
    wall = landed & (left < -1e-9) & (first > 0)

    sigma = np.where(left <= 0, low, high)
    inside = landed & (left > 0) & (search.clearance(high, row, step, piece) < 0)
    hop &= first == 0
    low = np.where(hop, low + 1e-9, low)
    inside &= ~hop | (search.clearance(low, row, step, piece) > 0)
    sigma[hop & ~inside] = low[hop & ~inside]
    who = np.nonzero(inside)[0]
    sigma[who] = bracketed_roots(search.clearance, low[who], high[who], who, step[who], piece[who])

    place = collocation.evaluate(flight.place[row, step], sigma[:, None])
    speed = collocation.evaluate(flight.velocity[row, step], sigma[:, None])
    x_wheels, z_wheels = search.wheels(sigma, row, step)
    highest = _apex(search, *even, end=step + (sigma + 1) / 2, z_end=z_wheels) if apex else np.full(count, np.nan)
    lost = np.where(landed, 0.0, np.nan)
    return Touchdown(
        time=(step + (sigma + 1) / 2) * flight.step + lost,
        x=x_wheels + lost,
        y=place[:, 1] + lost,
        z=z_wheels + lost,
        v_x=speed[:, 0] + lost,
        v_y=speed[:, 1] + lost,
        v_z=speed[:, 2] + lost,
        apex=highest + lost,
        piece=np.where(landed, piece, -1),
        wall=wall,
    )


def _wheel_samples(flight: Flight, departure: Departure) -> tuple[np.ndarray, np.ndarray]:
    """Places (x, z) [m] of the wheels at even places of every step, each of shape (n, steps, samples)."""
    powers = np.polynomial.polynomial.polyvander(_SAMPLES, flight.place.shape[-1] - 1).T
    places = flight.place @ powers
    rows = np.arange(len(flight.step))[:, None, None]
    return departure.rows(rows).wheels(places[:, :, 0], places[:, :, 2])


def _apex(
    search: _Search, sample: np.ndarray, z_even: np.ndarray, *, end: np.ndarray, z_end: np.ndarray
) -> np.ndarray:
    """Highest place of the wheels up to `end`: the top sample, or the turning point in the interval beside it."""
    flown = np.where(sample <= end[:, None], z_even, -np.inf)
    top, row = np.argmax(flown, axis=1), np.arange(len(end))
    peak = np.maximum(flown[row, top], z_end)
    # between samples the path turns where its rise changes sign, also at the bend where the wheels are set down
    steps = search.flight.place.shape[1]
    step = np.clip(sample[row, top].astype(int), 0, steps - 1)
    rising = search.rise(2 * (sample[row, top] - step) - 1, row, step) > 0
    cell = np.clip(np.where(rising, top, top - 1), 0, sample.shape[1] - 2)
    low, high = sample[row, cell], np.minimum(sample[row, cell + 1], end)
    step = np.clip(low.astype(int), 0, steps - 1)
    turn = bracketed_roots(search.rise, 2 * (low - step) - 1, 2 * (high - step) - 1, row, step, tolerance=1e-9)
    return np.maximum(peak, search.wheels(turn, row, step)[1]).clip(min=0.0)
