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
from jumpcalc.physics.roll_plan import Plan, Rows
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
    number: int,
    rows: Rows,
    roller: Roller,
    *,
    target: float,
    sign: float,
    duration: float,
    kept: list[tuple] | None,
) -> np.ndarray:
    """Ride rows over a piece, to where they end on it or to its end.

    Parameters
    ----------
    ground : GroundLine
        The ground.
    number : int
        Its piece.
    rows : Rows
        All on that piece; changed in place.
    roller : Roller
        What rolls; entries scalar or of shape (n,).
    target : float
        Where the ride over the piece ends [m]; infinite where nothing ends it.
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
    curvature = float(ground.curvature[number])
    longest = _LARGEST_TURN / abs(curvature) if curvature else np.inf
    tailwind = bool(np.any(np.asarray(roller.tailwind) > 0))
    far = np.full(len(rows.s), target) if np.isfinite(target) else rows.s + sign * _FARTHEST
    plan, here, there, timed = Plan.of(rows), None, np.zeros(len(rows.s), bool), duration < np.inf
    at, now = np.arange(len(rows.s)), rows
    for _ in range(_MOST_TRIALS):
        if here is None or curvature:
            slope = ground.slope_at(now.s, number) if curvature else float(ground.slope[number])
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
            if not timed and _steady(now, first, room, curvature, sign):
                _roll_steadily(now, here, first, room, 1 - roller.height * curvature, sign, roller.gravity, kept)
                now.s[...] = far
                there[at] = True
                if now is not rows:
                    rows.put(at, now)
                return there
            step, kind, goal = try_step(roller, here, slope, curvature, sign, now, first, most, left, plan, tailwind)
            shorter = roller.height * curvature
            go = judge(now, plan, step, kind, goal, most, left, shorter, here, curvature, tailwind)
            if not go.any():
                plan.trials = plan.trials + 1
                continue
            if kept is not None:
                one = np.nonzero(go)[0]
                ridden = (sign * step.places[-1])[one]
                kept.append((now.number[one], now.s[one], ridden, step.coefficients(now.v)[:, one]))
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
        at, now, plan, far = at[stay], now.some(stay), plan.some(stay), far[stay]
        roller, here = roller.each(lambda entry, stay=stay: entry[stay]), None
    if now is not rows:
        rows.put(at, now)
    return there


def _steady(now: Rows, first: np.ndarray, room: np.ndarray, curvature: float, sign: float) -> bool:
    """Whether de/ds does not change over the rest of the piece; nor does e where a bike rolls on at its final speed."""
    if (now.v < 0.1).any():
        return False
    if curvature or sign < 0:
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
    kept: list[tuple] | None,
) -> None:
    """Ride to the end of the piece at a steady de/ds."""
    end = np.sqrt(now.v**2 + 2 * first * room)
    if kept is not None:
        kept.append((now.number.copy(), now.s.copy(), sign * room, 0.5 * np.stack([now.v + end, end - now.v])))
    now.time += 2 * q * room / (now.v + end)
    now.v[...] = end
    np.maximum(now.peak, here.load(end) / gravity, out=now.peak)


def _feel(
    now: Rows, step: Step, here: Pull, roller: Roller, slope: np.ndarray, curvature: float, sign: float, go: np.ndarray
) -> None:
    """Note the greatest load of a step, and where the wheels left the ground in it."""
    if curvature == 0:
        load = here.weight
    else:
        with np.errstate(over="ignore", invalid="ignore"):  # steps that are not taken may hold anything
            ended = roller.load(0.5 * step.speeds[-1] ** 2, slope + (sign * curvature) * step.places[-1], curvature)
            loads = np.concatenate([[here.load(now.v)], step.pull.load(step.speeds[:-1]), [ended]])
        load = loads.max(axis=0)
        if curvature > 0:
            load = _vertex(np.append(0.0, step.rule.shares), loads, load)
        if curvature < 0:
            light = (loads < 0).any(axis=0) & go & np.isnan(now.lifted)
            if light.any():
                places = np.concatenate([np.zeros((1, len(now.s))), step.places])
                first = places[np.argmax(loads < 0, axis=0), np.arange(len(now.s))]
                np.copyto(now.lifted, now.s + sign * first, where=light)
    np.maximum(now.peak, load / roller.gravity, out=now.peak, where=go)


def _vertex(x: np.ndarray, values: np.ndarray, most: np.ndarray) -> np.ndarray:
    """Greatest value of columns of samples at x: that of a parabola through the three around the greatest one inside."""
    at = np.argmax(values, axis=0)
    inside = (at > 0) & (at < len(x) - 1)
    if not inside.any():
        return most
    rows = np.nonzero(inside)[0]
    at = at[rows]
    left, right = x[at - 1] - x[at], x[at + 1] - x[at]
    down_left, down_right = values[at - 1, rows] - most[rows], values[at + 1, rows] - most[rows]
    # f = b x + a x² through both neighbours, from the greatest sample; its vertex lies b²/(4 a) below 0, a < 0
    bend = (down_left / left - down_right / right) / (left - right)
    rise = down_left / left - bend * left
    most = most.copy()
    most[rows] -= np.divide(rise * rise, 4 * bend, out=np.zeros(len(rows)), where=bend < 0)
    return most
