"""What is said of a speed check: where the cones stand, what counts by each way of measuring, where a reading lies."""

from __future__ import annotations

from jumpcalc.plan.studies.field.check import Band, Check
from jumpcalc.plan.studies.field.kinds import Airtime, Filmed, Passing, Reading, Receiver, Sensor, Timed
from jumpcalc.plan.studies.field.readings import NINETY, Measured
from jumpcalc.plan.studies.field.takes import Takes
from jumpcalc.plan.studies.field.window import Grade, Lies, Window
from jumpcalc.show.words.jump import before_speed, checked_at, end, no_room, reach
from jumpcalc.show.words.jump import foot as told_foot
from jumpcalc.show.words.jump import headline as of_the_jump
from jumpcalc.show.words.notes import note
from jumpcalc.show.words.ride import no_start
from jumpcalc.show.words.said import Between, Least, Most, Words, joined, listed, said, sentence
from jumpcalc.show.words.window import jumped_off

__all__ = ["GO", "HEAD", "beside", "best", "ends", "headline", "how", "lies", "name", "row", "takes", "where", "window"]

HEAD = ("by", "too slow", "in the window", "too fast", "90 of 100 in", "here")
"""What stands over the columns of `row`."""

_NOTHING = "So there is no speed to check for."
_NOT_RIDDEN = {
    False: "The lip is not jumped: the check leads past it on one side.",
    True: "The edge is not ridden off: the check leads past it on one side.",
}
_GRADES = {Grade.GOOD: "good enough", Grade.ROUGH: "roughly", Grade.NOT: "cannot tell"}
GO = "In the window is not yet go: go is what lies inside it by ± or more. Nearer to its ends the speed may lie outside: measure again."
"""What go means."""

_LIES = {
    Lies.INSIDE: "go: all of that lies in the window",
    Lies.SLOW: "too slow: all of that lies below the window",
    Lies.FAST: "too fast: all of that lies above the window",
    Lies.MAYBE_SLOW: "no go: part of that lies below the window",
    Lies.MAYBE_FAST: "no go: part of that lies above the window",
    Lies.CANNOT_TELL: "no go: this cannot tell, that is wider than the window on both sides",
}


def name(reading: Reading) -> Words:
    """What a way of measuring is called.

    Parameters
    ----------
    reading : Reading
        What was, or is to be, measured.

    Returns
    -------
    str or Said
        Words.
    """
    if isinstance(reading, Timed):
        runs = reading.runs or 1
        return "stopwatch, one run" if runs == 1 else said("stopwatch, mean of {runs:count}", runs=runs)
    if isinstance(reading, (Filmed, Passing)):
        where = "cones" if isinstance(reading, Filmed) else "edge" if reading.before_foot is None else "post"
        return said(f"{where} filmed, {{rate:count}}/s", rate=reading.rate)
    if isinstance(reading, Sensor):
        return "wheel sensor, rolled out" if reading.rolled_out else "wheel sensor"
    return "satellite receiver" if isinstance(reading, Receiver) else "flight"


def window(of: Window) -> Between | Most:
    """The speeds to check for, as they are printed.

    Parameters
    ----------
    of : Window
        Speeds at the foot.

    Returns
    -------
    Between
        Slowest and fastest, rounded inward.
    """
    return Between(Least(of.low), Most(of.high))


def headline(found: Check) -> Words:
    """For which speed is checked, or why for none.

    Parameters
    ----------
    found : Check
        The check.

    Returns
    -------
    Said
        Sentences.
    """
    jump = found.jump
    if found.window is None:
        return joined([*_why_none(found), _NOTHING])
    _, place = checked_at(jump)
    between = "up to {most:speed}" if found.window.from_rest else "{window:speed}"
    text = said(
        f"Check for {between} {place}, best {{aim:speed}}.", window=window(found.window), most=Most(found.window.high), aim=found.window.aim
    )
    return joined([*before_speed(jump), text, _NOT_RIDDEN[jump.shape == "drop"], _which(found), reach(jump), no_room(jump)])


def _why_none(found: Check) -> list[Words]:
    """Why there is nothing to check for, as the answer says it."""
    line = no_start(found.answer)
    if line and found.jump.window.speeds is not None and found.jump.no_ride is None:
        return [line]
    return [of_the_jump(found.jump)]


def _which(found: Check) -> Words:
    """What part of what lands clean that is."""
    if found.window.of == "line":
        return "That is the part from which the jumps after it land clean too."
    if found.window.of == "sure":
        rider = "rolled off or carried"
        if found.jump.must_be_carried:
            rider = "for someone who carries the front, early or late"
        if found.jump.shape != "drop":
            rider = "whether the rider soaks the lip up, rides it stiffly or springs off it"
        return f"By this model that lands clean {rider}."
    return "" if found.jump.why_not_sure is None else sentence(note(found.jump.why_not_sure))


