"""The wind by what one sees of it, to pick from."""

from __future__ import annotations

from jumpcalc.plan.studies.day import WINDS_SEEN
from jumpcalc.show.page import names

__all__ = ["AS_TYPED", "GUSTY", "IN_ADDRESS", "WINDS", "gusts"]

AS_TYPED, GUSTY = "as typed with the line", "gusty, or not sure"
IN_ADDRESS = "gusty"
"""How the address says `GUSTY`."""

WINDS: dict[str, tuple[float | None, float | None] | None] = {AS_TYPED: (None, None), **WINDS_SEEN, GUSTY: None}
"""What can be picked, and the wind it stands for, along and across [m/s]; None is not today."""

_GUST = "Gusty, or not sure: not today. A gust moves the landing by more than there is room, and nobody sees it coming."


def gusts() -> list[str]:
    """That gusts were picked, and so there is no wind to ride in; empty where they were not."""
    return [_GUST] if names.RIDE_WIND.value == GUSTY else []
