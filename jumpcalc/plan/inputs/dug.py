"""What is dug: the run-in, and each jump with its runout. Every value is SI and radians; None means "not given".

Slopes are positive uphill; a landing's angle and a landing's `drop` are positive downhill.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import Any

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.declare import quantity, table
from jumpcalc.plan.inputs.keys import Table
from jumpcalc.plan.inputs.surfaces import SURFACES
from jumpcalc.plan.inputs.valid import checked

__all__ = ["Jump", "Landing", "Lip", "Piece", "RunIn", "Runout", "check_ground"]

MOST_STAKES = 200
_SURFACE_NAMES = tuple(SURFACES)


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