def where(found: Check) -> list[Words]:
    """Where to set two cones, and how to time and film them.

    Parameters
    ----------
    found : Check
        The check.

    Returns
    -------
    list of str or Said
        Sentences; none where there is nothing to check for.
    """
    if found.window is None:
        return []
    cones, foot = found.cones, told_foot(found.jump)
    told: list[Words] = []
    if not found.known_ground:
        told.append("The run-in was not measured: its last metres are taken as straight on, their slope known to 3° only.")
    if cones is None:
        return [*told, f"Between the start for that speed and the {foot} there is no room for two cones."]
    told += [
        said(
            "Second cone {near:length} before the {foot}, first cone {length:length} further up, {far:length} before it: by tape, along "
            "the ground. Time the front wheel from one to the other.",
            near=cones.before_foot, foot=foot, length=cones.length, far=cones.before_foot + cones.length,
        ),
        beside(found),
        said("Between them the speed changes by {change:share}; no pedalling and no braking there.", change=cones.change),
        said(
            "Film from {camera:length.0} beside them, opposite to their middle. A post stands where the second cone does: count frames "
            "from the front axle at it to the rear axle. Read wheel sensor and satellite receiver there; a wheel is rolled out by "
            "measuring one turn of it along the ground under the rider.",
            camera=cones.camera,
        ),
        "A shove, strokes or another start change nothing of it: what counts is the speed between the cones.",
    ]  # fmt: skip
    if found.answer.ride is None and len(found.answer.jumps) > 1:
        told.append("Whether that speed carries to the jumps after it is not known: the run-in was not measured.")
    return told


def beside(found: Check) -> Words:
    """Where whoever rides through the cones goes on.

    Parameters
    ----------
    found : Check
        The check.

    Returns
    -------
    str
        Sentences.
    """
    return (
        f"Between the cones it is too late to brake or turn off: their straight way goes on beside the {end(found.jump)}, over "
        "clear ground, to where a bike can stop. Without such a way nobody rides it at this speed."
    )


def row(band: Band) -> list[Words]:
    """One way of measuring: too slow, in the window, too fast, how far off it may be, whether that is good enough.

    Parameters
    ----------
    band : Band
        What it shows.

    Returns
    -------
    list of str or Said
        A cell for each of `HEAD`.
    """
    off = said("± {ninety:speed}", ninety=band.ninety)
    if band.grade is Grade.NOT:
        return [name(band.reading), "–", "–", "–", off, _GRADES[band.grade]]
    return [name(band.reading), *_ends(band), off, _GRADES[band.grade]]


def _ends(band: Band) -> list[Words]:
    """Too slow, in the window and too fast as they are read off."""
    slow, (number, unit), fast = ends(band)
    return [slow, said("{number} {unit}", number=number, unit=unit), fast]


def ends(band: Band) -> tuple[Words, tuple[Words, Words], Words]:
    """Too slow; go, with its unit apart; too fast, as they are read off.

    Parameters
    ----------
    band : Band
        What one way of measuring shows, of those that tell something.

    Returns
    -------
    tuple
        Words, number and unit, words.
    """
    speed = isinstance(band.reading, (Sensor, Receiver))
    kind = "speed bare" if speed else "time.2 bare" if isinstance(band.reading, Timed) else "count"
    unit: Words = "frames" if kind == "count" else said("{speed_unit}" if speed else "{time_unit}")
    # a time is long where the bike is slow
    low, high = (band.slow, band.fast) if speed else (band.fast, band.slow)
    under = said(f"under {{low:{kind}}}", low=Least(low)) if low is not None else "–"
    over = said(f"over {{high:{kind}}}", high=Most(high)) if high is not None else "–"
    if low is None:
        go = said(f"up to {{high:{kind}}}", high=Most(high))
    elif high is None:
        go = said(f"from {{low:{kind}}} on", low=Least(low))
    else:
        go = said(f"{{low:{kind}}} to {{high:{kind}}}", low=Least(low), high=Most(high))
    return (under, (go, unit), over) if speed else (over, (go, unit), under)


def best(found: Check) -> Words:
    """Which ways are good enough here, or that none is.

    Parameters
    ----------
    found : Check
        The check.

    Returns
    -------
    str or Said
        A sentence; nothing where there is nothing to check for.
    """
    if found.window is None:
        return ""
    if not found.bands:
        return "No way of measuring has room between the start for that speed and here: there is no check of it."
    if not found.good:
        known = said(
            "Nothing of this is good enough here: it would have to tell to ± {needs:speed}, half of half the window.",
            needs=Most(0.5 * found.window.half),
        )  # fmt: skip
    else:
        known = said("Good enough here, to ± {needs:speed} or better: {ways}.", needs=0.5 * found.window.half, ways=_names(found.good))
    return joined([known, GO, jumped_off(found.jump)]) if any(band.grade is not Grade.NOT for band in found.bands) else known


