"""A step of rows along a piece of ground: what is likely to end it, and whether it stands.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
v        speed of the centre of mass                           m/s
e        v²/2                                                  m²/s²
=======  ====================================================  =========

A step goes to the end of the piece, or to where the row is down to its stop speed, or to where rider and tailwind are
equally fast, for there the drag law has a bend; or it lasts until time is up, or shorter where it would be rough.
Which of these comes first is guessed, and put right after the step was looked at.
"""

from __future__ import annotations

import numpy as np

from jumpcalc.physics.roll_plan import ANY, SMOOTH, Plan, Rows
from jumpcalc.physics.roll_step import PLACE, SPEED, TIME, Step, take_step
from jumpcalc.physics.roller import Pull, Roller

__all__ = ["BEND", "LIGHT", "STILL", "judge", "try_step"]

_LARGEST_CHANGE = 30.0  # of a step's time, times how fast F changes with v
_STIFF = 1.0  # the same, from which the stages are resolved by an inverse
_SHORTEST = 1e-4  # s, a step that is not shortened for the sake of smoothness
STILL = 1e-9  # m/s below the stop speed, or above it without hope, that count as having come down to it
_NEARLY = 0.01  # of v², below which a row may be about to stop
_BEYOND = 1e-9  # m, past the end of the piece, in which a stop counts as one on it
BEND = 2e-3  # m/s against the wind, within which the drag law's bend counts as met
LIGHT = 1e-4  # m/s² of load, within which wheels count as just leaving the ground
_SHARP = 3.0  # times the wind across: so far from its bend a step may go beside it
_TOO_LITTLE = 1e-3  # m/s of wind across that rounds the bend off by less than a rounding


