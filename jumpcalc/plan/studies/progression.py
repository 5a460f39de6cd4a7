"""One line as several, small to large, whose steps are equal in effort.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
v        lip speed at the aim                                  m/s
G, R     gap; radius of the lip                                m
h_c      height of the centre of mass                          m
=======  ====================================================  =========

Effort is v. With the angle of the lip and the fall of the landing held, the time in the air grows in proportion to v, the gap with
v²: equal steps of v are equal steps of air time and of what is to be ridden at, equal steps of gap would be largest at the small
end. Held are the angle and the straight of every lip, the fall of every landing and the curve out of it, widths, surfaces and the
run-in. A gap G' = r G has a drop r times as large. A lip left at v' has R' − h_c = (v'/v)² (R − h_c), the same load at the aim,
or the next wider one on which a stiff rider's wheels stay.
Its landing is as long as it takes for the tolerance, half of the clean speeds before the lip, to be no smaller than the line's own.
The ground between two jumps is laid out anew, so that the whole sure window carries. Each step is solved before it is given.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.plan import limits
from jumpcalc.plan.answer import Answer
from jumpcalc.plan.ask.clean import Clean, clean_speeds
from jumpcalc.plan.ask.leaving import curve_of
from jumpcalc.plan.inputs.assume import lip_shape
from jumpcalc.plan.inputs.dug import Jump
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.arrive import lies
from jumpcalc.plan.studies.between import fitting
from jumpcalc.plan.studies.earth import dirt
from jumpcalc.plan.studies.rideable import Marks, Refused, marks, refused
from jumpcalc.plan.terrain import prepare

__all__ = ["Cannot", "Step", "progression"]

_LEAST_GAP, _GAP_STEP = 0.8, 0.02  # m
_RADIUS, _RADIUS_STEP = 2.5, 0.05  # m, the departure from tighter lips was not checked
_WIDER, _ROOM = 0.2, 1.3  # m, between radii that are tried; of half a window, at which wheels must stay on the lip
_LENGTH_STEP, _LONGER = 0.25, 12  # m of landing; how many of them longer than the line's own at most
_TURNS = 6
_SAME = 1e-6  # m/s
_ALIKE = 0.05  # m/s, by which a lip speed may be missed with gaps in steps of 2 cm


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step: its `number` from 1, whether its gaps are `tables`, its line, solved, where to start, and each jump's dirt [m³].

    `feet` says of all but the first where their feet lie: along the ground and lower than the end of the landing before [m].
    """

    number: int
    tables: bool
    answer: Answer
    marks: Marks
    dirt: tuple[float | None, ...]
    feet: tuple[tuple[float, float], ...]

    @property
    def line(self) -> Line:
        """The line file."""
        return self.answer.line


@dataclass(frozen=True, slots=True, kw_only=True)
class Cannot:
    """A step that cannot be had, and why.

    `why` is ``"no window"``, ``"not measured"`` (the run-in) or ``"not measured between"`` of the line itself, ``"no size"`` where no
    measures in tape steps give the speed with the tolerance, ``"no ground"`` where none between `jump` and the next carries,
    ``"harder"`` where it would hit harder than the line itself, ``"not checked"`` where how a lip is left was not checked though the
    line's own was, or ``"refused"``, with the reason; ``"no mark"`` where no start on this run-in gives the aim.
    """

    number: int
    tables: bool
    why: str
    jump: int | None = None
    refused: Refused | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Size:
    """A jump made smaller: a `share` of its gap, the `length` of its landing and the `radius` of its lip [m], None for a drop."""

    share: float
    length: float
    radius: float | None


