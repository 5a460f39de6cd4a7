"""How much dirt a jump of a line takes, and how much a change of a line moves.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
W, a     width on top, batter of the sides (run over rise)     m, –
z        height above the ground as it is taken to have lain   m
=======  ====================================================  =========

A line file does not say what lay there before: the ground under a jump is taken as straight from the foot of its lip to the start
of its runout. Widths that are not measured, and the batter, are those that a site file has by default.
"""

from __future__ import annotations

import numpy as np

from jumpcalc.plan.inputs.declare import declared
from jumpcalc.plan.inputs.dug import Jump
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.site import Wanted
from jumpcalc.plan.terrain import Terrain, prepare

__all__ = ["dirt", "moved"]

_STEP = 0.05  # m between the places of a profile


def dirt(line: Line, index: int) -> float | None:
    """Compacted dirt of lip, deck and landing of a jump.

    Parameters
    ----------
    line : Line
        As measured.
    index : int
        Which jump, from 0.

    Returns
    -------
    float or None
        W∫z dx + a∫z² dx [m³]; None for a drop, whose edge is the ground as it lies.
    """
    terrain, jump = prepare(line).jumps[index].terrain, line.jumps[index]
    if terrain.lip is None:
        return None
    lip_width, landing_width, batter = _widths(jump)
    (end_x,), (end_z,) = terrain.ground.point(np.array([terrain.runout_start]))
    x, z = _profile(terrain, terrain.foot_x, float(end_x))
    over = np.maximum(z - np.interp(x, [terrain.foot_x, end_x], [terrain.foot_z, end_z]), 0.0)
    width = np.select([x <= 0, x >= terrain.gap], [lip_width, landing_width], default=0.5 * (lip_width + landing_width))
    over = np.where((x > 0) & (x < terrain.gap) & (terrain.shape == "gap"), 0.0, over)  # the floor lies as it lay
    total = float(np.trapezoid(width * over + batter * over * over, x))
    if terrain.shape == "tabletop":
        return total
    # the back of the lip and the near side of the landing run out as the sides do
    backs = np.interp([0.0, terrain.gap], [terrain.foot_x, end_x], [terrain.foot_z, end_z])
    heights = np.maximum([-backs[0], -terrain.drop - backs[1]], 0.0)
    return total + float(0.5 * batter * (lip_width * heights[0] ** 2 + landing_width * heights[1] ** 2))


def moved(old: Line, new: Line, index: int) -> float:
    """Earth that is cut and filled from the end of a landing to the end of the next one for one line to become another.

    Parameters
    ----------
    old, new : Line
        As measured, and changed after that jump.
    index : int
        The first of the two jumps, from 0.

    Returns
    -------
    float
        W∫|z_new − z_old| dx [m³], sides upright; both grounds start at the lower end of the landing.
    """
    width = _widths(old.jumps[index + 1])[1]
    ends = [_after(line, index) for line in (old, new)]
    to = max(end for _, _, end in ends)
    x = np.arange(0.0, to, _STEP)
    (old_x, old_z, _), (new_x, new_z, _) = ends
    return float(width * np.trapezoid(np.abs(np.interp(x, new_x, new_z) - np.interp(x, old_x, old_z)), x))


def _widths(jump: Jump) -> tuple[float, float, float]:
    """Width of lip and landing [m] and batter, each as measured or as a site file has it."""
    default = {name: declared(Wanted)[name].default_si for name in ("lip_width", "landing_width", "batter")}
    return jump.lip.width or default["lip_width"], jump.landing.width or default["landing_width"], default["batter"]


def _profile(terrain: Terrain, begin: float, end: float) -> tuple[np.ndarray, np.ndarray]:
    """Places and heights of a jump's ground from its foot on, counted from the edge; over a gap its floor."""
    x = np.unique(np.concatenate([np.arange(begin, end, _STEP), [0.0, 1e-9, terrain.gap - 1e-9, terrain.gap, end]]))
    return x, _height(terrain, x)


def _height(terrain: Terrain, x: np.ndarray) -> np.ndarray:
    """Heights of a jump's ground over places from the foot of its lip on, counted from its edge; over a gap those of its floor."""
    s = np.arange(0.0, x[-1] - terrain.gap + 60.0, _STEP)
    after_x, after_z = terrain.ground.point(s)
    heights = np.interp(x, after_x, after_z)
    if terrain.lip is not None:
        lip_x, lip_z = terrain.lip.point(np.linspace(0.0, terrain.lip.end, 200))
        heights = np.where(x <= 0, np.interp(x, lip_x, lip_z), heights)
    over_gap = np.interp(x, [0.0, terrain.gap], [0.0, -terrain.drop]) if terrain.shape == "tabletop" else terrain.floor
    return np.where((x > 0) & (x < terrain.gap), over_gap, heights)


def _after(line: Line, index: int) -> tuple[np.ndarray, np.ndarray, float]:
    """Places and heights from the end of a landing on, and where the next landing's curve ends, counted from there."""
    prepared = prepare(line)
    here, following = prepared.jumps[index].terrain, prepared.jumps[index + 1].terrain
    x, z = here.ground.point(np.arange(here.face, here.runout_end, _STEP))
    (foot_x,), (foot_z,) = here.ground.point(np.array([here.runout_end]))
    (end_x,), _ = following.ground.point(np.array([following.runout_start]))
    next_x, next_z = _profile(following, following.foot_x, float(end_x) + 10.0)
    at_x, at_z = float(foot_x) - following.foot_x, float(foot_z) - following.foot_z
    places, heights = np.concatenate([x, next_x + at_x]), np.concatenate([z, next_z + at_z])
    return places - x[0], heights - z[0], float(end_x) + at_x - float(x[0])
