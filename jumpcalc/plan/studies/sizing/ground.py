"""A site made ready: the ground as it lies as arrays, and what each rider has on it.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
s        distance along the natural ground                     m
e        v²/2                                                  m²/s²
b        share of e that drag takes on a metre                 1/m
A        e exp(b s), which all starts from rest share          m²/s²
W        what braking and climb take up to a place             m²/s²
=======  ====================================================  =========

Without wind e' = a(s) − b e, so that a start from rest at m arrives at p with e_p = (A(p) − A(m)) exp(−b p).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np

from jumpcalc.errors import InputError
from jumpcalc.physics.ground import chain, through_stakes
from jumpcalc.physics.rolling import roll
from jumpcalc.plan import limits
from jumpcalc.plan.ask.leaving import curve_of
from jumpcalc.plan.inputs.assume import grip_of
from jumpcalc.plan.inputs.defaults import filled
from jumpcalc.plan.inputs.dug import Jump, Landing, Lip, RunIn, Runout
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.rider import Bike, Limits
from jumpcalc.plan.inputs.site import Site, SiteRider
from jumpcalc.plan.inputs.surfaces import BIKES
from jumpcalc.plan.terrain import Prepared, prepare
from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["LaidOut", "Natural", "RiderThere", "filled_site", "laid_out", "line_of"]

_STEP = 0.05  # m
_SHORTEST = 15.0  # m
_EDGE_SPEEDS = np.linspace(3.0, 9.0, 61)  # m/s
_HOLDS = 0.05  # m/s², slowing on the last slope from which on a bike is taken to stop there


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Natural:
    """The ground as it lies at evenly spaced places: s, level place x, height z [m], slope [rad]."""

    s: np.ndarray
    x: np.ndarray
    z: np.ndarray
    slope: np.ndarray

    def at(self, s: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Place x, height z [m] and slope [rad] at distances [m]."""
        return tuple(np.interp(s, self.s, entry) for entry in (self.x, self.z, self.slope))

    def over(self, x: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Distance s, height z [m] and slope [rad] under level places [m]."""
        return tuple(np.interp(x, self.x, entry) for entry in (self.s, self.z, self.slope))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RiderThere:
    """A rider on the site: who, made ready to ride and fly, A and W at the places of the ground.

    `rolls_off` is the speed from which on the bike rolls off a level edge without the front having to be carried [m/s].
    """

    rider: SiteRider
    one: Prepared
    loss: float
    grown: np.ndarray
    braked: np.ndarray
    fall_limit: float
    rolls_off: float

    def fastest_at(self, s: np.ndarray, natural: Natural) -> np.ndarray:
        """The speed that rolling off from rest at the top gives at places [m/s]."""
        return np.sqrt(2 * np.maximum(np.interp(s, natural.s, self.grown), 0.0) * np.exp(-self.loss * s))

    def start_for(self, s: np.ndarray, speed: np.ndarray, natural: Natural) -> np.ndarray:
        """Where to start from rest for a speed at places s [m]; NaN where even the top is too low."""
        wanted = np.interp(s, natural.s, self.grown) - 0.5 * speed * speed * np.exp(self.loss * s)
        return np.where(wanted >= 0, np.interp(wanted, self.grown, natural.s), np.nan)

    def stops_at(self, s: np.ndarray, speed: np.ndarray, natural: Natural, reaction: float) -> np.ndarray:
        """Where the brakes bring a bike to a stand that touches down at s [m] with a speed [m/s].

        Beyond the ground's end its last slope goes on; infinite where the brakes do not hold on it.
        """
        last = natural.s[-1]
        biting = s + speed * reaction
        # until the brakes bite the bike rolls on, faster down a slope
        fallen = natural.at(s)[1] - natural.at(biting)[1] - np.maximum(biting - last, 0.0) * np.sin(natural.slope[-1])
        energy = 0.5 * speed * speed + STANDARD_GRAVITY * (fallen - self.one.conditions.landing_rolling * (biting - s))
        slows = (self.braked[-1] - self.braked[-2]) / (last - natural.s[-2])
        past = np.maximum(biting - last, 0.0)
        lacking = np.interp(biting, natural.s, self.braked) + np.maximum(energy, 0.0) - self.braked[-1]
        beyond = last + past + np.maximum(lacking, 0.0) / slows if slows > _HOLDS else np.full(np.shape(s), np.inf)
        return np.where(lacking > 0, beyond, np.interp(lacking + self.braked[-1], self.braked, natural.s))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LaidOut:
    """A site with its defaults filled in, its ground, and its riders on it."""

    site: Site
    natural: Natural
    riders: tuple[RiderThere, ...]

    @property
    def half(self) -> float:
        """Half of the longest wheelbase [m]."""
        return 0.5 * max(there.one.rig.wheelbase for there in self.riders)


def filled_site(site: Site) -> Site:
    """The site with every default filled in, and one rider where none is named.

    Parameters
    ----------
    site : Site
        As given.

    Returns
    -------
    Site
        The same with defaults; what has none stays None.
    """
    riders = site.riders or (SiteRider(),)
    named = (replace(filled(one), name=one.name or f"rider {number}") for number, one in enumerate(riders, start=1))
    return replace(
        site,
        title=site.title or "untitled site",
        ground=filled(site.ground),
        wanted=filled(site.wanted),
        limits=replace(filled(site.limits), rollable=bool(site.limits.rollable)),
        riders=tuple(named),
    )


@lru_cache(maxsize=16)
def laid_out(site: Site) -> LaidOut:
    """A site made ready once.

    Parameters
    ----------
    site : Site
        As given.

    Returns
    -------
    LaidOut
        Its ground and riders.

    Raises
    ------
    InputError
        Where the ground is too short for any jump, a keep-out lies off it, or a landing would be no wider than a handlebar.
    """
    full = filled_site(site)
    if grip_of(full.ground) is None:
        needed = "no grip can be cited for it, so that nothing is known of stopping; give grip"
        raise InputError(f"{full.ground.surface}: {needed}", key="ground.surface")
    width, bar = full.wanted.landing_width, 2 * limits.HALF_A_BAR.value
    if width <= bar:
        needed = f"must be more than a handlebar, {bar:g} m (an assumption)"
        raise InputError(f"{width:.4g} m; {needed}", key="wanted.landing_width_m")
    ground = chain(through_stakes(full.ground.stakes, name="natural"))
    if ground.end < _SHORTEST:
        needed = f"a jump with its run-in and room to stop needs {_SHORTEST:g} m or more"
        raise InputError(f"{ground.end:.3g} m of ground; {needed}", key="ground.stakes_m")
    for number, keep in enumerate(full.keep_outs, start=1):
        if keep.begins >= ground.end:
            raise InputError(f"{keep.begins:.4g} m; the ground ends after {ground.end:.4g} m", key=f"keep_out[{number}].begins_m")
    s = np.linspace(0.0, ground.end, int(ground.end / _STEP) + 1)
    x, z = ground.point(s)
    natural = Natural(s=s, x=x, z=z, slope=ground.slope_at(s))
    return LaidOut(site=full, natural=natural, riders=tuple(_there(full, rider, ground, natural) for rider in full.riders))


def line_of(site: Site, rider: SiteRider, jump: Jump, *, run_in: RunIn, title: str) -> Line:
    """The line file of a jump on a site, ridden by one of its riders.

    Parameters
    ----------
    site : Site
        With its defaults filled in.
    rider : SiteRider
        Who rides.
    jump : Jump
        The jump.
    run_in : RunIn
        The ground before it.
    title : str
        What the line is called.

    Returns
    -------
    Line
        As a builder would measure it once it stands.
    """
    return Line(
        title=title,
        place=site.place,
        notes="Proposed by jumpcalc size, not built: measure it again once it stands.",
        rider=rider.body,
        bike=Bike(kind=rider.bike),
        air=site.air,
        run_in=run_in,
        jumps=(jump,),
        limits=Limits(equivalent_fall=_fall_limit(site, rider)),
    )


def _fall_limit(site: Site, rider: SiteRider) -> float:
    return BIKES[rider.bike].equivalent_fall if site.limits.equivalent_fall is None else site.limits.equivalent_fall


def _there(site: Site, rider: SiteRider, ground: Any, natural: Natural) -> RiderThere:
    """One rider on the site."""
    surface = site.ground.surface
    runout = Runout(surface=surface, grip=site.ground.grip)
    steep = max(0.3, float(natural.slope.max()) + 0.3)
    jump = Jump(lip=Lip(angle=steep, radius=5.0), landing=Landing(gap=3.0, angle=0.4, length=4.0), runout=runout)
    one = prepare(line_of(site, rider, jump, run_in=RunIn(surface=surface), title="")).jumps[0]
    roller = one.up_the_lip
    ridden = roll(ground, 0.0, 0.0, roller, end=ground.end, track=True)
    speed = np.nan_to_num(ridden.speed_at(natural.s)[0])
    loss = 2 * one.conditions.drag / (1 + one.rig.rotating_share)
    grown = np.maximum.accumulate(0.5 * speed * speed * np.exp(loss * natural.s))
    # strictly rising, so that a start can be looked up
    grown = grown + 1e-9 * np.arange(len(grown))
    slows = STANDARD_GRAVITY * (np.sin(natural.slope) + one.conditions.braking * np.cos(natural.slope))
    braked = np.maximum.accumulate(np.concatenate([[0.0], np.cumsum(0.5 * (slows[1:] + slows[:-1]) * np.diff(natural.s))]))
    braked = braked + 1e-9 * np.arange(len(braked))
    return RiderThere(
        rider=rider, one=one, loss=float(loss), grown=grown, braked=braked, fall_limit=_fall_limit(site, rider),
        rolls_off=_rolls_off(site, rider, runout) if site.wanted.shape == "drop" else 0.0,
    )  # fmt: skip


def _rolls_off(site: Site, rider: SiteRider, runout: Runout) -> float:
    """The speed at which the front of a bike dips as far as may be when the rear leaves a level edge [m/s]."""
    jump = Jump(shape="drop", lip=Lip(angle=0.0), landing=Landing(gap=3.0, drop=0.8, angle=0.4, length=4.0), runout=runout)
    one = prepare(line_of(site, rider, jump, run_in=RunIn(surface=site.ground.surface), title="")).jumps[0]
    dips = -curve_of(one).leaving(_EDGE_SPEEDS).pitch
    return float(np.interp(-limits.ASKS_FOR_CARRYING.value, -dips, _EDGE_SPEEDS))
