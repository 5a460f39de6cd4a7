"""What the page asks of `plan` and draws at every change, worked out of a line; no part of Streamlit, so that workers stay small.

A worker that has begun on a line keeps what these share, such as its answer, and goes on from there.
"""

from __future__ import annotations

from dataclasses import dataclass

from jumpcalc.errors import InputError
from jumpcalc.plan.answer import Answer, Jumps, LandingResult
from jumpcalc.plan.ask.from_mark import FromMark, from_mark
from jumpcalc.plan.ask.inverse import Place
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.solve import add_ride, solve_jumps
from jumpcalc.plan.studies.cure import Cure, cure_of
from jumpcalc.plan.studies.explain import Explanation, explain
from jumpcalc.plan.studies.started import Start, Started, started
from jumpcalc.plan.views.hill import HillView, hill_view
from jumpcalc.plan.views.pick import pick_view
from jumpcalc.plan.views.side import SideView, first_view
from jumpcalc.plan.views.stop import stop_view
from jumpcalc.plan.views.strip import Strip, strip
from jumpcalc.show.page.elsewhere import elsewhere
from jumpcalc.show.paper import hill as draw_hill
from jumpcalc.show.paper import side as draw_side
from jumpcalc.show.paper.pick import clock, landing, step_between
from jumpcalc.show.paper.strip import flights
from jumpcalc.show.paper.svg import Frame
from jumpcalc.show.words.numbers import Reader

__all__ = [
    "Landing",
    "begun",
    "cure",
    "explained",
    "hill",
    "jumps_solved",
    "landing_drawn",
    "moments",
    "ridden",
    "side",
    "solved",
    "stopping",
]

_STEP = 0.04  # s, between the moments that a clock runs through; straight lines between them are right to two centimetres


@elsewhere(100)
def jumps_solved(line: Line) -> Jumps:
    """The answer to a line without run-in and ride."""
    return solve_jumps(line)


@elsewhere(100)
def solved(line: Line) -> Answer:
    """The whole answer to a line."""
    return add_ride(jumps_solved.here(line))


@elsewhere(100, first=True)
def side(line: Line, index: int, own: LandingResult | None, reader: Reader, stamp: str) -> tuple[SideView, str]:
    """A jump from the side: what is shown, and the drawing."""
    view = first_view(line, index, own)
    return view, draw_side.side(view, reader, stamp=stamp).svg()


@elsewhere(100, first=True)
def ridden(line: Line, mark: float) -> FromMark | None:
    """The ride from a start mark [m]; None where there is none, or it is not on a measured run-in."""
    try:
        return from_mark(line, mark)
    except InputError:  # said under the field, or of the whole line
        return None


@elsewhere(100)
def hill(line: Line, mark: float | None, reader: Reader, stamp: str) -> tuple[HillView, str]:
    """The whole line on its hill, ridden from a start mark [m]: what is shown, and the drawing."""
    view = hill_view(solved.here(line), mark)
    return view, draw_hill.hill(view, reader, stamp=stamp).svg()


@elsewhere(100)
def stopping(line: Line, index: int, reader: Reader, stamp: str) -> str:
    """The drawing of landing and runout."""
    answer = jumps_solved.here(line)
    return draw_side.stopping(stop_view(answer, index), answer.jumps[index], reader, stamp=stamp).svg()


@elsewhere(100)
def explained(line: Line, index: int, place: Place) -> Explanation:
    """A landing explained."""
    return explain(jumps_solved.here(line), index, place)


@dataclass(frozen=True, slots=True, kw_only=True)
class Landing:
    """The landing to tap with both flights over it: the drawing, its size [pt] and its frame, and the flights as numbers."""

    size: tuple[float, float]
    frame: Frame
    svg: str
    flights: list[list[list[float]]]


@elsewhere(100, first=True)
def landing_drawn(line: Line, index: int, place: Place | None, reader: Reader, stamp: str) -> Landing:
    """The landing to tap, with both flights where a place is given that a speed leads to."""
    answer = jumps_solved.here(line)
    found = None if place is None else explained.here(line, index, place)
    seen = None if found is None or found.why_none is not None else strip(answer, index, found, step=_STEP)
    view = pick_view(answer, index, place, step=step_between(reader))
    sheet, frame = landing(view, reader, seen=seen, stamp=stamp)
    size = sheet.width, sheet.height
    return Landing(size=size, frame=frame, svg=sheet.svg(), flights=[] if seen is None else clock(frame, seen))


@elsewhere(100)
def moments(line: Line, index: int, place: Place, reader: Reader, stamp: str) -> tuple[Strip, str]:
    """Both flights moment by moment, where a speed leads to the place: what is shown, and the drawing."""
    found = explained.here(line, index, place)
    seen = strip(jumps_solved.here(line), index, found)
    return seen, flights(found, seen, reader, stamp=stamp).svg()


@elsewhere(100)
def begun(line: Line, index: int, place: Place, start: Start) -> Started | None:
    """What the run-in gives from where somebody started who landed at a place."""
    return started(solved.here(line), index, explained.here(line, index, place), start)


@elsewhere(100)
def cure(line: Line, index: int, place: Place, start: Start) -> Cure:
    """What to change after a landing."""
    found = explained.here(line, index, place)
    return cure_of(solved.here(line), index, found, start=start, begun=begun.here(line, index, place, start))
