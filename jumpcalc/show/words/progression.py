"""Words for a line in steps, small to large: what a step is, one table for each jump, and which step cannot be had."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from jumpcalc.plan.answer import JumpAnswer
from jumpcalc.plan.inputs.dug import Jump
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.progression import Cannot, Step
from jumpcalc.show.words import text
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.jump import known_first
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.rideable import why
from jumpcalc.show.words.said import Most, Words, joined, said

__all__ = ["EFFORT", "as_dict", "file_name", "held", "report", "rows", "why_not"]

_NONE = "–"

EFFORT = (
    "Effort is the speed at the edge at the aim: with lip angle and fall of the landing held, the time in the air grows with it, so that "
    "equal steps of speed are equal steps of air time. Equal steps of gap would be largest at the small end."
)
"""What is equal from step to step."""

_DROP = (
    "A drop has no table before it: nothing lies between its edge and its landing that could be filled. What can be ridden first is the "
    "step before."
)
_DIRT = said(
    "Dirt is compacted and counted above a straight line from the foot of the lip to the start of the runout, since a line file does not "
    "say what lay there before; widths that are not measured are {lip:length} of lip and {landing:length} of landing, sides battered one "
    "to one.",
    lip=1.5, landing=2.0,
)  # fmt: skip


def held(line: Line) -> list[Words]:
    """What stays the same from step to step.

    Parameters
    ----------
    line : Line
        The line itself.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    drops = [jump for jump in line.jumps if jump.shape == "drop"]
    told: list[Words] = [EFFORT]
    if len(drops) < len(line.jumps):
        told.append(
            said(
                "Held are lip angle and straight, fall of the landing and the curve out of it, the run-in. The lip's curve is tighter "
                "where it is slower: as far as the load at the aim stays that of the line, a stiff rider's wheels stay on it, and it keeps "
                "{radius:length}, or the radius of the line where that is less. Tolerance is no smaller than the line's own, the hit at "
                "the aim no harder by more than {harder:level}. The knuckle is lower or higher in proportion to the gap.",
                radius=2.5, harder=0.05,
            )
        )  # fmt: skip
    else:
        told.append(
            said(
                "Held are the edge, fall of the landing and the curve out of it, the run-in. Tolerance is no smaller than the line's own, "
                "the hit at the aim no harder by more than {harder:level}. The landing is lower in proportion to the gap.",
                harder=0.05,
            )
        )
    if drops:
        told.append(_DROP)
    if len(line.jumps) > 1:
        told.append(
            "The ground between two jumps is one even slope in each step but the last, laid so that all who land the first one well, "
            "whatever they do at its lip, come clean to the next, with as much to spare on either side."
        )
    return told


def file_name(step: Step) -> str:
    """What the line file of a step is called.

    Parameters
    ----------
    step : Step
        One.

    Returns
    -------
    str
        Such as ``"step_1_table.toml"``.
    """
    return f"step_{step.number}{'_table' if step.tables else ''}.toml"


_HEAD: list[Words] = [
    "step", "start", "at the edge", "more", "before the lip", "±", "in the air", "hit", "gap", "lip high", "landing", "dirt",
]  # fmt: skip


def rows(steps: Sequence[Step], index: int) -> list[list[Words]]:
    """One row for each step of one jump.

    Parameters
    ----------
    steps : sequence of Step
        Small to large.
    index : int
        Which jump, from 0.

    Returns
    -------
    list of list of str or Said
        The head, then cells.
    """
    made = [_HEAD]
    for number, step in enumerate(steps):
        jump, built = step.answer.jumps[index], step.line.jumps[index]
        after = steps[number + 1] if number + 1 < len(steps) else None
        if after is not None and after.number == step.number and after.answer.jumps[index].shape == jump.shape:
            continue  # a table in either of them: once is enough
        before = next((one for one in reversed(steps[:number]) if one.number < step.number), None)
        made.append(_row(step, jump, built, None if before is None else before.answer.jumps[index], index))
    return made


