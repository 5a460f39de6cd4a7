"""Where many jumps lie on the ground of a site: edge, knuckle, face and its curve, what they rise over the ground, what they take to fill.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
n        number of jumps                                       –
W, a     width on top, batter of the sides (run over rise)     m, –
=======  ====================================================  =========

The ground decides how long a face is: from its knuckle it falls until it meets, through the curve at its end, the ground as it
lies. A drop has a curve and a straight before its edge too, its deck; it rises against the ground as it lies, not in itself.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from jumpcalc.physics.ground import Arc, GroundLine, Straight, chain, joined
from jumpcalc.plan import limits
from jumpcalc.plan.inputs.site import Wanted
from jumpcalc.plan.studies.sizing.ground import LaidOut

__all__ = ["EXIT_RADIUS", "Candidates", "Lying", "dirt", "dug", "grounds", "lying", "not_rollable", "on_keep_outs", "tallest"]

EXIT_RADIUS = 6.0
"""Radius of the curve out of every landing [m]."""

_LEAST_FACE, _MOST_FACE = 2.0, 12.0  # m
_LEAST_KNUCKLE = 0.15  # m above the ground
_FLUSH = 0.05  # m, an edge that lies no deeper is even with the ground
_PLACES = 16  # at which a fill is measured
_TURNS = 8


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Candidates:
    """n jumps: foot of lip or deck s, gap, angle at the edge, radius, straight, drop, fall of the landing; metres and radians."""

    place: np.ndarray
    gap: np.ndarray
    angle: np.ndarray
    radius: np.ndarray
    straight: np.ndarray
    drop: np.ndarray
    fall: np.ndarray

    def __len__(self) -> int:
        return len(self.gap)

    @property
    def array(self) -> np.ndarray:
        """All measures, shape (n, 7)."""
        return np.stack([getattr(self, f.name) for f in fields(self)], axis=1)

    @classmethod
    def of(cls, array: np.ndarray) -> Candidates:
        """From an array of shape (n, 7)."""
        return cls(**{f.name: column for f, column in zip(fields(cls), np.asarray(array, dtype=float).T, strict=True)})

    def rows(self, which: np.ndarray) -> Candidates:
        """The chosen ones."""
        return Candidates(**{f.name: getattr(self, f.name)[which] for f in fields(self)})


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lying:
    """Where n jumps lie: edge, knuckle, end of face and of its curve on level places x and heights z of the natural ground."""

    foot_slope: np.ndarray
    edge_x: np.ndarray
    edge_z: np.ndarray
    lip_height: np.ndarray
    face: np.ndarray
    end_x: np.ndarray
    end_s: np.ndarray
    end_slope: np.ndarray
    closes: np.ndarray

    def rows(self, which: np.ndarray) -> Lying:
        """The chosen ones."""
        return Lying(**{f.name: getattr(self, f.name)[which] for f in fields(self)})


def lying(laid: LaidOut, jumps: Candidates) -> Lying:
    """Where the jumps lie, the length of each face found so that its curve ends on the natural ground.

    Parameters
    ----------
    laid : LaidOut
        The site.
    jumps : Candidates
        n jumps.

    Returns
    -------
    Lying
        `closes` says which can be built.
    """
    natural = laid.natural
    foot_x, foot_z, slope = natural.at(jumps.place)
    sine, cosine = np.sin(jumps.angle), np.cos(jumps.angle)
    edge_x = foot_x + jumps.radius * (sine - np.sin(slope)) + jumps.straight * cosine
    edge_z = foot_z + jumps.radius * (np.cos(slope) - cosine) + jumps.straight * sine
    lip_height = jumps.radius * (np.cos(np.maximum(slope, 0.0)) - cosine) + jumps.straight * sine
    knuckle_x, knuckle_z = edge_x + jumps.gap, edge_z - jumps.drop

    def ends(face: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Where the curve of a face of that length ends, and how high above the ground."""
        x, z = knuckle_x + face * np.cos(jumps.fall), knuckle_z - face * np.sin(jumps.fall)
        to = natural.over(x)[2]
        for _ in range(3):
            end_x = x + EXIT_RADIUS * (np.sin(to) + np.sin(jumps.fall))
            end_z = z + EXIT_RADIUS * (np.cos(jumps.fall) - np.cos(to))
            s, ground, to = natural.over(end_x)
        return end_x, s, end_z - ground

    low, high = np.full(len(jumps), _LEAST_FACE), np.full(len(jumps), _MOST_FACE)
    above_low, above_high = ends(low)[2], ends(high)[2]
    closes = (above_low >= 0) & (above_high <= 0)
    for _ in range(_TURNS):  # secant within its bracket, halved where it would creep
        face = np.clip(low + (high - low) * above_low / np.where(above_low > above_high, above_low - above_high, 1.0), low, high)
        above = ends(face)[2]
        under = above < 0
        low, above_low = np.where(under, low, face), np.where(under, above_low, above)
        high, above_high = np.where(under, face, high), np.where(under, above, above_high)
        middle = 0.5 * (low + high)
        above = ends(middle)[2]
        under = above < 0
        low, above_low = np.where(under, low, middle), np.where(under, above_low, above)
        high, above_high = np.where(under, middle, high), np.where(under, above, above_high)
    face = np.round(0.5 * (low + high), 2)
    end_x, end_s, above = ends(face)
    knuckle = knuckle_z - natural.over(knuckle_x)[1]
    if laid.site.wanted.shape == "drop":
        turns = (jumps.angle >= slope) & _in_the_open(laid, edge_x, edge_z, jumps)
    else:
        turns = jumps.angle > slope + np.radians(3)
    closes &= (np.abs(above) < 0.05) & (knuckle >= _LEAST_KNUCKLE) & turns & (end_s < natural.s[-1] - 1.0)
    return Lying(
        foot_slope=slope, edge_x=edge_x, edge_z=edge_z, lip_height=lip_height, face=face, end_x=end_x, end_s=end_s,
        end_slope=natural.over(end_x)[2], closes=closes,
    )  # fmt: skip