def _names(bands: tuple[Band, ...]) -> Words:
    return joined([name(band.reading) for band in bands], "; ")


def takes(kind: type[Reading], needs: Takes | None, found: Check) -> Words:
    """What it would take by hand or by video.

    Parameters
    ----------
    kind : type of Reading
        `Timed` or `Filmed`.
    needs : Takes or None
        What was found.
    found : Check
        The check.

    Returns
    -------
    str or Said
        A sentence; nothing where it is good enough now, or there are no cones.
    """
    if found.window is None or found.cones is None or any(isinstance(band.reading, kind) for band in found.good):
        return ""
    how = "By stopwatch" if kind is Timed else "By video of the cones"
    if needs is None:
        frames = said("up to 240 frames/s from up to {camera:length.0} beside", camera=30.0)
        tried = "the mean of up to 20 runs" if kind is Timed else frames
        more = "where that can be had also a digital level for the slopes, and cones twice as far apart"
        return said(f"{how} nothing that was tried tells this window: {{tried}}; {more}.", tried=tried)
    parts = [
        said("the mean of {runs:count} runs", runs=needs.runs) if needs.runs is not None else "",
        said("{rate:count} frames/s", rate=needs.rate) if needs.rate is not None else "",
        said("from {camera:length.0} beside", camera=needs.camera) if needs.camera is not None else "",
        said("the cones {length:length} apart", length=needs.length) if needs.length is not None else "",
        "the run-in's slopes by a digital level, to 0.3°" if needs.level else "",
    ]
    within = "then 90 of 100 lie within ± {ninety:speed}"
    return said(f"{how} it would take {{parts}}: {within}.", parts=joined(parts, ", "), ninety=needs.ninety)


def how(reading: Reading) -> Words:
    """What was read, as it is said back.

    Parameters
    ----------
    reading : Reading
        What was measured.

    Returns
    -------
    Said
        Words.
    """
    called = name(reading)
    if isinstance(reading, Timed):
        return said("{name}: {time:time.2} over {length:length}", name=called, time=reading.time, length=reading.length)
    if isinstance(reading, (Filmed, Passing)):
        over = said(" over {length:length}", length=reading.length) if isinstance(reading, Filmed) else " for the wheelbase"
        kind = "count" if reading.frames == int(reading.frames) else "load bare"
        return said(f"{{name}}: {{frames:{kind}}} frames{{over}}", name=called, frames=reading.frames, over=over)
    if isinstance(reading, Airtime):
        return said("{name}: {time:time.2} over {along:length}", name=called, time=reading.time, along=reading.along)
    return said("{name}: {speed:speed}", name=called, speed=reading.speed)


def lies(found: Measured, at: Lies | None, of: Window | None, *, drop: bool) -> list[Words]:
    """Where a reading lies in the window, in one sentence; of a flight also where it went.

    Parameters
    ----------
    found : Measured
        From a reading.
    at : Lies or None
        Where it lies; None where there is no window.
    of : Window or None
        Speeds to check for.
    drop : bool
        Whether the jump is a drop.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    low, high = found.foot_interval
    place = "at the edge" if drop else "just before the lip"
    edge = "" if drop or found.edge_speed is None else said(" ({edge:speed} at its edge)", edge=found.edge_speed)
    verdict = "there is no speed to check for" if at is None else _LIES[at]
    against: Words = "" if of is None else said(", {window:speed}", window=window(of))
    speed = said(
        "{how}. That is {foot:speed} {place}{edge}, 90 of 100 between {low:speed bare} and {high:speed}: {verdict}{against}.",
        how=how(found.reading), foot=found.foot_speed, place=place, edge=edge, low=max(low, 0.0), high=high, verdict=verdict,
        against=against,
    )  # fmt: skip
    return listed([sentence(speed), _direction(found), "" if found.known_ground else "The ground between was not measured."])


def _direction(found: Measured) -> Words:
    """Where a flight went against where a stiff rider would have gone."""
    if found.direction is None:
        return ""
    off, sure = found.direction - found.expected, NINETY * found.direction_uncertainty
    values = {"direction": found.direction, "sure": sure, "expected": found.expected, "off": abs(off)}
    text = "It left at {direction:angle}, 90 of 100 within ± {sure:angle}; off the lip as measured a stiff rider leaves at {expected:angle}"
    if abs(off) <= sure:
        return said(f"{text}: that agrees.", **values)
    why = "the rider sprang, or the lip is steeper" if off > 0 else "the rider squashed it, or the lip is flatter"
    return said(f"{text}: {{off:angle}} {'steeper' if off > 0 else 'flatter'}, {why} than measured.", **values)