def _row(step: Step, jump: JumpAnswer, built: Jump, before: JumpAnswer | None, index: int) -> list[Words]:
    aim, edge, foot = jump.landings[1], jump.window.speeds.aim, jump.window.foot
    more = _NONE if before is None else said("{by:speed bare signed}", by=edge - before.window.speeds.aim)
    volume = step.dirt[index]
    return [
        said("{number:count} {shape}", number=step.number, shape={"tabletop": "table"}.get(jump.shape, jump.shape)),
        said("{mark:length}", mark=step.marks.mark) if index == 0 else _NONE,
        said("{edge:speed}", edge=edge), more,
        _NONE if jump.shape == "drop" else said("{foot:speed}", foot=foot.aim),
        said("{by:speed bare}", by=Most(0.5 * (foot.max - foot.min))),
        said("{flight:time.2}", flight=aim.flight), said("{height:drop}", height=aim.equivalent_fall),
        said("{gap:height}", gap=built.landing.gap),
        _NONE if jump.heights.lip is None else said("{high:height}", high=jump.heights.lip),
        said("{length:height}", length=built.landing.length), _NONE if volume is None else said("{volume:volume}", volume=volume),
    ]  # fmt: skip


def why_not(one: Cannot, line: Line) -> Words:
    """Which step cannot be had, and why.

    Parameters
    ----------
    one : Cannot
        From `progression`.
    line : Line
        The line itself.

    Returns
    -------
    Said
        A sentence.
    """
    tables = " as a table" if one.tables else ""
    return said("Step {number:count}{tables} cannot be had: {reason}.", number=one.number, tables=tables, reason=_reason(one, line))


def _reason(one: Cannot, line: Line) -> Words:
    """Why a step cannot be had."""
    jumps = len(line.jumps)
    name: Words = "" if one.jump is None else said("{name}", name=line.jumps[one.jump - 1].name or f"jump {one.jump}")
    if one.why == "refused":
        return why(one.refused, jumps=jumps)
    return {
        "no window": said("{name} has no speed that lands clean, so that there is nothing to step up to", name=name),
        "not measured between": said("the ground after {name} is not measured, nor who comes to the next one", name=name),
        "not measured": said("the run-in is not measured, so that no step can be confirmed from a start: measure it"),
        "no size": said("no measures of {name} in steps of a tape give its speed with the line's own tolerance", name=name),
        "no ground": said("no even ground after {name} carries all who land it well to the next one", name=name),
        "not checked": said("a wheel lifts on the lip of {name}, or it loads hard: how it is left was not checked", name=name),
        "harder": said("{name} would hit harder than in the line itself", name=name),
        "no mark": said("no start on this run-in gives the aim"),
    }[one.why]


def report(
    line: Line, found: Sequence[Step | Cannot], steps: int, reader: Reader = Reader.metric, *, files: Sequence[str] = ()
) -> str:
    """A line in steps, as a person reads it.

    Parameters
    ----------
    line : Line
        The line itself.
    found : sequence of Step or Cannot
        From `progression`.
    steps : int
        How many were asked for.
    reader : Reader
        Who reads it.
    files : sequence of str
        Files that were written.

    Returns
    -------
    str
        Lines of text, ending with a line break.
    """
    made = [one for one in found if isinstance(one, Step)]
    missing = [one for one in found if isinstance(one, Cannot)]
    out = [*text.wrapped(f"{line.title or 'untitled line'} in {steps} steps, small to large, the last one the line itself")]
    out += ["A model's numbers, not a permit.", ""]
    out += [*text.bullets(reader.texts([*_missing(missing, line), *(held(line) if made else [])])), ""]
    for index, jump in enumerate(line.jumps if made else ()):
        if len(line.jumps) > 1:
            out.append(reader.text(said("{number:count}  {name}", number=index + 1, name=jump.name or f"jump {index + 1}")))
        out += [*text.columns([reader.texts(row) for row in rows(made, index)]), ""]
    told = [said("Step {number:count}: {words}", number=one.number, words=words) for one in made for words in known_first(one.answer)]
    if told:
        out += [*text.bullets(reader.texts(list(dict.fromkeys(told)))), ""]
    if made and len(line.jumps) > 1:
        out += [*text.bullets(reader.texts(_feet(made, line))), ""]
    if made:
        dug = _DIRT if any(volume is not None for one in made for volume in one.dirt) else ""
        out += text.wrapped(reader.text(joined([_legend(line), dug, _equal(made)])))
        out += ["", *text.wrapped(f"{_SOLVED} {_TABLE_FIRST}" if any(one.tables for one in made) else f"{_SOLVED} {_GO_ON}")]
    if files:
        out += ["", *text.wrapped(f"Written: {', '.join(files)}")]
    return "\n".join([*out, "", "Cautions", *text.bullets(CAUTIONS)]) + "\n"


_SOLVED = "Each was solved afresh and lands clean from its start mark."
_GO_ON = "Go on to the next row only when its speed comes every time."
_TABLE_FIRST = f"A table comes before its gap: {_GO_ON[0].lower()}{_GO_ON[1:]}"


