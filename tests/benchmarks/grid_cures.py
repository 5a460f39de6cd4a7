"""Whether what is advised holds when `solve` tries it: used by ``grid.py`` on each of its lines.

- a change of the ground between two jumps, or of the next gap: `solve` of the line so changed finds the first one's aim among
  what carries; strokes and brakes between are ridden by hand;
- pedal strokes for a run-in that is too short: `solve` of the line with so many reaches the aim, with one less it does not;
- braking before the lip: ridden by hand it comes to the foot with the aim;
- what a coach is told after a landing: that start, moved or pedalled as told, lands clean when `solve` has it as the line's own.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from jumpcalc.physics.rolling import roll
from jumpcalc.plan.answer import Answer
from jumpcalc.plan.ask.from_mark import from_mark
from jumpcalc.plan.ask.inverse import rear_place
from jumpcalc.plan.ask.landings import land
from jumpcalc.plan.ask.lip import climb
from jumpcalc.plan.ask.ride import PAST_THE_LANDING
from jumpcalc.plan.ask.run_in import run_in_of
from jumpcalc.plan.ask.window import targets
from jumpcalc.plan.inputs.assume import stroke_energy
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.carry import Cure, cures
from jumpcalc.plan.studies.cure import cure_of
from jumpcalc.plan.studies.explain import explain
from jumpcalc.plan.studies.started import Start, started
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import vary

__all__ = ["not_confirmed"]

_SAME = 1e-6  # m/s
_SHARES = (0.35, 0.6, 0.8, 0.9, 1.0)  # of the run-in, from where the coach's rider started


def not_confirmed(answer: Answer) -> Iterator[str]:
    """What is advised about a line and does not hold when tried."""
    for index in range(len(answer.jumps) - 1):
        for cure in cures(answer, index):
            found = _between(answer, index, cure)
            if found:
                yield f"cure between: {cure.kind} {cure.was} to {cure.becomes}: {found}"
    if answer.jumps[0].run_in is not None and answer.jumps[0].no_ride is None and answer.jumps[0].window.speeds is not None:
        yield from _strokes(answer)
        yield from _brake(answer)
        yield from _coach(answer)


def _between(answer: Answer, index: int, cure: Cure) -> str:
    """What is wrong with a cure between two jumps, or nothing."""
    speeds = answer.jumps[index].window.speeds
    if cure.changes:
        changed = solve(vary(answer.line, dict(cure.changes)))
        carry, wanted = changed.ride.carries[index] if changed.ride else None, changed.jumps[index + 1].window.speeds
        if carry is None:
            edge = _by_hand(changed, index, lambda speed, roller: (speed, 0.0))
            return "" if wanted.min - _SAME <= edge <= wanted.max + _SAME else f"{edge} not in {wanted}"
        inside = carry.speeds is not None and carry.speeds[0] - _SAME <= speeds.aim <= carry.speeds[1] + _SAME
        return "" if inside and wanted.min - _SAME <= carry.from_aim <= wanted.max + _SAME else f"{carry} {wanted}"
    one = prepare(answer.line).jumps[index]
    ground, start = one.terrain.ground, one.terrain.runout_start + PAST_THE_LANDING

    def done(speed: float, roller) -> tuple[float, float]:
        if cure.kind == "strokes":
            return math.sqrt(speed**2 + 2 * cure.becomes * stroke_energy(answer.complete)), 0.0
        braking = replace(roller, braking=one.conditions.braking)
        return float(roll(ground, start, speed, braking, end=start + cure.over).speed[0]), cure.over

    edge, wanted = _by_hand(answer, index, done), answer.jumps[index + 1].window.speeds
    return "" if wanted.min - _SAME <= edge <= wanted.max + _SAME else f"{edge} not in {wanted}"


def _by_hand(answer: Answer, index: int, done) -> float:
    """The speed at the next edge of whoever lands a jump's aim and does something where the landing ends."""
    here, following = prepare(answer.line).jumps[index : index + 2]
    landing, ground = answer.jumps[index].landings[1], here.terrain.ground
    roller = here.roller(here.conditions.landing_rolling, here.body.height)
    start = here.terrain.runout_start + PAST_THE_LANDING
    speed = float(roll(ground, landing.along_face, landing.along_ground, roller, end=start).speed[0])
    speed, further = done(speed, roller)
    foot = roll(ground, start + further, speed, roller, end=here.terrain.runout_end).speed
    return float(climb(following, foot, following.roller(following.conditions.lip_rolling, following.body.height))[0][0])


