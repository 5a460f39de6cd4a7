"""What a day may bring: the wind by what one sees of it, and what lies on the ground; changes as data."""

from __future__ import annotations

from typing import Any

from jumpcalc.units import to_si

__all__ = ["SEEN", "WINDS_SEEN", "ground_changes"]

SEEN = to_si(10, kind="speed", unit="kmh")
"""What moves leaves and twigs, at the rider's height [m/s]; common practice, no source."""

WINDS_SEEN: dict[str, tuple[float, float]] = {
    "still": (0.0, 0.0),
    "leaves and twigs move, from behind": (SEEN, 0.0),
    "leaves and twigs move, from ahead": (-SEEN, 0.0),
    "leaves and twigs move, from the right": (0.0, SEEN),
    "leaves and twigs move, from the left": (0.0, -SEEN),
}
"""What one sees of the wind, and what it stands for: along and across [m/s]."""


def ground_changes(jumps: int, surface: str) -> dict[str, Any]:
    """What another ground changes of a line: what lies on the run-in lies on the runouts too.

    Parameters
    ----------
    jumps : int
        How many the line has.
    surface : str
        What lies there.

    Returns
    -------
    dict
        Key path -> value, as `vary` takes it; values that were given of the other ground go.
    """
    grounds = ["run_in", *(f"jump[{number}].runout" for number in range(1, jumps + 1))]
    gone = {f"{ground}.{part}": None for ground in grounds for part in ("rolling_resistance", "grip")}
    return gone | {f"{ground}.surface": surface for ground in grounds}
