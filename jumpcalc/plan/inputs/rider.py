"""Who rides, on what, how well, and what they accept. Every value is SI and radians; None means "not given"."""

from __future__ import annotations

from dataclasses import dataclass

from jumpcalc.plan.inputs.declare import quantity
from jumpcalc.plan.inputs.keys import Table
from jumpcalc.plan.inputs.surfaces import BIKES
from jumpcalc.plan.inputs.valid import checked

__all__ = ["Bike", "Limits", "Rider", "Skill"]


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Rider(Table):
    """Rider, bike and kit as one body."""

    mass: float | None = quantity(
        "mass", 20, 250, default=85, label="Rider, bike and kit together",
        help="Rider, bike and kit together: stand on a scale holding the bike.",
    )
    drag_area: float | None = quantity(
        "area", 0, 2, default_words="0.55 m² at 85 kg, in proportion to mass^⅔",
        label="Drag area", source="assumption; upright 0.632, touring 0.40 m² (Wilson, Bicycling Science)",
        help="Drag area CdA of a rider standing on the pedals; 0 leaves air resistance out.",
    )
    stroke_energy: float | None = quantity(
        "energy", 0, 1000, default_words="2.3 J for each kg of mass", label="Energy of one pedal stroke",
        source="assumption; elite sprinters' best 372 J (Dorel et al. 2005)",
        help="Energy of one half-turn of the cranks.",
    )
    centre_of_mass_height: float | None = quantity(
        "length", 0.3, 1.8, default=1.05, label="Centre of mass above the ground",
        source="standing 1.0 to 1.15 m, from memory",
        help="Height of the centre of mass above the line through the tyres' contact points, standing on the pedals: "
        "about at the navel.",
    )
    centre_of_mass_behind_front: float | None = quantity(
        "length", 0.2, 1.4, default=0.62, label="Centre of mass behind the front contact",
        help="Level distance from the front tyre's contact back to the centre of mass.",
    )
    path: str | None = quantity(
        "choice", choices=("bike", "point"), default="bike", label="Flown as",
        source="two-wheel simulation made for this project",
        help="Whether the bike with its rider flies or the textbook's point.",
    )
    pitch_radius: float | None = quantity(
        "length", 0.1, 1.0, default=0.45, label="Pitch radius of gyration",
        help="Radius of gyration of rider and bike about the sideways axis.",
    )
    landing_height: float | None = quantity(
        "length", 0.3, 1.8, default_words="centre_of_mass_height", label="Centre of mass above the ground at touchdown",
        help="Height of the centre of mass above the wheel line at touchdown.",
    )
    brake_use: float | None = quantity(
        "number", 0.05, 1, default=0.55, label="Share of the possible braking that is used",
        source="half of ordinary riders of motorcycles use at most 56 % of what is possible (Ecker et al. 2001, quoted)",
        help="Share of the hardest possible braking that the rider really uses.",
    )

    __post_init__ = checked


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Bike(Table):
    """The bike; its kind sets what is not given."""

    kind: str | None = quantity(
        "choice", choices=tuple(BIKES), default="hardtail", label="Kind of bike",
        help="Sets wheelbase, brakes and rolling where they are not given.",
    )
    wheelbase: float | None = quantity(
        "length", 0.6, 1.6, default_words="hardtail 1.17, full suspension 1.23, dirt jump 1.07, child 24 inch 1.02 m",
        label="Wheelbase", help="From axle to axle.",
    )
    brakes: str | None = quantity(
        "choice", choices=("both", "rear", "front"), default_words='"both"; of a dirt jump bike "rear"', label="Brakes",
        help="Which wheels have a brake.",
    )
    rolling_factor: float | None = quantity(
        "number", 0.2, 5, default=1, label="Tyres' factor on rolling resistance",
        help="Multiplies the surface's rolling resistance: more than 1 for soft or knobbly tyres.",
    )
    rotating_mass: float | None = quantity(
        "mass", 0, 10, default=2, label="Rotating mass of both wheels",
        source="assumption; a road bike's 1.45 kg (Martin et al. 1998)",
        help="Both wheels' moment of inertia divided by their radius squared.",
    )
    development: float | None = quantity(
        "length", 0.5, 8, default=2.2, label="Ground covered by one pedal stroke",
        help="Ground covered by a half-turn of the cranks in the gear ridden.",
    )
    travel: float | None = quantity(
        "length", 0, 400, unit="mm", imperial="in", default_words="that of the kind of bike",
        label="Suspension travel", help="Travel of the suspension that carries the rider, at the wheel.",
    )
    sag: float | None = quantity(
        "share", 5, 60, default=25, label="Sag", source="common practice, no source",
        help="Share of the travel that is used standing still.",
    )
    suspension_loss: float | None = quantity(
        "share", 0, 100, default_words="full suspension 30 %, other kinds 0", label="Suspension soaks up",
        help="Share of the energy put into the suspension by a curve that is not given back; 0 switches it off.",
    )

    __post_init__ = checked


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Skill(Table):
    """How well the rider hits what was meant."""

    speed_sd: float | None = quantity(
        "share", 0, 50, default_words="that of the rider whom odds are asked for", label="Spread of speed",
        help="Standard deviation of the rider's speed at the foot of the lip from one try to the next: two tries in three lie "
        "within it. Odds ask for it.",
    )
    angle_sd: float | None = quantity(
        "angle", 0, 20, default_words="that of the rider whom odds are asked for", label="Spread of lip angle",
        help="Standard deviation of the lip's angle, as it is built or dug out, from what was measured. Only odds ask for it.",
    )
    squash: float | None = quantity(
        "speed", 0, 3, unit="mps", imperial="mph", default=0.45, label="Squashing at the lip takes",
        source="two-wheel simulation made for this project: 0.1 m of squash within 0.25 s",
        help="Speed across the lip that a rider may take away by soaking the lip up.",
    )
    spring: float | None = quantity(
        "speed", 0, 3, unit="mps", imperial="mph", default=0.45, label="Springing off the lip adds",
        source="two-wheel simulation made for this project: 0.1 m of extension within 0.25 s",
        help="Speed across the lip that a rider may add by springing off it.",
    )
    spring_mean: float | None = quantity(
        "speed", -3, 3, unit="mps", imperial="mph", default_words="0", label="Springing off the lip, as a rule",
        help="What this rider adds across the lip as a rule; negative is squashing. A log of tries tells it; squash and spring are "
        "counted from it.",
    )
    spring_sd: float | None = quantity(
        "speed", 0, 3, unit="mps", imperial="mph", default_words="that of the rider whom odds are asked for",
        label="Spread of springing", help="Standard deviation of what the rider adds across the lip. Only odds ask for it.",
    )
    pitch_sd: float | None = quantity(
        "angle", 0, 45, default_words="that of the rider whom odds are asked for", label="Spread of pitch at touchdown",
        help="Standard deviation of how far the bike is nose-up or nose-down of the landing as it touches down. Only odds ask "
        "for it.",
    )

    __post_init__ = checked


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Limits(Table):
    """What the rider accepts."""

    equivalent_fall: float | None = quantity(
        "length", 0.05, 3, default_words="1 m; on a child's bike 0.5 m", label="Hardest landing accepted, as a drop of",
        source="snow-park practice, from memory; not validated for bikes",
        help="The hit of a landing as the height of a straight drop onto level ground; 0.5 m is a more careful choice.",
    )

    __post_init__ = checked
