"""The drawing of two flights as strips of moments: the aim above, the landing in question below."""

from __future__ import annotations

from collections.abc import Sequence

from jumpcalc.plan.studies.explain import WHEEL, Explanation, Moment, Strip
from jumpcalc.show import words
from jumpcalc.show.paper.labels import INK, MARGIN, ROW, SMALL, WIDTH, placed
from jumpcalc.show.paper.side import PATHS, earth, scale_bar, to_scale
from jumpcalc.show.paper.svg import Dot, Frame, Line, Sheet
from jumpcalc.show.words.landing import about, place, touched

__all__ = ["flights"]

_TALLEST = 215.0  # pt, of the ground and air of one strip
_ABOVE, _BELOW = 2 * ROW + 14, 24.0  # pt


def flights(explained: Explanation, seen: Strip, units: str = "metric", *, stamp: str = "") -> Sheet:
    """Both flights as strips of moments, true to scale, the aim above.

    Parameters
    ----------
    explained : Explanation
        From `plan.explain.explain`, with a landing.
    seen : Strip
        From `plan.explain.strip`.
    units : str
        ``"metric"`` or ``"imperial"``.
    stamp : str
        A word over the drawing, such as EXAMPLE.

    Returns
    -------
    Sheet
        Two frames of one scale: bikes at equal time steps over the ground.
    """
    moments = [*seen.aim, *seen.theirs]
    places = [at for moment in moments for at in (moment.rear, moment.front, moment.rider)]
    left = min([-1.6, *(x for x, _ in places)]) - 0.4
    right = max([seen.mark[0] + 0.6, *(x + WHEEL for x, _ in places)]) + 0.3
    ground = [z for part in seen.ground for x, z in zip(part.x, part.z, strict=True) if left <= x <= right]
    low, high = min([*ground, *(z for _, z in places)]), max(z for _, z in places) + 0.15
    one, above = to_scale(left, right, low, high, above=_ABOVE, below=_BELOW, tallest=_TALLEST)
    below = Frame(
        left=above.left, right=above.right, low=above.low, high=above.high,
        x=0.0, y=one.height, width=one.width, height=one.height,
    )  # fmt: skip
    sheet = Sheet(one.width, 2 * one.height, one.paper)
    for frame, name, flight in ((above, "aim", seen.aim), (below, "slow", seen.theirs)):
        theirs = frame is below
        color = PATHS[name]["color"]
        earth(sheet, frame, seen.ground)
        _bikes(sheet, frame, flight, color=color, name="theirs" if theirs else "aim")
        _titles(sheet, frame, explained, units, theirs=theirs, color=color)
    _mark(sheet, below, seen)
    y = one.height
    sheet.put(9, Line(points=[(0, y), (WIDTH, y)], color=INK, width=0.8))
    sheet.put(8, placed(MARGIN, y - 0.5 * _BELOW, f"every {seen.step:g} s and at touchdown", size=SMALL))
    scale_bar(sheet, below, units)
    if stamp:
        color = PATHS["slow"]["color"]
        sheet.put(9, placed(WIDTH - MARGIN, MARGIN + 0.5 * ROW, stamp, align=1.0, color=color, bold=True))
    return sheet


def _bikes(sheet: Sheet, frame: Frame, flight: Sequence[Moment], *, color: str, name: str) -> None:
    """Wheels, wheel line and rider at each moment, the last one stronger; a thin line joins the riders."""
    riders = [frame.at(*moment.rider) for moment in flight]
    sheet.put(4, Line(points=riders, color=color, width=0.9, dash=(1, 2), name=f"{name} riders"))
    for moment, rider in zip(flight, riders, strict=True):
        strong = moment is flight[-1]
        (rx, rz), (fx, fz) = moment.rear, moment.front
        span = max(((fx - rx) ** 2 + (fz - rz) ** 2) ** 0.5, 1e-9)
        up = (-(fz - rz) / span * WHEEL, (fx - rx) / span * WHEEL)
        rear, front = (frame.at(x + up[0], z + up[1]) for x, z in (moment.rear, moment.front))
        middle = (0.5 * (rear[0] + front[0]), 0.5 * (rear[1] + front[1]))
        sheet.put(
            5,
            Line(points=[rear, front], color=color, width=2.2 if strong else 1.3, round_ends=True, name=f"{name} bike"),
        )
        sheet.put(5, Line(points=[middle, rider], color=color, width=1.0, round_ends=True))
        for hub in (rear, front):
            radius = WHEEL * frame.scale
            sheet.put(5, Dot(at=hub, radius=radius, color=color, ring=1.8 if strong else 1.0, name=f"{name} wheel"))
        sheet.put(6, Dot(at=rider, radius=3.6 if strong else 2.6, color=color))


def _titles(sheet: Sheet, frame: Frame, explained: Explanation, units: str, *, theirs: bool, color: str) -> None:
    """Two rows over a strip: whose it is and its speed, then where it touched and how hard."""
    landing = explained.landing if theirs else explained.aim
    at = place(explained.along if theirs else explained.aim_along, explained.face, units)
    speed = about(explained, units) if theirs else words.speed(landing.lip_speed, units, digits=1)
    solid = landing.equivalent_fall is None or landing.outcome == "rear short"
    hit = "a hit on an edge" if solid else words.fall(landing.equivalent_fall, units)
    for row, text in enumerate(
        (f"{'this landing' if theirs else 'the aim'}: {speed} at the edge", f"{touched(at)}, {hit}")
    ):
        sheet.put(8, placed(MARGIN, frame.y + 7 + (row + 0.5) * ROW, text, color=color, bold=row == 0))


def _mark(sheet: Sheet, frame: Frame, seen: Strip) -> None:
    """A cross where the rear wheel hit, or the wall."""
    x, y = frame.at(*seen.mark)
    for way in (1, -1):
        sheet.put(
            8, Line(points=[(x - 4.5, y - way * 4.5), (x + 4.5, y + way * 4.5)], color=INK, width=2.2, name="mark")
        )
    row = frame.y + frame.height - 10 - ROW
    sheet.put(3, Line(points=[(x, y), (x, row)], color=INK, width=0.8))
    sheet.put(8, placed(x - 4, row, "here", align=1.0, size=SMALL))
