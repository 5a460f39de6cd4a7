"""One jump made ready: ground in named parts, rider and bike, and the day's air and dirt.

Places are counted from the lip edge. The landing's ground has s = 0 at the knuckle; deck or floor lie
before it. The lip's ground has s = 0 at its foot; the run-in or the last runout lies before it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from jumpcalc.physics import air, flight
from jumpcalc.physics.body import POINT, Body
from jumpcalc.physics.ground import Arc, GroundLine, Straight, chain, end_slope, joined
from jumpcalc.physics.roller import Roller, brake_limit
from jumpcalc.plan.inputs.assume import complete, foot_slope, grip_of, ground_pieces, lip_shape, rolling_resistance
from jumpcalc.plan.inputs.line import Line
from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["Conditions", "Prepared", "PreparedLine", "Rig", "Terrain", "braking_of", "prepare"]

_APPROACH = 2.0  # m of ground taken to lie before an edge that nothing was measured of


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Terrain:
    """The ground of one jump, places counted from the lip edge.

    `approach` is the ground up to the edge with the whole run-in or runout before it, the distance of the edge on
    it and that of the foot (the edge itself of a drop). `ground` runs from the edge on: deck or floor, then the face
    with s = 0 at the knuckle, exit, runout and what lies beyond, each piece named. `lip` is
    `approach` with s = 0 at the foot and its edge where places are counted from, None for a drop. `fall` is that of the
    face at the knuckle, `face` its length along the ground; `runout_end` the distance [m] of the end of the runout, None
    when it is not measured.
    """

    shape: str
    angle: float
    gap: float
    drop: float
    fall: float
    face: float
    approach: tuple[GroundLine, float, float]
    ground: GroundLine
    lip: GroundLine | None
    foot_x: float
    foot_z: float
    lip_height: float | None
    floor: float | None
    runout_start: float
    runout_end: float | None

    def is_part(self, piece: np.ndarray, *names: str) -> np.ndarray:
        """Whether pieces of `ground`, by their index, are parts of these names; −1 is none."""
        named = np.array([name in names for name in self.ground.names] + [False])
        return named[piece]

    @property
    def exit_kink(self) -> float:
        """How far the ground turns up at the end of the face without a curve [rad]."""
        last = max(i for i, name in enumerate(self.ground.names) if name == "face")
        ends = self.ground.slope[last] + self.ground.curvature[last] * self.ground.length[last]
        return float(self.ground.slope[last + 1] - ends)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rig:
    """Rider and bike as one: both flying bodies, which of them decides, and what the bike loses and brakes with."""

    path: str
    bodies: dict[str, Body]
    wheelbase: float
    rotating_share: float
    soak: float
    soak_limit: float
    squash: float
    spring: float
    spring_mean: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Conditions:
    """Air and dirt of the day: density [kg/m³], drag constant [1/m], wind [m/s], rolling resistances, braking coefficient."""

    density: float
    drag: float
    tailwind: float
    crosswind: float
    lip_rolling: float
    landing_rolling: float
    braking: float | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Prepared:
    """One jump ready to be ridden, flown and stopped from."""

    terrain: Terrain
    rig: Rig
    conditions: Conditions
    reaction: float
    equivalent_fall: float

    @property
    def body(self) -> Body:
        """The body of the path that decides."""
        return self.rig.bodies[self.rig.path]

    def roller(self, rolling: float, height: np.ndarray, *, braking: float | None = None) -> Roller:
        """What rolls here, with its rolling resistance and the height of its centre of mass [m]."""
        return Roller(
            drag=self.conditions.drag,
            rolling_resistance=rolling,
            rotating_share=self.rig.rotating_share,
            height=height,
            tailwind=self.conditions.tailwind,
            crosswind=self.conditions.crosswind,
            braking=braking,
            soak=self.rig.soak,
            soak_limit=self.rig.soak_limit,
        )

    @property
    def up_the_lip(self) -> Roller:
        """What rolls on run-in and lip."""
        return self.roller(self.conditions.lip_rolling, self.body.height)

    @property
    def after_landing(self) -> Roller:
        """What rolls on face and runout."""
        return self.roller(self.conditions.landing_rolling, self.body.height)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PreparedLine:
    """A line with its defaults filled in, which of them, and its jumps made ready."""

    line: Line
    assumed: tuple[str, ...]
    jumps: tuple[Prepared, ...]


@lru_cache(maxsize=128)
def prepare(line: Line) -> PreparedLine:
    """All of a line made ready once: whatever is asked of it afterwards is told this.

    Parameters
    ----------
    line : Line
        As measured, or with its defaults filled in.

    Returns
    -------
    PreparedLine
        Its jumps, places counted from each one's lip edge.

    Raises
    ------
    InputError
        Where inputs contradict each other.
    """
    filled, assumed = complete(line)
    jumps = tuple(
        Prepared(
            terrain=_terrain(filled, index),
            rig=_rig(filled),
            conditions=_conditions(filled, index),
            reaction=jump.runout.reaction,
            equivalent_fall=filled.limits.equivalent_fall,
        )
        for index, jump in enumerate(filled.jumps)
    )
    return PreparedLine(line=filled, assumed=assumed, jumps=jumps)


def _terrain(line: Line, index: int) -> Terrain:
    """The ground of one jump."""
    jump = line.jumps[index]
    lip, landing, runout = jump.lip, jump.landing, jump.runout
    approach, edge, foot = _approach(line, index)
    lip_ground, lip_height, foot_x, foot_z = None, None, 0.0, 0.0
    if jump.shape != "drop":
        lip_height = lip_shape(line, index)[1]
        at_foot, at_edge = (approach.point(np.array(s)) for s in (foot, edge))
        foot_x, foot_z = (float(f - e) for f, e in zip(at_foot, at_edge, strict=True))
        lip_ground = approach.moved(x=-float(at_edge[0]), z=-float(at_edge[1]), s=-foot)

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
    return Terrain(
        shape=jump.shape,
        angle=lip.angle,
        gap=landing.gap,
        drop=landing.drop,
        fall=landing.angle,
        face=landing.length,
        approach=(approach, edge, foot),
        ground=joined(before, after),
        lip=lip_ground,
        foot_x=foot_x,
        foot_z=foot_z,
        lip_height=lip_height,
        floor=floor,
        runout_start=float(after.start[len(beyond)]),
        runout_end=after.end if measured else None,
    )


def _rig(line: Line) -> Rig:
    """Rider and bike."""
    rider, bike = line.rider, line.bike
    return Rig(
        path=rider.path,
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
        wheelbase=bike.wheelbase,
        rotating_share=bike.rotating_mass / rider.mass,
        soak=_soak(line),
        soak_limit=1 / bike.sag,
        squash=line.skill.squash,
        spring=line.skill.spring,
        spring_mean=line.skill.spring_mean or 0.0,
    )


def _conditions(line: Line, index: int) -> Conditions:
    """Air and dirt at one jump."""
    rider, runout = line.rider, line.jumps[index].runout
    density = air.density(line.air.altitude, temperature=line.air.temperature)
    earlier = line.run_in if index == 0 else line.jumps[index - 1].runout
    return Conditions(
        density=density,
        drag=float(flight.drag_constant(density=density, drag_area=rider.drag_area, mass=rider.mass)),
        tailwind=line.air.tailwind,
        crosswind=line.air.crosswind,
        lip_rolling=rolling_resistance(line, earlier),
        landing_rolling=rolling_resistance(line, runout),
        braking=braking_of(line, grip_of(runout)),
    )


def _rising(line: Line, index: int) -> list[Straight | Arc]:
    """The curve and the straight of a lip."""
    lip = line.jumps[index].lip
    rising: list[Straight | Arc] = [Arc(radius=lip_shape(line, index)[0], to_slope=lip.angle, name="lip")]
    return rising + ([Straight(length=lip.straight, slope=lip.angle, name="lip")] if lip.straight > 0 else [])


def _approach(line: Line, index: int) -> tuple[GroundLine, float, float]:
    """The ground that is ridden to the edge, where on it the edge lies, and where the foot of the lip."""
    angle = line.jumps[index].lip.angle
    before = ground_pieces(line.run_in if index == 0 else line.jumps[index - 1].runout, "run-in")
    if line.jumps[index].shape == "drop":
        # the board on the last of the run-in is what is believed
        if not before or not math.isclose(end_slope(before), angle, abs_tol=1e-6):
            before = [Straight(length=_APPROACH, slope=angle, name="run-in")]
        ground = chain(before)
        return ground, ground.end, ground.end
    before = before or [Straight(length=_APPROACH, slope=foot_slope(line, index), name="run-in")]
    foot = chain(before).end
    ground = chain([*before, *_rising(line, index)])
    return ground, ground.end, foot


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
