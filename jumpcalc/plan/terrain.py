"""A jump as ground, body and air: what the physics needs of a Line.

Places are counted from the lip edge. The landing's ground has s = 0 at the knuckle; deck or floor lie
before it. The lip's ground has s = 0 at its foot; a metre of ground, curved as the last of the run-in, lies before it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from jumpcalc.physics import air, flight
from jumpcalc.physics.body import POINT, Body
from jumpcalc.physics.ground import Arc, GroundLine, Straight, chain
from jumpcalc.physics.rolling import Roller, brake_limit
from jumpcalc.plan.inputs.assume import foot_slope, grip_of, ground_pieces, lip_shape, path_of, rolling_resistance
from jumpcalc.plan.inputs.line import Line
from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["Course", "braking_of", "course"]


_LEAD = 0.5  # m of the ground before the foot, so that the foot is a joint like any other


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Course:
    """One jump ready to be ridden, flown and stopped from.

    `ground` runs from the edge on; its piece 0 is deck or floor, piece 1 the face, and the knuckle has
    s = 0. `lip` runs from before the foot to the edge, None for a drop. `bodies` holds both flying
    bodies, `path` names the one that decides. `runout_end` is the distance [m] of the end of the
    runout, None when it is not measured.
    """

    shape: str
    angle: float
    gap: float
    drop: float
    fall: float
    face: float
    wheelbase: float
    path: str
    point_asked: bool
    bodies: dict[str, Body]
    ground: GroundLine
    lip: GroundLine | None
    foot_x: float
    foot_z: float
    lip_height: float | None
    floor: float | None
    runout_start: float
    runout_end: float | None
    drag: float
    tailwind: float
    crosswind: float
    density: float
    lip_rolling: float
    landing_rolling: float
    rotating_share: float
    braking: float | None
    soak: float
    soak_limit: float
    reaction: float
    equivalent_fall: float
    body_short: float
    body_long: float

    @property
    def body(self) -> Body:
        """The body of the path that decides."""
        return self.bodies[self.path]

    @property
    def rolling_body(self) -> Body:
        """The body that says below which speed the edge is rolled off: a point flown off a drop stands for a bike."""
        return self.bodies["bike"] if self.shape == "drop" and not self.point_asked else self.body

    def roller(self, rolling: float, height: np.ndarray, *, braking: float | None = None) -> Roller:
        """What rolls here, with its rolling resistance and the height of its centre of mass [m]."""
        return Roller(
            drag=self.drag,
            rolling_resistance=rolling,
            rotating_share=self.rotating_share,
            height=height,
            tailwind=self.tailwind,
            crosswind=self.crosswind,
            braking=braking,
            soak=self.soak,
            soak_limit=self.soak_limit,
        )


def course(line: Line, index: int) -> Course:
    """One jump of a line as ground, body and air.

    Parameters
    ----------
    line : Line
        With its defaults filled in (`assume.complete`).
    index : int
        Which jump, from 0.

    Returns
    -------
    Course
        The jump, places counted from its lip edge.

    Raises
    ------
    InputError
        Where the lip's measures contradict each other.
    """
    jump, rider, bike = line.jumps[index], line.rider, line.bike
    lip, landing, runout = jump.lip, jump.landing, jump.runout
    lip_ground, lip_height, foot_x, foot_z = None, None, 0.0, 0.0
    if jump.shape != "drop":
        radius, lip_height = lip_shape(line, index)
        rising = [Arc(radius=radius, to_slope=lip.angle, name="lip")]
        if lip.straight > 0:
            rising.append(Straight(length=lip.straight, slope=lip.angle, name="lip"))
        lip_ground = chain([*_lead(line, index), *rising], s=-2 * _LEAD)
        at_foot, at_edge = (lip_ground.point(np.array(s)) for s in (0.0, lip_ground.end))
        foot_x, foot_z = (float(f - e) for f, e in zip(at_foot, at_edge, strict=True))
        lip_ground = lip_ground.moved(x=-float(at_edge[0]), z=-float(at_edge[1]), s=0.0)

    measured = ground_pieces(runout, "runout")
    first_slope = measured[0].slope if measured else 0.0
    beyond: list[Straight | Arc] = [Straight(length=landing.length, slope=-landing.angle, name="face")]
    curved = landing.exit_radius is not None and not math.isclose(first_slope, -landing.angle, abs_tol=1e-9)
    if curved:
        beyond.append(Arc(radius=landing.exit_radius, to_slope=first_slope, name="exit"))
    after = chain(
        beyond + (measured or [Straight(length=1e-3, slope=first_slope, name="beyond")]), x=landing.gap, z=-landing.drop
    )
    floor = None
    if jump.shape == "tabletop":
        near_z, near_slope, near_name = 0.0, math.atan2(-landing.drop, landing.gap), "deck"
    else:
        floor = -landing.drop if jump.shape == "drop" else min(-lip_height, -landing.drop)
        near_z, near_slope, near_name = floor, 0.0, "floor"
    length = landing.gap / math.cos(near_slope)
    before = GroundLine(*(np.array([value]) for value in (-length, 0.0, near_z, near_slope, 0.0, length)), (near_name,))
    runout_index = 2 if curved else 1
    density = air.density(line.air.altitude, temperature=line.air.temperature)
    earlier = line.run_in if index == 0 else line.jumps[index - 1].runout
    return Course(
        shape=jump.shape,
        angle=lip.angle,
        gap=landing.gap,
        drop=landing.drop,
        fall=landing.angle,
        face=landing.length,
        wheelbase=bike.wheelbase,
        path=path_of(line, jump),
        point_asked=rider.path == "point",
        bodies={
            "bike": Body(
                height=rider.centre_of_mass_height,
                landing_height=rider.landing_height,
                wheelbase=bike.wheelbase,
                behind_front=rider.centre_of_mass_behind_front,
                pitch_radius=rider.pitch_radius,
            ),
            "point": POINT,
        },
        ground=GroundLine(
            *(
                np.concatenate([getattr(before, name), getattr(after, name)])
                for name in ("start", "x", "z", "slope", "curvature", "length")
            ),
            before.names + after.names,
        ),
        lip=lip_ground,
        foot_x=foot_x,
        foot_z=foot_z,
        lip_height=lip_height,
        floor=floor,
        runout_start=float(after.start[runout_index]),
        runout_end=after.end if measured else None,
        drag=float(flight.drag_constant(density=density, drag_area=rider.drag_area, mass=rider.mass)),
        tailwind=line.air.tailwind,
        crosswind=line.air.crosswind,
        density=density,
        lip_rolling=rolling_resistance(line, earlier),
        landing_rolling=rolling_resistance(line, runout),
        rotating_share=bike.rotating_mass / rider.mass,
        braking=braking_of(line, grip_of(runout)),
        soak=_soak(line),
        soak_limit=1 / bike.sag,
        reaction=runout.reaction,
        equivalent_fall=line.limits.equivalent_fall,
        body_short=line.skill.body_short,
        body_long=line.skill.body_long,
    )


def _lead(line: Line, index: int) -> list[Straight | Arc]:
    """A metre of ground before the foot of a lip, which ends as the run-in or the last runout does."""
    before = ground_pieces(line.run_in if index == 0 else line.jumps[index - 1].runout, "run-in")
    foot = foot_slope(line, index)
    curvature = float(chain(before).curvature[-2]) if before else 0.0
    if curvature == 0.0:
        return [Straight(length=2 * _LEAD, slope=foot, name="run-in")]
    start = foot - curvature * _LEAD
    return [
        Straight(length=_LEAD, slope=start, name="run-in"),
        Arc(radius=1 / abs(curvature), to_slope=foot, name="run-in"),
    ]


def braking_of(line: Line, grip: float | None) -> float | None:
    """Braking coefficient that the rider uses with these brakes on this grip, or None where no grip is known.

    Parameters
    ----------
    line : Line
        With its defaults filled in.
    grip : float or None
        Friction coefficient of the ground.

    Returns
    -------
    float or None
        b, braking force per load.
    """
    if grip is None:
        return None
    return line.rider.brake_use * brake_limit(
        grip=grip,
        brakes=line.bike.brakes,
        height=line.rider.centre_of_mass_height,
        behind_front=line.rider.centre_of_mass_behind_front,
        wheelbase=line.bike.wheelbase,
    )


def _soak(line: Line) -> float:
    """Energy per mass [m²/s²] that suspension does not give back when the load doubles its square.

    A linear spring with its sag x₁ at standing load holds ½ g x₁ n² for each kilogram it carries at the
    load n. Full suspension carries all, a fork the front wheel's share.
    """
    rider, bike = line.rider, line.bike
    carried = 1.0 if bike.kind == "full suspension" else 1 - rider.centre_of_mass_behind_front / bike.wheelbase
    return bike.suspension_loss * carried * 0.5 * STANDARD_GRAVITY * bike.sag * bike.travel
