"""Rows over one piece of ground: how far each step goes, and which rows end on the way.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
s        distance of the wheels along the ground               m
v        speed of the centre of mass                           m/s
e        v²/2                                                  m²/s²
=======  ====================================================  =========

A step goes to the end of the piece, or to where the row is down to its stop speed, or to where rider and tailwind are
equally fast, for there the drag law has a bend; or it lasts until time is up, or shorter where it would be rough.
Which of these comes first is guessed, and put right after the step was looked at.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jumpcalc.physics.ground import GroundLine
from jumpcalc.physics.roll_step import PLACE, SPEED, TIME, Step, take_step
from jumpcalc.physics.roller import Pull, Roller

__all__ = ["Rows", "over_piece"]

_LARGEST_TURN = 0.7  # rad of an arc in one step
_LARGEST_CHANGE = 30.0  # of a step's time, times how fast F changes with v
_STIFF = 1.0  # the same, from which the stages are resolved by an inverse
_FARTHEST = 5000.0  # m of the endless last slope, after which a bike that does not stop is given up
_FASTEST = 1000.0  # m/s: followed back through air, speeds grow without bounds, and such rows are given up
_MOST_TRIALS = 3000  # on one piece
_SHORTEST = 1e-4  # s, a step that is not shortened for the sake of smoothness
_SMOOTH = 1e-11  # largest share of v that a step misses
_TINY = 1e-8  # m, along which de/ds does not change
_NO_FORCE = 1e-13  # m/s², a rounding of de/ds
_STEADY = 1e-12  # of v², by how much it changes at most where a bike rolls on at its final speed
_STILL = 1e-9  # m/s below the stop speed, or above it without hope, that count as having come down to it
_NEARLY = 0.01  # of v², below which a row may be about to stop
_NEAR = 1e-11  # m or s, in which an end counts as met
_BEYOND = 1e-9  # m, past the end of the piece, in which a stop counts as one on it
_BEND = 2e-3  # m/s against the wind, within which the drag law's bend counts as met
_LIGHT = 1e-4  # m/s² of load, within which wheels count as just leaving the ground
_SHARP = 3.0  # times the wind across: so far from its bend a step may go beside it
_TOO_LITTLE = 1e-3  # m/s of wind across that rounds the bend off by less than a rounding
_ANY = -1  # what ends a step is yet to be guessed


@dataclass(slots=True, eq=False)
class Rows:
    """Rows that ride: where they are, and what has become of them; every entry of shape (n,).

    `number` counts them, `stop` is the speed at which one ends; the others are those of a track.
    """

    number: np.ndarray
    s: np.ndarray
    v: np.ndarray
    time: np.ndarray
    stop: np.ndarray
    reached: np.ndarray
    stopped: np.ndarray
    lifted: np.ndarray
    dropped: np.ndarray
    peak: np.ndarray

    def some(self, rows: np.ndarray | slice) -> Rows:
        """Some of the rows; with a slice, changes to them are changes to these."""
        return Rows(*(getattr(self, name)[rows] for name in self.__slots__))

    def put(self, rows: np.ndarray, some: Rows) -> None:
        """Take back some of the rows."""
        for name in self.__slots__:
            if name not in ("number", "stop"):
                getattr(self, name)[rows] = getattr(some, name)


@dataclass(slots=True, eq=False)
class _Plan:
    """What rows are about to do on their piece.

    `kind` is what is known to end the next step, `goal` the speed, `span` the longest time of it, `time` what it will
    take [s], NaN where that is not known; `careful` rows were rough before, and `trials` counts their steps that did not
    stand. `fresh` says that nothing of this is known of any row.
    """

    kind: np.ndarray
    goal: np.ndarray
    span: np.ndarray
    time: np.ndarray
    careful: np.ndarray
    trials: np.ndarray
    fresh: bool = True

    @classmethod
    def of(cls, rows: Rows) -> _Plan:
        count = len(rows.s)
        return cls(
            kind=np.full(count, _ANY),
            goal=rows.stop.copy(),
            span=np.full(count, np.inf),
            time=np.full(count, np.nan),
            careful=np.zeros(count, bool),
            trials=np.zeros(count, int),
        )

    def some(self, rows: np.ndarray) -> _Plan:
        arrays = (getattr(self, name)[rows] for name in self.__slots__[:-1])
        return _Plan(*arrays, fresh=self.fresh)

    def shorten(self, rough: np.ndarray, step: Step) -> None:
        """A shorter time for rows whose step was rough, or that do not find their end."""
        with np.errstate(divide="ignore", invalid="ignore"):
            share = np.minimum(0.8 * (_SMOOTH / step.uneven) ** 0.1, 0.7)
        share = np.where(np.isfinite(step.uneven), np.maximum(share, 0.05), 0.35)
        self.span = np.where(rough, share * np.minimum(step.time, self.span), self.span)
        self.kind = np.where(rough, TIME, self.kind)
        self.careful = self.careful | rough
        self.fresh = False

    def renew(self, go: np.ndarray, step: Step, stop: np.ndarray) -> None:
        """Start afresh where a step stands; one that was rough makes the next one careful."""
        if self.fresh:
            return
        self.span = np.where(go, np.where(self.careful, 3 * step.time, np.inf), self.span)
        self.kind, self.goal = np.where(go, _ANY, self.kind), np.where(go, stop, self.goal)
        self.trials, self.time = np.where(go, 0, self.trials + 1), np.where(go, np.nan, self.time)


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
    plan, here, there, timed = _Plan.of(rows), None, np.zeros(len(rows.s), bool), duration < np.inf
    at, now = np.arange(len(rows.s)), rows
    for _ in range(_MOST_TRIALS):
        if here is None or curvature:
            slope = ground.slope_at(now.s, number) if curvature else float(ground.slope[number])
            here = roller.pull(slope, curvature)
        first = sign * here(now.v)
        leaves = (now.v < now.stop - _STILL) | ((now.v <= now.stop + _STILL) & (first <= 0))
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
            step, kind, goal = _try(roller, here, slope, curvature, sign, now, first, most, left, plan, tailwind)
            shorter = roller.height * curvature
            go = _judge(now, plan, step, kind, goal, most, left, shorter, here, curvature, tailwind)
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


def _try(
    roller: Roller,
    here: Pull,
    slope: np.ndarray,
    curvature: float,
    sign: float,
    now: Rows,
    first: np.ndarray,
    most: np.ndarray,
    left: np.ndarray,
    plan: _Plan,
    tailwind: bool,
) -> tuple[Step, np.ndarray, np.ndarray]:
    """A step of each row, what ended it, and the speed that it was to end with; `first` is de by metre at its start."""
    v, stop, q = now.v, now.stop, 1 - roller.height * curvature
    across = np.abs(roller.crosswind)
    blows = isinstance(across, np.ndarray) or across > 0
    e, low = 0.5 * v * v, 0.5 * stop * stop
    end = roller.pull(slope + (sign * curvature) * most, curvature) if curvature else here
    last = sign * end(np.sqrt(2 * np.maximum(e + first * most, low)))
    mean = 0.5 * (first + last)
    level = e + mean * most
    free = np.ones(len(v), bool) if plan.fresh else plan.kind == _ANY
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
    if tailwind and not curvature:
        # where rider and tailwind are equally fast
        wind = np.maximum(here.wind, 0.0)
        meets = free & ((v - wind) * (speed - wind) < 0) & (np.abs(v - wind) > _BEND)
        if meets.any():
            at_wind = sign * here(wind)
            guess = np.divide(2 * q * (wind - v), first + at_wind, out=np.full(len(v), np.inf), where=meets & (first + at_wind != 0))
            meets &= (guess > 0) & (guess < time)
            # with some wind across, the law is bent sharply but smoothly: a step of its own leads up to that
            short = np.clip(v, wind - _SHARP * across, wind + _SHARP * across) if blows else wind
            near = np.abs(v - wind) < 2 * _SHARP * across if blows else True
            upto = np.where(near, wind, short)
            kind, goal, speed = np.where(meets, SPEED, kind), np.where(meets, upto, goal), np.where(meets, upto, speed)
            guess = np.where(meets, guess * np.where(near, 1.0, np.abs(upto - v) / np.maximum(np.abs(wind - v), _BEND)), 0.0)
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
        last = np.where(late, first + (last - first) * np.minimum(span / time, 1.0), last)
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


def _judge(
    now: Rows,
    plan: _Plan,
    step: Step,
    kind: np.ndarray,
    goal: np.ndarray,
    most: np.ndarray,
    left: np.ndarray,
    shorter: np.ndarray,
    here: Pull,
    curvature: float,
    tailwind: bool,
) -> np.ndarray:
    """Whether each row's step stands; what ends the next try of those whose does not."""
    stop, way, span = now.stop, step.places[-1], np.minimum(left, plan.span)
    good = step.uneven <= _SMOOTH
    below = step.speeds.min(axis=0) < stop - _STILL
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
    if tailwind or curvature < 0:
        go = go & ~_bends(now, plan, step, go, here, curvature, tailwind)
    return go


def _bends(
    now: Rows, plan: _Plan, step: Step, go: np.ndarray, here: Pull, curvature: float, tailwind: bool
) -> np.ndarray:
    """Whether a law has a bend inside each step; the time until then for those.

    The drag law bends where rider and tailwind are equally fast, the load of a crest where the wheels leave the ground.
    """
    bends = np.zeros(len(go), bool)
    stages = step.speeds[:-1]
    if tailwind:
        wind = np.broadcast_to(step.pull.wind, stages.shape)
        against = np.concatenate([[now.v - here.wind], stages - wind, [step.speeds[-1] - wind[-1]]])
        bends |= _changes(against, _BEND, _SHARP * np.sqrt(here.across), plan, step, go)
    if curvature < 0:
        loads = np.concatenate([[here.load(now.v)], step.pull.load(stages)])
        bends |= _changes(loads, _LIGHT, 0.0, plan, step, go & ~bends)
    return bends


def _changes(
    values: np.ndarray, least: float, before: np.ndarray, plan: _Plan, step: Step, go: np.ndarray
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
