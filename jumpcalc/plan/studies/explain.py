"""Why a landing was short or long: from where the rear wheel hit back to the speed at the edge.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
v        lip speed                                             m/s
x        level distance of the wheels' midpoint from the edge  m
x_r      the same of the rear wheel's contact                  m
d        distance of the midpoint along the face               m
w        wheelbase                                             m
φ        fall of the landing                                   rad
=======  ====================================================  =========

The rear contact lies half a wheelbase behind the wheels' midpoint along the attitude −φ in which the
wheels are set down: x_r = x − ½ w cosφ. On the face that is d − ½ w from the knuckle; on a deck, where
the wheels are not yet set down that far, it is at most 0.1 m off.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.plan.answer import Answer, LandingResult
from jumpcalc.plan.ask.edge import Edge, close_in
from jumpcalc.plan.ask.landings import Landings, land
from jumpcalc.plan.ask.run_in import foot_speeds, run_in_of
from jumpcalc.plan.ask.window import FASTEST
from jumpcalc.plan.inputs.assume import stroke_energy
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.terrain import Prepared, prepare
from jumpcalc.plan.views.side import Stretch, flown, ground_seen

__all__ = [
    "PLACE_DOUBT",
    "WHEEL",
    "Band",
    "Cure",
    "Explanation",
    "Moment",
    "Place",
    "Strip",
    "Why",
    "along_at",
    "cure_of",
    "explain",
    "rear_level",
    "rear_place",
    "strip",
]

PLACE_DOUBT = 0.2  # m, how well a wheel mark is read, assumption
PAST = 0.5  # m past the end of the face, where the hit is looked at again
_LOOK = np.linspace(0.1, FASTEST, 120)  # m/s, first look
_STEPS = (0.1, 0.2, 0.25, 0.3, 0.4, 0.5, 1.0)  # s between moments
WHEEL = 0.34  # m, radius of a wheel as drawn
_IN_GROUND = 0.03  # m that a drawn wheel may be in the ground
_SAME = 1e-8  # m/s
_THERE = 1e-6  # m, how near a found landing has to be to its place


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where the rear wheel hit; one of three ways.

    `level` is the level distance from the lip edge [m]; `along` the distance from the knuckle [m]: positive
    down the face and the ground after it, negative before the knuckle along a deck, level where there is
    none; `wall` says that the bike ran into the near wall of the landing.
    """

    level: float | None = None
    along: float | None = None
    wall: bool = False

    def __post_init__(self) -> None:
        given = [value for value in (self.level, self.along) if value is not None]
        if len(given) + self.wall != 1:
            raise InputError("give one of level, along and wall", key="place")
        if not all(math.isfinite(value) and abs(value) <= 200 for value in given):
            raise InputError(f"{given[0]} m; allowed −200 to 200 m", key="place")


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A span of speed with the most likely one in it [m/s]."""

    low: float
    mid: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """What makes the difference at this jump.

    `slow` is how much slower than the aim [share], negative for faster; `squared` how much shorter a
    flight without air is for that, 1 − (v/v_aim)²; `short` how much shorter [m] the landing is, level.
    `drag` [m] is what still air takes off the aim's flight, `wind` [m] what the wind adds to it, `per_wind`
    what a tailwind would [m per m/s].
    """

    slow: float
    squared: float
    short: float
    drag: float
    wind: float
    per_wind: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Cure:
    """The smallest changes. Positive: faster, further up.

    `to_clean` and `to_aim` [m/s] at the edge, `foot` [m/s] to the aim just before the lip; `run_in` [m]
    how much further up to start, None where that is not known; `strokes` that make up for it, None where it
    was too fast or a stroke gives nothing; `fit` how many more fit, None where that is not known.
    """

    to_clean: float
    to_aim: float
    foot: float
    run_in: float | None
    strokes: int | None
    fit: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """A landing explained; all but `place` and `why_none` are None where `why_none` says why.

    `rear` is the level distance of the rear contact from the edge [m]; `along` and `aim_along` [m] are those of
    their and the aim's from the knuckle, as in `Place`, `along` None on the near wall; `face` is the length of the
    landing. `lip` and `foot` span posture and the reading of the place, `normal` the reading alone: the lip ridden
    as the model has it. `wall` is the range of lip speeds that hit the near wall [m/s], given for that
    place. `end_hit` and `past_hit` are the fall heights [m] at the end of the face and half a metre further
    (by the midpoint), None where no speed lands there.
    """

    place: Place
    why_none: Note | None = None
    lip: Band | None = None
    normal: Band | None = None
    foot: Band | None = None
    wall: tuple[float, float] | None = None
    landing: LandingResult | None = None
    aim: LandingResult | None = None
    shape: str | None = None
    face: float | None = None
    rear: float | None = None
    along: float | None = None
    aim_along: float | None = None
    why: Why | None = None
    end_hit: float | None = None
    past_hit: float | None = None

    @property
    def verdict(self) -> str:
        """``"too slow"``, ``"too fast"`` or ``"about right"``, the lip ridden normally."""
        if self.aim.lip_speed > self.normal.high:
            return "too slow"
        return "too fast" if self.aim.lip_speed < self.normal.low else "about right"

    @property
    def off(self) -> tuple[float, float]:
        """By how much the speed differed from the aim [m/s], least and most, the lip ridden normally."""
        return _off(self.normal, self.aim.lip_speed)

    @property
    def posture_explains(self) -> bool:
        """Whether the aim's speed lies in the span that posture leaves open."""
        return self.lip.low <= self.aim.lip_speed <= self.lip.high


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """Wheels' contacts and rider at one time [s] of a flight; places (x, z) [m] from the lip edge."""

    time: float
    rear: tuple[float, float]
    front: tuple[float, float]
    rider: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """Two flights over the same ground as moments at equal times `step` [s] apart, the last one at touchdown.

    `mark` is where their rear wheel hit.
    """

    ground: tuple[Stretch, ...]
    step: float
    aim: tuple[Moment, ...]
    theirs: tuple[Moment, ...]
    mark: tuple[float, float]


