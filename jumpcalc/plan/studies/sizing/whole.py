"""All that is asked of a site, one step after the other: a search, proposals, what else shows the trade, or why nothing fits."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from jumpcalc.plan.inputs.site import Site
from jumpcalc.plan.studies.sizing.ground import laid_out
from jumpcalc.plan.studies.sizing.propose import Proposal, proposals, trade
from jumpcalc.plan.studies.sizing.search import Found, search
from jumpcalc.plan.studies.sizing.why import Forbids, forbids, not_today

__all__ = ["Sized", "sized"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sized:
    """What is known so far.

    `site` has its defaults filled in; `found` is None where there was no need of a search; `made` are proposals from small to large,
    `others` further jumps that show the trade, `none` why nothing fits. `stopped` says whether it was stopped before its end, `done`
    whether nothing follows.
    """

    site: Site
    found: Found | None = None
    made: tuple[Proposal, ...] = ()
    others: tuple[Proposal, ...] = ()
    none: Forbids | None = None
    stopped: bool = False
    done: bool = False


def sized(site: Site, rng: np.random.Generator, *, stop: Callable[[], bool] = lambda: False) -> Iterator[Sized]:
    """What fits a site, a little more each time.

    Parameters
    ----------
    site : Site
        As given.
    rng : numpy.random.Generator
        Draws the jumps that are tried.
    stop : callable
        Asked between two steps: whether what there is shall do. Of what was found by then, proposals are still confirmed.

    Yields
    ------
    Sized
        The last one is `done`.

    Raises
    ------
    InputError
        Where the ground is too short for any jump, or inputs contradict each other.
    """
    laid = laid_out(site)
    now = Sized(site=laid.site, none=not_today(laid.site))
    if now.none is not None:
        yield replace(now, done=True)
        return
    for found in search(laid, rng):
        now = replace(now, found=found, stopped=stop())
        yield now
        if now.stopped:
            break
    for one in proposals(laid, now.found):
        now = replace(now, made=(*now.made, one))
        yield now
    now = replace(now, stopped=now.stopped or stop())
    if now.stopped:
        yield replace(now, done=True)
        return
    for one in trade(laid, now.found, now.made):
        now = replace(now, others=(*now.others, one))
        yield now
        if stop():
            yield replace(now, stopped=True, done=True)
            return
    yield replace(now, none=None if now.made else forbids(laid, now.found), done=True)
