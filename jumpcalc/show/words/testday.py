"""The test day in words: its steps with what each must show before the next, and what a log shows of them."""

from __future__ import annotations

from jumpcalc.plan.answer import JumpAnswer
from jumpcalc.plan.studies.field.steps import Step
from jumpcalc.plan.studies.field.testday import CHECKS, NOTHING, DayPlan, Version
from jumpcalc.show.words import jump as told
from jumpcalc.show.words.notes import strokes
from jumpcalc.show.words.rideable import in_full
from jumpcalc.show.words.said import Between, Least, Most, Words, joined, said
from jumpcalc.show.words.window import jumped_off, sure

__all__ = ["SOURCE", "cannot", "done", "easier", "from_log", "headline", "step"]

SOURCE = (
    "The order of the steps, who stands where and when it is called off are common practice, no source; how many checks a step takes is "
    "a judgement. Speeds, marks and places to stop are this line's, by the model."
)

_AGAIN = "Another day, rider or wind begins again with the checks."

_CANNOT = {
    "no run-in": "The run-in was not measured: there are no marks. Begin low, go up a metre at a time, and let the speed alone decide.",
    "no mark": "This run-in does not give the aim's speed: there is nothing to test up to. Change the run-in first.",
    "no way off": (
        "There is no way off before the lip: the speed that lands clean cannot be checked with the lip not jumped. Make one first, or do "
        "not test this line."
    ),
    "way off not known": (
        "Whether there is a way off before the lip is not said: without one the speed that lands clean cannot be checked with the lip "
        "not jumped, and this line cannot be tested in steps. Look for it first."
    ),
    "no table": "No easier version was found that lands clean: the first flight is over the whole gap.",
    "room not known": (
        "Whether there is room to stop after the last landing is not known: measure the runout, and give its grip, before any flight."
    ),
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
    if plan.refused is not None:
        return joined([in_full(plan.refused, plan.answer), "So there is nothing to test."])
    if not plan.steps:
        return joined([_CANNOT[word] for word in plan.cannot if word in NOTHING])
    part = "It cannot all be tested in steps: see below." if plan.cannot else ""
    begin = said(
        "To the first flight in {count:count} steps. Go on only when a step has shown what it must, on the same day, in the same wind.",
        count=_number(plan, next(one for one in plan.steps if one.kind == "jump")),
    )  # fmt: skip
    stiff = sure(plan.first) if plan.first.sure is None else jumped_off(plan.first)
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
        start = said("Start {mark:length} before the {end}", mark=one.mark, end=told.foot(plan.first))
    pedalled = plan.answer.complete.run_in.strokes
    start = joined([start, said(", {strokes}", strokes=strokes(pedalled)) if pedalled else ""], "")
    low, _, high = one.go
    band = said("{clean:speed}", clean=Between(Least(low), Most(high)))  # inward, so that what is printed counts
    if plan.first.window.from_rest and (one.kind == "jump" or one.needs > 1):
        band = said("up to {high:speed}", high=Most(high))
    if one.kind == "check":
        times = "once" if one.needs == 1 else said("{needs:count} times in a row", needs=one.needs)
        show = said(
            f"{{start}} and do not jump it: {{band}} {place}, {{times}}.", start=start, times=times, band=band
        )
        return joined([show, _stop(one, plan.first)])
    return joined(
        [
            said(
                f"First flight. {{start}}: the rider who made the checks, the last {{checks:count}} of them at {{band}} "
                f"{place}.",
                start=start, checks=CHECKS, band=band,
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
        where = said(", from {mark:length} before the foot of the lip for its aim", mark=version.mark)
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
    found = plan.shown
    if found is None or not plan.steps:
        return []
    said_of: list[Words] = [
        said(
            "By the log of {day}, {count:count} of {all:count} {rides} counted: those of {rider} in the wind of the last one, from a mark "
            "of this plan, on the line's bike and ground, that say how they went.",
            day=plan.day, count=found.counted, all=found.rides, rides="ride" if found.rides == 1 else "rides",
            rider=found.rider or "the rider without a name",
        )
    ]  # fmt: skip
    if found.off:
        return [*said_of, f"A landing was not clean: by this plan the day is over. Find out why before the next. {_AGAIN}"]
    if found.outside:
        return [*said_of, "The last two lie outside: back one step and find out why; a second time, not today."]
    following = plan.following
    if following is None:
        return [*said_of, f"All that this plan asks of the first jump is shown. {_AGAIN}"]
    number = _number(plan, following)
    if following.kind == "jump" and plan.versions and not following.done:
        easier_one = said(
            "Next is step {first:count} where it can be had, which no log of this line shows; then step {number:count}.",
            first=number - len(plan.versions), number=number,
        )
        return [*said_of, joined([easier_one, _AGAIN])]
    return [*said_of, joined([said("Next is step {number:count}.", number=number), _AGAIN])]


def _number(plan: DayPlan, one: Step) -> int:
    """The number of a step: the look round is the first, what may be flown before the jump comes after the checks."""
    return 2 + plan.steps.index(one) + (0 if one.kind == "check" else len(plan.versions))


def _stop(one: Step, jump: JumpAnswer) -> Words:
    """Where it is still stopped riding a check."""
    found = one.stop
    if found is None:
        return "Whether it can still be stopped from there is not known: only with a way off."
    if not found.exists:
        return f"From there nothing stops before the {told.end(jump)}: only with a way off to the side."
    return said(
        "Decide to stop at the latest {last:length} before the {tape}, at {speed:speed}; after that only the way off.",
        last=Least(found.last), speed=found.speed, tape=told.foot(jump),
    )  # fmt: skip


def _next(plan: DayPlan, one: Step) -> Words:
    """On to a jump after the first."""
    jump, before_it = plan.answer.jumps[one.jump - 1], plan.answer.jumps[one.jump - 2]
    low, _, high = one.go
    speeds = said(f"{{clean:speed}} {told.where_checked(jump)}", clean=Between(Least(low), Most(high)))
    leave = before_it.way_out is not None and before_it.way_out.way_round
    text = "On to {name}: {leave}it lands clean at {speeds}."
    words = "until then leave by the way round it, and check there what you come with; " if leave else ""
    return said(text, name=jump.name, leave=words, speeds=speeds)
