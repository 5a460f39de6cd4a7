"""Where a lip speed lands, and the lip speeds that land clean.

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

from jumpcalc.physics import impact
from jumpcalc.physics.body import Body, depart, roll_off_speed
from jumpcalc.physics.flight import touchdown
from jumpcalc.plan.answer import LandingResult, Note
from jumpcalc.plan.course import Course

__all__ = ["FASTEST", "Found", "Landings", "Target", "aim_speed", "find_windows", "land", "longest_run", "targets"]

FASTEST = 40.0  # m/s, end of the search
_GRID = np.concatenate([np.arange(0.25, 3.0, 0.25), np.geomspace(3.0, FASTEST, 46)])  # m/s, first look
_EXACT = 1e-9  # m, tolerance of the outcomes
_INSIDE = 5e-10  # m, tolerance of the search, less, so that its ends are clean to the last rounding
_EDGE = 2e-8  # m/s, width to which the ends of a window are closed in
_OUTCOMES = np.array(["short", "rear short", "clean", "front long", "long"])


@dataclass(frozen=True, slots=True, eq=False)
class Landings:
    """Touchdowns of n lip speeds; arrays of shape (n,).

    `along` is d [m] along face and ground from the knuckle, negative before it; `fall_height` is NaN
    where it does not describe the hit.
    """

    speed: np.ndarray
    outcome: np.ndarray
    surface: np.ndarray
    x: np.ndarray
    z: np.ndarray
    along: np.ndarray
    time: np.ndarray
    apex: np.ndarray
    v_x: np.ndarray
    v_y: np.ndarray
    v_z: np.ndarray
    into: np.ndarray
    onward: np.ndarray
    fall_height: np.ndarray
    drift: np.ndarray

    def result(self, row: int) -> LandingResult:
        """One row as it is shown."""
        wall = bool(np.isnan(self.fall_height[row]))
        flown = self.surface[row] != "edge"

        def known(value: float, there: bool) -> float | None:
            return float(value) if there and np.isfinite(value) else None

        return LandingResult(
            lip_speed=float(self.speed[row]),
            outcome=str(_OUTCOMES[self.outcome[row]]),
            surface=str(self.surface[row]),
            x=float(self.x[row]),
            z=float(self.z[row]),
            along_face=known(self.along[row], self.surface[row] not in ("deck", "floor", "wall", "edge")),
            flight=float(self.time[row]),
            apex=float(self.apex[row]),
            speed=float(np.sqrt(self.v_x[row] ** 2 + self.v_y[row] ** 2 + self.v_z[row] ** 2)),
            descent=float(-np.arctan2(self.v_z[row], self.v_x[row])),
            into_ground=known(self.into[row], not wall and flown),
            along_ground=known(self.onward[row], not wall and flown),
            equivalent_fall=known(self.fall_height[row], flown),
            side_drift=float(self.drift[row]),
        )


def land(
    course: Course,
    speed: np.ndarray,
    *,
    body: Body | None = None,
    angle: np.ndarray | None = None,
    tailwind: np.ndarray | None = None,
    apex: bool = True,
) -> Landings:
    """Touchdowns of lip speeds on a jump.

    Parameters
    ----------
    course : Course
        The jump.
    speed : array_like
        Lip speeds [m/s], more than 0, shape (n,).
    body : Body, optional
        The flying body; the one of the course's path when not given.
    angle : array_like, optional
        Lip angle [rad] instead of the course's.
    tailwind : array_like, optional
        Tailwind [m/s] instead of the course's.
    apex : bool
        Whether the highest place of each path is wanted; NaN where not.

    Returns
    -------
    Landings
        n rows.

    Notes
    -----
    Outcomes: short before the face or on the knuckle's edge; rear short 0 < d < w/2; clean
    w/2 ≤ d ≤ length − w/2; front long up to d = length; long beyond. A hit on a wall or on the
    knuckle's edge is one on a fixed object: no fall height describes it. A bike too slow to fly rolls
    off the edge: short.
    """
    speed = np.atleast_1d(np.asarray(speed, dtype=float))
    body = course.body if body is None else body
    angle = np.broadcast_to(course.angle if angle is None else angle, speed.shape)
    leaving = depart(body, speed, angle=angle, gap=course.gap, fall=course.fall)
    touch = touchdown(
        speed,
        leaving,
        course.ground,
        drag=course.drag,
        tailwind=course.tailwind if tailwind is None else tailwind,
        crosswind=course.crosswind,
        apex=apex,
    )
    piece = touch.piece
    along = course.ground.distance_over(touch.x, piece)
    face = (piece == 1) & ~touch.wall
    along = np.where(touch.wall, 0.0, along)
    half = course.wheelbase / 2
    knuckle = face & (along <= _EXACT)
    outcome = np.select(
        [
            (piece == 0) | touch.wall | knuckle,
            face & (along < half - _EXACT),
            face & (along <= course.face - half + _EXACT),
            face,
        ],
        [0, 1, 2, 3],
        default=4,
    )
    names = np.array(course.ground.names)
    surface = np.select([touch.wall, knuckle], ["wall", "knuckle"], default=names[piece])
    fall = -course.ground.slope_over(touch.x, piece)
    into = impact.into_ground(touch.v_x, touch.v_z, fall=fall)
    solid = touch.wall | knuckle
    height = np.where(solid, np.nan, impact.equivalent_fall(into))
    # a point that is flown off a drop stands for a bike, and that one rolls off
    rolls = speed <= roll_off_speed(course.rolling_body if course.shape == "drop" else body, angle=angle)
    surface = np.where(rolls, "edge", surface)
    still = np.where(rolls, 0.0, 1.0)
    return Landings(
        speed=speed,
        outcome=np.where(rolls, 0, outcome),
        surface=surface,
        x=touch.x * still,
        z=touch.z * still,
        along=np.where(rolls, -course.gap, along),
        time=touch.time * still,
        apex=touch.apex * still,
        v_x=np.where(rolls, speed * np.cos(angle), touch.v_x),
        v_y=touch.v_y * still,
        v_z=np.where(rolls, speed * np.sin(angle), touch.v_z),
        into=np.where(rolls, np.nan, into),
        onward=np.where(rolls, np.nan, impact.along_ground(touch.v_x, touch.v_z, fall=fall)),
        fall_height=np.where(rolls, np.nan, height),
        drift=touch.y * still,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """What counts as landing well: a body, the stretch of the face [m] and the hardest hit [m]."""

    body: Body
    low: float
    high: float
    hardest: float

    def room(self, landings: Landings, rows: slice = slice(None)) -> np.ndarray:
        """How far inside the target each landing is [m]; negative outside."""
        along, outcome = landings.along[rows], landings.outcome[rows]
        place = np.minimum(along - self.low, self.high - along)
        hit = np.where(outcome > 0, self.hardest - np.nan_to_num(landings.fall_height[rows]), 0.0)
        room = np.where((outcome > 0) & (outcome < 4), np.minimum(place, hit), np.minimum(place, -2 * _EXACT))
        # before the knuckle a landing is short even where the deck's length would say otherwise
        return np.where(outcome == 0, np.minimum(along, 0.0) - self.low, room)

    def margin(self, landings: Landings, side: str) -> np.ndarray:
        """The part of the room that ends a run on that side, smooth on the face; NaN off it."""
        if side == "low":
            smooth = landings.along - self.low
        else:
            smooth = np.minimum(self.high - landings.along, self.hardest - landings.fall_height)
        return np.where((landings.outcome > 0) & (landings.outcome < 4), smooth, np.nan)


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """The longest run of lip speeds inside a target [m/s], or why there is none."""

    low: float | None
    high: float | None
    limited_by: str | None
    why_none: Note | None


def targets(course: Course) -> tuple[Target, Target, Target]:
    """The window by the path that decides, the sure part of it, and the window of the textbook's point.

    Parameters
    ----------
    course : Course
        The jump.

    Returns
    -------
    tuple of Target
        Three.
    """
    half, hardest = course.wheelbase / 2, course.equivalent_fall
    clean = {"low": half, "high": course.face - half, "hardest": hardest}
    return (
        Target(body=course.body, **clean),
        Target(
            body=course.body, low=half + course.body_short, high=course.face - half - course.body_long, hardest=hardest
        ),
        Target(body=course.bodies["point"], **clean),
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


def find_windows(course: Course, wanted: Sequence[Target]) -> tuple[Found, ...]:
    """The longest run of lip speeds inside each target, searched in 0 to 40 m/s.

    Parameters
    ----------
    course : Course
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
    grid = _GRID
    scan = _land_each(course, [(body, grid) for body in bodies])
    scans = {body: part for body, part in zip(bodies, scan, strict=True)}
    speeds = [grid] * len(wanted)
    rooms = [target.room(scans[target.body]) for target in wanted]
    for i, target in enumerate(wanted):
        if target.high >= target.low and not (rooms[i] >= -_INSIDE).any():
            speeds[i], rooms[i] = _closer(course, target, grid, rooms[i])
    edges = []
    for i in range(len(wanted)):
        run = longest_run(speeds[i], rooms[i] >= -_INSIDE)
        if run is None:
            continue
        first, last = run
        known = np.concatenate([[1e-6], speeds[i]])
        edges.append(_Edge(i, "low", known[first], known[first + 1]))
        if last + 2 < len(known):
            edges.append(_Edge(i, "high", known[last + 2], known[last + 1]))
    for edge in edges:
        target = wanted[edge.target]
        edge.know(grid, target.margin(scans[target.body], edge.side))
    _close_in(course, wanted, edges)
    ends = {(edge.target, edge.side): edge.inside for edge in edges}
    limits = {edge.target: edge.limit for edge in edges if edge.side == "high"}
    found = []
    for i, target in enumerate(wanted):
        if (i, "low") not in ends:
            found.append(Found(low=None, high=None, limited_by=None, why_none=_why_none(course, target, scans)))
            continue
        found.append(
            Found(
                low=ends[i, "low"],
                high=ends.get((i, "high"), FASTEST),
                limited_by=limits.get(i, "40 m/s"),
                why_none=None,
            )
        )
    return tuple(found)


