"""A line of jumps as the speeds along it: what lies between two jumps as a band, and the windows before each lip.

Places are counted from the foot of the first lip, x forward and z up.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jumpcalc.physics.rolling import roll
from jumpcalc.plan.answer import Jumps, Speeds
from jumpcalc.plan.studies.arrive import arrivals, leaving
from jumpcalc.plan.terrain import Terrain, prepare
from jumpcalc.plan.views.side import floats

__all__ = ["Band", "CarryView", "Foot", "carry_view"]

_SPACING = 0.2  # m
_BEFORE, _BEYOND = 1.0, 3.0  # m of ground before the first foot and after the last landing


@dataclass(frozen=True, slots=True, kw_only=True)
class Foot:
    """The foot of a jump, the `clean` and `sure` speeds there and who `comes` [m/s]; None where there are none.

    Nobody `comes` to the first jump, nor where somebody halts before.
    """

    name: str
    x: float
    z: float
    clean: Speeds | None
    sure: tuple[float, float] | None
    comes: tuple[float, float] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Slowest and fastest speed [m/s] over x [m] of who landed a jump in its sure window, from where the last of them is down.

    `carries` says whether all of them land the next one clean.
    """

    x: tuple[float, ...]
    slow: tuple[float, ...]
    fast: tuple[float, ...]
    carries: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CarryView:
    """The ground as one polyline, the jumps' windows, and a band after each jump but the last."""

    x: tuple[float, ...]
    z: tuple[float, ...]
    feet: tuple[Foot, ...]
    bands: tuple[Band, ...]


def carry_view(answer: Jumps) -> CarryView:
    """A line of jumps as the speeds along it.

    Parameters
    ----------
    answer : Jumps
        What `solve` or `solve_jumps` gave.

    Returns
    -------
    CarryView
        As far as the ground between is measured.
    """
    courses = prepare(answer.line).jumps
    xs, zs, feet, bands = [], [], [], []
    at, comes = (0.0, 0.0), None
    for index, (one, jump) in enumerate(zip(courses, answer.jumps, strict=True)):
        terrain, wanted = one.terrain, jump.window.foot
        origin = at[0] - terrain.foot_x, at[1] - terrain.foot_z
        feet.append(Foot(name=jump.name, x=at[0], z=at[1], clean=wanted, sure=jump.sure_foot, comes=comes))
        comes, last = None, index == len(courses) - 1
        end = terrain.runout_end if terrain.runout_end is not None and not last else terrain.runout_start + _BEYOND
        x, z = _ground(terrain, end, lead=_BEFORE if index == 0 else 0.0)
        xs.append(x + origin[0])
        zs.append(z + origin[1])
        if last or terrain.runout_end is None:
            break
        (end_x,), (end_z,) = terrain.ground.point(np.array([end]))
        at = origin[0] + float(end_x), origin[1] + float(end_z)
        following = answer.jumps[index + 1].window.foot
        if wanted is not None:
            found = arrivals(answer.line, index)[0]
            comes = found.speeds
            carries = following is not None and not found.lifts and min(found.margins(following)) >= 0
            begun = leaving(one)
            track = roll(terrain.ground, np.array(begun.along), np.array(begun.speed), one.after_landing, end=end, track=True)
            s = np.linspace(max(begun.along), float(track.s.max()), max(2, int(end / _SPACING)))
            speeds = track.speed_at(s)
            known = np.isfinite(speeds).any(axis=0)
            over, _ = terrain.ground.point(s[known])
            slow, fast = np.nanmin(speeds[:, known], axis=0), np.nanmax(speeds[:, known], axis=0)
            bands.append(Band(x=floats(over + origin[0]), slow=floats(slow), fast=floats(fast), carries=carries))
    return CarryView(x=floats(np.concatenate(xs)), z=floats(np.concatenate(zs)), feet=tuple(feet), bands=tuple(bands))


def _ground(terrain: Terrain, end: float, *, lead: float) -> tuple[np.ndarray, np.ndarray]:
    """Ground of a jump from so much before the foot of its lip to a distance on, counted from its edge."""
    approach, edge, foot = terrain.approach
    before_x, before_z = approach.point(np.array([max(foot - lead, 0.0), foot, edge]))
    parts = [(before_x[:2] - before_x[2], before_z[:2] - before_z[2])] if lead else []
    if terrain.lip is not None:
        parts.append(terrain.lip.point(np.linspace(0.0, terrain.lip.end, 40)))
    if terrain.shape == "tabletop":
        parts.append((np.zeros(1), np.zeros(1)))
    else:
        parts.append((np.array([0.0, 0.0, terrain.gap]), np.array([0.0, terrain.floor, terrain.floor])))
    parts.append(terrain.ground.point(np.linspace(0.0, end, max(2, int(end / _SPACING)))))
    return np.concatenate([x for x, _ in parts]), np.concatenate([z for _, z in parts])
