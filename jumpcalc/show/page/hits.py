"""How hard it hits over the whole range of speeds."""

from __future__ import annotations

import streamlit as st

from jumpcalc.plan.picture import impact_curve
from jumpcalc.show.draw_impact import impact
from jumpcalc.show.page.common import Shown, drawing, plain, small

__all__ = ["show"]


def show(shown: Shown) -> None:
    """The curve of the hit over the speed at the edge."""
    jump = shown.jump
    st.subheader("How hard it hits", anchor=False)
    drawing(
        shown,
        "impact",
        lambda: impact(impact_curve(shown.answer, shown.index), jump, shown.units, stamp=shown.stamp),
        alt=_message(shown),
    )
    wall = "" if jump.shape == "tabletop" else (
        "Short of the landing a bike hits its near wall: that is a hit on a fixed edge, and no height of drop describes it. "
    )
    small(plain(f"{wall}Past the end of the landing the ground no longer falls away under the bike, and the hit grows fast."))


def _message(shown: Shown) -> str:
    jump = shown.jump
    limit = shown.length(shown.answer.complete.limits.equivalent_fall)
    if not jump.landings:
        return f"The hit as the height of a straight drop, over the speed at the edge: no speed lands clean; {limit} is accepted."
    slow, aim, fast = jump.landings
    return (
        f"The hit as the height of a straight drop, over the speed at the edge: {shown.length(slow.equivalent_fall)} at the "
        f"slowest clean speed, {shown.length(aim.equivalent_fall)} at the aim, {shown.length(fast.equivalent_fall)} at the "
        f"fastest clean speed; {limit} is accepted."
    )
