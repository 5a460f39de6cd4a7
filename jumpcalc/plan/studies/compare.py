"""Two lines side by side: what changed in the measurements, and what that does to every answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from jumpcalc.plan.answer import Answer, JumpAnswer
from jumpcalc.plan.inputs.declare import Input, declared, given, key_of
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.solve import solve

__all__ = ["ChangedInput", "Comparison", "Pair", "compare"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangedInput:
    """An input that differs: key path, its declaration, and both values in SI; None where not there."""

    path: str
    declaration: Input
    old: Any
    new: Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """One quantity of both answers, in SI; None is what does not apply. `kind` is a kind of quantity."""

    name: str
    kind: str
    old: float | bool | None
    new: float | bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Both answers, the inputs that differ, and for each jump that both have its quantities side by side.

    `rebuilt` says whether the ground of the line changed, so that old start marks and cards no longer
    apply.
    """

    old: Answer
    new: Answer
    changed: tuple[ChangedInput, ...]
    jumps: tuple[tuple[Pair, ...], ...]
    rebuilt: bool


def compare(old: Line, new: Line) -> Comparison:
    """Two lines side by side.

    Parameters
    ----------
    old, new : Line
        As measured.

    Returns
    -------
    Comparison
        Both answers and what differs.

    Raises
    ------
    InputError
        Where the inputs of one of them contradict each other.
    """
    first, second = solve(old), solve(new)
    values = [{path: (declaration, value) for path, declaration, value in given(a.complete)} for a in (first, second)]
    changed = []
    for path in dict.fromkeys([*values[0], *values[1]]):
        declaration = (values[0].get(path) or values[1].get(path))[0]
        before, after = (v[path][1] if path in v else None for v in values)
        if before != after and path not in ("title", "notes", "measured_on", "measured_by", "place"):
            changed += _in_parts(ChangedInput(path=path, declaration=declaration, old=before, new=after))
    return Comparison(
        old=first,
        new=second,
        changed=tuple(changed),
        jumps=tuple(
            tuple(Pair(name=a.name, kind=a.kind, old=a.old, new=b.old) for a, b in zip(p, q, strict=True))
            for p, q in zip(map(_quantities, first.jumps), map(_quantities, second.jumps), strict=False)
        ),
        rebuilt=first.fingerprint != second.fingerprint,
    )


def _in_parts(one: ChangedInput) -> list[ChangedInput]:
    """A change of ground in as many pieces as before, piece by piece from 1; any other as it is."""
    if one.declaration.kind != "pieces" or None in (one.old, one.new) or len(one.old) != len(one.new):
        return [one]
    found = []
    for number, (before, after) in enumerate(zip(one.old, one.new, strict=True), start=1):
        for name, declaration in declared(type(before)).items():
            old, new = getattr(before, name), getattr(after, name)
            if old != new:
                path = f"{one.path}[{number}].{key_of(name, declaration)}"
                found.append(ChangedInput(path=path, declaration=declaration, old=old, new=new))
    return found


def _quantities(jump: JumpAnswer) -> list[Pair]:
    """What a rider or builder would put side by side, as pairs that still hold one side only."""
    run_in, stop, abort, landings = jump.run_in, jump.stop, jump.abort, jump.landings
    speeds, foot = jump.window.speeds, jump.window.foot
    if jump.no_ride is not None:
        run_in, stop, abort, landings, speeds, foot = None, None, None, (), None, None
    aim = landings[1] if landings else None
    fastest = landings[2] if landings else None
    marks = run_in.marks if run_in else (None, None, None)
    rows: list[tuple[str, str, Any]] = [
        ("before the lip, slowest clean", "speed", foot and foot.min),
        ("before the lip, aim", "speed", foot and foot.aim),
        ("before the lip, fastest clean", "speed", foot and foot.max),
        ("at the edge, slowest clean", "speed", speeds and speeds.min),
        ("at the edge, aim", "speed", speeds and speeds.aim),
        ("at the edge, fastest clean", "speed", speeds and speeds.max),
        ("room slower than the aim", "speed", speeds and speeds.aim - speeds.min),
        ("room faster than the aim", "speed", speeds and speeds.max - speeds.aim),
        ("hits at the aim as a drop of", "length", aim and aim.equivalent_fall),
        ("hits at the fastest as a drop of", "length", fastest and fastest.equivalent_fall),
        ("from the start mark the edge is left at", "speed", run_in and run_in.lip_speed),
        ("start mark for the slowest clean", "length", marks[0]),
        ("start mark for the aim", "length", marks[1]),
        ("start mark for the fastest clean", "length", marks[2]),
        ("pedal strokes for the aim", "count", run_in and run_in.strokes and run_in.strokes.works),
        ("last place to stop before the lip", "length", abort and abort.last),
        ("stopping after the landing takes", "length", stop and stop.total),
        ("room to stop to spare", "length", stop and stop.margin),
        ("can be rolled", "flag", jump.rollable.yes),
    ]
    return [Pair(name=name, kind=kind, old=value, new=None) for name, kind, value in rows]
