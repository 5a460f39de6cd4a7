"""Line -> DayPlan: the steps from rolling the run-in to the first flight of this line, and which of them a log of tries shows done.

A step shows what the next one needs: speed checks from lower marks with the lip not jumped, then from the mark for the aim, then a
smaller version or the same jump as a table where one can be had, then the jump. That order is common practice, no source; how many
checks a step takes is a judgement. Speeds, marks and places to stop are those of `solve` and of rides on the same run-in.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.plan.answer import Answer, JumpAnswer, LandingResult
from jumpcalc.plan.ask.brake import abort_of
from jumpcalc.plan.ask.run_in import RunIn, run_in_of
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.limits import FALL_ZONE
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.field.check import Band, Check, check
from jumpcalc.plan.studies.field.cones import Cones
from jumpcalc.plan.studies.field.steps import SAME_MARK, Shown, Step, counted
from jumpcalc.plan.studies.field.tries import Try
from jumpcalc.plan.studies.field.window import window_alone
from jumpcalc.plan.studies.rideable import Refused, marks, refused
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import vary

__all__ = ["CHECKS", "NOTHING", "DayPlan", "Version", "day_plan"]

CHECKS = 3
"""Checks in a row within the go band before the lip is jumped, and clean flights before the next step: a judgement, no source."""

NOTHING = ("no mark", "no way off")
"""What a line lacks that leaves no steps at all."""

_SHARES = (0.6, 0.8)  # of the aim's speed, for the marks before it
_MARK_STEP = 0.5  # m, to which lower marks are set
_PLACES = 120  # along the run-in
_SMALLER = 0.5  # of the gap, for a smaller version
_LEAST_GAP = 1.0  # m


@dataclass(frozen=True, slots=True, kw_only=True)
class Version:
    """An easier version of the first jump, solved: its gap [m], whether it is a table, speeds at the foot to go by [m/s], start mark [m].

    `short` is what a tenth too slow does on it.
    """

    gap: float
    table: bool
    foot: tuple[float, float, float]
    mark: float | None
    short: LandingResult | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPlan:
    """The test day of a line.

    `refused` is why there is nothing to test by; there are no steps then. `cones` and `bands` are how the speed before the first lip
    is checked. `cannot` says which steps this line lacks, by name: ``"no run-in"``, ``"no mark"`` (the run-in does not give the speed)
    and ``"no way off"`` (no check at full speed), after which there are no steps, ``"way off not known"``, ``"no table"`` (short of a
    gap is a hit on a wall), ``"room not known"`` (to stop), ``"next must be jumped"``, ``"next not known"``.
    `clear` is how far beside the landing nobody stands [m].
    With a log, `day` is the day that counts and `shown` what its rides show.
    """

    answer: Answer
    example: bool
    refused: Refused | None
    steps: tuple[Step, ...]
    cones: Cones | None
    bands: tuple[Band, ...]
    versions: tuple[Version, ...]
    cannot: tuple[str, ...]
    clear: float
    day: str | None
    shown: Shown | None

    @property
    def first(self) -> JumpAnswer:
        """The jump of the first flight."""
        return self.answer.jumps[0]

    @property
    def following(self) -> Step | None:
        """The first step that the log does not show done; None without a log, or where all are."""
        return next((step for step in self.steps if step.done is not None and not step.shown), None)


def day_plan(line: Line, *, example: bool = False, tries: Sequence[Try] = ()) -> DayPlan:
    """The test day of a line.

    Parameters
    ----------
    line : Line
        As measured.
    example : bool
        Whether it is an example, not the reader's own line.
    tries : sequence of Try
        A log of this line, in order; those of its last day are counted.

    Returns
    -------
    DayPlan
        Steps in order, each with what it must show.

    Raises
    ------
    InputError
        Where inputs contradict each other.
    """
    answer = solve(line)
    why, first = refused(answer), answer.jumps[0]
    clear = FALL_ZONE.value + max(first.heights.lip or 0.0, 0.0)
    if why is not None:
        return DayPlan(
            answer=answer, example=example, refused=why, steps=(), cones=None, bands=(), versions=(), cannot=(), clear=clear,
            day=None, shown=None,
        )
    day = max((one.date for one in tries), default=None)
    today = [one for one in tries if one.date == day]
    found = check(answer, example=example)
    steps, versions = _steps(answer, found), _versions(answer)
    cannot = _cannot(answer, steps, versions)
    if any(word in NOTHING for word in cannot):
        steps, versions = (), ()
    steps, shown = counted(line, steps, today)
    return DayPlan(
        answer=answer, example=example, refused=None, steps=steps, cones=found.cones, bands=found.bands, versions=versions, cannot=cannot,
        clear=clear, day=day, shown=shown,
    )


def _steps(answer: Answer, checked: Check) -> tuple[Step, ...]:
    """Checks from low to high, the first flight, then the jumps after it."""
    prepared = prepare(answer.line)
    run_in, first, found, window = run_in_of(prepared), answer.jumps[0], marks(answer), checked.window
    if window is None or (run_in is not None and found is None):
        return ()
    go, mark = (window.low, window.aim, window.high), None
    if run_in is not None:
        mark = found.mark
        go = (go[0], min(max(found.foot[1], go[0]), go[2]), go[2])
        cones, half = checked.cones, 0.5 * answer.complete.bike.wheelbase
        measured = 0.0 if cones is None else cones.before_foot + cones.length + half
        checks = _checks(run_in, prepared.jumps[0].reaction, mark, go, measured=measured)
    else:
        checks = [Step(kind="check", jump=1, mark=None, go=go, stop=None, needs=CHECKS, done=None)]
    jump = Step(kind="jump", jump=1, mark=mark, go=go, stop=first.abort, needs=CHECKS, done=None)
    after = [
        Step(kind="next", jump=number, mark=mark, go=_at_foot(answer.jumps[number - 1]), stop=None, needs=1, done=None)
        for number in range(2, len(answer.jumps) + 1)
    ]
    return (*checks, jump, *after)


def _at_foot(jump: JumpAnswer) -> tuple[float, float, float]:
    """Speeds at the foot of a jump [m/s], at the edge of a drop, that are to be had: those that a check of it would be for."""
    own = window_alone(jump)
    return own.low, own.aim, own.high


def _checks(run_in: RunIn, reaction: float, mark: float, go: tuple[float, float, float], *, measured: float) -> list[Step]:
    """Checks from marks that give shares of the aim's speed, then from the aim's own.

    Strokes that are made at the mark end before the speed is measured, from so many metres before the foot on.
    """
    pedalled = run_in.strokes * run_in.development if run_in.strokes_at is None else 0.0
    starts = np.linspace(max(run_in.foot - mark, 0.0), run_in.foot, _PLACES)[:-1]
    starts = np.array([s for s in starts if run_in.fits(s)])
    speeds = run_in.forward(starts, run_in.roller())[0] if len(starts) else starts
    there = np.isfinite(speeds)
    chosen = []
    for share in _SHARES:
        if not there.any() or not speeds[there].min() <= share * go[1] <= speeds[there].max():
            continue
        order = np.argsort(speeds[there])
        place = run_in.foot - float(np.interp(share * go[1], speeds[there][order], starts[there][order]))
        place = round(place / _MARK_STEP) * _MARK_STEP
        if pedalled:
            place = max(place, math.ceil((pedalled + measured) / _MARK_STEP) * _MARK_STEP)
        if 0 < place < mark - 2 * SAME_MARK and place not in chosen and run_in.fits(run_in.foot - place):
            chosen.append(place)
    begin = run_in.foot - np.array([*chosen, mark])
    foot, _, _, tracks = run_in.forward(np.maximum(begin, 0.0), run_in.roller(), track=True)
    half = 0.5 * (go[2] - go[0])
    made = []
    for row, place in enumerate([*chosen, mark]):
        waits = run_in.strokes_at is not None and begin[row] >= run_in.strokes_at
        ridden = [track.row(row) for track in tracks[:-1]]
        last = row == len(chosen)
        speed = float(foot[row])
        made.append(
            Step(
                kind="check", jump=1, mark=place, go=go if last else (speed - half, speed, speed + half),
                stop=abort_of(run_in, ridden[-1:] if waits else ridden, reaction), needs=CHECKS if last else 1, done=None,
            )
        )
    return made


def _versions(answer: Answer) -> tuple[Version, ...]:
    """Easier versions of a first jump with a gap that land clean by `solve`: half of it as a table, then all of it as one."""
    jump = answer.complete.jumps[0]
    if answer.jumps[0].shape == "drop":
        return ()
    half = round(_SMALLER * jump.landing.gap / _MARK_STEP) * _MARK_STEP
    gaps = [half] if _LEAST_GAP <= half < jump.landing.gap else []
    gaps += [jump.landing.gap] if answer.jumps[0].shape == "gap" else []
    found = []
    for gap in gaps:
        try:
            other = solve(vary(replace(answer.line, jumps=answer.line.jumps[:1]),
                               {"jump[1].landing.gap_m": gap, "jump[1].shape": "tabletop"}))
        except InputError:
            continue
        one = other.jumps[0]
        # one that nobody could stop from, or that has no window of its own, is no easier version
        if one.window.foot is None or (len(answer.jumps) == 1 and refused(other) is not None):
            continue
        found.append(
            Version(
                gap=gap, table=True, foot=_at_foot(one), mark=None if one.run_in is None else one.run_in.marks[1],
                short=None if one.sensitivity is None else one.sensitivity.slow_10,
            )
        )
    return tuple(found)


def _cannot(answer: Answer, steps: Sequence[Step], versions: Sequence[Version]) -> tuple[str, ...]:
    """What of a test in steps this line does not allow."""
    line, first = answer.complete, answer.jumps[0]
    lacks = []
    if first.run_in is None:
        lacks.append("no run-in")
    elif not steps:
        lacks.append("no mark")
    full = next((step for step in reversed(steps) if step.kind == "check"), None)
    stops = full is not None and full.stop is not None and full.stop.exists and full.stop.last <= 2 * answer.complete.bike.wheelbase
    if full is not None and not stops:
        way = line.jumps[0].way_round
        lacks += ["no way off"] if way is False else ["way off not known"] if way is None else []
    if first.shape == "gap" and not versions:
        lacks.append("no table")
    if answer.jumps[-1].stop is None:
        lacks.append("room not known")
    if first.way_out is not None:
        lacks += {True: [], False: ["next must be jumped"], None: ["next not known"]}[first.way_out.way_round]
    return tuple(lacks)