def explain(answer: Answer, index: int, place: Place, *, doubt: float = PLACE_DOUBT) -> Explanation:
    """The lip speed that puts the rear wheel at a place, as a span, and why it is not the aim.

    Parameters
    ----------
    answer : Answer
        What `solve` or `solve_jumps` gave.
    index : int
        Which jump, from 0.
    place : Place
        Where the rear wheel hit.
    doubt : float
        How far off the place may be read [m].

    Returns
    -------
    Explanation
        With `why_none` where the jump has no aim, or no speed puts the rear wheel there.

    Notes
    -----
    The rear contact is the wheels' midpoint less half a wheelbase along the attitude −φ. The span is the
    posture band (`skill.body_short`, `skill.body_long`) and the doubt of the place, added and turned into
    speed by the landing's metres per m/s: a rider whose posture landed them short was faster than the place
    says. For the near wall it is the range of speeds that hit it, widened by posture alone.
    """
    jump, one = answer.jumps[index], prepare(answer.line).jumps[index]
    if jump.window.speeds is None:
        return Explanation(place=place, why_none=Note(code=Code.NO_AIM))
    aim, level = jump.landings[1], None if place.wall else rear_level(one, place)
    first, over, at_end, past = _edges(one, level)
    wall, mid = None, None if first is None else first.inside
    if place.wall and first is not None and over is not None:
        wall = first.inside, over.outside
        mid = 0.5 * sum(wall)
    air = one.conditions
    today, calm, vacuum = (air.drag, air.tailwind, air.crosswind), (air.drag, 0.0, 0.0), (0.0, 0.0, 0.0)
    flights = [
        (1.0 if mid is None else mid, *today),
        (1.0 if at_end is None else at_end.outside, *today),
        (1.0 if past is None else past.inside, *today),
        (aim.lip_speed, *calm),
        (aim.lip_speed, *vacuum),
    ]
    speed, drag, tailwind, crosswind = zip(*flights, strict=True)
    landed = land(one, speed, drag=drag, tailwind=tailwind, crosswind=crosswind)
    landing, *hits = (landed.result(row) for row in range(3))
    still_x, vacuum_x = (float(x) for x in landed.x[3:])
    if place.wall:
        if wall is None or landing.surface != "wall":
            return Explanation(place=place, why_none=Note(code=Code.NO_NEAR_WALL))
        shifts = (0.0, -one.rig.body_long, 0.0, one.rig.body_short)
        normal_low, low, *_ = _shifted(one, first.outside, shifts)
        *_, normal_high, high = _shifted(one, over.inside, shifts)
    else:
        if mid is None or abs(_rear(one, landing.x) - level) > _THERE:
            return Explanation(place=place, why_none=Note(code=Code.NO_SPEED_LANDS_THERE, values=(("level", level),)))
        shifts = (-doubt, -doubt - one.rig.body_long, doubt, doubt + one.rig.body_short)
        normal_low, low, normal_high, high = _shifted(one, mid, shifts)
    normal, lip = Band(low=normal_low, mid=mid, high=normal_high), Band(low=low, mid=mid, high=high)
    feet = [float(v) for v in foot_speeds(one, [lip.low, mid, lip.high], heights=one.body.height)]
    return Explanation(
        place=place,
        lip=lip,
        normal=normal,
        foot=Band(low=feet[0], mid=feet[1], high=feet[2]),
        wall=wall,
        landing=landing,
        aim=aim,
        rear=float(_rear(one, landing.x)),
        shape=one.terrain.shape,
        face=one.terrain.face,
        along=rear_place(one, landing).along,
        aim_along=rear_place(one, aim).along,
        why=_why(aim, landing, still_x, vacuum_x, jump.sensitivity.per_wind),
        end_hit=None if at_end is None else hits[0].equivalent_fall,
        past_hit=None if past is None else hits[1].equivalent_fall,
    )


