"""What is said of one jump: the answer in one sentence, landings, heights, and whether it can be rolled."""

from __future__ import annotations

from typing import TYPE_CHECKING

from jumpcalc.plan.answer import Answer, JumpAlone, JumpAnswer, LandingResult, Speeds
from jumpcalc.plan.ask.today import NOT_TODAY
from jumpcalc.plan.notes import Code
from jumpcalc.show.words.notes import beyond, first, note
from jumpcalc.show.words.said import Between, Least, Minus, Most, Words, joined, said, sentence

if TYPE_CHECKING:
    from jumpcalc.plan.studies.explain import Explanation

__all__ = [
    "before_speed",
    "checked_at",
    "clean",
    "end",
    "fall",
    "foot",
    "had",
    "headline",
    "heights",
    "known_first",
    "lifted",
    "no_ride",
    "no_room",
    "outcome",
    "reach",
    "rolled",
    "room",
    "where_checked",
]

_NO_ROOM = "There is not enough room to stop after it."

_OUTCOMES = {
    "rear short": "cased: rear wheel on the knuckle",
    "clean": "both wheels on the landing",
    "front long": "front wheel past the landing",
    "long": "overshot",
    "unknown": "could not be worked out",
}

_SHORT = {
    "deck": "landed on the deck",
    "floor": "short: into the gap",
    "wall": "short: into the near wall of the landing",
    "knuckle": "short: onto the edge of the knuckle",
    "edge": "rolled off the edge, too slow to fly",
}


def outcome(landing: LandingResult, shape: str = "gap") -> str:
    """What a landing is called in the trade.

    Parameters
    ----------
    landing : LandingResult
        One touchdown.
    shape : str
        The jump's.

    Returns
    -------
    str
        Words.
    """
    if landing.outcome != "short":
        return _OUTCOMES[landing.outcome]
    if shape == "drop" and landing.surface == "floor":
        return "short: below the drop, before the landing"
    return _SHORT[landing.surface]


def had(jump: JumpAnswer, landing: LandingResult) -> str:
    """That nobody leaves this edge so slowly, not even from a standstill at the foot; nothing where one may.

    Parameters
    ----------
    jump : JumpAnswer
        The answer for one jump.
    landing : LandingResult
        One of a speed that is off.

    Returns
    -------
    str
        Words or nothing.
    """
    slower = jump.window.from_rest and landing.lip_speed < jump.window.speeds.min
    return "cannot be had, even from a standstill at the foot the edge is left faster" if slower else ""


def end(of: JumpAnswer | Explanation) -> str:
    """What the run-in ends at, and the bike leaves the ground from.

    Parameters
    ----------
    of : JumpAnswer or Explanation
        The answer for one jump, or a landing on it.

    Returns
    -------
    str
        A word.
    """
    return "edge" if of.shape == "drop" else "lip"


def foot(of: JumpAnswer | Explanation) -> str:
    """Where a tape begins that is laid up a run-in.

    Parameters
    ----------
    of : JumpAnswer or Explanation
        The answer for one jump, or a landing on it.

    Returns
    -------
    str
        Words.
    """
    return "edge" if of.shape == "drop" else "foot of the lip"


def where_checked(of: JumpAnswer) -> str:
    """Where a jump's speed is checked, of one among several.

    Parameters
    ----------
    of : JumpAnswer
        The answer for one jump.

    Returns
    -------
    str
        Words.
    """
    return "at its edge" if of.shape == "drop" else "just before its lip"


def fall(metres: float | None) -> Words:
    """A hit as the height of a straight drop onto level ground.

    Parameters
    ----------
    metres : float or None
        Height [m]; None for a hit on an edge.

    Returns
    -------
    str or Said
        Words.
    """
    if metres is None:
        return "a hit on a fixed edge: no height describes it"
    return said("as hard as a drop of {height:drop}", height=metres)


def checked_at(jump: JumpAnswer) -> tuple[Speeds | None, str]:
    """The clean speeds where a rider can check them: on the run-in just before the lip, or at the edge of a drop.

    Parameters
    ----------
    jump : JumpAnswer
        The answer for one jump.

    Returns
    -------
    tuple
        Slowest, aim and fastest, and where that is.
    """
    return (jump.window.speeds, "at the edge") if jump.shape == "drop" else (jump.window.foot, "just before the lip")


def clean(speeds: Speeds) -> Between:
    """The slowest and the fastest clean speed, as they are printed.

    Parameters
    ----------
    speeds : Speeds
        Of a window.

    Returns
    -------
    Between
        Both.
    """
    return Between(Least(speeds.min), Most(speeds.max))


def room(speeds: Speeds) -> dict[str, Minus]:
    """How much slower and how much faster than the aim still lands clean.

    Parameters
    ----------
    speeds : Speeds
        Of a window.

    Returns
    -------
    dict
        Values for the places ``slower`` and ``faster`` of a template.
    """
    return {"slower": Minus(speeds.aim, Least(speeds.min)), "faster": Minus(Most(speeds.max), speeds.aim)}