def _legend(line: Line) -> Words:
    """What stands in the columns."""
    first = "the edge" if line.jumps[0].shape == "drop" else "the foot of the first lip"
    drops = any(one.shape == "drop" for one in line.jumps)
    where = "where it is checked, before the lip or at the edge of a drop" if drops else "before the lip"
    return said(
        "Start is the mark before {first}; more how much faster at the edge than the step before, ± the tolerance {where}, both in "
        "{speed_unit}; hit the drop that the landing at the aim is likened to.",
        first=first, where=where,
    )  # fmt: skip


def _missing(missing: Sequence[Cannot], line: Line) -> list[Words]:
    """Which steps cannot be had; what keeps several from it is said once."""
    once: dict[tuple[object, ...], list[Cannot]] = {}
    for one in missing:
        once.setdefault((one.why, one.jump, one.refused), []).append(one)
    told: list[Words] = []
    for same in once.values():
        numbers = sorted({one.number for one in same})
        if len(same) == 1:
            told.append(why_not(same[0], line))
        elif len(numbers) == 1:
            alone = "Step {number:count}, as a table too, cannot be had: {reason}."
            told.append(said(alone, number=numbers[0], reason=_reason(same[0], line)))
        else:
            steps = joined([said("{number:count}", number=number) for number in numbers], ", ")
            told.append(said("Steps {steps} cannot be had: {reason}.", steps=steps, reason=_reason(same[0], line)))
    return told


def _feet(made: Sequence[Step], line: Line) -> list[Words]:
    """Where the feet of all jumps but the first lie in each step."""
    told: list[Words] = []
    for index in range(len(line.jumps) - 1):
        feet = {one.number: one.feet[index] for one in made}
        each = [
            said(
                "step {number:count} {on:length} on, {by:level} {way}",
                number=number, on=on, by=abs(fall), way="lower" if fall >= 0 else "higher",
            )
            for number, (on, fall) in feet.items()
        ]  # fmt: skip
        name = line.jumps[index + 1].name or f"jump {index + 2}"
        place = "Edge" if line.jumps[index + 1].shape == "drop" else "Foot"
        where = "{place} of {name}, from the lower end of the landing before: {each}."
        told.append(said(where, place=place, name=name, each=joined(each, "; ")))
    return told


def _equal(made: Sequence[Step]) -> Words:
    """How alike the steps of the first jump are."""
    speeds = [one.answer.jumps[0].window.speeds.aim for one in {one.number: one for one in made}.values()]
    if len(speeds) < 3:
        return ""
    by = [b - a for a, b in pairwise(speeds)]
    return said("Steps of the first jump differ by {off:speed} at most: gaps are built to {step:level}.", off=max(by) - min(by), step=0.02)


def as_dict(line: Line, found: Sequence[Step | Cannot]) -> dict[str, Any]:
    """A line in steps, for a program: SI.

    Parameters
    ----------
    line : Line
        The line itself.
    found : sequence of Step or Cannot
        From `progression`.

    Returns
    -------
    dict
        For JSON.
    """
    reader = Reader.metric
    return {
        "title": line.title, "fingerprint": line.fingerprint, "cautions": list(CAUTIONS), "held": reader.texts(held(line)),
        "steps": [_step(one) for one in found if isinstance(one, Step)],
        "cannot": [
            {"step": one.number, "table": one.tables, "jump": one.jump, "why": reader.text(why_not(one, line))}
            for one in found if isinstance(one, Cannot)
        ],
    }  # fmt: skip


def _step(one: Step) -> dict[str, Any]:
    return {
        "step": one.number, "table": one.tables, "file": file_name(one), "start_m": one.marks.mark,
        "start_window_m": {"shortest": one.marks.short, "longest": one.marks.long},
        "feet": [{"spacing_m": spacing, "fall_m": fall} for spacing, fall in one.feet],
        "jumps": [
            {
                "name": jump.name, "shape": jump.shape, "lip_speed_mps": jump.window.speeds.aim,
                "foot_speed_mps": {"min": jump.window.foot.min, "aim": jump.window.foot.aim, "max": jump.window.foot.max},
                "flight_s": jump.landings[1].flight, "equivalent_fall_m": jump.landings[1].equivalent_fall, "gap_m": built.landing.gap,
                "lip_m": jump.heights.lip, "landing_length_m": built.landing.length, "dirt_m3": volume,
            }
            for jump, built, volume in zip(one.answer.jumps, one.line.jumps, one.dirt, strict=True)
        ],
    }  # fmt: skip
