"""The frozen inputs of a line: what a builder measured, and nothing else.

Every value is SI and radians. None means "not given": `complete` (in `assume`) fills defaults in and
says which. Slopes are positive uphill; a landing's angle and a landing's `drop` are positive downhill.
"""

from __future__ import annotations

import hashlib
import itertools
import math
from dataclasses import dataclass
from typing import Any

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.declare import checked, echo, quantity, table
from jumpcalc.plan.inputs.keys import Table
from jumpcalc.plan.inputs.surfaces import BIKES, SURFACES

__all__ = ["Air", "Bike", "Jump", "Landing", "Limits", "Line", "Lip", "Piece", "Rider", "RunIn", "Runout", "Skill", "check_ground"]

_SURFACE_NAMES = tuple(SURFACES)
MOST_JUMPS = 50
MOST_STAKES = 200


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
class Piece(Table):
    """A piece of ground: a straight with its slope, or an arc with the slope it ends with."""

    length: float | None = quantity(
        "length", 0.01, 1000, label="Length along the ground", help="Length of a straight, along the ground."
    )
    slope: float | None = quantity(
        "angle", -60, 60, label="Slope", help="Slope of a straight; negative falls, positive climbs."
    )
    radius: float | None = quantity(
        "length", 0.5, 500, label="Radius", help="Radius of an arc, tangent to the piece before it."
    )
    to_slope: float | None = quantity(
        "angle", -60, 60, label="Slope at its end", help="Slope with which an arc ends; negative falls."
    )

    def __post_init__(self) -> None:
        checked(self)
        pair = {name for name in ("length", "slope", "radius", "to_slope") if getattr(self, name) is not None}
        if pair not in ({"length", "slope"}, {"radius", "to_slope"}):
            found = " and ".join(sorted(pair)) or "nothing"
            raise InputError(f"has {found}; a piece is a length with a slope, or a radius with a to_slope")

    @property
    def end_slope(self) -> float:
        """Slope with which the piece ends [rad]."""
        return self.slope if self.slope is not None else self.to_slope


def _check_pieces(pieces: Any, key: str = "pieces") -> None:
    if pieces is None:
        return
    if not pieces:
        raise InputError("an empty list; leave it out when it is not measured", key=key)
    if pieces[0].radius is not None:
        raise InputError("the first piece is an arc; it must be a straight, so that its slope is known", key=f"{key}[1]")
    slope = None
    for number, piece in enumerate(pieces, start=1):
        if piece.radius is not None and math.isclose(piece.to_slope, slope, abs_tol=1e-9):
            raise InputError("an arc that ends with the slope it begins with has no length", key=f"{key}[{number}]")
        slope = piece.end_slope


