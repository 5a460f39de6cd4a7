"""The drawing of what lies between jumps: the ground to true scale, and below it speeds as bands against the windows at each lip."""

from __future__ import annotations

from jumpcalc.plan.views.carry import Band, CarryView, Foot
from jumpcalc.plan.views.side import Stretch
from jumpcalc.show.paper.labels import INK, ROW, SMALL, WIDTH, beside, free, placed, wrapped
from jumpcalc.show.paper.side import PAPER, PATHS, SOIL, axes, earth, length_in, scale_bar, speed_in, stamped
from jumpcalc.show.paper.svg import Area, Frame, Line, Sheet, ticks
from jumpcalc.show.words.between import comes_there
from jumpcalc.show.words.numbers import Reader

__all__ = ["carry"]

_LEFT, _RIGHT = 44.0, 12.0  # pt, beside both frames
_ABOVE, _BELOW = 40.0, 26.0  # pt, of air over the highest place and of ground under the lowest
_SPEED, _FOOT = 150.0, 44.0  # pt, height of the frame of speeds and of its axis
_TEXT = WIDTH - 16.0  # pt, of words under the frames
_KEY = (
    "thick: clean whatever the rider does; thin: clean", "band: who left the jump before like that", "hatched: not all of them land clean",
)  # fmt: skip
_CAP = 4.0  # pt, half of the bar at an end of a window


def carry(view: CarryView, reader: Reader = Reader.metric, *, stamp: str = "") -> Sheet:
    """A line of jumps: what comes from each against what the next one takes.

    Parameters
    ----------
    view : CarryView
        From `plan.views.carry.carry_view`.
    reader : Reader
        Who reads it.
    stamp : str
        A word over the drawing, such as EXAMPLE.

    Returns
    -------
    Sheet
        Two frames that share x, and a row of words for each jump that somebody comes to.
    """
    left, right = view.x[0], view.x[-1]
    low, high = min(view.z), max(view.z)
    width = WIDTH - _LEFT - _RIGHT
    scale = width / (right - left)
    tall = _ABOVE + (high - low) * scale + _BELOW
    top = Frame(left=left, right=right, low=low - _BELOW / scale, high=high + _ABOVE / scale, x=_LEFT, y=0.0, width=width, height=tall)
    rows = [row for each in (*_KEY, *reader.texts([comes_there(foot) for foot in view.feet[1:]])) for row in wrapped(each, _TEXT, SMALL)]
    sheet = Sheet(WIDTH, tall + 12 + _SPEED + _FOOT + ROW * len(rows) + 6, PAPER)
    earth(sheet, top, [Stretch(name="ground", x=view.x, z=view.z)])
    scale_bar(sheet, top, reader)
    stamped(sheet, stamp, y=tall - 12)
    to_speed, to_length = speed_in(reader), length_in(reader)
    speeds = [*(v for foot in view.feet if foot.clean is not None for v in (foot.clean.min, foot.clean.max))]
    speeds += [v for band in view.bands for v in (*band.slow, *band.fast)]
    least, most = (to_speed(v) for v in (min(speeds), max(speeds))) if speeds else (0.0, 1.0)
    room = 0.12 * (most - least) + 0.5
    below = Frame(
        left=left, right=right, low=max(least - room, 0.0), high=most + room, x=_LEFT, y=tall + 12, width=width, height=_SPEED,
    )  # fmt: skip
    for band in view.bands:
        _band(sheet, below, band, reader)
    for number, foot in enumerate(view.feet, start=1):
        _window(sheet, below, foot, reader)
        x = below.at(foot.x, 0.0)[0]
        ground = top.at(foot.x, foot.z)[1]
        for begin, stop in ((min(24.0, ground - 4), ground), (below.y, below.y + below.height)):
            sheet.put(3, Line(points=[(x, begin), (x, stop)], color=INK, width=0.6, dash=(1, 3)))
        names = ([beside(x + 4, y, text, size=SMALL)] for text in (foot.name, f"jump {number}", f"{number}") for y in (12, 26))
        sheet.put(8, *free(sheet, names))
    bottom = below.y + below.height
    corner = [(below.x, below.y), (below.x, bottom), (below.x + below.width, bottom)]
    sheet.put(6, Line(points=corner, color=SOIL, width=0.8))
    axes(
        sheet, below, across={value / to_length(1.0): value for value in ticks(0.0, to_length(right), 8)},
        across_name=f"from the foot of the first lip, level, {reader.sign('length')}", up=ticks(below.low, below.high, 6),
        up_name=f"speed, {reader.sign('speed')}",
    )  # fmt: skip
    for number, row in enumerate(rows):
        sheet.put(8, placed(8.0, bottom + _FOOT + (number + 0.5) * ROW, row, size=SMALL))
    return sheet


def _band(sheet: Sheet, frame: Frame, band: Band, reader: Reader) -> None:
    """The speeds after a jump, hatched where not all of them land the next one clean."""
    to_speed = speed_in(reader)
    slow = frame.points(band.x, [to_speed(v) for v in band.slow])
    fast = frame.points(band.x, [to_speed(v) for v in band.fast])
    look = PATHS["aim" if band.carries else "slow"]
    name = "carries" if band.carries else "misses"
    sheet.put(2, Area(points=[*slow, *reversed(fast)], fill=look["color"], opacity=0.2, hatched=not band.carries, name=name))
    for edge in (slow, fast):
        sheet.put(4, Line(points=edge, color=look["color"], width=1.4, dash=() if band.carries else (4, 2), name=name))


def _window(sheet: Sheet, frame: Frame, foot: Foot, reader: Reader) -> None:
    """The window before a lip as an upright bar, its sure part thick."""
    if foot.clean is None:
        return
    to_speed = speed_in(reader)
    (x, low), (_, high) = (frame.at(foot.x, to_speed(v)) for v in (foot.clean.min, foot.clean.max))
    sheet.put(5, Line(points=[(x, low), (x, high)], color=INK, width=1.4, name="clean"))
    for y in (low, high):
        sheet.put(5, Line(points=[(x - _CAP, y), (x + _CAP, y)], color=INK, width=1.8))
    if foot.sure is not None:
        ends = [frame.at(foot.x, to_speed(v)) for v in foot.sure]
        sheet.put(5, Line(points=ends, color=INK, width=4.5, name="sure"))
