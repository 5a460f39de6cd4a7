"""The drawing of a whole line: hill to true scale, marks on it, and below it the speed over the same axis."""

from __future__ import annotations

import itertools

from jumpcalc.plan.views.hill import HillView, Mark
from jumpcalc.show.paper.labels import INK, ROW, SMALL, WIDTH, Flag, beside, fan, free, placed, put_fan
from jumpcalc.show.paper.side import PAPER, PATHS, SOIL, axes, earth, length_in, scale_bar, speed_in
from jumpcalc.show.paper.svg import Area, Frame, Line, Sheet, ticks, words_width
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import inward

__all__ = ["hill"]

_LEFT, _RIGHT = 44.0, 8.0  # pt, beside both frames
_BELOW = 30.0  # pt, of ground under the lowest place
_SPEED, _FOOT = 112.0, 40.0  # pt, height of the frame of speeds and of the words under it


def hill(view: HillView, reader: Reader = Reader.metric, *, stamp: str = "") -> Sheet:
    """A whole line from its start mark: the hill to true scale, and the speed along it.

    Parameters
    ----------
    view : HillView
        From `plan.hill.hill_view`.
    reader : Reader
        Who reads it.
    stamp : str
        A word over the drawing, such as EXAMPLE.

    Returns
    -------
    Sheet
        Two frames that share x: ground with flights and marks; speed over x.
    """
    left, right = view.ground.x[0] - 1.0, view.ground.x[-1]
    heights = [*view.ground.z, *(z for flight in view.flights for z in flight.z)]
    low, high = min(heights), max(heights)
    width = WIDTH - _LEFT - _RIGHT
    scale = width / (right - left)
    flags = [
        Flag(
            at=(_LEFT + (mark.x - left) * scale, (high - mark.z) * scale),
            text=f"{mark.name}: {reader.length(inward(mark.name, mark.before_foot))} before the {'edge' if view.drop else 'foot'}",
        )
        for mark in _named(view)
    ]
    named = fan(flags, left=_LEFT)
    above = named.height + 0.6 * ROW + (ROW if len(view.edges) > 1 else 0)
    tall = above + (high - low) * scale + _BELOW
    top = Frame(
        left=left, right=right, low=low - _BELOW / scale, high=high + above / scale,
        x=_LEFT, y=0.0, width=width, height=tall,
    )  # fmt: skip
    sheet = Sheet(WIDTH, tall + 12 + _SPEED + _FOOT, PAPER)
    earth(sheet, top, [view.ground])
    for flight in view.flights:
        sheet.put(5, Line(points=top.points(flight.x, flight.z), name="flight", **PATHS["aim"]))
    put_fan(sheet, named, edge=2.0, up=True, lower=above, paper=PAPER)
    _marks(sheet, top, view)
    scale_bar(sheet, top, reader)
    if stamp:
        color = PATHS["slow"]["color"]
        sheet.put(9, placed(_LEFT + 4, tall - 10, stamp, color=color, bold=True))
    fastest = max((v for trace in view.speeds for v in trace.speed if v == v), default=1.0)
    below = Frame(
        left=left, right=right, low=0.0, high=1.15 * speed_in(reader)(fastest),
        x=_LEFT, y=tall + 12, width=width, height=_SPEED,
    )  # fmt: skip
    _speeds(sheet, below, view, reader)
    return sheet


def _named(view: HillView) -> tuple[Mark, ...]:
    """The start marks and the last place to stop."""
    return view.marks if view.stop is None else (*view.marks, view.stop)


def _speeds(sheet: Sheet, frame: Frame, view: HillView, reader: Reader) -> None:
    """Speed over the ground's x, dashed in the air, with its axes."""
    to_length, to_speed = length_in(reader), speed_in(reader)
    for trace in view.speeds:
        look = {"width": 2.0} if trace.name == "ground" else {"width": 1.6, "dash": (2, 1.5)}
        known = [(x, to_speed(v)) for x, v in zip(trace.x, trace.speed, strict=True) if v == v]
        if known:
            points = [frame.at(*place) for place in known]
            sheet.put(5, Line(points=points, color=PATHS["aim"]["color"], name=trace.name, **look))
    for edge in view.edges:
        line = frame.points([edge.x, edge.x], [frame.low, frame.high])
        sheet.put(3, Line(points=line, color=INK, width=0.8, dash=(1, 2)))
    bottom = frame.y + frame.height
    corner = [(frame.x, frame.y), (frame.x, bottom), (frame.x + frame.width, bottom)]
    sheet.put(6, Line(points=corner, color=SOIL, width=0.8))
    axes(
        sheet,
        frame,
        across={value / to_length(1.0): value for value in ticks(0.0, to_length(frame.right), 9)},
        across_name=f"from the start mark, {reader.sign('length')} (dashed: in the air)",
        up=ticks(0.0, frame.high, 5),
        up_name=f"speed, {reader.sign('speed')}",
    )


def _marks(sheet: Sheet, frame: Frame, view: HillView) -> None:
    """The span of start marks as a bar along the hill, the marks, the last place to stop as a stone, and the jumps' names."""
    if view.span is not None:
        lifted = [(x, y - 5) for x, y in frame.points(view.span.x, view.span.z)]
        sheet.put(4, Line(points=lifted, color="#c98a75", width=5, name="span"))
    for mark in _named(view):
        x, y = frame.at(mark.x, mark.z)
        stone = mark is view.stop
        if stone:
            corners, color = [(x - 4, y - 7), (x + 4, y - 7), (x + 4, y + 1), (x - 4, y + 1)], INK
        else:
            corners, color = [(x - 4, y - 7), (x + 4, y - 7), (x, y)], PATHS["aim"]["color"]
        sheet.put(7, Area(points=corners, fill=color, name="stone" if stone else "mark"))
    if len(view.edges) > 1:
        places = [frame.at(edge.x, edge.z) for edge in view.edges]
        room = min(b[0] - a[0] for a, b in itertools.pairwise(places)) - 6
        for number, (edge, (x, y)) in enumerate(zip(view.edges, places, strict=True), start=1):
            name = edge.name if words_width(edge.name, SMALL) <= room else _cut(edge.name, room, f"{number}")
            rows = ([beside(x, y + up, name, align=0.5, size=SMALL)] for up in (-26, -38, -50, 18, 26))
            sheet.put(8, *free(sheet, rows))


def _cut(name: str, room: float, number: str) -> str:
    """As much of a name as there is room for, or its number."""
    while name and words_width(f"{name}…", SMALL) > room:
        name = name[:-1]
    return f"{name.rstrip()}…" if len(name) > 2 else number
