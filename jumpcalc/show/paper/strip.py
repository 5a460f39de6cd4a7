"""The drawing of two flights as strips of moments: the aim above, the landing in question below."""

from __future__ import annotations

from collections.abc import Sequence

from jumpcalc.plan.studies.explain import Explanation
from jumpcalc.plan.views.strip import WHEEL, Moment, Strip
from jumpcalc.show.paper.labels import INK, MARGIN, ROW, SMALL, TEXT, WIDTH, free, placed, wrapped
from jumpcalc.show.paper.side import PATHS, earth, scale_bar, to_scale
from jumpcalc.show.paper.svg import Dot, Frame, Line, Place, Sheet
from jumpcalc.show.words.jump import fall
from jumpcalc.show.words.landing import about, place, touched
from jumpcalc.show.words.numbers import Reader

__all__ = ["flights", "hubs"]

_TALLEST = 215.0  # pt, of the ground and air of one strip
_BELOW = 24.0 + ROW  # pt, of a strip under its ground


def flights(explained: Explanation, seen: Strip, reader: Reader = Reader.metric, *, stamp: str = "") -> Sheet:
    """Both flights as strips of moments, true to scale, the aim above.

    Parameters
    ----------
    explained : Explanation
        From `plan.explain.explain`, with a landing.
    seen : Strip
        From `plan.explain.strip`.
    reader : Reader
        Who reads it.
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
    titles = {theirs: _titles(explained, reader, theirs=theirs) for theirs in (False, True)}
    over = 14 + ROW * max(sum(len(rows) for rows in said) for said in titles.values())
    one, above = to_scale(left, right, low, high, above=over, below=_BELOW, tallest=_TALLEST)
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
        heads = [(row, said is titles[theirs][0]) for said in titles[theirs] for row in said]
        for number, (row, bold) in enumerate(heads):
            sheet.put(8, placed(MARGIN, frame.y + 7 + (number + 0.5) * ROW, row, color=color, bold=bold))
    y = one.height
    sheet.put(9, Line(points=[(0, y), (WIDTH, y)], color=INK, width=0.8))
    sheet.put(8, placed(MARGIN, y - 0.5 * _BELOW, f"every {seen.step:g} s and at touchdown", size=SMALL))
    scale_bar(sheet, below, reader)
    _mark(sheet, below, seen)
    if stamp:
        color = PATHS["slow"]["color"]
        sheet.put(9, placed(WIDTH - MARGIN, one.height - 0.5 * _BELOW, stamp, align=1.0, color=color, bold=True))
    return sheet


def hubs(frame: Frame, moment: Moment) -> tuple[Place, Place]:
    """Where the hubs of both wheels are drawn [pt], above the places where the wheels touch or would touch."""
    (rx, rz), (fx, fz) = moment.rear, moment.front
    span = max(((fx - rx) ** 2 + (fz - rz) ** 2) ** 0.5, 1e-9)
    up = (-(fz - rz) / span * WHEEL, (fx - rx) / span * WHEEL)
    rear, front = (frame.at(x + up[0], z + up[1]) for x, z in (moment.rear, moment.front))
    return rear, front


def _bikes(sheet: Sheet, frame: Frame, flight: Sequence[Moment], *, color: str, name: str) -> None:
    """Wheels, wheel line and rider at each moment, the last one stronger; a thin line joins the riders."""
    riders = [frame.at(*moment.rider) for moment in flight]
    sheet.put(4, Line(points=riders, color=color, width=0.9, dash=(1, 2), name=f"{name} riders"))
    for moment, rider in zip(flight, riders, strict=True):
        strong = moment is flight[-1]
        rear, front = hubs(frame, moment)
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


def _titles(explained: Explanation, reader: Reader, *, theirs: bool) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Rows over a strip: whose it is and its speed, then where it touched and how hard."""
    landing = explained.landing if theirs else explained.aim
    at = touched(place(explained.along if theirs else explained.aim_along, explained.face))
    speed = reader.text(about(explained)) if theirs else reader.speed(landing.lip_speed)
    solid = landing.equivalent_fall is None or landing.outcome == "rear short"
    hit = "a hit on an edge" if solid else reader.text(fall(landing.equivalent_fall))
    said = f"{'this landing' if theirs else 'the aim'}: {speed} at the edge", f"{reader.text(at)}, {hit}"
    return wrapped(said[0], WIDTH - 2 * MARGIN, TEXT, bold=True), wrapped(said[1], WIDTH - 2 * MARGIN, TEXT)


def _mark(sheet: Sheet, frame: Frame, seen: Strip) -> None:
    """A cross where the rear wheel hit, or the wall."""
    x, y = frame.at(*seen.mark)
    for way in (1, -1):
        sheet.put(
            8, Line(points=[(x - 4.5, y - way * 4.5), (x + 4.5, y + way * 4.5)], color=INK, width=2.2, name="mark")
        )
    about_it = [(across, down, align) for down in (18, -14, 32, -28) for across, align in ((-4, 1.0), (4, 0.0), (0, 0.5))]
    sheet.put(8, *free(sheet, ([placed(x + dx, y + dy, "here", align=align, size=SMALL)] for dx, dy, align in about_it)))
