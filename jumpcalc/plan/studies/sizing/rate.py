"""Many jumps on one site rated at once, by the closed form of the departure: what each gives, and which limits it keeps.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
n        number of jumps                                       –
d        distance along the face from the knuckle              m
L        length of the face                                    m
σ        spread of a rider's speed                             –
=======  ====================================================  =========

What the closed form rates is confirmed by the simulated departure before anyone sees it.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from jumpcalc.physics import impact
from jumpcalc.physics.body import POINT, Body, depart
from jumpcalc.physics.flight import touchdown
from jumpcalc.plan import limits
from jumpcalc.plan.ask.window import aim_speed
from jumpcalc.plan.studies.sizing.ground import LaidOut, RiderThere
from jumpcalc.plan.studies.sizing.lay import Candidates, Lying, dirt, grounds, lying, not_rollable, on_keep_outs, tallest
from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["KEPT", "MOST_ROOM", "REACTION", "Rated", "rated"]

REACTION = 1.5
"""Time from touchdown until the brakes bite [s]."""

KEPT = {
    "height": 0.1, "lip load": 0.2, "keep-out": 1.0, "speed": 0.5, "run-in": 0.5, "short": 0.05, "long": 0.05, "room": 2.0,
    "rollable": 0.1, "fall zone": 0.3, "carried": 0.3,
}  # fmt: skip
"""The limits by name, and how much of each counts as alike: metres, multiples of gravity, m/s, shares."""

MOST_ROOM = 200.0
"""How far beyond the ground's end a bike is counted that the brakes do not hold [m]."""

_SPEEDS = 16  # tried for each jump and rider
_FASTEST_OFF_A_DROP = 1.35  # who rolls off comes down steeper than the point
_SLOWEST, _FASTEST = 0.9, 1.18  # of the speeds of a point that comes down at the knuckle and at the end of the face
_LAST_OF_FACE = 2.0  # m, of face and curve after the fastest clean landing
_SPARE = 1.01  # the closed form is good to one part in a hundred of the speed before the lip


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rated:
    """n jumps and what was found of them; every entry of shape (n,).

    `size` is the gap, of a drop how high it is [m]; `face` and `landing_s` are the length of the face and where on the natural
    ground its curve ends [m]; `tolerance` half of the window, where it is checked, of the rider who has least [m/s]; `dirt`
    compacted [m³]; `room` ground used from the start to a stand [m]. `over` has, for each limit of `KEPT`, by how much it is
    exceeded (0 where kept); `there` says whether the jump can be built and every rider has a window on it.
    """

    jumps: Candidates
    size: np.ndarray
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
class _Ridden:
    """n jumps ridden by one rider: whether there is a window, half of it [m/s], start and stand on the ground [m], what is exceeded."""

    window: np.ndarray
    tolerance: np.ndarray
    start: np.ndarray
    stand: np.ndarray
    over: dict[str, np.ndarray]


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
    shape = lying(laid, jumps)
    count, site = len(jumps), laid.site
    over = {name: np.zeros(count) for name in KEPT}
    tall = tallest(laid, jumps, shape)
    over["height"] = np.maximum(tall - site.limits.height, 0.0)
    over["keep-out"] = on_keep_outs(laid, jumps.place, shape.end_s)
    if site.ground.side_clear is not None:
        over["fall zone"] = np.maximum(limits.FALL_ZONE.value + tall - site.ground.side_clear, 0.0)
    if site.limits.rollable:
        over["rollable"] = not_rollable(site.wanted.shape, jumps, shape)
    there = shape.closes.copy()
    tolerance, start, stand = np.full(count, np.inf), np.full(count, np.inf), np.zeros(count)
    at = np.nonzero(there)[0]
    for rider in laid.riders:
        if not len(at):
            break
        found = _ridden(laid, rider, jumps.rows(at), shape.rows(at))
        for name, amount in found.over.items():
            over[name][at] = np.maximum(over[name][at], amount)
        tolerance[at] = np.minimum(tolerance[at], found.tolerance)
        start[at], stand[at] = np.minimum(start[at], found.start), np.maximum(stand[at], found.stand)
        at = at[found.window]
        there[:] = False
        there[at] = True
    return Rated(
        jumps=jumps,
        size=jumps.drop if site.wanted.shape == "drop" else jumps.gap,
        face=shape.face,
        landing_s=shape.end_s,
        tolerance=np.where(there, tolerance, 0.0),
        dirt=np.where(there, dirt(laid, jumps, shape), np.inf),
        room=np.where(there, stand - start, np.inf),
        over=over,
        there=there,
    )


