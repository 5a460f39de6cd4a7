"""What a log of tries teaches: what moved, by how much, how sure; what remains of scatter; the next try."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.plan import limits
from jumpcalc.plan.inputs.assume import complete
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.surfaces import WET
from jumpcalc.plan.studies.field.blame import Cause, causes_of, ways_to_differ
from jumpcalc.plan.studies.field.corrected import Next, corrected_line, next_try
from jumpcalc.plan.studies.field.expect import World, started
from jumpcalc.plan.studies.field.fit import Fit, fit
from jumpcalc.plan.studies.field.scatter import posterior
from jumpcalc.plan.studies.field.seen import ATTITUDE, FOOT, GUSTS, PLACE, Left, landed_as, seen_of
from jumpcalc.plan.studies.field.tries import Try, days, elsewhere, named
from jumpcalc.plan.studies.field.unknowns import SCATTERS, rolling_of, unknowns_of

__all__ = ["ENOUGH", "Blunder", "Held", "Learned", "Taught", "fitted", "learn"]

ENOUGH = 3
"""Tries below which nothing is learned: priors stay, and that is said."""

_MOST_TRIES = 200
_TOLD = 0.9  # share of the prior's standard deviation below which a value was told by the tries
_TIED = 0.6  # correlation beyond which two unknowns cannot be told apart


@dataclass(frozen=True, slots=True, kw_only=True)
class Taught:
    """One value before and after tries, in SI, with its standard deviations.

    `name` as in `Unknown`; rolling resistance and drag area are the values themselves, lip the angle, slope the factor on all
    slopes, sensor the factor on speeds that a wheel sensor shows, wind what is added to the wind as it was seen. `share` is what
    remains of the doubt.
    """

    name: str
    of: str
    before: float
    before_sd: float
    after: float
    after_sd: float
    share: float

    @property
    def told(self) -> bool:
        """Whether the tries say anything of it."""
        return self.share < _TOLD


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """One try held against the fit: speeds at the foot [m/s] and places of the rear wheel [m along the landing], as expected and as seen.

    `sd` of each is that of one try, `foot_error` that of its speed check. `far` is how far it lies from what the others
    say, in standard deviations, `trusted` whether it was believed; `number` its place in the log.
    """

    number: int
    date: str
    mark: float | None
    foot: float
    foot_sd: float
    foot_seen: float | None
    foot_error: float | None
    touched: float
    touched_sd: float
    touched_seen: float | None
    outcome: str | None
    far: float
    trusted: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Blunder:
    """A try that was not believed: its place in the log, how far it lies off, and what would explain it, best first."""

    number: int
    far: float
    causes: tuple[Cause, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """What tries taught.

    `used` of them were believed, `left` were not looked at, with why; `elsewhere` of all say that they were ridden on other ground.
    `scatter` is that of spring [m/s] and of speed, as a share, `scatter_before` what was taken of it. `tied` names pairs of unknowns
    that these tries cannot tell apart, with their correlation. `corrected` is the line with these values, `next` the next try on it.
    `landed` is how those tries came down that tell.
    """

    line: Line
    tries: tuple[Try, ...]
    used: int
    left: tuple[Left, ...]
    elsewhere: int
    taught: tuple[Taught, ...]
    scatter: tuple[float, float]
    scatter_before: tuple[float, float]
    held: tuple[Held, ...]
    blunders: tuple[Blunder, ...]
    tied: tuple[tuple[str, str, float], ...]
    origin: str
    corrected: Line
    next: Next
    landed: tuple[str, ...]

    @property
    def torn(self) -> bool:
        """Whether half of the landings or more are not clean, some short and some long: no start mark mends that."""
        off = [one for one in self.landed if one != "clean"]
        return len(set(off)) > 1 and 2 * len(off) >= len(self.landed)

    @property
    def enough(self) -> bool:
        """Whether there were tries enough to learn from."""
        return self.used >= ENOUGH

    @property
    def otherwise(self) -> tuple[str, ...]:
        """What some of the tries had otherwise than the line says, for which the next mark is: tailwind, start_speed, strokes."""
        line, ridden = self.next.answer.complete, [self.tries[one.number] for one in self.held]
        own = {"tailwind": line.air.tailwind, "start_speed": line.run_in.start_speed, "strokes": line.run_in.strokes}
        near = {"tailwind": limits.WIND_DOUBT.value, "start_speed": limits.SAME_SPEED.value, "strokes": 0}
        given = {name: [getattr(one, name) for one in ridden if getattr(one, name) is not None] for name in own}
        return tuple(name for name, values in given.items() if any(abs(value - own[name]) > near[name] for value in values))


def learn(line: Line, tries: Sequence[Try], *, rider: str | None = None, progress: Callable[[int, int], None] | None = None) -> Learned:
    """What tries on the first jump of a line teach.

    Parameters
    ----------
    line : Line
        As measured.
    tries : sequence of Try
        A log; tries of other riders, on another kind of bike than the line's, or on wet ground are left out and named.
    rider : str, optional
        Whose tries; of the one with the most when not given.
    progress : callable, optional
        Told how many rounds are done, of how many at most.

    Returns
    -------
    Learned
        With fewer than `ENOUGH` tries the priors hardly move, and the intervals say so.

    Raises
    ------
    InputError
        Where there is no try to learn from, or inputs of the line contradict each other.
    """
    tries = tuple(tries)
    found, mine, left = fitted(line, tries, rider=rider, progress=progress)
    seen, jump = found.seen, found.world.prepared(0.0, 0.0).jumps[0]
    landed = [landed_as(jump, one) for one in seen.tries]
    used = int(found.trusted.sum())
    believed = tuple(one for one, good in zip(seen.tries, found.trusted, strict=True) if good)
    origin = f"{used} {'try' if used == 1 else 'tries'} of {days(believed)}"
    corrected = corrected_line(found, line, origin=origin)
    return Learned(
        line=line,
        tries=tries,
        used=used,
        left=left,
        elsewhere=elsewhere(line.fingerprint, tries),
        taught=_taught(found),
        scatter=(float(found.scatter[0]), float(found.scatter[1])),
        scatter_before=tuple(one.sd for one in SCATTERS),
        held=_held(found, mine, landed),
        blunders=tuple(
            Blunder(
                number=mine[seen.number[i]],
                far=float(found.far[i]),
                causes=causes_of(found, [i], ways_to_differ(found, _without(found, i))),
            )
            for i in np.nonzero(~found.trusted)[0]
        ),
        tied=_tied(found),
        origin=origin,
        corrected=corrected,
        next=next_try(found, line, corrected),
        landed=tuple(one for one in landed if one is not None),
    )


def fitted(
    line: Line, tries: Sequence[Try], *, rider: str | None = None, progress: Callable[[int, int], None] | None = None
) -> tuple[Fit, list[int], tuple[Left, ...]]:
    """The fit to the tries of one rider.

    Parameters
    ----------
    line : Line
        As measured.
    tries : sequence of Try
        A log.
    rider : str, optional
        Whose tries; of the one with the most when not given.
    progress : callable, optional
        Told how many rounds are done, of how many at most.

    Returns
    -------
    found : Fit
        The fit.
    mine : list of int
        Places in the log of the tries that it looked at.
    left : tuple of Left
        The others.

    Raises
    ------
    InputError
        Where there is no try to learn from, or the line was corrected already.
    """
    if line.learned_from is not None:
        told = f"{line.learned_from} corrected this line already; learn from its tries with the line as measured"
        raise InputError(told, key="learned_from")
    tries = tuple(tries)
    mine, others = _of_one_rider(line, tries, rider)
    seen, unused = seen_of(line, [tries[i] for i in mine])
    unused = tuple(Left(number=mine[one.number], why=one.why) for one in unused)
    left = tuple(sorted((*others, *unused), key=lambda one: one.number))
    if not len(seen):
        raise InputError(f"no try to learn from{f'; {left[0].why}' if left else ''}", key="log")
    world = World(complete(line)[0], unknowns_of(line, seen.tries))
    return fit(world, seen, started(world.line, seen.tries, seen.foot), progress=progress), mine, left


def _of_one_rider(line: Line, tries: tuple[Try, ...], rider: str | None) -> tuple[list[int], tuple[Left, ...]]:
    """Places of the tries of one rider on the line's bike and on dry ground, and the others."""
    bike = complete(line)[0].bike.kind
    on_it = [one for one in tries if one.bike in (None, bike)]
    if rider is None and on_it:
        most = Counter(named(one.rider) for one in on_it).most_common(1)[0][0]
        rider = next(one.rider for one in on_it if named(one.rider) == most)
    elif rider is not None and not any(named(one.rider) == named(rider) for one in tries):
        names = ", ".join(sorted({one.rider for one in tries if one.rider}))
        raise InputError(f"{rider}; there are tries of {names or 'nobody by name'}", key="rider")
    mine, left = [], []
    for number, one in enumerate(tries):
        if one.bike not in (None, bike):
            left.append(Left(number=number, why=f"ridden on another bike, {one.bike}"))
        elif named(one.rider) != named(rider):
            left.append(Left(number=number, why=f"ridden by {one.rider or 'somebody'}, not by {rider or 'the one without a name'}"))
        elif one.surface in WET:
            # no doubt that anyone may state covers wet ground, and what it hides would be laid on slope and wind
            left.append(Left(number=number, why=f"ridden on {one.surface}, which says nothing of the dry line", wet=True))
        else:
            mine.append(number)
    for number in mine[:-_MOST_TRIES]:
        left.append(Left(number=number, why=f"older than the last {_MOST_TRIES}"))
    return mine[-_MOST_TRIES:], tuple(left)


