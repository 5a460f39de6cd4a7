"""What the page asks of `plan` and draws at every change, worked out of a line; no part of Streamlit, so that workers stay small.

A worker that has begun on a line keeps what these share, such as its answer, and goes on from there.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from jumpcalc.errors import InputError
from jumpcalc.plan.answer import Answer, Jumps, LandingResult
from jumpcalc.plan.ask.from_mark import FromMark, from_mark
from jumpcalc.plan.ask.inverse import Place
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.solve import solve, solve_jumps
from jumpcalc.plan.studies.cure import Cure, cure_of
from jumpcalc.plan.studies.explain import Explanation, explain
from jumpcalc.plan.studies.field.check import Check, check
from jumpcalc.plan.studies.field.kinds import Filmed, Timed
from jumpcalc.plan.studies.field.takes import what_it_takes
from jumpcalc.plan.studies.started import Start, Started, started
from jumpcalc.plan.views.cones import cones_view
from jumpcalc.plan.views.hill import HillView, hill_view
from jumpcalc.plan.views.pick import pick_view
from jumpcalc.plan.views.side import SideView, first_view
from jumpcalc.plan.views.stop import stop_view
from jumpcalc.plan.views.strip import Strip, strip
from jumpcalc.show.files.examples import is_example
from jumpcalc.show.page.elsewhere import elsewhere
from jumpcalc.show.page.workers import When
from jumpcalc.show.paper import cones as draw_cones
from jumpcalc.show.paper import hill as draw_hill
from jumpcalc.show.paper import side as draw_side
from jumpcalc.show.paper.pick import clock, landing, step_between
from jumpcalc.show.paper.strip import flights
from jumpcalc.show.paper.svg import Frame
from jumpcalc.show.words import check as told
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import Words, listed

__all__ = [
    "Landing",
    "begun",
    "checked",
    "cones",
    "cure",
    "hill",
    "jumps_solved",
    "landed",
    "moments",
    "ridden",
    "side",
    "solved",
    "stopping",
    "takes",
]

_STEP = 0.04  # s, between the moments that a clock runs through; straight lines between them are right to two centimetres


@elsewhere(100, When.DRAWS)
def jumps_solved(line: Line) -> Jumps:
    """The answer to a line without run-in and ride."""
    return solve_jumps(line)


@elsewhere(100, When.COMPLETES)
def solved(line: Line) -> Answer:
    """The whole answer to a line."""
    return solve(line)


@elsewhere(100, When.DRAWS)
def side(line: Line, index: int, own: LandingResult | None, reader: Reader, stamp: str) -> tuple[SideView, str]:
    """A jump from the side: what is shown, and the drawing."""
    view = first_view(line, index, own)
    return view, draw_side.side(view, reader, stamp=stamp).svg()


@elsewhere(100, When.DRAWS)
def ridden(line: Line, mark: float) -> FromMark | None:
    """The ride from a start mark [m]; None where there is none, or it is not on a measured run-in."""
    try:
        return from_mark(line, mark)
    except InputError:  # said under the field, or of the whole line
        return None


@elsewhere(100, When.COMPLETES)
def hill(line: Line, mark: float | None, reader: Reader, stamp: str) -> tuple[HillView, str]:
    """The whole line on its hill, ridden from a start mark [m]: what is shown, and the drawing."""
    view = hill_view(solved.here(line), mark)
    return view, draw_hill.hill(view, reader, stamp=stamp).svg()


@elsewhere(100, When.COMPLETES)
def stopping(line: Line, index: int, reader: Reader, stamp: str) -> str:
    """The drawing of landing and runout."""
    answer = jumps_solved.here(line)
    return draw_side.stopping(stop_view(answer, index), answer.jumps[index], reader, stamp=stamp).svg()


@lru_cache(maxsize=100)
def _explained(line: Line, index: int, place: Place) -> Explanation:
    return explain(jumps_solved.here(line), index, place)


@dataclass(frozen=True, slots=True, kw_only=True)
class Landing:
    """A landing, explained where a place is given, and the drawing to tap: its size [pt], its frame, the flights over it as numbers."""

    explained: Explanation | None
    size: tuple[float, float]
    frame: Frame
    svg: str
    flights: list[list[list[float]]]


@elsewhere(100, When.DRAWS)
def landed(line: Line, index: int, place: Place | None, reader: Reader, stamp: str) -> Landing:
    """The landing explained and drawn, with both flights where a place is given that a speed leads to."""
    answer = jumps_solved.here(line)
    found = None if place is None else _explained(line, index, place)
    seen = None if found is None or found.why_none is not None else strip(answer, index, found, step=_STEP)
    view = pick_view(answer, index, place, step=step_between(reader))
    sheet, frame = landing(view, reader, seen=seen, stamp=stamp)
    size = sheet.width, sheet.height
    return Landing(explained=found, size=size, frame=frame, svg=sheet.svg(), flights=[] if seen is None else clock(frame, seen))


@elsewhere(100, When.COMPLETES)
def moments(line: Line, index: int, place: Place, reader: Reader, stamp: str) -> tuple[Strip, str]:
    """Both flights moment by moment, where a speed leads to the place: what is shown, and the drawing."""
    found = _explained(line, index, place)
    seen = strip(jumps_solved.here(line), index, found)
    return seen, flights(found, seen, reader, stamp=stamp).svg()


@elsewhere(100, When.COMPLETES)
def begun(line: Line, index: int, place: Place, start: Start) -> Started | None:
    """What the run-in gives from where somebody started who landed at a place."""
    return started(solved.here(line), index, _explained(line, index, place), start)


@elsewhere(100, When.COMPLETES)
def cure(line: Line, index: int, place: Place, start: Start) -> Cure:
    """What to change after a landing."""
    found = _explained(line, index, place)
    return cure_of(solved.here(line), index, found, start=start, begun=begun.here(line, index, place, start))


@elsewhere(100, When.DRAWS)
def checked(line: Line) -> Check:
    """The speed check of a line."""
    return check(solved.here(line), example=is_example(line))


@elsewhere(100, When.DRAWS)
def cones(line: Line, reader: Reader) -> str:
    """The drawing of the end of the run-in with its cones; empty where there are none."""
    found = checked.here(line)
    view = cones_view(found)
    return "" if view is None else draw_cones.cones(view, found, reader, stamp="EXAMPLE" if found.example else "").svg()


@elsewhere(100, When.COMPLETES)
def takes(line: Line) -> tuple[Words, ...]:
    """What it would take to tell the speed by time and by film."""
    found = checked.here(line)
    return tuple(listed(told.takes(kind, what_it_takes(found, kind), found) for kind in (Timed, Filmed)))