def rear_level(one: Prepared, place: Place) -> float:
    """Level distance of a place from the lip edge; not for the wall.

    Parameters
    ----------
    one : Prepared
        The jump.
    place : Place
        By level distance or from the knuckle.

    Returns
    -------
    float
        Distance [m].
    """
    return place.level if place.level is not None else float(one.terrain.ground.point(np.array(place.along))[0])


def rear_place(one: Prepared, landing: LandingResult) -> Place:
    """Where the rear wheel of a landing touches, from the knuckle; the near wall for one that hit it.

    Parameters
    ----------
    one : Prepared
        The jump.
    landing : LandingResult
        One touchdown.

    Returns
    -------
    Place
        The place that `explain` takes back to the landing's speed.
    """
    if landing.surface == "wall":
        return Place(wall=True)
    return Place(along=along_at(one, float(_rear(one, landing.x))))


def along_at(one: Prepared, level: float) -> float:
    """Distance along the ground from the knuckle of a level distance from the edge.

    Parameters
    ----------
    one : Prepared
        The jump.
    level : float
        Level distance from the lip edge [m].

    Returns
    -------
    float
        Distance [m], negative before the knuckle; level where there is no deck.
    """
    piece = np.array([max(int(np.searchsorted(one.terrain.ground.x, level, side="right")) - 1, 0)])
    return float(one.terrain.ground.distance_over(np.array([level]), piece)[0])


def _rear(one: Prepared, x: np.ndarray) -> np.ndarray:
    """Level distance of the rear contact for that of the midpoint [m]."""
    return x - 0.5 * one.rig.wheelbase * math.cos(one.terrain.fall)


def _edges(one: Prepared, level: float | None) -> list[Edge | None]:
    """The first lip speeds that put the rear wheel at a level distance [m], or that hit and clear the near wall.

    Four, None where no speed does or the slowest does: at the place, or into the wall and over it; at the end of the
    face, and a little past it.
    """

    def never(landed: Landings) -> np.ndarray:
        # nothing tells how far a path is from the wall: halved until it is found
        return np.full(len(landed.speed), np.nan)

    def over_wall(landed: Landings) -> np.ndarray:
        # the knuckle's very edge is neither wall nor face
        return np.where(landed.reached, landed.along, np.nan)

    def there(landed: Landings) -> np.ndarray:
        known = (landed.surface != "wall") & (landed.surface != "edge")
        return np.where(known, _rear(one, landed.x) - level, np.nan)

    def beyond(past: float) -> tuple[Callable[[Landings], np.ndarray], Callable[[Landings], np.ndarray]]:
        def over_by(landed: Landings) -> np.ndarray:
            return np.where(landed.reached, landed.along - one.terrain.face - past, np.nan)

        return lambda landed: over_by(landed) >= 0, over_by

    wanted = [
        (lambda landed: (landed.surface == "wall") | landed.reached, never),
        (lambda landed: landed.reached, over_wall),
    ]
    if level is not None:
        wanted = [(lambda landed: _rear(one, landed.x) >= level, there), None]
    landed = land(one, _LOOK, apex=False)
    edges: list[Edge | None] = []
    for pair in (*wanted, beyond(0.0), beyond(PAST)):
        met = np.zeros(len(_LOOK), bool) if pair is None else pair[0](landed)
        at = int(np.argmax(met))
        edge = None if at == 0 else Edge(one.body, _LOOK[at - 1], _LOOK[at], good=pair[0], margin=pair[1])
        if edge is not None:
            edge.know(landed)
        edges.append(edge)
    close_in(one, [edge for edge in edges if edge is not None])
    return edges


