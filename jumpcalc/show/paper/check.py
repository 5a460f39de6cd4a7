"""The speed check on A6, its figures large: to be read with gloves on, and off a wet phone."""

from __future__ import annotations

from jumpcalc.plan.studies.field.check import Band, Check
from jumpcalc.plan.studies.field.window import Grade
from jumpcalc.show.paper.pages import A6, Cell, Pages, foot_of
from jumpcalc.show.words import check as told
from jumpcalc.show.words import stopping
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.check_report import title
from jumpcalc.show.words.jump import foot as told_foot
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import Words, joined, said
from jumpcalc.show.words.window import jumped_off

__all__ = ["pages"]

_LARGER = (1.2, 1.1, 1.0)  # of the least type, as large as two pages have room for
_COLUMNS = (0.29, 0.2, 0.31, 0.2)  # shares of the width
_HALVES = (0.3, 0.3, 0.4)
_LONGEST_DATE = 40


def pages(check: Check, reader: Reader = Reader.metric) -> Pages:
    """The check on pages of A6.

    Parameters
    ----------
    check : Check
        From `plan.studies.field.check.check`.
    reader : Reader
        Who reads it.

    Returns
    -------
    Pages
        Cones and bands first, how it is done and the cautions after them.
    """
    for larger in _LARGER:
        made = _filled(check, reader, larger)
        if made.count <= 2:
            break
    return made


def _filled(check: Check, reader: Reader, larger: float) -> Pages:
    """The pages in type so much larger than the least."""
    foot = foot_of(example=check.example, more="Cautions: last page.")
    made = Pages(A6, title=reader.text(title(check)), foot=foot, example=check.example, larger=larger)
    made.answer(reader.text(told.headline(check)))
    if check.cones is not None:
        _cones(made, check, reader)
    if check.telling:
        rows = [_band(band, reader) for band in check.telling]
        made.table(_COLUMNS, [[Cell(text=name, bold=True)] for name in told.HEAD[: len(_COLUMNS)]], rows)
    for words in _notes(check):
        made.paragraph(reader.text(words))
    date = "not said" if check.answer.line.measured_on is None else check.answer.line.measured_on[:_LONGEST_DATE]
    of = said(
        "Measured on: {date}. Ground {ground}, model of {model}.",
        date=date, ground=check.answer.fingerprint, model=check.answer.model_date,
    )  # fmt: skip
    made.paragraph(reader.text(of))
    for text in CAUTIONS:
        made.paragraph(text, bold=True)
    return made


def _cones(made: Pages, check: Check, reader: Reader) -> None:
    """Where the cones stand, in the largest figures of the page."""
    cones, tape = check.cones, told_foot(check.jump)
    places = (("first cone", cones.before_foot + cones.length), ("second cone", cones.before_foot))
    row = [[Cell(text=reader.text(said("{place:length}", place=place)), large=True, bold=True)] for _, place in places]
    how = said(
        f"before the {tape}, along the ground. They stand {{length:length}} apart; film from {{camera:length.0}} beside them.",
        length=cones.length, camera=cones.camera,
    )  # fmt: skip
    head = [*([Cell(text=name, bold=True)] for name, _ in places), [Cell(text="where", bold=True)]]
    made.table(_HALVES, head, [[*row, [Cell(text=reader.text(how))]]], shaded=(True,))


def _band(band: Band, reader: Reader) -> list[list[Cell]]:
    """Too slow, go, too fast by one way of measuring."""
    slow, (go, unit), fast = told.ends(band)
    off = said(f"± {{ninety:speed}}{', only roughly' if band.grade is Grade.ROUGH else ''}", ninety=band.ninety)
    return [
        [Cell(text=reader.text(told.name(band.reading)), bold=True), Cell(text=reader.text(off))],
        [Cell(text=reader.text(slow))],
        [Cell(text=reader.text(go), large=True, bold=True), Cell(text=reader.text(unit))],
        [Cell(text=reader.text(fast))],
    ]


def _notes(check: Check) -> list[Words]:
    """How to read it, what cannot tell, and that nothing is jumped."""
    if check.window is None:
        return []
    cannot = [told.name(band.reading) for band in check.bands if band.grade is Grade.NOT]
    # a way that is not in the table is not used; where none is good enough it is told that it was looked at
    which = said("Cannot tell here: {ways}.", ways=joined(cannot, "; ")) if cannot and not check.good else ""
    short = [] if check.cones is not None else told.where(check)
    return [
        words
        for words in (
            joined([
                "Front wheel at the first cone to front wheel at the second; at a post from front axle to rear axle: it stands, and "
                "sensors are read, at the second cone. No pedalling, no braking there. ± holds 90 of 100: go is what lies inside by ± or "
                "more; nearer to the ends measure again.",
                told.beside(check) if check.cones is not None else "",
            ]),
            jumped_off(check.jump) if check.good else told.best(check),
            *short,
            which,
            stopping.before(check.jump),
            "" if check.known_ground else "The run-in was not measured: its last metres are taken as straight on, to within 3°.",
        )
        if words
    ]
