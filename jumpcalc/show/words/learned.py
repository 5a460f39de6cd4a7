"""What tries taught, in sentences."""

from __future__ import annotations

from collections.abc import Sequence

from jumpcalc.plan import limits
from jumpcalc.plan.studies.field.corrected import Forecast
from jumpcalc.plan.studies.field.learn import ENOUGH, Blunder, Held, Learned, Taught
from jumpcalc.plan.studies.field.readings import NINETY
from jumpcalc.plan.studies.field.why import Why
from jumpcalc.show.words import causes
from jumpcalc.show.words.notes import strokes
from jumpcalc.show.words.rideable import in_full
from jumpcalc.show.words.said import Between, Words, and_list, joined, listed, said

__all__ = ["HELD_HEAD", "TAUGHT_HEAD", "blunders", "held_rows", "name_of", "next_try", "of_the_log", "taught", "taught_rows", "untold"]

NAMES = {
    "rolling": "rolling resistance", "drag": "drag area", "lip": "lip angle", "spring": "what the rider adds across the lip",
    "slope": "steepness of the run-in", "sensor": "what the wheel sensor shows", "wind": "wind from behind beyond what was felt",
}  # fmt: skip
_SHORT = {
    "rolling": "the run-in's rolling", "drag": "air drag", "lip": "the lip's angle", "spring": "what the rider adds at the lip",
    "slope": "the run-in's steepness", "sensor": "the sensor's error", "wind": "a headwind",
}  # fmt: skip
_OTHERWISE = {"tailwind": "wind", "start_speed": "speed at the mark", "strokes": "number of strokes"}
_HARDLY = 0.4  # of what is left of the doubt: less has hardly moved

TAUGHT_HEAD = ("what", "taken before", "from the tries", "doubt that is left")
"""Heads of the table of what was learned."""

HELD_HEAD = ("try", "from", "before the lip", "expected", "touched at", "expected at", "off by, in usual scatters")
"""Heads of the table of tries."""


def name_of(one: Taught) -> str:
    """What an unknown is called, with what it is of.

    Parameters
    ----------
    one : Taught
        The unknown.

    Returns
    -------
    str
        Such as "rolling resistance, hardpack".
    """
    return f"{NAMES[one.name]}, {one.of}" if one.of else NAMES[one.name]


def next_try(found: Learned) -> list[Words]:
    """What to expect next, and how much better that is than before.

    Parameters
    ----------
    found : Learned
        What tries taught.

    Returns
    -------
    list of Said
        Sentences.
    """
    after = found.next
    if after.refused is not None:
        of = "" if after.as_measured else "So says the line as these tries correct it. "
        return [in_full(after.refused, after.answer), f"{of}There is no next try, and no start mark is given."]
    if after.top is not None:
        return [*of_the_log(found), *_too_short(found)]
    told = of_the_log(found)
    if found.torn:
        told.append(
            said(
                "Of {count:count} landings {short:count} were short and {long:count} long: no start mark makes such tries clean, and none "
                "is given. Find out first what changes between them: why they land there.",
                count=len(found.landed), short=found.landed.count("short"), long=found.landed.count("long"),
            )
        )  # fmt: skip
        return told
    if not found.enough:
        told.append(
            said(
                "{count} to learn from: too few. What follows is still mostly what was taken before; from {enough:count} tries on "
                "they begin to tell.",
                count="One try" if found.used == 1 else f"{found.used} tries", enough=ENOUGH,
            )
        )  # fmt: skip
    if after.mark is None:
        told.append(
            said(
                "Aim for {foot:speed} before the lip, {edge:speed} at its edge. No start mark is given: the run-in is not measured, "
                "or the strokes do not fit.",
                foot=after.foot_speed, edge=after.edge_speed,
            )
        )  # fmt: skip
        return told
    told.append(
        said(
            "By {origin}, start {mark:length} before the foot of the lip: {foot:speed} there, {edge:speed} at its edge.",
            origin=found.origin, mark=after.mark, foot=after.foot_speed, edge=after.edge_speed,
        )
    )  # fmt: skip
    run_in = after.answer.jumps[0].run_in
    if run_in.from_top:
        told.append(said("That is the top of the run-in, {missing:speed} under the aim at the edge.", missing=run_in.missing))
    told += [_conditions(found), _expected(after.learned, found), _before(after.learned, after.untried)]
    return told


