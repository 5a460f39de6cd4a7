"""Drawings of one jump: each function takes what `plan.views` worked out and returns a sheet.

The same input gives the same drawing. Line style and words say what colour says.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial

from jumpcalc.plan.answer import JumpAnswer
from jumpcalc.plan.views.side import Path, SideView, Stretch
from jumpcalc.plan.views.stop import StopView
from jumpcalc.show.paper.labels import INK, MARGIN, ROW, SMALL, TEXT, WIDTH, Flag, beside, fan, free, placed, put_fan
from jumpcalc.show.paper.svg import Area, Dot, Frame, Line, Sheet, Words, words_width
from jumpcalc.show.words.jump import outcome
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import inward
from jumpcalc.units import to_si

__all__ = ["EARTH", "PAPER", "PATHS", "SOIL", "axes", "earth", "length_in", "scale_bar", "side", "speed_in", "stamped", "stopping",
           "to_scale"]  # fmt: skip

_TALLEST = 240.0  # pt, of the drawn ground and air: a higher jump is drawn to a smaller scale

PAPER, EARTH, SOIL = "#fbf8f1", "#e4d8c2", "#6f5b43"
PATHS = {
    "slow": {"color": "#973d24", "dash": (1.2, 1.6), "width": 1.8},
    "min": {"color": "#566347", "dash": (5, 2), "width": 1.6},
    "aim": {"color": "#1f3b4d", "width": 2.6},
    "max": {"color": "#566347", "dash": (7, 1.6, 1.2, 1.6), "width": 1.6},
    "try": {"color": "#973d24", "dash": (4, 2), "width": 1.6},
    "own": {"color": "#5b3a86", "dash": (3, 1), "width": 2.4},
}
"""How each path is drawn, by its name."""


def side(view: SideView, reader: Reader = Reader.metric, *, stamp: str = "", brief: bool = False) -> Sheet:
    """The jump from the side, to true scale.

    Parameters
    ----------
    view : SideView
        From `plan.views.side.side_view`.
    reader : Reader
        Who reads it.
    stamp : str
        A word over the drawing, such as EXAMPLE.
    brief : bool
        Whether it stands beside a table that has the speeds: they are left out, and what the thick stretch means.

    Returns
    -------
    Sheet
        Ground, paths with their speeds, the stretch where both wheels fit, gap, lip and landing.
    """
    ground = [part for part in view.ground if part.name != "runout"]
    left = view.foot[0] - 1.0 if view.foot is not None else -2.0
    right = max(max(part.x) for part in ground) + 1.5
    farthest = max([*(x for part in view.ground for x in part.x), *(x for path in view.paths for x in path.x)])
    right = min(max([right, *(path.x[-1] + 0.5 for path in view.paths)]), farthest) if view.paths else right
    seen = [*view.ground, *([view.natural] if view.natural else [])]
    inside = [z for part in seen for x, z in zip(part.x, part.z, strict=True) if left <= x <= right]
    low, high = min(inside), max([0.0, *inside, *(z for path in view.paths for z in path.z)])
    # where things lie across does not depend on the room above and below
    _, frame = to_scale(left, right, low, high, above=0.0, below=0.0)
    named = fan([] if brief else [_flag(frame, path, view.shape, reader) for path in view.paths], align=1.0)
    below = named.height + ROW + (20 if brief else 36)
    if view.shape == "tabletop":
        below += max(0.0, 2 * ROW + 7 - (min(0.0, -view.drop) - low) * frame.scale)
    above = (2 if brief else 3) * ROW + 22
    sheet, frame = to_scale(left, right, low, high, above=above, below=below)
    earth(sheet, frame, view.ground)
    if view.natural is not None:
        points = frame.points(view.natural.x, view.natural.z)
        sheet.put(3, Line(points=points, color=SOIL, width=1.2, dash=(5, 3), name="natural", within=frame))
    if view.clean is not None:
        sheet.put(4, Line(points=frame.points(view.clean.x, view.clean.z), color=INK, width=4.5, name="clean"))
    for path in view.paths:
        look = PATHS[path.name]
        sheet.put(5, Line(points=frame.points(path.x, path.z), round_ends=path.name == "aim", name=path.name, **look))
        sheet.put(6, Dot(at=frame.at(path.x[-1], path.z[-1]), radius=2.8, color=look["color"]))
    put_fan(sheet, named, edge=sheet.height - 9 - ROW, up=False, lower=above, paper=EARTH)
    scale_bar(sheet, frame, reader)
    if any(path.before is not None for path in view.paths) and not brief:
        sheet.put(8, placed(MARGIN, sheet.height - 10, _WHERE, size=SMALL))
    stamped(sheet, stamp)
    _measures(sheet, frame, view, reader, top=high, brief=brief)
    return sheet


def stopping(view: StopView, jump: JumpAnswer, reader: Reader = Reader.metric, *, stamp: str = "") -> Sheet:
    """Landing and runout to true scale, with where the brakes bite and where the bike stops.

    Parameters
    ----------
    view : StopView
        From `plan.views.stop.stop_view`.
    jump : JumpAnswer
        The answer it belongs to.
    reader : Reader
        Who reads it.
    stamp : str
        A word over the drawing, such as EXAMPLE.

    Returns
    -------
    Sheet
        A strip as long as the runout or the stop.
    """
    stop = jump.stop
    left, right = view.ground.x[0] - 0.02 * view.ground.x[-1], view.ground.x[-1]
    marks = [
        (view.touchdown, f"touches down, {reader.speed(stop.from_speed)}"),
        (view.brakes, f"brakes bite after {reader.length(stop.reaction)}"),
    ]
    if view.stops is not None:
        marks.append((view.stops, f"stops after {reader.length(stop.total)}"))
    heights = min(view.ground.z), max(view.ground.z)
    _, frame = to_scale(left, right, *heights, above=0.0, below=0.0)
    named = fan([Flag(at=frame.at(*place), text=text) for place, text in marks])
    above = named.height + 16
    sheet, frame = to_scale(left, right, *heights, above=above, below=2 * ROW + 32)
    earth(sheet, frame, [view.ground])
    reaction = frame.points(view.reaction.x, view.reaction.z)
    sheet.put(4, Line(points=reaction, color=SOIL, width=3.5, dash=(1, 1), name="reaction"))
    if view.braking is not None:
        sheet.put(4, Line(points=frame.points(view.braking.x, view.braking.z), color=INK, width=4.5, name="braking"))
    put_fan(sheet, named, edge=MARGIN + 1, up=True, lower=above, paper=PAPER)
    for place, _ in marks:
        sheet.put(6, Dot(at=frame.at(*place), radius=2.8, color=INK))
    x, y = frame.at(*view.end)
    sheet.put(6, Line(points=[(x, y - 7), (x, y + 7)], color=INK, width=2.0, name="end"))
    if jump.way_out is not None and not stop.stops:
        text = "the foot of the next lip"
    elif stop.margin is None:
        text = "end of the runout: it does not stop"
    elif stop.stops:
        text = f"end of the runout, {reader.length(stop.margin)} to spare"
    else:
        text = f"end of the runout: {reader.length(-stop.margin)} missing"
    ends = fan([Flag(at=(x, y), text=text)], align=1.0)
    put_fan(sheet, ends, edge=sheet.height - 14 - ROW, up=False, paper=EARTH)
    scale_bar(sheet, frame, reader)
    stamped(sheet, stamp, y=sheet.height - 10)
    return sheet


def _fitting(width: float, height: float, tallest: float) -> float:
    """Points per metre at which a drawing of this size fits."""
    return min((WIDTH - 2 * MARGIN) / width, tallest / max(height, 1e-6))


def to_scale(
    left: float, right: float, low: float, high: float, *, above: float, below: float, tallest: float = _TALLEST
) -> tuple[Sheet, Frame]:
    """A sheet with room [pt] for words above and below what is drawn, and its frame in metres, alike both ways.

    Parameters
    ----------
    left, right, low, high : float
        What has to be seen [m].
    above, below : float
        Room [pt].
    tallest : float
        Most height [pt] that what is drawn may take.

    Returns
    -------
    sheet : Sheet
        An empty one.
    frame : Frame
        The whole of it.
    """
    scale = _fitting(right - left, high - low, tallest)
    height = (high - low) * scale + above + below
    middle, half = 0.5 * (left + right), 0.5 * WIDTH / scale
    frame = Frame(
        left=middle - half, right=middle + half, low=low - below / scale, high=high + above / scale,
        x=0.0, y=0.0, width=WIDTH, height=height,
    )  # fmt: skip
    return Sheet(WIDTH, height, PAPER), frame


def earth(sheet: Sheet, frame: Frame, ground: Sequence[Stretch]) -> None:
    """Filled ground with its outline; beyond both ends it goes on."""
    x = [value for part in ground for value in part.x]
    z = [value for part in ground for value in part.z]
    if x[0] > frame.left:
        x, z = [frame.left, *x], [z[0] - (x[0] - frame.left) * (z[1] - z[0]) / (x[1] - x[0]), *z]
    if x[-1] < frame.right:
        slope = (z[-1] - z[-2]) / (x[-1] - x[-2])
        x, z = [*x, frame.right], [*z, z[-1] + slope * (frame.right - x[-1])]
    line = frame.points(x, z)
    bottom = frame.y + frame.height
    sheet.put(1, Area(points=[(line[0][0], bottom), *line, (line[-1][0], bottom)], fill=EARTH))
    sheet.put(2, Line(points=line, color=SOIL, width=1.6, name="ground", within=frame))


def scale_bar(sheet: Sheet, frame: Frame, reader: Reader) -> None:
    """A bar of a round length in the bottom right corner of a frame, and the words true scale."""
    unit = reader.unit("length")
    sizes = (1, 2, 5, 10, 20, 50, 100)
    lengths = [frame.scale * to_si(size, kind="length", unit=unit) for size in sizes]
    wanted = next((i for i, length in enumerate(lengths) if length >= 28), len(sizes) - 1)
    right, y = frame.x + frame.width - 8, frame.y + frame.height - 10
    start = right - lengths[wanted]
    sheet.put(8, Line(points=[(start, y), (right, y)], color=INK, width=2.5, name="scale"))
    sheet.put(8, placed(start - 5, y, f"true scale, {sizes[wanted]} {unit}", align=1.0, size=SMALL))


def stamped(sheet: Sheet, stamp: str, *, y: float = MARGIN + 0.5 * ROW) -> None:
    """A word at the left side, in the top corner if no height is given."""
    if stamp:
        sheet.put(9, placed(MARGIN, y, stamp, color=PATHS["slow"]["color"], bold=True))


def _measures(sheet: Sheet, frame: Frame, view: SideView, reader: Reader, *, top: float, brief: bool) -> None:
    """Words at lip, knuckle, landing and gap, each at the first place where they lie on no line and no other words."""
    knuckle, *rows = (frame.at(0, top)[1] - 13 - (i + 0.5) * ROW for i in range(3))
    falls = "falls" if view.fall >= 0 else "rises"
    face = [f"landing {falls} {reader.quantity(abs(view.fall), 'angle')}, {reader.length(view.face)} long"]
    if view.clean is not None and not brief:
        face.append("thick: both wheels fit")
    for row, text in zip(reversed(rows[: 1 if brief else 2]), face, strict=False):
        sheet.put(8, placed(WIDTH - MARGIN, row, text, align=1.0, size=SMALL))
    x, y = frame.at(*view.knuckle)
    sheet.put(3, Line(points=[(x, y), (x, knuckle + 0.4 * ROW)], color=SOIL, width=0.7, dash=(1, 2)))
    level = "level with the edge"
    if abs(view.drop) >= 0.005:
        level = f"{reader.length(abs(view.drop), 'height')} {'lower' if view.drop > 0 else 'higher'}"
    sheet.put(8, beside(x, knuckle, f"knuckle, {level}", align=0.5, paper=PAPER, size=SMALL))
    floor = min(0.0, -view.drop)
    if view.shape != "tabletop":
        floor = min(part.z[1] for part in view.ground if part.name == "gap")
    left, y = frame.at(0, floor)
    y += 12 if view.shape == "tabletop" else 9
    sheet.put(3, Line(points=[(left, y), (x, y)], color=SOIL, width=0.9))
    for tip, way in ((left, 1), (x, -1)):
        sheet.put(3, Area(points=[(tip, y), (tip + way * 7, y - 2.5), (tip + way * 7, y + 2.5)], fill=SOIL))
    gap = f"gap {reader.length(view.gap)}"
    ways = [(0.5 * (left + x), 0.5), (left + 4, 0.0), (x - 4, 1.0), (left - 4, 1.0), (x + 6, 0.0)]
    rows = ([beside(at, y + down, gap, align=align, size=SMALL)] for down in (11, 25) for at, align in ways)
    sheet.put(8, *free(sheet, rows))
    if view.shape == "drop":
        even = abs(view.angle) < 0.005
        fall = "level" if even else f"{'falls' if view.angle < 0 else 'rises'} {reader.quantity(abs(view.angle), 'angle')}"
        lip = f"edge, {fall}"
    else:
        lip = f"lip {reader.quantity(view.angle, 'angle')}, {reader.length(view.lip_height, 'height')} high"
    before = [0.0, *(z for part in view.ground for x, z in zip(part.x, part.z, strict=True) if frame.left <= x <= 0)]
    over, under = frame.at(0, max(before))[1] - 16, frame.at(0, min(before))[1] + 24
    rows = ([placed(MARGIN, y, lip, size=SMALL)] for y in (over, over - ROW, under, under + ROW, under + 2 * ROW, knuckle))
    sheet.put(8, *free(sheet, rows))


_WHERE = "speeds: just before the lip"
_NAMES = {"slow": "too slow", "min": "slowest clean", "aim": "aim", "max": "fastest clean", "try": "", "own": "from your mark"}


def _path_words(path: Path, shape: str, reader: Reader) -> str:
    """A path's speed where it is checked, and what becomes of it where that is not clean."""
    at = reader.speed(inward(path.name, path.landing.lip_speed if path.before is None else path.before))
    if path.before is None and shape != "drop":
        at += " at the edge"
    text = f"{_NAMES[path.name]} {at}".strip()
    return text if path.landing.outcome == "clean" else f"{text}, {outcome(path.landing, shape)}"


