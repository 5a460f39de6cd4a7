"""Many jumps on one site rated at once, by the closed form of the departure: what each gives, and which limits it keeps.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
n        number of jumps                                       –
d        distance along the face from the knuckle              m
L        length of the face                                    m
σ        spread of a rider's speed                             –
=======  ====================================================  =========

The ground decides how long a face is: from its knuckle it falls until it meets, through the curve at its end, the ground as it
lies. What the closed form rates is confirmed by the simulated departure before anyone sees it.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from jumpcalc.physics import impact
from jumpcalc.physics.body import depart
from jumpcalc.physics.flight import touchdown
from jumpcalc.physics.ground import Arc, GroundLine, Straight, chain, joined
from jumpcalc.plan import limits
from jumpcalc.plan.ask.window import aim_speed
from jumpcalc.plan.studies.sizing.ground import LaidOut, RiderThere
from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["EXIT_RADIUS", "KEPT", "MOST_ROOM", "REACTION", "Candidates", "Rated", "rated"]

EXIT_RADIUS = 6.0
"""Radius of the curve out of every landing [m]."""

REACTION = 1.5
"""Time from touchdown until the brakes bite [s]."""

KEPT = {
    "height": 0.1, "lip load": 0.2, "keep-out": 1.0, "speed": 0.5, "run-in": 0.5, "short": 0.05, "long": 0.05, "room": 2.0,
    "rollable": 0.1, "fall zone": 0.3,
}  # fmt: skip
"""The limits by name, and how much of each counts as alike: metres, multiples of gravity, m/s, shares."""

MOST_ROOM = 200.0
"""How far beyond the ground's end a bike is counted that the brakes do not hold [m]."""

_SPEEDS = 16  # tried for each jump and rider
_SLOWEST, _FASTEST = 0.9, 1.18  # of the speeds of a point that comes down at the knuckle and at the end of the face
_LEAST_FACE, _MOST_FACE = 2.0, 12.0  # m
_LEAST_KNUCKLE = 0.15  # m above the ground
_PLACES = 16  # at which a fill is measured
_TURNS = 8
_LAST_OF_FACE = 2.0  # m, of face and curve after the fastest clean landing
_SPARE = 1.01  # the closed form is good to one part in a hundred of the speed before the lip


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Candidates:
    """n jumps: foot of the lip s [m], gap [m], lip angle [rad], radius and straight [m], drop [m], fall of the landing [rad]."""

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
class Rated:
    """n jumps and what was found of them; every entry of shape (n,).

    `face` and `landing_s` are the length of the face and where on the natural ground its curve ends [m]; `tolerance` half of
    the window before the lip of the rider who has least [m/s]; `dirt` compacted [m³]; `room` ground used from the start to a
    stand [m]. `over` has, for each limit of `KEPT`, by how much it is exceeded (0 where kept); `there` says whether the jump
    can be built and every rider has a window on it.
    """

    jumps: Candidates
    face: np.ndarray
    landing_s: np.ndarray
    tolerance: np.ndarray
    dirt: np.ndarray
    room: np.ndarray
    over: dict[str, np.ndarray]
    there: np.ndarray

    @property
    def fits(self) -> np.ndarray:
        """Whether each keeps every limit."""
        return self.there & np.all([amount <= 0 for amount in self.over.values()], axis=0)

    def rows(self, which: np.ndarray) -> Rated:
        """The chosen ones."""
        plain = {f.name: getattr(self, f.name)[which] for f in fields(self) if f.name not in ("jumps", "over")}
        return Rated(jumps=self.jumps.rows(which), over={name: amount[which] for name, amount in self.over.items()}, **plain)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Shape:
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


