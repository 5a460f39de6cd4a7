"""What tries would have shown if the unknowns of a line had other values: all tries and all values in a few calls.

A place on the landing is counted along it from its top edge, of the rear wheel, and held against the model as the lip speed that it
takes in the same world (`charts`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.physics.roller import Roller
from jumpcalc.plan.ask.lip import climb
from jumpcalc.plan.ask.run_in import RunIn, run_in_of
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.field.charts import charts_of, speeds_over
from jumpcalc.plan.studies.field.kinds import Sensor
from jumpcalc.plan.studies.field.tries import Try
from jumpcalc.plan.studies.field.unknowns import Unknown, by_name, reshaped, rolling_of
from jumpcalc.plan.terrain import Prepared, PreparedLine, prepare

__all__ = ["Expected", "Marked", "Started", "World", "started"]

_SLOWEST = 0.5  # m/s at the foot: a ride that would halt counts as one


@dataclass(frozen=True, slots=True, eq=False)
class Started:
    """How n tries set off: marks [m before the foot], strokes, speed at the mark [m/s], tailwind as it was seen [m/s], ground, day.

    `foot` is the speed at the foot [m/s] where the mark is not known, NaN where it is; `sensor` whether its speed was read off a
    wheel sensor.
    """

    mark: np.ndarray
    strokes: np.ndarray
    speed: np.ndarray
    tailwind: np.ndarray
    ground: tuple[str, ...]
    day: tuple[str, ...]
    foot: np.ndarray
    sensor: np.ndarray

    def __len__(self) -> int:
        return len(self.mark)


def started(line: Line, tries: Sequence[Try], foot: Sequence[float]) -> Started:
    """How tries set off, with what the line says where a try says nothing.

    Parameters
    ----------
    line : Line
        With its defaults filled in.
    tries : sequence of Try
        The tries.
    foot : sequence of float
        Speed that was measured of each at the foot [m/s], NaN where none was.

    Returns
    -------
    Started
        One row for each.
    """
    known = line.run_in.pieces is not None or line.run_in.stakes is not None
    return Started(
        mark=np.array([one.start_mark if known and one.start_mark is not None else np.nan for one in tries]),
        strokes=np.array([line.run_in.strokes if one.strokes is None else one.strokes for one in tries], dtype=float),
        speed=np.array([line.run_in.start_speed if one.start_speed is None else one.start_speed for one in tries]),
        tailwind=np.array([line.air.tailwind if one.tailwind is None else one.tailwind for one in tries]),
        ground=tuple(one.surface or line.run_in.surface or "" for one in tries),
        day=tuple(one.date for one in tries),
        foot=np.where([known and one.start_mark is not None for one in tries], np.nan, np.asarray(foot, dtype=float)),
        sensor=np.array([one.measured == Sensor.word for one in tries], bool),
    )


@dataclass(frozen=True, slots=True, eq=False)
class Expected:
    """What would be seen, arrays of one shape.

    `foot` is the speed there as a check shows it, `edge` the lip speed [m/s], `place` where the rear wheel would touch [m].
    `margin` is how much faster than its taped place takes a try would be [m/s], NaN where none was taped; `low` and `high` the lip
    speeds that the bounds of its outcome take. `time` is that in the air [s], to the taped place where there is one, `later` how it
    moves with the place [s/m]. At the place that was taped, or else at the nearest bound of its outcome: `each` how much more lip speed
    a metre takes [1/s], `angle` between path and landing [rad]; `into` the speed into it where it would touch [m/s].
    """

    foot: np.ndarray
    edge: np.ndarray
    place: np.ndarray
    margin: np.ndarray
    low: np.ndarray
    high: np.ndarray
    time: np.ndarray
    later: np.ndarray
    each: np.ndarray
    angle: np.ndarray
    into: np.ndarray

    @property
    def seen(self) -> np.ndarray:
        """What is held against what was seen: foot, margin and time, on a last axis of 3.

        Of an untaped place the margin is that over the middle of the lip speeds that bound its outcome.
        """
        low, high = (np.where(np.isfinite(bound), bound, np.nan) for bound in (self.low, self.high))
        middle = np.where(np.isnan(low), high, np.where(np.isnan(high), low, 0.5 * (low + high)))
        margin = np.where(np.isnan(self.margin), self.edge - middle, self.margin)
        return np.stack([self.foot, np.nan_to_num(margin), self.time], axis=-1)

    def row(self, number: int) -> Expected:
        """One set of values."""
        return Expected(*(getattr(self, name)[number] for name in self.__slots__))


@dataclass(frozen=True, slots=True, eq=False)
class Marked:
    """What is known of where n tries came down: places taped [m], NaN where none was, and the bounds of outcomes [m]."""

    place: np.ndarray
    low: np.ndarray
    high: np.ndarray


@dataclass(frozen=True, slots=True, eq=False)
class World:
    """A line, with its defaults filled in, whose unknowns may have any values."""

    line: Line
    unknowns: tuple[Unknown, ...]
    speeds: np.ndarray = field(init=False)

    def __post_init__(self) -> None:
        speeds = speeds_over(self.prepared(0.0, 0.0).jumps[0])
        if not len(speeds):
            raise InputError("no speed lands on the landing of the first jump as measured; measure it again", key="jump[1].landing")
        object.__setattr__(self, "speeds", speeds)

    def prepared(self, lip: float, slope: float) -> PreparedLine:
        """The line with another lip angle [rad] and steeper slopes."""
        return prepare(reshaped(self.line, lip=lip, slope=slope))

    def expected(self, begun: Started, marked: Marked, values: np.ndarray, *, faster: np.ndarray | float = 0.0) -> Expected:
        """What n tries would show at m sets of values [standard deviations], shape (m, n).

        `faster`, one for each set, is added to the speed at the foot, as a share of it: what it moves tells how much an error of
        speed does.
        """
        values = np.atleast_2d(values)
        faster = np.broadcast_to(faster, len(values))
        of = by_name(self.unknowns, values)
        none = np.zeros(len(values))
        shapes = np.stack([of.get(("lip", ""), none), of.get(("slope", ""), none)], axis=1)
        kinds, which = np.unique(shapes, axis=0, return_inverse=True)
        found = {name: np.empty((len(values), len(begun))) for name in Expected.__slots__}
        for number, (lip, slope) in enumerate(kinds):
            sets = np.nonzero(which.ravel() == number)[0]
            ground, mine = self.prepared(float(lip), float(slope)), {key: value[sets] for key, value in of.items()}
            for name, rows in self._on(ground, begun, marked, mine, faster[sets]).items():
                found[name][sets] = rows
        return Expected(**found)

    def places(self, begun: Started, values: np.ndarray, edge: Sequence[float]) -> tuple[float, ...]:
        """Where the rear wheel touches at lip speeds [m/s] in the wind of the first of tries [m along the landing]."""
        of = by_name(self.unknowns, values)
        one = self.prepared(of.get(("lip", ""), 0.0), of.get(("slope", ""), 0.0)).jumps[0]
        rows = of.get(("spring", ""), 0.0), one.conditions.drag * np.exp(of[("drag", "")]), begun.tailwind[0] + of[("wind", begun.day[0])]
        spring, drag, wind = (np.array([value]) for value in rows)
        (chart,) = charts_of(one, self.speeds, spring=spring, drag=drag, tailwind=wind)
        return tuple(map(float, chart.landed(np.asarray(edge))[0]))

    def _on(self, prepared: PreparedLine, begun: Started, marked: Marked, of: dict, faster: np.ndarray) -> dict[str, np.ndarray]:
        """The same on one ground."""
        one, n, count = prepared.jumps[0], len(begun), len(faster)
        wind = np.stack([of[("wind", day)] for day in begun.day], axis=1) + begun.tailwind
        rolling = np.array([rolling_of(prepared.line, ground or None) for ground in begun.ground])
        factor = np.exp(np.stack([of[("rolling", ground)] for ground in begun.ground], axis=1))
        drag = one.conditions.drag * np.exp(of[("drag", "")])
        roller = replace(
            one.up_the_lip, rolling_resistance=(rolling * factor).ravel(), drag=np.repeat(drag, n), tailwind=wind.ravel()
        )
        foot = np.tile(begun.foot, count)
        from_mark = np.isnan(foot)
        run_in = run_in_of(prepared)
        if run_in is not None and from_mark.any():
            foot = np.where(from_mark, _rolled(run_in, begun, count, roller), foot)
        foot = np.maximum(np.nan_to_num(foot), _SLOWEST) * np.repeat(1 + faster, n)
        edge = np.maximum(np.nan_to_num(climb(one, foot, roller)[0]), _SLOWEST).reshape(count, n)
        shown = 1 + of[("sensor", "")][:, None] * begun.sensor if ("sensor", "") in of else np.ones((count, n))
        return {"foot": foot.reshape(count, n) * shown, "edge": edge, **self._landed(one, marked, of, drag, wind, edge)}

    def _landed(
        self, one: Prepared, marked: Marked, of: dict, drag: np.ndarray, wind: np.ndarray, edge: np.ndarray
    ) -> dict[str, np.ndarray]:
        """What charts tell of lip speeds, one chart for each set and each wind in it."""
        found = {name: np.full(edge.shape, np.nan) for name in Expected.__slots__[2:]}
        winds = [np.unique(row) for row in wind]
        which = [i for i, row in enumerate(winds) for _ in row]
        spring = of.get(("spring", ""), np.zeros(len(edge)))
        charts = charts_of(one, self.speeds, spring=spring[which], drag=drag[which], tailwind=np.concatenate(winds))
        for i, blows, chart in zip(which, np.concatenate(winds), charts, strict=True):
            rows = np.nonzero(wind[i] == blows)[0]
            if chart is None:
                raise InputError("hardly a speed lands on it in a world that is still likely; measure it again", key="jump[1].landing")
            speed, taped = edge[i, rows], marked.place[rows]
            place = chart.landed(speed)[0]
            # where bikes set down beyond a bound as soon as they set down on it at all, that is what bounds
            told = np.stack([marked.low[rows], marked.high[rows]])
            least, most = np.where(np.isfinite(told), np.maximum(told, chart.place[0]), told)
            at, about = (np.where(np.isnan(taped), other, taped) for other in (place, _nearest(place, least, most)))
            bounds = np.concatenate([least, most])
            # one look for all, since the curve through a chart is made for each
            needed, each = chart.needed(np.concatenate([about, np.nan_to_num(bounds, posinf=0.0, neginf=0.0)]))
            low, high = np.split(np.where(np.isfinite(bounds), needed[len(at) :], bounds), 2)
            needed, each = needed[: len(at)], each[: len(at)]
            time, later, _, into = chart.at(at)
            angle = chart.at(about)[2]
            values = (place, np.where(np.isnan(taped), np.nan, speed - needed), low, high, time, later, each, angle, into)
            for name, value in zip(found, values, strict=True):
                found[name][i, rows] = value
        return found


def _nearest(place: np.ndarray, low: np.ndarray, high: np.ndarray) -> np.ndarray:
    """The bounds that lie nearest to places [m]; the places themselves where nothing bounds them."""
    near = np.where(np.abs(place - low) < np.abs(place - high), low, high)
    return np.where(np.isfinite(near), near, place)


def _rolled(run_in: RunIn, begun: Started, count: int, roller: Roller) -> np.ndarray:
    """Speeds at the foot from the start marks."""
    mark = np.tile(np.nan_to_num(begun.mark, nan=run_in.foot), count)
    ridden = replace(run_in, strokes=np.tile(begun.strokes, count), start_speed=np.tile(begun.speed, count))
    return ridden.forward(np.clip(run_in.foot - mark, 0.0, run_in.foot - 1e-6), roller)[0]
