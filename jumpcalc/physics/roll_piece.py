"""Rows over one piece of ground, to where they end on it or to its end.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
s        distance of the wheels along the ground               m
v        speed of the centre of mass                           m/s
e        v²/2                                                  m²/s²
=======  ====================================================  =========

Rows that have arrived, or stopped, leave the work.
"""

from __future__ import annotations

import numpy as np

from jumpcalc.physics.ground import GroundLine
from jumpcalc.physics.roll_plan import Plan, Rows, Stretch
from jumpcalc.physics.roll_step import SPEED, Step
from jumpcalc.physics.roll_try import STILL, judge, try_step
from jumpcalc.physics.roller import Pull, Roller

__all__ = ["over_piece"]

_LARGEST_TURN = 0.7  # rad of an arc in one step
_MOST_TRIALS = 3000  # on one piece
_NO_FORCE = 1e-13  # m/s², a rounding of de/ds
_FARTHEST = 5000.0  # m of the endless last slope, after which a bike that does not stop is given up
_FASTEST = 1000.0  # m/s: followed back through air, speeds grow without bounds, and such rows are given up
_TINY = 1e-8  # m, along which de/ds does not change
_STEADY = 1e-12  # of v², by how much it changes at most where a bike rolls on at its final speed
_NEAR = 1e-11  # m or s, in which an end counts as met


def over_piece(
    ground: GroundLine,
    piece: np.ndarray,
    rows: Rows,
    roller: Roller,
    *,
    target: np.ndarray,
    sign: float,
    duration: float,
    kept: list[Stretch] | None,
) -> np.ndarray:
    """Ride rows over a piece each, to where they end on it or to its end.

    Parameters
    ----------
    ground : GroundLine
        The ground.
    piece : numpy.ndarray of int
        The piece of each row, all of them straights or all of them arcs, shape (n,).
    rows : Rows
        The rows; changed in place.
    roller : Roller
        What rolls; entries scalar or of shape (n,).
    target : numpy.ndarray
        Where the ride over the piece ends [m]; infinite where nothing ends it; shape (n,).
    sign : float
        1 along the ground, -1 back against it.
    duration : float
        Time after which a row ends [s].
    kept : list or None
        Takes the steps.

    Returns
    -------
    numpy.ndarray
        Whether each row arrived at the target, of bool.
    """
    curvature = ground.curvature[piece]
    turning = bool(curvature.any())
    curvature, longest = (curvature, _LARGEST_TURN / np.abs(curvature)) if turning else (0.0, np.inf)
    tailwind = bool(np.any(np.asarray(roller.tailwind) > 0))
    far = np.where(np.isfinite(target), target, rows.s + sign * _FARTHEST)
    plan, here, there, timed = Plan.of(rows), None, np.zeros(len(rows.s), bool), duration < np.inf
    at, now = np.arange(len(rows.s)), rows
    for _ in range(_MOST_TRIALS):
        if here is None or turning:
            slope = ground.slope_at(now.s, piece)
            here = roller.pull(slope, curvature)
        first = sign * here(now.v)
        leaves = (now.v < now.stop - STILL) | ((now.v <= now.stop + STILL) & (first <= 0))
        too_fast = now.v > _FASTEST
        if leaves.any() or too_fast.any():
            now.stopped |= leaves
            leaves |= too_fast
        else:
            room = sign * (far - now.s)
            most, left = np.minimum(room, longest), duration - now.time
            if not timed and _steady(now, first, room, turning, sign):
                _roll_steadily(now, here, first, room, 1 - roller.height * curvature, sign, roller.gravity, kept)
                now.s[...] = far
                there[at] = True
                if now is not rows:
                    rows.put(at, now)
                return there
            step, kind, goal = try_step(roller, here, slope, curvature, sign, now, first, most, left, plan, tailwind)
            shorter = roller.height * curvature
            go = judge(now, plan, step, kind, goal, most, left, shorter, here, tailwind)
            if not go.any():
                plan.trials = plan.trials + 1
                continue
            if kept is not None:
                one = np.nonzero(go)[0]
                ridden = (sign * step.places[-1])[one]
                kept.append(Stretch(now.number[one], now.s[one], ridden, step.coefficients(now.v)[:, one]))
            _feel(now, step, here, roller, slope, curvature, sign, go)
            way, by_speed = step.places[-1], kind == SPEED
            ends = go & by_speed & (goal == now.stop)
            arrives = go & ~ends & (way >= room - _NEAR)
            there[at] |= arrives
            now.stopped |= ends
            far_or_way = np.where(arrives | (ends & (way > room)), far, now.s + sign * way)
            np.copyto(now.s, far_or_way, where=go)
            np.copyto(now.v, np.where(by_speed, goal, np.maximum(step.speeds[-1], 0.0)), where=go)
            np.add(now.time, step.time, out=now.time, where=go)
            leaves = ends | arrives
            if timed:
                up = go & (now.time >= duration - _NEAR)
                now.time[up] = duration
                now.stopped &= ~(up & ends & (step.time > left))
                leaves |= up
            if not leaves.all():
                plan.renew(go, step, now.stop)
            if not leaves.any():
                continue
        if now is not rows:
            rows.put(at, now)
        if leaves.all():
            return there
        stay = np.nonzero(~leaves)[0]
        at, now, plan, far, piece = at[stay], now.some(stay), plan.some(stay), far[stay], piece[stay]
        if turning:
            curvature, longest = curvature[stay], longest[stay]
        roller, here = roller.each(lambda entry, stay=stay: entry[stay]), None
    if now is not rows:
        rows.put(at, now)
    return there


