"""The test day on paper: one page with boxes to tick, for a clipboard."""

from __future__ import annotations

from jumpcalc.plan.studies.field.testday import DayPlan
from jumpcalc.show.paper.pages import A4, Pages, foot_of
from jumpcalc.show.words import testday as words
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import joined
from jumpcalc.show.words.testday_report import parts, steps

__all__ = ["pages"]

_LARGER = (1.4, 1.3, 1.2, 1.1, 1.0)  # of the least type, as large as one page has room for
_TICKED = ("Before", "After")


def pages(plan: DayPlan, reader: Reader = Reader.metric) -> Pages:
    """The test day's page, in the largest type with which it is one.

    Parameters
    ----------
    plan : DayPlan
        From `plan.studies.field.testday.day_plan`.
    reader : Reader
        Who reads it.

    Returns
    -------
    Pages
        One page; more where even the smallest type does not do.
    """
    for larger in _LARGER:
        made = _pages(plan, reader, larger)
        if made.count == 1:
            break
    return made


def _pages(plan: DayPlan, reader: Reader, larger: float) -> Pages:
    title, foot = f"Test day: {plan.answer.complete.title}", foot_of(example=plan.example)
    made = Pages(A4, title=title, foot=foot, example=plan.example, edge=12.0, larger=larger)
    made.answer(reader.text(words.headline(plan)))
    for told in reader.texts(words.from_log(plan)):
        made.paragraph(told, bold=True)
    heads = parts(plan)
    for head in ("What cannot be tested in steps", "Before"):
        _part(made, heads, head, reader)
    if plan.steps:
        made.heading("Steps")
        for number, (told, shown) in enumerate(steps(plan), start=1):
            status = f"{reader.text(shown)}: " if shown else ""
            # a box for every check that it takes
            made.item(f"{number}. {status}{reader.text(told)}", box=True)
    for head in ("How the speed is checked", "Who stands where", "Call it off", "After"):
        _part(made, heads, head, reader)
    if plan.steps:
        made.paragraph(words.SOURCE)
    for told in CAUTIONS:
        made.paragraph(told, bold=True)
    made.paragraph(reader.text(joined([f"Ground {plan.answer.fingerprint}, model of {plan.answer.model_date}."])))
    return made


def _part(made: Pages, heads: dict[str, list[words.Words]], head: str, reader: Reader) -> None:
    """A head with its sentences, if there are any."""
    if head in heads:
        made.heading(head)
        for told in reader.texts(heads[head]):
            made.item(told, box=head in _TICKED)