def _shifted(one: Prepared, speed: float, shifts: Sequence[float]) -> tuple[float, ...]:
    """Speeds that land so much further along the ground [m] than this one does.

    Across a near wall places and speeds do not go together: there the ground on this side of it is taken to go on.
    """
    tries = np.unique(np.append(np.linspace(0.5, 1.6, 111) * speed, speed))
    tries = tries[tries <= FASTEST]
    landed = land(one, tries)
    flown = (landed.surface != "edge") & (landed.surface != "wall")
    if (landed.surface == "wall").any():
        reached = landed.reached
        flown &= (landed.surface != "knuckle") & (reached == reached[np.searchsorted(tries, speed)])
    tries, along = tries[flown], landed.along[flown]
    if len(tries) < 2:
        return tuple(speed for _ in shifts)
    at = np.interp(speed, tries, along)
    found = []
    for shift in shifts:
        end = (0, 1) if shift < 0 else (-2, -1)
        outer = end[0] if shift < 0 else end[1]
        past = at + shift - along[outer]
        if past * shift > 0:
            per = (along[end[1]] - along[end[0]]) / (tries[end[1]] - tries[end[0]])
            found.append(max(float(tries[outer] + past / per), 0.0))
        else:
            found.append(float(np.interp(at + shift, along, tries)))
    return tuple(found)


def _off(band: Band, aim: float) -> tuple[float, float]:
    least, most = sorted((abs(aim - band.low), abs(aim - band.high)))
    return (0.0, most) if band.low <= aim <= band.high else (least, most)


def _why(aim: LandingResult, landing: LandingResult, still: float, vacuum: float, per_wind: float) -> Why:
    """The parts of the difference, each by leaving one thing out of the aim's flight: where that lands, level [m]."""
    ratio = landing.lip_speed / aim.lip_speed
    return Why(
        slow=1 - ratio,
        squared=1 - ratio**2,
        short=aim.x - landing.x,
        drag=vacuum - still,
        wind=aim.x - still,
        per_wind=per_wind,
    )


def cure_of(answer: Answer, index: int, explained: Explanation) -> Cure:
    """The smallest changes to a clean landing and to the aim.

    Parameters
    ----------
    answer : Answer
        What `solve` gave; without run-in and ride, the cure knows nothing of them.
    index : int
        Which jump, from 0.
    explained : Explanation
        One with a landing.

    Returns
    -------
    Cure
        By speed, by start mark, by strokes.
    """
    jump, line = answer.jumps[index], answer.complete
    mid, foot = explained.normal.mid, explained.foot.mid
    speeds = jump.window.speeds
    run_in = run_in_of(prepare(answer.line)) if index == 0 else None
    moved = fit = strokes = None
    if run_in is not None and jump.run_in is not None and jump.run_in.marks[1] is not None:
        start = float(run_in.starts(np.array([mid]), run_in.roller())[0])
        moved = jump.run_in.marks[1] - (run_in.foot - start) if math.isfinite(start) else None
    each = stroke_energy(line)
    if mid < speeds.aim - _SAME and each > 0:
        # drag on the way is left out: where the stroke is made is not known
        strokes = max(0, math.ceil((jump.window.foot.aim**2 - foot**2) / 2 / each - 1e-9))
    if run_in is not None and jump.run_in is not None and jump.run_in.strokes is not None:
        fit = max(0, jump.run_in.strokes.fit - jump.run_in.strokes.made)
    to_clean = min(max(mid, speeds.min), speeds.max) - mid
    return Cure(
        to_clean=to_clean if abs(to_clean) > _SAME else 0.0,
        to_aim=speeds.aim - mid,
        foot=jump.window.foot.aim - foot,
        run_in=moved,
        strokes=strokes,
        fit=fit,
    )


