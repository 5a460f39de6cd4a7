"""What a drawing of one jump from the side needs: places of its ground and of the paths that are flown.

Places are counted from the lip edge of the jump in hand. Nothing here is decided anew: speeds and
landings are those of the Answer, paths and ground are sampled from the same physics.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.plan.answer import Answer, LandingResult
from jumpcalc.plan.ask.clean import clean_speeds
from jumpcalc.plan.ask.landings import flown, land
from jumpcalc.plan.ask.lip import foot_speeds
from jumpcalc.plan.ask.run_in import run_in_of
from jumpcalc.plan.ask.window import FASTEST
from jumpcalc.plan.inputs.assume import ground_pieces
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.terrain import Prepared, prepare

__all__ = [
    "SPACING",
    "Path",
    "SideView",
    "Stretch",
    "first_view",
    "flown_path",
    "ground_seen",
    "side_view",
]

SPACING = 0.1  # m between points of curved ground
_BEFORE = 3.0  # m of the run-in that are drawn
_AFTER = 2.5  # m of the runout that are drawn beside the jump
_POINTS = 60  # of a flown path
_TOO_SLOW = 0.95  # of the slowest clean speed
_REACH = np.arange(0.5, FASTEST, 0.25)  # m/s, looked at where no speed lands clean


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A polyline of places [m] with the name of what it is."""

    name: str
    x: tuple[float, ...]
    z: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Path:
    """The wheels' way through the air, from the edge to the touchdown.

    `name` is ``"slow"`` (a tenth below the aim, or in a wide window what is short), ``"min"``, ``"aim"``, ``"max"``,
    ``"try"`` where no speed lands clean, or ``"own"`` for one that was asked for. From slow to fast. `before` is the speed at the
    foot of the lip [m/s], None for a drop and where no speed there gives this one.
    """

    name: str
    landing: LandingResult
    x: tuple[float, ...]
    z: tuple[float, ...]
    before: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SideView:
    """One jump seen from the side.

    `ground` are its parts in order: run-in, lip, gap (with the back of the lip and the near wall) or
    deck, face, exit, runout. `clean` is the stretch of the face where both wheels fit, None where the
    face is shorter than the bike. `foot` is None for a drop. `natural` is the ground as it lies where it is not built yet.
    """

    shape: str
    angle: float
    fall: float
    gap: float
    drop: float
    face: float
    lip_height: float | None
    ground: tuple[Stretch, ...]
    foot: tuple[float, float] | None
    knuckle: tuple[float, float]
    clean: Stretch | None
    paths: tuple[Path, ...]
    natural: Stretch | None = None


def side_view(answer: Answer, index: int) -> SideView:
    """One jump of an answer from the side.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    index : int
        Which jump, from 0.

    Returns
    -------
    SideView
        Ground, paths at the slowest, aimed and fastest clean speed and a slower one that lands short; where
        no speed lands clean, up to three speeds around the first that reaches the landing.
    """
    jump, one = answer.jumps[index], prepare(answer.line).jumps[index]
    slow = None if jump.sensitivity is None or jump.window.from_rest else jump.sensitivity.slow_10
    if slow is not None and slow.outcome is Outcome.CLEAN:
        # in a wide window a tenth below the aim still lands clean
        slow = land(one, [_TOO_SLOW * jump.landings[0].lip_speed]).result(0)
    return _side(answer.complete, index, one, jump.landings, slow)


def first_view(line: Line, index: int, own: LandingResult | None = None) -> SideView:
    """The same of a line that is not solved yet: only what this drawing shows is worked out.

    Parameters
    ----------
    line : Line
        As measured.
    index : int
        Which jump, from 0.
    own : LandingResult, optional
        A landing on that jump that is shown besides.

    Returns
    -------
    SideView
        That of its answer.

    Raises
    ------
    InputError
        Where inputs contradict each other.
    """
    prepared = prepare(line)
    run_in_of(prepared)
    filled, one = prepared.line, prepared.jumps[index]
    window = clean_speeds(one).window
    speeds = window.speeds
    if speeds is None:
        return _side(filled, index, one, (), None, own)
    # one flight more costs less than another call for it
    landed = land(one, [speeds.min, speeds.aim, speeds.max, 0.9 * speeds.aim, _TOO_SLOW * speeds.min])
    low, middle, high, slow, slower = (landed.result(row) for row in range(5))
    if window.from_rest:
        slow = None
    elif slow.outcome is Outcome.CLEAN:
        slow = slower
    return _side(filled, index, one, (low, middle, high), slow, own)


def _side(
    line: Line,
    index: int,
    one: Prepared,
    landings: tuple[LandingResult, ...],
    slow: LandingResult | None,
    own: LandingResult | None = None,
) -> SideView:
    """The view of clean landings from slow to fast, of one that is too slow where there is one, and of one's own."""
    if landings and slow is None:
        named = list(zip(("min", "aim", "max"), landings, strict=True))
    elif landings:
        named = list(zip(("slow", "min", "aim", "max"), (slow, *landings), strict=True))
    else:
        named = [("try", landing) for landing in tries(one)]
    if own is not None:
        named = sorted([*named, ("own", own)], key=lambda pair: pair[1].lip_speed)
    return SideView(
        shape=one.terrain.shape,
        angle=one.terrain.angle,
        fall=one.terrain.fall,
        gap=one.terrain.gap,
        drop=one.terrain.drop,
        face=one.terrain.face,
        lip_height=one.terrain.lip_height,
        ground=ground_seen(line, one, index),
        foot=None if one.terrain.lip is None else (one.terrain.foot_x, one.terrain.foot_z),
        knuckle=(one.terrain.gap, -one.terrain.drop),
        clean=_clean(one),
        paths=_paths(one, named),
    )


