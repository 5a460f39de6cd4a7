"""Tries that cannot be of a line, and those that may be but are worth a second look, before they are written down."""

from __future__ import annotations

from jumpcalc.errors import InputError
from jumpcalc.plan.ask.run_in import run_in_of
from jumpcalc.plan.inputs.declare import declared, key_of
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.field.tries import Try, elsewhere
from jumpcalc.plan.terrain import prepare

__all__ = ["doubts"]

_TAPED = 0.3  # m by which a mark or a tyre's print may lie beyond what was measured


def doubts(line: Line, one: Try, *, today: str | None = None) -> tuple[str, ...]:
    """What of a try is hard to believe on a line.

    Parameters
    ----------
    line : Line
        As measured.
    one : Try
        A try on its first jump.
    today : str, optional
        The day it is, year first.

    Returns
    -------
    tuple of str
        What may be so but is worth a second look; nothing of a try that was ridden on other ground.

    Raises
    ------
    InputError
        Where it cannot be: an outcome that the taped place speaks against, or a place beyond all ground that was measured.
    """
    if elsewhere(line.fingerprint, [one]):
        return ()
    prepared = prepare(line)
    told = [*_landed(line, one, prepared.jumps[0].rig.wheelbase)]
    ridden = run_in_of(prepared)
    if ridden is not None and one.start_mark is not None and one.start_mark > ridden.foot + _TAPED:
        told.append(
            f"{_key('start_mark')}: {one.start_mark:.4g} m before the foot, but the run-in was measured over {ridden.foot:.4g} m: "
            "nothing is learned from this try unless the run-in is measured further up"
        )
    if today is not None and one.date > today:
        told.append(f"{_key('date')}: {one.date} has not come yet by this machine's clock, which shows {today}")
    return tuple(told)


def _landed(line: Line, one: Try, wheelbase: float) -> list[str]:
    """What is hard to believe of where it touched."""
    if one.touched is None:
        return []
    jump, key = line.jumps[0], _key("touched")
    length = jump.landing.length
    face = "" if length is None else f"; the landing is {length:.4g} m long"
    # the rear wheel's place: a bike that hangs on the top edge has its front wheel a wheelbase further
    cannot = {
        "short": one.touched > wheelbase,
        "clean": one.touched < -_TAPED or (length is not None and one.touched > length + _TAPED),
        "long": length is not None and one.touched < length - wheelbase - _TAPED,
    }
    if one.outcome is not None and cannot[one.outcome]:
        raise InputError(f"{one.touched:.4g} m, and outcome={one.outcome}: both cannot be{face}", key=key)
    if length is None or one.touched <= length + _TAPED:
        return []
    pieces = jump.runout.pieces
    if len(line.jumps) == 1 and pieces is not None and all(piece.length is not None for piece in pieces):
        room = length + sum(piece.length for piece in pieces)
        if one.touched > room + _TAPED:
            raise InputError(f"{one.touched:.4g} m; landing and runout were measured over {room:.4g} m: no bike comes down beyond", key=key)
    return [f"{key}: {one.touched:.4g} m is beyond the end of the landing, which is {length:.4g} m long"]


def _key(name: str) -> str:
    return key_of(name, declared(Try)[name])
