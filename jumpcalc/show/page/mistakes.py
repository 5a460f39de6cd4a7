"""What a wrong speed does."""

from __future__ import annotations

from jumpcalc.plan.answer import LandingResult
from jumpcalc.show.page.common import Panel, Shown, plain, small, table
from jumpcalc.show.words.jump import had, outcome
from jumpcalc.units import to_si

__all__ = ["PANEL"]


def _body(shown: Shown) -> None:
    """Landings of speeds that are 5 and 10 % off, and how far the landing moves."""
    found, jump = shown.jump.sensitivity, shown.jump
    rows = [
        _row(shown, "10 % slow", found.slow_10),
        _row(shown, "5 % slow", found.slow_5),
        _row(shown, "aim", jump.landings[1]),
        _row(shown, "5 % fast", found.fast_5),
        _row(shown, "10 % fast", found.fast_10),
    ]
    table(["at the edge", "what happens", "as hard as a drop of"], rows)
    per = to_si(1, kind="speed", unit=shown.reader.unit("speed"))
    small(
        plain(
            f"In the air alone the landing moves by {shown.length(found.per_speed * per, 'height')} for each "
            f"{shown.speed(per, 'speed.0')}, by {shown.length(found.per_angle * to_si(1, kind='angle', unit='deg'), 'height')} "
            f"for each degree that the bike leaves the edge steeper and by {shown.length(found.per_wind * per, 'height')} for each "
            f"{shown.speed(per, 'speed.0')} of wind from behind."
        )
    )
    if jump.shape == "gap":
        small("On a gap, coming up short is a hit on a wall; on a table it is a landing on the deck.")


def _row(shown: Shown, name: str, landing: LandingResult) -> list[str]:
    never = had(shown.jump, landing)
    if never:
        return [f"{name}, {shown.speed(landing.lip_speed)}", never, "–"]
    hit = "no height describes it" if landing.equivalent_fall is None else shown.length(landing.equivalent_fall, 'drop')
    return [f"{name}, {shown.speed(landing.lip_speed)}", outcome(landing, shown.jump.shape), hit]


PANEL = Panel("If the speed is off", _body, lambda shown: shown.jump.sensitivity is not None)