def tries(one: Prepared) -> list[LandingResult]:
    """Landings worth showing where none is clean: the first speed that reaches the face, and around it."""
    landed = land(one, _REACH)
    reached = np.nonzero(landed.reached)[0]
    first = float(_REACH[reached[0]]) if len(reached) else 10.0
    speeds = np.array([0.85, 1.0, 1.15]) * first
    return [row for row in map(land(one, speeds).result, range(3)) if row.surface != "edge"] or [landed.result(-1)]


def ground_seen(line: Line, one: Prepared, index: int) -> tuple[Stretch, ...]:
    """The parts of a jump's ground in the order they are ridden, with some of what lies before and after.

    Parameters
    ----------
    line : Line
        With its defaults filled in.
    one : Prepared
        The jump.
    index : int
        Which jump it is, from 0.

    Returns
    -------
    tuple of Stretch
        Run-in, lip, gap or deck, face, exit, runout.
    """
    parts = []
    before = line.run_in if index == 0 else line.jumps[index - 1].runout
    led, _, foot = one.terrain.approach
    # what nothing was measured of goes on straight
    first = max(0.0, foot - _BEFORE) if ground_pieces(before, "run-in") else foot - _BEFORE
    x, z = led.point(_marks(first, foot, SPACING))
    parts.append(_stretch("run-in", x - x[-1] + one.terrain.foot_x, z - z[-1] + one.terrain.foot_z))
    if one.terrain.lip is not None:
        parts.append(_stretch("lip", *one.terrain.lip.point(_marks(0.0, one.terrain.lip.end, SPACING))))
    if one.terrain.shape == "tabletop":
        parts.append(_stretch("deck", np.array([0.0, one.terrain.gap]), np.array([0.0, -one.terrain.drop])))
    else:
        x, z = [0.0, 0.0, one.terrain.gap, one.terrain.gap], [0.0, one.terrain.floor, one.terrain.floor, -one.terrain.drop]
        parts.append(_stretch("gap", np.array(x), np.array(z)))
    exit_end = one.terrain.runout_start
    parts.append(along(one, 0.0, one.terrain.face, "face"))
    if exit_end > one.terrain.face:
        parts.append(along(one, one.terrain.face, exit_end, "exit"))
    parts.append(along(one, exit_end, exit_end + _AFTER, "runout"))
    return tuple(parts)


def _clean(one: Prepared) -> Stretch | None:
    """The stretch of the face where both wheels fit."""
    half = one.rig.wheelbase / 2
    return along(one, half, one.terrain.face - half, "clean") if one.terrain.face > one.rig.wheelbase else None


def _paths(one: Prepared, named: Sequence[tuple[str, LandingResult]]) -> tuple[Path, ...]:
    """The flown paths of landings; one that rolled off the edge has none."""
    paths = [path for path, _ in _paths_and_speeds(one, named)]
    if one.terrain.lip is None or not paths:
        return tuple(paths)
    feet = foot_speeds(one, [path.landing.lip_speed for path in paths], heights=one.body.height)
    return tuple(replace(path, before=float(foot) if np.isfinite(foot) else None) for path, foot in zip(paths, feet, strict=True))


def _paths_and_speeds(one: Prepared, named: Sequence[tuple[str, LandingResult]]) -> list[tuple[Path, tuple[float, ...]]]:
    """The flown paths of landings that flew, each with the rider's speed [m/s] along it."""
    named = [(name, landing) for name, landing in named if landing.flight]
    if not named:
        return []
    leaving, flight = flown(one, [landing for _, landing in named])
    until = np.array([landing.flight for _, landing in named])
    place, velocity = flight.at(until[:, None] * np.linspace(0.0, 1.0, _POINTS))
    x, z = leaving.rows(np.arange(len(named))[:, None]).wheels(place[..., 0], place[..., 2])
    speeds = np.linalg.norm(velocity, axis=-1)
    if one.rig.path == "bike":
        # the flight begins as the rear wheel leaves; the middle of the bike was over the edge before
        x, z, speeds = (np.concatenate([first, a], axis=1) for first, a in ((0 * x[:, :1], x), (0 * z[:, :1], z), (speeds[:, :1], speeds)))
    return [
        (Path(name=name, landing=landing, x=floats(x[row]), z=floats(z[row])), floats(speeds[row]))
        for row, (name, landing) in enumerate(named)
    ]


def flown_path(one: Prepared, landing: LandingResult) -> tuple[Path | None, tuple[float, ...]]:
    """The wheels' way through the air of one landing, and the rider's speed along it.

    Parameters
    ----------
    one : Prepared
        The jump.
    landing : LandingResult
        Its touchdown.

    Returns
    -------
    path : Path or None
        None where the bike rolled off the edge.
    speed : tuple of float
        Speed [m/s] at each of its places.
    """
    found = _paths_and_speeds(one, [("ride", landing)])
    return found[0] if found else (None, ())


def along(one: Prepared, start: float, end: float, name: str, *, spacing: float = SPACING) -> Stretch:
    """A stretch of the landing's ground between two distances from the knuckle [m]."""
    return _stretch(name, *one.terrain.ground.point(_marks(start, end, spacing)))


def _marks(start: float, end: float, spacing: float) -> np.ndarray:
    return np.linspace(start, end, max(2, min(2000, int(np.ceil((end - start) / spacing)) + 1)))


def _stretch(name: str, x: np.ndarray, z: np.ndarray) -> Stretch:
    return Stretch(name=name, x=floats(x), z=floats(z))


def floats(values: Iterable[float]) -> tuple[float, ...]:
    """Numbers as a tuple of Python's own.

    Parameters
    ----------
    values : iterable of float
        Any.

    Returns
    -------
    tuple of float
        The same.
    """
    return tuple(float(value) for value in values)
