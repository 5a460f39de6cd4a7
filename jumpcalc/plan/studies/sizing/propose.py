"""What is proposed for a site: jumps that the full answer confirms for every rider."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.plan.answer import Answer, Jumps
from jumpcalc.plan.inputs.assume import foot_slope
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.site import Site
from jumpcalc.plan.solve import add_ride, solve_jumps
from jumpcalc.plan.studies.sizing.ground import LaidOut
from jumpcalc.plan.studies.sizing.lay import dug, lying
from jumpcalc.plan.studies.sizing.rate import Rated
from jumpcalc.plan.studies.sizing.search import Found
from jumpcalc.plan.studies.sizing.written import clean, jump_lines, tightest
from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["SIZES", "Proposal", "broken", "chosen", "proposal", "proposals", "trade", "unconfirmed"]

SIZES = ("small", "middle", "large")
_TRIES = 8  # jumps of one size that the full answer is asked of
_ONE_SIZE = {"gap": 0.5, "tabletop": 0.5, "drop": 0.2}  # m, what lies no further apart is one size


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Proposal:
    """A jump that every rider's full answer confirms.

    `size` is one of `SIZES` or empty; `answers` one for each rider of the site, in their order, `chances` theirs of landing short
    and too long at the aim, by the spread of speed alone; `tolerance` half of the narrowest window before the lip [m/s], `dirt`
    compacted [m³], `room` from the highest start of an aim to the last stand [m]; `place` and `ends` are the foot of lip or deck and
    the end of the landing's curve, along the ground from the first stake [m]; `bank` and `loose` are the dirt before it is dug and
    as it is carried [m³]; `radius` and `straight` those of lip or deck [m],
    `stands` how high its edge is above the ground as it lies [m].
    """

    size: str
    place: float
    radius: float
    straight: float
    stands: float
    ends: float
    chances: tuple[tuple[float, float], ...]
    answers: tuple[Answer, ...]
    tolerance: float
    dirt: float
    bank: float
    loose: float
    room: float

    @property
    def line(self) -> Line:
        """The line file, ridden by the first rider."""
        return self.answers[0].line

    @property
    def extent(self) -> float:
        """Its size as a length [m]: the gap, of a drop how high it is."""
        jump = self.line.jumps[0]
        return jump.landing.drop if jump.shape == "drop" else jump.landing.gap


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
    speeds = [clean(a.jumps[0]) for a in answers]
    starts = [a.line.run_in.stakes[-1][0] - a.jumps[0].run_in.marks[1] for a in answers]
    shape = lying(laid, jumps.jumps.rows(np.array([row])))
    bank, loose = dug(laid.site.wanted, float(jumps.dirt[row]))
    return Proposal(
        size=size,
        place=float(jumps.jumps.place[row]),
        radius=float(jumps.jumps.radius[row]),
        straight=float(jumps.jumps.straight[row]),
        stands=float(shape.edge_z[0] - laid.natural.over(shape.edge_x)[1][0]),
        ends=float(jumps.landing_s[row]),
        chances=tuple(_chances(a, there.rider.speed_sd) for a, there in zip(answers, laid.riders, strict=True)),
        answers=tuple(answers),
        tolerance=min(0.5 * (one.max - one.min) for one in speeds),
        dirt=float(jumps.dirt[row]),
        bank=bank,
        loose=loose,
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
        As of `broken`; ``"run-in"`` where all others are kept.
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
    foot = clean(jump)
    if foot is None or jump.no_ride is not None:
        return ("window",)
    radius = tightest(line) if jump.shape == "drop" else line.jumps[0].lip.radius
    load = math.cos(foot_slope(line, 0)) + foot.max**2 / (STANDARD_GRAVITY * max(radius - line.rider.centre_of_mass_height, 0.1))
    short, long = _chances(answer, spread)
    checks = {
        "lip load": load > site.limits.lip_load,
        "speed": foot.aim > fastest,
        "short": short > site.limits.short,
        "long": long > site.limits.long,
        "room": jump.stop is None or not jump.stop.stops,
        "rollable": bool(site.limits.rollable) and not jump.rollable.yes,
        "carried": any(one.must_be_carried for one in answer.jumps),
    }
    return tuple(name for name, broke in checks.items() if broke)


def _chances(answer: Jumps, spread: float) -> tuple[float, float]:
    """Chances of landing short and too long at the aim, by a normal spread of speed before the lip alone."""
    foot = clean(answer.jumps[0])
    sd = max(spread * foot.aim, 1e-9)
    return tuple(0.5 * math.erfc(off / (sd * math.sqrt(2))) for off in (foot.aim - foot.min, foot.max - foot.aim))


def chosen(found: Rated, shape: str) -> list[tuple[str, list[int]]]:
    """The jumps of each size in the order in which the full answer is asked of them.

    Parameters
    ----------
    found : Rated
        Those that nothing beats.
    shape : str
        Of all of them.

    Returns
    -------
    list of (str, list of int)
        A size and rows; the sizes are thirds of what there is, and rows go by how near they come to the best of their
        size in tolerance, dirt and room at once.
    """
    large = found.size
    if not len(large):
        return []
    if np.ptp(large) < _ONE_SIZE[shape]:
        return [(SIZES[1], np.argsort(_from_best(found), kind="stable").tolist())]
    bounds = np.linspace(large.min(), large.max(), len(SIZES) + 1)
    sizes = []
    for number, size in enumerate(SIZES):
        below = large < bounds[number + 1] - 1e-9 if number < len(SIZES) - 1 else np.ones(len(large), bool)
        rows = np.nonzero((large >= bounds[number] - 1e-9) & below)[0]
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
    for size, rows in chosen(found.front, laid.site.wanted.shape):
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
    every = [(np.array(rows), (-front.tolerance, front.dirt)) for _, rows in chosen(front, laid.site.wanted.shape)]
    if every:
        every.append((np.arange(len(front.jumps)), (-front.size, front.room)))
    for rows, wanted in every:
        for best in wanted:
            for row in rows[np.argsort(best[rows], kind="stable")][: _TRIES // 2]:
                made = proposal(laid, front, int(row))
                if made is not None and made.line.jumps[0] not in shown:
                    shown.add(made.line.jumps[0])
                    yield made
                    break