def _steady(now: Rows, first: np.ndarray, room: np.ndarray, turning: bool, sign: float) -> bool:
    """Whether de/ds does not change over the rest of the piece; nor does e where a bike rolls on at its final speed."""
    if (now.v < 0.1).any():
        return False
    if turning or sign < 0:
        return bool((room <= _TINY).all())
    return bool(((room <= _TINY) | (np.abs(first) <= _NO_FORCE + _STEADY * now.v**2 / room)).all())


def _roll_steadily(
    now: Rows,
    here: Pull,
    first: np.ndarray,
    room: np.ndarray,
    q: np.ndarray,
    sign: float,
    gravity: float,
    kept: list[Stretch] | None,
) -> None:
    """Ride to the end of the piece at a steady de/ds."""
    end = np.sqrt(now.v**2 + 2 * first * room)
    if kept is not None:
        kept.append(Stretch(now.number.copy(), now.s.copy(), sign * room, 0.5 * np.stack([now.v + end, end - now.v])))
    now.time += 2 * q * room / (now.v + end)
    now.v[...] = end
    np.maximum(now.peak, here.load(end) / gravity, out=now.peak)


def _feel(
    now: Rows, step: Step, here: Pull, roller: Roller, slope: np.ndarray, curvature: np.ndarray, sign: float, go: np.ndarray
) -> None:
    """Note the greatest load of a step, and where the wheels left the ground in it."""
    if here.straight:
        load = here.weight
    else:
        with np.errstate(over="ignore", invalid="ignore"):  # steps that are not taken may hold anything
            ended = roller.load(0.5 * step.speeds[-1] ** 2, slope + (sign * curvature) * step.places[-1], curvature)
            loads = np.concatenate([[here.load(now.v)], step.pull.load(step.speeds[:-1]), [ended]])
        load = loads.max(axis=0)
        load = np.where(curvature > 0, step.rule.greatest(loads, load), load)
        if here.crest:
            light = (loads < 0).any(axis=0) & go & np.isnan(now.lifted)
            if light.any():
                places = np.concatenate([np.zeros((1, len(now.s))), step.places])
                first = places[np.argmax(loads < 0, axis=0), np.arange(len(now.s))]
                np.copyto(now.lifted, now.s + sign * first, where=light)
    np.maximum(now.peak, load / roller.gravity, out=now.peak, where=go)
