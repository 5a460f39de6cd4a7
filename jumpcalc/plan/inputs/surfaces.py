"""Surfaces and bikes: the values that a word stands for, each with its source or the word assumption."""

from __future__ import annotations

from dataclasses import dataclass

from jumpcalc.plan.inputs.declare import ASSUMPTION

__all__ = ["BIKES", "NO_SOURCE", "SURFACES", "BikeKind", "Surface", "WET"]

_TABLES = "engineering tables, quoted: loose gravel and medium-hard soil 0.04 to 0.08, asphalt 0.004"
_NOON = "R. Noon, Engineering Analysis of Vehicular Accidents (1994), quoted; motor-vehicle tyres"


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """Rolling resistance and grip of a surface; `grip` None where nothing can be cited."""

    rolling_resistance: float
    rolling_source: str
    grip: float | None
    grip_source: str


SURFACES: dict[str, Surface] = {
    "hardpack": Surface(
        rolling_resistance=0.020,
        rolling_source="near 0.021 of cross-country tyres on a course (Maier, Müller et al., derived from the abstract)",
        grip=0.35,
        grip_source=f"gravel and dirt road, {_NOON}",
    ),
    "loose or fresh dirt": Surface(
        rolling_resistance=0.040, rolling_source=_TABLES, grip=0.25, grip_source=ASSUMPTION
    ),
    "short grass": Surface(
        rolling_resistance=0.045, rolling_source=ASSUMPTION, grip=0.30, grip_source=ASSUMPTION
    ),
    "wet grass or clay": Surface(
        rolling_resistance=0.055, rolling_source=ASSUMPTION, grip=0.20, grip_source=f"wet grass, {_NOON}"
    ),
    "gravel": Surface(
        rolling_resistance=0.035,
        rolling_source=ASSUMPTION,
        grip=0.35,
        grip_source=f"gravel and dirt road, {_NOON}",
    ),
    "dry wood": Surface(
        rolling_resistance=0.010,
        rolling_source=ASSUMPTION,
        grip=None,
        grip_source="none citable for bicycle tyres: give runout.grip",
    ),
    "asphalt": Surface(
        rolling_resistance=0.006,
        rolling_source="between smooth 0.004 and rough paved 0.008, engineering tables, quoted",
        grip=0.65,
        grip_source=f"dry asphalt, {_NOON}",
    ),
}
"""Surface by name. Grip is that of car tyres: see `NO_SOURCE`."""

WET = frozenset(name for name in SURFACES if name.startswith("wet"))
"""Ground that is not ridden for a jump, whatever speed it would take."""

NO_SOURCE = (
    "No publication gives the grip of bicycle tyres on dirt, grass or wood: the values are of car tyres or are "
    "assumed. Rolling resistance of off-road tyres on a given surface varies by half as much again."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BikeKind:
    """What a kind of bike stands for, where the line does not say; wheelbase, development, travel and hardest landing
    as the height of a drop [m], mass [kg]."""

    wheelbase: float
    brakes: str
    rolling_factor: float = 1.0
    rotating_mass: float = 2.0
    development: float = 2.2
    travel: float = 0.12
    suspension_loss: float = 0.0
    equivalent_fall: float = 1.0
    source: str = ASSUMPTION


BIKES: dict[str, BikeKind] = {
    "hardtail": BikeKind(wheelbase=1.17, brakes="both", source="assumption; trail bikes 1.15 to 1.30 m (from memory)"),
    "full suspension": BikeKind(
        wheelbase=1.23,
        brakes="both",
        travel=0.14,
        suspension_loss=0.3,
        source="assumption; trail bikes 1.15 to 1.30 m (from memory)"
    ),
    "dirt jump": BikeKind(
        wheelbase=1.07, brakes="rear", travel=0.10, source="assumption; a rear brake alone is common practice, no source"
    ),
    "child 24 inch": BikeKind(wheelbase=1.02, brakes="both", travel=0.06, equivalent_fall=0.5),
}
"""Kind of bike by name."""
