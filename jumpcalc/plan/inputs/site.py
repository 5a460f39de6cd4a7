"""The frozen inputs of a site: the ground as it lies, who is to ride, and what is not to be exceeded.

Every value is SI and radians, declared in the same manner as those of a line. None means "not given".
"""

from __future__ import annotations

from dataclasses import dataclass

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.declare import quantity, table
from jumpcalc.plan.inputs.dug import check_ground
from jumpcalc.plan.inputs.keys import Table
from jumpcalc.plan.inputs.line import Air
from jumpcalc.plan.inputs.rider import Rider
from jumpcalc.plan.inputs.surfaces import BIKES, SURFACES
from jumpcalc.plan.inputs.valid import checked

__all__ = ["Group", "KeepOut", "NaturalGround", "Site", "SiteLimits", "SiteRider", "Wanted"]


MOST_RIDERS = 40
_EARTHMOVING = "US Army, FM 5-434 Earthmoving Operations (2000), table of soil conversion factors, from memory"


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class NaturalGround(Table):
    """The ground as it lies, along the line that is to be ridden."""

    stakes: tuple[tuple[float, float], ...] = quantity(
        "stakes", unit="m", imperial="ft", required=True, label="Stakes",
        help="Stakes by tape and string level, each its distance along the ground from the highest place where anyone may start, and "
        "how far it lies lower; the last one at the end of the room.",
    )
    surface: str | None = quantity(
        "choice", choices=tuple(SURFACES), default="hardpack", label="Surface", help="Sets rolling resistance and grip.",
    )
    grip: float | None = quantity(
        "number", 0.02, 1.2, default_words="that of the surface", label="Grip",
        source="see the table of surfaces", help="Friction coefficient of tyre on ground when braking.",
    )
    side_clear: float | None = quantity(
        "length", 0, 50, default_words="not measured: the fall zone is not looked at", label="Clear ground on each side",
        help="Width free of obstacles on each side of the line.",
    )

    def __post_init__(self) -> None:
        checked(self)
        check_ground(self)

    @property
    def pieces(self) -> None:
        """Natural ground is staked, never in pieces."""
        return None


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class KeepOut(Table):
    """A stretch of the ground on which nothing may be built."""

    begins: float = quantity(
        "length", 0, 1000, required=True, label="Begins", help="Distance along the ground from the first stake.",
    )
    ends: float = quantity("length", 0, 1000, required=True, label="Ends", help="Distance along the ground from the first stake.")
    what: str | None = quantity("text", default_words="not said", label="What is there", help="Roots, a path, a drain.")

    def __post_init__(self) -> None:
        checked(self)
        if self.ends <= self.begins:
            raise InputError(f"{self.ends:.4g} m; must lie beyond its beginning, {self.begins:.4g} m", key="ends_m")


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class SiteRider(Table):
    """Who is to ride it."""

    name: str | None = quantity("text", default_words='"rider 1", "rider 2", …', label="Name", help="What this rider is called.")
    mass: float | None = quantity(
        "mass", 20, 250, default=85, label="Rider, bike and kit together", help="Stand on a scale holding the bike.",
    )
    bike: str | None = quantity(
        "choice", choices=tuple(BIKES), default="hardtail", label="Kind of bike", help="Sets wheelbase, brakes and rolling.",
    )
    fastest: float | None = quantity(
        "speed", 5, 80, default=40, label="Fastest they ride to a lip",
        help="The fastest speed before a lip that this rider can have and wants to have.",
    )
    speed_sd: float | None = quantity(
        "share", 0, 50, default=5, label="Spread of speed", source="a rider who makes pedal strokes, an assumption",
        help="Standard deviation of the rider's speed at the foot of a lip from one try to the next.",
    )
    centre_of_mass_height: float | None = quantity(
        "length", 0.3, 1.8, default=1.05, label="Centre of mass above the ground", source="standing 1.0 to 1.15 m, from memory",
        help="About at the navel, standing on the pedals; about 0.85 m of a child.",
    )

    __post_init__ = checked

    @property
    def body(self) -> Rider:
        """The rider of a line; what is not said here is taken as of any other."""
        return Rider(mass=self.mass, centre_of_mass_height=self.centre_of_mass_height)


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class SiteLimits(Table):
    """What is not to be exceeded."""

    equivalent_fall: float | None = quantity(
        "length", 0.05, 3, default_words="1 m; on a child's bike 0.5 m", label="Hardest landing accepted, as a drop of",
        source="snow-park practice, from memory; not validated for bikes",
        help="The hit of a landing as the height of a straight drop onto level ground.",
    )
    lip_load: float | None = quantity(
        "number", 1.2, 8, default=3.0, label="Greatest load in the lip", source="common practice, no source",
        help="Load of the ground in the curve of the lip, in multiples of standing, at the fastest clean speed.",
    )
    lip_angle: float | None = quantity(
        "angle", 5, 60, default=30, label="Steepest lip",
        source="grade 4: Recreation Aotearoa, Mountain Bike Trail Design & Construction Guidelines (2023)",
        help="Steepest angle of a lip at its edge.",
    )
    height: float | None = quantity(
        "length", 0.2, 6, default=1.5, label="Greatest height above the ground",
        help="Of lip or knuckle above the ground as it lies.",
    )
    short: float | None = quantity(
        "share", 0.1, 50, default=10, label="Chance of landing short", help="At the aim, by the spread of speed alone.",
    )
    long: float | None = quantity(
        "share", 0.1, 50, default=10, label="Chance of landing too long", help="At the aim, by the spread of speed alone.",
    )
    rollable: bool | None = quantity(
        "flag", default_words="false", label="Must be rollable", help="Whether it must be rollable by the rule of guidance.",
    )
    way_round: bool | None = quantity("flag", default_words="not said", label="There will be a way round", help="A line beside it.")

    __post_init__ = checked


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Wanted(Table):
    """What is to be built."""

    shape: str | None = quantity(
        "choice", choices=("gap", "tabletop", "drop"), default="tabletop", label="Shape",
        help="A gap has air between lip and knuckle, a tabletop a deck; a drop has no lip: an even deck ends above its landing.",
    )
    smallest_gap: float | None = quantity("length", 0.5, 20, default=2, label="Smallest gap", help="Level, from edge to knuckle.")
    largest_gap: float | None = quantity("length", 0.5, 20, default=7, label="Largest gap", help="Level, from edge to knuckle.")
    shortest_straight: float | None = quantity(
        "length", 0, 3, default_words="the longest wheelbase", label="Shortest straight before the edge",
        source="Recreation Aotearoa, Mountain Bike Trail Design & Construction Guidelines (2023)",
        help="Straight part of the lip between its curve and its edge.",
    )
    lip_width: float | None = quantity("length", 0.5, 10, default=1.5, label="Width of the lip", help="At its edge.")
    landing_width: float | None = quantity("length", 0.5, 10, default=2.0, label="Width of the landing", help="On its top.")
    batter: float | None = quantity(
        "number", 0, 3, default=1.0, label="Batter of the sides", source="common practice, no source",
        help="How far a side runs out for each metre it rises.",
    )
    bulking: float | None = quantity(
        "number", 1, 2, default=1.25, label="Bulking of dirt when it is dug", source=f"common earth: {_EARTHMOVING}",
        help="Loose volume of what is one volume in the bank before it is dug: sand 1.11, common earth 1.25, clay 1.43.",
    )
    compaction: float | None = quantity(
        "number", 0.5, 1.3, default=0.9, label="Volume of dirt when it is compacted", source=f"common earth: {_EARTHMOVING}",
        help="Compacted volume of what is one volume in the bank before it is dug: sand 0.95, common earth and clay 0.90.",
    )

    def __post_init__(self) -> None:
        checked(self)
        low = 2.0 if self.smallest_gap is None else self.smallest_gap
        high = 7.0 if self.largest_gap is None else self.largest_gap
        if low > high:
            raise InputError(f"{high:.4g} m; must not be less than the smallest gap, {low:.4g} m", key="largest_gap_m")


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Site(Table):
    """A place where a jump is to be built, and for whom."""

    title: str | None = quantity("text", default_words="untitled", label="Title", help="What the site is called.")
    place: str | None = quantity("text", default_words="not said", label="Place", help="Where it is.")
    measured_on: str | None = quantity("text", default_words="not said", label="Measured on", help="Date, as text.")
    measured_by: str | None = quantity("text", default_words="not said", label="Measured by", help="Who measured it.")
    notes: str | None = quantity("text", default_words="none", label="Notes", help="Anything worth keeping.")
    ground: NaturalGround = table(NaturalGround, required=True)
    air: Air = table(Air)
    wanted: Wanted = table(Wanted)
    limits: SiteLimits = table(SiteLimits)
    keep_outs: tuple[KeepOut, ...] = table(KeepOut, many=True)
    riders: tuple[SiteRider, ...] = table(SiteRider, many=True)

    def __post_init__(self) -> None:
        checked(self)
        if len(self.riders) > 6:
            raise InputError(f"{len(self.riders)} riders; allowed up to 6: name those who differ most", key="rider")
        _check_names(self.riders)


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Group(Table):
    """Riders who are to ride one line."""

    title: str | None = quantity("text", default_words="untitled", label="Title", help="What the group is called.")
    riders: tuple[SiteRider, ...] = table(SiteRider, many=True, required=True)

    def __post_init__(self) -> None:
        checked(self)
        if not 1 <= len(self.riders) <= MOST_RIDERS:
            raise InputError(f"{len(self.riders)} riders; allowed 1 to {MOST_RIDERS}, each a [[rider]] table", key="rider")
        _check_names(self.riders)


def _check_names(riders: tuple[SiteRider, ...]) -> None:
    """That no two riders are called alike, who has no name by their number."""
    known: dict[str, int] = {}
    for number, rider in enumerate(riders, start=1):
        name = rider.name or f"rider {number}"
        first = known.setdefault(" ".join(name.casefold().split()), number)
        if first != number:
            raise InputError(f"{name!r}; rider {first} is called so too: each needs a name of their own", key=f"rider[{number}].name")
