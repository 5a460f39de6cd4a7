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
from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.plan.ask.edge import Edge, close_in
from jumpcalc.plan.ask.landings import EXACT, Landings, land, land_each
from jumpcalc.plan.ask.leaving import CARRIED, Style, curve_of
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.terrain import Prepared

__all__ = ["FASTEST", "Found", "Target", "aim_speed", "find_windows", "longest_run", "nothing_sure", "targets"]

FASTEST = 40.0  # m/s, end of the search
_GRID = np.concatenate([np.arange(0.25, 3.0, 0.25), np.geomspace(3.0, FASTEST, 46)])  # m/s, first look
_INSIDE = 5e-10  # m, tolerance of the search, less, so that its ends are clean to the last rounding


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """What counts as landing well: whoever leaves the edge in these styles, the stretch of the face and the hardest hit [m]."""

    styles: tuple[Style, ...]
    low: float
    high: float
    hardest: float

    def room(self, *landed: Landings) -> np.ndarray:
        """How far inside the target each lip speed is [m], by the style that has least; negative outside."""
        return np.minimum.reduce([self._room(one) for one in landed])

    def _room(self, landings: Landings) -> np.ndarray:
        along = landings.along
        place = np.minimum(along - self.low, self.high - along)
        soft = np.isnan(landings.fall_height)
        hit = np.where(landings.reached, self.hardest - np.where(soft, 0.0, landings.fall_height), 0.0)
        room = np.where(landings.on_face, np.minimum(place, hit), np.minimum(place, -2 * EXACT))
        # before the knuckle a landing is short even where the deck's length would say otherwise
        room = np.where(landings.is_(Outcome.SHORT), np.minimum(along, 0.0) - self.low, room)
        return np.where(landings.is_(Outcome.UNKNOWN), -np.inf, room)

    def margin(self, side: str, *landed: Landings) -> np.ndarray:
        """The part of the room that ends a run on that side, smooth on the face for each style; NaN off it."""
        return np.minimum.reduce([self._margin(one, side) for one in landed])

    def _margin(self, landings: Landings, side: str) -> np.ndarray:
        if side == "low":
            smooth = landings.along - self.low
        else:
            smooth = np.minimum(self.high - landings.along, self.hardest - landings.fall_height)
        return np.where(landings.on_face, smooth, np.nan) + _INSIDE

    def end(self, side: str, outside: float, inside: float) -> Edge:
        """The slowest or fastest speed inside the target, ``"low"`` or ``"high"``, between two speeds [m/s]."""
        return Edge(
            self.styles,
            outside,
            inside,
            good=lambda *landed: self.room(*landed) >= -_INSIDE,
            margin=lambda *landed: self.margin(side, *landed),
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

    Notes
    -----
    Sure is what lands clean whether the rider squashes the lip, rides it stiffly or springs off it; off a drop,
    whether the bike rolls off it or the front is carried.
    """
    half, rig = course.rig.wheelbase / 2, course.rig
    clean = {"low": half, "high": course.terrain.face - half, "hardest": course.equivalent_fall}
    own = Style(path=rig.path)
    if course.terrain.shape == "drop":
        sure = tuple(dict.fromkeys((own, Style(), CARRIED)))
    else:
        sure = tuple(dict.fromkeys((own, Style(path=rig.path, spring=-rig.squash), Style(path=rig.path, spring=rig.spring))))
    return Target(styles=(own,), **clean), Target(styles=sure, **clean), Target(styles=(CARRIED,), **clean)


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
    scans = _scanned(course, list(dict.fromkeys(style for target in wanted for style in target.styles)))
    seen = [tuple(scans[style] for style in target.styles) for target in wanted]
    speeds = [landed[0].speed for landed in seen]
    rooms = [target.room(*landed) for target, landed in zip(wanted, seen, strict=True)]
    for i, target in enumerate(wanted):
        if target.high >= target.low and not (rooms[i] >= -_INSIDE).any():
            speeds[i], rooms[i] = _closer(course, target, speeds[i], rooms[i])
    edges = {}
    for i, target in enumerate(wanted):
        run = longest_run(speeds[i], rooms[i] >= -_INSIDE)
        if run is None:
            continue
        first, last = run
        known = np.concatenate([[1e-6 if speeds[i][0] <= _GRID[0] else 0.9 * speeds[i][0]], speeds[i]])
        edges[i, "low"] = target.end("low", known[first], known[first + 1])
        if last + 2 < len(known):
            edges[i, "high"] = target.end("high", known[last + 2], known[last + 1])
    for (i, _), edge in edges.items():
        edge.know(*seen[i])
    close_in(course, list(edges.values()))
    found = []
    for i, target in enumerate(wanted):
        if (i, "low") not in edges:
            found.append(Found(low=None, high=None, limited_by=None, why_none=_why_none(course, target, seen[i])))
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


def nothing_sure(course: Prepared) -> Note:
    """Why no part of a window is clean whatever the rider does.

    Parameters
    ----------
    course : Prepared
        The jump.

    Returns
    -------
    Note
        What squashing and springing use up, or that two riders of a drop have no speed in common.
    """
    code = Code.NO_SPEED_FOR_BOTH_RIDERS if course.terrain.shape == "drop" else Code.THE_RIDER_USES_UP_THE_LANDING
    return Note(code=code, values=(("length", course.terrain.face),))


def _scanned(course: Prepared, styles: list[Style]) -> dict[Style, Landings]:
    """A first look at the landings of each style over the whole range of lip speeds.

    Where the slowest of the speeds whose departure is looked up at once still fall short, slower ones do too.
    """
    swift = curve_of(course).swift if any(style.path == "bike" for style in styles) else 0.0
    grid = _GRID[swift <= _GRID]
    landed = land_each(course, [(style, grid) for style in styles])
    if len(grid) < len(_GRID) and any(one.reached[0] for one in landed):
        landed = land_each(course, [(style, _GRID) for style in styles])
    return dict(zip(styles, landed, strict=True))


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
        # between neighbours, so that none of them is looked at again a rounding apart
        gaps = [k for i in np.sort(best) for k in (i - 1, i) if 0 <= k < len(speeds) - 1]
        around = [np.linspace(speeds[k], speeds[k + 1], 11)[1:-1] for k in gaps]
        extra = np.setdiff1d(np.concatenate(around), speeds)
        extra = extra[extra > 0]
        if not len(extra):
            break
        more = target.room(*land_each(course, [(style, extra) for style in target.styles]))
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
    hit = min(target.hardest - one.fall_height[row] for one in landed)
    return "hit" if hit < min(target.high - one.along[row] for one in landed) else "face"


def _why_none(course: Prepared, target: Target, seen: tuple[Landings, ...]) -> Note:
    """Why no lip speed is inside a target; of several styles, that they have none in common."""
    scan = seen[0]
    if course.terrain.face < course.rig.wheelbase:
        return Note(code=Code.FACE_SHORTER_THAN_BIKE, values=(("length", course.terrain.face), ("wheelbase", course.rig.wheelbase)))
    steepness = float(np.arctan2(-course.terrain.drop, course.terrain.gap))
    if steepness >= course.terrain.angle:
        return Note(code=Code.LIP_POINTS_BELOW_THE_KNUCKLE, values=(("angle", course.terrain.angle), ("needed", steepness)))
    own = replace(target, styles=target.styles[:1])
    if len(seen) > 1 and find_windows(course, (own,))[0].low is not None:
        return nothing_sure(course)
    fastest = scan.speed[-1]
    if not scan.reached.any():
        return Note(code=Code.NOTHING_REACHES_THE_LANDING, values=(("speed", float(fastest)),))
    fine = np.linspace(scan.speed[max(np.argmax(scan.reached) - 1, 0)], fastest, 400)
    close = land(course, fine, style=target.styles[0])
    inside = (close.along >= target.low) & (close.along <= target.high) & close.on_face
    if inside.any():
        softest = float(np.nanmin(close.fall_height[inside]))
        return Note(code=Code.EVERY_LANDING_HITS_TOO_HARD, values=(("height", softest), ("limit", target.hardest)))
    return Note(code=Code.EVERY_PATH_SKIPS_THE_FACE, values=(("along", float(np.min(close.along[close.reached]))),))