def progression(line: Line, *, steps: int, smallest: float = 0.5) -> Iterator[Step | Cannot]:
    """A line in steps of equal effort, the last one the line itself; each with its gaps as tables first.

    Parameters
    ----------
    line : Line
        As measured.
    steps : int
        How many, 2 or more.
    smallest : float
        The gaps of the first step as a share of the line's own.

    Yields
    ------
    Step or Cannot
        Small to large.

    Notes
    -----
    A drop has no table before it: nothing lies between its edge and its landing that could be filled.
    """
    prepared = prepare(line)
    whole = [clean_speeds(one) for one in prepared.jumps]
    for number, found in enumerate(whole, start=1):
        if found.window.speeds is None:
            yield Cannot(number=steps, tables=False, why="no window", jump=number)
            return
    if not (line.run_in.pieces or line.run_in.stakes):
        yield Cannot(number=steps, tables=False, why="not measured")
        return
    for number, one in enumerate(prepared.jumps[:-1], start=1):
        if one.terrain.runout_end is None:
            yield Cannot(number=steps, tables=False, why="not measured between", jump=number)
            return
    answer = solve(line)
    today = refused(answer)
    if today is not None and today.why == "today":
        yield Cannot(number=steps, tables=False, why="refused", jump=today.jump, refused=today)
        return
    large = [found.window.speeds.aim for found in whole]
    small = [_smallest(line, index, smallest, own) for index, own in enumerate(whole)]
    gaps = any((jump.shape or "gap") == "gap" for jump in line.jumps)
    for number in range(1, steps + 1):
        made: Line | Cannot = line
        if number < steps:
            share = (number - 1) / (steps - 1)
            wanted = [None if low is None else low + share * (high - low) for low, high in zip(small, large, strict=True)]
            made = _made(line, number, wanted, whole)
        for tables in (True, False) if gaps else (False,):
            if isinstance(made, Cannot):
                yield replace(made, tables=tables)
            else:
                yield _confirmed(_tables(made) if tables else made, number, steps, tables=tables, own=answer)


def _tables(line: Line) -> Line:
    """The line with a deck in each gap."""
    return replace(line, jumps=tuple(replace(jump, shape="tabletop") if (jump.shape or "gap") == "gap" else jump for jump in line.jumps))


def _smallest(line: Line, index: int, share: float, own: Clean) -> float | None:
    """The aim [m/s] of a jump at a share of its gap; None where it has none."""
    aim, length = math.sqrt(share) * own.window.speeds.aim, line.jumps[index].landing.length
    for _ in range(2):  # the radius of its lip hangs on its aim
        found = _clean(line, index, _Size(share=share, length=length, radius=_radius(line, index, aim, own)))
        if found is None:
            return None
        aim = found[1].window.speeds.aim
    return aim


def _radius(line: Line, index: int, speed: float, own: Clean) -> float | None:
    """The radius [m] of a jump's lip for an aim [m/s]: that of the same load, or the next one on which a stiff rider's wheels stay."""
    full = prepare(line).line
    if full.jumps[index].shape == "drop":
        return None
    high, radius = full.rider.centre_of_mass_height if full.rider.path == "bike" else 0.0, lip_shape(full, index)[0]
    least = min(radius, max(_RADIUS, 1.5 * high))
    alike = high + (speed / own.window.speeds.aim) ** 2 * (radius - high)
    tightest = max(least, min(radius, _RADIUS_STEP * round(alike / _RADIUS_STEP)))
    if full.rider.path != "bike":
        return round(tightest, 3)
    about = speed + _ROOM * 0.5 * (own.window.speeds.max - own.window.speeds.min) * np.array([-1.0, 0.0, 1.0])
    for wider in np.arange(tightest, radius, _WIDER):
        lip = replace(line.jumps[index].lip, radius=round(float(wider), 3), height=None)
        loads = curve_of(prepare(_with(line, index, replace(line.jumps[index], lip=lip))).jumps[index]).loads(about)
        if not loads.lifts.any() and loads.greatest[1] <= limits.STIFF_LOAD.value:
            return round(float(wider), 3)
    return radius


def _with(line: Line, index: int, jump: Jump) -> Line:
    """The line with another jump in the place of one."""
    return replace(line, jumps=(*line.jumps[:index], jump, *line.jumps[index + 1 :]))


def _sized(line: Line, index: int, size: _Size) -> Line:
    """The line with one jump at a size, in steps of a tape."""
    jump, full = line.jumps[index], prepare(line).line
    own = full.jumps[index]
    gap = max(_GAP_STEP * round(size.share * own.landing.gap / _GAP_STEP), min(_LEAST_GAP, own.landing.gap))
    share = gap / own.landing.gap
    lip = jump.lip if size.radius is None else replace(jump.lip, radius=size.radius, height=None)
    landing = replace(jump.landing, gap=round(gap, 3), drop=round(share * own.landing.drop, 2), length=round(size.length, 3))
    return _with(line, index, replace(jump, lip=lip, landing=landing))


def _clean(line: Line, index: int, size: _Size) -> tuple[Line, Clean] | None:
    """The line with one jump at a size and its clean speeds; None where it cannot be, or has none whatever the rider does."""
    try:
        made = _sized(line, index, size)
        found = clean_speeds(prepare(made).jumps[index])
    except InputError:
        return None
    return None if found.window.speeds is None or found.sure is None else (made, found)


def _tolerance(found: Clean) -> float:
    """Half of the clean speeds before the lip [m/s]."""
    return 0.5 * (found.window.foot.max - found.window.foot.min)