def _conditions(found: Learned) -> Words:
    """The wind and the start that the next mark is for, and whether any of the tries had others."""
    line = found.next.answer.complete
    wind, start, pedalled = line.air.tailwind, line.run_in.start_speed, line.run_in.strokes
    blows = "still air or nearly so"
    if abs(wind) > limits.WIND_DOUBT.value:
        blows = f"{{wind:speed}} of wind from {'behind' if wind > 0 else 'ahead'}"
    begins = "starting at {start:speed}" if start else "rolling off from rest"
    told = said(
        f"That mark is for {blows}, {begins} {'with {strokes}' if pedalled else 'without a pedal stroke'}.",
        wind=abs(wind), start=start, strokes=strokes(pedalled) if pedalled else "",
    )  # fmt: skip
    if not found.otherwise:
        return told
    names = and_list([_OTHERWISE[name] for name in found.otherwise])
    return joined([told, f"Some of these tries had another {names}: for that, write it into the line first, and ask again."])


def of_the_log(found: Learned | Why) -> list[Words]:
    """What must be known of the tries before anything that is learned from them.

    Parameters
    ----------
    found : Learned or Why
        What came of them.

    Returns
    -------
    list of Said
        Tries on wet ground, which are left out; tries on other ground, which are not.
    """
    told, wet = [], sum(one.wet for one in found.left)
    if wet:
        tries = "One try" if wet == 1 else "{count:count} tries"
        told.append(said(f"{tries} on wet ground {'is' if wet == 1 else 'are'} left out: what follows is of dry ground alone.", count=wet))
    if found.elsewhere:
        tries = "One try was" if found.elsewhere == 1 else "{count:count} tries were"
        told.append(
            said(
                f"{tries} written down for other ground than this line has now. If it was only measured anew, that is as it should be; if "
                "it was dug since, or is another jump, begin a new log: what follows would mix the two.",
                count=found.elsewhere,
            )
        )
    return told


def _too_short(found: Learned) -> list[Words]:
    """That there is no next try from a run-in that is too short, with what its top would give."""
    after = found.next
    few = "" if found.enough else "These are too few tries to be sure of it. "
    return [
        said(
            "There is no next try from this run-in: by {origin} it is too short for the aim, {foot:speed} before the lip. From its top, "
            "{top:length} before the foot of the lip, 9 of 10 tries are expected at {most:speed} there.",
            origin=found.origin, foot=after.foot_speed, top=after.top, most=Between(*after.learned.foot),
        ),
        f"{few}Look first at what the tries point to: why they land there.",
    ]  # fmt: skip


def _expected(one: Forecast, found: Learned) -> Words:
    """Where nine of ten next tries are."""
    length = found.corrected.jumps[0].landing.length
    low, high = one.touched
    place: Words
    if low < 0:
        still = "to touch from short of the landing to {high:length} down it: coming up short is still among them"
        place = said(still, high=max(high, 0.0))
    elif high > length:
        place = said("to touch from {low:length} down the landing to beyond its end: going long is still among them", low=low)
    else:
        place = said("to touch {span:length} down the landing with the rear wheel", span=Between(low, high))
    return said("From there 9 of 10 tries are expected at {foot:speed} before the lip, and {place}.", foot=Between(*one.foot), place=place)


def _before(one: Forecast, untried: Forecast) -> Words:
    """How much narrower that is than before any try."""
    widths = [(now[1] - now[0]) / (was[1] - was[0]) for now, was in ((one.foot, untried.foot), (one.touched, untried.touched))]
    return said(
        "Before any try, the same mark stood for {foot:speed}: the span of speeds is now {foot_share:share} as wide, that of places "
        "{place_share:share}.",
        foot=Between(*untried.foot), foot_share=widths[0], place_share=widths[1],
    )  # fmt: skip


def taught(found: Learned) -> list[Words]:
    """What moved, and what is left of scatter.

    Parameters
    ----------
    found : Learned
        What tries taught.

    Returns
    -------
    list of Said
        Sentences.
    """
    told = listed(_moved(one) for one in found.taught if one.told)
    rider = next((one for one in found.held if one.trusted), None)
    foot = rider.foot if rider is not None else 0.0
    told.append(
        said(
            "From try to try 9 of 10 differ by no more than ± {speed:speed} before the lip and ± {spring:speed} in what the rider adds "
            "at it.",
            speed=NINETY * found.scatter[1] * foot, spring=NINETY * found.scatter[0],
        )
    )  # fmt: skip
    return [*told, untold(found), _tied(found)]


def untold(found: Learned) -> Words:
    """What these tries say nothing of.

    Parameters
    ----------
    found : Learned
        What tries taught.

    Returns
    -------
    str or Said
        A sentence; nothing where all was told.
    """
    names = list(dict.fromkeys(_SHORT[one.name] for one in found.taught if not one.told))
    return f"They say next to nothing of {and_list(names)}: there what was taken before stays." if names else ""


