"""Answer -> Measures: how much the error of each thing measured moves the aim and the window."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from jumpcalc.errors import InputError
from jumpcalc.plan import limits
from jumpcalc.plan.answer import Jumps, Speeds
from jumpcalc.plan.ask.clean import clean_speeds
from jumpcalc.plan.inputs.dug import Piece
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import vary

__all__ = ["Measure", "Measures", "measures"]

_MEASURED = (
    ("lip", "angle"), ("lip", "radius"), ("lip", "height"), ("lip", "straight"),
    ("landing", "gap"), ("landing", "drop"), ("landing", "angle"), ("landing", "length"),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """One thing measured: how far off it may be, and how far that moves the clean speeds either way [m/s].

    `name` is table and field, such as ``"lip.angle"``, or ``"foot"``, the slope there; `error` in SI, of the kind `kind`. The
    speeds are those before the lip, of a drop those at the edge; all three are None where with that error no speed lands clean.
    """

    name: str
    error: float
    kind: str
    slowest: float | None
    aim: float | None
    fastest: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Measures:
    """What the tape does to one jump: each thing measured, what moves the aim most first, and all of them together [m/s].

    `slowest`, `aim` and `fastest` are None where one error alone may leave no window.
    """

    each: tuple[Measure, ...]
    slowest: float | None
    aim: float | None
    fastest: float | None


def measures(answer: Jumps, index: int) -> Measures | None:
    """How much the error of each thing measured moves the aim and the window of a jump.

    Parameters
    ----------
    answer : Jumps
        What `solve` gave.
    index : int
        Which jump, from 0.

    Returns
    -------
    Measures or None
        None where no speed lands clean, or nothing was measured.

    Notes
    -----
    Each is made larger and smaller by its error, the others left as they are, and the window looked for again; the larger
    of the two moves counts. Errors are independent: together they are the root of the sum of squares (JCGM 100:2008, eq. 10).
    That is two windows for each, which takes some tenths of a second.
    """
    now = _seen(answer.line, index)
    if now is None:
        return None
    each = []
    for name, error, kind, tries in _errors(answer, index):
        found = []
        for changes in tries:
            try:
                found.append(_seen(vary(answer.line, changes), index))
            except InputError:  # smaller than may be: only the other way is possible
                continue
        if found:
            each.append(Measure(name=name, error=error, kind=kind, **_moves(now, found)))
    if not each:
        return None
    each.sort(key=lambda one: math.inf if one.aim is None else one.aim, reverse=True)
    return Measures(each=tuple(each), **{end: _together([getattr(one, end) for one in each]) for end in ("slowest", "aim", "fastest")})


def _seen(line: Line, index: int) -> Speeds | None:
    """Clean speeds where they are checked."""
    one = prepare(line).jumps[index]
    window = clean_speeds(one).window
    return window.speeds if one.terrain.shape == "drop" else window.foot


def _moves(now: Speeds, found: list[Speeds | None]) -> dict[str, float | None]:
    """How far each of the three speeds moves at most."""
    if None in found:
        return {"slowest": None, "aim": None, "fastest": None}
    names = (("slowest", "min"), ("aim", "aim"), ("fastest", "max"))
    return {name: max(abs(getattr(other, of) - getattr(now, of)) for other in found) for name, of in names}


def _together(moves: list[float | None]) -> float | None:
    """Independent moves as one."""
    return None if None in moves else math.hypot(*moves)


def _errors(answer: Jumps, index: int) -> Iterator[tuple[str, float, str, list[dict[str, Any]]]]:
    """What was measured of a jump, how far off that may be, its kind, and the changes that make it larger and smaller."""
    line, path = answer.line, f"jump[{index + 1}]"
    jump = line.jumps[index]
    for of, name in _MEASURED:
        value = getattr(getattr(jump, of), name)
        if value is None:
            continue
        kind, key, scale, error = "length", f"{path}.{of}.{name}_m", 1.0, max(limits.TAPE.value, limits.TAPE_SHARE.value * abs(value))
        if name == "angle":
            kind, key, scale, error = "angle", f"{path}.{of}.{name}_deg", math.degrees(1), limits.BOARD.value
        elif name == "radius":
            error = limits.TEMPLATE.value * value
        yield f"{of}.{name}", error, kind, [{key: (value + sign * error) * scale} for sign in (1, -1)]
    before, key = (line.run_in, "run_in.pieces") if index == 0 else (line.jumps[index - 1].runout, f"jump[{index}].runout.pieces")
    if before.pieces and jump.shape != "drop":
        error = answer.complete.run_in.slope_accuracy if index == 0 else limits.BOARD.value
        yield "foot", error, "angle", [{key: _tilted(before.pieces, sign * error)} for sign in (1, -1)]


def _tilted(pieces: tuple[Piece, ...], by: float) -> tuple[Piece, ...]:
    """Ground whose last slope, that at the foot of the lip, is another."""
    last = pieces[-1]
    name = "slope" if last.slope is not None else "to_slope"
    return (*pieces[:-1], replace(last, **{name: getattr(last, name) + by}))
