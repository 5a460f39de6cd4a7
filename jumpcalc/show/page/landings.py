"""The slowest, the aimed and the fastest clean landing side by side."""

from __future__ import annotations

from collections.abc import Iterable

from jumpcalc.show.page.common import Panel, Shown, small, table
from jumpcalc.show.words.said import Least, Most
from jumpcalc.show.words.window import places

__all__ = ["PANEL"]


def _body(shown: Shown) -> None:
    """The table of landings."""
    jump = shown.jump
    speeds, foot, each = jump.window.speeds, jump.window.foot, jump.landings
    rows = []
    if jump.shape != "drop":
        rows.append(_row("before the lip", map(shown.speed, (Least(foot.min), foot.aim, Most(foot.max)))))
    rows += [
        _row("at the edge", map(shown.speed, (Least(speeds.min), speeds.aim, Most(speeds.max)))),
        _row("lands, level from the edge", (shown.length(landing.x) for landing in each)),
        _row("down the face from the knuckle", (shown.length(landing.along_face) for landing in each)),
        _row("in the air", (f"{landing.flight:.2f} s" for landing in each)),
        _row("highest above the edge", (shown.length(landing.apex) for landing in each)),
        ["path falls at touchdown", *(shown.reader.quantity(landing.descent, "angle") for landing in each)],
        _row("as hard as a drop of", (shown.length(landing.equivalent_fall, "drop") for landing in each)),
    ]
    if any(abs(landing.side_drift) >= 0.05 for landing in each):
        rows.append(_row("drifts sideways", (shown.length(abs(landing.side_drift)) for landing in each)))
    table(["", "slowest clean", "aim", "fastest clean"], rows)
    small(shown.text(places(jump)))
    small("The hit is that of wheels set down on the ground, as the height of a straight drop; not that of a fall.")


def _row(name: str, cells: Iterable[str]) -> list[str]:
    """A row with its unit beside its name, so that it stays narrow."""
    parts = [cell.rpartition(" ") for cell in cells]
    return [f"{name}, {parts[0][2]}", *(number for number, _, _ in parts)]


PANEL = Panel("Landings", _body, lambda shown: bool(shown.jump.landings))
