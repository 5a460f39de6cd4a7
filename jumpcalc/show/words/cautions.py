"""What every output carries, what the model leaves out, and what to do before a first test."""

from __future__ import annotations

from jumpcalc.plan.inputs.surfaces import NO_SOURCE

__all__ = ["CAUTIONS", "CHECKLIST", "LEFT_OUT"]

CAUTIONS = (
    "These numbers are a model's, not a permit: speeds, surfaces and riders vary more than the window is wide.",
    "Ride-test from small to large, a table before a gap, with a spotter and full protection. Inspect before every "
    "session, and measure again after digging, rain or a season.",
    "Keep a way round and room to stop. Follow the land manager's and local trail-building guidance; have public or "
    "commercial features designed and inspected by qualified people.",
    "A low fall height does not protect someone who lands on the front wheel or upside down.",
)
"""What every output carries."""

LEFT_OUT = (
    "No lift and no steering: the course is a plane, the wind steady.",
    "The rider keeps still on the bike; pumping is not counted, and at the lip the rider is stiff but for what is said to be "
    "soaked up or sprung off.",
    "The ground is rigid and smooth; soft ground and wheel slip are not counted.",
    "The bike's pitch in the air is left to the rider.",
    "Humidity is left out: saturated air is 0.9 % lighter at 20 °C, 1.6 % at 30 °C.",
    "No measured jump stands behind the band of the bike's path yet; it follows a simulation.",
    NO_SOURCE,
)
"""What the model leaves out."""

CHECKLIST = (
    "Smallest version first; a table before a gap.",
    "Speed checks with the lip not jumped, until the speed on the run-in is right every time.",
    "Follow a rider who knows it.",
    "A spotter, full protection, a word to call it off.",
    "Dry ground, no gusts.",
    "Look at lip, landing and runout first: soft spots, ruts, stones.",
)
"""Before a first test; common practice, no source."""