def try_step(
    roller: Roller,
    here: Pull,
    slope: np.ndarray,
    curvature: np.ndarray,
    sign: float,
    now: Rows,
    first: np.ndarray,
    most: np.ndarray,
    left: np.ndarray,
    plan: Plan,
    tailwind: bool,
) -> tuple[Step, np.ndarray, np.ndarray]:
    """A step of each row, along what is left of the piece or shorter.

    Parameters
    ----------
    roller : Roller
        What rolls; entries scalar or of shape (n,).
    here : Pull
        What slows at the start.
    slope : float or numpy.ndarray
        At the start [rad].
    curvature : float or numpy.ndarray
        Of the piece [1/m]; 0.0 where all rows are on straights.
    sign : float
        1 along the ground, -1 back against it.
    now : Rows
        The rows.
    first : numpy.ndarray
        What e changes by per metre that is ridden, at the start [m/s²].
    most : numpy.ndarray
        How far the step may go [m].
    left : numpy.ndarray
        Time that is left [s].
    plan : Plan
        What is known of the step; what is found out is added.
    tailwind : bool
        Whether any row has wind from behind.

    Returns
    -------
    step : Step
        As it is; `judge` says whether it stands.
    kind : numpy.ndarray
        What ended it: `PLACE`, `SPEED` or `TIME`.
    goal : numpy.ndarray
        The speed [m/s] that ended those of kind `SPEED`.
    """
    v, stop, q = now.v, now.stop, 1 - roller.height * curvature
    across = np.abs(roller.crosswind)
    blows = isinstance(across, np.ndarray) or across > 0
    e, low = 0.5 * v * v, 0.5 * stop * stop
    end = roller.pull(slope + (sign * curvature) * most, curvature) if np.ndim(curvature) else here
    last = sign * end(np.sqrt(2 * np.maximum(e + first * most, low)))
    mean = 0.5 * (first + last)
    level = e + mean * most
    free = np.ones(len(v), bool) if plan.fresh else plan.kind == ANY
    # or nearly; how long that takes is known better than how long it is to a place where the speed is nearly gone
    halts = free & (level - low < _NEARLY * (e - low)) & (mean < 0) & ((first < 0) | (v > stop + 0.1))
    if not plan.fresh:
        # where steps are short a stop is foreseen only from near by
        halts &= ~plan.careful | ((v - stop) * q <= -first * plan.span)
    kind, goal = np.where(halts, SPEED, PLACE), plan.goal
    if not plan.fresh:
        kind = np.where(free, kind, plan.kind)
    # a speed at the end that is at least of the right size
    speed = np.sqrt(2 * np.maximum(np.maximum(level, low), np.maximum(0.05 * e, 0.1 * first * most)))
    last = sign * end(speed)
    # from rates that change steadily over the time
    rate = (2 * first + last) / (3 * q)
    time = v + np.sqrt(np.maximum(v * v + 2 * rate * most * q, 0.25 * speed * speed))
    time = 2 * q * most / time
    if not plan.fresh:
        time = np.where(np.isnan(plan.time), time, plan.time)
    to_goal = kind == SPEED
    if to_goal.any():
        speed = np.where(to_goal, goal, speed)
        guess = np.divide(2 * q * (goal - v), first + last, out=np.full(len(v), np.inf), where=to_goal & (first + last != 0))
        time = np.where(to_goal, np.where((guess > 0) & (guess < 2 * time), guess, 0.7 * time), time)
    if tailwind and here.straight:
        # where rider and tailwind are equally fast
        wind = np.maximum(here.wind, 0.0)
        meets = free & ((v - wind) * (speed - wind) < 0) & (np.abs(v - wind) > BEND)
        if meets.any():
            at_wind = sign * here(wind)
            guess = np.divide(2 * q * (wind - v), first + at_wind, out=np.full(len(v), np.inf), where=meets & (first + at_wind != 0))
            meets &= (guess > 0) & (guess < time)
            # with some wind across, the law is bent sharply but smoothly: a step of its own leads up to that
            short = np.clip(v, wind - _SHARP * across, wind + _SHARP * across) if blows else wind
            near = np.abs(v - wind) < 2 * _SHARP * across if blows else True
            upto = np.where(near, wind, short)
            kind, goal, speed = np.where(meets, SPEED, kind), np.where(meets, upto, goal), np.where(meets, upto, speed)
            guess = np.where(meets, guess * np.where(near, 1.0, np.abs(upto - v) / np.maximum(np.abs(wind - v), BEND)), 0.0)
            last, time = np.where(meets, at_wind, last), np.where(meets, guess, time)
    span = np.minimum(left, plan.span)
    against = (v, speed) if here.wind is None else (v - here.wind, speed - end.wind)
    swift = np.maximum(np.abs(against[0]), np.abs(against[1])) + across
    change = 2 * here.air * swift * time / q
    stiff, quick = bool((change > _STIFF).any()), change > _LARGEST_CHANGE
    if blows:
        sharp = _SHARP * q * np.hypot(v - here.wind, across) / np.maximum(np.abs(first), 1e-300)
        sharp = np.where(across > _TOO_LITTLE, sharp, np.inf)
        span, quick = np.where(free, np.minimum(span, sharp), span), quick | (free & (time > sharp))
    if quick.any():
        span = np.where(quick, np.minimum(span, _LARGEST_CHANGE * q / np.maximum(2 * here.air * swift, 1e-300)), span)
        plan.span, plan.fresh = np.where(quick, np.minimum(span, plan.span), plan.span), False
        free |= quick
    late = (free & (time > span)) | (kind == TIME)
    if late.any():
        kind = np.where(late, TIME, kind)
        last = np.where(late, first + (last - first) * np.minimum(span, time) / np.maximum(time, 1e-300), last)
        time = np.where(late, span, time)
    step = take_step(
        roller,
        here,
        slope=slope,
        curvature=curvature,
        sign=sign,
        v=v,
        rates=(first / q, last / q),
        time=time,
        stiff=stiff,
        kind=kind,
        goals=(most, goal, span),
    )
    return step, kind, goal