def _land_each(course: Course, groups: list[tuple[Body, np.ndarray]]) -> list[Landings]:
    """Landings of several bodies, each with its speeds, in one call."""
    counts = [len(speeds) for _, speeds in groups]
    if not sum(counts):
        return []
    all_rows = land(
        course,
        np.concatenate([speeds for _, speeds in groups]),
        body=Body.rows([body for body, _ in groups], counts),
        apex=False,
    )
    starts = np.concatenate([[0], np.cumsum(counts)])
    return [
        Landings(*(getattr(all_rows, name)[a:b] for name in Landings.__slots__))
        for a, b in zip(starts[:-1], starts[1:], strict=True)
    ]


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


def _closer(course: Course, target: Target, speeds: np.ndarray, room: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
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


class _Edge:
    """An end of a run of good speeds: the pair of speeds that encloses it, and the margins known around it."""

    def __init__(self, target: int, side: str, outside: float, inside: float) -> None:
        self.target, self.side, self.outside, self.inside = target, side, outside, inside
        self.limit = "face"
        self.speeds, self.margins = np.empty(0), np.empty(0)

    @property
    def width(self) -> float:
        return abs(self.outside - self.inside)

    def know(self, speeds: np.ndarray, margins: np.ndarray) -> None:
        """Keep the margins of speeds on the face."""
        there = np.isfinite(margins)
        self.speeds = np.concatenate([self.speeds, speeds[there]])
        self.margins = np.concatenate([self.margins, margins[there] + _INSIDE])

    def tries(self) -> np.ndarray:
        """Speeds to look at next: where a polynomial through the nearest known margins ends, and around it."""
        low, high = sorted((self.outside, self.inside))
        nearest = []
        for at in np.argsort(np.abs(self.margins)):
            # closer ones say little more than their rounding
            if len(nearest) < 6 and all(abs(self.speeds[at] - self.speeds[k]) > 1e-4 for k in nearest):
                nearest.append(at)
        margins, speeds = self.margins[nearest], self.speeds[nearest]
        guess = 0.5 * (low + high)
        if len(nearest) > 1 and len(np.unique(margins)) == len(margins):
            # Lagrange's weights of the polynomial at a margin of 0
            apart = margins[:, None] - margins
            np.fill_diagonal(apart, margins)
            weights = np.prod(margins[:, None] / apart, axis=0)
            guess = min(max(float(weights @ speeds), low), high)
        around = np.concatenate([[guess], guess - _SHARES * self.width, guess + _SHARES * self.width])
        spread = low + (high - low) * np.array([0.2, 0.4, 0.6, 0.8])
        tries = np.unique(np.concatenate([around, spread]))
        return tries[(tries > low) & (tries < high)]

    def learn(self, speeds: np.ndarray, good: np.ndarray) -> None:
        """Close in by what was seen between outside and inside."""
        if not len(speeds):
            self.outside = self.inside
            return
        outward = np.argsort(np.abs(speeds - self.inside))
        good = good[outward]
        first_bad = int(np.argmin(good)) if not good.all() else len(good)
        if first_bad < len(good):
            self.outside = float(speeds[outward[first_bad]])
        if first_bad > 0:
            self.inside = float(speeds[outward[first_bad - 1]])


_SHARES = np.array([0.3, 0.1, 3e-2, 1e-2, 1e-3, 1e-4, 1e-6, 1e-8])


def _close_in(course: Course, wanted: Sequence[Target], edges: list[_Edge]) -> None:
    """Close in on the ends of the runs, all of them in the same calls."""
    for _ in range(40):
        active = [edge for edge in edges if edge.width > _EDGE]
        if not active:
            break
        groups = [(wanted[edge.target].body, edge.tries()) for edge in active]
        for edge, (_, speeds), landed in zip(active, groups, _land_each(course, groups), strict=True):
            target = wanted[edge.target]
            edge.know(speeds, target.margin(landed, edge.side))
            edge.learn(speeds, target.room(landed) >= -_INSIDE)
            row = np.nonzero(speeds == edge.inside)[0]
            if len(row):
                edge.limit = _limit(target, landed, row[0])


def _limit(target: Target, landed: Landings, row: int) -> str:
    """What ends a run of good speeds at its fastest landing."""
    return "hit" if target.hardest - landed.fall_height[row] < target.high - landed.along[row] else "face"


def _why_none(course: Course, target: Target, scans: dict[Body, Landings]) -> Note:
    """Why no lip speed is inside a target."""
    scan = scans[target.body]
    if course.face < course.wheelbase:
        return Note(code="face shorter than bike", values=(("length", course.face), ("wheelbase", course.wheelbase)))
    if target.high < target.low:
        return Note(code="posture uses up the landing", values=(("length", course.face),))
    steepness = float(np.arctan2(-course.drop, course.gap))
    if steepness >= course.angle:
        return Note(code="lip points below the knuckle", values=(("angle", course.angle), ("needed", steepness)))
    inside = (scan.along >= target.low) & (scan.along <= target.high) & (scan.outcome > 0) & (scan.outcome < 4)
    fastest = scan.speed[-1]
    if not (scan.outcome > 0).any():
        return Note(code="nothing reaches the landing", values=(("speed", float(fastest)),))
    fine = np.linspace(scan.speed[max(np.argmax(scan.outcome > 0) - 1, 0)], fastest, 400)
    close = land(course, fine, body=target.body)
    inside = (close.along >= target.low) & (close.along <= target.high) & (close.outcome > 0) & (close.outcome < 4)
    if inside.any():
        softest = float(np.nanmin(close.fall_height[inside]))
        return Note(code="every landing hits too hard", values=(("height", softest), ("limit", target.hardest)))
    return Note(code="every path skips the face", values=(("along", float(np.min(close.along[close.outcome > 0]))),))
