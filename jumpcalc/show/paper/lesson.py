"""Drawings of what tries taught: tries over the curve, intervals that narrowed, how far each try lies off."""

from __future__ import annotations

from collections.abc import Sequence

from jumpcalc.plan.views.lesson import CurveView, Narrowed, Off
from jumpcalc.show.paper.labels import INK, MARGIN, ROW, SMALL, WIDTH, placed, wrapped
from jumpcalc.show.paper.svg import Area, Dot, Frame, Line, Sheet, ticks
from jumpcalc.show.words.learned import NAMES
from jumpcalc.show.words.numbers import Reader

__all__ = ["curve", "narrowed", "off"]

PAPER, BAND, GREY = "#fbf8f1", "#ebdfc2", "#6f5b43"
LEARNED, WRONG = "#1f3b4d", "#973d24"
_LEFT, _TOP, _BELOW = 40.0, 2.6 * ROW, 2.4 * ROW
_TALL = 210.0
_LIMIT = 4.5  # standard deviations that are drawn


def _sheet(height: float, stamp: str) -> Sheet:
    sheet = Sheet(WIDTH, height, PAPER)
    if stamp:
        sheet.put(9, placed(WIDTH - MARGIN, 0.6 * ROW, stamp, align=1.0, color=WRONG, bold=True, size=SMALL))
    return sheet


def curve(view: CurveView, reader: Reader = Reader.metric, *, stamp: str = "") -> Sheet:
    """Where the rear wheel touched over the speed before the lip.

    Parameters
    ----------
    view : CurveView
        From `views.lesson`.
    reader : Reader
        Who reads it.
    stamp : str
        A word over the drawing, such as EXAMPLE.

    Returns
    -------
    Sheet
        The learned curve with its band, the one as measured dashed, tries as dots.
    """
    sheet = _sheet(_TOP + _TALL + _BELOW, stamp)
    speeds = [v for v, _ in (*view.learned, *view.measured)] + [one.foot for one in view.tries]
    if not speeds:
        return sheet
    low, high = min(speeds) - view.band, max(speeds) + view.band
    bottom = min([0.0, *(one.touched for one in view.tries)])
    top = max([view.face, *(one.touched for one in view.tries)])
    frame = Frame(
        left=low, right=high, low=-top - 0.2, high=-bottom + 0.2, x=_LEFT, y=_TOP, width=WIDTH - _LEFT - MARGIN, height=_TALL
    )
    _axes(sheet, frame, reader)
    sides = [frame.points([v + way * view.band for v, _ in view.learned], [-p for _, p in view.learned]) for way in (-1, 1)]
    if view.learned:
        sheet.put(2, Area(points=[*sides[0], *reversed(sides[1])], fill=BAND, name="band"))
    for points, color, dash, name in ((view.learned, LEARNED, (), "learned"), (view.measured, GREY, (3, 2), "measured")):
        if points:
            through = frame.points([v for v, _ in points], [-p for _, p in points])
            sheet.put(4, Line(points=through, color=color, width=1.8, dash=dash, within=frame, name=name))
    for one in view.tries:
        at = frame.at(one.foot, -one.touched)
        if one.trusted:
            sheet.put(6, Dot(at=at, radius=3.4, color=LEARNED, ring=None if one.measured else 1.4, name="try"))
            continue
        for way in (1, -1):
            cross = [(at[0] - 4, at[1] - 4 * way), (at[0] + 4, at[1] + 4 * way)]
            sheet.put(6, Line(points=cross, color=WRONG, width=2, name="not believed"))
        sheet.put(8, placed(at[0] + 7, at[1], f"try {one.number + 1}", size=SMALL, color=WRONG, paper=PAPER))
    sheet.put(8, placed(_LEFT, 0.6 * ROW, "solid: by these tries · band: 9 of 10", size=SMALL, color=LEARNED, bold=True))
    sheet.put(8, placed(_LEFT, 1.6 * ROW, "dashed: as measured · ring: speed as expected", size=SMALL, color=GREY))
    return sheet


def _axes(sheet: Sheet, frame: Frame, reader: Reader) -> None:
    """Speeds below, places down the landing at the left."""
    scale = {kind: reader.amount(1.0, kind) for kind in ("speed", "length")}
    for tick in ticks(frame.left * scale["speed"], frame.right * scale["speed"], 6):
        x, _ = frame.at(tick / scale["speed"], frame.low)
        sheet.put(3, Line(points=[(x, frame.y + frame.height), (x, frame.y + frame.height + 4)], color=INK, width=0.8))
        sheet.put(8, placed(x, frame.y + frame.height + 0.8 * ROW, f"{tick:g}", align=0.5, size=SMALL))
    for tick in ticks(-frame.high * scale["length"], -frame.low * scale["length"], 6):
        _, y = frame.at(frame.left, -tick / scale["length"])
        sheet.put(3, Line(points=[(frame.x - 4, y), (frame.x, y)], color=INK, width=0.8))
        sheet.put(8, placed(frame.x - 6, y, f"{tick:g}".replace("-", "−"), align=1.0, size=SMALL))
    corner = [(frame.x, frame.y), (frame.x, frame.y + frame.height), (frame.x + frame.width, frame.y + frame.height)]
    sheet.put(3, Line(points=corner, color=INK, width=0.8))
    under = f"before the lip [{reader.sign('speed')}], rear wheel down the landing [{reader.sign('length')}]"
    sheet.put(8, placed(frame.x + frame.width, frame.y + frame.height + 1.8 * ROW, under, align=1.0, size=SMALL))


