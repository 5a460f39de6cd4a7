"""The same lip and landing with smaller and larger gaps: what a builder compares before digging."""

from __future__ import annotations

from dataclasses import dataclass

from jumpcalc.errors import InputError
from jumpcalc.plan.answer import Answer, JumpAlone, RunInAnswer, Speeds
from jumpcalc.plan.solve import solve, solve_jumps
from jumpcalc.plan.vary import vary

__all__ = ["Size", "next_foot", "sizes"]

_STEP = 0.5  # m between the gaps
_AROUND = (-2, -1, 0, 1, 2)
_LEAST = 0.5  # m


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """One gap [m] and what it asks for.

    `speeds` are the clean speeds [m/s] just before the lip, at the edge for a drop; None where none lands clean.
    `start` is the aim's start mark [m before the foot]; None where the run-in is not measured, where `missing`
    says by how much lip speed [m/s] it is too short, and where every start is too fast. `spare` is the room to stop that is left [m],
    None also before another jump, where nobody stops. `no_ride`: no speed to ride is given, and so none here.
    """

    gap: float
    speeds: Speeds | None
    start: float | None
    missing: float | None
    spare: float | None
    no_ride: bool


def sizes(answer: Answer, index: int) -> tuple[Size, ...]:
    """A jump with gaps up to a metre smaller and larger, all else as it is.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    index : int
        Which jump, from 0.

    Returns
    -------
    tuple of Size
        In order, the jump as it is among them; gaps that cannot be are left out.
    """
    line = answer.line
    jump = line.jumps[index]
    found = []
    for steps in _AROUND:
        gap = jump.landing.gap + steps * _STEP
        if gap < min(_LEAST, jump.landing.gap):
            continue
        try:
            changed = vary(line, {f"jump[{index + 1}].landing.gap_m": gap})
            first = solve(changed).jumps[0] if index == 0 else None
            found.append(_size(gap, first or solve_jumps(changed).jumps[index], None if first is None else first.run_in))
        except InputError:
            continue
    return tuple(found)


def _size(gap: float, jump: JumpAlone, run_in: RunInAnswer | None) -> Size:
    """What an answer says of one gap; the run-in is that of a first jump."""
    speeds = jump.window.speeds if jump.shape == "drop" else jump.window.foot
    if speeds is None or jump.no_ride is not None:
        speeds = run_in = None
    return Size(
        gap=gap,
        speeds=speeds,
        start=None if run_in is None else run_in.mark,
        missing=None if run_in is None else run_in.missing,
        spare=None if jump.stop is None or jump.way_out is not None else jump.stop.margin,
        no_ride=jump.no_ride is not None,
    )


def next_foot(answer: Answer, index: int) -> float | None:
    """How far from the end of the landing the next feature's foot must lie for one who stops before it rather than jumps it.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    index : int
        Which jump, from 0.

    Returns
    -------
    float or None
        Distance along the ground [m] from the end of the face to the front wheel of a bike that has stopped
        from the fastest clean landing, not less than 0; None where stopping is not known.
    """
    jump, line = answer.jumps[index], answer.complete
    if jump.stop is None or jump.stop.total is None:
        return None
    stands = jump.landings[-1].along_face + jump.stop.total + line.bike.wheelbase / 2
    return max(0.0, stands - line.jumps[index].landing.length)
