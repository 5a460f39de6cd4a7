"""From a place back to a speed: the lip speeds that put the rear wheel where it touched.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
x        level distance of the wheels' midpoint from the edge  m
x_r      the same of the rear wheel's contact                  m
w        wheelbase                                             m
φ        fall of the landing                                   rad
=======  ====================================================  =========

The rear contact lies half a wheelbase behind the wheels' midpoint along the attitude −φ in which the
wheels are set down: x_r = x − ½ w cosφ. On the face that is d − ½ w from the knuckle; on a deck, where
the wheels are not yet set down that far, it is at most 0.1 m off.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.plan.answer import LandingResult
from jumpcalc.plan.ask.edge import Edge, close_in
from jumpcalc.plan.ask.landings import Landings, land_each
from jumpcalc.plan.ask.leaving import Style, curve_of
from jumpcalc.plan.ask.window import FASTEST
from jumpcalc.plan.terrain import Prepared

__all__ = ["PAST", "Place", "along_at", "place_edges", "rear_contact", "rear_level", "rear_place", "shifted"]

PAST = 0.5  # m past the end of the face, where the hit is looked at again
_LOOK = np.linspace(0.1, FASTEST, 120)  # m/s, first look


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where the rear wheel hit; one of three ways.

    `level` is the level distance from the lip edge [m]; `along` the distance from the knuckle [m]: positive
    down the face and the ground after it, negative before the knuckle along a deck, level where there is
    none; `wall` says that the bike ran into the near wall of the landing.
    """

    level: float | None = None
    along: float | None = None
    wall: bool = False

    def __post_init__(self) -> None:
        given = [value for value in (self.level, self.along) if value is not None]
        if len(given) + self.wall != 1:
            raise InputError("give one of level, along and wall", key="place")
        if not all(math.isfinite(value) and abs(value) <= 200 for value in given):
            raise InputError(f"{given[0]} m; allowed −200 to 200 m", key="place")


def rear_level(one: Prepared, place: Place) -> float:
    """Level distance of a place from the lip edge; not for the wall.

    Parameters
    ----------
    one : Prepared
        The jump.
    place : Place
        By level distance or from the knuckle.

    Returns
    -------
    float
        Distance [m].
    """
    return place.level if place.level is not None else float(one.terrain.ground.point(np.array(place.along))[0])


def rear_place(one: Prepared, landing: LandingResult) -> Place:
    """Where the rear wheel of a landing touches, from the knuckle; the near wall for one that hit it.

    Parameters
    ----------
    one : Prepared
        The jump.
    landing : LandingResult
        One touchdown.

    Returns
    -------
    Place
        The place that `explain` takes back to the landing's speed.
    """
    if landing.surface == "wall":
        return Place(wall=True)
    return Place(along=along_at(one, float(rear_contact(one, landing.x))))


def along_at(one: Prepared, level: float) -> float:
    """Distance along the ground from the knuckle of a level distance from the edge.

    Parameters
    ----------
    one : Prepared
        The jump.
    level : float
        Level distance from the lip edge [m].

    Returns
    -------
    float
        Distance [m], negative before the knuckle; level where there is no deck.
    """
    ground, here = one.terrain.ground, np.array([level])
    return float(ground.distance_over(here, ground.piece_over(here))[0])


def rear_contact(one: Prepared, x: np.ndarray) -> np.ndarray:
    """Level distance of the rear contact for that of the midpoint.

    Parameters
    ----------
    one : Prepared
        The jump.
    x : numpy.ndarray
        Level distances of the midpoint from the edge [m].

    Returns
    -------
    numpy.ndarray
        Distances [m], of the same shape.
    """
    return x - 0.5 * one.rig.wheelbase * math.cos(one.terrain.fall)


def place_edges(one: Prepared, level: float | None, *, spring: float = 0.0) -> list[Edge | None]:
    """The first lip speeds that put the rear wheel at a level distance, or that hit and clear the near wall.

    Parameters
    ----------
    one : Prepared
        The jump.
    level : float or None
        Level distance from the lip edge [m], None for the near wall.
    spring : float
        What the rider adds across the lip [m/s].

    Returns
    -------
    list of Edge or None
        Four, None where no speed does or the slowest does: at the place, or into the wall and over it; at the end of the
        face, and a little past it.
    """

    def never(landed: Landings) -> np.ndarray:
        # nothing tells how far a path is from the wall: halved until it is found
        return np.full(len(landed.speed), np.nan)

    def over_wall(landed: Landings) -> np.ndarray:
        # the knuckle's very edge is neither wall nor face
        return np.where(landed.reached, landed.along, np.nan)

    def there(landed: Landings) -> np.ndarray:
        known = (landed.surface != "wall") & (landed.surface != "edge")
        return np.where(known, rear_contact(one, landed.x) - level, np.nan)

    wanted = [
        (lambda landed: (landed.surface == "wall") | landed.reached, never),
        (lambda landed: landed.reached, over_wall),
    ]
    if level is not None:
        wanted = [(lambda landed: rear_contact(one, landed.x) >= level, there), None]
    style = Style(path=one.rig.path, spring=spring)
    edges = _begun(one, style, wanted)
    close_in(one, [edge for edge in edges if edge is not None])
    return [*edges, *_ends(one, style)]