def rated(laid: LaidOut, jumps: Candidates) -> Rated:
    """Jumps rated on a site.

    Parameters
    ----------
    laid : LaidOut
        The site.
    jumps : Candidates
        n jumps.

    Returns
    -------
    Rated
        The same n.

    Notes
    -----
    Chances of short and long are those of a normal spread of speed about the aim, Φ((v_min − v_aim)/(σ v_aim)) and so on; odds
    with every other error are asked of what is proposed.
    """
    shape = _shape(laid, jumps)
    count, site = len(jumps), laid.site
    over = {name: np.zeros(count) for name in KEPT}
    tall = _tall(laid, jumps, shape)
    over["height"] = np.maximum(tall - site.limits.height, 0.0)
    over["keep-out"] = _keep_out(laid, jumps.place, shape.end_s)
    if site.ground.side_clear is not None:
        over["fall zone"] = np.maximum(limits.FALL_ZONE.value + tall - site.ground.side_clear, 0.0)
    if site.limits.rollable:
        over["rollable"] = _not_rollable(site.wanted.shape, jumps, shape)
    there = shape.closes.copy()
    tolerance, start, stand = np.full(count, np.inf), np.full(count, np.inf), np.zeros(count)
    at = np.nonzero(there)[0]
    for rider in laid.riders:
        if not len(at):
            break
        found = _ridden(laid, rider, jumps.rows(at), _rows(shape, at))
        for name, amount in found["over"].items():
            over[name][at] = np.maximum(over[name][at], amount)
        tolerance[at] = np.minimum(tolerance[at], found["tolerance"])
        start[at], stand[at] = np.minimum(start[at], found["start"]), np.maximum(stand[at], found["stand"])
        at = at[found["window"]]
        there[:] = False
        there[at] = True
    return Rated(
        jumps=jumps,
        face=shape.face,
        landing_s=shape.end_s,
        tolerance=np.where(there, tolerance, 0.0),
        dirt=np.where(there, _dirt(laid, jumps, shape), np.inf),
        room=np.where(there, stand - start, np.inf),
        over=over,
        there=there,
    )


def _rows(shape: _Shape, which: np.ndarray) -> _Shape:
    return _Shape(**{f.name: getattr(shape, f.name)[which] for f in fields(shape)})


def _shape(laid: LaidOut, jumps: Candidates) -> _Shape:
    """Where the jumps lie, the length of each face found so that its curve ends on the natural ground, along it."""
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
    turns = jumps.angle > slope + np.radians(3)
    closes &= (np.abs(above) < 0.05) & (knuckle >= _LEAST_KNUCKLE) & turns & (end_s < natural.s[-1] - 1.0)
    return _Shape(
        foot_slope=slope, edge_x=edge_x, edge_z=edge_z, lip_height=lip_height, face=face, end_x=end_x, end_s=end_s,
        end_slope=natural.over(end_x)[2], closes=closes,
    )  # fmt: skip


def _tall(laid: LaidOut, jumps: Candidates, shape: _Shape) -> np.ndarray:
    """Height of edge or knuckle above the natural ground, the greater of the two [m]."""
    over = laid.natural.over
    edge = shape.edge_z - over(shape.edge_x)[1]
    return np.maximum(edge, shape.edge_z - jumps.drop - over(shape.edge_x + jumps.gap)[1])


def _keep_out(laid: LaidOut, begin: np.ndarray, end: np.ndarray) -> np.ndarray:
    """How many metres of what is built lie where nothing may be."""
    inside = np.zeros(begin.shape)
    for keep in laid.site.keep_outs:
        inside += np.maximum(np.minimum(end, keep.ends) - np.maximum(begin, keep.begins), 0.0)
    return inside


def _not_rollable(shape: str, jumps: Candidates, laid: _Shape) -> np.ndarray:
    """By how much the rule of guidance for what can be rolled is missed [m]."""
    if shape == "tabletop":
        high = np.maximum(laid.lip_height, laid.lip_height - jumps.drop)
        steep = np.maximum(jumps.angle, jumps.fall) >= limits.ROLLED_SLOPE.value
        return np.maximum(high - limits.ROLLED_HEIGHT.value, np.where(steep, 1.0, 0.0)).clip(min=0.0)
    floor = np.minimum(-laid.lip_height, -jumps.drop)
    return np.maximum(np.maximum(0.0, -jumps.drop) - floor - limits.ROLLED_DIP.value, 0.0)


