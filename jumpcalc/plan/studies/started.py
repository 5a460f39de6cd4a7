"""Whether a landing fits the start it began from: the run-in ridden from there, and what would bring the two together."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.physics.rolling import roll
from jumpcalc.plan.answer import Answer, LandingResult
from jumpcalc.plan.ask.from_mark import from_mark
from jumpcalc.plan.ask.inverse import rear_contact, rear_place
from jumpcalc.plan.ask.landings import Landings, land
from jumpcalc.plan.ask.lip import climb
from jumpcalc.plan.ask.run_in import RunIn, run_in_of
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.studies.explain import Explanation
from jumpcalc.plan.terrain import Prepared, prepare

__all__ = ["DRAGGED", "Reason", "Start", "Started", "fastest_of", "started"]

DRAGGED = 0.3  # share of firm braking that a dragging brake is taken for; a judgement, no source
_DIRT = np.linspace(0.5, 2.0, 31)  # of the rolling resistance; a judgement, no source
_WIND = np.linspace(-3.0, 3.0, 31)  # m/s more from behind; leaves and twigs move at the ends
_TILTS = np.linspace(-2.0, 2.0, 31)  # of what slopes are measured to
_MARKS = np.linspace(-1.0, 1.0, 31)  # m, how far off a start mark is remembered; a judgement, no source
_DRAGS = np.linspace(0.1, 5.0, 50)  # m before the lip that brakes drag
_SPRINGS = np.linspace(-1.0, 1.0, 31)  # of what a rider may add at the lip
_ROLLED = 1e-3  # m/s, stands for a bike that does not leave the edge
_CLOSE = 0.03  # m, how near to the place that was seen what explains it has to land


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """From where they started [m before the foot of the first lip] and with how many strokes, as far as it is known."""

    mark: float | None = None
    strokes: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One thing that alone would land them where they landed.

    `what` is ``"dirt"`` (`by` the share of rolling resistance that is added), ``"wind"`` (wind from behind that is added
    [m/s]), ``"slope"`` (how much flatter the run-in is [rad]), ``"mark"`` (how much further up they started [m]), ``"brakes"``
    (how far before the lip they dragged [m]) or ``"body"`` (what the rider added across the lip [m/s]).
    """

    what: str
    by: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Started:
    """A start and the landing that it gives.

    `foot_speed` and `landing` are None where the bike halts before the edge; `why_none` says why a start gives nothing at all.
    `along` is where the rear wheel would touch, as in `Place`, None where the bike rolls off the edge too. `reasons` are given
    where the landing does not fit; `usual` says that it is no further off than what a rider does at the lip may bring.
    """

    mark: float
    strokes: int
    why_none: Note | None = None
    foot_speed: float | None = None
    landing: LandingResult | None = None
    along: float | None = None
    fits: bool = False
    usual: bool = False
    reasons: tuple[Reason, ...] = ()


def fastest_of(answer: Answer, strokes: int | None = None) -> tuple[float, int] | None:
    """The fastest that the first edge can be left on its run-in: from the top, with all strokes that fit.

    Parameters
    ----------
    answer : Answer
        What `solve` or `solve_jumps` gave.
    strokes : int, optional
        How many were made, where that is known.

    Returns
    -------
    speed : float
        Lip speed [m/s], 0 where the bike halts; None in place of both where the run-in is not measured.
    strokes : int
        With how many.
    """
    run_in = run_in_of(prepare(answer.line))
    if run_in is None:
        return None
    fit = run_in.most_strokes(0.0)
    run_in = replace(run_in, strokes=fit if strokes is None else min(strokes, fit))
    return float(np.nan_to_num(run_in.forward(np.zeros(1), run_in.roller())[1][0])), run_in.strokes


def started(answer: Answer, index: int, explained: Explanation, start: Start) -> Started | None:
    """What the run-in gives from where they started, and whether that is the landing that was seen.

    Parameters
    ----------
    answer : Answer
        What `solve` or `solve_jumps` gave.
    index : int
        Which jump, from 0.
    explained : Explanation
        One with a landing.
    start : Start
        Where they started.

    Returns
    -------
    Started or None
        None where the mark or the run-in is not known, and after the first jump.

    Notes
    -----
    It fits where the speed that the start gives lies within the reading of the place, the lip ridden stiffly. Each reason is
    ridden and flown by itself, over sizes that are plausible, and once more with the size that was found.
    """
    prepared = prepare(answer.line)
    run_in = run_in_of(prepared)
    if index > 0 or run_in is None or start.mark is None:
        return None
    one = prepared.jumps[0]
    strokes = run_in.strokes if start.strokes is None else start.strokes
    run_in = replace(run_in, strokes=strokes)
    if not 0 < start.mark <= run_in.foot + 1e-9:
        values = (("mark", start.mark), ("top", run_in.foot))
        return Started(mark=start.mark, strokes=strokes, why_none=Note(code=Code.STARTED_OFF_THE_RUN_IN, values=values))
    at = max(run_in.foot - start.mark, 0.0)
    if not run_in.fits(at):
        values = (("made", strokes), ("fit", run_in.most_strokes(at)), ("mark", start.mark))
        return Started(mark=start.mark, strokes=strokes, why_none=Note(code=Code.MORE_STROKES_THAN_FIT, values=values))
    ridden = from_mark(answer.line, start.mark, strokes=strokes)
    fits = usual = False
    along = None
    if ridden.landing is not None:
        along = None if ridden.landing.surface == "edge" else rear_place(one, ridden.landing).along
        fits = explained.normal.low <= ridden.lip_speed <= explained.normal.high
        usual = explained.lip.low <= ridden.lip_speed <= explained.lip.high
        if explained.wall is not None:
            fits = usual = ridden.landing.surface == "wall"
    return Started(
        mark=start.mark,
        strokes=strokes,
        foot_speed=ridden.foot_speed,
        landing=ridden.landing,
        along=along,
        fits=fits,
        usual=usual,
        reasons=() if fits else _reasons(one, run_in, at, explained, ridden.lip_speed, answer.complete.run_in.slope_accuracy),
    )