def check_ground(table: Any) -> None:
    """Refuse pieces or stakes that are no ground.

    Parameters
    ----------
    table : object
        With `pieces` and `stakes`.

    Raises
    ------
    InputError
        Naming the piece or the stake.
    """
    _check_pieces(table.pieces)
    if table.stakes is None:
        return
    if table.pieces is not None:
        raise InputError("given beside pieces; the ground is measured one way or the other", key="stakes_m")
    stakes = table.stakes
    if len(stakes) < 2:
        raise InputError("needs two stakes or more, each [along, fall]", key="stakes_m")
    if len(stakes) > MOST_STAKES:
        raise InputError(f"{len(stakes)} stakes; allowed 2 to {MOST_STAKES}", key="stakes_m")
    if stakes[0] != (0.0, 0.0):
        raise InputError(f"[{stakes[0][0]:g}, {stakes[0][1]:g}]; the first stake is [0, 0]", key="stakes_m[1]")
    for number, ((s0, f0), (s1, f1)) in enumerate(itertools.pairwise(stakes), start=2):
        if not 0.05 <= s1 - s0 <= 1000:
            raise InputError(
                f"{s1:g} m along; each stake lies 0.05 to 1000 m further along than the one before ({s0:g} m)",
                key=f"stakes_m[{number}]",
            )
        if abs(f1 - f0) > 0.87 * (s1 - s0):
            raise InputError(
                f"{f1:g} m lower; from the stake before that is steeper than 60°", key=f"stakes_m[{number}]"
            )


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class RunIn(Table):
    """From the start mark to the foot of the first lip."""

    start_speed: float | None = quantity(
        "speed", 0, 80, default=0, label="Speed at the start mark", source="rolling off from rest",
        help="Speed at the start mark; 0 is rolling off from rest.",
    )
    strokes: int | None = quantity(
        "count", 0, 100, default=0, label="Pedal strokes", source="rolling without pedalling",
        help="Half-turns of the cranks on the run-in.",
    )
    strokes_at: float | None = quantity(
        "length", 0, 1000, default_words="at the start mark", label="Strokes begin before the foot of the lip by",
        help="Distance along the ground before the foot of the lip at which the strokes begin.",
    )
    surface: str | None = quantity(
        "choice", choices=_SURFACE_NAMES, default="hardpack", label="Surface of run-in and lip",
        help="Sets the rolling resistance.",
    )
    rolling_resistance: float | None = quantity(
        "number", 0, 0.3, default_words="that of the surface", label="Rolling resistance",
        source="see the table of surfaces", help="Rolling resistance coefficient; instead of a surface's.",
    )
    grip: float | None = quantity(
        "number", 0.02, 1.2, default_words="that of the surface", label="Grip",
        source="see the table of surfaces", help="Friction coefficient of tyre on ground when braking on the run-in.",
    )
    slope_accuracy: float | None = quantity(
        "angle", 0, 5, default=1, label="Slopes are measured to within",
        source="a phone laid on a board, common practice, no source",
        help="How far off a measured slope may be: about 1° for a phone, 0.3° for a digital level; it widens the span of "
        "start marks.",
    )
    pieces: tuple[Piece, ...] | None = quantity(
        "pieces", items=Piece, default_words="not measured: the foot of the lip is taken as level",
        help="Straights and arcs from the start mark down to the foot of the lip, in the order they are ridden.",
    )
    stakes: tuple[tuple[float, float], ...] | None = quantity(
        "stakes", unit="m", imperial="ft", default_words="not measured", label="Stakes",
        help="Instead of pieces: stakes by tape and string level, each its distance along the ground from the start mark and "
        "how far it lies lower; the last one at the foot of the lip.",
    )

    def __post_init__(self) -> None:
        checked(self)
        check_ground(self)
        if self.surface is not None and self.grip is not None and self.rolling_resistance is not None:
            raise InputError("given beside grip and rolling_resistance; it would set neither", key="surface")


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Lip(Table):
    """The take-off: an arc from the foot, then a straight face up to the edge."""

    angle: float = quantity(
        "angle", -45, 75, required=True, label="Lip angle at the edge",
        help="Lay a board on the last straight part of the lip and read its slope. On a curve without a straight part a "
        "1 m board reads too flat: about 7° on a curve of 4 m radius.",
    )
    radius: float | None = quantity(
        "length", 0.5, 100, label="Lip radius",
        help="Radius of the curve from the foot: from chord c and depth b of a string laid across it, c²/(8 b) + b/2.",
    )
    height: float | None = quantity(
        "length", 0.05, 15, label="Lip height",
        help="Height of the edge above the lowest point at the foot of the lip, with a level; instead of the radius.",
    )
    straight: float | None = quantity(
        "length", 0, 15, default=0, label="Straight part up to the edge",
        help="Length of the straight face between the curve and the edge.",
    )
    width: float | None = quantity(
        "length", 0.1, 30, default_words="not measured", label="Lip width", help="Width of the lip at the edge."
    )

    def __post_init__(self) -> None:
        checked(self)
        if self.radius is not None and self.height is not None:
            raise InputError("given beside radius; a lip has one of the two", key="height_m")


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Landing(Table):
    """The knuckle, the face that falls from it, and the curve out of it."""

    gap: float = quantity(
        "length", 0.05, 60, required=True, label="Gap, level from edge to knuckle",
        help="Level distance from the lip edge to the near top edge of the landing: a string with a line level, not along the "
        "ground.",
    )
    drop: float | None = quantity(
        "length", -10, 30, default=0, label="The knuckle is lower than the edge by", source="assumed level",
        help="How far the knuckle lies below the lip edge; negative when it lies higher (a step-up). A drop needs it, more than 0.",
    )
    angle: float = quantity(
        "angle", -20, 60, required=True, label="The landing falls",
        help="Lay a straight board on the landing face; positive falls, negative rises.",
    )
    length: float = quantity(
        "length", 0.05, 100, required=True, label="Length of the landing face",
        help="Along the face, from the knuckle to where it starts to flatten.",
    )
    exit_radius: float | None = quantity(
        "length", 0.5, 500, default_words="a kink, no curve", label="Radius of the curve out of the landing",
        help="Radius of the curve from the face to the runout.",
    )
    width: float | None = quantity(
        "length", 0.1, 50, default_words="not measured", label="Landing width", help="Width of the landing."
    )

    __post_init__ = checked


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Runout(Table):
    """From the landing to the end of the room, or to the foot of the next lip."""

    pieces: tuple[Piece, ...] | None = quantity(
        "pieces", items=Piece, default_words="not measured: no stopping answer",
        help="Straights and arcs from the landing on, in the order they are ridden; the first one a straight.",
    )
    stakes: tuple[tuple[float, float], ...] | None = quantity(
        "stakes", unit="m", imperial="ft", default_words="not measured", label="Stakes",
        help="Instead of pieces: stakes by tape and string level, each its distance along the ground from the end of the "
        "landing and how far it lies lower.",
    )
    surface: str | None = quantity(
        "choice", choices=_SURFACE_NAMES, default="hardpack", label="Surface of landing and runout",
        help="Sets grip and rolling resistance.",
    )
    grip: float | None = quantity(
        "number", 0.02, 1.2, default_words="that of the surface", label="Grip",
        source="see the table of surfaces", help="Friction coefficient of tyre on ground when braking.",
    )
    rolling_resistance: float | None = quantity(
        "number", 0, 0.3, default_words="that of the surface", label="Rolling resistance",
        source="see the table of surfaces", help="Rolling resistance coefficient; instead of the surface's.",
    )
    reaction: float | None = quantity(
        "time", 0, 10, default=1.5, label="Reaction time",
        source="assumption; AASHTO takes 2.5 s on bicycle paths, 1.0 s with fingers on the levers is an assumption",
        help="Time from touchdown until the brakes bite; about 1 s with fingers on the levers.",
    )

    def __post_init__(self) -> None:
        checked(self)
        check_ground(self)
        if self.surface is not None and self.grip is not None and self.rolling_resistance is not None:
            raise InputError("given beside grip and rolling_resistance; it would set neither", key="surface")


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Jump(Table):
    """One jump: lip, landing and runout."""

    name: str | None = quantity("text", default_words='"jump 1", "jump 2", …', label="Name", help="Name of the jump.")
    shape: str | None = quantity(
        "choice", choices=("gap", "tabletop", "drop"), default="gap", label="Shape",
        help="A gap has air between lip and knuckle, a tabletop a deck; a drop has no lip of its own.",
    )
    lip: Lip = table(Lip, required=True)
    landing: Landing = table(Landing, required=True)
    runout: Runout = table(Runout)
    way_round: bool | None = quantity(
        "flag", default_words="not said", label="There is a way round it", help="Whether the jump can be ridden round."
    )
    side_clear: float | None = quantity(
        "length", 0, 50, default_words="not measured", label="Clear ground on each side",
        help="Width free of obstacles on each side of lip and landing.",
    )

    def __post_init__(self) -> None:
        checked(self)
        if self.shape == "drop":
            for name in ("radius", "height", "straight"):
                if getattr(self.lip, name) is not None:
                    raise InputError("a drop has no lip of its own, only its angle; leave it out", key=f"lip.{name}_m")
            needed = "a drop needs how far its landing lies below the edge, more than 0 m up to 30 m"
            if self.landing.drop is None:
                raise InputError(f"not given; {needed}", key="landing.drop_m")
            if self.landing.drop <= 0:
                raise InputError(f"{self.landing.drop:.3g} m; {needed}", key="landing.drop_m")
        elif self.lip.radius is None and self.lip.height is None:
            raise InputError(
                f"not given, nor lip.height_m; a {self.shape or 'gap'} needs one of the two", key="lip.radius_m"
            )


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Skill(Table):
    """How well the rider hits what was meant."""

    speed_sd: float | None = quantity(
        "share", 0, 50, default_words="that of the rider whom odds are asked for", label="Spread of speed",
        help="Standard deviation of the rider's speed at the foot of the lip from one try to the next: two tries in three lie "
        "within it. Only odds ask for it.",
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
