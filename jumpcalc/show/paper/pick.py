"""The drawing of a landing to point at: where did the rear wheel touch?"""

from __future__ import annotations

from dataclasses import replace

from jumpcalc.plan.views.pick import PickView
from jumpcalc.plan.views.strip import WHEEL, Strip
from jumpcalc.show.paper.labels import MARGIN, ROW, SMALL, Flag, fan, free, placed, put_fan
from jumpcalc.show.paper.side import PATHS, SOIL, earth, length_in, scale_bar, stamped, to_scale
from jumpcalc.show.paper.strip import hubs
from jumpcalc.show.paper.svg import Frame, Line, Place, Sheet, Words
from jumpcalc.show.words.numbers import Reader

__all__ = ["LOOKS", "clock", "landing", "step_between"]

_TALLEST = 170.0  # pt
_TICK = 5.0  # pt
LOOKS = {"the aim": PATHS["aim"], "this landing": PATHS["slow"]}
"""How each flight is drawn."""


def step_between(reader: Reader) -> float:
    """Distance between the ticks [m]: a metre or two feet."""
    return 0.6096 if reader is Reader.imperial else 1.0


def landing(
    view: PickView, reader: Reader = Reader.metric, *, seen: Strip | None = None, stamp: str = ""
) -> tuple[Sheet, Frame]:
    """Lip, gap and landing with distances from the knuckle, the aim's touchdown and the one in question.

    Parameters
    ----------
    view : PickView
        From `plan.pick.pick_view`, its ticks `step_between` apart.
    reader : Reader
        Who reads it.
    seen : Strip, optional
        Both flights, whose rear wheels are drawn; there is room for their bikes and riders.
    stamp : str
        A word over the drawing, such as EXAMPLE.

    Returns
    -------
    sheet : Sheet
        The drawing.
    frame : Frame
        All of it, in metres from the lip edge.
    """
    marks = [at for at in (view.here, view.aim) if at is not None]
    moments = () if seen is None else (*seen.aim, *seen.theirs)
    flown = [at for moment in moments for at in (moment.rear, moment.front, moment.rider)]
    left = min([-1.0, *(x - WHEEL - 0.2 for x, _ in flown)])
    right = max([view.ticks[-1].x + 0.9, *(x + 0.9 for x, _ in marks), *(x + WHEEL + 0.3 for x, _ in flown)])
    ground = [(x, z) for part in view.ground for x, z in zip(part.x, part.z, strict=True) if left <= x <= right]
    heights = [0.0, *(z for _, z in ground), *(tick.z for tick in view.ticks), *(z for _, z in (*marks, *flown))]
    low, high = min(heights), max(heights) + 0.15
    _, frame = to_scale(left, right, low, high, above=0.0, below=0.0, tallest=_TALLEST)
    touched = {name: at for name, at in (("the aim", view.aim), ("this landing", view.here)) if at is not None}
    flags = [Flag(at=frame.at(*at), text=name, color=LOOKS[name]["color"]) for name, at in touched.items()]
    named = fan(flags, align=1.0)
    above = ROW + 10 + named.height
    sheet, frame = to_scale(left, right, low, high, above=above, below=ROW + 24, tallest=_TALLEST)
    earth(sheet, frame, view.ground)
    put_fan(sheet, named, edge=MARGIN + ROW, up=True, lower=above)
    for name, at in touched.items():
        _cross(sheet, frame.at(*at), name)
    for flight, name in () if seen is None else ((seen.aim, "the aim"), (seen.theirs, "this landing")):
        points = [frame.at(*moment.rear) for moment in flight]
        sheet.put(4, Line(points=points, color=LOOKS[name]["color"], width=1.2, dash=LOOKS[name].get("dash", ()), name="track"))
    _distances(sheet, frame, view, reader)
    scale_bar(sheet, frame, reader)
    stamped(sheet, stamp)
    return sheet, frame


def _cross(sheet: Sheet, at: Place, name: str) -> None:
    """A cross where a rear wheel touched."""
    x, y = at
    for way in (1, -1):
        ends = [(x - 4.5, y - way * 4.5), (x + 4.5, y + way * 4.5)]
        sheet.put(8, Line(points=ends, color=LOOKS[name]["color"], width=2.4, name=name))


def _distances(sheet: Sheet, frame: Frame, view: PickView, reader: Reader) -> None:
    """Ticks along the ground with their numbers; the knuckle is always numbered, the others as far as there is room."""
    to_unit, unit = length_in(reader), reader.sign('length')
    named: list[Words] = []
    for tick in sorted(view.ticks, key=lambda tick: abs(tick.along)):
        x, y = frame.at(tick.x, tick.z)
        sheet.put(3, Line(points=[(x, y - _TICK), (x, y + _TICK)], color=SOIL, width=1.0))
        number = placed(x, y + 16, f"{to_unit(tick.along):.0f}".replace("-", "−"), align=0.5, size=SMALL)
        if all(number.box[0] >= other.box[2] + 9 or number.box[2] <= other.box[0] - 9 for other in named):
            named.append(number)
    for number in named:
        (x, y), aside = number.at, ((0, 0), (8, 1), (-8, 1), (0, 6), (8, 8))
        sheet.put(7, *free(sheet, ([replace(number, at=(x + across, y + down))] for across, down in aside)))
    sheet.put(7, placed(MARGIN, sheet.height - 10, f"{unit} from the knuckle", size=SMALL))


def clock(frame: Frame, seen: Strip) -> list[list[list[float]]]:
    """Both flights for a clock, the aim's first: rows of time [s] and x, y of rear hub, front hub and rider [pt]."""
    return [
        [
            [round(moment.time, 4), *(round(part, 2) for at in (*hubs(frame, moment), frame.at(*moment.rider)) for part in at)]
            for moment in flight
        ]
        for flight in (seen.aim, seen.theirs)
    ]
