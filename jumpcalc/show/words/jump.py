"""What is said of one jump: the answer in one sentence, its window, landings, heights, and whether it can be rolled."""

from __future__ import annotations

from jumpcalc.plan.answer import JumpAnswer, LandingResult, Speeds
from jumpcalc.plan.ask.checks import PITCH
from jumpcalc.plan.limits import SIDE_WIND
from jumpcalc.show.words.notes import beyond, first, note
from jumpcalc.show.words.said import Between, Least, Minus, Most, Words, joined, listed, said, sentence

__all__ = [
    "NO_ROOM",
    "before_speed",
    "caution",
    "checked_at",
    "clean",
    "fall",
    "had",
    "headline",
    "heights",
    "outcome",
    "reach",
    "rolled",
    "room",
    "side_wind",
    "sure",
    "window",
]

NO_ROOM = "There is not enough room to stop after it."

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

_ENDS: dict[str, Words] = {
    "face": "the end of the landing",
    "hit": "how hard it hits",
    "40 m/s": said("that no speed above {fastest:speed.0} is tried", fastest=40.0),
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


def headline(jump: JumpAnswer) -> Words:
    """The answer in one sentence that a rider understands.

    Parameters
    ----------
    jump : JumpAnswer
        The answer for one jump.

    Returns
    -------
    Said
        The sentence.
    """
    speeds, short = checked_at(jump)[0], reach(jump)
    if jump.no_ride is not None:
        return sentence(said("no speed to ride: {why}", why=note(jump.no_ride)))
    if speeds is None:
        return sentence(said("no lip speed lands both wheels on the landing: {why}", why=note(jump.window.why_none)))
    if jump.shape == "drop":
        begins = "It takes {aim:speed} at the edge" if short else "Leave the edge at {aim:speed}"
    else:
        begins = f"{'It takes' if short else 'Ride at'} {{aim:speed}} just before the lip ({{edge:speed}} at its edge)"
    slower = "anything slower, even from a standstill there," if jump.window.from_rest else "up to {slower:speed} slower"
    text = said(
        f"{begins}; {slower} or {'up to ' if jump.window.from_rest else ''}{{faster:speed}} faster still lands clean.",
        aim=speeds.aim, edge=jump.window.speeds.aim, **room(speeds),
    )  # fmt: skip
    no_room = jump.stop is not None and not jump.stop.stops
    return joined([*before_speed(jump), text, short, NO_ROOM if no_room else ""])


def before_speed(jump: JumpAnswer) -> list[Words]:
    """What is said before any speed of a jump that lands clean: what was not checked, then wind and windows too narrow.

    Parameters
    ----------
    jump : JumpAnswer
        The answer for one jump.

    Returns
    -------
    list of str or Said
        Sentences, often none.
    """
    return [*(sentence(said("not checked: {what}", what=note(of))) for of in beyond(jump)), *first(jump)]


def reach(jump: JumpAnswer) -> str:
    """That the run-in as measured does not give the speed of the answer; nothing where it does.

    Parameters
    ----------
    jump : JumpAnswer
        The answer for one jump.

    Returns
    -------
    str
        A sentence or nothing.
    """
    if jump.run_in is None or jump.run_in.missing is None:
        return ""
    return "The run-in as measured does not give that speed."


def window(jump: JumpAnswer) -> list[Words]:
    """What ends the window, what a rider at the lip does to it, and what the textbook's point would say.

    Parameters
    ----------
    jump : JumpAnswer
        The answer for one jump.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    speeds, where = checked_at(jump)
    ends = point = level = ""
    if speeds is not None:
        slow = f"Slower than {{slowest:speed}} {where} is short"
        if jump.window.from_rest:
            slow = "Even from a standstill at the foot of the lip the edge is left at {edge:speed} and lands clean: slower cannot be had"
        ends = said(
            f"{slow}; what ends it on the fast side is {{ends}}.",
            slowest=Least(speeds.min), edge=Least(jump.window.speeds.min), ends=_ENDS[jump.window.limited_by],
        )  # fmt: skip
    if jump.path == "bike" and jump.shape != "drop" and jump.point.foot is not None:
        point = _point(jump)
    if jump.drop_matters is not None:
        level = said(
            "The landing is assumed level with the edge; {either:length} either way moves the slowest clean speed at the edge by "
            "{by:speed}.",
            either=0.2, by=jump.drop_matters,
        )  # fmt: skip
    return listed([ends, caution(jump), sure(jump), _pitch(jump), point, level, side_wind(jump)])


def side_wind(jump: JumpAnswer) -> Words:
    """From which side wind on it is not for today.

    Parameters
    ----------
    jump : JumpAnswer
        The answer for one jump.

    Returns
    -------
    str or Said
        A sentence, or nothing where there is no window or no width to either side.
    """
    if not jump.side_wind:
        return ""
    why = "the drift leaves the landing" if jump.side_wind < SIDE_WIND.value else "it turns the bike, which is not reckoned with"
    return said(f"From {{wind:speed.0}} of side wind on it is not for today: {why}.", wind=Most(jump.side_wind))


def _pitch(jump: JumpAnswer) -> Words:
    """What a bike that comes in pitched costs, and what a rider has to do against the bike's own turn."""
    tilt = jump.pitched
    if tilt is None:
        return ""
    knuckle = ", on the knuckle" if tilt.rear_on_knuckle else ""
    return said(
        f"At the aim {{pitch:angle}} nose-up puts the rear wheel down {{rear:length}} earlier{knuckle}, "
        "{pitch:angle} nose-down the front wheel {front:length} earlier.",
        pitch=PITCH, rear=tilt.rear_earlier, front=tilt.front_earlier,
    )  # fmt: skip


def _point(jump: JumpAnswer) -> Words:
    """What the textbook's point would ask for, and how much further it flies."""
    asks, needs = jump.point.foot.aim, jump.window.foot
    text = "A flying point without wheels and rider, as in textbooks, would ask for {asks:speed} before the lip"
    if needs is None:
        return said(f"{text}.", asks=asks)
    way = "less" if asks < needs.aim else "more"
    further = jump.point_lands_longer
    lands = "it would land further" if further is None else "it would land {further:length} further"
    return said(
        f"{text}, {{off:share}} {way} than a bike with its rider; at the bike's speed {lands}.",
        asks=asks, off=abs(1 - asks / needs.aim), further=further,
    )  # fmt: skip


def caution(jump: JumpAnswer) -> Words:
    """How far the rider alone moves the landing by what is done at the lip.

    Parameters
    ----------
    jump : JumpAnswer
        The answer for one jump.

    Returns
    -------
    str or Said
        A sentence, or nothing where there is no window.
    """
    if jump.window.speeds is None:
        return ""
    if jump.moves is None:
        return _rolled_or_carried(jump)
    short, long = jump.moves
    return said(
        "Soaking the lip up lands up to {short:length} shorter, springing off it up to {long:length} further; pumping is not counted.",
        short=short, long=long,
    )  # fmt: skip


def _rolled_or_carried(jump: JumpAnswer) -> Words:
    """The clean speeds of both riders of a drop."""
    if jump.path == "point" or jump.point.speeds is None:
        return ""
    return said(
        "Rolled off it lands clean at {rolled:speed}; with the front carried at {carried:speed}.",
        rolled=clean(jump.window.speeds), carried=clean(jump.point.speeds),
    )  # fmt: skip


def sure(jump: JumpAnswer) -> Words:
    """The part of the window that no rider spoils at the lip.

    Parameters
    ----------
    jump : JumpAnswer
        The answer for one jump.

    Returns
    -------
    str or Said
        Sentences, or nothing where there is no window.
    """
    if jump.window.speeds is None:
        return ""
    if jump.sure is None:
        return sentence(note(jump.why_not_sure))
    speeds, where = checked_at(jump)
    low, high = jump.sure if jump.shape == "drop" else jump.sure_foot
    rider = "Rolled off or carried" if jump.shape == "drop" else "Whatever the rider does at the lip"
    text = said(
        f"{rider}, {{sure:speed}} {where} lands clean.",
        sure=Between(Least(low), Most(high)),
    )
    springs = ""
    if jump.shape != "drop" and jump.path == "bike" and jump.point.foot is not None and speeds.aim > jump.point.foot.max:
        springs = said(
            "Whoever springs off this lip lands like the textbook's point, and then {most:speed} is already the most.",
            most=Most(jump.point.foot.max),
        )
    return joined([text, springs])


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
    foot = "the edge" if jump.shape == "drop" else "the foot of the lip"
    lip = "" if jump.heights.lip is None else said("The lip is {lip:height} high.", lip=jump.heights.lip)
    runout = said("From these numbers the runout begins {where} {foot}: check that with a level.", where=where, foot=foot)
    return joined([lip, runout])
