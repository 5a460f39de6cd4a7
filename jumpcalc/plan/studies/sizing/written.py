"""A rated jump as line files, and what of its answer a site's limits are held against."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import accumulate

import numpy as np

from jumpcalc.physics.ground import Arc, Straight
from jumpcalc.plan.answer import JumpAlone, Speeds
from jumpcalc.plan.inputs.assume import ground_pieces
from jumpcalc.plan.inputs.dug import Jump, Landing, Lip, RunIn, Runout
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.rider import Skill
from jumpcalc.plan.studies.sizing.ground import LaidOut, line_of
from jumpcalc.plan.studies.sizing.lay import EXIT_RADIUS
from jumpcalc.plan.studies.sizing.rate import REACTION, Rated

__all__ = ["clean", "jump_lines", "tightest"]

_APART = 3.0  # m, stakes of the natural ground nearer to what is built are left out
_CURVE_STAKES = 0.5  # m, between stakes on the curve of a deck
_DECK = 6.0  # m, as much of a run-in as a deck may take


def jump_lines(laid: LaidOut, jumps: Rated, row: int) -> tuple[Line, ...]:
    """A rated jump as line files, one for each rider of the site.

    Parameters
    ----------
    laid : LaidOut
        The site.
    jumps : Rated
        Several.
    row : int
        Which.

    Returns
    -------
    tuple of Line
        Measures in centimetres and whole degrees, the ground before and after through the site's own stakes.
    """
    site, natural = laid.site, laid.natural
    place, gap, angle, radius, straight, drop, fall = (float(v) for v in jumps.jumps.array[row])
    end = float(jumps.landing_s[row])
    along = [s for s, _ in site.ground.stakes]
    before = [*(s for s in along if s < place - _APART), place]
    after = [end, *(s for s in along if s > end + _APART)]
    if after[-1] < natural.s[-1] - 1e-6:
        after.append(float(natural.s[-1]))

    def staked(places: list[float]) -> tuple[tuple[float, float], ...]:
        """The ground as it lies from the first of some places on."""
        heights = natural.at(np.array(places))[1]
        pairs = [(round(s - places[0], 2), round(float(heights[0] - z), 3)) for s, z in zip(places, heights, strict=True)]
        return ((0.0, 0.0), *pairs[1:])

    degree = math.radians(1.0)
    edge = round(angle / degree) * degree
    run_in, lip = staked([0.0, *before[1:]]), Lip(angle=edge, width=site.wanted.lip_width)
    if site.wanted.shape == "drop":
        # closer stakes, so that the batten bends on the deck and not before it
        run_in = staked([0.0, *before[1:-1], *(place - far for far in (2.0, 1.0)), place])
        run_in += _deck(run_in[-1], float(natural.at(np.array(place))[2]), edge, radius, straight)
    else:
        lip = replace(lip, radius=round(radius, 2), straight=round(straight, 2))
    jump = Jump(
        name=site.wanted.shape,
        shape=site.wanted.shape,
        lip=lip,
        landing=Landing(
            gap=round(gap, 2), drop=round(drop, 2), angle=round(fall / degree) * degree, length=round(float(jumps.face[row]), 2),
            exit_radius=EXIT_RADIUS, width=site.wanted.landing_width,
        ),
        runout=Runout(surface=site.ground.surface, grip=site.ground.grip, stakes=staked(after), reaction=REACTION),
        way_round=site.limits.way_round,
        side_clear=site.ground.side_clear,
    )  # fmt: skip
    approach = RunIn(surface=site.ground.surface, grip=site.ground.grip, stakes=run_in)
    return tuple(
        replace(line_of(site, rider, jump, run_in=approach, title=site.title), skill=Skill(speed_sd=rider.speed_sd))
        for rider in site.riders
    )


def _deck(foot: tuple[float, float], slope: float, angle: float, radius: float, straight: float) -> tuple[tuple[float, float], ...]:
    """Stakes on the deck of a drop, from its foot at a stake on the ground as it lies to its edge."""
    s, fall = foot
    length = radius * (angle - slope)
    curve = length * np.linspace(0.0, 1.0, max(int(length / _CURVE_STAKES), 1) + 1) if length >= 0.1 else np.zeros(1)
    turned = slope + curve / radius
    heights = radius * (np.cos(slope) - np.cos(turned))
    level = straight * np.linspace(0.0, 1.0, max(int(straight / _CURVE_STAKES), 2) + 1)[1:]
    along = np.concatenate([curve[1:], curve[-1] + level])
    rises = np.concatenate([heights[1:], heights[-1] + level * math.sin(angle)])
    return tuple((round(s + float(a), 2), round(fall - float(rise), 3)) for a, rise in zip(along, rises, strict=True))


def clean(jump: JumpAlone) -> Speeds | None:
    """Speeds that land clean where they are checked, of a drop those for who rolls off it and who carries the front alike.

    Parameters
    ----------
    jump : JumpAlone
        The answer for one jump.

    Returns
    -------
    Speeds or None
        None where there are none.
    """
    if jump.shape != "drop" or jump.window.speeds is None:
        return jump.window.foot
    return None if jump.sure is None else Speeds(min=jump.sure[0], aim=jump.window.speeds.aim, max=jump.sure[1])


def tightest(line: Line) -> float:
    """Radius of the tightest curve that turns up on the last of a run-in, where the deck of a drop is.

    Parameters
    ----------
    line : Line
        With its run-in.

    Returns
    -------
    float
        Radius [m]; infinite where none does.
    """
    left, found = _DECK, math.inf
    pieces = ground_pieces(line.run_in, "run-in")
    slopes = list(accumulate(pieces, lambda at, piece: piece.slope if isinstance(piece, Straight) else piece.to_slope, initial=0.0))
    for piece, before in zip(reversed(pieces), reversed(slopes[:-1]), strict=True):
        if isinstance(piece, Arc):
            left -= piece.radius * abs(piece.to_slope - before)
            if piece.to_slope > before:
                found = min(found, piece.radius)
        else:
            left -= piece.length
        if left < 0:
            break
    return found
