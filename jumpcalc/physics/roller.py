"""What rolls on the ground, and what slows it there.

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
wheels, so neither is added.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["Pull", "Roller", "brake_limit"]


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
        return self.pull(slope, curvature)(np.sqrt(2 * np.asarray(e, dtype=float)))

    def pull(self, slope: np.ndarray, curvature: np.ndarray) -> Pull:
        """What slows on ground of that slope [rad] and curvature [1/m], ready for many speeds."""
        q, tilted = 1 - self.height * curvature, slope + self.tilt
        sine = np.sin(tilted)
        cosine = np.sqrt(1 - sine * sine)  # ground is nowhere upright, and this costs a fifth
        if self.braking is None:
            grip, inertia = self.rolling_resistance, 1 + self.rotating_share
        else:
            grip, inertia = np.maximum(self.braking, self.rolling_resistance), 1.0
        share = q / inertia
        return Pull(
            down=-self.gravity * share * sine,
            weight=self.gravity * cosine,
            curvature=curvature,
            press=curvature / q,
            grip=grip / inertia,
            inertia=inertia,
            air=share * self.drag,
            wind=None if self.calm else self.tailwind * cosine,
            across=np.square(self.crosswind),
        )

    @property
    def calm(self) -> bool:
        """Whether there is no wind at all, as one can tell without looking at rows."""
        return all(isinstance(wind, float | int) and wind == 0 for wind in (self.tailwind, self.crosswind))

    def soaked(self, e: np.ndarray, before: tuple[float, float], after: tuple[float, float]) -> np.ndarray:
        """Energy per mass [m²/s²] lost at a joint, `before` and `after` it (slope, curvature); e is that before."""
        compressed = [
            np.square(np.clip(self.load(e, *side) / self.gravity, 1.0, self.soak_limit)) for side in (before, after)
        ]
        return np.minimum(self.soak * np.maximum(compressed[1] - compressed[0], 0.0), np.maximum(e, 0.0))

    def each(self, work: Callable[[np.ndarray], np.ndarray]) -> Roller:
        """The same with `work` done to every entry that has rows."""
        names = self.__slots__
        values = [getattr(self, name) for name in names]
        return Roller(
            **{n: work(v) if isinstance(v, np.ndarray) and v.ndim else v for n, v in zip(names, values, strict=True)}
        )


class Pull:
    """de/ds of speeds on given ground, what depends on the ground alone worked out once.

    `down` is the acceleration along the ground by weight [m/s²], `weight` the standing load, `press` what curvature
    adds to it for each v², `grip` and `air` what they slow; all of it shared by the whole `inertia`. `wind` is that
    along the ground, None in still air; `across` the square of that across it. `crest` says whether the ground turns down
    anywhere, so that wheels may leave it, `straight` whether it is so everywhere.
    """

    __slots__ = ("across", "air", "crest", "down", "grip", "inertia", "press", "rest", "straight", "weight", "wind")

    def __init__(self, *, down, weight, curvature, press, grip, inertia, air, wind, across) -> None:
        self.down, self.weight, self.press = down, weight, press
        self.crest = bool(np.min(curvature) < 0)
        self.straight = isinstance(curvature, float) and curvature == 0.0
        self.grip, self.inertia, self.air, self.wind, self.across = grip, inertia, air, wind, across
        self.rest = down - grip * weight

    def __call__(self, v: np.ndarray) -> np.ndarray:
        """de/ds [m/s²] at speeds [m/s]."""
        against = v if self.wind is None else v - self.wind
        size = np.abs(against) if self._along else np.sqrt(against * against + self.across)
        return self._ground(v) - self.air * (against * size)

    def by_energy(self, e: np.ndarray) -> np.ndarray:
        """de/ds [m/s²] at e [m²/s²], where the wheels stay on the ground."""
        if self.wind is None:
            return self.rest - self.steadies(e) * e
        against = np.sqrt(2 * e) - self.wind
        size = np.abs(against) if self._along else np.sqrt(against * against + self.across)
        return self.rest - (2 * self.grip * self.press) * e - self.air * (against * size)

    def steadies(self, e: np.ndarray) -> np.ndarray:
        """How much less de/ds is for each m²/s² that e is more [1/m], about, where the wheels stay on the ground."""
        if self.wind is None:
            return 2 * (self.grip * self.press + self.air)
        v = np.sqrt(2 * np.maximum(e, 1e-3))
        return 2 * (self.grip * self.press + self.air * np.abs(v - self.wind) / v)

    def with_change(self, v: np.ndarray, change_too: bool = True) -> tuple[np.ndarray, np.ndarray | None]:
        """de/ds [m/s²] at the stages of a step, speeds [m/s], and how it changes with them [1/s] where that is asked for.

        In a step without crosswind the air brakes all the time, or it pushes all the time: the law goes on without its bend.
        """
        against = v if self.wind is None else v - self.wind
        if self._along:
            air = self.air if self.wind is None else np.where(against.sum(axis=0) < 0, -self.air, self.air)
            change = (-2 * air) * against if change_too else None
            drag = against * against
            drag *= air
        else:
            square = against * against
            size = np.sqrt(square + self.across)
            change = -self.air * (size + square / np.maximum(size, 1e-300)) if change_too else None
            drag = self.air * (against * size)
        if change_too and not self.straight and not self.crest:
            change -= (2 * self.grip * self.press) * v
        elif change_too and self.crest:
            change -= np.where(self.load(v) > 0, (2 * self.grip * self.press) * v, 0.0)
        return np.subtract(self._ground(v), drag, out=drag), change

    def load(self, v: np.ndarray) -> np.ndarray:
        """N before it is cut off at 0 [m/s²]."""
        return self.weight + self.press * (v * v)

    @property
    def _along(self) -> bool:
        """Whether there is no crosswind, known at sight."""
        return isinstance(self.across, float) and self.across == 0.0

    def _ground(self, v: np.ndarray) -> np.ndarray:
        """The part of de/ds that the ground makes."""
        if self.straight:
            return self.rest
        if self.crest:
            return self.down - self.grip * np.maximum(self.load(v), 0.0)
        return self.rest - (self.grip * self.press) * (v * v)


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