def _grounds(site_shape: str, jumps: Candidates, shape: _Shape) -> GroundLine:
    """The ground of each jump from its edge on, as a line of its own."""
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
        z, slope, name = np.minimum(-shape.lip_height, -jumps.drop), np.zeros(len(jumps)), "floor"
    length = jumps.gap / np.cos(slope)
    entries = (-length, np.zeros(len(jumps)), z, slope, np.zeros(len(jumps)), length)
    return joined(GroundLine(*(entry[:, None] for entry in entries), (name,)), after)


def _ridden(laid: LaidOut, rider: RiderThere, jumps: Candidates, shape: _Shape) -> dict:
    """The window of one rider on each jump, and what that keeps."""
    one, body = rider.one, rider.one.body
    low, high = (_through(jumps.angle, jumps.gap + d * np.cos(jumps.fall), -jumps.drop - d * np.sin(jumps.fall)) for d in (0.0, shape.face))
    count = len(jumps)
    share = np.linspace(0.0, 1.0, _SPEEDS)
    low, high = _SLOWEST * np.nan_to_num(low, nan=1.0), _FASTEST * np.nan_to_num(high, nan=1.0)
    speeds = low[:, None] + (np.maximum(high, 1.1 * low) - low)[:, None] * share
    row = np.repeat(np.arange(count), _SPEEDS)
    start = depart(body, speeds.ravel(), angle=jumps.angle[row], gap=jumps.gap[row], fall=jumps.fall[row])
    grounds = _grounds(laid.site.wanted.shape, jumps, shape)
    touch = touchdown(
        start, grounds.rows(row), drag=one.conditions.drag, tailwind=one.conditions.tailwind, crosswind=one.conditions.crosswind, apex=False
    )
    half, face = one.rig.wheelbase / 2, shape.face[row]
    on_face = (touch.piece == 1) & ~touch.wall
    beyond = touch.piece > 1
    d = np.where(on_face, (touch.x - jumps.gap[row]) / np.cos(jumps.fall[row]), np.where(beyond, face + 0.1, -0.1))
    into = impact.into_ground(touch.v_x, touch.v_z, fall=jumps.fall[row])
    hit = rider.fall_limit - np.where(on_face, impact.equivalent_fall(into), 0.0)
    # room inside the window: smooth on the face, and what is off it is outside
    inside = np.minimum(np.minimum(d - half, face - half - d), hit).reshape(count, _SPEEDS)
    low, high, window, last = _longest(speeds, inside)
    onward = impact.along_ground(touch.v_x, touch.v_z, fall=jumps.fall[row]).reshape(count, _SPEEDS)[np.arange(count), last]
    aim = _aim(low, high)
    # the bike's arc is q = 1 − h_c κ of the wheels' way; energy decides, and rolling costs a little
    height = float(body.height)
    mass = 1 + one.rig.rotating_share
    arc = jumps.radius * (jumps.angle - shape.foot_slope)
    climbed = _climbed(jumps, shape, height) + STANDARD_GRAVITY * one.conditions.lip_rolling * (arc + jumps.straight)

    def foot(edge: np.ndarray) -> np.ndarray:
        return np.sqrt(np.maximum(edge * edge + 2 * climbed / mass, 0.0))

    slow, middle, fast = foot(low), foot(aim), foot(high)
    load = np.cos(shape.foot_slope) + (_SPARE * fast) ** 2 / (STANDARD_GRAVITY * np.maximum(jumps.radius - height, 0.3))
    available = rider.fastest_at(jumps.place, laid.natural)
    sd = np.maximum(rider.rider.speed_sd * middle, 1e-6)
    limits_ = laid.site.limits
    # the rest of the face and the curve are taken to be rolled over within the reaction
    stand = rider.stops_at(shape.end_s - _LAST_OF_FACE, _SPARE * np.nan_to_num(onward), laid.natural, REACTION)
    over = {
        "lip load": np.maximum(load - limits_.lip_load, 0.0),
        "speed": np.maximum(middle - rider.rider.fastest, 0.0),
        "run-in": np.maximum(_SPARE * middle - available, 0.0),
        "short": np.maximum(_normal((slow - middle) / sd) - limits_.short, 0.0),
        "long": np.maximum(_normal((middle - fast) / sd) - limits_.long, 0.0),
        "room": np.clip(stand + half - laid.natural.s[-1], 0.0, MOST_ROOM),
    }
    begin = np.nan_to_num(rider.start_for(jumps.place, middle, laid.natural), nan=0.0)
    return {
        "window": window, "tolerance": np.where(window, 0.5 * (fast - slow), 0.0), "over": over, "start": begin,
        "stand": np.minimum(stand, laid.natural.s[-1] + MOST_ROOM),
    }  # fmt: skip