def headline(jump: JumpAnswer, *, rides: bool = True) -> Words:
    """The answer in one sentence that a rider understands.

    Parameters
    ----------
    jump : JumpAnswer
        The answer for one jump.
    rides : bool
        Whether there is a start from which its whole line is ridden clean, as far as is known; else, and where nobody rides so
        exactly, it is no speed to ride at.

    Returns
    -------
    Said
        The sentence.
    """
    speeds, short = checked_at(jump)[0], reach(jump)
    rides = rides and not short and not no_room(jump) and not any(of.code is Code.NOBODY_RIDES_THAT_EXACTLY for of in jump.beware)
    if jump.no_ride is not None:
        return no_ride(jump)
    if speeds is None:
        return sentence(said("no lip speed lands both wheels on the landing: {why}", why=note(jump.window.why_none)))
    if jump.shape == "drop":
        begins = "Leave the edge at {aim:speed}" if rides else "It takes {aim:speed} at the edge"
    else:
        begins = f"{'Ride at' if rides else 'It takes'} {{aim:speed}} just before the lip ({{edge:speed}} at its edge)"
    slower = "anything slower, even from a standstill there," if jump.window.from_rest else "up to {slower:speed} slower"
    rolled, either = "", ""
    if jump.shape == "drop" and jump.path == "bike" and not jump.must_be_carried:
        rolled = "rolled off, "
        either = "; rolled off or carried, {sure:speed} does" if jump.sure is not None else ""
    text = said(
        f"{begins}; {rolled}{slower} or {'up to ' if jump.window.from_rest else ''}{{faster:speed}} faster still lands clean{either}.",
        aim=speeds.aim, edge=jump.window.speeds.aim, sure="" if jump.sure is None else Between(Least(jump.sure[0]), Most(jump.sure[1])),
        **room(speeds),
    )  # fmt: skip
    return joined([*before_speed(jump), no_room(jump), text, short])


def no_ride(jump: JumpAlone) -> Words:
    """Why no speed to ride is given, today or at all; nothing where one is given.

    Parameters
    ----------
    jump : JumpAlone
        The answer for one jump.

    Returns
    -------
    str or Said
        A sentence.
    """
    if jump.no_ride is None:
        return ""
    today = jump.no_ride.code in NOT_TODAY
    return sentence(said(f"{'not today' if today else 'no speed to ride'}: {{why}}", why=note(jump.no_ride)))


def no_room(jump: JumpAnswer) -> str:
    """That there is not enough room to stop; nothing where there is, or where the next jump follows.

    Parameters
    ----------
    jump : JumpAnswer
        The answer for one jump.

    Returns
    -------
    str
        A sentence or nothing.
    """
    if jump.stop is None or jump.stop.stops or jump.way_out is not None:
        return ""
    return _NO_ROOM


def before_speed(jump: JumpAnswer) -> list[Words]:
    """What is said before any speed of a jump that lands clean: what was not checked, then wind, windows too narrow, the way to it.

    Parameters
    ----------
    jump : JumpAnswer
        The answer for one jump.

    Returns
    -------
    list of str or Said
        Sentences, often none.
    """
    return [*(sentence(said("not checked: {what}", what=note(of))) for of in beyond(jump)), *first(jump), *lifted(jump)]


def lifted(jump: JumpAlone) -> list[Words]:
    """That the wheels leave the run-in on the way to a jump.

    Parameters
    ----------
    jump : JumpAlone
        The answer for one jump; without its run-in there is nothing to say.

    Returns
    -------
    list of Said
        A sentence for each place, often none.
    """
    run_in = jump.run_in if isinstance(jump, JumpAnswer) else None
    text = "On the way the wheels leave the run-in {place:length} before the {foot}: speed and start mark from above there are not known."
    return [said(text, place=of["mark"], foot=foot(jump)) for of in (() if run_in is None else run_in.beware)]


def known_first(answer: Answer) -> list[Words]:
    """The same of all jumps of a line, for outputs that have no headline of each.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.

    Returns
    -------
    list of str or Said
        Sentences, each with the name of its jump where there are several; none of a jump that gives no speed to ride.
    """
    several = len(answer.jumps) > 1
    return [
        said("{name}: {words}", name=jump.name, words=words) if several else words
        for jump in answer.jumps
        if jump.no_ride is None and jump.window.speeds is not None
        for words in before_speed(jump)
    ]


def reach(jump: JumpAnswer) -> Words:
    """That the run-in as measured does not give the speed of the answer, or nearly; nothing where it does.

    Parameters
    ----------
    jump : JumpAnswer
        The answer for one jump.

    Returns
    -------
    str or Said
        A sentence or nothing.
    """
    found = jump.run_in
    if found is None or found.missing is None:
        return ""
    if found.from_top:
        return said(
            "The top of the run-in gives {speed:speed} there, which lands clean too: start at the top.",
            speed=found.lip_speed if jump.shape == "drop" else found.foot_speed,
        )
    return "The run-in as measured does not give that speed."


def rolled(jump: JumpAnswer) -> Words:
    """Whether it can be rolled.

    Parameters
    ----------
    jump : JumpAnswer
        The answer for one jump.

    Returns
    -------
    Said
        A sentence with its reason.
    """
    can = "It can be rolled" if jump.rollable.yes else "It cannot be rolled"
    return sentence(said("{can}: {why}", can=can, why=note(jump.rollable.why)))


def heights(jump: JumpAnswer) -> Words:
    """The heights that must close.

    Parameters
    ----------
    jump : JumpAnswer
        The answer for one jump.

    Returns
    -------
    Said
        Sentences.
    """
    below = jump.heights.runout_start_below_foot
    where = "level with"
    if abs(below) >= 0.005:
        where = said(f"{{by:height}} {'below' if below > 0 else 'above'}", by=abs(below))
    lip = "" if jump.heights.lip is None else said("The lip is {lip:height} high.", lip=jump.heights.lip)
    runout = said("From these numbers the runout begins {where} the {foot}: check that with a level.", where=where, foot=foot(jump))
    return joined([lip, runout])
