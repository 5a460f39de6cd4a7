"""What makes a day no day to ride, and how to tell."""

from __future__ import annotations

from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.surfaces import SURFACES
from jumpcalc.show.page import names
from jumpcalc.units import to_si

__all__ = ["AS_TYPED", "GUSTY", "IN_ADDRESS", "WET", "WINDS", "refusals"]

_SEEN = to_si(10, kind="speed", unit="kmh")  # leaves and twigs move; common practice, no source
AS_TYPED, GUSTY = "as typed with the line", "gusty, or not sure"
IN_ADDRESS = "gusty"
"""How the address says `GUSTY`."""

WINDS: dict[str, tuple[float | None, float | None] | None] = {
    AS_TYPED: (None, None),
    "still": (0.0, 0.0),
    "leaves and twigs move, from behind": (_SEEN, 0.0),
    "leaves and twigs move, from ahead": (-_SEEN, 0.0),
    "leaves and twigs move, from the right": (0.0, _SEEN),
    "leaves and twigs move, from the left": (0.0, -_SEEN),
    GUSTY: None,
}
"""What one sees of the wind, and what it stands for: along and across [m/s]; None is not today."""

WET = tuple(name for name in SURFACES if name.startswith("wet"))
"""Ground that is not ridden for a jump, whatever speed it would take."""

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