def narrowed(rows: Sequence[Narrowed], *, stamp: str = "") -> Sheet:
    """What the tries narrowed: before in grey, now in dark.

    Parameters
    ----------
    rows : sequence of Narrowed
        From `views.lesson`.
    stamp : str
        A word over the drawing, such as EXAMPLE.

    Returns
    -------
    Sheet
        A row for each unknown.
    """
    titles = [wrapped(f"{NAMES[one.name]}, {one.of}" if one.of else NAMES[one.name], WIDTH - 2 * MARGIN, SMALL) for one in rows]
    tall = [ROW * len(title) + 1.3 * ROW for title in titles]
    sheet = _sheet(1.4 * ROW + sum(tall), stamp)
    sheet.put(8, placed(MARGIN, 0.6 * ROW, "light: before any try · dark: by these tries", size=SMALL, bold=True))
    y, middle, half = 1.4 * ROW, 0.5 * WIDTH, 0.26 * WIDTH
    for one, title, height in zip(rows, titles, tall, strict=True):
        for number, row in enumerate(title):
            sheet.put(8, placed(MARGIN, y + (number + 0.5) * ROW, row, size=SMALL))
        bar = y + height - 0.8 * ROW
        for low, high, color, thick, name in ((-1, 1, BAND, 9.0, "before"), (one.low, one.high, LEARNED, 4.0, "after")):
            ends = [min(max(middle + half * value, MARGIN), WIDTH - MARGIN) for value in (low, high)]
            sheet.put(4 if name == "before" else 5, Line(points=[(ends[0], bar), (ends[1], bar)], color=color, width=thick, name=name))
        sheet.put(6, Line(points=[(middle, bar - 6), (middle, bar + 6)], color=INK, width=0.8))
        y += height
    return sheet


def off(rows: Sequence[Off], *, stamp: str = "") -> Sheet:
    """How far each try lies from what is expected of it.

    Parameters
    ----------
    rows : sequence of Off
        From `views.lesson`.
    stamp : str
        A word over the drawing, such as EXAMPLE.

    Returns
    -------
    Sheet
        A row for each try, dots for speeds, rings for places; 9 of 10 lie in the light band.
    """
    sheet = _sheet(3.6 * ROW + ROW * len(rows), stamp)
    top, width = 2.2 * ROW, WIDTH - 3 * MARGIN - 50
    frame = Frame(left=-_LIMIT, right=_LIMIT, low=0, high=1, x=MARGIN + 50, y=top, width=width, height=ROW * max(len(rows), 1))
    sheet.put(8, placed(MARGIN, 0.6 * ROW, "dot: speed · ring: place · 9 of 10 in the band", size=SMALL, bold=True))
    sheet.put(8, placed(MARGIN, 1.5 * ROW, "left: slower, shorter · right: faster, further", size=SMALL, color=GREY))
    (a, upper), (b, lower) = frame.at(-1.645, 1), frame.at(1.645, 0)
    sheet.put(1, Area(points=[(a, upper), (b, upper), (b, lower), (a, lower)], fill=BAND, name="band"))
    for value in (-3, 0, 3):
        x = frame.at(value, 0)[0]
        dash = () if value == 0 else (3, 3)
        sheet.put(2, Line(points=[(x, upper), (x, lower)], color=GREY, width=0.8, dash=dash, name="limit" if value else "none"))
        sheet.put(8, placed(x, lower + 0.8 * ROW, "expected" if value == 0 else "not believed", align=0.5, size=SMALL, color=GREY))
    for number, one in enumerate(rows):
        y, color = top + (number + 0.5) * ROW, LEARNED if one.trusted else WRONG
        sheet.put(8, placed(MARGIN, y, f"try {one.number + 1}", size=SMALL, color=color, bold=not one.trusted))
        for value, ring in ((one.foot, None), (one.place, 1.4)):
            if value is not None:
                x = frame.at(min(max(value, -_LIMIT), _LIMIT), 0)[0]
                sheet.put(5, Dot(at=(x, y), radius=3.6, color=color, ring=ring, name="speed" if ring is None else "place"))
    return sheet
