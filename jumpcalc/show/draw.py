"""Drawings of an answer: each function takes what `plan.picture` worked out and returns a figure.

Drawings are 6.4 inches wide, so that a phone shows them at about half of that and text stays legible.
The same input gives the same bytes. Line style and words say what colour says.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence

import matplotlib
from matplotlib.axes import Axes
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.textpath import text_to_path
from matplotlib.ticker import MaxNLocator

from jumpcalc.plan.answer import JumpAnswer
from jumpcalc.plan.picture import ImpactCurve, Path, SideView, StopView, Stretch
from jumpcalc.show import words
from jumpcalc.units import from_si, to_si

__all__ = [
    "INK",
    "LINES",
    "PAPER",
    "STYLE",
    "TEXT",
    "WIDTH",
    "earth",
    "impact",
    "length_in",
    "scale_bar",
    "side",
    "speed_in",
    "speed_sign",
    "stopping",
    "svg",
]

WIDTH = 6.4  # in
TEXT = 12.0  # pt
_ROW = 0.225  # in, a row of text
_MARGIN = 0.08  # in
_TALLEST = 4.5  # in, of the drawn ground and air: a higher jump is drawn to a smaller scale

PAPER, _EARTH, INK, _SOIL = "#fbf8f1", "#e4d8c2", "#2a2520", "#6f5b43"
LINES = {
    "slow": {"color": "#a3462c", "linestyle": (0, (1.2, 1.6)), "linewidth": 1.8},
    "min": {"color": "#5d6b4c", "linestyle": (0, (5, 2)), "linewidth": 1.6},
    "aim": {"color": "#1f3b4d", "linestyle": "-", "linewidth": 2.6},
    "max": {"color": "#5d6b4c", "linestyle": (0, (7, 1.6, 1.2, 1.6)), "linewidth": 1.6},
    "try": {"color": "#a3462c", "linestyle": (0, (4, 2)), "linewidth": 1.6},
}
STYLE = {"font.family": "DejaVu Sans", "font.size": TEXT, "svg.hashsalt": "jumpcalc", "svg.fonttype": "path"}


def svg(figure: Figure) -> str:
    """The figure as SVG text, the same for the same figure.

    Parameters
    ----------
    figure : matplotlib.figure.Figure
        What one of the functions here made.

    Returns
    -------
    str
        An SVG document without date.
    """
    out = io.StringIO()
    with matplotlib.rc_context(STYLE):
        FigureCanvasSVG(figure).print_svg(out, metadata={"Date": None, "Creator": "jumpcalc"})
    return out.getvalue()


def side(view: SideView, units: str = "metric", *, stamp: str = "") -> Figure:
    """The jump from the side, to true scale.

    Parameters
    ----------
    view : SideView
        From `plan.picture.side_view`.
    units : str
        ``"metric"`` or ``"imperial"``.
    stamp : str
        A word over the drawing, such as EXAMPLE.

    Returns
    -------
    matplotlib.figure.Figure
        Ground, paths with their speeds, the stretch where both wheels fit, gap, lip and landing.
    """
    with matplotlib.rc_context(STYLE):
        ground = [part for part in view.ground if part.name != "runout"]
        left = view.foot[0] - 1.0 if view.foot is not None else -2.0
        right = max(max(part.x) for part in ground) + 1.5
        xs = [x for part in view.ground for x in part.x] + [x for path in view.paths for x in path.x]
        right = min(max(right, *(path.x[-1] + 0.5 for path in view.paths)), max(xs)) if view.paths else right
        inside = [z for part in view.ground for x, z in zip(part.x, part.z, strict=True) if left <= x <= right]
        low, high = min(inside), max([0.0, *inside, *(z for path in view.paths for z in path.z)])
        rows = len(view.paths)
        scale = _scale(right - left, high - low)
        above, below = 2 * _ROW + 0.3, (rows + 1) * _ROW + 0.4
        if view.shape == "tabletop":
            below += max(0.0, 2 * _ROW + 0.1 - (min(0.0, -view.drop) - low) * scale)
        figure, axes = _to_scale(left, right, low, high, scale, above=above, below=below)
        earth(axes, view.ground)
        if view.clean is not None:
            axes.plot(view.clean.x, view.clean.z, color=INK, linewidth=4.5, solid_capstyle="butt", zorder=4)
        for path in view.paths:
            axes.plot(path.x, path.z, zorder=5, solid_capstyle="round", gid=path.name, **LINES[path.name])
            axes.plot(path.x[-1], path.z[-1], "o", color=LINES[path.name]["color"], markersize=5, zorder=6)
        _measures(axes, view, units, scale, low=low, top=high)
        _path_labels(axes, view, units, scale, low)
        scale_bar(axes, units, scale)
        if stamp:
            axes.annotate(
                stamp, (0, 1), (6, -6), xycoords="axes fraction", textcoords="offset points", ha="left", va="top",
                fontweight="bold", color=LINES["slow"]["color"], zorder=9,
            )
        return figure


def stopping(view: StopView, jump: JumpAnswer, units: str = "metric") -> Figure:
    """Landing and runout to true scale, with where the brakes bite and where the bike stops.

    Parameters
    ----------
    view : StopView
        From `plan.picture.stop_view`.
    jump : JumpAnswer
        The answer it belongs to.
    units : str
        ``"metric"`` or ``"imperial"``.

    Returns
    -------
    matplotlib.figure.Figure
        A strip as long as the runout or the stop.
    """
    stop = jump.stop
    with matplotlib.rc_context(STYLE):
        left, right = view.ground.x[0] - 0.02 * view.ground.x[-1], view.ground.x[-1]
        low, high = min(view.ground.z), max(view.ground.z)
        scale = _scale(right - left, high - low)
        marks = [
            (view.touchdown, f"touches down, {words.speed(stop.from_speed, units)}"),
            (view.brakes, f"brakes bite after {words.length(stop.reaction, units)}"),
        ]
        if view.stops is not None:
            marks.append((view.stops, f"stops after {words.length(stop.total, units)}"))
        figure, axes = _to_scale(
            left, right, low, high, scale, above=len(marks) * _ROW + 0.22, below=2 * _ROW + 0.4
        )
        earth(axes, [view.ground])
        axes.plot(view.reaction.x, view.reaction.z, color=_SOIL, linewidth=3.5, linestyle=(0, (1, 1)), zorder=4)
        if view.braking is not None:
            axes.plot(view.braking.x, view.braking.z, color=INK, linewidth=4.5, solid_capstyle="butt", zorder=4)
        top = high + (len(marks) * _ROW + 0.12) / scale
        for number, ((x, z), text) in enumerate(marks):
            row = top - (number + 0.5) * _ROW / scale
            axes.plot([x, x], [z, row], color=INK, linewidth=0.8, zorder=3)
            axes.plot(x, z, "o", color=INK, markersize=5, zorder=6)
            _clamped(axes, x + 0.05 / scale, row, text, scale, ha="left", fill=PAPER)
        x, z = view.end
        row = low - 0.3 / scale
        axes.plot([x, x], [z, row], color=_SOIL, linewidth=1.2, zorder=3)
        axes.plot(x, z, "|", color=INK, markersize=14, markeredgewidth=2, zorder=6)
        if stop.margin is None:
            text = "end of the runout: it does not stop"
        elif stop.stops:
            text = f"end of the runout, {words.length(stop.margin, units)} to spare"
        else:
            text = f"end of the runout: {words.length(-stop.margin, units)} missing"
        _clamped(axes, x - 0.06 / scale, row, text, scale, ha="right", fill=_EARTH)
        scale_bar(axes, units, scale)
        return figure


def impact(curve: ImpactCurve, jump: JumpAnswer, units: str = "metric") -> Figure:
    """How hard the landing hits over the speed at the edge.

    Parameters
    ----------
    curve : ImpactCurve
        From `plan.picture.impact_curve`.
    jump : JumpAnswer
        The answer it belongs to.
    units : str
        ``"metric"`` or ``"imperial"``.

    Returns
    -------
    matplotlib.figure.Figure
        Equivalent fall height, with the ranges short, clean and long and hits on a wall marked.
    """
    with matplotlib.rc_context(STYLE):
        figure = Figure(figsize=(WIDTH, 3.9), facecolor=PAPER)
        axes = figure.add_axes((0.115, 0.15, 0.865, 0.665 if curve.foot else 0.79), facecolor=PAPER)
        to_speed, to_length = speed_in(units), length_in(units)
        speed = [to_speed(v) for v in curve.speed]
        known = [h for h in curve.fall_height if h is not None]
        tallest = min(max([1.25 * curve.limit, *known]), 3 * curve.limit) * 1.32
        axes.set(xlim=(speed[0], speed[-1]), ylim=(0, to_length(tallest)))
        _ranges(axes, curve, speed)
        _hit_lines(axes, curve, speed, to_length)
        axes.axhline(to_length(curve.limit), color=INK, linewidth=0.9, linestyle=(0, (2, 2)), zorder=3)
        left = _crowded(curve, tallest)
        axes.annotate(
            f"accepted: {words.length(curve.limit, units)}", (speed[0 if left else -1], to_length(curve.limit)),
            (4 if left else -4, 3), textcoords="offset points", ha="left" if left else "right", va="bottom", color=INK,
            fontsize=TEXT - 1, zorder=6,
        )
        if jump.window.speeds is not None:
            aim = jump.landings[1]
            at = to_speed(aim.lip_speed), to_length(aim.equivalent_fall)
            axes.plot(*at, "o", color=LINES["aim"]["color"], markersize=7, zorder=7)
            axes.annotate("aim", at, (0, 7), textcoords="offset points", ha="center", va="bottom", zorder=7)
        axes.set_xlabel(f"speed at the edge, {speed_sign(units)}", color=INK)
        axes.set_ylabel(f"as hard as a drop of, {'ft' if units == 'imperial' else 'm'}", color=INK)
        axes.xaxis.set_major_locator(MaxNLocator(6, integer=True))
        axes.yaxis.set_major_locator(MaxNLocator(5, steps=[1, 2, 5, 10]))
        _bare(axes)
        if curve.foot:
            _foot_axis(axes, curve, speed, to_speed, units)
        return figure


def _scale(width: float, height: float) -> float:
    """Inches per metre at which a drawing of this size fits."""
    return min((WIDTH - 2 * _MARGIN) / width, _TALLEST / max(height, 1e-6))


def _to_scale(
    left: float, right: float, low: float, high: float, scale: float, *, above: float, below: float
) -> tuple[Figure, Axes]:
    """A figure with equal axes in metres, with room [in] for labels above and below what is drawn."""
    height = (high - low) * scale + above + below
    figure = Figure(figsize=(WIDTH, height), facecolor=PAPER)
    axes = figure.add_axes((0, 0, 1, 1), facecolor=PAPER)
    middle = 0.5 * (left + right)
    axes.set(
        xlim=(middle - 0.5 * WIDTH / scale, middle + 0.5 * WIDTH / scale),
        ylim=(low - below / scale, high + above / scale),
        aspect="equal",
    )
    axes.set_axis_off()
    # without axes the paper still shows
    figure.patch.set_facecolor(PAPER)
    return figure, axes


def earth(axes: Axes, ground: Sequence[Stretch]) -> None:
    """Filled ground with its outline; beyond both ends it goes on."""
    x = [value for part in ground for value in part.x]
    z = [value for part in ground for value in part.z]
    far_left, far_right = axes.get_xlim()
    slope = (z[-1] - z[-2]) / (x[-1] - x[-2])
    if x[0] > far_left:
        x, z = [far_left, *x], [z[0] - (x[0] - far_left) * (z[1] - z[0]) / (x[1] - x[0]), *z]
    if x[-1] < far_right:
        x, z = [*x, far_right], [*z, z[-1] + slope * (far_right - x[-1])]
    bottom = axes.get_ylim()[0]
    axes.fill([x[0], *x, x[-1]], [bottom, *z, bottom], facecolor=_EARTH, edgecolor="none", zorder=1)
    axes.plot(x, z, color=_SOIL, linewidth=1.6, zorder=2, solid_joinstyle="round", gid="ground")


def _measures(axes: Axes, view: SideView, units: str, scale: float, *, low: float, top: float) -> None:
    """Words at lip, knuckle, landing and gap."""
    left, right = (limit + sign * _MARGIN / scale for limit, sign in zip(axes.get_xlim(), (1, -1), strict=True))
    small = {"fontsize": TEXT - 1, "color": INK, "zorder": 8}
    rows = [top + (0.3 + (i + 0.5) * _ROW) / scale - 0.12 / scale for i in range(2)]
    if view.shape == "drop":
        fall = "level" if abs(view.angle) < 0.005 else f"{'falls' if view.angle < 0 else 'rises'} {words.angle(abs(view.angle))}"
        lip = f"edge, {fall}"
    else:
        lip = f"lip {words.angle(view.angle)}, {words.length(view.lip_height, units)}"
    foot = view.foot[1] if view.foot is not None else 0.0
    said = axes.text(left, max(0.0, foot) + 0.22 / scale, lip, ha="left", va="center", **small)
    free = left + (_text_width(said) + 0.1) / scale
    x, z = view.knuckle
    axes.plot([x, x], [z, rows[0] - 0.4 * _ROW / scale], color=_SOIL, linewidth=0.7, linestyle=(0, (1, 2)), zorder=3)
    level = "level with the edge"
    if abs(view.drop) >= 0.005:
        level = f"{words.length(abs(view.drop), units, digits=2)} {'lower' if view.drop > 0 else 'higher'}"
    _clamped(axes, x, rows[0], f"knuckle, {level}", scale, ha="center", fill=PAPER, size=TEXT - 1, after=free)
    falls = "falls" if view.fall >= 0 else "rises"
    face = f"landing {falls} {words.angle(abs(view.fall))}, {words.length(view.face, units)} long"
    if view.clean is not None:
        face += "; thick: both wheels fit"
    axes.text(right, rows[1], face, ha="right", va="center", **small)

    floor = min(0.0, -view.drop) if view.shape == "tabletop" else min(part.z[1] for part in view.ground if part.name == "gap")
    z = floor - (0.16 if view.shape == "tabletop" else 0.12) / scale
    axes.annotate(
        "", (0, z), (x, z), zorder=3,
        arrowprops={"arrowstyle": "<|-|>", "color": _SOIL, "linewidth": 0.9, "shrinkA": 0, "shrinkB": 0},
    )
    _clamped(axes, 0.5 * x, z - 0.14 / scale, f"gap {words.length(view.gap, units)}", scale, ha="center", size=TEXT - 1)


_NAMES = {"slow": "too slow", "min": "slowest clean", "aim": "aim", "max": "fastest clean", "try": ""}


def _path_words(path: Path, shape: str, units: str) -> str:
    """A path's speed, and what becomes of it where that is not clean."""
    at = words.speed(path.landing.lip_speed, units, digits=1)
    text = f"{_NAMES[path.name]} {at}".strip()
    return text if path.landing.outcome == "clean" else f"{text}, {words.outcome(path.landing, shape)}"


