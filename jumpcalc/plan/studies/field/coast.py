"""Coast-downs -> rolling resistance and drag area, with how sure and how tied to each other they are.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
c_rr     rolling resistance with this bike's tyres             –
CdA      drag area                                             m²
J        residuals' derivatives over their uncertainties       –
s²       scatter: sum of squared residuals per degree of       –
         freedom, at least 1
=======  ====================================================  =========

Each run rolls from a start at a speed of its own; what was read of it are distances, times and speeds, two or three at a
time. What is sought for all runs together is fitted by least squares: c_rr always; CdA, the slope's error and the wind's error
only where the data alone tell them twice as closely as they are known beforehand, else they are held at what they are, and
what is not known of them goes into the uncertainties: with J⁺ the pseudo-inverse of the free columns, H those held and V what is
known of them, cov = s² J⁺J⁺ᵀ + (J⁺H) V (J⁺H)ᵀ.
There and back on one strip tell slope and wind, because they change sides; one way does not.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.physics.coast import coast
from jumpcalc.physics.ground import GroundLine, Straight, chain
from jumpcalc.plan import limits
from jumpcalc.plan.inputs.assume import ground_pieces
from jumpcalc.plan.inputs.declare import declared
from jumpcalc.plan.inputs.dug import RunIn
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.field.kinds import BOUND
from jumpcalc.plan.studies.field.rolled import Run, first_speed, kinds_of, misses
from jumpcalc.plan.terrain import PreparedLine, prepare
from jumpcalc.plan.vary import vary

__all__ = ["NAMES", "SCATTERED", "Fit", "Ground", "coast_fit", "corrected"]

NAMES = ("rolling_resistance", "drag_area", "slope", "wind")
"""What may be fitted, in the order in which it is tried."""

SCATTERED = 3.0
"""Times the stated uncertainties from which on readings scatter so that no value is taken from them."""

_LEAST_ROLLING = 0.002  # less than any tyre on the smoothest ground: a judgement, no source

_REGION = 4.605  # chi-square of two degrees of freedom that holds 90 of 100
_TIED = 1e6  # condition of the derivatives from which on one cannot be told from another
_STILL = 0.05  # m/s: slower is taken for standing
_STEPS = np.array([1e-4, 1e-3, 1e-4, 1e-2])  # of c_rr, CdA, slope and wind for derivatives


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """The ground that a run was reckoned on.

    `of` is ``"run_in"`` or ``"runout"`` where it is the line's own, from its beginning, None where the run gave a slope. `slopes` are the
    lowest and the highest on the way there [rad], negative where it falls.
    """

    run: str
    of: str | None
    slopes: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """What coast-downs tell.

    `values` and `uncertainties` are by name, of `NAMES`, in SI: of slope and wind what is to be added to those given. `told` are the
    names that the data tell, all others are held. `prior` is what was taken beforehand, value and standard uncertainty, None
    for the rolling resistance. `correlation` is that of rolling resistance and drag area, `region` the corners of the ellipse that
    holds both in 90 of 100. `scatter` is the residuals' size in units of their stated uncertainty, None where there are no more
    readings than unknowns; `worst` names the run and the residual that is furthest off in the same units. `grounds` are those of the
    runs, in their order.
    """

    values: dict[str, float]
    uncertainties: dict[str, float]
    told: tuple[str, ...]
    prior: dict[str, tuple[float, float | None]]
    correlation: float
    region: tuple[tuple[float, float], ...]
    scatter: float | None
    worst: tuple[str, float]
    readings: int
    runs: int
    surface_factor: float
    grounds: tuple[Ground, ...]

    @property
    def offered(self) -> bool:
        """Whether its values are ones to write down: not where nothing slows, or the readings scatter far more than stated."""
        return not self.unslowed and (self.scatter is None or self.scatter <= SCATTERED)

    @property
    def unslowed(self) -> bool:
        """Whether by the readings next to nothing slows what rolls, so that slope, wind or the readings are not as said."""
        return self.values["rolling_resistance"] < _LEAST_ROLLING


def coast_fit(line: Line, runs: Sequence[Run], *, on: str = "run_in") -> Fit:
    """Rolling resistance and drag area of a line's bike and rider from coast-downs.

    Parameters
    ----------
    line : Line
        Whose mass, air and bike they are.
    runs : sequence of Run
        What was read.
    on : str
        ``"run_in"`` or ``"runout"``: the ground of runs that give no slope.

    Returns
    -------
    Fit
        What the data tell, and what was held.

    Raises
    ------
    InputError
        Where a run has no ground, or the readings tell nothing.
    """
    problem = _Problem(prepare(line), runs, on)
    told = ["rolling_resistance"]
    solution = problem.solve(told)
    for name in NAMES[1:]:
        # what the data would tell at best is seen from where they lie now; only then it is fitted
        tried, enough = [*told, name], 0.5 * problem.prior[name][1]
        if problem.uncertainty(solution, tried, name) > enough:
            continue
        fitted = problem.solve(tried)
        if problem.possible(fitted) and problem.uncertainty(fitted, tried, name) * problem.scatter(fitted, tried) <= enough:
            told, solution = tried, fitted
    return problem.fit(solution, told)


def corrected(line: Line, fit: Fit, *, on: str = "run_in") -> Line:
    """The line with what coast-downs told in place of what was taken.

    Parameters
    ----------
    line : Line
        As measured.
    fit : Fit
        What they told.
    on : str
        ``"run_in"`` or ``"runout"``: whose rolling resistance it is.

    Returns
    -------
    Line
        A new one; its surface stays where a grip is wanted of it.
    """
    ground = "run_in" if on == "run_in" else f"jump[{len(line.jumps)}].runout"
    low, high = declared(RunIn)["rolling_resistance"].bounds
    own = min(max(fit.values["rolling_resistance"] / fit.surface_factor, low), high)
    changes: dict[str, float | None] = {f"{ground}.rolling_resistance": own}
    table = line.run_in if on == "run_in" else line.jumps[-1].runout
    if table.grip is not None:  # a surface beside both values would set neither and is refused
        changes[f"{ground}.surface"] = None
    if "drag_area" in fit.told:
        changes["rider.drag_area_m2"] = fit.values["drag_area"]
    return vary(line, changes)


class _Problem:
    """Coast-downs as residuals of what is sought; `known` is what is taken where nothing is fitted."""

    def __init__(self, prepared: PreparedLine, runs: Sequence[Run], on: str) -> None:
        line, one = prepared.line, prepared.jumps[0]
        if not runs:
            raise InputError("no reading", key="runs")
        self.runs, self.one, self.line, self.on = runs, one, line, on
        self.grounds = [_ground(line, run, on) for run in runs]
        accuracy = line.run_in.slope_accuracy
        self.prior = {
            "rolling_resistance": (one.conditions.lip_rolling, None),
            "drag_area": (line.rider.drag_area, limits.DRAG_DOUBT.value * BOUND),
            "slope": (0.0, accuracy * BOUND),
            "wind": (0.0, limits.WIND_DOUBT.value * BOUND),
        }
        self.starts = [first_speed(run) for run in runs]
        self._kept: dict[tuple[int, bytes, float], np.ndarray] = {}

    @property
    def known(self) -> np.ndarray:
        """What is taken beforehand, in the order of `NAMES`."""
        return np.array([self.prior[name][0] for name in NAMES])

    def residuals(self, sought: np.ndarray, starts: np.ndarray) -> np.ndarray:
        """What was read less what would be, over its uncertainty; the starts' speeds are sought too."""
        parts = [self._of_run(i, run, sought, float(starts[i])) for i, run in enumerate(self.runs)]
        return np.concatenate(parts)

    def _of_run(self, number: int, run: Run, sought: np.ndarray, speed: float) -> np.ndarray:
        """Residuals of one run, kept: most changes leave most runs as they are."""
        key = (number, sought.tobytes(), speed)
        if key not in self._kept:
            self._kept[key] = self._ridden(number, run, sought, speed)
        return self._kept[key]

    def _ridden(self, number: int, run: Run, sought: np.ndarray, speed: float) -> np.ndarray:
        """Residuals of one run, ridden."""
        rolling, area, slope, wind = sought
        side = -1.0 if run.back else 1.0
        conditions = self.one.conditions
        roller = replace(
            self.one.up_the_lip,
            rolling_resistance=rolling,
            drag=conditions.density * area / (2 * self.line.rider.mass),
            tilt=side * slope,
            tailwind=side * (run.tailwind + wind),
            crosswind=0.0,
        )
        went = coast(
            self.grounds[number],
            roller,
            start=0.0,
            speed=max(speed, _STILL),
            times=[reading.time or 0.0 for reading in run.readings],
            places=[reading.distance if reading.time is None else 0.0 for reading in run.readings],
            to_rest=any("rest" in kinds_of(reading) for reading in run.readings),
        )
        return np.array([part for row, reading in enumerate(run.readings) for part in misses(reading, went, row)])

    def solve(self, told: Sequence[str]) -> np.ndarray:
        """What is sought and the starts' speeds that fit best, with only what is `told` free."""
        from scipy.optimize import least_squares

        free = [NAMES.index(name) for name in told]

        def all_misses(x: np.ndarray) -> np.ndarray:
            sought = self.known
            sought[free] = x[: len(free)]
            return self.residuals(sought, x[len(free) :])

        scale = np.concatenate([100 * _STEPS[free], np.ones(len(self.runs))])
        begin = np.concatenate([self.known[free], self.starts])
        low = np.concatenate([np.array([0.0, 0.01, -0.2, -10.0])[free], np.full(len(self.runs), _STILL)])
        high = np.concatenate([np.array([0.3, 2.0, 0.2, 10.0])[free], np.full(len(self.runs), 30.0)])
        found = least_squares(
            all_misses, np.clip(begin, low + 1e-9, high - 1e-9), bounds=(low, high), x_scale=scale, diff_step=1e-4, xtol=1e-10, ftol=1e-10,
            gtol=1e-10, max_nfev=40,
        )  # fmt: skip
        sought = self.known
        sought[free] = found.x[: len(free)]
        return np.concatenate([sought, found.x[len(free) :]])

    def derivatives(self, solution: np.ndarray) -> np.ndarray:
        """J of everything sought and the starts."""
        steps = np.concatenate([_STEPS, np.full(len(self.runs), 1e-3)])
        columns = []
        for number, step in enumerate(steps):
            there, back = solution.copy(), solution.copy()
            there[number] += step
            back[number] -= step
            columns.append((self.residuals(there[:4], there[4:]) - self.residuals(back[:4], back[4:])) / (2 * step))
        return np.stack(columns, axis=1)

    def uncertainty(self, solution: np.ndarray, told: Sequence[str], name: str) -> float:
        """Standard uncertainty of one of what is told by the data alone without their scatter, infinite where they do not tell it."""
        columns = [NAMES.index(one) for one in told] + list(range(4, len(solution)))
        jacobian = self.derivatives(solution)[:, columns]
        scale = np.linalg.norm(jacobian, axis=0)
        if not (scale > 0).all():
            return math.inf
        singular = np.linalg.svd(jacobian / scale, compute_uv=False)
        if len(jacobian) < len(columns) or singular[0] > _TIED * singular[-1]:
            return math.inf
        inverse = np.linalg.inv((jacobian / scale).T @ (jacobian / scale))
        at = columns.index(NAMES.index(name))
        return float(np.sqrt(inverse[at, at]) / scale[at])

    def scatter(self, solution: np.ndarray, told: Sequence[str]) -> float:
        """Size of the residuals in units of their uncertainty, at least 1."""
        residuals = self.residuals(solution[:4], solution[4:])
        spare = len(residuals) - len(told) - len(self.runs)
        return 1.0 if spare <= 0 else max(1.0, math.sqrt(float(residuals @ residuals) / spare))

    def possible(self, solution: np.ndarray) -> bool:
        """Whether what was found can be."""
        values = dict(zip(NAMES, solution, strict=False))
        return 0 < values["rolling_resistance"] < 0.3 and 0.01 < values["drag_area"] < 2.0

    def covariance(self, solution: np.ndarray, told: Sequence[str]) -> np.ndarray:
        """Covariance of everything: of what is free by the residuals, of what is held as it was known before, and what that does."""
        jacobian, scatter = self.derivatives(solution), self.scatter(solution, told)
        held = [NAMES.index(name) for name in NAMES if name not in told]
        free = [column for column in range(len(solution)) if column not in held]
        scale = np.linalg.norm(jacobian[:, free], axis=0)
        short = len(jacobian) < len(free) or not (scale > 0).all()
        if short or np.linalg.cond(jacobian[:, free] / scale) > _TIED:
            raise InputError("the readings do not tell the rolling resistance; more distances, times or speeds are needed", key="runs")
        solved = np.linalg.pinv(jacobian[:, free] / scale) / scale[:, None]
        before = np.diag([self.prior[NAMES[column]][1] ** 2 for column in held])
        follows = -solved @ jacobian[:, held]  # how what is free goes with what is held
        covariance = np.zeros((len(solution), len(solution)))
        covariance[np.ix_(held, held)] = before
        covariance[np.ix_(free, free)] = scatter**2 * solved @ solved.T + follows @ before @ follows.T
        covariance[np.ix_(free, held)] = follows @ before
        covariance[np.ix_(held, free)] = (follows @ before).T
        return covariance

    def fit(self, solution: np.ndarray, told: Sequence[str]) -> Fit:
        """The fit with its covariance, what is held among it."""
        covariance = self.covariance(solution, told)
        residuals = self.residuals(solution[:4], solution[4:])
        counts = [sum(1 for reading in run.readings for _ in kinds_of(reading)) for run in self.runs]
        owners = [run.name for run, count in zip(self.runs, counts, strict=True) for _ in range(count)]
        worst = int(np.argmax(np.abs(residuals)))
        spare = len(residuals) - len(told) - len(self.runs)
        sizes = np.sqrt(np.diag(covariance))
        return Fit(
            values=dict(zip(NAMES, map(float, solution[:4]), strict=True)),
            uncertainties=dict(zip(NAMES, map(float, sizes[:4]), strict=True)),
            told=tuple(told),
            prior=self.prior,
            correlation=float(covariance[0, 1] / (sizes[0] * sizes[1])),
            region=_region(solution[:2], covariance[:2, :2]),
            scatter=None if spare <= 0 else math.sqrt(float(residuals @ residuals) / spare),
            worst=(owners[worst], float(residuals[worst])),
            readings=len(residuals),
            runs=len(self.runs),
            surface_factor=self.line.bike.rolling_factor,
            grounds=tuple(_reckoned(run, ground, self.on) for run, ground in zip(self.runs, self.grounds, strict=True)),
        )