def _through(angle: np.ndarray, x: np.ndarray, z: np.ndarray) -> np.ndarray:
    """Lip speed of a point without drag through a place [m/s]; NaN where none gets there."""
    under = 2 * np.cos(angle) ** 2 * (x * np.tan(angle) - z)
    return np.sqrt(np.where(under > 0, STANDARD_GRAVITY * x * x / np.where(under > 0, under, 1.0), np.nan))


def _climbed(jumps: Candidates, shape: _Shape, height: float) -> np.ndarray:
    """What the centre of mass gains in height from the foot to the edge, in energy [m²/s²]."""
    slope = shape.foot_slope
    rise = jumps.radius * (np.cos(slope) - np.cos(jumps.angle)) + jumps.straight * np.sin(jumps.angle)
    return STANDARD_GRAVITY * (rise + height * (np.cos(jumps.angle) - np.cos(slope)))


def _longest(speeds: np.ndarray, inside: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Ends of the longest run of speeds with room inside, by straight lines between those tried; whether there is one; its last."""
    good = inside >= 0
    length, best, end = np.zeros(len(good), int), np.zeros(len(good), int), np.zeros(len(good), int)
    for column in range(good.shape[1]):
        length = np.where(good[:, column], length + 1, 0)
        longer = length > best
        best, end = np.where(longer, length, best), np.where(longer, column, end)
    row, first = np.arange(len(good)), end - best + 1
    found = (best > 0) & (first > 0) & (end < good.shape[1] - 1)
    ends = []
    for inner, outer in ((first, first - 1), (end, end + 1)):
        inner, outer = np.clip(inner, 0, good.shape[1] - 1), np.clip(outer, 0, good.shape[1] - 1)
        a, b = inside[row, inner], inside[row, outer]
        part = np.clip(a / np.where(a > b, a - b, 1.0), 0.0, 1.0)
        ends.append(speeds[row, inner] + part * (speeds[row, outer] - speeds[row, inner]))
    return ends[0], ends[1], found, np.clip(end, 0, good.shape[1] - 1)


def _aim(low: np.ndarray, high: np.ndarray) -> np.ndarray:
    """The aim of each window."""
    return np.array([aim_speed(*pair) for pair in zip(low, high, strict=True)])


def _normal(z: np.ndarray) -> np.ndarray:
    """The normal integral."""
    from scipy.special import ndtr

    return ndtr(z)


def _dirt(laid: LaidOut, jumps: Candidates, shape: _Shape) -> np.ndarray:
    """Compacted dirt of lip, deck and landing above the ground as it lies [m³], sides battered."""
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
    backs = sum(
        0.5 * wanted.batter * np.maximum(z - np.interp(x, natural.x, natural.z), 0.0) ** 2 * width
        for x, z, width in ((shape.edge_x, shape.edge_z, wanted.lip_width), (knuckle_x, knuckle_z, wanted.landing_width))
    )
    return lip + landing + backs