def _path_labels(axes: Axes, view: SideView, units: str, scale: float, low: float) -> None:
    """A row for each path under the ground, with a line down from its touchdown; the furthest one lowest."""
    bottom = axes.get_ylim()[0]
    for number, path in enumerate(reversed(view.paths)):
        x, z = path.x[-1], path.z[-1]
        row = bottom + (0.12 + (number + 1.5) * _ROW) / scale
        color = LINES[path.name]["color"]
        axes.plot([x, x], [z, row], color=color, linewidth=0.8, zorder=3)
        _clamped(
            axes, x - 0.06 / scale, row, _path_words(path, view.shape, units), scale, ha="right", fill=_EARTH,
            color=color, bold=path.name == "aim",
        )


def _clamped(
    axes: Axes, x: float, z: float, text: str, scale: float, *, ha: str, fill: str | None = None,
    color: str = INK, size: float = TEXT, bold: bool = False, after: float | None = None,
) -> None:
    """Text moved sideways as far as it takes to stay inside the figure, and right of `after` [m]."""
    label = axes.text(
        x, z, text, ha="left", va="center", fontsize=size, color=color, zorder=8,
        fontweight="bold" if bold else "normal", bbox=_box(fill) if fill else None,
    )
    width = _text_width(label) / scale
    start = x - {"left": 0.0, "center": 0.5, "right": 1.0}[ha] * width
    low, high = (limit + sign * _MARGIN / scale for limit, sign in zip(axes.get_xlim(), (1, -1), strict=True))
    label.set_x(max(low, min(max(start, low if after is None else after), high - width)))


