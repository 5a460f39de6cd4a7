"""What the tape does, in words: how much each measured thing's own error moves the clean speeds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from jumpcalc.plan import limits
from jumpcalc.show.words.said import Words, said

if TYPE_CHECKING:
    from jumpcalc.plan.studies.measures import Measure, Measures

__all__ = ["HEAD", "in_short", "rows"]

HEAD = ("measured", "to within", "moves the aim", "the slowest", "the fastest")
"""Heads of the table."""

_HARDLY = 0.0224  # m/s, reads as nothing in either reader's unit

_NAMES = {
    "lip.angle": "the lip's angle",
    "lip.radius": "the lip's radius",
    "lip.height": "the lip's height",
    "lip.straight": "the straight before the edge",
    "landing.gap": "the gap",
    "landing.drop": "the height between edge and knuckle",
    "landing.angle": "the landing's angle",
    "landing.length": "the landing's length",
    "foot": "the slope before the lip",
}


def rows(found: Measures, *, drop: bool) -> list[list[Words]]:
    """The table: each thing measured, what moves the aim most first, and all together.

    Parameters
    ----------
    found : Measures
        Of one jump.
    drop : bool
        Whether that is a drop, which has no lip.

    Returns
    -------
    list of list of str or Said
        Cells of each row, in the order of `HEAD`.
    """
    each = [[_name(one, drop=drop), _error(one), *map(_by, (one.aim, one.slowest, one.fastest))] for one in found.each]
    return [*each, ["all of them", "", *map(_by, (found.aim, found.slowest, found.fastest))]]


def in_short(found: Measures, *, drop: bool) -> list[Words]:
    """How good the aim is, what matters most, and what that rests on.

    Parameters
    ----------
    found : Measures
        Of one jump.
    drop : bool
        Whether that is a drop, which has no lip.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    most = _name(found.each[0], drop=drop)
    if found.aim is None:
        lost = "Measured this well it is not sure that any speed lands clean: an error of {error} in {most} alone may leave none."
        short = said(lost, error=_error(found.each[0]), most=most)
    else:
        short = said("Measured this well, the aim is good to ± {aim:speed}; {most} matters most.", aim=found.aim, most=most)
    return [
        short,
        said(
            "Taken: tape {tape:height} or {share:share}, whichever is more, a level or a phone on a board {board:angle}, a template "
            "{radius:share} (common practice, no source). Rider, wind and dirt are not in it.",
            tape=limits.TAPE.value, share=limits.TAPE_SHARE.value, board=limits.BOARD.value, radius=limits.TEMPLATE.value,
        ),
    ]  # fmt: skip


def _name(one: Measure, *, drop: bool) -> str:
    return "the slope before the edge" if drop and one.name == "lip.angle" else _NAMES[one.name]


def _error(one: Measure) -> Words:
    return said("± {error:angle}" if one.kind == "angle" else "± {error:height}", error=one.error)


def _by(move: float | None) -> Words:
    if move is None:
        return "no window left"
    return "hardly" if move < _HARDLY else said("± {move:speed}", move=move)
