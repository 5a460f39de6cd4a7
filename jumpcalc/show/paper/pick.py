"""The drawing of a landing to point at: where did the rear wheel touch?"""

from __future__ import annotations

from jumpcalc.plan.views.pick import PickView
from jumpcalc.show import words
from jumpcalc.show.paper.labels import MARGIN, ROW, SMALL, beside, placed
from jumpcalc.show.paper.side import PATHS, SOIL, earth, length_in, scale_bar, stamped, to_scale
from jumpcalc.show.paper.svg import Frame, Line, Sheet, Words

__all__ = ["landing", "step_between"]

_TALLEST = 190.0  # pt
_TICK = 5.0  # pt


def step_between(units: str) -> float:
    """Distance between the ticks [m]: a metre or two feet."""
    return 0.6096 if units == "imperial" else 1.0


def landing(view: PickView, units: str = "metric", *, stamp: str = "") -> tuple[Sheet, Frame]:
    """Lip, gap and landing with distances from the knuckle, the aim's touchdown and the one in question.

    Parameters
    ----------
    view : PickView
        From `plan.pick.pick_view`, its ticks `step_between` apart.
    units : str
        ``"metric"`` or ``"imperial"``.
    stamp : str
        A word over the drawing, such as EXAMPLE.

    Returns
    -------
    sheet : Sheet
        The drawing.
    frame : Frame
        All of it, in metres from the lip edge.
    """
    left = -1.0
    right = max([view.ticks[-1].x, *(at[0] for at in (view.here, view.aim) if at is not None)]) + 1.2
    ground = [(x, z) for part in view.ground for x, z in zip(part.x, part.z, strict=True) if left <= x <= right]
    heights = [
        0.0,
        *(z for _, z in ground),
        *(tick.z for tick in view.ticks),
        *(at[1] for at in (view.here, view.aim) if at),
    ]
    sheet, frame = to_scale(
        left, right, min(heights), max(heights), above=4 * ROW + 4, below=ROW + 22, tallest=_TALLEST
    )
    earth(sheet, frame, view.ground)
    to_unit, unit = length_in(units), words.length_sign(units)
    named: list[Words] = []
    # the knuckle is always named, the others as far as there is room
    for tick in sorted(view.ticks, key=lambda tick: abs(tick.along)):
        x, y = frame.at(tick.x, tick.z)
        sheet.put(3, Line(points=[(x, y - _TICK), (x, y + _TICK)], color=SOIL, width=1.0))
        number = placed(x, y + 15, f"{to_unit(tick.along):.0f}".replace("-", "−"), align=0.5, size=SMALL)
        if all(number.box[0] >= other.box[2] + 4 or number.box[2] <= other.box[0] - 4 for other in named):
            named.append(number)
    sheet.put(7, *named)
    sheet.put(7, placed(MARGIN, sheet.height - 10, f"{unit} along the ground from the knuckle", size=SMALL))
    for row, (at, name, look) in enumerate(
        ((view.aim, "the aim", PATHS["aim"]), (view.here, "this landing", PATHS["slow"]))
    ):
        if at is None:
            continue
        x, y = frame.at(*at)
        color, level = look["color"], (2 + row) * ROW
        sheet.put(4, Line(points=[(x, y), (x, level)], color=color, width=0.9, dash=look.get("dash", ())))
        for way in (1, -1):
            ends = [(x - 4.5, y - way * 4.5), (x + 4.5, y + way * 4.5)]
            sheet.put(8, Line(points=ends, color=color, width=2.4, name=name))
        sheet.put(8, beside(x - 4, level, name, align=1.0, size=SMALL, color=color))
    scale_bar(sheet, frame, units)
    stamped(sheet, stamp)
    return sheet, frame
