"""A jump that is proposed for a site, from the side, with the ground as it lies."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from jumpcalc.plan.inputs.site import Site
from jumpcalc.plan.studies.sizing.ground import laid_out
from jumpcalc.plan.studies.sizing.propose import Proposal
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.views.side import SPACING, SideView, Stretch, floats, side_view

__all__ = ["proposed_view"]

_AROUND = 4.0  # m


def proposed_view(site: Site, one: Proposal) -> SideView:
    """A proposal from the side, ridden by the first rider.

    Parameters
    ----------
    site : Site
        For which it is proposed.
    one : Proposal
        The jump.

    Returns
    -------
    SideView
        Ground as built, paths, and the ground as it lies.
    """
    natural, terrain = laid_out(site).natural, prepare(one.line).jumps[0].terrain
    count = int((one.ends - one.place + 2 * _AROUND) / SPACING)
    x, z, _ = natural.at(np.linspace(max(one.place - _AROUND, 0.0), min(one.ends + _AROUND, natural.s[-1]), count))
    # the curve of the landing ends on the ground as it lies
    there_x, there_z, _ = natural.at(np.array(one.ends))
    end_x, end_z = terrain.ground.point(np.array(terrain.runout_start))
    there = Stretch(name="natural", x=floats(x - there_x + end_x), z=floats(z - there_z + end_z))
    return replace(side_view(one.answers[0], 0), natural=there)