def _in_the_open(laid: LaidOut, edge_x: np.ndarray, edge_z: np.ndarray, jumps: Candidates) -> np.ndarray:
    """Whether the ground as it lies is nowhere above the edge of a drop, and under the straight line from there to the knuckle."""
    share = np.linspace(0.0, 1.0, _PLACES)
    chord = edge_z[:, None] - jumps.drop[:, None] * share
    above = np.interp(edge_x[:, None] + jumps.gap[:, None] * share, laid.natural.x, laid.natural.z) - chord
    return (above[:, 0] < _FLUSH) & (above[:, 1:] < 0).all(axis=1)


def tallest(laid: LaidOut, jumps: Candidates, shape: Lying) -> np.ndarray:
    """Height of edge or knuckle above the natural ground, the greater of the two.

    Parameters
    ----------
    laid : LaidOut
        The site.
    jumps : Candidates
        n jumps.
    shape : Lying
        Where they lie.

    Returns
    -------
    numpy.ndarray
        Heights [m], shape (n,).
    """
    over = laid.natural.over
    edge = shape.edge_z - over(shape.edge_x)[1]
    return np.maximum(edge, shape.edge_z - jumps.drop - over(shape.edge_x + jumps.gap)[1])


def on_keep_outs(laid: LaidOut, begin: np.ndarray, end: np.ndarray) -> np.ndarray:
    """How much of what is built lies where nothing may be.

    Parameters
    ----------
    laid : LaidOut
        The site.
    begin, end : numpy.ndarray
        Ends of what is built, along the ground [m], shape (n,).

    Returns
    -------
    numpy.ndarray
        Lengths [m], shape (n,).
    """
    inside = np.zeros(begin.shape)
    for keep in laid.site.keep_outs:
        inside += np.maximum(np.minimum(end, keep.ends) - np.maximum(begin, keep.begins), 0.0)
    return inside


def not_rollable(shape: str, jumps: Candidates, laid: Lying) -> np.ndarray:
    """By how much the rule of guidance for what can be rolled is missed.

    Parameters
    ----------
    shape : str
        ``"tabletop"``, ``"gap"`` or ``"drop"``.
    jumps : Candidates
        n jumps.
    laid : Lying
        Where they lie.

    Returns
    -------
    numpy.ndarray
        Lengths [m], 0 where it is kept, shape (n,).
    """
    if shape == "tabletop":
        high = np.maximum(laid.lip_height, laid.lip_height - jumps.drop)
        steep = np.maximum(jumps.angle, jumps.fall) >= limits.ROLLED_SLOPE.value
        return np.maximum(high - limits.ROLLED_HEIGHT.value, np.where(steep, 1.0, 0.0)).clip(min=0.0)
    if shape == "drop":
        return np.maximum(jumps.drop - limits.ROLLED_DROP.value, 0.0)
    floor = np.minimum(-laid.lip_height, -jumps.drop)
    return np.maximum(np.maximum(0.0, -jumps.drop) - floor - limits.ROLLED_DIP.value, 0.0)


