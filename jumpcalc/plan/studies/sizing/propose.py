"""What is proposed for a site: jumps that the full answer confirms for every rider."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.plan.answer import Answer, Jumps
from jumpcalc.plan.inputs.assume import foot_slope
from jumpcalc.plan.inputs.line import Jump, Landing, Line, Lip, RunIn, Runout, Skill
from jumpcalc.plan.inputs.site import Site
from jumpcalc.plan.solve import add_ride, solve_jumps
from jumpcalc.plan.studies.sizing.ground import LaidOut, line_of
from jumpcalc.plan.studies.sizing.lay import EXIT_RADIUS
from jumpcalc.plan.studies.sizing.rate import REACTION, Rated
from jumpcalc.plan.studies.sizing.search import Found
from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["SIZES", "Proposal", "broken", "chosen", "jump_lines", "proposal", "proposals", "trade", "unconfirmed"]

SIZES = ("small", "middle", "large")
_TRIES = 8  # jumps of one size that the full answer is asked of
_ONE_SIZE = 0.5  # m, gaps that lie no further apart are one size
_APART = 3.0  # m, stakes of the natural ground nearer to what is built are left out


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Proposal:
    """A jump that every rider's full answer confirms.

    `size` is one of `SIZES` or empty; `answers` one for each rider of the site, in their order, `chances` theirs of landing short
    and too long at the aim, by the spread of speed alone; `tolerance` half of the narrowest window before the lip [m/s], `dirt`
    compacted [m³], `room` from the highest start of an aim to the last stand [m]; `place` and `ends` are the foot of the lip and
    the end of the landing's curve, along the ground from the first stake [m].
    """

    size: str
    place: float
    ends: float
    chances: tuple[tuple[float, float], ...]
    answers: tuple[Answer, ...]
    tolerance: float
    dirt: float
    room: float

    @property
    def line(self) -> Line:
        """The line file, ridden by the first rider."""
        return self.answers[0].line


def jump_lines(laid: LaidOut, jumps: Rated, row: int) -> tuple[Line, ...]:
    """A rated jump as line files, one for each rider of the site.

    Parameters
    ----------
    laid : LaidOut
        The site.
    jumps : Rated
        Several.
    row : int
        Which.

    Returns
    -------
    tuple of Line
        Measures in centimetres and whole degrees, the ground before and after through the site's own stakes.
    """
    site, natural = laid.site, laid.natural
    place, gap, angle, radius, straight, drop, fall = (float(v) for v in jumps.jumps.array[row])
    end = float(jumps.landing_s[row])
    end_z = float(natural.at(np.array(end))[1])
    along = [s for s, _ in site.ground.stakes]
    before = [*(s for s in along if s < place - _APART), place]
    after = [end, *(s for s in along if s > end + _APART)]
    if after[-1] < natural.s[-1] - 1e-6:
        after.append(float(natural.s[-1]))

    def staked(places: list[float], zero: float, height: float) -> tuple[tuple[float, float], ...]:
        heights = natural.at(np.array(places))[1]
        pairs = [(round(s - zero, 2), round(height - float(z), 3)) for s, z in zip(places, heights, strict=True)]
        return ((0.0, 0.0), *pairs[1:])

    top = float(natural.z[0])
    degree = math.radians(1.0)
    jump = Jump(
        name=site.wanted.shape,
        shape=site.wanted.shape,
        lip=Lip(
            angle=round(angle / degree) * degree, radius=round(radius, 2), straight=round(straight, 2), width=site.wanted.lip_width
        ),
        landing=Landing(
            gap=round(gap, 2), drop=round(drop, 2), angle=round(fall / degree) * degree, length=round(float(jumps.face[row]), 2),
            exit_radius=EXIT_RADIUS, width=site.wanted.landing_width,
        ),
        runout=Runout(surface=site.ground.surface, grip=site.ground.grip, stakes=staked(after, end, end_z), reaction=REACTION),
        way_round=site.limits.way_round,
        side_clear=site.ground.side_clear,
    )  # fmt: skip
    run_in = RunIn(surface=site.ground.surface, grip=site.ground.grip, stakes=staked(before, 0.0, top))
    return tuple(
        replace(line_of(site, rider, jump, run_in=run_in, title=site.title), skill=Skill(speed_sd=rider.speed_sd)) for rider in site.riders
    )


def proposal(laid: LaidOut, jumps: Rated, row: int, *, size: str = "") -> Proposal | None:
    """A rated jump with the full answer of every rider.

    Parameters
    ----------
    laid : LaidOut
        The site.
    jumps : Rated
        Several.
    row : int
        Which.
    size : str
        What it is called.

    Returns
    -------
    Proposal or None
        None where an answer does not keep a limit.
    """
    answers = []
    for line, there in zip(jump_lines(laid, jumps, row), laid.riders, strict=True):
        try:
            alone = solve_jumps(line)
            # the jump alone tells most, and costs half
            if broken(laid.site, alone, fastest=there.rider.fastest, spread=there.rider.speed_sd):
                return None
            answer = add_ride(alone)
        except InputError:
            return None
        if answer.jumps[0].run_in is None or answer.jumps[0].run_in.marks[1] is None:
            return None
        answers.append(answer)
    half = [0.5 * (a.jumps[0].window.foot.max - a.jumps[0].window.foot.min) for a in answers]
    place = float(jumps.jumps.place[row])
    starts = [place - a.jumps[0].run_in.marks[1] for a in answers]
    return Proposal(
        size=size,
        place=place,
        ends=float(jumps.landing_s[row]),
        chances=tuple(_chances(a, there.rider.speed_sd) for a, there in zip(answers, laid.riders, strict=True)),
        answers=tuple(answers),
        tolerance=min(half),
        dirt=float(jumps.dirt[row]),
        room=max(_stand(laid, a) for a in answers) - min(starts),
    )


def unconfirmed(laid: LaidOut, jumps: Rated, row: int) -> tuple[str, ...]:
    """Which limits the full answers to a rated jump do not keep, where `proposal` gives none.

    Parameters
    ----------
    laid : LaidOut
        The site.
    jumps : Rated
        Several.
    row : int
        Which.

    Returns
    -------
    tuple of str
        Names of `KEPT`, or ``"window"``; ``"run-in"`` where all others are kept.
    """
    found: dict[str, None] = {}
    for line, there in zip(jump_lines(laid, jumps, row), laid.riders, strict=True):
        try:
            found |= dict.fromkeys(broken(laid.site, solve_jumps(line), fastest=there.rider.fastest, spread=there.rider.speed_sd))
        except InputError:
            found["window"] = None
    return tuple(found) or ("run-in",)


def _stand(laid: LaidOut, answer: Answer) -> float:
    """Where on the natural ground the fastest clean landing comes to a stand [m]."""
    stop = answer.jumps[0].stop
    return float(laid.natural.s[-1]) - stop.margin


def broken(site: Site, answer: Jumps, *, fastest: float, spread: float) -> tuple[str, ...]:
    """Which limits of a site the answer of one rider does not keep, the run-in not looked at.

    Parameters
    ----------
    site : Site
        With its defaults filled in.
    answer : Jumps
        One jump.
    fastest : float
        The fastest speed that this rider can have before the lip [m/s].
    spread : float
        Standard deviation of that speed, as a share of it.

    Returns
    -------
    tuple of str
        Names of `KEPT`, or ``"window"``; empty where all are kept.
    """
    jump, line = answer.jumps[0], answer.complete
    if jump.window.foot is None or jump.no_ride is not None:
        return ("window",)
    foot, lip = jump.window.foot, line.jumps[0].lip
    slope = foot_slope(line, 0)
    load = math.cos(slope) + foot.max**2 / (STANDARD_GRAVITY * (lip.radius - line.rider.centre_of_mass_height))
    short, long = _chances(answer, spread)
    checks = {
        "lip load": load > site.limits.lip_load,
        "speed": foot.aim > fastest,
        "short": short > site.limits.short,
        "long": long > site.limits.long,
        "room": jump.stop is None or not jump.stop.stops,
        "rollable": bool(site.limits.rollable) and not jump.rollable.yes,
    }
    return tuple(name for name, broke in checks.items() if broke)


def _chances(answer: Jumps, spread: float) -> tuple[float, float]:
    """Chances of landing short and too long at the aim, by a normal spread of speed before the lip alone."""
    foot = answer.jumps[0].window.foot
    sd = max(spread * foot.aim, 1e-9)
    return tuple(0.5 * math.erfc(off / (sd * math.sqrt(2))) for off in (foot.aim - foot.min, foot.max - foot.aim))


def chosen(found: Rated) -> list[tuple[str, list[int]]]:
    """The jumps of each size in the order in which the full answer is asked of them.

    Parameters
    ----------
    found : Rated
        Those that nothing beats.

    Returns
    -------
    list of (str, list of int)
        A size and rows; the sizes are thirds of the gaps that there are, and rows go by how near they come to the best of their
        size in tolerance, dirt and room at once.
    """
    gaps = found.jumps.gap
    if not len(gaps):
        return []
    if np.ptp(gaps) < _ONE_SIZE:
        return [(SIZES[1], np.argsort(_from_best(found), kind="stable").tolist())]
    bounds = np.linspace(gaps.min(), gaps.max(), len(SIZES) + 1)
    sizes = []
    for number, size in enumerate(SIZES):
        below = gaps < bounds[number + 1] - 1e-9 if number < len(SIZES) - 1 else np.ones(len(gaps), bool)
        rows = np.nonzero((gaps >= bounds[number] - 1e-9) & below)[0]
        if len(rows):
            sizes.append((size, rows[np.argsort(_from_best(found.rows(rows)), kind="stable")].tolist()))
    return sizes


def _from_best(found: Rated) -> np.ndarray:
    """How far each is from having the best tolerance, the least dirt and the least room of all."""
    measures = np.stack([-found.tolerance, found.dirt, found.room], axis=1)
    wide = np.maximum(np.ptp(measures, axis=0), 1e-9)
    return np.linalg.norm((measures - measures.min(axis=0)) / wide, axis=1)


def proposals(laid: LaidOut, found: Found) -> Iterator[Proposal]:
    """A small, a middle and a large jump of one shape, each confirmed.

    Parameters
    ----------
    laid : LaidOut
        The site.
    found : Found
        From `search`.

    Yields
    ------
    Proposal
        From small to large; fewer where the full answer confirms none of a size.
    """
    for size, rows in chosen(found.front):
        for row in rows[:_TRIES]:
            made = proposal(laid, found.front, row, size=size)
            if made is not None:
                yield made
                break


def trade(laid: LaidOut, found: Found, known: tuple[Proposal, ...]) -> Iterator[Proposal]:
    """Jumps that show what more tolerance, size, less dirt and less room cost, each confirmed.

    Parameters
    ----------
    laid : LaidOut
        The site.
    found : Found
        From `search`.
    known : tuple of Proposal
        Not to be shown again.

    Yields
    ------
    Proposal
        Of each size the one with most tolerance and the one with least dirt, and of all the largest and the one with least room.
    """
    front, shown = found.front, {one.line.jumps[0] for one in known}
    every = [(np.array(rows), (-front.tolerance, front.dirt)) for _, rows in chosen(front)]
    if every:
        every.append((np.arange(len(front.jumps)), (-front.jumps.gap, front.room)))
    for rows, wanted in every:
        for best in wanted:
            for row in rows[np.argsort(best[rows], kind="stable")][: _TRIES // 2]:
                made = proposal(laid, front, int(row))
                if made is not None and made.line.jumps[0] not in shown:
                    shown.add(made.line.jumps[0])
                    yield made
                    break
