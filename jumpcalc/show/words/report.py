"""The printed answer: one sentence, a short table, then what is tight, assumed or missing, then cautions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from jumpcalc.plan.answer import Answer, JumpAnswer, LandingResult
from jumpcalc.plan.inputs.line import Line
from jumpcalc.show.words import inputs, jump, measures, run_in, stopping, text
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.notes import look_at, unsaid
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.ride import headline, no_start, ride
from jumpcalc.show.words.said import Words, inward, joined, listed, said
from jumpcalc.show.words.spread import often
from jumpcalc.show.words.window import caution, places, side_wind, window

if TYPE_CHECKING:
    from jumpcalc.plan.studies.measures import Measures

__all__ = ["report"]

_WALL = "A case on a gap is a hit on a wall."
_SET_DOWN = "The fall height is for wheels set down on the ground, not for a fall."
_BRAKES = "Brakes, grip and reaction are assumed unless the line gives them."


def report(answer: Answer, reader: Reader = Reader.metric, *, tape: Sequence[Measures | None] = ()) -> str:
    """The answer as a person reads it.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    reader : Reader
        Who reads it.
    tape : sequence of Measures or None
        What the tape does to each jump, where that was asked for.

    Returns
    -------
    str
        Lines of text, ending with a line break.
    """
    several = len(answer.jumps) > 1
    # that the wheels leave the run-in comes before that all jumps land clean
    line = text.wrapped(reader.text(joined([*jump.lifted(answer.jumps[0]), headline(answer)]))) if headline(answer) else []
    by_tries = text.wrapped(reader.text(inputs.corrected(answer)))
    out = [reader.text(_title(answer.complete)), *by_tries, *line, "A model's numbers, not a permit.", ""]
    told: set[Words] = set()
    for number, one in enumerate(answer.jumps, start=1):
        out += [reader.text(said("{number:count}  {name}", number=number, name=one.name))] if several else []
        out += _jump(one, reader, told, begins=answer if number == 1 else None, rides=not no_start(answer))
        if tape and tape[number - 1] is not None and one.no_ride is None:
            out += _tape(tape[number - 1], reader, told, drop=one.shape == "drop")
    if ride(answer):
        out += ["The line as one ride", *_section(reader.texts(ride(answer)))]
    warnings = unsaid(answer, headlines=range(len(answer.jumps)))
    if warnings:
        out += ["Look at", *_section(reader.texts(look_at(warnings, jumps=len(answer.jumps))))]
    out += ["Assumed, not measured", *_section(reader.texts(inputs.groups(answer)) or ["nothing"])]
    out += ["Cautions", *_section(CAUTIONS), f"Ground {answer.fingerprint}, model of {answer.model_date}."]
    return "\n".join(out) + "\n"


def _title(line: Line) -> Words:
    """What the line is called, where it is, when and by whom it was measured."""
    parts = (("{typed}", line.place), ("measured {typed}", line.measured_on), ("{typed}", line.measured_by))
    from_where = joined([said(template, typed=typed) for template, typed in parts if typed], ", ")
    return said("{title} ({from_where})" if from_where else "{title}", title=line.title, from_where=from_where)


def _jump(one: JumpAnswer, reader: Reader, told: set[Words], *, begins: Answer | None, rides: bool) -> list[str]:
    """All of one jump; what holds for every jump only where it is not in `told` yet. The answer that it begins has its run-in."""
    out = [*text.wrapped(reader.text(jump.headline(one, rides=rides))), ""]
    if one.landings and one.no_ride is None:
        out += [*text.columns([reader.texts(row) for row in _table(one)]), ""]
    for name, items in _sections(one, begins).items():
        items = [item for item in listed(items) if item not in told]
        out += [name, *_section(reader.texts(items))] if items else []
    told.update(_general(one))
    return out


def _general(one: JumpAnswer) -> list[Words]:
    """What is said of one jump and holds for every other."""
    return [caution(one), side_wind(one), places(one), _WALL, _SET_DOWN, _BRAKES, stopping.BETWEEN]


def _tape(found: Measures, reader: Reader, told: set[Words], *, drop: bool) -> list[str]:
    """What the errors of the measurements do to a jump; what they are taken as only where it is not in `told` yet."""
    short = [item for item in measures.in_short(found, drop=drop) if item not in told]
    told.update(short[1:])
    rows = [list(measures.HEAD), *(reader.texts(row) for row in measures.rows(found, drop=drop))]
    return ["What the tape does", *text.bullets(reader.texts(short)), "", *text.columns(rows), ""]


def _sections(one: JumpAnswer, begins: Answer | None) -> dict[str, list[Words]]:
    """What is said of a jump, by its heads."""
    ground: list[Words] = [jump.rolled(one), jump.heights(one)]
    if one.no_ride is not None:
        return {"The ground": ground}
    return {
        "The landing": [*window(one), *_off(one), places(one), _SET_DOWN if one.landings else ""],
        "Where to start": [*run_in.start(one, begins.ride), often(begins), run_in.changes(one)] if begins is not None else [],
        "Can I stop instead?": [stopping.before(one), stopping.after(one), _BRAKES if one.stop is not None else ""],
        "The ground": ground,
    }


def _off(one: JumpAnswer) -> list[Words]:
    """What a tenth too slow does, and what a hit on the knuckle is."""
    if one.sensitivity is None:
        return []
    slow, fast = one.sensitivity.slow_10, one.sensitivity.fast_10
    off = said(
        "A tenth slower at the edge: {slow}. A tenth faster: {fast}{fast_hit}.",
        slow=jump.had(one, slow) or said("{what}{hit}", what=jump.outcome(slow, one.shape), hit=_hit(slow)),
        fast=jump.outcome(fast, one.shape), fast_hit=_hit(fast),
    )  # fmt: skip
    return [off, _WALL if one.shape == "gap" and slow.outcome != "clean" else ""]


def _hit(landing: LandingResult) -> Words:
    return "" if landing.equivalent_fall is None else said(", {fall}", fall=jump.fall(landing.equivalent_fall))


def _table(one: JumpAnswer) -> list[list[Words]]:
    """Slowest, aim and fastest: speeds, landing and hit."""
    names = ("slowest clean", "aim", "fastest clean")
    foot = one.window.foot
    head: list[Words] = ["", "before the lip", "at the edge", "lands at", "down the face", "in the air", "hits as a drop of"]
    rows = [head]
    for name, before, landing in zip(names, (foot.min, foot.aim, foot.max), one.landings, strict=True):
        rows.append(
            [
                name,
                said("{speed:speed}", speed=inward(name, before)),
                said("{speed:speed}", speed=inward(name, landing.lip_speed)),
                said("{x:length}", x=landing.x),
                said("{along:length}", along=landing.along_face),
                said("{flight:time.2}", flight=landing.flight),
                said("{height:drop}", height=landing.equivalent_fall),
            ]
        )
    return rows if one.shape != "drop" else [[row[0], *row[2:]] for row in rows]


def _section(items: Iterable[str]) -> list[str]:
    return [*text.bullets(items), ""]
