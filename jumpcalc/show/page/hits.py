"""How hard it hits over the whole range of speeds."""

from __future__ import annotations

from functools import lru_cache

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.views.hit import impact_curve
from jumpcalc.show.page.common import Panel, Shown, drawing, plain, small
from jumpcalc.show.paper.hit import impact
from jumpcalc.show.words.numbers import Reader

__all__ = ["PANEL"]


def _body(shown: Shown) -> None:
    """The curve of the hit over the speed at the edge."""
    jump = shown.jump
    drawing(_drawn(*shown.drawn), alt=_message(shown))
    wall = (
        ""
        if jump.shape == "tabletop"
        else (
            "Short of the landing a bike hits its near wall: that is a hit on a fixed edge, and no height of drop describes it. "
        )
    )
    small(
        plain(
            f"{wall}Past the end of the landing the ground no longer falls away under the bike, and the hit grows fast."
        )
    )


@lru_cache(maxsize=100)
def _drawn(answer: Answer, index: int, reader: Reader, stamp: str) -> str:
    return impact(impact_curve(answer, index), answer.jumps[index], reader, stamp=stamp).svg()


def _message(shown: Shown) -> str:
    jump = shown.jump
    limit = shown.length(shown.answer.complete.limits.equivalent_fall)
    if not jump.landings:
        return f"The hit as the height of a straight drop, over the speed at the edge: no speed lands clean; {limit} is accepted."
    slow, aim, fast = jump.landings
    return (
        f"The hit as the height of a straight drop, over the speed at the edge: {shown.length(slow.equivalent_fall, 'drop')} at the "
        f"slowest clean speed, {shown.length(aim.equivalent_fall, 'drop')} at the aim, {shown.length(fast.equivalent_fall, 'drop')} at the "
        f"fastest clean speed; {limit} is accepted."
    )


PANEL = Panel("How hard it hits", _body)
