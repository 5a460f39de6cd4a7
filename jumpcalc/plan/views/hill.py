"""The whole line from the start mark on: hill, jumps, the ride through them and its speed, and the marks on the hill.

Places are counted from the start mark as measured, x forward and z up. The ride begins at a
start mark; its ground and speeds are sampled from the same physics.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jumpcalc.physics.ground import GroundLine
from jumpcalc.physics.rolling import Track, roll
from jumpcalc.plan.answer import Answer, RideStep, Span
from jumpcalc.plan.ask.lip import climb
from jumpcalc.plan.ask.ride import run_on
from jumpcalc.plan.ask.run_in import run_in_of
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.terrain import Prepared, prepare
from jumpcalc.plan.views.side import Stretch, floats, flown_path

__all__ = ["HillView", "Mark", "SpeedTrace", "hill_view"]

_SPACING = 0.2  # m
_LOST = (Code.SHORT_ENDS_THE_RIDE, Code.NOT_CLEAN_ENDS_THE_RIDE, Code.A_HARD_LANDING_ENDS_THE_RIDE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A place on the hill: its name, its distance before the foot of the first lip, and where it is [m]."""

    name: str
    before_foot: float
    x: float
    z: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeedTrace:
    """Speed [m/s] over x [m] of a stretch of the ride; `name` is ``"ground"`` or ``"air"``."""

    name: str
    x: tuple[float, ...]
    speed: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HillView:
    """The line from the start mark to the end of the last runout.

    `ground` is one polyline, `flights` the wheels' paths of the ride, `speeds` its speed over x, `edges`
    the lip edges by name of the jump, `marks` the start marks for min, aim and max, `stop` the last place to stop, which
    is none of them, `span` the stretch of the hill on which plausible dirt, wind and slope put the aim's start. The ride
    begins `mark` [m] before the foot of the first lip, or the edge where that is a `drop`; `steps` are its jumps, `ended` what ends it.
    """

    mark: float
    drop: bool
    steps: tuple[RideStep, ...]
    ended: Note | None

    ground: Stretch
    flights: tuple[Stretch, ...]
    speeds: tuple[SpeedTrace, ...]
    edges: tuple[Mark, ...]
    marks: tuple[Mark, ...]
    stop: Mark | None
    span: Stretch | None


def hill_view(answer: Answer, mark: float | None = None) -> HillView | None:
    """The whole line, ridden from a start mark.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    mark : float, optional
        Where the ride begins [m before the foot of the first lip]; the top of the run-in when not given.

    Returns
    -------
    HillView or None
        None where the run-in is not measured.
    """
    first = answer.jumps[0]
    prepared = prepare(answer.line)
    courses, run_in = prepared.jumps, run_in_of(prepared)
    if run_in is None:
        return None
    begin = 0.0 if mark is None else min(max(run_in.foot - mark, 0.0), run_in.foot)
    s = np.unique(np.append(np.linspace(0.0, run_in.foot, max(2, int(run_in.foot / _SPACING))), begin))
    x, z = run_in.ground.point(s)
    foot, edge, _, tracks = run_in.forward(np.array([begin]), run_in.roller(), track=True)
    halted = [float(run_in.foot - track.s[0]) for track in tracks[:-1] if track.stopped[0]]
    if np.isfinite(edge[0]):
        steps, ended = run_on(courses, float(foot[0]), float(edge[0]))
    elif halted:
        steps, ended = (), Note(code=Code.HALTS_ON_THE_RUN_IN, values=(("mark", halted[0]),), jump=1)
    else:
        steps, ended = (), Note(code=Code.HALTS_ON_THE_LIP, jump=1)
    speeds = [SpeedTrace(name="ground", x=floats(x), speed=floats(_known_speeds(tracks[:-1], s)))]
    xs, zs, flights, edges = [x], [z], [], []
    origin = (float(x[-1]), float(z[-1]))
    for i, one in enumerate(courses):
        origin = (origin[0] - one.terrain.foot_x, origin[1] - one.terrain.foot_z)
        _lip(one, origin, foot[0], xs, zs, speeds)
        edges.append(Mark(name=answer.jumps[i].name, before_foot=0.0, x=origin[0], z=origin[1]))
        end = one.terrain.runout_end if one.terrain.runout_end is not None else one.terrain.runout_start + 3.0
        _landing_ground(one, origin, end, xs, zs)
        if i < len(steps):
            lost = i == len(steps) - 1 and ended is not None and ended.code in _LOST
            foot = _ride_on(one, origin, steps[i], end, flights, speeds, lost=lost)
        else:
            foot = np.array([np.nan])
        last_x, last_z = one.terrain.ground.point(np.array([end]))
        origin = (origin[0] + float(last_x[0]), origin[1] + float(last_z[0]))
    names = ("slowest clean", "aim", "fastest clean")
    told = first.run_in.marks
    if len(answer.jumps) > 1 and answer.ride.window is not None:  # what the jumps after it leave of them
        low, high = answer.ride.window
        told = (low, told[1], high if high < first.run_in.length else None)
    found = [(name, mark) for name, mark in zip(names, told, strict=True) if mark is not None]
    stop = None
    if first.abort is not None and first.abort.exists:
        stop = _mark(run_in.ground, run_in.foot, "last place to stop", first.abort.last)
    return HillView(
        mark=float(run_in.foot - begin),
        drop=prepared.jumps[0].terrain.shape == "drop",
        steps=steps,
        ended=ended,
        ground=Stretch(name="ground", x=floats(np.concatenate(xs)), z=floats(np.concatenate(zs))),
        flights=tuple(flights),
        speeds=tuple(trace for trace in speeds if len(trace.x) > 1),
        edges=tuple(edges),
        marks=tuple(_mark(run_in.ground, run_in.foot, name, mark) for name, mark in found),
        stop=stop,
        span=_span(run_in.ground, run_in.foot, first.run_in.span),
    )


