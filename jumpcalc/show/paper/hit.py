"""The drawing of how hard the landing hits, over the speed at the edge."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Sequence

from jumpcalc.plan.answer import JumpAnswer
from jumpcalc.plan.views.hit import ImpactCurve
from jumpcalc.show.paper.labels import INK, SMALL, WIDTH, free, placed, wrapped
from jumpcalc.show.paper.side import PAPER, PATHS, SOIL, axes, length_in, speed_in, stamped
from jumpcalc.show.paper.svg import Area, Dot, Frame, Line, Sheet, Words, ticks, words_width
from jumpcalc.show.words.numbers import Reader

__all__ = ["impact"]

_HEIGHT, _ABOVE = 280.0, 40.0  # pt; more above where the speeds before the lip stand there
_LEFT, _RIGHT, _BELOW = 52.0, 14.0, 44.0  # pt
_CLEAN = "#ebdfc2"
_LOOKS = {"short": PATHS["slow"], "clean": PATHS["aim"], "long": {"color": "#973d24", "dash": (5, 2), "width": 1.8}}


def impact(curve: ImpactCurve, jump: JumpAnswer, reader: Reader = Reader.metric, *, stamp: str = "") -> Sheet:
    """How hard the landing hits over the speed at the edge.

    Parameters
    ----------
    curve : ImpactCurve
        From `plan.views.hit.impact_curve`.
    jump : JumpAnswer
        The answer it belongs to.
    reader : Reader
        Who reads it.
    stamp : str
        A word over the drawing, such as EXAMPLE.

    Returns
    -------
    Sheet
        Equivalent fall height, with the ranges short, clean and long and hits on a wall marked.
    """
    to_speed, to_length = speed_in(reader), length_in(reader)
    speed = [to_speed(v) for v in curve.speed]
    known = [h for h in curve.fall_height if h is not None]
    tallest = min(max([1.25 * curve.limit, *known]), 3 * curve.limit) * 1.32
    above = _ABOVE if curve.foot else 10.0
    frame = Frame(
        left=speed[0], right=speed[-1], low=0.0, high=to_length(tallest),
        x=_LEFT, y=above, width=WIDTH - _LEFT - _RIGHT, height=_HEIGHT - above - _BELOW,
    )  # fmt: skip
    sheet = Sheet(WIDTH, _HEIGHT, PAPER)
    runs = _ranges(sheet, frame, curve, speed)
    _hit_lines(sheet, frame, curve, speed, to_length)
    y = frame.at(frame.left, to_length(curve.limit))[1]
    sheet.put(3, Line(points=[(frame.x, y), (frame.x + frame.width, y)], color=INK, width=0.9, dash=(2, 2), name="limit"))
    for kind, start, end in runs:
        _name_range(sheet, frame, kind, start, end)
    if jump.window.speeds is not None:
        aim = jump.landings[1]
        x, y = frame.at(to_speed(aim.lip_speed), to_length(aim.equivalent_fall))
        sheet.put(7, Dot(at=(x, y), radius=3.6, color=PATHS["aim"]["color"], name="aim"))
        about = ((0, -13, 0.5), (0, 14, 0.5), (-8, -9, 1.0), (8, -9, 0.0), (8, 10, 0.0), (-8, 10, 1.0))
        sheet.put(7, *free(sheet, [(placed(x + across, y + down, "aim", align=align),) for across, down, align in about]))
    _limit(sheet, frame, curve, reader)
    _name_wall(sheet, frame, curve, speed)
    _axes(sheet, frame, reader)
    if curve.foot:
        _foot_axis(sheet, frame, curve, speed, to_speed, reader)
    stamped(sheet, stamp, y=_HEIGHT - 14)
    return sheet


def _limit(sheet: Sheet, frame: Frame, curve: ImpactCurve, reader: Reader) -> None:
    """What the line of the accepted height is, at the first place along it that is free."""
    y = frame.at(frame.left, length_in(reader)(curve.limit))[1]
    text = f"accepted: {reader.length(curve.limit, 'drop')}"
    ends = frame.x + 4, frame.x + frame.width - 4
    spots = [(ends[1], 1.0), (ends[0], 0.0), *((ends[0] + share * (ends[1] - ends[0]), 0.5) for share in (0.3, 0.5, 0.7))]
    rows = ([placed(x, y + down, text, align=align, size=SMALL)] for down in (-9, 10) for x, align in spots)
    sheet.put(6, *free(sheet, rows))


def _name_range(sheet: Sheet, frame: Frame, kind: str, start: float, end: float) -> None:
    """The word for a range of speeds, at the top of it or as high as it is free; none where it is too narrow for it."""
    x, y = frame.at(0.5 * (start + end), frame.high)
    spots = [placed(x, y + 12 + down, kind, align=0.5, bold=True) for down in (0, 16, 32, 48, 64)]
    if spots[0].width + 4 < (end - start) * frame.scale:
        sheet.put(6, *free(sheet, [(spot,) for spot in spots]))


def _name_wall(sheet: Sheet, frame: Frame, curve: ImpactCurve, speed: Sequence[float]) -> None:
    """What the hatched range is, over it or, where it is narrow, at the first place that is free."""
    solid = [height is None for height in curve.fall_height]
    run = next((run for run in _runs(solid) if solid[run[0]]), None)
    if run is None:
        return
    what = {"wall": "hits the near wall, no metres can be given", "edge": "rolls off the edge"}.get(
        curve.surface[(run[0] + run[1]) // 2], "hits the knuckle, no metres can be given"
    )
    low, high = (frame.at(value, 0)[0] for value in _ends(speed, *run))
    sheet.put(6, *free(sheet, _blocks(frame, f"hatched: {what}", 0.5 * (low + high))))


def _blocks(frame: Frame, text: str, middle: float) -> Iterator[list[Words]]:
    """A text in a few rows, wide or narrow, over a place across or anywhere in a frame."""
    for room in (170.0, 130.0, 96.0, 76.0):
        rows = wrapped(text, room, SMALL)
        width = max(words_width(row, SMALL) for row in rows)
        least, most = frame.x + 6, frame.x + frame.width - 6 - width
        lefts = [min(max(middle - 0.5 * width, least), most), *(least + 8 * step for step in range(int((most - least) / 8)))]
        for left in lefts:
            for top in range(28, int(frame.height - 14 * len(rows)), 14):
                at = [(left, frame.y + top + 14 * number) for number in range(len(rows))]
                yield [
                    Words(at=place, text=row, size=SMALL, color=PATHS["slow"]["color"], paper=PAPER)
                    for place, row in zip(at, rows, strict=True)
                ]


def _axes(sheet: Sheet, frame: Frame, reader: Reader) -> None:
    """Frame, ticks and what they count."""
    (left, top), (right, bottom) = frame.at(frame.left, frame.high), frame.at(frame.right, frame.low)
    corners = [(left, top), (right, top), (right, bottom), (left, bottom), (left, top)]
    sheet.put(8, Line(points=corners, color=SOIL, width=0.8))
    axes(
        sheet,
        frame,
        across={value: value for value in ticks(frame.left, frame.right, 8)},
        across_name=f"speed at the edge, {reader.sign('speed')}",
        up=ticks(frame.low, frame.high, 6),
        up_name=f"as hard as a drop of, {reader.sign('length')}",
    )


def _ranges(
    sheet: Sheet, frame: Frame, curve: ImpactCurve, speed: Sequence[float]
) -> list[tuple[str, float, float]]:
    """Bands short, clean and long, hits on an edge hatched; what each band is, and its ends."""
    kinds = [_range_of(outcome) for outcome in curve.outcome]
    for first, last in _runs(kinds):
        start, end = _ends(speed, first, last)
        _band(sheet, frame, start, end, fill=_CLEAN if kinds[first] == "clean" else PAPER)
        if last + 1 < len(kinds):
            line = frame.points([end, end], [frame.low, frame.high])
            sheet.put(1, Line(points=line, color=SOIL, width=0.8))
    solid = [height is None for height in curve.fall_height]
    for first, last in _runs(solid):
        if solid[first]:
            _band(sheet, frame, *_ends(speed, first, last), hatched=True)
    return [(kinds[first], *_ends(speed, first, last)) for first, last in _runs(kinds)]


def _band(sheet: Sheet, frame: Frame, start: float, end: float, *, fill: str = PAPER, hatched: bool = False) -> None:
    """The whole height of the frame between two speeds."""
    corners = frame.points([start, end, end, start], [frame.low, frame.low, frame.high, frame.high])
    sheet.put(0.5 if hatched else 0, Area(points=corners, fill=fill, hatched=hatched))


def _range_of(outcome: str) -> str:
    return {"short": "short", "rear short": "short", "clean": "clean"}.get(outcome, "long")


def _runs(values: Sequence[object]) -> list[tuple[int, int]]:
    """First and last index of each run of equal values."""
    starts = [i for i in range(len(values)) if i == 0 or values[i] != values[i - 1]]
    return list(zip(starts, [*(i - 1 for i in starts[1:]), len(values) - 1], strict=True))


def _ends(speed: Sequence[float], first: int, last: int) -> tuple[float, float]:
    """A run's ends, half a step beyond its first and last speed."""
    low = speed[first] if first == 0 else 0.5 * (speed[first - 1] + speed[first])
    high = speed[last] if last == len(speed) - 1 else 0.5 * (speed[last] + speed[last + 1])
    return low, high