def judge(
    now: Rows,
    plan: Plan,
    step: Step,
    kind: np.ndarray,
    goal: np.ndarray,
    most: np.ndarray,
    left: np.ndarray,
    shorter: np.ndarray,
    here: Pull,
    tailwind: bool,
) -> np.ndarray:
    """Whether each row's step stands.

    Parameters
    ----------
    now : Rows
        The rows at the start of the step.
    plan : Plan
        Takes what ends the next try of rows whose step does not stand.
    step : Step
        What `try_step` gave.
    kind, goal : numpy.ndarray
        What ended it, and at which speed [m/s].
    most : numpy.ndarray
        How far it may have gone [m].
    left : numpy.ndarray
        Time that was left [s].
    shorter : float or numpy.ndarray
        1 − q.
    here : Pull
        What slows at the start.
    tailwind : bool
        Whether any row has wind from behind.

    Returns
    -------
    numpy.ndarray
        Of bool, shape (n,).
    """
    stop, way, span = now.stop, step.places[-1], np.minimum(left, plan.span)
    good = step.uneven <= SMOOTH
    below = step.speeds.min(axis=0) < stop - STILL
    past = (kind != PLACE) & (way > most + _BEYOND)
    late = (kind != TIME) & (step.time > span + 1e-12)
    go = good & ~(below | past | late)
    if not go.all():
        plan.fresh = False
        good |= (step.time <= _SHORTEST) & np.isfinite(step.uneven)
        good &= (step.time > 0) & (plan.trials % 8 < 7)
        bad = below | past | late
        go = good & ~bad
        again = good & bad
        plan.kind = np.where(again, np.where(past, PLACE, np.where(below, SPEED, TIME)), plan.kind)
        plan.goal = np.where(again, stop, plan.goal)
        # a row that would have stopped beyond the end was there so much sooner
        soon = again & past & (kind == SPEED) & (goal == stop)
        if soon.any():
            slowing = np.maximum(-step.rates[-1], 1e-9)
            beyond = np.maximum(way - most, 0.0) * (1 - shorter)
            sooner = (np.sqrt(stop * stop + 2 * slowing * beyond) - stop) / slowing
            plan.time = np.where(soon, step.time - sooner, plan.time)
        if not good.all():
            plan.shorten(~good, step)
    if tailwind or here.crest:
        go = go & ~_bends(now, plan, step, go, here, tailwind)
    return go


def _bends(now: Rows, plan: Plan, step: Step, go: np.ndarray, here: Pull, tailwind: bool) -> np.ndarray:
    """Whether a law has a bend inside each step; the time until then for those.

    The drag law bends where rider and tailwind are equally fast, the load of a crest where the wheels leave the ground.
    """
    bends = np.zeros(len(go), bool)
    stages = step.speeds[:-1]
    if tailwind:
        wind = np.broadcast_to(step.pull.wind, stages.shape)
        against = np.concatenate([[now.v - here.wind], stages - wind, [step.speeds[-1] - wind[-1]]])
        bends |= _changes(against, BEND, _SHARP * np.sqrt(here.across), plan, step, go)
    if here.crest:
        loads = np.concatenate([[here.load(now.v)], step.pull.load(stages)])
        bends |= _changes(loads, LIGHT, 0.0, plan, step, go & ~bends)
    return bends


def _changes(
    values: np.ndarray, least: float, before: np.ndarray, plan: Plan, step: Step, go: np.ndarray
) -> np.ndarray:
    """Whether values at the start, the stages and the end change their sign; the time until they are nearly 0 for those.

    Below `least` they count as 0. Where they were much more than `before` at the start, the time is that until they are so.
    """
    inside = go & (values.max(axis=0) > least) & (values.min(axis=0) < -least)
    if inside.any():
        rows = np.arange(len(inside))
        side = np.where(np.abs(values) > least, np.sign(values), 0.0)
        over = side * side[np.argmax(side != 0, axis=0), rows] < 0
        after = np.argmax(over, axis=0)
        last = np.maximum(after - 1, 0)
        r0, r1 = values[last, rows], values[after, rows]
        x = np.append(0.0, step.rule.shares)
        share = np.divide(r0, r0 - r1, out=np.full(len(rows), 0.5), where=r0 != r1)
        x = x[last] + np.clip(share, 0.05, 1.0) * (x[after] - x[last])
        at_start = np.abs(values[0])
        x = np.where(at_start > 2 * before, x * (1 - before / np.maximum(at_start, least)), x)
        plan.kind, plan.fresh = np.where(inside, TIME, plan.kind), False
        plan.span = np.where(inside, x * step.time, plan.span)
    return inside
