"""The test day in words: steps with what each must show, who stands where, when it is called off, what is looked at before and after."""

from __future__ import annotations

from jumpcalc.plan.inputs.line import Jump
from jumpcalc.plan.limits import FALL_ZONE
from jumpcalc.plan.notes import Code
from jumpcalc.plan.studies.field.check import Band
from jumpcalc.plan.studies.field.kinds import Filmed, Passing, Receiver, Timed
from jumpcalc.plan.studies.field.testday import CHECKS, NOTHING, DayPlan, Step, Version
from jumpcalc.plan.studies.field.window import Grade
from jumpcalc.show.words import jump as told
from jumpcalc.show.words.notes import strokes
from jumpcalc.show.words.rideable import do_not
from jumpcalc.show.words.said import Between, Least, Most, Words, joined, said, sentence
from jumpcalc.show.words.window import sure

__all__ = ["SOURCE", "after", "before", "call_off", "cannot", "done", "easier", "from_log", "headline", "how", "step", "who"]

SOURCE = (
    "The order of the steps, who stands where and when it is called off are common practice, no source; how many checks a step takes is "
    "a judgement. Speeds, marks and places to stop are this line's, by the model."
)

_ROLLED = 1.0  # m, a last place to stop that is nearer to the start mark is none to decide at

_CANNOT = {
    "no run-in": "The run-in was not measured: there are no marks. Begin low, go up a metre at a time, and let the speed alone decide.",
    "no mark": "This run-in gives no speed that lands clean: there is nothing to test up to. Change the run-in first.",
    "no way off": (
        "There is no way off before the lip: the speed that lands clean cannot be checked with the lip not jumped. Make one first, or do "
        "not test this line."
    ),
    "way off not known": (
        "Whether there is a way off before the lip is not said: without one the speed that lands clean cannot be checked with the lip "
        "not jumped, and this line cannot be tested in steps. Look for it first."
    ),
    "no table": "No easier version was found that lands clean: the first flight is over the whole gap.",
    "next must be jumped": (
        "There is no way round the jump after the first: whoever flies the first has to fly that one too, so the two cannot be tested one "
        "by one."
    ),
    "next not known": "Whether one can leave before the jump after the first is not said: look at that before the first flight.",
}


def headline(plan: DayPlan) -> Words:
    """What the day comes to, in a sentence or two.

    Parameters
    ----------
    plan : DayPlan
        The test day.

    Returns
    -------
    str or Said
        Sentences.
    """
    jumps = len(plan.answer.jumps)
    if plan.refused is not None:
        number = plan.refused.jump
        more = "" if number is None else told.no_ride(plan.answer.jumps[number - 1])
        return joined([more or sentence(do_not(plan.refused, jumps=jumps)), "So there is nothing to test."])
    if not plan.steps:
        return joined([_CANNOT[word] for word in plan.cannot if word in NOTHING])
    part = "It cannot all be tested in steps: see below." if plan.cannot else ""
    begin = said(
        "To the first flight in {count:count} steps. Go on only when a step has shown what it must, on the same day, in the same wind.",
        count=_number(plan, next(one for one in plan.steps if one.kind == "jump")),
    )  # fmt: skip
    stiff = sure(plan.first) if plan.first.sure is None else ""
    return joined([*told.before_speed(plan.first), stiff, begin, part])


def cannot(plan: DayPlan) -> list[Words]:
    """What of a test in steps this line does not allow.

    Parameters
    ----------
    plan : DayPlan
        The test day.

    Returns
    -------
    list of str
        Sentences.
    """
    return [_CANNOT[word] for word in plan.cannot if plan.steps or word not in NOTHING]


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


def step(plan: DayPlan, one: Step) -> Words:
    """A step, with what it must show before the next.

    Parameters
    ----------
    plan : DayPlan
        The test day.
    one : Step
        One of its steps.

    Returns
    -------
    Said
        Sentences.
    """
    if one.kind == "next":
        return _next(plan, one)
    name = told.end(plan.first)
    place = "at the edge" if name == "edge" else "just before the lip"
    start: Words = "Start where the speed comes out right"
    if one.mark is not None:
        start = said("Start {mark:length} before the {end}", mark=one.mark, end=name)
    pedalled = plan.answer.complete.run_in.strokes
    start = joined([start, said(", {strokes}", strokes=strokes(pedalled)) if pedalled else ""], "")
    low, _, high = one.go
    band = Between(Least(low), Most(high))  # inward, so that what is printed counts
    if one.kind == "check":
        times = "once" if one.needs == 1 else said("{needs:count} times in a row", needs=one.needs)
        show = said(
            f"{{start}} and do not jump it: {{clean:speed}} {place}, {{times}}.", start=start, times=times, clean=band
        )
        return joined([show, _stop(one, name)])
    return joined(
        [
            said(
                f"First flight. {{start}}: the rider who made the checks, the last {{checks:count}} of them within {{clean:speed}} "
                f"{place}.",
                start=start, checks=CHECKS, clean=band,
            ),
            said("{checks:count} clean in a row before anything changes: rider, bike, mark, wind.", checks=one.needs),
        ]
    )  # fmt: skip