def _flag(frame: Frame, path: Path, shape: str, reader: Reader) -> Flag:
    """What is said of a path at its touchdown."""
    at = frame.at(path.x[-1], path.z[-1])
    return Flag(at=at, text=_path_words(path, shape, reader), color=PATHS[path.name]["color"], bold=path.name == "aim")


def axes(
    sheet: Sheet, frame: Frame, *, across: Mapping[float, float], across_name: str, up: Sequence[float], up_name: str
) -> None:
    """Ticks and names below a frame and at its left.

    Parameters
    ----------
    sheet : Sheet
        Where they are put.
    frame : Frame
        The frame.
    across : mapping of float to float
        Places on the frame's level axis and the numbers written there.
    across_name, up_name : str
        What the numbers count.
    up : sequence of float
        Places on the upright axis; the same numbers are written there.
    """
    bottom = frame.y + frame.height
    for place, value in across.items():
        x = frame.at(place, frame.low)[0]
        sheet.put(8, Line(points=[(x, bottom), (x, bottom + 4)], color=SOIL, width=0.8))
        sheet.put(8, beside(x, bottom + 12, f"{value:g}", align=0.5))
    for value in up:
        y = frame.at(frame.left, value)[1]
        sheet.put(8, Line(points=[(frame.x - 4, y), (frame.x, y)], color=SOIL, width=0.8))
        sheet.put(8, placed(frame.x - 7, y, f"{value:g}", align=1.0))
    sheet.put(8, placed(frame.x + 0.5 * frame.width, bottom + 30, across_name, align=0.5))
    half = 0.5 * words_width(up_name, TEXT)
    middle = min(max(frame.y + 0.5 * frame.height + half, 2 * half), sheet.height - 2)
    sheet.put(8, Words(at=(11, middle), text=up_name, size=TEXT, color=INK, turned=True))


def speed_in(reader: Reader) -> Callable[[float], float]:
    """Turns m/s into the unit shown."""
    return partial(reader.amount, kind="speed")


def length_in(reader: Reader) -> Callable[[float], float]:
    """Turns metres into the unit shown."""
    return partial(reader.amount, kind="length")
