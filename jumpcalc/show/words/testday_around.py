"""What stands beside the steps of a test day: before and after, how the speed is checked, who stands where, when it is called off."""

from __future__ import annotations

from jumpcalc.plan.inputs.dug import Jump
from jumpcalc.plan.limits import FALL_ZONE
from jumpcalc.plan.notes import Code
from jumpcalc.plan.studies.field.check import Band
from jumpcalc.plan.studies.field.kinds import Filmed, Passing, Receiver, Timed
from jumpcalc.plan.studies.field.testday import DayPlan
from jumpcalc.plan.studies.field.window import Grade
from jumpcalc.show.words import jump as told
from jumpcalc.show.words.said import Between, Least, Most, Words, joined, said

__all__ = ["after", "before", "call_off", "how", "who"]


def before(plan: DayPlan) -> list[Words]:
    """What is looked at before the first roll.

    Parameters
    ----------
    plan : DayPlan
        The test day.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    if not plan.steps:
        return []
    jumps = plan.answer.complete.jumps
    taped = joined([_taped(jump, several=len(jumps) > 1) for jump in jumps], "; ")
    return [
        said("Tape and level again: {taped}. Other numbers: solve anew, the marks no longer hold.", taped=taped),
        "Lip, landing, runout and way off: no soft spots, ruts, stones, water. Dry enough: nothing sticks, a heel leaves no dent.",
        "Brakes, tyres, axles, bars; helmet and pads on. A phone with signal, or who drives; who knows first aid.",
        "A word to call it off, which anyone may say without a reason.",
    ]


def how(plan: DayPlan) -> list[Words]:
    """How the speed of a check is measured here, by what is good enough to tell it, or at least roughly.

    Parameters
    ----------
    plan : DayPlan
        The test day.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    if not plan.steps:
        return []
    for grade, word in ((Grade.GOOD, "Good enough here"), (Grade.ROUGH, "Only roughly, average several runs")):
        ways: dict[type, Words] = {}
        for band in plan.bands:
            if band.grade is grade and band.slow is not None:
                ways.setdefault(type(band.reading), said("{by} (± {ninety:speed})", by=_by(plan, band), ninety=band.ninety))
        if ways:
            return [
                said("{word}: {ways}.", word=word, ways=joined(ways.values(), "; ")),
                "These are the ends of the band: nearer to them than ± it may lie outside, and is measured again.",
            ]
    return ["No way of measuring tells this band here: until one does, no first flight. The speed check says what it would take."]


def who(plan: DayPlan) -> list[Words]:
    """Who stands where.

    Parameters
    ----------
    plan : DayPlan
        The test day.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    if not plan.steps:
        return []
    return [
        "One rider on the run-in, nobody else. One beside the run-in who times, and calls slow, in or fast after each check.",
        said(
            "One beside the landing who sees it and the run-in, at least {clear:length} clear of it ({zone:length} and the height of the "
            "lip: municipal bike-park guide, Quebec). Nobody nearer, nobody in the runout.",
            clear=plan.clear, zone=FALL_ZONE.value,
        ),
        "The way off before the lip kept clear, and marked where it leaves.",
    ]


def call_off(plan: DayPlan) -> list[Words]:
    """When the day is over.

    Parameters
    ----------
    plan : DayPlan
        The test day.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    if not plan.steps:
        return []
    winds = [jump.side_wind for jump in plan.answer.jumps if jump.side_wind]
    side = said(", or {wind:speed.0} or more from the side", wind=Most(min(winds))) if winds else ""
    gusts = any(of.code in (Code.A_GUST_FROM_AHEAD, Code.A_GUST_FROM_BEHIND) for jump in plan.answer.jumps for of in jump.beware)
    return [
        said(
            f"Gusts{{side}}{' (here a gust alone takes the aim off what lands clean)' if gusts else ''}; another wind than at the checks: "
            "check again.",
            side=side,
        ),
        "Wet, or it begins to stick.",
        "Two checks in a row outside their band: back one step, and find out why. A second time: not today.",
        "A landing that was not clean, a hit, or a rider or helper who is not sure.",
    ]


def after(plan: DayPlan) -> list[Words]:
    """What is done after the last ride.

    Parameters
    ----------
    plan : DayPlan
        The test day.

    Returns
    -------
    list of str
        Sentences.
    """
    if not plan.steps:
        return []
    return [
        "Lip, landing, runout: cracks, ruts, soft spots; rake them, and tape again what moved.",
        "Write every check and flight down: mark, wind, speed, where the rear wheel touched. Another rider, bike, day or ground begins "
        "again with the checks.",
    ]


def _by(plan: DayPlan, band: Band) -> Words:
    """What a way of measuring shows within the band of the first flight."""
    reading = band.reading
    at = said(f"{{near:length}} before the {told.foot(plan.first)}", near=reading.before_foot)
    if isinstance(reading, (Filmed, Timed)):
        at = said("cones {apart:length} apart, the second {near}", apart=reading.length, near=at)
    if isinstance(reading, Timed):
        how = "stopwatch" if (reading.runs or 1) == 1 else f"stopwatch, mean of {reading.runs}"
        return said("{how}, {at}: {fast:time.2} to {slow:time.2}", how=how, at=at, fast=Least(band.fast), slow=Most(band.slow))
    if isinstance(reading, (Filmed, Passing)):
        what = "" if isinstance(reading, Filmed) else "the bike's own length past a post "
        return said(
            "filmed with {rate:count} frames a second, {what}{at}: {fast:count} to {slow:count} frames",
            rate=reading.rate, what=what, at=at, fast=band.fast, slow=band.slow,
        )
    what = "satellite receiver" if isinstance(reading, Receiver) else "wheel sensor, rolled out" if reading.rolled_out else "wheel sensor"
    return said("{what}, read {at}: {shows:speed}", what=what, at=at, shows=Between(Least(band.slow), Most(band.fast)))


def _taped(jump: Jump, *, several: bool) -> Words:
    """The measures of a jump that decide."""
    landing = jump.landing
    level: Words = "level with the edge"
    if abs(landing.drop) >= 0.005:
        level = said(f"{{by:height}} {'lower' if landing.drop > 0 else 'higher'} than the edge", by=abs(landing.drop))
    name = said("{name}: ", name=jump.name) if several else ""
    return said(
        "{name}gap {gap:length}, knuckle {level}, landing {long:length}", name=name, gap=landing.gap, level=level, long=landing.length
    )
