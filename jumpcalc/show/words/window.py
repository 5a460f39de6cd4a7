"""What is said of a window of clean speeds: what ends it, what the rider does to it, pitch, and the textbook's point."""

from __future__ import annotations

from jumpcalc.plan.answer import JumpAnswer
from jumpcalc.plan.ask.checks import PITCH
from jumpcalc.plan.ask.window import FASTEST
from jumpcalc.plan.limits import SIDE_WIND
from jumpcalc.show.words.jump import checked_at, clean
from jumpcalc.show.words.notes import note
from jumpcalc.show.words.said import Between, Least, Most, Words, joined, listed, said, sentence

__all__ = ["caution", "jumped_off", "places", "side_wind", "sure", "window"]

_ENDS: dict[str, Words] = {
    "face": "the end of the landing",
    "hit": "how hard it hits",
    "40 m/s": said("that no speed above {fastest:speed.0} is tried", fastest=FASTEST),
}


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


def places(jump: JumpAnswer) -> Words:
    """Which part of the bike the places of landings are of, since tape and log go by the rear wheel.

    Parameters
    ----------
    jump : JumpAnswer
        The answer for one jump.

    Returns
    -------
    str or Said
        A sentence, or nothing where there is no landing.
    """
    if not jump.landings:
        return ""
    return said(
        "Places are of the middle between the wheels; the rear one touches {half:length} before it, and a log of tries goes by that.",
        half=jump.clean_from,
    )  # fmt: skip


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
    text = "Rolled off it lands clean at {rolled:speed}; with the front carried at {carried:speed}."
    if jump.must_be_carried:
        text = (
            "Rolled off without carrying the front it comes down nose first. With the front carried from the edge on it lands clean at "
            "{carried:speed}; with the front only pulled up again in the air at {rolled:speed}."
        )
    return said(
        text,
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
    _, where = checked_at(jump)
    low, high = jump.sure if jump.shape == "drop" else jump.sure_foot
    rider = "Rolled off or carried" if jump.shape == "drop" else "Soaked up, ridden stiffly or sprung off at the lip"
    if jump.must_be_carried:
        rider = "With the front carried from the edge on, or only pulled up in the air"
    text = said(
        f"{rider}, {{sure:speed}} {where} lands clean.",
        sure=Between(Least(low), Most(high)),
    )
    return joined([text, jumped_off(jump)])


def jumped_off(jump: JumpAnswer) -> Words:
    """That whoever jumps off the lip harder than is counted may land long at the aim.

    Parameters
    ----------
    jump : JumpAnswer
        The answer for one jump.

    Returns
    -------
    str or Said
        A sentence; nothing where the aim is slow enough for the textbook's point, and of a drop.
    """
    point, aim = jump.point.foot, jump.window.foot
    if jump.shape == "drop" or jump.path == "point" or point is None or aim is None or aim.aim <= point.max:
        return ""
    return said(
        "Whoever jumps off the lip harder than is counted here lands further, towards the textbook's point: for that, {most:speed} is "
        "already the most.",
        most=Most(point.max),
    )  # fmt: skip