def _reasons(
    one: Prepared, run_in: RunIn, at: float, seen: Explanation, edge: float | None, accuracy: float
) -> tuple[Reason, ...]:
    """What would explain a landing, each alone; in the order in which it is looked at."""
    tries = {"dirt": _DIRT - 1.0}
    if edge is not None and edge > seen.normal.mid and run_in.braking is not None:
        tries["brakes"] = _DRAGS[run_in.foot - _DRAGS > at]
    if edge is not None:
        tries["body"] = np.where(_SPRINGS < 0, one.rig.squash, one.rig.spring) * _SPRINGS
    tries |= {"wind": _WIND, "slope": accuracy * _TILTS, "mark": _MARKS[(at - _MARKS >= 0) & (at - _MARKS < run_in.foot)]}
    sizes = {
        what: size
        for what, landed in _landed(one, run_in, at, tries).items()
        if (size := _size(one, tries[what], landed, seen)) is not None
    }
    again = _landed(one, run_in, at, {what: np.array([size]) for what, size in sizes.items()})
    return tuple(Reason(what=what, by=size) for what, size in sizes.items() if _there(one, again[what], seen))


def _off(one: Prepared, landed: Landings, seen: Explanation) -> np.ndarray:
    """How much further than the place that was seen each lands [m, level]; NaN where it hits no ground that goes on from there."""
    known = ~np.isin(landed.surface, ("edge", "wall", "unknown"))
    return np.where(known, rear_contact(one, landed.x) - seen.rear, np.nan)


def _there(one: Prepared, landed: Landings, seen: Explanation) -> bool:
    """Whether a landing is where it was seen."""
    if seen.wall is not None:
        return landed.surface[0] == "wall"
    return bool(abs(_off(one, landed, seen)[0]) <= _CLOSE)


def _size(one: Prepared, sizes: np.ndarray, landed: Landings, seen: Explanation) -> float | None:
    """The least size that lands where it was seen, between two of those tried."""
    if seen.wall is not None:
        hits = sizes[landed.surface == "wall"]
        return float(hits[np.argmin(np.abs(hits))]) if len(hits) else None
    off = _off(one, landed, seen)
    with np.errstate(invalid="ignore"):
        crossed = np.nonzero(off[:-1] * off[1:] <= 0)[0]
    if not len(crossed):
        return None
    left, right = off[crossed], off[crossed + 1]
    share = np.divide(left, left - right, out=np.zeros_like(left), where=left != right)
    found = sizes[crossed] + share * (sizes[crossed + 1] - sizes[crossed])
    return float(found[np.argmin(np.abs(found))])


def _landed(one: Prepared, run_in: RunIn, at: float, tries: dict[str, np.ndarray]) -> dict[str, Landings]:
    """Landings of rides from the start, each with a size of one reason."""
    if not tries:
        return {}
    counts = [len(sizes) for sizes in tries.values()]
    what, sizes = np.repeat(list(tries), counts), np.concatenate(list(tries.values()))

    def of(name: str) -> np.ndarray:
        return np.where(what == name, sizes, 0.0)

    plain = run_in.roller()
    wind = plain.tailwind + of("wind")
    dirt = plain.rolling_resistance * (1.0 + of("dirt"))
    edge = run_in.forward(at - of("mark"), replace(plain, rolling_resistance=dirt, tailwind=wind, tilt=of("slope")))[1]
    drags = what == "brakes"
    if drags.any():
        edge[drags] = _dragged(run_in, at, sizes[drags])
    # whoever halts before the edge rolls off it at most
    landed = land(one, np.nan_to_num(edge, nan=_ROLLED), spring=of("body"), tailwind=wind, apex=False)
    ends = np.cumsum(counts)
    return {name: landed.rows(slice(end - n, end)) for name, n, end in zip(tries, counts, ends, strict=True)}


def _dragged(run_in: RunIn, at: float, lengths: np.ndarray) -> np.ndarray:
    """Lip speeds [m/s] with the brakes dragging over the last metres before the lip."""
    plain = run_in.roller()
    *ridden, _ = run_in.forward(np.array([at]), plain, track=True)[3]
    places = run_in.foot - lengths
    speed = np.nanmax([track.speed_at(places)[0] for track in ridden], axis=0)
    on = roll(run_in.ground, places, speed, replace(plain, braking=DRAGGED * run_in.braking), end=run_in.foot)
    edge, _ = climb(run_in.course, np.where(on.reached, on.speed, 0.0), plain)
    return np.where(on.reached, edge, np.nan)
