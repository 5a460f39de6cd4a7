"""The drawing of a speed check: the end of the run-in to true scale, two cones on it, and how far before the lip they stand."""

from __future__ import annotations

from jumpcalc.plan.studies.field.check import Check
from jumpcalc.plan.views.cones import ConesView
from jumpcalc.plan.views.side import Stretch
from jumpcalc.show.paper.labels import INK, MARGIN, ROW, SMALL, WIDTH, Flag, beside, fan, free, put_fan
from jumpcalc.show.paper.side import EARTH, PAPER, PATHS, earth, scale_bar, stamped, to_scale
from jumpcalc.show.paper.svg import Area, Line, Sheet, words_width
from jumpcalc.show.words.numbers import Reader

__all__ = ["cones"]

_CONE = (4.5, 13.0)  # pt, half its foot and its height: larger than true, to be seen
_TALLEST = 150.0  # pt
_BELOW = 2.0  # m of ground drawn below the edge of a drop


def cones(view: ConesView, found: Check, reader: Reader = Reader.metric, *, stamp: str = "") -> Sheet:
    """The end of the run-in with its cones.

    Parameters
    ----------
    view : ConesView
        From `plan.views.cones.cones_view`.
    found : Check
        The check it belongs to.
    reader : Reader
        Who reads it.
    stamp : str
        A word over the drawing, such as EXAMPLE.

    Returns
    -------
    Sheet
        Ground, cones with their distances before the foot, and the distance between them.
    """
    left, right = view.ground.x[0], view.edge[0] + 1.0
    low, high = min(view.ground.z), max(view.ground.z)
    _, frame = to_scale(left, right, low, high, above=0.0, below=0.0, tallest=_TALLEST)
    near, far = found.cones.before_foot, found.cones.before_foot + found.cones.length
    flags = [
        Flag(at=frame.at(*view.first), text=f"first cone, {reader.length(far)} before", bold=True),
        Flag(at=frame.at(*view.second), text=f"second cone, {reader.length(near)} before", bold=True),
    ]
    ends = [Flag(at=frame.at(*view.edge), text="edge")]
    if not view.drop:
        ends.insert(0, Flag(at=frame.at(*view.foot), text="foot of the lip"))
    over, under = fan(flags), fan(ends, align=1.0)
    above, below = over.height + _CONE[1] + 12 + (ROW if stamp else 0), under.height + 2 * ROW + 30
    sheet, frame = to_scale(left, right, low, high, above=above, below=below, tallest=_TALLEST)
    earth(sheet, frame, [view.ground, _beyond(view)])
    put_fan(sheet, over, edge=MARGIN + (ROW if stamp else 0), up=True, lower=above, paper=PAPER)
    between = [(x, y + 5) for x, y in frame.points(view.apart.x, view.apart.z)]
    sheet.put(5, Line(points=between, color=PATHS["aim"]["color"], width=4.0, name="apart"))
    for place in (view.first, view.second):
        x, y = frame.at(*place)
        corners = [(x - _CONE[0], y), (x + _CONE[0], y), (x, y - _CONE[1])]
        sheet.put(7, Area(points=corners, fill=PATHS["slow"]["color"], name="cone"))
    put_fan(sheet, under, edge=sheet.height - 18 - ROW, up=False, lower=above, paper=EARTH)
    _apart(sheet, between, f"{reader.length(found.cones.length)} apart")
    scale_bar(sheet, frame, reader)
    stamped(sheet, stamp)
    return sheet


def _beyond(view: ConesView) -> Stretch:
    """What lies behind the edge: a step down, so that the edge is seen as one."""
    x, z = view.edge
    deep = min(min(view.ground.z), z - _BELOW)
    return Stretch(name="beyond", x=(x + 1e-3, x + 2.0), z=(deep, deep))


def _apart(sheet: Sheet, between: list[tuple[float, float]], text: str) -> None:
    """How far the cones stand apart, under the ground between them."""
    x, y = between[len(between) // 2]
    wide = words_width(text, SMALL)
    rows = ([beside(min(x, WIDTH - wide), y + up, text, align=0.5, size=SMALL, color=INK)] for up in (13, 18, 24, 32, 40))
    sheet.put(8, *free(sheet, rows))
