"""What drawings need of an Answer: places of ground, paths and stopping, and the hit over speed.

Places are counted from the lip edge of the jump in hand. Nothing here is decided anew: speeds and
landings are those of the Answer, paths and ground are sampled from the same physics.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from jumpcalc.physics.ground import chain
from jumpcalc.plan.answer import Answer, LandingResult
from jumpcalc.plan.ask.clean import clean_speeds
from jumpcalc.plan.ask.landings import flown, land
from jumpcalc.plan.ask.run_in import foot_speeds, run_in_of
from jumpcalc.plan.inputs.assume import ground_pieces
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.terrain import Prepared, prepare

__all__ = [
    "ImpactCurve",
    "Path",
    "SideView",
    "StopView",
    "Stretch",
    "first_view",
    "flown_path",
    "ground_seen",
    "impact_curve",
    "side_view",
    "stop_view",
]

_SPACING = 0.1  # m between points of curved ground
_BEFORE = 3.0  # m of the run-in that are drawn
_AFTER = 2.5  # m of the runout that are drawn beside the jump
_POINTS = 60  # of a flown path
_STEP = 0.1  # m/s between the speeds of the impact curve
_MOST_SPEEDS = 400
_TOO_SLOW = 0.95  # of the slowest clean speed
_REACH = np.arange(0.5, 40.0, 0.25)  # m/s, looked at where no speed lands clean


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
    ``"try"`` where no speed lands clean, or ``"own"`` for one that was asked for. From slow to fast.
    """

    name: str
    landing: LandingResult
    x: tuple[float, ...]
    z: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SideView:
    """One jump seen from the side.

    `ground` are its parts in order: run-in, lip, gap (with the back of the lip and the near wall) or
    deck, face, exit, runout. `clean` is the stretch of the face where both wheels fit, None where the
    face is shorter than the bike. `foot` is None for a drop.
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


@dataclass(frozen=True, slots=True, kw_only=True)
class StopView:
    """Landing and runout with the places of a stop from the fastest clean landing.

    Each place is (x, z) [m]; `stops` is None where the bike never stops on the last slope. `room_end`
    is where the middle of the bike must stand at the latest, `end` the end of the runout.
    """

    ground: Stretch
    touchdown: tuple[float, float]
    brakes: tuple[float, float]
    stops: tuple[float, float] | None
    room_end: tuple[float, float]
    end: tuple[float, float]
    reaction: Stretch
    braking: Stretch | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ImpactCurve:
    """What the landing does over a range of lip speeds, slow to fast.

    `foot` are the same speeds [m/s] at the foot of the lip; empty for a drop. `fall_height` [m] is None
    where no height describes the hit, `surface` says what was hit.
    """

    speed: tuple[float, ...]
    foot: tuple[float, ...]
    fall_height: tuple[float | None, ...]
    outcome: tuple[str, ...]
    surface: tuple[str, ...]
    limit: float


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
    slow = None if jump.sensitivity is None else jump.sensitivity.slow_10
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
    speeds = clean_speeds(one).window.speeds
    if speeds is None:
        return _side(filled, index, one, (), None, own)
    landed = land(one, [speeds.min, speeds.aim, speeds.max, 0.9 * speeds.aim])
    low, middle, high, slow = (landed.result(row) for row in range(4))
    return _side(filled, index, one, (low, middle, high), slow, own)


def _side(
    line: Line,
    index: int,
    one: Prepared,
    landings: tuple[LandingResult, ...],
    slow: LandingResult | None,
    own: LandingResult | None = None,
) -> SideView:
    """The view of clean landings from slow to fast, of one a tenth slower than the aim, and of one's own."""
    if landings:
        if slow.outcome is Outcome.CLEAN:
            # in a wide window a tenth below the aim still lands clean
            slow = land(one, [_TOO_SLOW * landings[0].lip_speed]).result(0)
        named = list(zip(("slow", "min", "aim", "max"), (slow, *landings), strict=True))
    else:
        named = [("try", landing) for landing in _tries(one)]
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


def stop_view(answer: Answer, index: int) -> StopView | None:
    """Where the bike stops after the fastest clean landing of a jump.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    index : int
        Which jump, from 0.

    Returns
    -------
    StopView or None
        None where there is no stopping answer.
    """
    jump, one = answer.jumps[index], prepare(answer.line).jumps[index]
    stop = jump.stop
    if stop is None or one.terrain.runout_end is None:
        return None
    start = jump.landings[-1].along_face
    brakes = start + stop.reaction
    stands = None if stop.total is None else start + stop.total
    room = start + stop.available
    last = max(value for value in (one.terrain.runout_end, stands, brakes) if value is not None)
    return StopView(
        ground=_along(one, 0.0, last + max(2.0, 0.04 * last), "runout", spacing=max(_SPACING, last / 400)),
        touchdown=_place(one, start),
        brakes=_place(one, brakes),
        stops=None if stands is None else _place(one, stands),
        room_end=_place(one, room),
        end=_place(one, one.terrain.runout_end),
        reaction=_along(one, start, brakes, "reaction"),
        braking=None if stands is None else _along(one, brakes, stands, "braking"),
    )


