"""The printed test day: steps in order, then who stands where, when it is called off, before and after, cautions."""

from __future__ import annotations

from jumpcalc.plan.studies.field.testday import DayPlan
from jumpcalc.show.words import testday as words
from jumpcalc.show.words import testday_around as around
from jumpcalc.show.words import text
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import Words, said, sentence

__all__ = ["parts", "report", "steps"]


def steps(plan: DayPlan) -> list[tuple[Words, Words]]:
    """The steps in order, each with how much of it a log shows: the look round, checks, what may be flown before, the flights.

    Parameters
    ----------
    plan : DayPlan
        The test day.

    Returns
    -------
    list of tuple
        Words of the step, and few of what is shown, empty without a log.
    """
    if not plan.steps:
        return []
    made: list[tuple[Words, Words]] = [("Look round: see Before.", "")]
    made += [(words.step(plan, one), words.done(one)) for one in plan.steps if one.kind == "check"]
    made += [(words.easier(one, gap=plan.answer.complete.jumps[0].landing.gap), "") for one in plan.versions]
    made += [(words.step(plan, one), words.done(one)) for one in plan.steps if one.kind != "check"]
    return made


def parts(plan: DayPlan) -> dict[str, list[Words]]:
    """What stands beside the steps, by its heads.

    Parameters
    ----------
    plan : DayPlan
        The test day.

    Returns
    -------
    dict
        Head -> sentences; those without any are left out.
    """
    found = {
        "What cannot be tested in steps": words.cannot(plan),
        "Before": around.before(plan),
        "How the speed is checked": around.how(plan),
        "Who stands where": around.who(plan),
        "Call it off": around.call_off(plan),
        "After": around.after(plan),
    }
    return {head: told for head, told in found.items() if told}


def report(plan: DayPlan, reader: Reader = Reader.metric) -> str:
    """The test day as a person reads it.

    Parameters
    ----------
    plan : DayPlan
        The test day.
    reader : Reader
        Who reads it.

    Returns
    -------
    str
        Lines of text, ending with a line break.
    """
    answer = plan.answer
    mark = "EXAMPLE, not your jump. " if plan.example else ""
    title = said(f"{mark}Test day: {{typed}}", typed=answer.complete.title)
    out = [*text.wrapped(reader.text(title)), *text.wrapped(reader.text(words.headline(plan)))]
    out += ["A model's numbers, not a permit.", ""]
    for told in words.from_log(plan):
        out += text.wrapped(reader.text(told))
    out += [""] if plan.day is not None and plan.steps else []
    for number, (told, shown) in enumerate(steps(plan), start=1):
        status = said(" [{shown}]", shown=shown) if shown else ""
        out += text.numbered(number, reader.text(said("{told}{status}", told=told, status=status)))
    out += [""] if plan.steps else []
    for head, items in parts(plan).items():
        out += [head, *text.bullets(reader.texts(items)), ""]
    out += text.wrapped(words.SOURCE) if plan.steps else []
    out += ["", "Cautions", *text.bullets(CAUTIONS), "", reader.text(sentence(_made_of(plan)))]
    return "\n".join(out) + "\n"


def _made_of(plan: DayPlan) -> Words:
    return said("ground {ground}, model of {model}", ground=plan.answer.fingerprint, model=plan.answer.model_date)
