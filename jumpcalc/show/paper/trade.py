"""The drawing of the trade: size across, tolerance up, dirt as the size of a dot."""

from __future__ import annotations

import math

from jumpcalc.plan.studies.sizing.whole import Sized
from jumpcalc.show.paper.labels import INK, SMALL, WIDTH, free, placed
from jumpcalc.show.paper.side import PAPER, PATHS, SOIL, axes, length_in, speed_in, stamped
from jumpcalc.show.paper.svg import Dot, Frame, Line, Place, Sheet, ticks
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import said

__all__ = ["nearest", "trade"]

_HEIGHT = 330.0  # pt
_LEFT, _RIGHT, _ABOVE, _BELOW = 52.0, 18.0, 30.0, 46.0  # pt
_LEAST, _MOST = 2.5, 9.0  # pt, radius of a dot
_NARROW = 0.5  # m or ft, sizes that lie closer are not drawn further apart
_FINGER = 9.0  # pt, by which a confirmed one may lie farther from a finger than others


def trade(now: Sized, reader: Reader = Reader.metric, *, stamp: str = "", chosen: int | None = None) -> Sheet:
    """Every jump that nothing beats as a pale dot, the confirmed ones dark and named.

    Parameters
    ----------
    now : Sized
        From `sized`, with a proposal.
    reader : Reader
        Who reads it.
    stamp : str
        A word over the drawing, such as EXAMPLE.
    chosen : int, optional
        Which one has a ring around it, counted as `nearest` does.

    Returns
    -------
    Sheet
        One sheet.
    """
    named, front = (*now.made, *now.others), now.found.front
    every, frame = _laid(now, reader)
    confirmed, pale = every[: len(named)], every[len(named) :]
    sheet = Sheet(WIDTH, _HEIGHT, PAPER)
    most = max([*(float(v) for v in front.dirt), *(one.dirt for one in named)])

    def radius(dirt: float) -> float:
        return _LEAST + (_MOST - _LEAST) * math.sqrt(dirt / most)

    for at, dirt in zip(pale, front.dirt, strict=True):
        sheet.put(2, Dot(at=at, radius=0.4 * radius(float(dirt)), color="#cbb994"))
    (left, top), (right, bottom) = frame.at(frame.left, frame.high), frame.at(frame.right, frame.low)
    corners = [(left, top), (right, top), (right, bottom), (left, bottom), (left, top)]
    sheet.put(7, Line(points=corners, color=SOIL, width=0.8))
    for one, at in zip(named, confirmed, strict=True):
        color = PATHS["aim"]["color"] if one.size else SOIL
        sheet.put(5, Dot(at=at, radius=radius(one.dirt), color=color, name=one.size or "other"))
    if chosen is not None:
        dirt = named[chosen].dirt if chosen < len(named) else float(front.dirt[chosen - len(named)])
        around = radius(dirt) + 3
        turns = [math.tau * part / 24 for part in range(25)]
        ring = [(every[chosen][0] + around * math.cos(turn), every[chosen][1] + around * math.sin(turn)) for turn in turns]
        sheet.put(6, Line(points=ring, color=PATHS["own"]["color"], width=2.0, name="chosen"))
    for one, at in zip(named, confirmed, strict=True):
        dirt = reader.text(said("{dirt:volume}", dirt=one.dirt))
        name = f"{one.size}, {dirt}" if one.size else dirt
        off = radius(one.dirt) + 4
        spots = ((off, 0, 0.0), (-off, 0, 1.0), (0, -off - 6, 0.5), (0, off + 7, 0.5), (off, -14, 0.0), (off, 14, 0.0), (-off, 14, 1.0))
        rows = ([placed(at[0] + dx, at[1] + dy, name, align=align, bold=bool(one.size), size=SMALL)] for dx, dy, align in spots)
        sheet.put(8, *free(sheet, rows))
    what, where = ("drop", "at the edge") if now.site.wanted.shape == "drop" else ("gap", "before the lip")
    axes(
        sheet, frame, across={value: value for value in ticks(frame.left, frame.right, 8)}, across_name=f"{what}, {reader.sign('length')}",
        up=ticks(frame.low, frame.high, 6), up_name=f"tolerance {where}, ± {reader.sign('speed')}",
    )  # fmt: skip
    note = "larger dot: more dirt; pale: not confirmed"
    sheet.put(8, placed(WIDTH - _RIGHT, 14, note, align=1.0, size=SMALL, color=INK))
    stamped(sheet, stamp, y=14)
    return sheet


def nearest(now: Sized, reader: Reader, across: float, down: float) -> int:
    """Which jump of the drawing lies nearest to a place on it.

    Parameters
    ----------
    now : Sized
        What is drawn.
    reader : Reader
        Who reads it.
    across, down : float
        Shares of width and height, from the top left corner.

    Returns
    -------
    int
        Counted over proposals, further confirmed jumps, and all that nothing beats; a confirmed one where one is under the finger.
    """
    every, _ = _laid(now, reader)
    named = len(now.made) + len(now.others)
    off = [math.hypot(x - across * WIDTH, y - down * _HEIGHT) - (_FINGER if i < named else 0.0) for i, (x, y) in enumerate(every)]
    return off.index(min(off))


def _laid(now: Sized, reader: Reader) -> tuple[list[Place], Frame]:
    """Where every jump lies on the sheet, in the order in which `nearest` counts, and the frame."""
    to_speed, to_length = speed_in(reader), length_in(reader)
    front = now.found.front
    named = [(one.extent, one.tolerance) for one in (*now.made, *now.others)]
    known = [*named, *zip(map(float, front.size), map(float, front.tolerance), strict=True)]
    across, up = [to_length(size) for size, _ in known], [to_speed(by) for _, by in known]
    wide = max(max(across) - min(across), _NARROW)
    frame = Frame(
        left=min(across) - 0.08 * wide, right=max(across) + 0.12 * wide, low=0.0, high=1.12 * max(up),
        x=_LEFT, y=_ABOVE, width=WIDTH - _LEFT - _RIGHT, height=_HEIGHT - _ABOVE - _BELOW,
    )  # fmt: skip
    return [frame.at(*pair) for pair in zip(across, up, strict=True)], frame
