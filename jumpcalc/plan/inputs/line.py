"""The frozen inputs of a line: what a builder measured, and nothing else.

Every value is SI and radians. None means "not given": `complete` (in `assume`) fills defaults in and
says which. What is dug is declared in `dug`, who rides in `rider`.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Any

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.declare import quantity, table
from jumpcalc.plan.inputs.dug import Jump, RunIn
from jumpcalc.plan.inputs.keys import Table
from jumpcalc.plan.inputs.rider import Bike, Limits, Rider, Skill
from jumpcalc.plan.inputs.valid import checked, echo

__all__ = ["Air", "Line"]

MOST_JUMPS = 50


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Air(Table):
    """Air and wind at the jump."""

    altitude: float | None = quantity(
        "length", -400, 6000, default=0, label="Altitude", source="sea level of ISO 2533, an assumption",
        help="Height of the place above sea level.",
    )
    temperature: float | None = quantity(
        "temperature", -40, 55, default_words="the standard one at that altitude", source="ISO 2533:1975",
        label="Air temperature", help="Air temperature in the shade.",
    )
    tailwind: float | None = quantity(
        "speed", -80, 80, default=0, label="Wind from behind (negative: from ahead)",
        help="Wind along the course at the rider's height, from behind; negative is a headwind. Forecasts are for 10 m up "
        "and in the open: at a jump it is often half of that.",
    )
    crosswind: float | None = quantity(
        "speed", -80, 80, default=0, label="Wind from the right (negative: from the left)",
        help="Wind across the course at the rider's height; positive pushes to the rider's left.",
    )

    __post_init__ = checked


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Line(Table):
    """A run-in and one or more jumps, as measured; the runout of one is the run-in of the next."""

    title: str | None = quantity("text", default_words="untitled", label="Title", help="What the line is called.")
    place: str | None = quantity("text", default_words="not said", label="Place", help="Where it is.")
    measured_on: str | None = quantity("text", default_words="not said", label="Measured on", help="Date, as text.")
    measured_by: str | None = quantity("text", default_words="not said", label="Measured by", help="Who measured it.")
    notes: str | None = quantity("text", default_words="none", label="Notes", help="Anything worth keeping.")
    learned_from: str | None = quantity(
        "text", default_words="no tries", label="Corrected by", help="The tries that corrected this line: jumpcalc log fit writes it."
    )
    rider: Rider = table(Rider)
    bike: Bike = table(Bike)
    air: Air = table(Air)
    run_in: RunIn = table(RunIn)
    jumps: tuple[Jump, ...] = table(Jump, many=True, required=True)
    skill: Skill = table(Skill)
    limits: Limits = table(Limits)

    def __post_init__(self) -> None:
        checked(self)
        if not self.jumps:
            raise InputError("a line needs one jump or more, each a [[jump]] table", key="jump")
        if len(self.jumps) > MOST_JUMPS:
            raise InputError(f"{len(self.jumps)} jumps; allowed 1 to {MOST_JUMPS} on one line", key="jump")

    def __repr__(self) -> str:
        jumps = f"{len(self.jumps)} jump{'s' if len(self.jumps) > 1 else ''}"
        return f"Line({'untitled' if self.title is None else echo(self.title)}, {jumps})"

    @property
    def fingerprint(self) -> str:
        """Eight characters that change when the ground of the line does."""
        runs = (
            self.run_in.pieces,
            self.run_in.stakes,
            *((j.shape or "gap", j.lip, j.landing, j.runout.pieces, j.runout.stakes) for j in self.jumps),
        )
        return hashlib.sha256(_rounded(runs).encode()).hexdigest()[:8]


def _rounded(part: Any) -> str:
    """Text of nested inputs, numbers to nine digits, so that a unit's rounding does not show."""
    if isinstance(part, float):
        return f"{part + 0.0:.9g}"  # −0.0 is 0.0
    if isinstance(part, tuple):
        return "(" + ",".join(_rounded(item) for item in part) + ")"
    names = getattr(type(part), "__dataclass_fields__", None)
    if names is None:
        return str(part)
    return _rounded(tuple(getattr(part, name) for name in names if name != "width"))