def _text_width(label: Text) -> float:
    """Width of a text [in]."""
    measure = text_to_path.get_text_width_height_descent
    return max(measure(row, label.get_fontproperties(), False)[0] for row in label.get_text().split("\n")) / 72


def _box(fill: str, *, alpha: float = 1.0) -> dict[str, object]:
    return {"boxstyle": "square,pad=0.12", "facecolor": fill, "edgecolor": "none", "alpha": alpha}


def scale_bar(axes: Axes, units: str, scale: float) -> None:
    """A bar of a round length in the bottom right corner, and the words true scale."""
    unit = "ft" if units == "imperial" else "m"
    sizes = (1, 2, 5, 10, 20, 50, 100)
    metres = [to_si(size, kind="length", unit=unit) for size in sizes]
    wanted = next((i for i, m in enumerate(metres) if m * scale >= 0.4), len(sizes) - 1)
    right = axes.get_xlim()[1] - 0.12 / scale
    z = axes.get_ylim()[0] + 0.14 / scale
    axes.plot([right - metres[wanted], right], [z, z], color=INK, linewidth=2.5, solid_capstyle="butt", zorder=8)
    axes.text(
        right - metres[wanted] - 0.07 / scale, z, f"true scale, {sizes[wanted]} {unit}", ha="right", va="center",
        fontsize=TEXT - 1, color=INK, zorder=8,
    )


