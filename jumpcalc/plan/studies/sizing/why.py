"""Why nothing fits a site: which limit stands in the way, by how much, and the smallest change of the site that would help."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.plan.ask.today import NOT_TODAY, of_the_day
from jumpcalc.plan.inputs.site import Site
from jumpcalc.plan.notes import Note
from jumpcalc.plan.solve import solve_jumps
from jumpcalc.plan.studies.sizing.ground import LaidOut, laid_out
from jumpcalc.plan.studies.sizing.lay import Candidates
from jumpcalc.plan.studies.sizing.propose import proposal
from jumpcalc.plan.studies.sizing.rate import KEPT, rated
from jumpcalc.plan.studies.sizing.search import Found, exceeding
from jumpcalc.plan.studies.sizing.written import jump_lines

__all__ = ["Forbids", "forbids", "not_today"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Forbids:
    """What stands in the way where nothing fits.

    `limit` is a name of `KEPT`, `by` how much the nearest jump exceeds it; `alone` says whether it is the only one. `cure`
    names what of the site was changed and to how much, and `found` the gap of a jump that then was confirmed; None where
    none was. `today` is what makes the day, or the ground, none to ride on at all, whatever is built; then it alone is told and
    `limit` is ``"today"``.
    """

    limit: str
    by: float
    others: tuple[tuple[str, float], ...]
    cure: tuple[str, float] | None
    found: float | None
    today: Note | None = None


def not_today(site: Site) -> Forbids | None:
    """What makes a site none to ride on, whatever is built; it needs no search.

    Parameters
    ----------
    site : Site
        As given or with its defaults filled in.

    Returns
    -------
    Forbids or None
        None where nothing is known against it.
    """
    notes = of_the_day(site.ground.surface, site.air.crosswind or 0.0)
    return _today(notes[0]) if notes else None


def _today(note: Note) -> Forbids:
    return Forbids(limit="today", by=0.0, others=(), cure=None, found=None, today=note)


def forbids(laid: LaidOut, found: Found) -> Forbids | None:
    """Which limit stands in the way where nothing fits, by how much, and the smallest change of the site that would help.

    Parameters
    ----------
    laid : LaidOut
        The site.
    found : Found
        From `search`, with no jump that keeps every limit.

    Returns
    -------
    Forbids or None
        None where no jump that can be built on this ground has a window at all.
    """
    today = _said_today(laid, found)
    if today is not None:
        return _today(today)
    nearest = found.nearest
    if not len(nearest.jumps):
        return None
    row = int(np.argmin(exceeding(nearest)))
    over = {name: float(nearest.over[name][row]) for name in KEPT if nearest.over[name][row] > 0}
    first, *others = sorted(over, key=lambda name: -over[name] / KEPT[name])
    cure, gap = None, None
    for times in (1.1, 1.5, 2.0):
        changed, told = _relaxed(laid.site, {name: times * amount for name, amount in over.items()}, first)
        if changed is None:
            break
        there = laid_out(changed)
        again = rated(there, Candidates.of(nearest.jumps.array[:16]))
        for candidate in np.nonzero(again.fits)[0]:
            if proposal(there, again, int(candidate)) is not None:
                cure, gap = told, float(again.jumps.gap[candidate])
                break
        if cure is not None:
            break
    return Forbids(limit=first, by=over[first], others=tuple((name, over[name]) for name in others), cure=cure, found=gap)


def _said_today(laid: LaidOut, found: Found) -> Note | None:
    """What the full answer to the first of the jumps says of the day; None where it says nothing, or there is no jump to ask of."""
    for some in (found.front, found.nearest):
        for line in jump_lines(laid, some, 0) if len(some.jumps) else ():
            no_ride = solve_jumps(line).jumps[0].no_ride
            if no_ride is not None and no_ride.code in NOT_TODAY:
                return no_ride
    return None


def _relaxed(site: Site, over: dict[str, float], first: str) -> tuple[Site | None, tuple[str, float] | None]:
    """The site with as much more of what is lacking, and what the first of it becomes; None where the site cannot be changed so."""
    limits_, ground, riders, told = site.limits, site.ground, site.riders, {}
    for name, amount in over.items():
        if name == "height":
            limits_ = replace(limits_, height=limits_.height + amount)
            told[name] = limits_.height
        elif name == "lip load":
            limits_ = replace(limits_, lip_load=min(limits_.lip_load + amount, 8.0))
            told[name] = limits_.lip_load
        elif name in ("short", "long"):
            limits_ = replace(limits_, **{name: min(getattr(limits_, name) + amount, 0.5)})
            told[name] = getattr(limits_, name)
        elif name == "fall zone":
            ground = replace(ground, side_clear=ground.side_clear + amount)
            told[name] = ground.side_clear
        elif name == "room":
            stakes = ground.stakes
            (s0, f0), (s1, f1) = stakes[-2:]
            ground = replace(ground, stakes=(*stakes, (round(s1 + amount, 1), round(f1 + amount * (f1 - f0) / (s1 - s0), 3))))
            told[name] = amount
        elif name == "speed":
            riders = tuple(replace(rider, fastest=rider.fastest + amount) for rider in riders)
            told[name] = amount
        else:
            return None, None
    return replace(site, limits=limits_, ground=ground, riders=riders), (first, told[first])
