"""What makes a day no day to ride, and how to tell."""

from __future__ import annotations

from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.day import WET, WINDS_SEEN
from jumpcalc.show.page import names

__all__ = ["AS_TYPED", "GUSTY", "IN_ADDRESS", "WINDS", "refusals"]

AS_TYPED, GUSTY = "as typed with the line", "gusty, or not sure"
IN_ADDRESS = "gusty"
"""How the address says `GUSTY`."""

WINDS: dict[str, tuple[float | None, float | None] | None] = {AS_TYPED: (None, None), **WINDS_SEEN, GUSTY: None}
"""What can be picked, and the wind it stands for, along and across [m/s]; None is not today."""

_GUST = "Gusty, or not sure: not today. A gust moves the landing by more than there is room, and nobody sees it coming."
_WET = (
    "Wet ground: not today. It takes speed and grip by amounts that nobody foresees, and riding it wet spoils it. Dry enough is: "
    "nothing sticks to tyre or shoe, a heel leaves no dent in run-in, lip and landing, and no water stands on any of them or on the "
    "runout (common practice, no source)."
)


def refusals(line: Line) -> tuple[str, ...]:
    """Why today is no day to ride this line, in sentences; empty where nothing speaks against it."""
    gusty = names.RIDE_WIND.value == GUSTY
    return (*([_GUST] if gusty else []), *([_WET] if line.run_in.surface in WET else []))
