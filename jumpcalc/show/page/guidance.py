"""Published guidance beside the jump, where an input leaves it and where it is kept."""

from __future__ import annotations

from jumpcalc.plan.studies.guidance import guidance
from jumpcalc.show.page.common import Panel, Shown, plain, small, table
from jumpcalc.show.words.guidance import not_met, rule

__all__ = ["PANEL", "left"]


def left(shown: Shown) -> None:
    """Which rules the jump leaves, with who says so."""
    text = shown.text(not_met(guidance(shown.answer, shown.index)))
    if text:
        small(plain(text))


def _body(shown: Shown) -> None:
    """All rules as tables: those for bikes, and for comparison those for snow."""
    rules = guidance(shown.answer, shown.index)
    for head, for_bikes in (("rule", True), ("for comparison, made for snow", False)):
        rows = [shown.texts(rule(each)) for each in rules if each.for_bikes is for_bikes]
        if rows:
            table([head, "here", "source"], rows)
    small(
        plain(
            "No publication gives lip radius, landing angle, landing length or room to stop for mountain bikes: here they "
            "are computed from speed, load, fall height and stopping distance. Local guidance comes first."
        )
    )


PANEL = Panel("What published guidance says", _body)
