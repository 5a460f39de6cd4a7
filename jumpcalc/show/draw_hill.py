"""The drawing of a whole line: hill to true scale, marks on it, and below it the speed over the same axis."""

from __future__ import annotations

import matplotlib
from matplotlib.figure import Figure

from jumpcalc.plan.hill import HillView
from jumpcalc.show import words
from jumpcalc.show.draw import (
    INK,
    LINES,
    PAPER,
    STYLE,
    TEXT,
    WIDTH,
    earth,
    length_in,
    scale_bar,
    speed_in,
    speed_sign,
)

__all__ = ["hill"]

_SPEED_HEIGHT = 1.55  # in
_ABOVE = 1.25  # in, room for the marks' names
_BELOW = 0.35
_MARGIN = 0.62  # in, left of the axes


def hill(view: HillView, units: str = "metric", *, stamp: str = "") -> Figure:
    """A whole line from its start mark: the hill to true scale, and the speed along it.

    Parameters
    ----------
    view : HillView
        From `plan.hill.hill_view`.
    units : str
        ``"metric"`` or ``"imperial"``.
    stamp : str
        A word over the drawing, such as EXAMPLE.

    Returns
    -------
    matplotlib.figure.Figure
        Two axes that share x: ground with flights and marks; speed over x.
    """
    with matplotlib.rc_context(STYLE):
        to_length, to_speed = length_in(units), speed_in(units)
        left, right = view.ground.x[0] - 1.0, view.ground.x[-1]
        heights = [*view.ground.z, *(z for flight in view.flights for z in flight.z)]
        low, high = min(heights), max(heights)
        scale = (WIDTH - _MARGIN - 0.1) / (right - left)
        drawn = (high - low) * scale
        height = _ABOVE + drawn + _BELOW + _SPEED_HEIGHT + 0.55
        figure = Figure(figsize=(WIDTH, height), facecolor=PAPER)
        share = (WIDTH - _MARGIN - 0.1) / WIDTH
        top = figure.add_axes(
            (_MARGIN / WIDTH, (_SPEED_HEIGHT + 0.55) / height, share, (_ABOVE + drawn + _BELOW) / height),
            facecolor=PAPER,
        )
        top.set(xlim=(left, right), ylim=(low - _BELOW / scale, high + _ABOVE / scale), aspect="equal")
        top.set_axis_off()
        earth(top, [view.ground])
        for flight in view.flights:
            top.plot(flight.x, flight.z, zorder=5, gid="flight", **LINES["aim"])
        _marks(top, view, units, scale, high)
        scale_bar(top, units, scale)
        if stamp:
            top.annotate(
                stamp, (0, 0), (4, 4), xycoords="axes fraction", textcoords="offset points", fontweight="bold",
                color=LINES["slow"]["color"], zorder=9,
            )
        below = figure.add_axes((_MARGIN / WIDTH, 0.5 / height, share, _SPEED_HEIGHT / height), facecolor=PAPER)
        for trace in view.speeds:
            style = {"linestyle": "-", "linewidth": 2.0} if trace.name == "ground" else {"linestyle": (0, (2, 1.5)), "linewidth": 1.6}
            below.plot(trace.x, [to_speed(v) for v in trace.speed], color=LINES["aim"]["color"], gid=trace.name, **style)
        for edge in view.edges:
            below.axvline(edge.x, color=INK, linewidth=0.8, linestyle=(0, (1, 2)))
        fastest = max((to_speed(v) for trace in view.speeds for v in trace.speed if v == v), default=1.0)
        below.set(xlim=(left, right), ylim=(0, 1.15 * fastest))
        step = 10 if units == "metric" else 30
        ticks = [value for value in range(0, 2000, step) if value <= to_length(right)]
        if len(ticks) > 9:
            ticks = ticks[:: 1 + len(ticks) // 9]
        below.set_xticks([value / to_length(1.0) for value in ticks], [str(value) for value in ticks])
        below.set_xlabel(f"from the start mark, {'ft' if units == 'imperial' else 'm'} (dashed: in the air)", color=INK)
        below.set_ylabel(f"speed, {speed_sign(units)}", color=INK)
        below.tick_params(colors=INK, labelsize=TEXT - 0.5)
        for side in ("top", "right"):
            below.spines[side].set_visible(False)
        return figure


def _marks(axes, view: HillView, units: str, scale: float, high: float) -> None:  # noqa: ANN001 (matplotlib axes)
    """The span of start marks as a bar along the hill, the marks with their names, the last place to stop as a stone."""
    row = 0.235 / scale
    if view.span is not None:
        lifted = [z + 0.07 / scale for z in view.span.z]
        axes.plot(view.span.x, lifted, color=LINES["slow"]["color"], linewidth=5, alpha=0.55, solid_capstyle="butt", zorder=4)
    named = [(mark, mark.name) for mark in sorted(view.marks, key=lambda mark: mark.x)]
    left = axes.get_xlim()[0]
    for level, (mark, name) in enumerate(named):
        stone = name == "last place to stop"
        axes.plot(
            mark.x, mark.z + 0.04 / scale, "s" if stone else "v", color=INK if stone else LINES["aim"]["color"],
            markersize=8 if stone else 6, zorder=7,
        )
        at = high + _ABOVE / scale - (level + 0.6) * row
        axes.plot([mark.x, mark.x], [mark.z, at], color=INK, linewidth=0.6, zorder=3)
        axes.text(
            max(mark.x + 0.05 / scale, left), at, f"{name}: {words.length(mark.before_foot, units)} before the lip", va="center",
            fontsize=TEXT - 0.5, color=INK, zorder=8,
            bbox={"boxstyle": "square,pad=0.1", "facecolor": PAPER, "edgecolor": "none"},
        )
    for edge in view.edges if len(view.edges) > 1 else ():
        axes.text(edge.x, edge.z + 0.32 / scale, edge.name, ha="center", fontsize=TEXT - 0.5, color=INK, zorder=8)
