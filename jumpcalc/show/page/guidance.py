"""Published guidance beside the jump, where an input leaves it and where it is kept."""

from __future__ import annotations

from jumpcalc.plan.studies.guidance import Rule, guidance
from jumpcalc.show import words
from jumpcalc.show.page.common import Panel, Shown, plain, small, table

__all__ = ["PANEL", "left", "rule_words"]


def left(shown: Shown) -> None:
    """Which rules the jump leaves, with who says so."""
    rules = [rule for rule in guidance(shown.answer, shown.index) if rule.keeps is False]
    if rules:
        said = "; ".join(f"{rule_words(rule, shown.units)[0]} ({rule.source})" for rule in rules)
        small(plain(f"Published guidance that this jump does not meet: {said}."))


def _body(shown: Shown) -> None:
    """All rules as a table."""
    table(["rule", "here", "source"], [rule_words(rule, shown.units) for rule in guidance(shown.answer, shown.index)])
    small(
        plain(
            "No publication gives lip radius, landing angle, landing length or room to stop for mountain bikes: here they "
            "are computed from speed, load, fall height and stopping distance. Local guidance comes first."
        )
    )


def rule_words(rule: Rule, units: str = "metric") -> tuple[str, str, str]:
    """A rule, what the jump has of it, and who says so."""

    def say(value: float) -> str:
        return words.angle(value) if rule.kind == "angle" else words.length(value, units)

    asks = say(rule.asks)
    text = {
        "ramp steeper than any grade": f"ramps are at most {asks}, on grade 5",
        "height": f"lips and landings are at most {asks} high and always rollable",
        "straight of a wheelbase": f"the straight before the edge is at least a wheelbase, {asks}",
        "straight of 0.3 s": f"the straight before the edge takes at least 0.3 s, here {asks}",
        "transition radius": f"the curve of the lip has a radius of at least 0.14 v², here {asks}",
        "steepness": f"lips and landings are less steep than {asks}",
        "step-up": f"a step-up's ramp may be up to {asks} steeper",
        "fall zone": f"clear on each side: 2 m and the height of the riding surface, {asks}",
    }.get(rule.code, f"ramps of {rule.code.removeprefix('ramp of ')} are at most {asks}")
    has = "not measured" if rule.has is None else say(rule.has)
    if rule.code == "step-up":
        has = "a step-up"
    if rule.code == "height" and not rule.keeps and rule.has <= rule.asks:
        has += ", but it cannot be rolled"
    verdict = {True: f"{has}: kept", False: f"{has}: leaves it", None: has}[rule.keeps]
    return text, verdict, rule.source


PANEL = Panel("What published guidance says", _body)
