"""One run through a line of jumps, and the start marks from which all of them land clean.

From one jump to the next leads a map: lip speed of the first -> landing -> face, exit, runout -> foot
and edge of the next lip. Each map is taken at Chebyshev places of the first jump's window, where it is
smooth, and the windows are pulled back through the maps to the first jump, and from there to the hill.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.physics.rolling import Track, roll
from jumpcalc.plan.answer import Carry, JumpAnswer, Ride, RideStep
from jumpcalc.plan.ask.landings import Landings, land
from jumpcalc.plan.ask.lip import climb
from jumpcalc.plan.ask.run_in import RunIn
from jumpcalc.plan.ask.window import longest_run
from jumpcalc.plan.inputs.assume import stroke_energy, strokes_that_fit
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.terrain import Prepared, PreparedLine

__all__ = ["Onward", "PAST_THE_LANDING", "onward", "ride", "roll_on", "run_on"]

PAST_THE_LANDING = 1e-6
"""How far [m] beyond its lower end a bike is off a landing: a kink there has been ridden over by then."""

_PLACES = 17  # Chebyshev places in a window
_FINE = 4001  # places at which a map is looked up
_SAME_HIT = 1e-6  # m, a rounding of the fastest clean speed


@dataclass(frozen=True, slots=True, eq=False)
class Onward:
    """Speeds at the foot and edge of the next lip [m/s]; NaN where the ride ends before, `why` says how."""

    foot: np.ndarray
    edge: np.ndarray
    why: list[Note | None]


def onward(here: Prepared, following: Prepared, landed: Landings) -> Onward:
    """The ride from landings on one jump to the edge of the next lip.

    Parameters
    ----------
    here, following : Prepared
        The jump landed on, and the next one.
    landed : Landings
        On the first, n rows.

    Returns
    -------
    Onward
        n rows.
    """
    count = len(landed.speed)
    why: list[Note | None] = [None] * count
    speeds, places = np.nan_to_num(landed.onward), landed.along
    flies = landed.reached & (places <= here.terrain.runout_end) & (speeds > 0)
    for row in np.nonzero(~flies)[0]:
        code = Code.SHORT_ENDS_THE_RIDE if landed.is_(Outcome.SHORT)[row] else Code.NOT_CLEAN_ENDS_THE_RIDE
        why[row] = Note(code=code)
    foot, edge, on = roll_on(here, following, np.where(flies, places, 0.0), np.where(flies, speeds, np.nan))
    for row in np.nonzero(flies & ~on.reached)[0]:
        why[row] = Note(code=Code.HALTS_BETWEEN_THE_JUMPS, values=(("along", float(on.s[row])),))
    for row in np.nonzero(np.isfinite(foot) & ~np.isfinite(edge))[0]:
        why[row] = Note(code=Code.HALTS_ON_THE_NEXT_LIP)
    return Onward(foot, edge, why)


def roll_on(
    here: Prepared, following: Prepared, along: np.ndarray, speed: np.ndarray, **changes: np.ndarray
) -> tuple[np.ndarray, np.ndarray, Track]:
    """Speeds at the foot and at the edge of the next lip of who rolls on from places after a jump.

    Parameters
    ----------
    here, following : Prepared
        The jump that lies behind, with its runout measured, and the next one.
    along : numpy.ndarray
        Distances along the ground from the knuckle [m], shape (n,).
    speed : numpy.ndarray
        Speeds there [m/s], NaN where nobody rolls, shape (n,).
    **changes : numpy.ndarray
        What is other than usual of who rolls, as a `Roller` has it, shape (n,).

    Returns
    -------
    foot, edge : numpy.ndarray
        Speeds [m/s], NaN where the next foot, or edge, is not reached.
    track : Track
        The way to the foot.
    """
    known = np.isfinite(speed)
    roller, climber = replace(here.after_landing, **changes), replace(following.up_the_lip, **changes)
    on = roll(here.terrain.ground, along, np.where(known, speed, 1.0), roller, end=here.terrain.runout_end)
    foot = np.where(known & on.reached, on.speed, np.nan)
    edge, _ = climb(following, foot, climber)
    return foot, edge, on


def ride(prepared: PreparedLine, run_in: RunIn, jumps: Sequence[JumpAnswer]) -> Ride:
    """One run from the start mark as measured through all jumps, and where else one may start.

    Parameters
    ----------
    prepared : PreparedLine
        The line.
    run_in : RunIn
        Its run-in.
    jumps : sequence of JumpAnswer
        Their windows.

    Returns
    -------
    Ride
        It ends with the first landing that is not clean, or harder than accepted: what comes after one is anyone's guess.
    """
    line, courses = prepared.line, prepared.jumps
    steps, ended = _run(courses, run_in, jumps[0])
    carries: list[Carry | None] = []
    maps = []
    for i in range(len(courses) - 1):
        known = _map(courses[i], courses[i + 1], jumps[i]) if jumps[i].window.speeds is not None else None
        maps.append(known)
        carries.append(_carry(line, courses[i], jumps[i], jumps[i + 1], known))
    low, high, tight, none = _pull_back(courses, jumps, maps)
    window = together = None
    if none is None:
        together = low, high
        window, none = _start_window(run_in, jumps[0], low, high)
    return Ride(
        steps=steps,
        ended_by=ended,
        window=window,
        tight=tight if window is not None else None,
        why_none=none,
        carries=tuple(carries),
        lip_speeds=together,
    )


def _start_window(
    run_in: RunIn, first: JumpAnswer, low: float, high: float
) -> tuple[tuple[float, float] | None, Note | None]:
    """Start marks [m before the foot] that leave the first edge between two lip speeds [m/s], or why there are none."""
    speeds, known, top = first.window.speeds, first.run_in.marks, first.run_in.lip_speed
    if (low, high) == (speeds.min, speeds.max) and known[0] is not None:
        marks = np.array([known[0], known[2]], dtype=float)
    else:
        marks = run_in.foot - run_in.starts(np.array([low, high]), run_in.roller())
    shortest, longest = (float(mark) for mark in marks)
    if math.isnan(shortest):
        if top is None or top < low:
            return None, Note(code=Code.EVEN_THE_TOP_IS_TOO_LOW_FOR_THE_LINE)
        shortest = 0.0  # rolled in so fast that even at the foot it is not too slow
    if math.isnan(longest):
        if top is not None and top > high:
            return None, Note(code=Code.EVERY_START_IS_TOO_FAST_FOR_THE_LINE)
        longest = float(run_in.foot)
    shortest = max(shortest, run_in.strokes * run_in.development)
    if shortest > longest:
        return None, Note(code=Code.THE_STROKES_DO_NOT_FIT_ON_THE_LINE_S_START_MARKS, values=(("made", run_in.strokes),))
    return (shortest, longest), None


def _run(courses: Sequence[Prepared], run_in: RunIn, first: JumpAnswer) -> tuple[tuple[RideStep, ...], Note | None]:
    """Foot speeds, lip speeds and landings of one run from the start mark, and what ended it."""
    known = first.run_in
    if known.lip_speed is None:
        if known.halts_at is None:
            return (), Note(code=Code.HALTS_ON_THE_LIP, jump=1)
        return (), Note(code=Code.HALTS_ON_THE_RUN_IN, values=(("mark", known.halts_at),), jump=1)
    return run_on(courses, known.foot_speed, known.lip_speed)


def run_on(courses: Sequence[Prepared], foot_speed: float, lip_speed: float) -> tuple[tuple[RideStep, ...], Note | None]:
    """One run from the edge of the first lip on.

    Parameters
    ----------
    courses : sequence of Prepared
        The jumps.
    foot_speed, lip_speed : float
        Speeds at the foot of the first lip and at its edge [m/s].

    Returns
    -------
    steps : tuple of RideStep
        As far as the run goes.
    ended : Note or None
        What ended it, at the last landing too; None where all land clean.
    """
    foot, edge = np.array([foot_speed]), np.array([lip_speed])
    steps = []
    for i, course in enumerate(courses):
        landed = land(course, edge)
        steps.append(RideStep(foot_speed=float(foot[0]), lip_speed=float(edge[0]), landing=landed.result(0)))
        ends = _ends_there(course, landed)
        if ends is not None:
            return tuple(steps), Note(code=ends, jump=i + 1)
        if i == len(courses) - 1:
            break
        if course.terrain.runout_end is None:
            return tuple(steps), Note(code=Code.THE_GROUND_BETWEEN_IS_NOT_MEASURED, jump=i + 1)
        on = onward(course, courses[i + 1], landed)
        if on.why[0] is not None:
            return tuple(steps), Note(code=on.why[0].code, values=on.why[0].values, jump=i + 1)
        foot, edge = on.foot, on.edge
    return tuple(steps), None


def _ends_there(course: Prepared, landed: Landings) -> Code | None:
    """Why the first of these landings ends a ride; None where it goes on."""
    if landed.is_(Outcome.SHORT)[0]:
        return Code.SHORT_ENDS_THE_RIDE
    if not landed.is_(Outcome.CLEAN)[0]:
        return Code.NOT_CLEAN_ENDS_THE_RIDE
    if landed.fall_height[0] > course.equivalent_fall + _SAME_HIT:
        return Code.A_HARD_LANDING_ENDS_THE_RIDE
    return None


def _map(here: Prepared, following: Prepared, jump: JumpAnswer) -> tuple[np.ndarray, np.ndarray] | None:
    """Lip speeds of a jump's window and the next lip speeds they become; -1 where the rider does not get there."""
    if here.terrain.runout_end is None:
        return None
    low, high = jump.window.speeds.min, jump.window.speeds.max
    places = (np.polynomial.chebyshev.chebpts2(_PLACES) + 1) / 2
    start, speeds = low, np.clip(low + (high - low) * places, low, high)
    values = _reach(here, following, speeds)
    there = np.isfinite(values)
    if not there.any():
        return None
    if not there[0]:
        # the slowest speed that gets there at all
        good, bad = speeds[np.argmax(there)], speeds[max(int(np.argmax(there)) - 1, 0)]
        for _ in range(6):
            tried = np.linspace(bad, good, 18)
            there = np.isfinite(_reach(here, following, tried))
            good = tried[np.argmax(there)] if there.any() else good
            bad = tried[max(int(np.argmax(there)) - 1, 0)] if there.any() else bad
        start = float(good)
        speeds = np.clip(start + (high - start) * places, start, high)
        values = _reach(here, following, speeds)
    if not np.isfinite(values).all():
        fine = np.linspace(low, high, 401)
        return fine, np.nan_to_num(_reach(here, following, fine), nan=-1.0)
    # the square is smooth also where the slowest hardly get there
    series = np.polynomial.chebyshev.Chebyshev.fit(speeds, np.square(values), _PLACES - 1, domain=[start, high])
    fine = np.linspace(start, high, _FINE)
    arrives = np.sqrt(np.maximum(series(fine), 0.0))
    if start > low:
        fine, arrives = np.concatenate([[low, start - 1e-9], fine]), np.concatenate([[-1.0, -1.0], arrives])
    return fine, arrives