@lru_cache(maxsize=128)
def _ends(one: Prepared, style: Style) -> tuple[Edge | None, ...]:
    """The first lip speeds that land past the end of the face, and a little further: of the jump, wherever a wheel touched."""

    def beyond(past: float) -> tuple[Callable[[Landings], np.ndarray], Callable[[Landings], np.ndarray]]:
        def over_by(landed: Landings) -> np.ndarray:
            return np.where(landed.reached, landed.along - one.terrain.face - past, np.nan)

        return lambda landed: over_by(landed) >= 0, over_by

    edges = _begun(one, style, [beyond(0.0), beyond(PAST)])
    close_in(one, [edge for edge in edges if edge is not None])
    return tuple(edges)


def _begun(one: Prepared, style: Style, pairs: Sequence[tuple | None]) -> list[Edge | None]:
    """Between which speeds of a first look each condition begins to be met; None where the slowest meets it, or none does."""
    swift = curve_of(one).swift if style.path == "bike" else 0.0
    landed = _looked(one, style, swift)
    if landed.speed[0] > _LOOK[0] and any(pair[0](landed)[0] for pair in pairs if pair is not None):
        landed = _looked(one, style, 0.0)
    look = landed.speed
    edges: list[Edge | None] = []
    for pair in pairs:
        met = np.zeros(len(look), bool) if pair is None else pair[0](landed)
        at = int(np.argmax(met))
        edge = None if at == 0 else Edge((style,), look[at - 1], look[at], good=pair[0], margin=pair[1])
        if edge is not None:
            edge.know(landed)
        edges.append(edge)
    return edges


@lru_cache(maxsize=128)
def _looked(one: Prepared, style: Style, slowest: float) -> Landings:
    """A first look at where lip speeds land, from the slowest [m/s] on."""
    (landed,) = land_each(one, [(style, _LOOK[slowest <= _LOOK])])
    return landed


def shifted(one: Prepared, speed: float, bends: Sequence[tuple[float, float]]) -> tuple[float, ...]:
    """Speeds that land so much further along the ground than this one does, each with a spring of its own.

    Parameters
    ----------
    one : Prepared
        The jump.
    speed : float
        Lip speed [m/s], ridden without a spring.
    bends : sequence of (float, float)
        How much further [m], and with which spring [m/s].

    Returns
    -------
    tuple of float
        Lip speeds [m/s].

    Notes
    -----
    Across a near wall places and speeds do not go together: there the ground on this side of it is taken to go on.
    """
    style = Style(path=one.rig.path)
    tries = np.unique(np.append(np.linspace(0.5, 1.6, 111) * speed, speed))
    tries = tries[tries <= FASTEST]
    springs = list(dict.fromkeys((0.0, *(spring for _, spring in bends))))
    landed = dict(zip(springs, land_each(one, [(replace(style, spring=spring), tries) for spring in springs]), strict=True))
    here, own = int(np.searchsorted(tries, speed)), landed[0.0]
    at, side = float(own.along[here]), bool(own.reached[here])
    return tuple(_bent(tries, landed[spring], at + shift, side, speed) for shift, spring in bends)


def _bent(tries: np.ndarray, landed: Landings, along: float, side: bool, speed: float) -> float:
    """The speed that lands at a distance from the knuckle [m] and on this side of a near wall, or goes on as its neighbours do."""
    flown = ~np.isin(landed.surface, ("edge", "wall", "unknown"))
    if (landed.surface == "wall").any():
        flown &= (landed.surface != "knuckle") & (landed.reached == side)
    tries, places = tries[flown], landed.along[flown]
    if len(tries) < 2:
        return speed
    end = 0 if along < places[0] else len(tries) - 1
    if places[0] <= along <= places[-1]:
        return float(np.interp(along, places, tries))
    per = (places[1] - places[0]) / (tries[1] - tries[0]) if end == 0 else (places[-1] - places[-2]) / (tries[-1] - tries[-2])
    return max(float(tries[end] + (along - places[end]) / per), 0.0)