def _hit_lines(
    sheet: Sheet, frame: Frame, curve: ImpactCurve, speed: Sequence[float], to_length: Callable[[float], float]
) -> None:
    """The equivalent fall height, solid where it is clean and dashed where not; broken where the surface changes."""
    kinds = [
        (_range_of(outcome), surface if outcome == "short" else "", height is None)
        for outcome, surface, height in zip(curve.outcome, curve.surface, curve.fall_height, strict=True)
    ]
    for first, last in _runs(kinds):
        kind, _, solid = kinds[first]
        if solid:
            continue
        rows = range(first, last + 1)
        line = frame.points([speed[i] for i in rows], [to_length(curve.fall_height[i]) for i in rows])
        sheet.put(4, Line(points=line, name=kind, within=frame, **_LOOKS[kind]))


def _foot_axis(
    sheet: Sheet,
    frame: Frame,
    curve: ImpactCurve,
    speed: Sequence[float],
    to_speed: Callable[[float], float],
    reader: Reader,
) -> None:
    """Round speeds at the foot of the lip along the top, placed over the edge speeds they become."""
    known = [(to_speed(f), s) for f, s in zip(curve.foot, speed, strict=True) if f == f]
    if len(known) < 2:
        return
    wanted = ticks(known[0][0], known[-1][0], 7)
    for (f0, s0), (f1, s1) in itertools.pairwise(known):
        for value in wanted:
            if f0 < value <= f1:
                x = frame.at(s0 + (s1 - s0) * (value - f0) / (f1 - f0), 0)[0]
                sheet.put(8, Line(points=[(x, frame.y - 4), (x, frame.y)], color=SOIL, width=0.8))
                sheet.put(8, placed(x, frame.y - 12, f"{value:g}", align=0.5))
    name = f"speed on the run-in just before the lip, {reader.sign('speed')}"
    sheet.put(8, placed(frame.x + 0.5 * frame.width, frame.y - 30, name, align=0.5))
