"""The way in for the day itself: where the cones stand, what is a go by each way of measuring, and what was measured."""

from __future__ import annotations

from jumpcalc.plan.studies.field.window import Grade
from jumpcalc.show.page import check_read, worked
from jumpcalc.show.page.answer import figures
from jumpcalc.show.page.common import Shown, drawing, heading, plain, said, small, table
from jumpcalc.show.page.worked import checked
from jumpcalc.show.words import check as told
from jumpcalc.show.words import stopping
from jumpcalc.show.words.check_report import title
from jumpcalc.show.words.jump import foot
from jumpcalc.show.words.said import joined, listed
from jumpcalc.show.words.said import said as worded

__all__ = ["ask", "bands", "drawn", "picture", "show", "where"]


def drawn(shown: Shown) -> str:
    """The end of the run-in with its cones, kept for the next run; empty where there are none.

    Raises
    ------
    InputError
        Where inputs contradict each other.
    """
    return worked.cones(shown.line, shown.reader)


def picture(shown: Shown) -> None:
    """The end of the run-in with its cones; none on a day that is not one for it."""
    svg = drawn(shown)
    if svg and not shown.no_ride:
        drawing(svg, alt=_message(shown))


def _message(shown: Shown) -> str:
    """The drawing in words."""
    cones = checked(shown.line).cones
    return shown.text(
        worded(
            "The end of the run-in to true scale: the first cone {first:length}, the second {second:length} before the "
            f"{foot(shown.answer.jumps[0])}, {{apart:length}} apart along the ground.",
            first=cones.before_foot + cones.length, second=cones.before_foot, apart=cones.length,
        )
    )  # fmt: skip


def show(shown: Shown) -> None:
    """For which speed is checked, and the cones in large figures."""
    one = checked(shown.line)
    if shown.no_ride:
        return
    heading(shown.text(told.headline(one)), over=shown.text(title(one)))
    if one.window is None:
        return
    window = "up to {most:speed}" if one.window.from_rest else "{window:speed}"
    before = "before the edge" if one.jump.shape == "drop" else "before the foot"
    go = shown.text(worded(window, window=told.window(one.window), most=one.window.high))
    large = {"Window": (go, "at the edge" if one.jump.shape == "drop" else before)}
    if one.cones is not None:
        large["First cone"] = shown.length(one.cones.before_foot + one.cones.length), before
        large["Second cone"] = shown.length(one.cones.before_foot), before
    figures(large)


def ask(shown: Shown) -> None:
    """What was measured, and where it lies."""
    if not shown.no_ride:
        check_read.ask(shown, checked(shown.line))


def bands(shown: Shown) -> None:
    """What is too slow, in the window and too fast by each way that tells it; what cannot, and what it would take."""
    one = checked(shown.line)
    if one.window is None:
        return
    heading("What counts")
    if one.telling:
        rows = []
        for band in one.telling:
            name, slow, go, fast, off, grade = shown.texts(told.row(band))
            rows.append([f"{name} ({off}, {grade})", slow, go, fast])
        table(list(told.HEAD[:4]), rows)
    cannot = joined([told.name(band.reading) for band in one.bands if band.grade is Grade.NOT], "; ")
    said(
        shown.texts(listed([told.best(one), worded("Cannot tell here: {ways}.", ways=cannot) if cannot else "", *worked.takes(shown.line)]))
    )
    small(plain("± holds 90 of 100; good enough is half of half the window."))


def where(shown: Shown) -> None:
    """How to set cones, time and film; and where one can still stop."""
    one = checked(shown.line)
    if one.window is not None:
        said(shown.texts(listed([*told.where(one), stopping.before(one.jump)])), title="How to check")
