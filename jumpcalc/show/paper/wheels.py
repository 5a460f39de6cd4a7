"""The drawing of where rear wheels come down: bars over the landing, to true scale along the ground."""

from __future__ import annotations

from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.studies.odds import JumpOdds
from jumpcalc.plan.views.wheels import WheelsView
from jumpcalc.show.paper.labels import INK, ROW, SMALL, free, placed
from jumpcalc.show.paper.side import PATHS, earth, scale_bar, stamped, to_scale
from jumpcalc.show.paper.svg import Area, Line, Sheet
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.odds import in_100

__all__ = ["wheels"]

_TALLEST_BAR = 90.0  # pt
_GOOD, _OFF = "#566347", PATHS["slow"]["color"]


def wheels(view: WheelsView, found: JumpOdds, reader: Reader = Reader.metric, *, stamp: str = "") -> Sheet:
    """Where the rear wheel comes down, as bars over the landing.

    Parameters
    ----------
    view : WheelsView
        From `plan.views.wheels.wheels_view`.
    found : JumpOdds
        The odds it belongs to.
    reader : Reader
        Who reads it.
    stamp : str
        A word over the drawing, such as EXAMPLE.

    Returns
    -------
    Sheet
        Bars that stand for shares of the tries, hatched where both wheels are not on the landing.
    """
    inside = [z for part in view.ground for x, z in zip(part.x, part.z, strict=True) if view.left <= x <= view.right]
    low, high = min(inside), max([*inside, *view.z])
    sheet, frame = to_scale(view.left, view.right, low, high, above=_TALLEST_BAR + 3 * ROW, below=ROW + 26)
    earth(sheet, frame, view.ground)
    if view.clean is not None:
        sheet.put(4, Line(points=frame.points(view.clean.x, view.clean.z), color=INK, width=4.5, name="clean"))
    first, last = (view.clean.x[0], view.clean.x[-1]) if view.clean is not None else (view.right, view.right)
    tallest, width = max(view.share, default=1.0), 0.2 * frame.scale
    for x, z, share in zip(view.x, view.z, view.share, strict=True):
        across, foot = frame.at(x, z)
        foot -= 3
        top = foot - _TALLEST_BAR * share / tallest
        corners = [(across - width / 2, foot), (across - width / 2, top), (across + width / 2, top), (across + width / 2, foot)]
        good = first <= x <= last
        sheet.put(5, Area(points=corners, fill=_GOOD if good else _OFF, name="good" if good else "off"))
        if not good:
            sheet.put(5, Line(points=[*corners, corners[0]], color=INK, width=0.8, dash=(1.5, 1.5)))
    shares = {outcome: share.value for outcome, share in found.outcomes}
    named = (
        ("short", shares[Outcome.SHORT] + shares[Outcome.REAR_SHORT], view.left, 0.0, _OFF),
        ("both wheels on", shares[Outcome.CLEAN], 0.5 * (first + last), 0.5, _GOOD),
        ("too long", shares[Outcome.FRONT_LONG] + shares[Outcome.LONG], view.right, 1.0, _OFF),
    )
    for text, share, x, align, color in named:
        rows = ([placed(frame.at(x, 0)[0], 12 + down, f"{text}: {in_100(share)}", align=align, color=color)] for down in (0, 16, 32))
        sheet.put(8, *free(sheet, rows))
    if view.clean is not None:
        sheet.put(8, placed(10, sheet.height - 12, "thick: both wheels fit", size=SMALL))
    scale_bar(sheet, frame, reader)
    stamped(sheet, stamp, y=sheet.height - 26)
    return sheet