def _strokes(answer: Answer) -> Iterator[str]:
    """A run-in that is too short: with as many strokes as are told its top gives the aim, with one less it does not."""
    found, aim = answer.jumps[0].run_in, answer.jumps[0].window.speeds.aim
    plan = found.strokes
    yield from _higher(answer)
    if found.missing is None or plan is None or not plan.made < plan.needed <= plan.fit:
        return
    tops = [solve(vary(answer.line, {"run_in.strokes": count})).jumps[0].run_in.lip_speed for count in (plan.needed, plan.needed - 1)]
    if tops[0] is None or tops[0] < aim - _SAME or (tops[1] is not None and tops[1] > aim + _SAME):
        yield f"strokes from the top: {plan.needed} give {tops[0]}, one less {tops[1]}, the aim is {aim}"
    if plan.works is not None and solve(vary(answer.line, {"run_in.strokes": plan.works})).jumps[0].run_in.mark is None:
        yield f"strokes that are told: {plan.works} have no start mark for the aim"


def _higher(answer: Answer) -> Iterator[str]:
    """A start further up, on ground that goes on as it begins: with its first straight so much longer the line has it."""
    found, pieces = answer.jumps[0].run_in, answer.line.run_in.pieces
    if found.higher is None or not pieces or pieces[0].length is None:
        return
    longer = replace(pieces[0], length=pieces[0].length + found.higher + 1e-6)
    there = solve(vary(answer.line, {"run_in.pieces": (longer, *pieces[1:])})).jumps[0].run_in
    if there.mark is None:
        yield f"a start further up: {found.higher} m, then {there.lip_speed} m/s from the top, missing {there.missing}"


def _brake(answer: Answer) -> Iterator[str]:
    """Braking before the lip, ridden from the top of a run-in whose strokes are made there."""
    jump, run_in = answer.jumps[0], run_in_of(prepare(answer.line))
    way = jump.run_in.brake
    if way is None or run_in.strokes_at is not None:
        return
    plain, places = run_in.roller(), (run_in.foot - way.begin, run_in.foot - way.end)
    braking = replace(plain, braking=way.use / run_in.brake_use * run_in.braking)
    begun = float(roll(run_in.ground, 0.0, math.sqrt(run_in.start_speed**2 + 2 * run_in.stroke), plain, end=places[0]).speed[0])
    slowed = float(roll(run_in.ground, places[0], begun, braking, end=places[1]).speed[0])
    foot = float(roll(run_in.ground, places[1], slowed, plain, end=run_in.foot).speed[0])
    if not abs(foot - jump.window.foot.aim) < 0.02 * jump.window.foot.aim:
        yield f"brake: comes to the foot with {foot}, the aim is {jump.window.foot.aim}"


def _coach(answer: Answer) -> Iterator[str]:
    """Landings from some start marks, and whether what is told then lands clean."""
    line, length, one = answer.line, answer.jumps[0].run_in.length, prepare(answer.line).jumps[0]
    strokes = answer.complete.run_in.strokes
    for share in _SHARES:
        mark = share * length
        seen = from_mark(line, mark) if run_in_of(prepare(line)).fits(length - mark) else None
        if seen is None or seen.landing is None or seen.landing.x is None or seen.landing.surface == "edge":
            continue
        found = explain(answer, 0, rear_place(one, seen.landing))
        if found.why_none is not None:
            continue
        start = Start(mark=mark, strokes=strokes)
        cure = cure_of(answer, 0, found, start=start, begun=started(answer, 0, found, start))
        tries = [("mark", cure.mark, None)] if cure.mark is not None else []
        tries += [("strokes", mark, strokes + cure.strokes)] if cure.strokes is not None else []
        for kind, to, count in tries:
            ridden = from_mark(line, min(to, length), strokes=count)
            if ridden.lip_speed is None:
                yield f"coach: from {mark} m {kind} {to} {count} does not reach the edge"
                continue
            room = float(targets(one)[0].room(land(one, np.array([ridden.lip_speed])))[0])
            if room < -2e-9:
                yield f"coach: from {mark} m {kind} {to} {count} lands {room} m outside"
