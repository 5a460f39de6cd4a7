"""Several riders on one line: from which mark each of them starts, and who cannot ride it and why."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.ask.run_in import run_in_of
from jumpcalc.plan.inputs.defaults import filled
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.rider import Bike
from jumpcalc.plan.inputs.site import Group, SiteRider
from jumpcalc.plan.inputs.surfaces import BIKES
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.rideable import NOT_AT_ALL, Marks, marks, refused
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import vary

__all__ = ["Cannot", "Member", "Together", "together"]

_TRIED = 40  # marks between which it is looked for who comes too fast


class Cannot(StrEnum):
    """Why a rider cannot ride a line; what has no note of the answer's own."""

    TOO_FAST_FOR_THEM = "too fast for them"
    NO_ROOM = "no room to stop"
    RUN_IN_TOO_SHORT = "run-in too short"
    NO_MARK = "no start mark"


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """One rider's answer.

    `marks` are the start marks [m before the foot] from which every jump lands clean and nobody comes faster than they ride, None
    where there are none or the run-in is not measured; `mark` the one to begin with. `cannot` says why not to ride it, each with the
    number of the jump it is about, or None: a note of the answer or a `Cannot` with the speed or the length it is about.
    """

    rider: SiteRider
    answer: Answer
    marks: tuple[float, float] | None
    mark: float | None
    cannot: tuple[tuple[Note | Cannot, int | None, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """All riders, and the start marks [m before the foot] from which everyone who can ride it lands every jump clean, if any."""

    members: tuple[Member, ...]
    shared: tuple[float, float] | None


def together(line: Line, group: Group) -> Together:
    """Each rider of a group on one line.

    Parameters
    ----------
    line : Line
        As measured; its rider and bike are left aside, all else stays. The hardest landing accepted is that of the line or of the
        kind of bike, whichever is less.
    group : Group
        The riders.

    Returns
    -------
    Together
        In the order of the group.

    Raises
    ------
    InputError
        Where inputs contradict each other.
    """
    members = tuple(_member(line, filled(rider), number) for number, rider in enumerate(group.riders, start=1))
    able = [one.marks for one in members if not one.cannot]
    shared = None
    if able and None not in able:
        low, high = max(low for low, _ in able), min(high for _, high in able)
        shared = (low, high) if low <= high else None
    return Together(members=members, shared=shared)


def _member(line: Line, rider: SiteRider, number: int) -> Member:
    kind = BIKES[rider.bike]
    accepted = line.limits.equivalent_fall
    hardest = kind.equivalent_fall if accepted is None else min(accepted, kind.equivalent_fall)
    answer = solve(vary(line, {"rider": rider.body, "bike": Bike(kind=rider.bike), "limits.equivalent_fall_m": hardest}))
    ridden = marks(answer)
    clean = None if answer.ride is None else answer.ride.window
    return Member(
        rider=replace(rider, name=rider.name or f"rider {number}"),
        answer=answer,
        marks=clean if clean is None else (clean[0], _slow_enough(answer, rider.fastest, clean)),
        mark=None if ridden is None else ridden.mark,
        cannot=tuple(_cannot(answer, rider, ridden)),
    )


def _slow_enough(answer: Answer, fastest: float, clean: tuple[float, float]) -> float:
    """The highest of a line's marks [m before the foot] from which nobody comes to the first foot faster than they ride [m/s]."""
    run_in = run_in_of(prepare(answer.line))
    tried = np.linspace(*clean, _TRIED)
    foot = run_in.forward(np.maximum(run_in.foot - tried, 0.0), run_in.roller())[0]
    fast = np.nonzero(foot > fastest)[0]
    if not len(fast) or fast[0] == 0:  # where even the lowest is too fast another reason says so
        return clean[1]
    at = fast[0]
    return float(np.interp(fastest, foot[at - 1 : at + 1], tried[at - 1 : at + 1]))


def _cannot(answer: Answer, rider: SiteRider, ridden: Marks | None) -> list[tuple[Note | Cannot, int | None, float]]:
    """What stands against riding it; on a day, or a jump, that no speed is given for, that alone."""
    found: list[tuple[Note | Cannot, int | None, float]] = []
    why = refused(answer)
    if why is not None and why.why in NOT_AT_ALL:
        jump = answer.jumps[why.jump - 1]
        of = jump.no_ride or next(note for note in jump.beware if note.code is Code.NARROWER_THAN_A_HANDLEBAR)
        return [(of, why.jump, 0.0)]
    for number, jump in enumerate(answer.jumps, start=1):
        if jump.window.foot is None:
            found.append((jump.window.why_none, number, 0.0))
        elif jump.window.foot.aim > rider.fastest:
            found.append((Cannot.TOO_FAST_FOR_THEM, number, jump.window.foot.aim))
    if not found and answer.ride is not None and answer.ride.window is None:
        found.append((answer.ride.why_none, answer.ride.why_none.jump, 0.0))
    if not found and answer.ride is not None and ridden is None:
        run_in = answer.jumps[0].run_in
        found.append((Cannot.NO_MARK, 1, 0.0) if run_in.missing is None else (Cannot.RUN_IN_TOO_SHORT, 1, run_in.missing))
    for number, jump in enumerate(answer.jumps, start=1):
        if jump.way_out is None and jump.stop is not None and not jump.stop.stops:
            found.append((Cannot.NO_ROOM, number, 0.0 if jump.stop.margin is None else -jump.stop.margin))
    return found
