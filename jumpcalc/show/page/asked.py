"""What only those wait for who have opened a panel, worked out of a line; no part of Streamlit, so that workers stay small.

Each takes from a tenth of a second to several, so it keeps to one worker and leaves the others to what everybody waits for.
"""

from __future__ import annotations

import numpy as np

from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.best_mark import Best, Costs, best_mark
from jumpcalc.plan.studies.between import Stretch
from jumpcalc.plan.studies.between import between as stretch_between
from jumpcalc.plan.studies.compare import Comparison, compare
from jumpcalc.plan.studies.field.learn import Learned, learn
from jumpcalc.plan.studies.field.tries import Try
from jumpcalc.plan.studies.field.why import Why
from jumpcalc.plan.studies.field.why import why as why_of
from jumpcalc.plan.studies.measures import Measures
from jumpcalc.plan.studies.measures import measures as measures_of
from jumpcalc.plan.studies.odds import Odds
from jumpcalc.plan.studies.odds import odds as odds_of
from jumpcalc.plan.studies.remedies import Remedy, remedies
from jumpcalc.plan.studies.sizes import Size
from jumpcalc.plan.studies.sizes import sizes as sizes_of
from jumpcalc.plan.vary import with_bike
from jumpcalc.plan.views.carry import carry_view
from jumpcalc.plan.views.lesson import curve_view, narrowed_view, off_view
from jumpcalc.plan.views.wheels import wheels_view
from jumpcalc.show.page.elsewhere import elsewhere
from jumpcalc.show.page.worked import solved
from jumpcalc.show.page.workers import When
from jumpcalc.show.paper import lesson as draw_lesson
from jumpcalc.show.paper.carry import carry
from jumpcalc.show.paper.wheels import wheels
from jumpcalc.show.words.numbers import Reader

__all__ = ["best", "between", "bikes", "learned", "lesson", "measures", "odds", "odds_drawn", "sizes", "speeds_drawn", "why"]

_ROWS = 32768  # a person waits for them


@elsewhere(50, When.OPENED)
def odds(line: Line, rider: str) -> Odds | None:
    """How often it goes well for one of `RIDERS`."""
    return odds_of(solved.here(line), np.random.default_rng(0), rider=rider, rows=_ROWS)


@elsewhere(50, When.OPENED)
def best(line: Line, rider: str, costs: Costs) -> Best | None:
    """The start that costs least."""
    return best_mark(solved.here(line), np.random.default_rng(0), rider=rider, costs=costs)


@elsewhere(50, When.OPENED)
def odds_drawn(line: Line, index: int, rider: str, reader: Reader, stamp: str) -> str:
    """The drawing of where the rear wheel comes down, of a jump that somebody comes to."""
    jump = odds.here(line, rider).jumps[index]
    return wheels(wheels_view(solved.here(line), index, jump), jump, reader, stamp=stamp).svg()


@elsewhere(20, When.OPENED)
def between(line: Line, index: int, steps: tuple[float, float]) -> tuple[Stretch, tuple[Remedy, ...]]:
    """What lies between a jump and the next, and what helps."""
    answer = solved.here(line)
    stretch = stretch_between(answer, index, steps=steps)
    return stretch, remedies(answer, stretch)


@elsewhere(50, When.OPENED)
def speeds_drawn(line: Line, reader: Reader, stamp: str) -> str:
    """The drawing of speeds along a line of several jumps."""
    return carry(carry_view(solved.here(line)), reader, stamp=stamp).svg()


@elsewhere(50, When.OPENED)
def sizes(line: Line, index: int) -> tuple[Size, ...]:
    """Smaller and larger gaps of a jump."""
    return sizes_of(solved.here(line), index)


@elsewhere(100, When.OPENED)
def measures(line: Line, index: int) -> Measures | None:
    """What each measurement's own error does to a jump."""
    return measures_of(solved.here(line), index)


@elsewhere(50, When.OPENED)
def bikes(line: Line, first: str, second: str) -> Comparison:
    """The line on two kinds of bike."""
    return compare(with_bike(line, first), with_bike(line, second))


@elsewhere(50, When.OPENED)
def learned(line: Line, tries: tuple[Try, ...]) -> Learned:
    """What tries teach."""
    return learn(line, tries)


@elsewhere(50, When.OPENED)
def why(line: Line, tries: tuple[Try, ...]) -> Why:
    """Why they land elsewhere than the line as measured says."""
    return why_of(line, tries)


@elsewhere(50, When.OPENED)
def lesson(line: Line, tries: tuple[Try, ...], reader: Reader, stamp: str) -> tuple[str, str, str]:
    """The drawings of what tries teach: the curve, what was narrowed, how far each lies off."""
    found = learned.here(line, tries)
    curve = draw_lesson.curve(curve_view(found), reader, stamp=stamp)
    narrowed, off = draw_lesson.narrowed(narrowed_view(found), stamp=stamp), draw_lesson.off(off_view(found), stamp=stamp)
    return curve.svg(), narrowed.svg(), off.svg()