def _ground(line: Line, run: Run, on: str) -> GroundLine:
    """The ground of a run, from its start on."""
    if run.slope is not None:
        slope = -run.slope if run.back else run.slope
        return chain([Straight(length=1.0, slope=slope)])
    pieces = ground_pieces(line.run_in if on == "run_in" else line.jumps[-1].runout, on)
    if not pieces or run.back:
        why = "the line has none measured there" if not pieces else "a run back needs the slope of its strip"
        raise InputError(f"gives no slope, and {why}; give slope_deg", key=f"run {run.name!r}")
    return chain(pieces)


def _reckoned(run: Run, ground: GroundLine, on: str) -> Ground:
    """What a run was reckoned on."""
    if run.slope is not None:
        return Ground(run=run.name, of=None, slopes=(run.slope, run.slope))
    slopes = [*ground.slope, *(ground.slope[:-1] + ground.curvature[:-1] * np.diff(ground.start))]
    return Ground(run=run.name, of=on, slopes=(float(min(slopes)), float(max(slopes))))


def _region(middle: np.ndarray, covariance: np.ndarray, *, corners: int = 48) -> tuple[tuple[float, float], ...]:
    """The ellipse that holds both in 90 of 100, as a polygon of (c_rr, CdA)."""
    sizes = np.sqrt(np.diag(covariance))
    values, vectors = np.linalg.eigh(covariance / np.outer(sizes, sizes))
    angle = np.linspace(0, 2 * np.pi, corners, endpoint=False)
    ring = vectors @ (np.sqrt(_REGION * np.maximum(values, 0.0))[:, None] * np.stack([np.cos(angle), np.sin(angle)]))
    return tuple((float(x), float(y)) for x, y in (middle[:, None] + sizes[:, None] * ring).T)
