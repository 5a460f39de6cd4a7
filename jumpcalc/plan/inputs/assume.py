"""Defaults filled in, and which ones: nothing assumed passes as measured."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache
from typing import Any

from jumpcalc.errors import InputError
from jumpcalc.physics import air
from jumpcalc.physics.ground import Arc, Straight, end_slope, through_stakes
from jumpcalc.plan.inputs.declare import declared, given
from jumpcalc.plan.inputs.dug import Jump, Lip
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.surfaces import BIKES, SURFACES
from jumpcalc.plan.inputs.valid import spoken

__all__ = [
    "complete",
    "foot_slope",
    "grip_of",
    "ground_pieces",
    "lip_shape",
    "rolling_resistance",
    "stroke_energy",
    "strokes_that_fit",
]


def complete(line: Line) -> tuple[Line, tuple[str, ...]]:
    """The line with every default filled in, and the key paths of what was filled in.

    Parameters
    ----------
    line : Line
        As given; None is "not given".

    Returns
    -------
    line : Line
        The same with defaults. What has no default (a runout not measured, a width, a grip that
        nothing can be cited for) stays None.
    assumed : tuple of str
        Key paths such as ``"rider.mass_kg"``, in the order of the declarations.

    Raises
    ------
    InputError
        Where inputs contradict each other.

    Notes
    -----
    Drag area goes with mass^⅔, the energy of a stroke with mass.
    """
    bike_kind = BIKES[line.bike.kind or declared(type(line.bike))["kind"].default]
    rider = _filled(line.rider, landing_height=line.rider.centre_of_mass_height)
    rider = _filled(
        rider,
        drag_area=0.55 * (rider.mass / 85) ** (2 / 3),
        stroke_energy=2.3 * rider.mass,
        landing_height=rider.centre_of_mass_height,
    )
    bike = _filled(
        line.bike,
        **{
            f: getattr(bike_kind, f)
            for f in ("wheelbase", "brakes", "rolling_factor", "rotating_mass", "development", "travel", "suspension_loss")
        },
    )
    altitude = line.air.altitude or 0.0
    air_filled = _filled(line.air, temperature=air.standard_temperature(altitude))
    run_in = _filled(line.run_in, skip=_unneeded_surface(line.run_in))
    jumps = tuple(_jump(jump, number) for number, jump in enumerate(line.jumps, start=1))
    filled = replace(
        line,
        title=line.title or "untitled line",
        rider=rider,
        bike=bike,
        air=air_filled,
        run_in=run_in,
        jumps=jumps,
        skill=_filled(line.skill),
        limits=_filled(line.limits, equivalent_fall=bike_kind.equivalent_fall),
    )
    before = {path: value for path, _, value in given(line)}
    assumed = tuple(
        path
        for path, declaration, value in given(filled)
        if before[path] is None and value is not None and declaration.kind != "text"
    )
    _check_body(filled)
    return filled, assumed


def _filled(table: Any, *, skip: tuple[str, ...] = (), **worked_out: Any) -> Any:
    """The table with what is not given replaced by its default, or by what was worked out."""
    new = {}
    for name, declaration in declared(type(table)).items():
        if getattr(table, name) is None and name not in skip:
            value = worked_out.get(name, declaration.default_si)
            if value is not None:
                new[name] = value
    return replace(table, **new) if new else table


def _jump(jump: Jump, number: int) -> Jump:
    runout = jump.runout
    lip = jump.lip if jump.shape == "drop" else _filled(jump.lip)
    return replace(
        jump,
        name=jump.name or f"jump {number}",
        shape=jump.shape or "gap",
        lip=lip,
        landing=_filled(jump.landing),
        runout=_filled(runout, skip=_unneeded_surface(runout)),
    )


def _unneeded_surface(ground: Any) -> tuple[str, ...]:
    """The surface, where grip and rolling resistance are both given."""
    return ("surface",) if ground.grip is not None and ground.rolling_resistance is not None else ()


def foot_slope(line: Line, index: int) -> float:
    """Slope of the ground at the foot of a jump's lip [rad]: the last one before it, or level.

    Parameters
    ----------
    line : Line
        The line.
    index : int
        Which jump, from 0.

    Returns
    -------
    float
        Slope [rad].
    """
    before = line.run_in if index == 0 else line.jumps[index - 1].runout
    pieces = ground_pieces(before, "run-in")
    return end_slope(pieces) if pieces else 0.0


def ground_pieces(table: Any, name: str) -> list[Straight | Arc]:
    """The ground of a run-in or a runout, from its pieces or its stakes; empty when it is not measured.

    Parameters
    ----------
    table : RunIn or Runout
        As measured.
    name : str
        What the pieces are called.

    Returns
    -------
    list of Straight or Arc
        In the order they are ridden.
    """
    if table.stakes is not None:
        return list(_staked(tuple(map(tuple, table.stakes)), name))
    return [
        Straight(length=piece.length, slope=piece.slope, name=name)
        if piece.length is not None
        else Arc(radius=piece.radius, to_slope=piece.to_slope, name=name)
        for piece in table.pieces or ()
    ]


@lru_cache(maxsize=64)
def _staked(stakes: tuple[tuple[float, float], ...], name: str) -> tuple[Straight | Arc, ...]:
    """The ground through stakes, kept: one answer asks for it many times."""
    return tuple(through_stakes(stakes, name=name))


def lip_shape(line: Line, index: int) -> tuple[float, float]:
    """Radius and height [m] of a jump's lip, each from the other; not for a drop.

    Parameters
    ----------
    line : Line
        With its defaults filled in.
    index : int
        Which jump, from 0.

    Returns
    -------
    radius, height : float
        R [m] of the curve; H [m] of the edge above the lowest point of the lip.

    Raises
    ------
    InputError
        Where angle, foot, straight and height contradict each other.

    Notes
    -----
    H = R (cos max(β0, 0) − cosθ) + s sinθ.
    """
    lip, key = line.jumps[index].lip, f"jump[{index + 1}].lip"
    foot = foot_slope(line, index)
    if lip.angle <= foot:
        raise InputError(
            f"{math.degrees(lip.angle):.4g}°; must be more than the slope at the foot of the lip, {math.degrees(foot):.4g}°",
            key=f"{key}.angle_deg",
        )
    rise = math.cos(max(foot, 0.0)) - math.cos(lip.angle)
    straight_rise = lip.straight * math.sin(lip.angle)
    if lip.radius is not None:
        return lip.radius, lip.radius * rise + straight_rise
    if lip.angle <= 0:
        raise InputError("a lip that does not climb has no height; give its radius", key=f"{key}.height_m")
    radius = (lip.height - straight_rise) / rise if rise > 0 else math.inf
    low, high = declared(Lip)["radius"].bounds
    if not low <= radius <= high:
        raise InputError(
            f"{lip.height:.4g} m; with this angle, foot and straight the radius would be {radius:.3g} m, "
            f"allowed {low:g} to {high:g} m (the straight alone rises {straight_rise:.3g} m)",
            key=f"{key}.height_m",
        )
    return radius, lip.height


def _check_body(line: Line) -> None:
    """Refuse a body that does not fit its bike or the curves it rides."""
    rider, bike = line.rider, line.bike
    behind = declared(type(rider))["centre_of_mass_behind_front"]
    if rider.centre_of_mass_behind_front >= bike.wheelbase:
        raise InputError(
            f"{spoken(rider.centre_of_mass_behind_front, behind)}; must be less than the wheelbase, {bike.wheelbase:.3g} m",
            key="rider.centre_of_mass_behind_front_m",
        )
    lips = [None if jump.shape == "drop" else lip_shape(line, i)[0] for i, jump in enumerate(line.jumps)]
    height = rider.centre_of_mass_height
    if rider.path == "point":
        return
    for number, jump in enumerate(line.jumps, start=1):
        curves = _concave(line.run_in, "run_in") if number == 1 else []
        curves.append((f"jump[{number}].lip.radius_m", lips[number - 1]))
        runout = ground_pieces(jump.runout, "runout")
        first = runout[0].slope if runout else 0.0
        if jump.landing.exit_radius is not None and first > -jump.landing.angle:
            curves.append((f"jump[{number}].landing.exit_radius_m", jump.landing.exit_radius))
        curves += _concave(jump.runout, f"jump[{number}].runout")
        for key, radius in curves:
            if radius is not None and radius <= height:
                raise InputError(
                    f"{radius:.3g} m; a curve that turns upward must be wider than the centre of mass is high "
                    f'({height:.3g} m, rider.centre_of_mass_height_m), or set rider.path = "point"',
                    key=key,
                )


def _concave(table: Any, key: str) -> list[tuple[str, float]]:
    """Keys and radii of the arcs that turn upward."""
    found, slope = [], None
    for number, piece in enumerate(ground_pieces(table, ""), start=1):
        if isinstance(piece, Straight):
            slope = piece.slope
            continue
        if slope is not None and piece.to_slope > slope:
            at = f"{key}.stakes_m" if table.stakes is not None else f"{key}.pieces[{number}].radius_m"
            found.append((at, piece.radius))
        slope = piece.to_slope
    return found


def rolling_resistance(line: Line, before: Any) -> float:
    """Rolling resistance of a run-in or a runout with the bike's tyres.

    Parameters
    ----------
    line : Line
        With its defaults filled in.
    before : RunIn or Runout
        The ground ridden on.

    Returns
    -------
    float
        Rolling resistance coefficient.
    """
    own = before.rolling_resistance
    if own is None:
        own = SURFACES[before.surface].rolling_resistance
    return own * line.bike.rolling_factor


def stroke_energy(line: Line) -> float:
    """Energy of one pedal stroke for each kilogram that it sets in motion, wheels and all.

    Parameters
    ----------
    line : Line
        With its defaults filled in.

    Returns
    -------
    float
        E/(m + m_r) [m²/s²]: what a stroke adds to v²/2.
    """
    return line.rider.stroke_energy / (line.rider.mass + line.bike.rotating_mass)


def strokes_that_fit(line: Line, room: float) -> int:
    """How many pedal strokes fit on so much ground.

    Parameters
    ----------
    line : Line
        With its defaults filled in.
    room : float
        Ground there is for them [m].

    Returns
    -------
    int
        Whole strokes.
    """
    return int(room / line.bike.development + 1e-9)


def grip_of(ground: Any) -> float | None:
    """Grip of a run-in or a runout, or None where nothing can be cited.

    Parameters
    ----------
    ground : RunIn or Runout
        With its defaults filled in.

    Returns
    -------
    float or None
        Friction coefficient.
    """
    return ground.grip if ground.grip is not None else SURFACES[ground.surface].grip
