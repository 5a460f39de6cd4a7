"""What the pocket page says. It is read on the phone, where a small script fills the places: they are marked ``<name>``."""

from __future__ import annotations

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.studies.day import SEEN
from jumpcalc.plan.studies.field.check import Band
from jumpcalc.plan.studies.field.kinds import Filmed, Sensor, Timed
from jumpcalc.plan.studies.field.window import Grade
from jumpcalc.plan.studies.pocket import Pocket
from jumpcalc.show.words.jump import before_speed, foot
from jumpcalc.show.words.notes import look_at, strokes, unsaid
from jumpcalc.show.words.said import Most, Words, joined, said
from jumpcalc.show.words.window import sure

__all__ = ["KEPT", "PHONES", "SAYINGS", "before", "how_made", "look", "not_by_this_page", "ways"]

SAYINGS = {
    "still": "still air",
    "behind": "<speed> from behind",
    "ahead": "<speed> from ahead",
    "wet": "Not today: wet ground takes speed and grip by amounts that nobody foresees. Dry enough: nothing sticks, a heel leaves no dent.",
    "gusty": "Not today: a gust moves the landing by more than there is room, and nobody sees it coming.",
    "between": "Not worked out between the winds that were solved here: something changes there. Take the next wind that was, or none.",
    "room": "Do not ride: <length> to stop are missing.",
    "none": "Do not ride: <why>.",
    "ride": "By this model: start <mark> before the <foot>, to come to it at <aim>.",
    "ride_no_mark": "By this model: come at <aim> just before the <end>.",
    "from_top": "By this model: start at the top, <mark> before the <foot>, to come to it at <speed>: under the best, but clean.",
    "short": "The run-in is too short for this: from its top it is <speed> just before the <end>.",
    "fast": "No start mark gives this speed: it is faster from any. Make fewer strokes.",
    "marks_unknown": "The run-in was not measured: no start marks.",
    "last": "<length> before the <foot>, at <speed>",
    "last_none": "none: only with a way off to the side",
    "last_unknown": "not worked out for this: only with a way off to the side",
    "go": "Speed band",
    "stop": "Last place to stop",
    "room_after": "Room left after stopping",
    "not_for": "The steps hold for the line as measured: its bike, dry, its wind and strokes. They do not for what is picked.",
    "no_day": "No day for it, as picked: no steps.",
    "room_unknown": "not known",
    "band": "<low> to <high>",
    "from_mark": "From <mark>: <speed> just before the <end>: ",
    "in": "in the band.",
    "slow": "too slow by <speed>. Do not jump from there.",
    "too_fast": "too fast by <speed>. Do not jump from there.",
    "edge": "at the edge of the band: this page cannot tell. Do not jump from there.",
    "far_slow": "From <mark>: far too slow. Do not jump from there.",
    "no_mark": "From <mark>: not worked out, or the strokes do not fit.",
    "kept": "<count> kept on this phone.",
    "one_kept": "1 kept on this phone.",
    "not_kept": "<count> on this page only: hand them over before it is closed.",
    "nothing": "Give what was seen: how it landed, where it touched, or a speed.",
    "date": "Give the day.",
    "number": "<name>: <given> is not between <low> and <high>.",
    "needs": "<name> is needed for a speed measured like this.",
    "added": "Kept.",
    "added_not_kept": "Noted, on this page only.",
    "done": "<done> of <all> boxes ticked",
}
"""Sentences and their places."""

KEPT = (
    "This phone keeps nothing for this page (a private window, or a viewer that does not let it): tries and ticks are gone when it is "
    "closed. Hand the tries over before.",
    "Tries and ticks are kept on this phone, in the browser that this page is open in, and are sent nowhere. Whoever clears the browser's "
    "data clears them: hand the tries over at the end of the day.",
)
"""What is said where nothing can be kept, and where it can."""