def _taught(found: Fit) -> tuple[Taught, ...]:
    """Each unknown before and after."""
    line, spread = found.world.line, np.sqrt(np.diag(found.after.covariance))
    out = []
    for one, mean, sd in zip(found.world.unknowns, found.after.mean, spread, strict=True):
        value, doubt = float(mean * one.sd), float(sd * one.sd)
        if one.name in ("rolling", "drag"):
            ground = None if one.of == (line.run_in.surface or "") else one.of
            base = rolling_of(line, ground) if one.name == "rolling" else line.rider.drag_area
            after = base * math.exp(value)
            numbers = (base, base * one.sd, after, after * doubt, float(sd))
        else:
            spring = line.skill.spring_mean or 0.0
            base = {"lip": line.jumps[0].lip.angle, "spring": spring, "slope": 1.0, "sensor": 1.0, "wind": 0.0}[one.name]
            numbers = (base, one.sd, base + value, doubt, float(sd))
        fields = ("before", "before_sd", "after", "after_sd", "share")
        out.append(Taught(name=one.name, of=one.of, **dict(zip(fields, numbers, strict=True))))
    return tuple(out)


def _held(found: Fit, mine: list[int], landed: Sequence[str | None]) -> tuple[Held, ...]:
    """Each try, landed as it is taken, against the fit."""
    seen, now, spread = found.seen, found.swings, np.array([*found.scatter, ATTITUDE, GUSTS])
    sd = np.sqrt(
        np.einsum("nip,pq,niq->ni", now.jacobian, found.after.covariance, now.jacobian) + np.sum(np.square(now.ways * spread), axis=2)
    )
    known = lambda value: float(value) if np.isfinite(value) else None  # noqa: E731
    return tuple(
        Held(
            number=mine[seen.number[i]],
            date=one.date,
            mark=known(found.begun.mark[i]),
            foot=float(now.here.foot[i]),
            foot_sd=float(sd[i, FOOT]),
            foot_seen=known(seen.foot[i]),
            foot_error=known(seen.foot_error[i]),
            touched=float(now.here.place[i]),
            touched_sd=float(sd[i, PLACE] / now.here.each[i]),
            touched_seen=known(seen.marked.place[i]),
            outcome=landed[i],
            far=float(found.far[i]),
            trusted=bool(found.trusted[i]),
        )
        for i, one in enumerate(seen.tries)
    )


def _without(found: Fit, number: int) -> np.ndarray:
    """The unknowns that the other tries that are believed tell."""
    others = found.every.some(found.trusted[found.every.of] & (found.every.of != number))
    return posterior(others, found.scatter, found.after.mean).mean


def _tied(found: Fit) -> tuple[tuple[str, str, float], ...]:
    """Pairs of unknowns that these tries cannot tell apart, the closest first."""
    spread = np.sqrt(np.diag(found.after.covariance))
    correlation = found.after.covariance / np.outer(spread, spread)
    names = [one.name for one in found.world.unknowns]
    pairs = [
        (names[i], names[j], float(correlation[i, j]))
        for i in range(len(names))
        for j in range(i)
        if abs(correlation[i, j]) > _TIED and names[i] != names[j]
    ]
    return tuple(sorted(pairs, key=lambda pair: -abs(pair[2])))