def _reach(here: Prepared, following: Prepared, speeds: np.ndarray) -> np.ndarray:
    """Next lip speeds [m/s] for lip speeds that land clean; NaN where the rider does not get there."""
    return onward(here, following, land(here, speeds, apex=False)).edge


def _inside(known: tuple[np.ndarray, np.ndarray], low: float, high: float) -> tuple[float, float] | None:
    """The longest stretch of a map's first speeds whose next speeds lie between `low` and `high`."""
    speeds, arrives = known
    room = np.minimum(arrives - low, high - arrives)
    run = longest_run(speeds, room >= 0)
    if run is None:
        return None
    first, last = run
    ends = []
    for inner, outer in ((first, first - 1), (last, last + 1)):
        if 0 <= outer < len(speeds):
            share = room[inner] / (room[inner] - room[outer])
            ends.append(float(speeds[inner] + share * (speeds[outer] - speeds[inner])))
        else:
            ends.append(float(speeds[inner]))
    return ends[0], ends[1]


def _pull_back(
    courses: Sequence[Prepared], jumps: Sequence[JumpAnswer], maps: Sequence[tuple[np.ndarray, np.ndarray] | None]
) -> tuple[float, float, tuple[int, int] | None, Note | None]:
    """Lip speeds of the first jump from which all land clean, and the jumps that end them."""
    low = high = 0.0
    tight = (len(jumps), len(jumps))
    for i in range(len(jumps) - 1, -1, -1):
        speeds = jumps[i].window.speeds
        if speeds is None:
            return 0.0, 0.0, None, Note(code=Code.A_JUMP_OF_THE_LINE_HAS_NO_WINDOW, jump=i + 1)
        if i == len(jumps) - 1:
            low, high = speeds.min, speeds.max
            continue
        if courses[i].terrain.runout_end is None:
            return 0.0, 0.0, None, Note(code=Code.THE_GROUND_BETWEEN_IS_NOT_MEASURED, jump=i + 1)
        if maps[i] is None:
            return 0.0, 0.0, None, Note(code=Code.THE_NEXT_LIP_IS_NOT_REACHED, jump=i + 1)
        inside = _inside(maps[i], low, high)
        if inside is None:
            return 0.0, 0.0, None, Note(code=Code.NO_SPEED_LANDS_BOTH_CLEAN, jump=i + 1)
        tight = (
            i + 1 if inside[0] <= speeds.min + 1e-9 else tight[0],
            i + 1 if inside[1] >= speeds.max - 1e-9 else tight[1],
        )
        low, high = inside
    return low, high, tight, None


