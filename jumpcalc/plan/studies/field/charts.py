"""Where lip speeds land in one world, as a chart that is read both ways: place over speed, and the speed that a place takes.

Near the top edge of a landing a little speed moves the place by metres, and short of it nothing is landed on at all; the speed that
a place takes bends far less. So places are held against the model as speeds.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.interpolate import PchipInterpolator

from jumpcalc.plan.ask.landings import land
from jumpcalc.plan.ask.leaving import curve_of
from jumpcalc.plan.terrain import Prepared

__all__ = ["Chart", "charts_of", "speeds_over"]

_SCAN = np.linspace(2.5, 25.0, 91)  # m/s at the edge
_WIDER = 0.12  # share by which speeds are looked at beyond those that land on the face
_POINTS = 64
_SHARES = np.linspace(0, 1, 14)[1:-1]  # of the way to the first of them, at which it is looked more closely
_CHORD = 0.4  # m/s
_STEEPEST, _FLATTEST = 4.0, 0.02  # m/s for each metre that a place may take
_ON = ("face", "exit", "runout", "beyond")


@dataclass(frozen=True, slots=True, eq=False)
class Chart:
    """Landings of one world: places of the rear wheel along the landing [m], lip speeds [m/s], times in the air [s], angles between
    path and landing [rad], speeds into it [m/s]; rising."""

    place: np.ndarray
    speed: np.ndarray
    time: np.ndarray
    angle: np.ndarray
    into: np.ndarray

    def needed(self, place: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """The lip speed that places take, and how much more each metre takes; straight on beyond the chart."""
        return _straight_on(self.place, self.speed, place, self._chords, _FLATTEST, _STEEPEST)

    def landed(self, speed: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """The place that lip speeds land at, and how far each m/s moves it; straight on beyond the chart."""
        return _straight_on(self.speed, self.place, speed, self._chords, 1 / _STEEPEST, 1 / _FLATTEST)

    @property
    def _chords(self) -> tuple[int, int]:
        """Up to which entry from the first, and from which to the last, chords go along which it goes on beyond its ends.

        Right behind the top edge places may follow from one another so fast that nothing beyond it goes on like that.
        """
        last = len(self.speed) - 1
        low, high = np.searchsorted(self.speed, (self.speed[0] + _CHORD, self.speed[-1] - _CHORD))
        return min(max(int(low), 1), last), max(min(int(high), last - 1), 0)

    def at(self, place: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """Time in the air and how it moves with the place, angle and speed into the landing at places, those of its ends beyond it."""
        inside = np.clip(place, self.place[0], self.place[-1])
        later = np.gradient(self.time, self.place)
        return tuple(np.interp(inside, self.place, values) for values in (self.time, later, self.angle, self.into))


def _straight_on(
    x: np.ndarray, y: np.ndarray, at: np.ndarray, chords: tuple[int, int], least: float, most: float
) -> tuple[np.ndarray, np.ndarray]:
    """y and its slope at places of x, rising; beyond both ends straight on."""
    curve = PchipInterpolator(x, y)
    inside = np.clip(at, x[0], x[-1])
    slope = np.clip(curve(inside, 1), least, most)
    low, high = chords
    ends = np.clip([(y[low] - y[0]) / (x[low] - x[0]), (y[-1] - y[high]) / (x[-1] - x[high])], least, most)
    slope = np.where(at < x[0], ends[0], np.where(at > x[-1], ends[1], slope))
    return curve(inside) + (at - inside) * slope, slope


def speeds_over(one: Prepared) -> np.ndarray:
    """Lip speeds for charts of a jump: those that land on its face, and some beyond either end.

    Parameters
    ----------
    one : Prepared
        The jump as measured.

    Returns
    -------
    numpy.ndarray
        Lip speeds [m/s]; empty where none lands on the face.
    """
    swift = _SCAN[curve_of(one).swift <= _SCAN] if one.rig.path == "bike" else _SCAN
    for scan in (swift, _SCAN):  # slow departures cost most, and hardly a jump is landed on with them
        on = scan[land(one, scan, apex=False).surface == "face"]
        if len(on) and on[0] > scan[0]:
            break
    return np.linspace(on[0] * (1 - _WIDER), on[-1] * (1 + _WIDER), _POINTS) if len(on) else on


def charts_of(one: Prepared, speeds: np.ndarray, *, spring: np.ndarray, drag: np.ndarray, tailwind: np.ndarray) -> list[Chart | None]:
    """Charts of worlds on one ground.

    Parameters
    ----------
    one : Prepared
        The jump.
    speeds : numpy.ndarray
        Lip speeds [m/s], rising.
    spring, drag, tailwind : numpy.ndarray
        Of each world: what the rider adds [m/s], drag constant [1/m], wind [m/s], shape (k,).

    Returns
    -------
    list of Chart or None
        One for each; None where hardly a speed lands on its face.
    """
    worlds = {"spring": spring, "drag": drag, "tailwind": tailwind}
    seen = _looked_at(one, np.tile(speeds, (len(spring), 1)), worlds)
    # a place near the top edge is found between the last speed that does not land on the face and the first that does
    first = np.argmax(seen["good"], axis=1)
    below = speeds[np.maximum(first - 1, 0)]
    between = below[:, None] + (speeds[first] - below)[:, None] * _SHARES
    more = _looked_at(one, between, worlds)
    every = {name: np.concatenate([seen[name], more[name]], axis=1) for name in seen}
    order = np.argsort(every["speed"], axis=1, kind="stable")
    every = {name: np.take_along_axis(values, order, axis=1) for name, values in every.items()}
    behind = one.body.wheelbase - one.body.behind_front if one.rig.path == "bike" else 0.0
    return [_chart({name: values[i] for name, values in every.items()}, behind) for i in range(len(spring))]


def _looked_at(one: Prepared, speeds: np.ndarray, worlds: dict[str, np.ndarray]) -> dict[str, np.ndarray]:
    """Landings of lip speeds, shape (worlds, n), each row in a world of its own."""
    rows = {name: np.repeat(values, speeds.shape[1]) for name, values in worlds.items()}
    landed = land(one, speeds.ravel(), **rows, apex=False)
    good = np.isin(landed.surface, _ON) & np.isfinite(landed.along) & np.isfinite(landed.into)
    angle = np.arctan2(landed.into, landed.onward)
    found = {"good": good, "along": landed.along, "time": landed.time, "angle": angle, "into": landed.into}
    return {"speed": speeds, **{name: values.reshape(speeds.shape) for name, values in found.items()}}


def _chart(seen: dict[str, np.ndarray], behind: float) -> Chart | None:
    along = np.where(seen["good"], seen["along"], -np.inf)
    rising = seen["good"] & (along > np.maximum.accumulate(np.concatenate([[-np.inf], along[:-1]])) + 1e-4)
    if rising.sum() < 4:
        return None
    return Chart(along[rising] - behind, *(seen[name][rising] for name in ("speed", "time", "angle", "into")))