def strip(answer: Answer, index: int, explained: Explanation, *, step: float | None = None) -> Strip:
    """The aim's flight and theirs as a strip of moments.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    index : int
        Which jump, from 0.
    explained : Explanation
        One with a landing.
    step : float, optional
        Time between moments [s]; else so much that bikes side by side do not overlap.

    Returns
    -------
    Strip
        At the last moment the bike stands on the ground where its rear wheel touches; at a wall it is the latest
        moment at which no wheel is in the ground.
    """
    one = prepare(answer.line).jumps[index]
    pace = (one.rig.wheelbase + 1.6 * WHEEL) / max(explained.aim.lip_speed * math.cos(one.terrain.angle), 0.1)
    step = step or next((value for value in _STEPS if value >= pace), _STEPS[-1])
    aim, theirs = (_moments(answer, one, landing, step) for landing in (explained.aim, explained.landing))
    mark = theirs[-1].rear
    if explained.landing.surface == "wall":
        mark = one.terrain.gap, min(theirs[-1].front[1], -one.terrain.drop)
    return Strip(ground=ground_seen(answer.complete, one, index), step=step, aim=aim, theirs=theirs, mark=mark)


def _moments(answer: Answer, one: Prepared, landing: LandingResult, step: float) -> tuple[Moment, ...]:
    """One flight at equal time steps and at its end."""
    if landing.flight <= 0:
        return ()
    leaving, flight = flown(one, [landing])

    def seen(times: np.ndarray) -> tuple[np.ndarray, ...]:
        place = flight.at(times[None, :])[0][0]
        x, z = leaving.wheels(place[:, 0], place[:, 2])
        attitude, _ = leaving.hangs(place[:, 0])
        # the point's path has no height of its own: its rider is drawn as high as any
        height = answer.complete.rider.centre_of_mass_height if one.body.height == 0 else leaving.height
        across, up = 0.5 * one.rig.wheelbase * np.cos(attitude), 0.5 * one.rig.wheelbase * np.sin(attitude)
        return x - across, z - up, x + across, z + up, x - height * np.sin(attitude), z + height * np.cos(attitude)

    if landing.surface == "wall":
        times = np.linspace(0.0, landing.flight, 200)
        _, _, x, z, *_ = seen(times)
        end = float(times[np.nonzero((x < one.terrain.gap) | (z >= -one.terrain.drop - _IN_GROUND))[0][-1]])
    else:
        end = landing.flight
    at = np.append(np.arange(0.0, max(end - 0.5 * step, 1e-9), step), end)
    made = [
        Moment(time=float(t), rear=(rx, rz), front=(fx, fz), rider=(x, z))
        for t, rx, rz, fx, fz, x, z in zip(at, *(part.tolist() for part in seen(at)), strict=True)
    ]
    if landing.surface not in ("wall", "face") or (landing.outcome is Outcome.REAR_SHORT and one.terrain.shape == "tabletop"):
        height = math.dist(made[-1].rider, (landing.x, landing.z))
        made[-1] = _standing(one, float(_rear(one, landing.x)), end, height=height)
    return tuple(made)


def _standing(one: Prepared, level: float, time: float, *, height: float) -> Moment:
    """A bike with both wheels on the ground, its rear one at a level distance from the edge [m]."""
    s = rear_s = float(along_at(one, level))
    rear = tuple(float(v) for v in one.terrain.ground.point(np.array(rear_s)))
    for _ in range(30):
        # the chord between the wheels is shorter than the ground under them
        front = tuple(float(v) for v in one.terrain.ground.point(np.array(s)))
        s += one.rig.wheelbase - math.dist(front, rear)
    across, up = ((b - a) / one.rig.wheelbase for a, b in zip(rear, front, strict=True))
    middle = 0.5 * (rear[0] + front[0]), 0.5 * (rear[1] + front[1])
    return Moment(time=time, rear=rear, front=front, rider=(middle[0] - height * up, middle[1] + height * across))
