"""The drawing of the trade: size across, tolerance up, dirt as the size of a dot."""

from __future__ import annotations

import math
from collections.abc import Sequence

from jumpcalc.plan.studies.sizing.propose import Proposal
from jumpcalc.plan.studies.sizing.search import Found
from jumpcalc.show.paper.labels import INK, SMALL, WIDTH, free, placed
from jumpcalc.show.paper.side import PAPER, PATHS, SOIL, axes, length_in, speed_in, stamped
from jumpcalc.show.paper.svg import Dot, Frame, Line, Sheet, ticks
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import said

__all__ = ["trade"]

_HEIGHT = 330.0  # pt
_LEFT, _RIGHT, _ABOVE, _BELOW = 52.0, 18.0, 30.0, 46.0  # pt
_LEAST, _MOST = 2.5, 9.0  # pt, radius of a dot


def trade(found: Found, made: Sequence[Proposal], others: Sequence[Proposal], reader: Reader = Reader.metric, *, stamp: str = "") -> Sheet:
    """Every jump that nothing beats as a pale dot, the confirmed ones dark and named.

    Parameters
    ----------
    found : Found
        From `search`.
    made : sequence of Proposal
        Named by their sizes.
    others : sequence of Proposal
        Further confirmed ones, named by their dirt.
    reader : Reader
        Who reads it.
    stamp : str
        A word over the drawing, such as EXAMPLE.

    Returns
    -------
    Sheet
        One sheet.
    """
    to_speed, to_length = speed_in(reader), length_in(reader)
    front = found.front
    gaps = [to_length(float(gap)) for gap in front.jumps.gap]
    tolerances = [to_speed(float(by)) for by in front.tolerance]
    every = [(to_length(one.line.jumps[0].landing.gap), to_speed(one.tolerance)) for one in (*made, *others)]
    across, up = [*gaps, *(x for x, _ in every)], [*tolerances, *(y for _, y in every)]
    wide = max(max(across) - min(across), 1.0)
    frame = Frame(
        left=min(across) - 0.08 * wide, right=max(across) + 0.12 * wide, low=0.0, high=1.12 * max(up),
        x=_LEFT, y=_ABOVE, width=WIDTH - _LEFT - _RIGHT, height=_HEIGHT - _ABOVE - _BELOW,
    )  # fmt: skip
    sheet = Sheet(WIDTH, _HEIGHT, PAPER)
    most = max([*(float(v) for v in front.dirt), *(one.dirt for one in (*made, *others))])

    def radius(dirt: float) -> float:
        return _LEAST + (_MOST - _LEAST) * math.sqrt(dirt / most)

    for x, y, dirt in zip(gaps, tolerances, front.dirt, strict=True):
        sheet.put(2, Dot(at=frame.at(x, y), radius=0.4 * radius(float(dirt)), color="#cbb994"))
    (left, top), (right, bottom) = frame.at(frame.left, frame.high), frame.at(frame.right, frame.low)
    corners = [(left, top), (right, top), (right, bottom), (left, bottom), (left, top)]
    sheet.put(7, Line(points=corners, color=SOIL, width=0.8))
    for one, (x, y) in zip((*made, *others), every, strict=True):
        color = PATHS["aim"]["color"] if one.size else SOIL
        sheet.put(5, Dot(at=frame.at(x, y), radius=radius(one.dirt), color=color, name=one.size or "other"))
    for one, (x, y) in zip((*made, *others), every, strict=True):
        dirt = reader.text(said("{dirt:volume}", dirt=one.dirt))
        name = f"{one.size}, {dirt}" if one.size else dirt
        at, off = frame.at(x, y), radius(one.dirt) + 4
        spots = ((off, 0, 0.0), (-off, 0, 1.0), (0, -off - 6, 0.5), (0, off + 7, 0.5), (off, -14, 0.0), (off, 14, 0.0), (-off, 14, 1.0))
        rows = ([placed(at[0] + dx, at[1] + dy, name, align=align, bold=bool(one.size), size=SMALL)] for dx, dy, align in spots)
        sheet.put(8, *free(sheet, rows))
    axes(
        sheet, frame, across={value: value for value in ticks(frame.left, frame.right, 8)}, across_name=f"gap, {reader.sign('length')}",
        up=ticks(frame.low, frame.high, 6), up_name=f"tolerance before the lip, ± {reader.sign('speed')}",
    )  # fmt: skip
    note = "larger dot: more dirt; pale: not confirmed"
    sheet.put(8, placed(WIDTH - _RIGHT, 14, note, align=1.0, size=SMALL, color=INK))
    stamped(sheet, stamp, y=14)
    return sheet