def _ridden(laid: LaidOut, rider: RiderThere, jumps: Candidates, shape: Lying) -> _Ridden:
    """The window of one rider on each jump, and what that keeps."""
    one, body = rider.one, rider.one.body
    low, high = (_through(jumps.angle, jumps.gap + d * np.cos(jumps.fall), -jumps.drop - d * np.sin(jumps.fall)) for d in (0.0, shape.face))
    count, drop = len(jumps), laid.site.wanted.shape == "drop"
    share = np.linspace(0.0, 1.0, _SPEEDS)
    low, high = _SLOWEST * np.nan_to_num(low, nan=1.0), (_FASTEST_OFF_A_DROP if drop else _FASTEST) * np.nan_to_num(high, nan=1.0)
    speeds = low[:, None] + (np.maximum(high, 1.1 * low) - low)[:, None] * share
    flown = [_flown(laid, rider, jumps, shape, speeds, style) for style in ((body, POINT) if drop else (body,))]
    low, high, window, last = _longest(speeds, flown[0].inside)
    aim = _aim(low, high)
    if drop:  # clean for who rolls off it and for who carries the front
        low, high, both, last = _longest(speeds, np.minimum(flown[0].inside, flown[1].inside))
        window, aim = window & both, np.clip(aim, low, high)
    onward = np.max([each.onward[np.arange(count), last] for each in flown], axis=0)
    # the bike's arc is q = 1 − h_c κ of the wheels' way; energy decides, and rolling costs a little
    height = float(body.height)
    mass = 1 + one.rig.rotating_share
    arc = jumps.radius * (jumps.angle - shape.foot_slope)
    climbed = _climbed(jumps, shape, height) + STANDARD_GRAVITY * one.conditions.lip_rolling * (arc + jumps.straight)

    def foot(edge: np.ndarray) -> np.ndarray:
        return np.sqrt(np.maximum(edge * edge + 2 * climbed / mass, 0.0))

    slow, middle, fast = foot(low), foot(aim), foot(high)
    # a drop is checked at its edge
    checked = (low, aim, high) if drop else (slow, middle, fast)
    load = np.cos(shape.foot_slope) + (_SPARE * fast) ** 2 / (STANDARD_GRAVITY * np.maximum(jumps.radius - height, 0.3))
    half = one.rig.wheelbase / 2
    available = rider.fastest_at(jumps.place, laid.natural)
    sd = np.maximum(rider.rider.speed_sd * checked[1], 1e-6)
    limits_ = laid.site.limits
    # the rest of the face and the curve are taken to be rolled over within the reaction
    stand = rider.stops_at(shape.end_s - _LAST_OF_FACE, _SPARE * np.nan_to_num(onward), laid.natural, REACTION)
    over = {
        "lip load": np.maximum(load - limits_.lip_load, 0.0),
        "speed": np.maximum(checked[1] - rider.rider.fastest, 0.0),
        "run-in": np.maximum(_SPARE * middle - available, 0.0),
        "short": np.maximum(_normal((checked[0] - checked[1]) / sd) - limits_.short, 0.0),
        "long": np.maximum(_normal((checked[1] - checked[2]) / sd) - limits_.long, 0.0),
        "carried": np.maximum(rider.rolls_off - aim, 0.0),
        "room": np.clip(stand + half - laid.natural.s[-1], 0.0, MOST_ROOM),
    }
    begin = np.nan_to_num(rider.start_for(jumps.place, middle, laid.natural), nan=0.0)
    return _Ridden(
        window=window, tolerance=np.where(window, 0.5 * (checked[2] - checked[0]), 0.0), over=over, start=begin,
        stand=np.minimum(stand, laid.natural.s[-1] + MOST_ROOM),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Flown:
    """n jumps at several speeds each: room inside what lands clean [m], negative outside it, and speed along the face [m/s]."""

    inside: np.ndarray
    onward: np.ndarray


def _flown(laid: LaidOut, rider: RiderThere, jumps: Candidates, shape: Lying, speeds: np.ndarray, body: Body) -> _Flown:
    """Where each comes down at each of its speeds, shape (n, m), as a bike or as a point."""
    one = rider.one
    row = np.repeat(np.arange(len(jumps)), speeds.shape[1])
    start = depart(body, speeds.ravel(), angle=jumps.angle[row], gap=jumps.gap[row], fall=jumps.fall[row])
    ground = grounds(laid.site.wanted.shape, jumps, shape)
    touch = touchdown(
        start, ground.rows(row), drag=one.conditions.drag, tailwind=one.conditions.tailwind, crosswind=one.conditions.crosswind, apex=False
    )
    half, face = one.rig.wheelbase / 2, shape.face[row]
    on_face = (touch.piece == 1) & ~touch.wall
    d = np.where(on_face, (touch.x - jumps.gap[row]) / np.cos(jumps.fall[row]), np.where(touch.piece > 1, face + 0.1, -0.1))
    into = impact.into_ground(touch.v_x, touch.v_z, fall=jumps.fall[row])
    hit = rider.fall_limit - np.where(on_face, impact.equivalent_fall(into), 0.0)
    # room inside the window: smooth on the face, and what is off it is outside
    inside = np.minimum(np.minimum(d - half, face - half - d), hit)
    onward = impact.along_ground(touch.v_x, touch.v_z, fall=jumps.fall[row])
    return _Flown(inside=inside.reshape(speeds.shape), onward=onward.reshape(speeds.shape))


def _through(angle: np.ndarray, x: np.ndarray, z: np.ndarray) -> np.ndarray:
    """Lip speed of a point without drag through a place [m/s]; NaN where none gets there."""
    under = 2 * np.cos(angle) ** 2 * (x * np.tan(angle) - z)
    return np.sqrt(np.where(under > 0, STANDARD_GRAVITY * x * x / np.where(under > 0, under, 1.0), np.nan))


def _climbed(jumps: Candidates, shape: Lying, height: float) -> np.ndarray:
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