def _ranges(axes: Axes, curve: ImpactCurve, speed: Sequence[float]) -> None:
    """Bands short, clean and long, each named at the top; hits on an edge hatched and told in words."""
    kinds = [_range_of(outcome) for outcome in curve.outcome]
    top = axes.get_ylim()[1]
    span = speed[-1] - speed[0]
    for first, last in _runs(kinds):
        ends = _ends(speed, first, last)
        clean = kinds[first] == "clean"
        axes.axvspan(*ends, facecolor="#ebdfc2" if clean else PAPER, edgecolor="none", zorder=0)
        if last + 1 < len(kinds):
            axes.axvline(ends[1], color=_SOIL, linewidth=0.8, zorder=1)
        if ends[1] - ends[0] > 0.08 * span:
            axes.text(
                0.5 * sum(ends), 0.97 * top, kinds[first], ha="center", va="top", color=INK, zorder=6,
                fontweight="bold",
            )
    solid = [height is None for height in curve.fall_height]
    said = False
    for first, last in _runs(solid):
        if not solid[first]:
            continue
        ends = _ends(speed, first, last)
        axes.axvspan(*ends, facecolor="none", edgecolor="#c9ad98", hatch="///", linewidth=0, zorder=0.5)
        if not said:
            said = True
            walls = {"wall": "hits the near wall:\nno metres can be given", "edge": "rolls off the edge"}
            text = walls.get(curve.surface[(first + last) // 2], "hits the knuckle:\nno metres can be given")
            label = axes.text(
                0, 0.82 * top, text, ha="center", va="top", color=LINES["slow"]["color"], zorder=6,
                fontsize=TEXT - 1, bbox=_box(PAPER, alpha=0.9),
            )
            half = (0.5 * _text_width(label) + 0.05) / (WIDTH * axes.get_position().width) * span
            label.set_x(max(speed[0] + half, min(0.5 * sum(ends), ends[1] - half)))


def _crowded(curve: ImpactCurve, tallest: float) -> bool:
    """Whether the curve runs through the right end of the limit's line and less so through its left end."""
    part = max(1, int(0.3 * len(curve.speed)))

    def met(heights: Sequence[float | None]) -> int:
        return sum(h is not None and -0.02 * tallest < h - curve.limit < 0.12 * tallest for h in heights)

    return met(curve.fall_height[-part:]) > met(curve.fall_height[:part])


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


def _hit_lines(axes: Axes, curve: ImpactCurve, speed: Sequence[float], to_length: Callable[[float], float]) -> None:
    """The equivalent fall height, solid where it is clean and dashed where not; broken where the surface changes."""
    kinds = [
        (_range_of(outcome), surface if outcome == "short" else "", height is None)
        for outcome, surface, height in zip(curve.outcome, curve.surface, curve.fall_height, strict=True)
    ]
    styles = {
        "short": {**LINES["slow"]},
        "clean": {**LINES["aim"]},
        "long": {"color": "#a3462c", "linestyle": (0, (5, 2)), "linewidth": 1.8},
    }
    for first, last in _runs(kinds):
        if kinds[first][2]:
            continue
        rows = range(first, last + 1)
        axes.plot(
            [speed[i] for i in rows], [to_length(curve.fall_height[i]) for i in rows], zorder=4,
            gid=kinds[first][0], **styles[kinds[first][0]],
        )


def _foot_axis(
    axes: Axes, curve: ImpactCurve, speed: Sequence[float], to_speed: Callable[[float], float], units: str
) -> None:
    """Round speeds at the foot of the lip along the top, placed over the edge speeds they become."""
    known = [(to_speed(f), s) for f, s in zip(curve.foot, speed, strict=True) if f == f]
    if len(known) < 2:
        return
    span = known[-1][0] - known[0][0]
    step = next(s for s in (1, 2, 5, 10, 20, 50) if span / s <= 7)
    ticks, labels = [], []
    wanted = step * (int(known[0][0] / step) + 1)
    for (f0, s0), (f1, s1) in zip(known, known[1:], strict=False):
        while f0 < wanted <= f1:
            ticks.append(s0 + (s1 - s0) * (wanted - f0) / (f1 - f0))
            labels.append(f"{wanted:g}")
            wanted += step
    top = axes.twiny()
    top.set_xlim(axes.get_xlim())
    top.set_xticks(ticks, labels)
    top.set_xlabel(f"speed on the run-in just before the lip, {speed_sign(units)}", color=INK)
    _bare(top)


def _bare(axes: Axes) -> None:
    for name in ("top", "right", "left", "bottom"):
        axes.spines[name].set(color=_SOIL, linewidth=0.8)
    axes.tick_params(colors=INK, labelsize=TEXT)


def speed_sign(units: str) -> str:
    return "mph" if units == "imperial" else "km/h"


def speed_in(units: str) -> Callable[[float], float]:
    unit = "mph" if units == "imperial" else "kmh"
    return lambda value: from_si(value, kind="speed", unit=unit)


def length_in(units: str) -> Callable[[float], float]:
    unit = "ft" if units == "imperial" else "m"
    return lambda value: from_si(value, kind="length", unit=unit)
