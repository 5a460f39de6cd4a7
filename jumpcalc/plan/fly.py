"""Where lip speeds land on a jump of a line: arrays in, arrays out."""

from __future__ import annotations

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.physics.flight import drag_constant
from jumpcalc.plan.ask import landings
from jumpcalc.plan.ask.leaving import Style
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.terrain import prepare

__all__ = ["land"]


def land(
    line: Line,
    speeds: np.ndarray,
    *,
    jump: int = 0,
    angle: np.ndarray | None = None,
    spring: np.ndarray = 0.0,
    tailwind: np.ndarray | None = None,
    crosswind: np.ndarray | None = None,
    drag_area: np.ndarray | None = None,
    mass: np.ndarray | None = None,
    path: str | None = None,
) -> landings.Landings:
    """Where lip speeds land on a jump, each with conditions of its own where these are given.

    Parameters
    ----------
    line : Line
        As measured.
    speeds : array_like
        Lip speeds [m/s], 0 or more, shape (n,); all else is a number or broadcasts against it.
    jump : int
        Which jump, from 0.
    angle : array_like, optional
        Lip angle [rad] instead of the measured one.
    spring : array_like
        What the rider adds across the lip as the bike leaves [m/s]: up, springing, is positive, squashing negative.
    tailwind, crosswind : array_like, optional
        Wind from behind and towards the rider's left [m/s] instead of the line's.
    drag_area : array_like, optional
        CdA [m²] instead of the line's.
    mass : array_like, optional
        Rider, bike and kit [kg] instead of the line's; the drag area stays.
    path : str, optional
        ``"bike"`` or ``"point"`` instead of the one that the line's answer follows.

    Returns
    -------
    Landings
        Arrays of shape (n,); `outcomes` names what became of each, unknown where a number was not one.

    Raises
    ------
    InputError
        Where there is no such jump or path, or inputs of the line contradict each other.

    Examples
    --------
    >>> from jumpcalc import Jump, Landing, Lip
    >>> landing = Landing.of(gap_m=4, angle_deg=25, length_m=4.5)
    >>> line = Line(jumps=(Jump(lip=Lip.of(angle_deg=28, radius_m=4), landing=landing),))
    >>> [str(outcome) for outcome in land(line, [7.0, 8.2, 10.0]).outcomes]
    ['short', 'clean', 'long']
    """
    prepared = prepare(line)
    if not 0 <= jump < len(prepared.jumps):
        raise InputError(f"{jump}; allowed 0 to {len(prepared.jumps) - 1}, counted from 0", key="jump")
    if path not in (None, "bike", "point"):
        raise InputError(f'{path}; allowed "bike" or "point"', key="path")
    one, rider = prepared.jumps[jump], prepared.line.rider
    drag = None
    if drag_area is not None or mass is not None:
        drag = drag_constant(
            density=one.conditions.density,
            drag_area=rider.drag_area if drag_area is None else drag_area,
            mass=rider.mass if mass is None else mass,
        )
    given = [np.asarray(value, dtype=float) for value in (speeds, angle, spring, tailwind, crosswind, drag) if value is not None]
    shape = np.broadcast_shapes((1,), *(value.shape for value in given))
    return landings.land(
        one,
        np.broadcast_to(np.asarray(speeds, dtype=float), shape),
        style=None if path is None else Style(path=path),
        angle=angle,
        spring=spring,
        drag=drag,
        tailwind=tailwind,
        crosswind=crosswind,
    )