def _carry(
    line: Line,
    here: Prepared,
    jump: JumpAnswer,
    following: JumpAnswer,
    known: tuple[np.ndarray, np.ndarray] | None,
) -> Carry | None:
    """What of one jump's window carries to a clean next one, and what the rest needs."""
    if jump.window.speeds is None or following.window.speeds is None or here.terrain.runout_end is None:
        return None
    speeds, wanted = jump.window.speeds, following.window.speeds
    ground = here.terrain.runout_end - jump.landings[1].along_face
    fit, stroke = strokes_that_fit(line, ground), stroke_energy(line)
    if known is None:
        return Carry(speeds=None, share=0.0, arrives=(None, None), from_aim=None, strokes=0, fit=fit, brake=0.0)
    inside = _inside(known, wanted.min, wanted.max)
    at_aim = float(np.interp(speeds.aim, *known))
    # a stroke adds the same energy wherever it is made; losses after it are left out
    lacking = (wanted.aim**2 - max(at_aim, 0.0) ** 2) / 2
    width = speeds.max - speeds.min
    return Carry(
        speeds=inside,
        share=0.0 if inside is None else (inside[1] - inside[0]) / width if width > 0 else 1.0,
        arrives=tuple(float(v) if v >= 0 else None for v in (known[1][0], known[1][-1])),
        from_aim=at_aim if at_aim >= 0 else None,
        strokes=max(0, math.ceil(lacking / stroke - 1e-9)) if stroke and at_aim < wanted.min else 0,
        fit=fit,
        brake=max(0.0, at_aim - wanted.max),
    )
