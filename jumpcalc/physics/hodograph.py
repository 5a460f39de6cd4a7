"""The path of a point through air, exactly, by its slope.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
k        drag constant ρ CdA/(2 m)                             1/m
g        gravity                                               m/s²
w, c     wind: along the course (tail +), across it (left +)   m/s
u        level speed against the air                           m/s
V        speed against the air                                 m/s
p        slope of the path in the air, v_z/u                   1
q        asinh p                                               1
B        k u0²/g                                               1
r        (u/u0)²                                               1
ξ        level way through the air                             m
e        its direction: along the course, to the left          1
σ        place in a step, -1 to 1                              1
=======  ====================================================  =========

dv/dt = −g ẑ − k |v − w| (v − w) has an exact solution in a frame that moves with a steady, level wind.
With F(p) = p √(1 + p²) + asinh p and the integrals from p to p0, 0 the start:

    r = 1/(1 + B (F(p0) − F(p))),   u = u0 √r,   v_z = p u,
    ξ = (u0²/g) ∫ r dp,   z = (u0²/g) ∫ p r dp,   t = (u0/g) ∫ √r dp,
    x = w t + e_x ξ,   y = c t + e_y ξ,   dq/dt = −g/V.

Over q, p = sinh q, all three integrands are entire but for the poles of r, which lie beyond the start;
their values at Gauss points over q give the path as polynomials of one step, right to rounding, with no
iteration along it. A start without level speed against the air is a vertical throw: p is then
held at what 1e-10 m/s would make of it.

References
----------
The hodograph of a point with quadratic drag: standard since Euler (1753); formulas derived anew.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.polynomial import legendre

from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["Airflow", "Flight", "Steps", "fly", "horner", "quadrature", "steepness"]

_LEAST = 1e-10  # m/s, level speed against the air below which a path counts as vertical
_SPAN = 0.5  # of q: a step, half of v/g in time
_NODES = 12
_ALONE = 260_000  # operations of a product up to which it is not spread over threads, which costs more than it
_MOST_STEPS = 400
_FEW = 128  # entries
_TURNS = 6  # to meet a time within a step, to rounding


@cache
def quadrature(count: int) -> tuple[np.ndarray, tuple[np.ndarray, ...]]:
    """Gauss points of a step, and what turns values at them into the integral as a polynomial.

    Parameters
    ----------
    count : int
        How many points, an even number.

    Returns
    -------
    nodes : numpy.ndarray
        σ in (-1, 1), shape (count,).
    matrices : tuple of numpy.ndarray
        Applied one after the other to values at the nodes they give the coefficients, lowest power of σ
        first, of their integral from -1 to σ; shape (count + 1, count) in all.

    Notes
    -----
    Through Legendre polynomials. One matrix in place of two loses digits as the number of points grows, so
    above sixteen there are two.
    """
    nodes, weights = legendre.leggauss(count)
    order = np.arange(count)
    values = legendre.legvander(nodes, count - 1).T * weights * (order[:, None] + 0.5)
    integrals = np.stack([legendre.legint(column, lbnd=-1) for column in values.T], axis=1)
    powers = np.eye(count + 1)
    for degree in range(1, count):  # Bonnet's recurrence
        powers[1:, degree + 1] = (2 * degree + 1) / (degree + 1) * powers[:-1, degree]
        powers[:, degree + 1] -= degree / (degree + 1) * powers[:, degree - 1]
    return nodes, ((powers @ integrals,) if count <= 16 else (integrals, powers))


def horner(coefficients: np.ndarray, sigma: np.ndarray) -> np.ndarray:
    """Values of polynomials whose coefficients stand along the first axis.

    Parameters
    ----------
    coefficients : numpy.ndarray
        Lowest power first, shape (degree + 1, ...).
    sigma : numpy.ndarray
        Place, broadcast against the other axes.

    Returns
    -------
    numpy.ndarray
        Values.

    Notes
    -----
    Horner's scheme passes twice over the rows for each power; few rows, of which a pass costs no more than its call, are summed over
    their powers at once.
    """
    if sigma.size <= _FEW:
        raised = np.empty((len(coefficients), *sigma.shape))
        raised[0], raised[1:] = 1.0, sigma
        np.multiply.accumulate(raised, axis=0, out=raised)
        axes = max(coefficients.ndim, raised.ndim)
        sides = (side.reshape(len(side), *(1,) * (axes - side.ndim), *side.shape[1:]) for side in (coefficients, raised))
        return np.add.reduce(np.multiply(*sides), axis=0)
    value = coefficients[-1] * sigma
    for coefficient in coefficients[-2:0:-1]:
        value += coefficient
        value *= sigma
    value += coefficients[0]
    return value


def steepness(slope: np.ndarray) -> np.ndarray:
    """Steepness q of slopes p.

    Parameters
    ----------
    slope : numpy.ndarray
        p.

    Returns
    -------
    numpy.ndarray
        asinh p, to 1e-16 [1]; in half of the time of `numpy.arcsinh`.
    """
    size = np.abs(slope)
    return np.copysign(np.log(size + np.sqrt(1.0 + size * size)), slope)


@dataclass(frozen=True, slots=True, eq=False)
class Airflow:
    """A start as the air sees it; each entry of shape (n,), or a scalar where all rows have the same.

    `level` is u0, `slope` p0, `start` its q, `first` F(p0), `bend` B, `along` and `aside` the direction e;
    `tailwind`, `crosswind`, `drag` and `gravity` as given.
    """

    level: np.ndarray
    slope: np.ndarray
    start: np.ndarray
    first: np.ndarray
    bend: np.ndarray
    along: np.ndarray
    aside: np.ndarray
    tailwind: np.ndarray
    crosswind: np.ndarray
    drag: np.ndarray
    gravity: float

    @classmethod
    def of(
        cls,
        v_x: np.ndarray,
        v_z: np.ndarray,
        *,
        drag: np.ndarray,
        tailwind: np.ndarray,
        crosswind: np.ndarray,
        gravity: float,
    ) -> Airflow:
        """What a start with the velocity (v_x, v_z) [m/s] feels."""
        along = v_x - tailwind
        level = np.abs(along) if np.ndim(crosswind) == 0 and crosswind == 0 else np.hypot(along, crosswind)
        level = np.maximum(level, _LEAST)
        slope = v_z / level
        start = steepness(slope)
        return cls(
            level=level,
            slope=slope,
            start=start,
            first=start + slope * np.sqrt(1.0 + slope * slope),
            bend=drag * level * level / gravity,
            along=along / level,
            aside=-crosswind / level,
            tailwind=tailwind,
            crosswind=crosswind,
            drag=drag,
            gravity=gravity,
        )

    @property
    def windy(self) -> bool:
        """Whether there is wind in any row."""
        return self.sideways or np.ndim(self.tailwind) > 0 or self.tailwind != 0

    @property
    def sideways(self) -> bool:
        """Whether there is wind across the course in any row."""
        return np.ndim(self.crosswind) > 0 or self.crosswind != 0

    def steepness_at(self, v_x: np.ndarray, v_y: np.ndarray, v_z: np.ndarray) -> np.ndarray:
        """q of the path where its velocity over ground is this [m/s]."""
        return steepness(v_z / np.maximum(np.hypot(v_x - self.tailwind, v_y - self.crosswind), _LEAST))

    def rows(self, which: np.ndarray) -> Airflow:
        """The chosen rows."""
        entries = (getattr(self, name) for name in self.__slots__)
        return Airflow(*(entry[which] if np.ndim(entry) else entry for entry in entries))

    def carried(self, x: np.ndarray, level: np.ndarray, time: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Place (x, y) [m] over ground, from the start's `x`, ξ [m] and t [s]."""
        return x + self.tailwind * time + self.along * level, self.crosswind * time + self.aside * level

    def moving(self, q: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """u, v_z and V [m/s] for places q on the paths."""
        grown = np.exp(q)
        shrunk = 1.0 / grown
        slope, steep = grown - shrunk, grown + shrunk
        turned = q + 0.25 * slope * steep
        turned -= self.first
        turned *= self.bend
        half = 0.5 * self.level / np.sqrt(1.0 - turned)
        return 2.0 * half, half * slope, half * steep

    def integrals(self, begin: np.ndarray, half: np.ndarray, count: int) -> np.ndarray:
        """Polynomials in σ of ξ, z, each in u0² half/g [m], and t, in u0 half/g [s]; from `begin` to `begin` − 2 `half`.

        Shape (count + 1, 3, n).
        """
        nodes, matrices = quadrature(count)
        rows, pairs = len(half), count // 2
        way = np.empty((count + 1, 3, rows))
        columns = _ALONE // (3 * count * (count + 1))
        values = np.empty((count, 3, min(rows, columns)))
        # in columns that stay in the cache, and that one processor multiplies alone
        for at in range(0, rows, columns):
            some = slice(at, min(at + columns, rows))
            wide = half[some]
            here = values[:, :, : len(wide)]
            steep, turned, root = here[:, 0], here[:, 1], here[:, 2]
            q = np.multiply(nodes[:, None], -wide)
            middle = begin[some] - wide
            # e^q and e^−q for places that lie in pairs about the middle
            early = np.exp(q[:pairs])
            late = 1.0 / early
            grown = np.exp(middle)
            half_grown, half_shrunk = 0.5 * grown, 0.5 / grown
            up, down = half_grown * early, half_shrunk * late
            np.add(up, down, out=steep[:pairs])
            np.subtract(up, down, out=turned[:pairs])
            late *= half_grown
            early *= half_shrunk
            np.add(late, early, out=steep[: pairs - 1 : -1])
            np.subtract(late, early, out=turned[: pairs - 1 : -1])
            turned *= steep
            q += middle
            q += turned
            bend = self.bend[some] if np.ndim(self.bend) else self.bend
            q *= -bend
            q += 1.0 + bend * self.first[some]
            slowed = np.divide(1.0, q, out=q)
            np.sqrt(slowed, out=root)
            root *= steep
            steep *= slowed
            turned *= slowed
            flat = here.reshape(count, -1)
            for matrix in matrices:
                flat = matrix @ flat
            way[:, :, some] = flat.reshape(count + 1, 3, -1)
        return way


@dataclass(frozen=True, slots=True, eq=False)
class Steps:
    """Steps of paths, one for each of n entries.

    Parameters
    ----------
    air : Airflow
        The starts of the paths, shape (n,).
    x : numpy.ndarray
        Place of the starts along the course [m], shape (n,).
    begin, half : numpy.ndarray
        q at the beginning of the step and half its span, shape (n,).
    way : numpy.ndarray
        Coefficients of ξ, z [m] and t [s] in powers of σ, shape (degree + 1, 3, n).
    """

    air: Airflow
    x: np.ndarray
    begin: np.ndarray
    half: np.ndarray
    way: np.ndarray

    def some(self, which: np.ndarray) -> Steps:
        """The chosen ones."""
        return Steps(
            self.air.rows(which), self.x[which], self.begin[which], self.half[which], np.take(self.way, which, axis=2)
        )

    def place(self, sigma: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Place (x, y, z) [m] at σ."""
        level, z, time = np.moveaxis(horner(self.way, sigma[..., None, :]), -2, 0)
        return (*self.air.carried(self.x, level, time), z)

    def time(self, sigma: np.ndarray) -> np.ndarray:
        """Time [s] since the start at σ."""
        return horner(self.way[:, 2], sigma)

    def speeds(self, sigma: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Velocity (v_x, v_y, v_z) [m/s] over ground at σ."""
        air = self.air
        level, v_z, _ = air.moving(self.begin - self.half * (1.0 + sigma))
        return air.tailwind + air.along * level, air.crosswind + air.aside * level, v_z


@dataclass(frozen=True, slots=True, eq=False)
class Flight:
    """Paths of n rows in steps, as polynomials.

    Parameters
    ----------
    air : Airflow
        The starts, shape (n,).
    x : numpy.ndarray
        Place of the starts along the course [m], shape (n,).
    half : numpy.ndarray
        Half the span of a step in q, shape (n,).
    way : numpy.ndarray
        Coefficients of ξ, z [m] and t [s] in powers of σ, shape (degree + 1, 3, n, steps). Steps after a
        row's arrival hold NaN.
    """

    air: Airflow
    x: np.ndarray
    half: np.ndarray
    way: np.ndarray

    def steps(self, row: np.ndarray, step: np.ndarray) -> Steps:
        """These steps of these rows."""
        flat = self.way.reshape(*self.way.shape[:2], -1)
        half = self.half[row]
        way = np.take(flat, row * self.way.shape[3] + step, axis=2)
        air = self.air.rows(row)
        return Steps(air, self.x[row], air.start - 2 * half * step, half, way)

    def at(self, time: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Place [m] and velocity [m/s] at `time` [s] of shape (n, ...); each of shape (n, ..., 3)."""
        time = np.asarray(time, dtype=float)
        row = np.broadcast_to(np.arange(len(self.x)).reshape((-1,) + (1,) * (time.ndim - 1)), time.shape).ravel()
        shape, time = (*time.shape, 3), time.ravel()
        ends = self.way[:, 2].sum(axis=0)
        last = np.isfinite(ends).sum(axis=-1) - 1
        one = self.steps(row, np.minimum((ends[row] <= time[:, None]).sum(axis=-1), last[row]))
        sigma, pace = np.zeros(len(row)), one.half / one.air.gravity
        for _ in range(_TURNS):
            # dt/dσ = half V/g; as many turns for each row, so that it is the same in any company
            sigma = sigma + (time - one.time(sigma)) / (pace * one.air.moving(one.begin - one.half * (1.0 + sigma))[2])
        return tuple(np.stack(values, axis=-1).reshape(shape) for values in (one.place(sigma), one.speeds(sigma)))


def fly(
    v_x: np.ndarray,
    v_z: np.ndarray,
    *,
    drag: np.ndarray = 0.0,
    tailwind: np.ndarray = 0.0,
    crosswind: np.ndarray = 0.0,
    x: np.ndarray = 0.0,
    z: np.ndarray = 0.0,
    duration: np.ndarray | None = None,
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
    duration : array_like, optional
        Time the rows have to cover [s].
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
    Steps of at most half of V/g, twelve Gauss points each: right to 1e-10 m within a jump's flight, whatever the wind.
    """
    v_x, v_z, drag, tailwind, crosswind, x, z = (
        np.atleast_1d(a)
        for a in np.broadcast_arrays(*(np.asarray(a, dtype=float) for a in (v_x, v_z, drag, tailwind, crosswind, x, z)))
    )
    air = Airflow.of(v_x, v_z, drag=drag, tailwind=tailwind, crosswind=crosswind, gravity=gravity)
    # no longer than half of the way from the start to about where r would have its pole before it
    half = 0.5 * np.minimum(_SPAN, 0.25 * np.log1p(1.0 / np.maximum(air.bend * (1.0 + air.slope**2), 1e-9)))
    duration = None if duration is None else np.broadcast_to(duration, v_x.shape)
    flying = np.arange(len(v_x))
    reached = np.stack([np.zeros_like(z), z, np.zeros_like(z)])
    steps = []
    while len(flying) and len(steps) < _MOST_STEPS:
        some, wide = air.rows(flying), half[flying]
        way = some.integrals(some.start - 2 * len(steps) * wide, wide, _NODES)
        way *= (wide * some.level / gravity) * np.stack([some.level, some.level, np.ones_like(wide)])
        way[0] += reached
        steps.append((flying, way))
        reached = way.sum(axis=0)
        on = np.ones(len(flying), dtype=bool) if duration is None else reached[2] < duration[flying]
        if until is not None:
            here, _ = some.carried(x[flying], reached[0], reached[2])
            on &= ~until(flying, here, reached[1])
        flying, reached = flying[on], reached[:, on]
    ways = np.full((_NODES + 1, 3, len(v_x), len(steps)), np.nan)
    for number, (rows, way) in enumerate(steps):
        ways[:, :, rows, number] = way
    return Flight(air, x, half, ways)