def easier(version: Version, *, gap: float) -> Words:
    """An easier version to fly before the jump.

    Parameters
    ----------
    version : Version
        Solved.
    gap : float
        Gap of the jump itself [m].

    Returns
    -------
    Said
        Sentences.
    """
    low, _, high = version.foot
    text = "A smaller one first, where it can be had: a table with a gap of {gap:length}"
    if version.gap == gap:
        text = "A table first, where it can be had: the same with its gap of {gap:length} filled or bridged"
    what = said(text, gap=version.gap)
    if version.mark is not None:
        where = said(", from {mark:length} before the lip for its aim", mark=version.mark)
    else:
        where = ""
    if version.short is not None and version.short.surface == "deck":
        short = said("A tenth too slow lands on the deck, {hit}.", hit=told.fall(version.short.equivalent_fall))
    else:
        short = ""
    return joined(
        [said("{what} lands clean at {clean:speed} just before the lip{where}.", what=what, where=where,
              clean=Between(Least(low), Most(high))), short]
    )  # fmt: skip


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
                ways.setdefault(type(band.reading), _by(plan, band))
        if ways:
            return [said("{word}: {ways}.", word=word, ways=joined(ways.values(), "; "))]
    return ["No way of measuring tells this band here: until one does, no first flight. The speed check says what it would take."]


def _by(plan: DayPlan, band: Band) -> Words:
    """What a way of measuring shows within the band of the first flight."""
    reading, name = band.reading, told.end(plan.first)
    at = said(f"{{near:length}} before the {name}", near=reading.before_foot)
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


def done(one: Step) -> Words:
    """How much of a step a log shows; nothing without one.

    Parameters
    ----------
    one : Step
        A step.

    Returns
    -------
    str or Said
        A few words.
    """
    if one.done is None:
        return ""
    return "done" if one.shown else said("{done:count} of {needs:count}", done=min(one.done, one.needs), needs=one.needs)


def from_log(plan: DayPlan) -> list[Words]:
    """What the log says of the day.

    Parameters
    ----------
    plan : DayPlan
        The test day.

    Returns
    -------
    list of str or Said
        Sentences; none without a log.
    """
    if plan.day is None or not plan.steps:
        return []
    said_of: list[Words] = [
        said(
            "By the log of {day}, {count:count} {rides} counted: from a mark of this plan, on the line's bike and ground.",
            day=plan.day, count=plan.counted, rides="ride" if plan.counted == 1 else "rides",
        )
    ]  # fmt: skip
    if plan.outside:
        return [*said_of, "The last two lie outside: back one step and find out why; a second time, not today."]
    following = plan.following
    if following is None:
        return [*said_of, "All that this plan asks of the first jump is shown. Another day begins again with the checks."]
    return [*said_of, said("Next is step {number:count}.", number=_number(plan, following))]


def _number(plan: DayPlan, one: Step) -> int:
    """The number of a step: the look round is the first, what may be flown before the jump comes after the checks."""
    return 2 + plan.steps.index(one) + (0 if one.kind == "check" else len(plan.versions))


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


def _stop(one: Step, name: str) -> Words:
    """Where it is still stopped riding a check."""
    found = one.stop
    if found is None:
        return "Whether it can still be stopped from there is not known: only with a way off."
    if not found.exists or found.last > one.mark - _ROLLED:
        return f"From there nothing stops before the {name}: only with a way off to the side."
    return said(
        f"Decide to stop at the latest {{last:length}} before the {name}, at {{speed:speed}}; after that only the way off.",
        last=found.last, speed=found.speed,
    )  # fmt: skip


def _next(plan: DayPlan, one: Step) -> Words:
    """On to a jump after the first."""
    jump, before_it = plan.answer.jumps[one.jump - 1], plan.answer.jumps[one.jump - 2]
    low, _, high = one.go
    where = "at its edge" if told.end(jump) == "edge" else "just before its lip"
    speeds = said(f"{{clean:speed}} {where}", clean=Between(Least(low), Most(high)))
    leave = before_it.way_out is not None and before_it.way_out.way_round
    text = "On to {name}: {leave}it lands clean at {speeds}."
    words = "until then leave by the way round it, and check there what you come with; " if leave else ""
    return said(text, name=jump.name, leave=words, speeds=speeds)