def impact_curve(answer: Answer, index: int) -> ImpactCurve:
    """The hit of a landing over the lip speeds around the window.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    index : int
        Which jump, from 0.

    Returns
    -------
    ImpactCurve
        From three quarters of the slowest clean speed to a fifth above the fastest one; where there is
        none, around the first speed that reaches the landing.
    """
    jump, one = answer.jumps[index], prepare(answer.line).jumps[index]
    if jump.window.speeds is not None:
        low, high = 0.75 * jump.window.speeds.min, min(1.2 * jump.window.speeds.max, 40.0)
    else:
        tries = _tries(one)
        low, high = 0.75 * tries[0].lip_speed, min(1.2 * tries[-1].lip_speed, 40.0)
    step = max(_STEP, (high - low) / _MOST_SPEEDS)
    first = np.ceil(low / step)
    speed = np.arange(first, np.floor(high / step) + 1) * step
    landed = land(one, speed)
    foot = foot_speeds(one, speed, heights=one.body.height) if one.terrain.lip is not None else ()
    return ImpactCurve(
        speed=tuple(float(v) for v in speed),
        foot=_floats(foot),
        fall_height=tuple(float(h) if np.isfinite(h) else None for h in landed.fall_height),
        outcome=landed.outcomes,
        surface=tuple(str(name) for name in landed.surface),
        limit=one.equivalent_fall,
    )


def _tries(one: Prepared) -> list[LandingResult]:
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
    pieces = ground_pieces(before, "run-in")
    if pieces:
        led = chain(pieces)
        s = _marks(max(0.0, led.end - _BEFORE), led.end, _SPACING)
        x, z = led.point(s)
        parts.append(_stretch("run-in", x - x[-1] + one.terrain.foot_x, z - z[-1] + one.terrain.foot_z))
    else:
        parts.append(_stretch("run-in", one.terrain.foot_x - np.array([_BEFORE, 0.0]), np.full(2, one.terrain.foot_z)))
    if one.terrain.lip is not None:
        parts.append(_stretch("lip", *one.terrain.lip.point(_marks(0.0, one.terrain.lip.end, _SPACING))))
    if one.terrain.shape == "tabletop":
        parts.append(_stretch("deck", np.array([0.0, one.terrain.gap]), np.array([0.0, -one.terrain.drop])))
    else:
        x, z = [0.0, 0.0, one.terrain.gap, one.terrain.gap], [0.0, one.terrain.floor, one.terrain.floor, -one.terrain.drop]
        parts.append(_stretch("gap", np.array(x), np.array(z)))
    exit_end = one.terrain.runout_start
    parts.append(_along(one, 0.0, one.terrain.face, "face"))
    if exit_end > one.terrain.face:
        parts.append(_along(one, one.terrain.face, exit_end, "exit"))
    parts.append(_along(one, exit_end, exit_end + _AFTER, "runout"))
    return tuple(parts)


def _clean(one: Prepared) -> Stretch | None:
    """The stretch of the face where both wheels fit."""
    half = one.rig.wheelbase / 2
    return _along(one, half, one.terrain.face - half, "clean") if one.terrain.face > one.rig.wheelbase else None


def _paths(one: Prepared, named: Sequence[tuple[str, LandingResult]]) -> tuple[Path, ...]:
    """The flown paths of landings; one that rolled off the edge has none."""
    return tuple(path for path, _ in _paths_and_speeds(one, named))


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
    return [
        (Path(name=name, landing=landing, x=_floats(x[row]), z=_floats(z[row])), _floats(speeds[row]))
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


def _along(one: Prepared, start: float, end: float, name: str, *, spacing: float = _SPACING) -> Stretch:
    """A stretch of the landing's ground between two distances from the knuckle [m]."""
    return _stretch(name, *one.terrain.ground.point(_marks(start, end, spacing)))


def _marks(start: float, end: float, spacing: float) -> np.ndarray:
    return np.linspace(start, end, max(2, min(2000, int(np.ceil((end - start) / spacing)) + 1)))


def _place(one: Prepared, s: float) -> tuple[float, float]:
    x, z = one.terrain.ground.point(np.array([s]))
    return float(x[0]), float(z[0])


def _stretch(name: str, x: np.ndarray, z: np.ndarray) -> Stretch:
    return Stretch(name=name, x=_floats(x), z=_floats(z))


def _floats(values: Iterable[float]) -> tuple[float, ...]:
    return tuple(float(value) for value in values)