PHONES = (
    "This file needs no network. On Android phones tap it in the file manager and choose a browser. On iPhones and iPads the preview of a "
    "file does not run it: only the table under Today is shown then. Where it does not open, take the card as PDF (jumpcalc card LINE.toml "
    "--out card.pdf), which every phone shows. What phones do is from memory; the page was tried in Chromium, not on phones."
)
"""Which phones open such a file."""


def how_made(pocket: Pocket) -> Words:
    """How many rows were solved, and how far off what is read between them may be.

    Parameters
    ----------
    pocket : Pocket
        The answers.

    Returns
    -------
    Said
        Sentences.
    """
    off = pocket.off
    line = pocket.answer.complete
    bikes = "" if len(pocket.answer.jumps) == 1 else " Of a line of several jumps only its own bike was worked out."
    return said(
        "Looked up among {solved:count} solved answers. Between them it is read off to {speed:speed} of speed and {room:length} of room, "
        f"found by solving in between; nothing is told beyond.{bikes} The line as measured: {{mass:mass}} with bike, {{bike}}, {{made}}. "
        "Ground {ground}, model of {model}.",
        solved=pocket.solved, speed=_at_least(max(off.go, off.ridden, off.reads), 0.1 / 3.6), room=_at_least(off.room, 0.1),
        mass=line.rider.mass, bike=line.bike.kind, made=strokes(line.run_in.strokes) if line.run_in.strokes else "no stroke",
        ground=pocket.answer.fingerprint, model=pocket.answer.model_date,
    )  # fmt: skip


def before(answer: Answer) -> Words:
    """What is said before any speed of a row: what was not checked, windows nobody rides, gusts, and that a band is for stiff riders.

    Parameters
    ----------
    answer : Answer
        Of a row.

    Returns
    -------
    str or Said
        Sentences, often none.
    """
    told = [each for jump in answer.jumps for each in (*before_speed(jump), *([sure(jump)] if jump.sure is None else []))]
    return joined(dict.fromkeys(told))


def look(answer: Answer) -> list[Words]:
    """What to look at besides.

    Parameters
    ----------
    answer : Answer
        Of the line as measured.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    return look_at(unsaid(answer, headlines=range(len(answer.jumps))), jumps=len(answer.jumps))


def not_by_this_page(pocket: Pocket) -> Words:
    """What is said of a wind from the side.

    Parameters
    ----------
    pocket : Pocket
        The answers.

    Returns
    -------
    str or Said
        Sentences.
    """
    winds = [jump.side_wind for jump in pocket.answer.jumps if jump.side_wind]
    more: Words = said("From {wind:speed.0} on: not at all.", wind=Most(min(winds))) if winds else ""
    seen = said("Wind from the side is not worked out here, even if only leaves and twigs move (about {wind:speed.0}).", wind=SEEN)
    return joined([seen, more])


def ways(pocket: Pocket) -> list[tuple[Band, Words]]:
    """Ways of measuring that tell the band of the line as measured, and what they are called.

    Parameters
    ----------
    pocket : Pocket
        The answers.

    Returns
    -------
    list of tuple
        By hand, filmed, and read off a wheel sensor; empty where none tells it.
    """
    tape, found = foot(pocket.answer.jumps[0]), []
    for band in pocket.bands:
        reading = band.reading
        if band.grade is Grade.NOT or not isinstance(reading, (Timed, Filmed, Sensor)):
            continue
        how = "good enough" if band.grade is Grade.GOOD else "tells roughly"
        if isinstance(reading, Sensor):
            rolled = ", rolled out" if reading.rolled_out else ""
            words = said(f"wheel sensor{rolled}, read {{near:length}} before the {tape} ({how})", near=reading.before_foot)
        elif isinstance(reading, Filmed):
            words = said(f"frames at {{rate:count}} a second ({how})", rate=reading.rate)
        else:
            runs = reading.runs or 1
            words = f"stopwatch{'' if runs == 1 else f', mean of {runs}'} ({how})"
        found.append((band, words))
    return found


def _at_least(value: float, step: float) -> float:
    """A number that is told as a bound: never less than the last digit that is printed."""
    return max(value, step)
