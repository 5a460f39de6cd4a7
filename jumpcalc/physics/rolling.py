"""Speed along a ground line: coasting and braking, downhill and back up it.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
s        distance of the wheels along the ground               m
e        v²/2 of the centre of mass                            m²/s²
v        speed of the centre of mass                           m/s
β κ      slope, curvature of the ground                        rad, 1/m
h_c      centre of mass above the wheel line; 0 for a point    m
q        1 − h_c κ                                             –
N        load of the ground per mass                           m/s²
c_rr     rolling resistance coefficient                        –
b        braking coefficient                                   –
m_r/m    wheels' rotating mass per mass                        –
w        wind: along the course (tail +), across it            m/s
k        ρ CdA/(2 m)                                           1/m
=======  ====================================================  =========

With N = max(0, g cosβ + κ v²/q) and r = v − w_x cosβ, the speed against the wind:

    (1 + m_r/m) de/ds = −q g sinβ − c_rr N − q k r √(r² + w_y²)      rolling freely
              de/ds = −q g sinβ − max(b, c_rr) N − q k r √(r² + w_y²)  braking

Braking, the whole ground force is b N: rolling friction is inside it and the brakes also stop the
wheels, so neither is added. Where the ground turns up by Δβ at a kink, v becomes v cosΔβ. Steps are
Gauss collocation in s (`collocation`); near a standstill in wind, where √e is not smooth, they shrink.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from jumpcalc.physics import collocation
from jumpcalc.physics.ground import GroundLine
from jumpcalc.physics.roots import bracketed_roots
from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["Roller", "Track", "brake_limit", "roll"]

_LONGEST_STEP = 25.0  # m
_LONGEST_IN_WIND = 8.0  # m
_LARGEST_TURN = 0.6  # rad of an arc in one step
_CREEP = 1e-3  # m, step at a standstill in wind
_BEND = 1e-2  # m, step across the place where the speed against the wind changes its sign
_LAST = 1e-6  # m, last step before a standstill in wind
_MOST_STEPS = 2000
_FARTHEST = 5000.0  # m, where a bike that does not stop is given up
_KINK = 1e-9  # rad
_QUADRATURE, _QUADRATURE_WEIGHTS = np.polynomial.legendre.leggauss(20)


@dataclass(frozen=True, slots=True, kw_only=True)
class Roller:
    """What rolls: every entry a scalar or of shape (n,); units as in the module's table.

    `braking` None rolls freely; a number brakes with that coefficient. `tilt` [rad] is added to the slope
    of all ground. `soak` [m²/s²] is the energy per mass that suspension does not give back when the load
    rises from 1 to √2; it grows with the square of the load up to `soak_limit`, where the travel ends.
    """

    drag: np.ndarray = 0.0
    rolling_resistance: np.ndarray = 0.0
    rotating_share: np.ndarray = 0.0
    height: np.ndarray = 0.0
    tailwind: np.ndarray = 0.0
    crosswind: np.ndarray = 0.0
    braking: np.ndarray | None = None
    tilt: np.ndarray = 0.0
    soak: np.ndarray = 0.0
    soak_limit: np.ndarray = 4.0
    gravity: float = STANDARD_GRAVITY

    def load(self, e: np.ndarray, slope: np.ndarray, curvature: np.ndarray) -> np.ndarray:
        """N before it is cut off at 0 [m/s²]; negative where the wheels would leave the ground."""
        q = 1 - self.height * curvature
        return self.gravity * np.cos(slope + self.tilt) + curvature * 2 * e / q

    def slowing(self, e: np.ndarray, slope: np.ndarray, curvature: np.ndarray) -> np.ndarray:
        """de/ds [m/s²] at e [m²/s²] on ground of that slope [rad] and curvature [1/m]."""
        return self.slowing_on(slope, curvature)[0](e)

    def slowing_on(
        self, slope: np.ndarray, curvature: np.ndarray
    ) -> tuple[Callable[[np.ndarray], np.ndarray], Callable[[np.ndarray], np.ndarray]]:
        """de/ds [m²/s²] of e [m²/s²] on this ground, and about how it changes with e [1/m].

        What depends on the ground alone is worked out once.
        """
        q, tilted = 1 - self.height * curvature, slope + self.tilt
        cosine = np.cos(tilted)
        weight, press, down = self.gravity * cosine, 2 * curvature / q, -q * self.gravity * np.sin(tilted)
        air, wind, across = q * self.drag, self.tailwind * cosine, np.square(self.crosswind)
        grip, inertia = self.rolling_resistance, 1 + self.rotating_share
        if self.braking is not None:
            grip, inertia = np.maximum(self.braking, self.rolling_resistance), 1.0

        def slowing(e: np.ndarray) -> np.ndarray:
            moving = np.maximum(e, 0.0)
            against = np.sqrt(2 * moving) - wind
            # below a standstill e goes on as in still air, so that a step may look past the place where it ends
            push = against * np.sqrt(against * against + across) + 2 * (e - moving)
            return (down - grip * np.maximum(weight + press * e, 0.0) - air * push) / inertia

        def change(e: np.ndarray) -> np.ndarray:
            speed = np.sqrt(2 * np.maximum(e, 0.0))
            against = np.abs(speed - wind)
            # just right in still air; near a standstill in wind the drag changes without bounds, and less will do
            share = np.divide(against, speed, out=np.ones_like(against), where=speed > against / 2)
            return -(grip * np.where(weight + press * e > 0, press, 0.0) + 2 * air * share) / inertia

        return slowing, change

    def soaked(
        self, e: np.ndarray, before: tuple[np.ndarray, np.ndarray], after: tuple[np.ndarray, np.ndarray]
    ) -> np.ndarray:
        """Energy per mass [m²/s²] lost at a joint, `before` and `after` it (slope, curvature); e is that before."""
        compressed = [
            np.square(np.clip(self.load(e, *side) / self.gravity, 1.0, self.soak_limit)) for side in (before, after)
        ]
        return np.minimum(self.soak * np.maximum(compressed[1] - compressed[0], 0.0), np.maximum(e, 0.0))

    def rows(self, shape: tuple[int, ...]) -> Roller:
        """The same with every entry broadcast to columns of that many rows."""
        return Roller(
            **{
                name: value if name == "gravity" or value is None else np.broadcast_to(value, shape)[:, None]
                for name in self.__slots__
                for value in (getattr(self, name),)
            }
        )


@dataclass(frozen=True, slots=True, eq=False)
class Track:
    """Where and how fast n rows end, and the way there.

    Parameters
    ----------
    s, speed, time : numpy.ndarray
        End of each row: distance [m], speed [m/s], time since the start [s], shape (n,).
    reached : numpy.ndarray
        Whether the row got to `end`, shape (n,), of bool.
    stopped : numpy.ndarray
        Whether it came down to the stop speed on the way.
    lifted : numpy.ndarray
        Distance [m] at which the wheels first left the ground, NaN where they did not.
    dropped : numpy.ndarray
        Distance [m] of the first kink at which the ground turned down, NaN where there was none.
    peak_load : numpy.ndarray
        Greatest load of the ground [multiples of gravity].
    steps : tuple
        The steps taken: start distance, signed length, coefficients of e in powers of σ.
    """

    s: np.ndarray
    speed: np.ndarray
    time: np.ndarray
    reached: np.ndarray
    stopped: np.ndarray
    lifted: np.ndarray
    dropped: np.ndarray
    peak_load: np.ndarray
    steps: tuple

    def speed_at(self, s: np.ndarray) -> np.ndarray:
        """Speed [m/s] of each row at the distances `s` [m] of shape (m,); (n, m), NaN off the track."""
        s = np.asarray(s, dtype=float)
        speed = np.full((len(self.s), len(s)), np.nan)
        for start, length, coefficients in self.steps:
            sigma = 2 * (s - start[:, None]) / np.where(length != 0, length, np.nan)[:, None] - 1
            row, place = np.nonzero(np.abs(sigma) <= 1 + 1e-9)
            if len(row):
                e = collocation.evaluate(coefficients[row], sigma[row, place])
                speed[row, place] = np.sqrt(2 * np.maximum(e, 0.0))
        return speed

    def row(self, number: int) -> Track:
        """One row alone."""
        only = slice(number, number + 1)
        steps = tuple(tuple(part[only] for part in step) for step in self.steps)
        return Track(*(getattr(self, name)[only] for name in self.__slots__[:-1]), steps)


def brake_limit(*, grip: float, brakes: str, height: float, behind_front: float, wheelbase: float) -> float:
    """Hardest braking that neither slides nor tips.

    Parameters
    ----------
    grip : float
        Friction coefficient μ of tyre on ground.
    brakes : str
        ``"both"``, ``"rear"`` or ``"front"``.
    height : float
        Centre of mass above the wheel line h [m].
    behind_front : float
        Centre of mass behind the front contact l_f [m].
    wheelbase : float
        w [m].

    Returns
    -------
    float
        b, the ground's braking force per load.

    Notes
    -----
    Both: min(μ, l_f/h). Rear only: μ l_f/(w + μ h). Front only: l_f/h where μ ≥ l_f/h, else
    μ (w − l_f)/(w − μ h).

    References
    ----------
    D. G. Wilson, *Bicycling Science*, 3rd ed. (MIT Press, 2004), ch. on braking.

    Examples
    --------
    >>> round(brake_limit(grip=0.8, brakes="rear", height=1.143, behind_front=0.635, wheelbase=1.067), 3)
    0.256
    """
    tipping = behind_front / height
    if brakes == "rear":
        return grip * behind_front / (wheelbase + grip * height)
    if brakes == "front" and grip < tipping:
        return grip * (wheelbase - behind_front) / (wheelbase - grip * height)
    return min(grip, tipping) if brakes == "both" else tipping


def roll(
    ground: GroundLine,
    start: np.ndarray,
    speed: np.ndarray,
    roller: Roller,
    *,
    end: float = np.inf,
    back: bool = False,
    stop_speed: np.ndarray = 0.0,
    duration: float = np.inf,
) -> Track:
    """The ride along a ground line from `start` towards `end`.

    Parameters
    ----------
    ground : GroundLine
        The ground.
    start : array_like
        Distance at which each row starts [m]; with `speed` it broadcasts to shape (n,).
    speed : array_like
        Speed of the centre of mass at the start [m/s].
    roller : Roller
        What rolls.
    end : float
        Distance at which the ride ends [m]; no end when it is to roll until it stops.
    back : bool
        Whether the ride is followed back, against its direction, from where it arrived with `speed`.
    stop_speed : array_like
        Speed at which a row ends [m/s]: 0 for a standstill; followed back, the speed it started with.
    duration : float
        Time after which a row ends [s].

    Returns
    -------
    Track
        n rows.

    Notes
    -----
    Followed back, the same equation is integrated against s, so that a start found in this way rides
    forward to just the speed it was found for: within 1e-8 m/s, in wind from little speed within 1e-5 m/s
    where it ends a metre or two on. Suspension loses energy at joints where the load rises,
    a share of what it takes to compress a linear spring from the one load to the other.
    """
    s, speed = (np.array(a, dtype=float) for a in np.broadcast_arrays(np.atleast_1d(start), np.atleast_1d(speed)))
    count = len(s)
    stop = np.broadcast_to(np.square(stop_speed) / 2, (count,))
    sign = -1.0 if back else 1.0
    mine = roller.rows((count,))
    windy = np.broadcast_to((np.asarray(roller.tailwind) != 0) | (np.asarray(roller.crosswind) != 0), (count,))
    any_wind, any_soak = bool(windy.any()), bool(np.any(mine.soak))
    e, time = speed**2 / 2, np.zeros(count)
    origin = s.copy()
    piece = ground.piece_at(s)
    if back:
        piece = np.where(s <= ground.start[piece], np.maximum(piece - 1, 0), piece)
    reached, stopped = np.zeros(count, bool), np.zeros(count, bool)
    lifted, dropped, peak = np.full(count, np.nan), np.full(count, np.nan), np.zeros(count)
    steps = []
    wanted = np.full(count, np.inf)
    joints_end = np.append(ground.start[1:], np.inf)
    for _ in range(_MOST_STEPS):
        done = reached | stopped | (time >= duration) | (np.abs(s - origin) > _FARTHEST)
        if done.all():
            break
        beta0 = ground.slope_at(s, piece)
        kappa = ground.curvature[piece]
        edge = ground.start[piece] if back else joints_end[piece]
        target = np.maximum(edge, end) if back else np.minimum(edge, end)
        room = np.abs(target - s)
        length = np.minimum(room, _LONGEST_STEP)
        length = np.minimum(length, _LARGEST_TURN / np.maximum(np.abs(kappa), 1e-9))
        if any_wind:
            length = np.where(windy, np.minimum(length, _careful(mine, e, beta0, kappa, sign)), length)
        length = np.where(done, 0.0, np.minimum(length, wanted))
        coefficients = _step(mine, e, beta0, kappa, sign * length)
        after = coefficients.sum(axis=-1)

        # down to the stop speed inside this step: shorten the step until its end is there
        sampled = coefficients @ _FINE_POWERS
        crossing = (sampled[:, 1:] <= stop[:, None]) & (sampled[:, :-1] > stop[:, None]) & ~done[:, None]
        stuck = (e <= stop + 1e-13) & (sampled[:, 1] <= stop) & ~done
        crosses = crossing.any(axis=1) & ~stuck
        cut = np.full(count, np.inf)
        if crosses.any():
            row = np.nonzero(crosses)[0]
            first = np.argmax(crossing, axis=1)[row]
            sigma = bracketed_roots(_above, _FINE[first], _FINE[first + 1], coefficients[row], stop[row])
            cut[row] = length[row] * (sigma + 1) / 2
        final = crosses & (~windy | (cut < _LAST))
        redo = crosses & ~final
        wanted = np.where(redo, 0.7 * cut, np.inf)
        if any_wind:
            slopes = beta0[:, None] + (sign * kappa * length)[:, None] * _FINE_SHARES
            faster = np.sqrt(2 * np.maximum(sampled, 0.0)) > mine.tailwind * np.cos(slopes + mine.tilt)
            changes = faster[:, 1:] != faster[:, :-1]
            bends = changes.any(axis=1) & windy & ~done & ~crosses & (length > _BEND)
            wanted = np.where(bends, np.maximum(length * np.maximum(np.argmax(changes, axis=1), 0.5) / 16, _BEND), wanted)
            redo |= bends
        length = np.where(final, cut, length)
        if final.any():
            shorter = _step(mine, e, beta0, kappa, sign * length)
            coefficients = np.where(final[:, None], shorter, coefficients)
            after = np.where(final, stop, coefficients.sum(axis=-1))

        # time is up inside this step: shorten the step to the place where it is
        spent = _spent(mine.height[:, 0], kappa, e, after, coefficients, length)
        late = ~done & ~redo & (time + spent > duration + 1e-12)
        if late.any():
            # Newton's method between brackets: near a standstill the time runs off faster than it foresees
            low, high = np.zeros(count), length
            for _ in range(80):
                lack = duration - time - spent
                near = ~late | (np.abs(lack) <= 1e-13 * (1 + duration))
                if near.all():
                    break
                low, high = np.where(lack > 0, length, low), np.where(lack < 0, length, high)
                pace = np.sqrt(2 * np.maximum(after, 0.0)) / (1 - mine.height[:, 0] * kappa)
                ahead = length + lack * pace
                ahead = np.where((ahead > low) & (ahead < high), ahead, 0.5 * (low + high))
                length = np.where(near, length, ahead)
                coefficients = _step(mine, e, beta0, kappa, sign * length)
                after = np.where(late, coefficients.sum(axis=-1), after)
                spent = _spent(mine.height[:, 0], kappa, e, after, coefficients, length)
            final &= ~late

        moves = ~done & ~redo & ~stuck
        steps.append((s.copy(), np.where(moves, sign * length, 0.0), coefficients))
        slopes = beta0[:, None] + (sign * kappa * length)[:, None] * _FINE_SHARES
        loads = mine.load(np.maximum(coefficients @ _FINE_POWERS, 0.0), slopes, kappa[:, None])
        peak = np.where(moves, np.maximum(peak, loads.max(axis=1) / roller.gravity), peak)
        light = loads < 0
        if light.any():
            off = moves & light.any(axis=1) & np.isnan(lifted)
            lifted = np.where(off, s + sign * length * _FINE_SHARES[np.argmax(light, axis=1)], lifted)
        at_joint = moves & ~final & ~late & (length >= room)
        s = np.where(moves, np.where(at_joint, target, s + sign * length), s)
        e = np.where(moves, after, e)
        time = np.where(moves, np.where(late, duration, time + spent), time)
        stopped |= final | stuck
        reached |= at_joint & (target == end)
        over = at_joint & (target == edge) & ~reached
        ahead = np.where(back, piece - 1, piece + 1)
        off_ground = over & ((ahead < 0) | (ahead >= len(ground.start)))
        reached |= off_ground
        over &= ~off_ground
        ahead = np.where(over, ahead, piece)
        arriving, leaving = ground.slope_at(s, piece), ground.slope_at(s, ahead)
        turn = sign * (leaving - arriving)
        up = over & (turn > _KINK)
        if back:
            e = np.where(up, e / np.cos(turn) ** 2, e)
        if any_soak:
            here = arriving[:, None], ground.curvature[piece][:, None]
            there = leaving[:, None], ground.curvature[ahead][:, None]
            if back:
                arrived = e
                for _ in range(40):
                    e = np.where(over, arrived + mine.soaked(e[:, None], there, here)[:, 0], e)
            else:
                e = np.where(over, e - mine.soaked(e[:, None], here, there)[:, 0], e)
        if not back:
            e = np.where(up, e * np.cos(turn) ** 2, e)
        dropped = np.where(over & (turn < -_KINK) & np.isnan(dropped), s, dropped)
        piece = ahead
    return Track(
        s, np.sqrt(2 * np.maximum(e, 0.0)), time, reached, stopped, lifted, dropped, peak, tuple(steps)
    )


_FINE = np.linspace(-1.0, 1.0, 17)
_FINE_SHARES = (_FINE + 1) / 2
_FINE_POWERS = collocation.powers(_FINE, collocation.ONCE.shape[0]).T


def _careful(mine: Roller, e: np.ndarray, slope: np.ndarray, curvature: np.ndarray, sign: float) -> np.ndarray:
    """Longest step in wind [m]: shorter near a standstill, and none across the bend of the drag law but a short one."""
    here = mine.slowing(e[:, None], slope[:, None], curvature[:, None])[:, 0]
    never = np.full(len(e), np.inf)
    scale = np.divide(2 * e, np.abs(here), out=never.copy(), where=here != 0)
    careful = np.where(sign * here < 0, np.maximum(0.35 * scale, _LAST), np.maximum(scale, _CREEP))
    # the bend lies where rider and tailwind are equally fast
    now, wind = np.sqrt(2 * e), mine.tailwind[:, 0] * np.cos(slope + mine.tilt[:, 0])
    bend = np.hypot(now - wind, mine.crosswind[:, 0]) * (now + np.abs(wind)) / 2
    bend = np.divide(0.85 * bend, np.abs(here), out=never.copy(), where=here != 0)
    return np.minimum(np.minimum(careful, np.maximum(bend, _BEND)), _LONGEST_IN_WIND)


def _step(
    roller: Roller, e: np.ndarray, slope: np.ndarray, curvature: np.ndarray, length: np.ndarray
) -> np.ndarray:
    """Coefficients of e in powers of σ over a step of signed length [m]."""
    half = length[:, None] / 2
    along = half * (collocation.NODES + 1)
    slopes = slope[:, None] + curvature[:, None] * along
    slowing, change = roller.slowing_on(slopes, curvature[:, None])
    stages = e[:, None] + along * slowing(e[:, None])[:, :1]
    steep = half * change(stages).sum(axis=1, keepdims=True) / stages.shape[1]
    for _ in range(200):
        push = slowing(stages)
        # Newton's method, the inverse by the first terms of its series; the first of them alone is Picard's
        lack = e[:, None] + half * (push @ collocation.STAGES) - stages
        move = lack + steep * ((lack + steep * (lack @ collocation.STAGES)) @ collocation.STAGES)
        stages = stages + move
        if np.abs(move).max() <= 1e-13 * (1 + np.abs(stages).max()):
            break
    coefficients = (push @ collocation.ONCE.T) * half
    coefficients[:, 0] += e
    return coefficients


def _above(sigma: np.ndarray, coefficients: np.ndarray, level: np.ndarray) -> np.ndarray:
    """How far each polynomial in σ is above its level."""
    return collocation.evaluate(coefficients, sigma) - level


def _spent(
    height: np.ndarray,
    curvature: np.ndarray,
    before: np.ndarray,
    after: np.ndarray,
    coefficients: np.ndarray,
    length: np.ndarray,
) -> np.ndarray:
    """Time of a step, `length` long [s]: ∫ q ds/v.

    The substitution takes √e of a straight line from `before` to `after` as variable, so that a start
    from rest or an end at rest is as smooth as the rest.
    """
    u0, u1 = np.sqrt(np.maximum(before, 0.0))[:, None], np.sqrt(np.maximum(after, 0.0))[:, None]
    part = (_QUADRATURE + 1) / 2
    both, way = np.maximum(u0 + u1, 1e-150), part * (u1 - u0)
    place = part * (2 * u0 + way) / both
    rate = 2 * (u0 + way) / both
    e = collocation.evaluate(coefficients[:, None, :], 2 * place - 1)
    straight = np.square(u0) + place * (np.square(u1) - np.square(u0))
    e = np.maximum(e, np.maximum(0.1 * straight, 1e-300))  # a rounding below a standstill is not one
    q = (1 - height * curvature)[:, None]
    pace = np.where(length[:, None] > 0, rate * q / np.sqrt(2 * e), 0.0)
    return np.abs(length) * (pace @ _QUADRATURE_WEIGHTS) / 2