def _tied(found: Learned) -> Words:
    told = [f"{_SHORT[first]} from {_SHORT[second]}" for first, second, _ in found.tied[:2]]
    return f"These tries cannot tell {' nor '.join(told)}: only what both do together is known." if told else ""


def _moved(one: Taught) -> Words:
    """One value that moved, in a sentence."""
    by, left = one.after - one.before, NINETY * one.after_sd
    if abs(by) < _HARDLY * one.after_sd:
        return said("{name} is about as taken.", name=_SHORT[one.name][:1].upper() + _SHORT[one.name][1:])
    more = by > 0
    ways = {
        "rolling": (f"{one.of[:1].upper()}{one.of[1:]} rolls {'slower' if more else 'faster'} here than taken: rolling resistance "
                    f"{one.after:.3f}, give or take {left:.3f}, instead of {one.before:.3f}."),
        "drag": "Air drag is {more} than taken: {after:area.2} instead of {before:area.2}.",
        "lip": f"The lip acts as if it were {{by:angle.1}} {'steeper' if more else 'flatter'} than measured, "
               "give or take {left:angle.1}.",
        "spring": f"As a rule this rider {'springs off the lip' if one.after > 0 else 'squashes the lip'}, by {{size:speed}} across it, "
                  "give or take {left:speed}.",
        "slope": f"The run-in acts as if it were {{by:share}} {'steeper' if more else 'flatter'} than measured, "
                 "give or take {left:share}.",
        "sensor": f"The wheel sensor shows {{by:share.1}} too {'much' if more else 'little'}, give or take {{left:share.1}}.",
        "wind": f"On {one.of} there was {{by:speed}} more wind from {'behind' if more else 'ahead'} than noted, "
                "give or take {left:speed}.",
    }  # fmt: skip
    return said(
        ways[one.name], by=abs(by), left=left, size=abs(one.after), after=one.after, before=one.before, more="more" if more else "less"
    )


def blunders(found: Learned) -> list[Words]:
    """The tries that were not believed, and those that were not looked at.

    Parameters
    ----------
    found : Learned
        What tries taught.

    Returns
    -------
    list of Said
        Sentences.
    """
    told = [_blunder(one, found) for one in found.blunders]
    return [*told, *(said("Try {number:count} was left out: {why}.", number=one.number + 1, why=one.why) for one in found.left)]


def _blunder(one: Blunder, found: Learned) -> Words:
    explained = joined([causes.told(cause) for cause in one.causes[:3]], "; or ")
    return said(
        "Try {number:count} of {date} is not believed: it lies {far:load.1 bare} times as far from what the others say as tries "
        "usually do. {explained}",
        number=one.number + 1, date=found.tries[one.number].date, far=one.far,
        explained=said("It would be explained by {c}.", c=explained) if one.causes else "Nothing that was thought of explains it.",
    )  # fmt: skip


def taught_rows(found: Learned) -> list[list[Words]]:
    """The table of what was learned.

    Parameters
    ----------
    found : Learned
        What tries taught.

    Returns
    -------
    list of list of str or Said
        Cells in the order of `TAUGHT_HEAD`; ± holds 9 of 10.
    """
    return [
        [
            name_of(one), _number(one.name, one.before, one.before_sd), _number(one.name, one.after, one.after_sd),
            said("{left:share}", left=one.share),
        ]
        for one in found.taught
    ]  # fmt: skip


def _number(name: str, value: float, sd: float) -> Words:
    wide = NINETY * sd
    if name == "rolling":
        return f"{value:.3f} ± {wide:.3f}"
    kind = {"drag": "area.2", "lip": "angle.1", "spring": "speed", "slope": "share", "sensor": "share.1", "wind": "speed"}[name]
    signed = " signed" if name in ("spring", "wind") else ""
    return said(f"{{value:{kind} bare{signed}}} ± {{wide:{kind}}}", value=value, wide=wide)


def held_rows(tries: Sequence[Held]) -> list[list[Words]]:
    """The table of tries held against the fit.

    Parameters
    ----------
    tries : sequence of Held
        Of what was learned.

    Returns
    -------
    list of list of str or Said
        Cells in the order of `HELD_HEAD`; the last one in standard deviations.
    """
    return [
        [
            said("{number:count}", number=one.number + 1),
            "" if one.mark is None else said("{mark:length}", mark=one.mark),
            "" if one.foot_seen is None else said("{foot:speed}", foot=one.foot_seen),
            said("{foot:speed}", foot=one.foot),
            one.outcome or "" if one.touched_seen is None else said("{place:length}", place=one.touched_seen),
            "short" if one.touched < 0 else said("{place:length}", place=one.touched),
            f"{one.far:.1f}{'' if one.trusted else ', not believed'}",
        ]
        for one in tries
    ]  # fmt: skip