def _made(line: Line, number: int, wanted: list[float | None], whole: list[Clean]) -> Line | Cannot:
    """The line with all its jumps at these aims [m/s], or what cannot be had."""
    sized = line
    for index, (speed, own) in enumerate(zip(wanted, whole, strict=True)):
        found = None if speed is None else _at_speed(line, index, speed, own)
        if found is None:
            return Cannot(number=number, tables=False, why="no size", jump=index + 1)
        sized = _with(sized, index, found)
    for index in range(len(wanted) - 1):
        carried = fitting(sized, index)
        if carried is None:
            return Cannot(number=number, tables=False, why="no ground", jump=index + 1)
        sized = carried
    return sized


def _at_speed(line: Line, index: int, speed: float, own: Clean) -> Jump | None:
    """A jump whose aim is left at a speed, with the line's own tolerance or more; None where there is none in steps of a tape."""
    gap, length = line.jumps[index].landing.gap, line.jumps[index].landing.length
    pace = (speed / own.window.speeds.aim) ** 2
    radius = _radius(line, index, speed, own)
    size, known, best = _Size(share=pace, length=length, radius=radius), [(1.0, own.window.speeds.aim)], None
    for _ in range(_TURNS):
        found = _long_enough(line, index, size, _tolerance(own))
        if found is None:
            return None
        made, clean = found
        landing, aim = made.jumps[index].landing, clean.window.speeds.aim
        if best is None or abs(aim - speed) < best[0]:
            best = abs(aim - speed), made.jumps[index]
        now, (one, was), known = landing.gap / gap, known[-1], [*known, (landing.gap / gap, aim)]
        if math.isclose(one, now) or math.isclose(was, aim):
            break
        share = max(now + (speed - aim) * (now - one) / (aim - was), 0.5 * now)
        if round(share * gap / _GAP_STEP) == round(now * gap / _GAP_STEP):
            break
        size = _Size(share=share, length=landing.length, radius=radius)
    return best[1] if best[0] <= _ALIKE else None


def _long_enough(line: Line, index: int, size: _Size, tolerance: float) -> tuple[Line, Clean] | None:
    """A jump with the shortest landing, in steps of a tape from that of the size on, that leaves the tolerance."""

    def enough(steps: int) -> tuple[Line, Clean] | None:
        found = _clean(line, index, replace(size, length=_LENGTH_STEP * steps))
        return found if found is not None and _tolerance(found[1]) >= tolerance - _SAME else None

    steps = math.ceil(size.length / _LENGTH_STEP - 1e-9)
    made = enough(steps)
    if made is None:
        return next((found for more in range(1, _LONGER + 1) if (found := enough(steps + more)) is not None), None)
    # the longest that is not enough is sought in growing strides, then between the last two
    stride, low, high = 1, 0, steps
    while high - stride > 1:
        shorter = enough(high - stride)
        if shorter is None:
            low = high - stride
            break
        made, high, stride = shorter, high - stride, 2 * stride
    while low and high - low > 1:
        middle = (low + high) // 2
        shorter = enough(middle)
        made, high, low = (made, high, middle) if shorter is None else (shorter, middle, low)
    return made


def _confirmed(line: Line, number: int, steps: int, *, tables: bool, own: Answer) -> Step | Cannot:
    """A step, if the full answer finds it clean from a start on this run-in."""
    called = f"step {number} of {steps}{', gaps as tables' if tables else ''}"
    planned = "" if number == steps and not tables else "planned from that line, not measured"
    named = replace(line, title=f"{line.title or 'untitled line'}, {called}")
    if planned:
        named = replace(named, measured_on=None, measured_by=None, notes=planned)
    answer = solve(named)
    why = refused(answer)
    if why is not None:
        return Cannot(number=number, tables=tables, why="refused", jump=why.jump, refused=why)
    for at, (jump, large) in enumerate(zip(answer.jumps, own.jumps, strict=True), start=1):
        if jump.landings[1].equivalent_fall > large.landings[1].equivalent_fall + 0.05:
            return Cannot(number=number, tables=tables, why="harder", jump=at)
        if not {note.code for note in jump.unchecked} <= {note.code for note in large.unchecked}:
            return Cannot(number=number, tables=tables, why="not checked", jump=at)
    found = marks(answer)
    if found is None:
        return Cannot(number=number, tables=tables, why="no mark")
    return Step(
        number=number, tables=tables, answer=answer, marks=found, dirt=tuple(dirt(named, i) for i in range(len(named.jumps))),
        feet=tuple(lies(one)[:2] for one in prepare(named).jumps[:-1]),
    )  # fmt: skip