def _known_speeds(tracks: list[Track], s: np.ndarray) -> np.ndarray:
    """Speeds of the first row of tracks that follow each other; NaN where it does not get."""
    known = np.full(len(s), np.nan)
    for track in tracks:
        here = track.speed_at(s)[0]
        known = np.where(np.isfinite(here), here, known)
    return known


def _lip(one: Prepared, origin: tuple[float, float], foot: float, xs: list, zs: list, speeds: list) -> None:
    """Ground of a lip and the speed up it."""
    if one.terrain.lip is None:
        return
    s = np.linspace(0.0, one.terrain.lip.end, max(2, int(one.terrain.lip.end / (_SPACING / 2))))
    x, z = one.terrain.lip.point(s)
    xs.append(x + origin[0])
    zs.append(z + origin[1])
    if np.isfinite(foot):
        _, up = climb(one, np.array([foot]), one.roller(one.conditions.lip_rolling, one.body.height), track=True)
        speeds.append(SpeedTrace(name="ground", x=floats(x + origin[0]), speed=floats(up.speed_at(s)[0])))


def _landing_ground(one: Prepared, origin: tuple[float, float], end: float, xs: list, zs: list) -> None:
    """Ground from the edge over deck or gap, face and exit to the end of the runout."""
    if one.terrain.shape == "tabletop":
        xs.append(np.array([origin[0]]))
        zs.append(np.array([origin[1]]))
    else:
        xs.append(origin[0] + np.array([0.0, 0.0, one.terrain.gap]))
        zs.append(origin[1] + np.array([0.0, one.terrain.floor, one.terrain.floor]))
    x, z = one.terrain.ground.point(np.linspace(0.0, end, max(2, int(end / _SPACING))))
    xs.append(x + origin[0])
    zs.append(z + origin[1])


def _ride_on(
    one: Prepared, origin: tuple[float, float], step: RideStep, end: float, flights: list, speeds: list, *, lost: bool
) -> np.ndarray:
    """The flight and the ride on from its landing unless that is lost; the speed at the next foot, NaN where it ends before."""
    landing = step.landing
    path, velocity = flown_path(one, landing)
    if path is not None:
        flights.append(
            Stretch(
                name=landing.outcome, x=floats(np.array(path.x) + origin[0]), z=floats(np.array(path.z) + origin[1])
            )
        )
        speeds.append(SpeedTrace(name="air", x=floats(np.array(path.x) + origin[0]), speed=floats(velocity)))
    if lost or landing.along_ground is None or landing.along_face >= end:
        return np.array([np.nan])
    roller = one.roller(one.conditions.landing_rolling, one.body.height)
    on = roll(one.terrain.ground, landing.along_face, max(landing.along_ground, 0.0), roller, end=end, track=True)
    s = np.linspace(landing.along_face, float(on.s[0]), max(2, int((on.s[0] - landing.along_face) / _SPACING)))
    x, _ = one.terrain.ground.point(s)
    speeds.append(SpeedTrace(name="ground", x=floats(x + origin[0]), speed=floats(on.speed_at(s)[0])))
    return np.where(on.reached, on.speed, np.nan)


def _mark(ground: GroundLine, foot: float, name: str, mark: float) -> Mark:
    x, z = ground.point(np.array([foot - mark]))
    return Mark(name=name, before_foot=mark, x=float(x[0]), z=float(z[0]))


def _span(ground: GroundLine, foot: float, span: Span | None) -> Stretch | None:
    if span is None:
        return None
    start = 0.0 if span.long is None else foot - span.long
    x, z = ground.point(np.linspace(start, foot - span.short, 40))
    return Stretch(name="span", x=floats(x), z=floats(z))
