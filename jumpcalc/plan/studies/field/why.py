"""Why tries land elsewhere than the line as measured says: the same off in all of them, or scatter, and what would explain it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.plan.answer import Answer
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.field.blame import Cause, causes_of, ways_to_differ
from jumpcalc.plan.studies.field.learn import fitted
from jumpcalc.plan.studies.field.seen import ATTITUDE, GUSTS, PLACE, Left, landed_as
from jumpcalc.plan.studies.field.tries import Try, elsewhere
from jumpcalc.plan.studies.field.unknowns import SCATTERS
from jumpcalc.plan.studies.rideable import Refused, refused

__all__ = ["Day", "Why", "why"]

_SURE = 2.0  # standard deviations of the mean beyond which an offset is one
_WIDE = 1.5  # times the usual scatter beyond which it is more than usual
_OTHERWISE = 2.5  # standard deviations beyond which a day is another than the others
_AMONG = ("brake", "rolling", "wind", "lip", "spring", "gap", "slope", "mark")
_OF_A_DAY = ("brake", "rolling", "wind", "spring", "mark")  # what was measured of the ground is the same on all days
_FEW_SLIPS = 0.2  # of the tries, up to which those that are not believed are left out


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """The tries of one day: how many, and how much more lip speed they show than the line as measured says [m/s]."""

    date: str
    count: int
    offset: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """What several landings have in common.

    Of `count` tries `short` came down short of where a landing is clean and `long` beyond it. `offset` is how much more lip speed theirs
    show than the line as measured says [m/s], negative where they land short of it, with its standard deviation; `spread` what they
    differ by from try to try, `usual` what is usual [m/s]. `expected_short` is how many would be short by the line as measured, from
    the marks they rode; `mark` its own start mark for the aim [m], None where there is none or the line is none to ride by, which
    `refused` says of its `answer`. `causes` would explain the offset and move landings the same way, each by itself, best first.
    Where the days differ by more than scatter does, `days` holds each of them, and `causes` are those of the one that is furthest off,
    `odd`; else it is empty. `slips` go with none of the others and were left out, `left` were not looked at; `elsewhere` of all say that
    they were ridden on other ground.
    """

    count: int
    short: int
    long: int
    offset: float
    offset_sd: float
    spread: float
    usual: float
    expected_short: int
    mark: float | None
    refused: Refused | None
    answer: Answer
    causes: tuple[Cause, ...]
    days: tuple[Day, ...]
    slips: int
    left: tuple[Left, ...]
    elsewhere: int

    @property
    def odd(self) -> Day | None:
        """The day that is furthest off, None where all are alike."""
        return _furthest(self.days)

    @property
    def is_offset(self) -> bool:
        """Whether the same is off in all of them."""
        return not self.days and abs(self.offset) > _SURE * self.offset_sd

    @property
    def is_scatter(self) -> bool:
        """Whether they differ from one another by more than is usual."""
        return not self.days and self.spread > _WIDE * self.usual


def why(line: Line, tries: Sequence[Try], *, rider: str | None = None) -> Why:
    """What several landings have in common that the line as measured does not say.

    Parameters
    ----------
    line : Line
        As measured.
    tries : sequence of Try
        A log.
    rider : str, optional
        Whose tries; of the one with the most when not given.

    Returns
    -------
    Why
        Of the tries that tell where they landed.

    Raises
    ------
    InputError
        Where fewer than two do.
    """
    found, _, left = fitted(line, tries, rider=rider)
    ways = ways_to_differ(found, np.zeros(len(found.world.unknowns)))
    now, marked = ways[0], found.seen.marked
    here = now.here
    taped = np.isfinite(marked.place)
    told = taped | np.isfinite(marked.low) | np.isfinite(marked.high)
    slips = told & ~found.trusted
    if slips.sum() > _FEW_SLIPS * told.sum():  # so many are no slips but what is asked about
        slips = np.zeros_like(told)
    rows = np.nonzero(told & ~slips)[0]
    if len(rows) < 2:
        raise InputError(f"{len(rows)} of the tries tells where it landed; two or more are needed", key="log")
    # an outcome that was expected says that nothing is off
    outside = np.where(here.edge < here.low, here.low - here.edge, np.where(here.edge > here.high, here.high - here.edge, 0.0))
    off = np.where(taped, -np.nan_to_num(here.margin), outside)[rows]
    answer = solve(line)
    no_ride, first = refused(answer), answer.jumps[0]
    jump = found.world.prepared(0.0, 0.0).jumps[0]
    landed = [landed_as(jump, found.seen.tries[i]) for i in rows]
    spread = np.array([*(one.sd for one in SCATTERS), ATTITUDE, GUSTS])
    usual = float(np.median(np.sqrt(np.sum(np.square(now.ways[rows, PLACE] * spread), axis=1))))
    differ = float(np.std(off, ddof=1))
    dates = [found.seen.tries[i].date for i in rows]
    days = _days(off, dates, usual)
    odd = _furthest(days)
    asked = [i for i, date in zip(rows, dates, strict=True) if odd is None or date == odd.date]
    among, toward = (_AMONG, float(np.mean(off))) if odd is None else (_OF_A_DAY, odd.offset)
    causes = causes_of(found, asked, ways, among=among, toward=toward)
    return Why(
        count=len(rows),
        short=landed.count("short"),
        long=landed.count("long"),
        offset=float(np.mean(off)),
        offset_sd=max(differ, usual) / math.sqrt(len(rows)),
        spread=differ,
        usual=usual,
        expected_short=int(np.sum(here.place[rows] < 0)),
        mark=None if first.run_in is None or no_ride is not None else first.run_in.mark,
        refused=no_ride,
        answer=answer,
        causes=causes,
        days=days,
        slips=int(slips.sum()),
        left=left,
        elsewhere=elsewhere(line.fingerprint, tries),
    )


def _furthest(days: Sequence[Day]) -> Day | None:
    return max(days, key=lambda day: abs(day.offset), default=None)


def _days(off: np.ndarray, dates: Sequence[str], usual: float) -> tuple[Day, ...]:
    """The days, where one of them is another than the others by more than tries scatter; none where all are alike."""
    of = {date: off[[each == date for each in dates]] for date in sorted(set(dates))}
    if len(of) < 2:
        return ()
    spare = len(off) - len(of)
    within = math.sqrt(sum(float(np.sum(np.square(some - some.mean()))) for some in of.values()) / spare) if spare else 0.0
    for date, some in of.items():
        others = off[[each != date for each in dates]]
        doubt = max(within, usual) * math.sqrt(1 / len(some) + 1 / len(others))
        if min(len(some), len(others)) > 1 and abs(some.mean() - others.mean()) > _OTHERWISE * doubt:
            return tuple(Day(date=date, count=len(some), offset=float(some.mean())) for date, some in of.items())
    return ()