def grounds(site_shape: str, jumps: Candidates, shape: Lying) -> GroundLine:
    """The ground of each jump from its edge on.

    Parameters
    ----------
    site_shape : str
        ``"tabletop"``, ``"gap"`` or ``"drop"``.
    jumps : Candidates
        n jumps.
    shape : Lying
        Where they lie.

    Returns
    -------
    GroundLine
        Of n rows, each a line of its own.
    """
    after = chain(
        [
            Straight(length=shape.face, slope=-jumps.fall, name="face"),
            Arc(radius=np.full(len(jumps), EXIT_RADIUS), to_slope=shape.end_slope, name="exit"),
        ],
        x=jumps.gap, z=-jumps.drop,
    )  # fmt: skip
    if site_shape == "tabletop":
        z, slope, name = np.zeros(len(jumps)), np.arctan2(-jumps.drop, jumps.gap), "deck"
    else:
        floor = -jumps.drop if site_shape == "drop" else np.minimum(-shape.lip_height, -jumps.drop)
        z, slope, name = floor, np.zeros(len(jumps)), "floor"
    length = jumps.gap / np.cos(slope)
    entries = (-length, np.zeros(len(jumps)), z, slope, np.zeros(len(jumps)), length)
    return joined(GroundLine(*(entry[:, None] for entry in entries), (name,)), after)


def dirt(laid: LaidOut, jumps: Candidates, shape: Lying) -> np.ndarray:
    """Compacted dirt of lip or deck and landing above the ground as it lies, sides battered; the front of a drop's deck is a wall.

    Parameters
    ----------
    laid : LaidOut
        The site.
    jumps : Candidates
        n jumps.
    shape : Lying
        Where they lie.

    Returns
    -------
    numpy.ndarray
        Volumes [m³], shape (n,): W∫z dx + a∫z² dx.
    """
    wanted, natural = laid.site.wanted, laid.natural
    share = (np.arange(_PLACES) + 0.5) / _PLACES
    foot_x = natural.at(jumps.place)[0]
    knuckle_x, knuckle_z = shape.edge_x + jumps.gap, shape.edge_z - jumps.drop

    def filled(begin: np.ndarray, end: np.ndarray, surface: np.ndarray, width: float) -> np.ndarray:
        """W∫z dx + a∫z² dx over the places of a part."""
        x = begin[:, None] + (end - begin)[:, None] * share
        z = np.maximum(surface - np.interp(x, natural.x, natural.z), 0.0)
        return (width * z + wanted.batter * z * z).mean(axis=1) * (end - begin)

    x = foot_x[:, None] + (shape.edge_x - foot_x)[:, None] * share
    sine = np.sin(shape.foot_slope)[:, None] + (x - foot_x[:, None]) / jumps.radius[:, None]
    curved = np.interp(foot_x, natural.x, natural.z)[:, None] + jumps.radius[:, None] * (
        np.cos(shape.foot_slope)[:, None] - np.sqrt(np.maximum(1 - np.minimum(sine, np.sin(jumps.angle)[:, None]) ** 2, 0.0))
    )
    straight_x = shape.edge_x - jumps.straight * np.cos(jumps.angle)
    rising = shape.edge_z[:, None] - (shape.edge_x[:, None] - x) * np.tan(jumps.angle)[:, None]
    lip = filled(foot_x, shape.edge_x, np.where(x > straight_x[:, None], rising, curved), wanted.lip_width)
    x = knuckle_x[:, None] + (shape.end_x - knuckle_x)[:, None] * share
    falling = knuckle_z[:, None] - (x - knuckle_x[:, None]) * np.tan(jumps.fall)[:, None]
    landing = filled(knuckle_x, shape.end_x, falling, wanted.landing_width)
    if wanted.shape == "tabletop":
        deck = shape.edge_z[:, None] + (knuckle_z - shape.edge_z)[:, None] * share
        between = filled(shape.edge_x, knuckle_x, deck, 0.5 * (wanted.lip_width + wanted.landing_width))
        return lip + landing + between
    # the back of the lip and the near side of the landing run out as the sides do
    sides = [(knuckle_x, knuckle_z, wanted.landing_width)]
    if wanted.shape == "gap":
        sides.append((shape.edge_x, shape.edge_z, wanted.lip_width))
    backs = sum(0.5 * wanted.batter * np.maximum(z - np.interp(x, natural.x, natural.z), 0.0) ** 2 * width for x, z, width in sides)
    return lip + landing + backs


def dug(wanted: Wanted, built: float) -> tuple[float, float]:
    """What it takes of dirt to build a volume.

    Parameters
    ----------
    wanted : Wanted
        With its defaults filled in.
    built : float
        Compacted [m³].

    Returns
    -------
    bank, loose : float
        Volume [m³] in the bank before it is dug, and as it is carried.

    Examples
    --------
    >>> dug(Wanted(compaction=0.9, bulking=1.25), 9.0)
    (10.0, 12.5)
    """
    bank = built / wanted.compaction
    return bank, bank * wanted.bulking
