"""The lip speeds that land clean.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
d        distance along the face from the knuckle              m
w        wheelbase                                             m
h        equivalent fall height                                m
room     how far inside the window a landing is: the least     m
         of d − d_low, d_high − d and h_limit − h
=======  ====================================================  =========
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jumpcalc.physics.body import Body
from jumpcalc.plan.ask.edge import Edge, close_in
from jumpcalc.plan.ask.landings import EXACT, Landings, land, land_each
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.terrain import Prepared

__all__ = ["FASTEST", "Found", "Target", "aim_speed", "find_windows", "longest_run", "targets"]

FASTEST = 40.0  # m/s, end of the search
_GRID = np.concatenate([np.arange(0.25, 3.0, 0.25), np.geomspace(3.0, FASTEST, 46)])  # m/s, first look
_INSIDE = 5e-10  # m, tolerance of the search, less, so that its ends are clean to the last rounding


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """What counts as landing well: a body, the stretch of the face [m] and the hardest hit [m]."""

    body: Body
    low: float
    high: float
    hardest: float

    def room(self, landings: Landings) -> np.ndarray:
        """How far inside the target each landing is [m]; negative outside."""
        along = landings.along
        place = np.minimum(along - self.low, self.high - along)
        hit = np.where(landings.reached, self.hardest - np.nan_to_num(landings.fall_height), 0.0)
        room = np.where(landings.on_face, np.minimum(place, hit), np.minimum(place, -2 * EXACT))
        # before the knuckle a landing is short even where the deck's length would say otherwise
        room = np.where(landings.is_(Outcome.SHORT), np.minimum(along, 0.0) - self.low, room)
        return np.where(landings.is_(Outcome.UNKNOWN), -np.inf, room)

    def margin(self, landings: Landings, side: str) -> np.ndarray:
        """The part of the room that ends a run on that side, smooth on the face; NaN off it."""
        if side == "low":
            smooth = landings.along - self.low
        else:
            smooth = np.minimum(self.high - landings.along, self.hardest - landings.fall_height)
        return np.where(landings.on_face, smooth, np.nan) + _INSIDE

    def end(self, side: str, outside: float, inside: float) -> Edge:
        """The slowest or fastest speed inside the target, ``"low"`` or ``"high"``, between two speeds [m/s]."""
        return Edge(
            self.body,
            outside,
            inside,
            good=lambda landed: self.room(landed) >= -_INSIDE,
            margin=lambda landed: self.margin(landed, side),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """The longest run of lip speeds inside a target [m/s], or why there is none."""

    low: float | None
    high: float | None
    limited_by: str | None
    why_none: Note | None


def targets(course: Prepared) -> tuple[Target, Target, Target]:
    """The window by the path that decides, the sure part of it, and the window of the textbook's point.

    Parameters
    ----------
    course : Prepared
        The jump.

    Returns
    -------
    tuple of Target
        Three.
    """
    half, hardest = course.rig.wheelbase / 2, course.equivalent_fall
    clean = {"low": half, "high": course.terrain.face - half, "hardest": hardest}
    return (
        Target(body=course.body, **clean),
        Target(
            body=course.body, low=half + course.rig.body_short, high=course.terrain.face - half - course.rig.body_long, hardest=hardest
        ),
        Target(body=course.rig.bodies["point"], **clean),
    )


def aim_speed(slowest: float, fastest: float) -> float:
    """The lip speed to aim at: the middle of a narrow window, a tenth above the slowest in a wide one.

    Parameters
    ----------
    slowest, fastest : float
        Ends of the window [m/s].

    Returns
    -------
    float
        min((v_min + v_max)/2, v_min/0.9) [m/s].

    Examples
    --------
    >>> aim_speed(9.0, 20.0)
    10.0
    """
    return min((slowest + fastest) / 2, slowest / 0.9)


def find_windows(course: Prepared, wanted: Sequence[Target]) -> tuple[Found, ...]:
    """The longest run of lip speeds inside each target, searched in 0 to 40 m/s.

    Parameters
    ----------
    course : Prepared
        The jump.
    wanted : sequence of Target
        What counts as landing well.

    Returns
    -------
    tuple of Found
        One for each target; the ends are limits from inside.

    Notes
    -----
    A scan over the whole range; where no scanned speed is inside, a closer look around each local best;
    then both ends are closed in, all of them in the same calls.
    """
    bodies = list(dict.fromkeys(target.body for target in wanted))
    scan = land_each(course, [(body, _GRID) for body in bodies])
    scans = {body: part for body, part in zip(bodies, scan, strict=True)}
    speeds = [_GRID] * len(wanted)
    rooms = [target.room(scans[target.body]) for target in wanted]
    for i, target in enumerate(wanted):
        if target.high >= target.low and not (rooms[i] >= -_INSIDE).any():
            speeds[i], rooms[i] = _closer(course, target, _GRID, rooms[i])
    edges = {}
    for i, target in enumerate(wanted):
        run = longest_run(speeds[i], rooms[i] >= -_INSIDE)
        if run is None:
            continue
        first, last = run
        known = np.concatenate([[1e-6], speeds[i]])
        edges[i, "low"] = target.end("low", known[first], known[first + 1])
        if last + 2 < len(known):
            edges[i, "high"] = target.end("high", known[last + 2], known[last + 1])
    for edge in edges.values():
        edge.know(scans[edge.body])
    close_in(course, list(edges.values()))
    found = []
    for i, target in enumerate(wanted):
        if (i, "low") not in edges:
            found.append(Found(low=None, high=None, limited_by=None, why_none=_why_none(course, target, scans)))
            continue
        found.append(
            Found(
                low=edges[i, "low"].inside,
                high=edges[i, "high"].inside if (i, "high") in edges else FASTEST,
                limited_by=_limit(target, edges[i, "high"]) if (i, "high") in edges else "40 m/s",
                why_none=None,
            )
        )
    return tuple(found)


def longest_run(speeds: np.ndarray, good: np.ndarray) -> tuple[int, int] | None:
    """First and last index of the run of good speeds that spans most.

    Parameters
    ----------
    speeds : numpy.ndarray
        Speeds in order [m/s], shape (n,).
    good : numpy.ndarray
        Whether each is good, of bool, shape (n,).

    Returns
    -------
    tuple of int or None
        None where no speed is good.
    """
    marks = np.diff(np.concatenate([[0], good.astype(int), [0]]))
    starts, stops = np.nonzero(marks == 1)[0], np.nonzero(marks == -1)[0] - 1
    if not len(starts):
        return None
    at = np.argmax(speeds[stops] - speeds[starts] + 1e-12 * (stops - starts))
    return int(starts[at]), int(stops[at])


def _closer(course: Prepared, target: Target, speeds: np.ndarray, room: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """A finer look around each local best of a scan in which nothing was good."""
    for _ in range(5):
        padded = np.concatenate([[-np.inf], room, [-np.inf]])
        best = np.nonzero((padded[1:-1] >= padded[:-2]) & (padded[1:-1] >= padded[2:]))[0]
        best = best[np.argsort(room[best])[-4:]]
        around = [
            np.linspace(speeds[max(i - 1, 0)], speeds[min(i + 1, len(speeds) - 1)], 21)[1:-1] for i in np.sort(best)
        ]
        extra = np.setdiff1d(np.concatenate(around), speeds)
        extra = extra[extra > 0]
        if not len(extra):
            break
        more = target.room(land(course, extra, body=target.body))
        speeds, room = np.concatenate([speeds, extra]), np.concatenate([room, more])
        order = np.argsort(speeds)
        speeds, room = speeds[order], room[order]
        if (more >= -_INSIDE).any():
            break
    return speeds, room


def _limit(target: Target, edge: Edge) -> str:
    """What ends a run of good speeds at its fastest landing."""
    if edge.last is None:
        return "face"
    landed, row = edge.last
    return "hit" if target.hardest - landed.fall_height[row] < target.high - landed.along[row] else "face"


def _why_none(course: Prepared, target: Target, scans: dict[Body, Landings]) -> Note:
    """Why no lip speed is inside a target."""
    scan = scans[target.body]
    if course.terrain.face < course.rig.wheelbase:
        return Note(code=Code.FACE_SHORTER_THAN_BIKE, values=(("length", course.terrain.face), ("wheelbase", course.rig.wheelbase)))
    if target.high < target.low:
        return Note(code=Code.POSTURE_USES_UP_THE_LANDING, values=(("length", course.terrain.face),))
    steepness = float(np.arctan2(-course.terrain.drop, course.terrain.gap))
    if steepness >= course.terrain.angle:
        return Note(code=Code.LIP_POINTS_BELOW_THE_KNUCKLE, values=(("angle", course.terrain.angle), ("needed", steepness)))
    inside = (scan.along >= target.low) & (scan.along <= target.high) & scan.on_face
    fastest = scan.speed[-1]
    if not scan.reached.any():
        return Note(code=Code.NOTHING_REACHES_THE_LANDING, values=(("speed", float(fastest)),))
    fine = np.linspace(scan.speed[max(np.argmax(scan.reached) - 1, 0)], fastest, 400)
    close = land(course, fine, body=target.body)
    inside = (close.along >= target.low) & (close.along <= target.high) & close.on_face
    if inside.any():
        softest = float(np.nanmin(close.fall_height[inside]))
        return Note(code=Code.EVERY_LANDING_HITS_TOO_HARD, values=(("height", softest), ("limit", target.hardest)))
    return Note(code=Code.EVERY_PATH_SKIPS_THE_FACE, values=(("along", float(np.min(close.along[close.reached]))),))
