"""What is said: verdicts, reasons, cautions, and numbers as a person reads them."""

from __future__ import annotations

from collections.abc import Callable

from jumpcalc.plan.answer import Answer, JumpAnswer, LandingResult, Note
from jumpcalc.plan.inputs import Input, given
from jumpcalc.plan.surfaces import NO_SOURCE
from jumpcalc.units import KINDS, from_si

__all__ = [
    "CAUTIONS",
    "CHECKLIST",
    "LEFT_OUT",
    "angle",
    "assumed",
    "assumed_value",
    "fall",
    "headline",
    "heights_words",
    "length",
    "note",
    "outcome",
    "percent",
    "rolled_words",
    "sentence",
    "speed",
    "stop_words",
    "sure_words",
    "value",
    "window_words",
]

CAUTIONS = (
    "These numbers are a model's, not a permit: speeds, surfaces and riders vary more than the window is wide.",
    "Ride-test from small to large, a table before a gap, with a spotter and full protection. Inspect before every "
    "session, and measure again after digging, rain or a season.",
    "Keep a way round and room to stop. Follow the land manager's and local trail-building guidance; have public or "
    "commercial features designed and inspected by qualified people.",
    "A low fall height does not protect someone who lands on the front wheel or upside down.",
)
"""What every output carries."""

LEFT_OUT = (
    "No lift and no steering: the course is a plane, the wind steady.",
    "The rider's posture stays as it is; pumping is not counted, and at the lip the rider is stiff but for the stated "
    "band of −0.7 to +0.5 m.",
    "The ground is rigid and smooth; soft ground and wheel slip are not counted.",
    "The bike's pitch in the air is left to the rider.",
    "Humidity is left out: saturated air is 0.9 % lighter at 20 °C, 1.6 % at 30 °C.",
    "No measured jump stands behind the band of the bike's path yet; it follows a simulation.",
    NO_SOURCE,
)
"""What the model leaves out."""

CHECKLIST = (
    "Smallest version first; a table before a gap.",
    "Speed checks with the lip not jumped, until the speed on the run-in is right every time.",
    "Follow a rider who knows it.",
    "A spotter, full protection, a word to call it off.",
    "Dry ground, no gusts.",
    "Look at lip, landing and runout first: soft spots, ruts, stones.",
)
"""Before a first test; common practice, no source."""


def value(number: float, kind: str, unit: str, digits: int) -> str:
    """A number in SI with its unit, to a fixed number of decimals and without a minus before zero."""
    text = f"{from_si(number, kind=kind, unit=unit):.{digits}f}"
    return text.removeprefix("-") if float(text) == 0 else text.replace("-", "−")


def speed(metres_per_second: float, units: str = "metric", *, digits: int = 0) -> str:
    """A speed as a rider reads it: km/h or mph; 1 km/h is fine enough."""
    unit, sign = ("mph", "mph") if units == "imperial" else ("kmh", "km/h")
    return f"{value(metres_per_second, 'speed', unit, digits)} {sign}"


def length(metres: float, units: str = "metric", *, digits: int = 1) -> str:
    """A length as a builder reads it: metres or feet; 0.1 m is fine enough."""
    unit = "ft" if units == "imperial" else "m"
    return f"{value(metres, 'length', unit, digits)} {unit}"


def angle(radians: float) -> str:
    """An angle in whole degrees."""
    return f"{value(radians, 'angle', 'deg', 0)}°"


def percent(share: float) -> str:
    """A share in whole percent."""
    return f"{value(share, 'share', 'percent', 0)} %"


def fall(metres: float | None, units: str = "metric") -> str:
    """A hit as the height of a straight drop onto level ground."""
    if metres is None:
        return "a hit on a fixed edge: no height describes it"
    return f"as hard as a drop of {length(metres, units)}"


_OUTCOMES = {
    "rear short": "cased: rear wheel on the knuckle",
    "clean": "both wheels on the landing",
    "front long": "front wheel past the landing",
    "long": "overshot",
}

_SHORT = {
    "deck": "landed on the deck",
    "floor": "short: into the gap",
    "wall": "short: into the near wall of the landing",
    "knuckle": "short: onto the edge of the knuckle",
    "edge": "rolled off the edge, too slow to fly",
}


def outcome(landing: LandingResult, shape: str = "gap") -> str:
    """What a landing is called in the trade."""
    if landing.outcome != "short":
        return _OUTCOMES[landing.outcome]
    if shape == "drop" and landing.surface == "floor":
        return "short: below the drop, before the landing"
    return _SHORT[landing.surface]


_NOTES: dict[str, Callable[[Note, str], str]] = {
    # why there is no window
    "face shorter than bike": lambda n, u: (
        f"the landing is shorter than the bike: {length(n['length'], u, digits=2)} of face for "
        f"{length(n['wheelbase'], u, digits=2)} of wheelbase. Build the landing longer."
    ),
    "posture uses up the landing": lambda n, u: (
        f"posture alone uses up this landing: {length(n['length'], u)} of face leaves no place that is clean however the "
        "rider stands at the lip"
    ),
    "lip points below the knuckle": lambda n, u: (
        f"the lip points below the knuckle: the lip rises {angle(n['angle'])}, the knuckle is seen from its edge under "
        f"{angle(n['needed'])}. Steepen the lip or lower the landing."
    ),
    "nothing reaches the landing": lambda n, u: (
        f"no lip speed up to {speed(n['speed'], u)} reaches the landing. Shorten the gap or steepen the lip."
    ),
    "every landing hits too hard": lambda n, u: (
        f"even the softest landing on the face hits {fall(n['height'], u)}, more than the {length(n['limit'], u)} "
        "accepted. Steepen the landing, lengthen it, or take down the lip."
    ),
    "every path skips the face": lambda n, u: (
        "every speed that clears the knuckle lands past the stretch where both wheels fit, "
        f"{length(n['along'], u)} down the slope or further. Lengthen or flatten the landing."
    ),
    # why there is no stopping answer
    "runout not measured": lambda n, u: (
        "the runout was not measured: whether there is room to stop is not known. Measure it and give runout.pieces."
    ),
    "no grip known": lambda n, u: (
        "no grip can be cited for this surface: whether there is room to stop is not known. Give runout.grip."
    ),
    # what to look at
    "not enough room to stop": lambda n, u: (
        f"from the fastest clean landing there is not enough room to stop: {length(n['missing'], u)} are missing"
    ),
    "room to stop is tight": lambda n, u: f"the room to stop is tight: {length(n['margin'], u)} to spare",
    "the last slope is too steep to stop on": lambda n, u: (
        "with these brakes the bike does not stop on the last slope of the runout at all"
    ),
    "wheels leave the ground in the runout": lambda n, u: (
        f"{length(n['along'], u)} past the knuckle the ground falls away faster than the bike: the wheels leave it"
    ),
    "the landing ends in a kink": lambda n, u: (
        f"the landing ends in a kink of {angle(n['turn'])} without a curve: it costs speed and hits; dig a curve"
    ),
    "drifts off the landing": lambda n, u: (
        f"the side wind drifts the bike {length(n['drift'], u)} to the side, more than half of the "
        f"{length(n['width'], u)} wide landing"
    ),
    "drop flown as a point": lambda n, u: (
        "a drop is flown as the textbook's point: how a bike leaves a drop was not simulated, and it may land shorter"
    ),
    "flown as a point": lambda n, u: (
        "flown as the textbook's point, as the line asks: a bike with its rider lands 0.7 to 1.0 m shorter"
    ),
    "drops were not simulated": lambda n, u: "the bike's path was made for lips; on a drop it was not checked",
    "lip angle outside the checked range": lambda n, u: (
        f"a lip of {angle(n['angle'])} lies outside the 20° to 45° in which the bike's path was checked"
    ),
    "gap outside the checked range": lambda n, u: (
        f"a gap of {length(n['gap'], u)} lies outside the {length(3, u)} to {length(8, u)} in which the bike's path was "
        "checked"
    ),
    "lip tighter than the checked range": lambda n, u: (
        f"a lip of {length(n['radius'], u)} radius with {length(n['straight'], u)} of straight is tighter than was "
        f"checked ({length(4.5, u)}, or {length(3.5, u)} with {length(0.6, u)} of straight): landings may be "
        f"{length(0.5, u)} or speeds 6 % off"
    ),
    # whether it can be rolled
    "too steep to roll": lambda n, u: (
        f"with {angle(n['angle'])} it is as steep as 45° or steeper, which flow-trail guidance (IMBA) does not count as rollable"
    ),
    "too high to roll": lambda n, u: (
        f"it is {length(n['height'], u)} high, more than the {length(1.0, u)} of flow-trail guidance (IMBA)"
    ),
    "a deck to roll on": lambda n, u: (
        f"it has a deck, is {length(n['height'], u)} high and less steep than 45° (flow-trail guidance, IMBA)"
    ),
    "the dip can be rolled": lambda n, u: (
        f"the dip is {length(n['dip'], u, digits=2)} deep, at most the {length(0.4, u)} of the New Zealand guidelines"
    ),
    "the dip is too deep to roll": lambda n, u: (
        f"the dip is {length(n['dip'], u)} deep, more than the {length(0.4, u)} of the New Zealand guidelines"
    ),
}


def note(said: Note, units: str = "metric", *, jumps: int = 1) -> str:
    """A note as a sentence's body, without a full stop where it may stand inside one.

    Parameters
    ----------
    said : Note
        A code and its numbers.
    units : str
        ``"metric"`` or ``"imperial"``.
    jumps : int
        How many jumps the line has; with more than one the note says which it is about.

    Returns
    -------
    str
        The words.
    """
    text = _NOTES[said.code](said, units)
    return f"jump {said.jump}: {text}" if jumps > 1 and said.jump is not None else text


def sentence(text: str) -> str:
    """The text as a sentence: a capital letter and a full stop."""
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")


def _room(jump: JumpAnswer, units: str) -> str:
    speeds = jump.window.speeds
    slow, fast = speeds.aim - speeds.min, speeds.max - speeds.aim
    return f"{speed(slow, units, digits=1)} slower and {speed(fast, units, digits=1)} faster"


def headline(jump: JumpAnswer, units: str = "metric") -> str:
    """The answer in one sentence that a rider understands."""
    window = jump.window
    if window.speeds is None:
        return sentence(f"no lip speed lands both wheels on the landing: {note(window.why_none, units)}")
    edge = speed(window.speeds.aim, units)
    if jump.shape == "drop":
        return f"Leave the edge at {edge}; it still lands clean {_room(jump, units)}."
    return (
        f"Ride at {speed(window.foot.aim, units)} just before the lip, which leaves its edge at {edge}; "
        f"at the edge it still lands clean {_room(jump, units)}."
    )


def window_words(jump: JumpAnswer, units: str = "metric") -> list[str]:
    """What ends the window, what posture does to it, and what the textbook's point would say."""
    said = []
    if jump.window.speeds is not None:
        ends = {
            "face": "the end of the landing",
            "hit": "how hard it hits",
            "40 m/s": "the end of the search at 40 m/s",
        }[jump.window.limited_by]
        said.append(f"Slower than {speed(jump.window.speeds.min, units, digits=1)} at the edge is short; what ends it on the fast side is {ends}.")
    said.append(sure_words(jump, units))
    if jump.path == "bike" and jump.point.foot is not None:
        point = f"The textbook's point would ask for {speed(jump.point.foot.aim, units)} before the lip"
        if jump.window.foot is not None:
            point += (
                f", {percent(abs(1 - jump.point.foot.aim / jump.window.foot.aim))} "
                f"{'less' if jump.point.foot.aim < jump.window.foot.aim else 'more'} than a bike with its rider needs"
            )
        said.append(point + ".")
    if jump.drop_matters is not None:
        said.append(
            f"The landing is assumed level with the edge; {length(0.2, units)} either way moves the slowest clean speed "
            f"by {speed(jump.drop_matters, units, digits=1)}."
        )
    return [text for text in said if text]


def sure_words(jump: JumpAnswer, units: str = "metric") -> str:
    """The part of the window that posture cannot spoil, and the caution that goes with it."""
    if jump.window.speeds is None:
        return ""
    caution = "Posture moves the landing by −0.7 to +0.5 m, and pumping is not counted."
    if units == "imperial":
        caution = "Posture moves the landing by −2.3 to +1.6 ft, and pumping is not counted."
    if jump.sure is None:
        return f"{caution} {sentence(note(jump.why_not_sure, units))}"
    low, high = (speed(v, units, digits=1) for v in jump.sure)
    return f"{caution} Clean however the rider stands at the lip: {low} to {high} at the edge."


def stop_words(jump: JumpAnswer, units: str = "metric") -> str:
    """Whether there is room to stop, from the fastest clean landing."""
    if jump.stop is None:
        return sentence(note(jump.why_no_stop, units)) if jump.why_no_stop is not None else ""
    stop = jump.stop
    start = f"From the fastest clean landing ({speed(stop.from_speed, units)} along the ground)"
    if stop.total is None:
        return f"{start} the bike does not stop on the last slope of this runout with these brakes."
    room = f"{start} stopping takes {length(stop.total, units)}, {length(stop.reaction, units)} of them before the brakes bite"
    if stop.stops:
        tight = ", which is tight" if stop.margin < 3 else ""
        return f"{room}; there are {length(stop.available, units)}, {length(stop.margin, units)} to spare{tight}."
    return f"{room}; there are only {length(stop.available, units)}: {length(-stop.margin, units)} are missing."


def rolled_words(jump: JumpAnswer, units: str = "metric") -> str:
    """Whether it can be rolled."""
    can = "It can be rolled" if jump.rollable.yes else "It cannot be rolled"
    return sentence(f"{can}: {note(jump.rollable.why, units)}")


def heights_words(jump: JumpAnswer, units: str = "metric") -> str:
    """The heights that must close."""
    below = jump.heights.runout_start_below_foot
    where = "level with" if abs(below) < 0.005 else f"{length(abs(below), units, digits=2)} {'below' if below > 0 else 'above'}"
    foot = "the edge" if jump.shape == "drop" else "the foot of the lip"
    lip = "" if jump.heights.lip is None else f"The lip is {length(jump.heights.lip, units, digits=2)} high. "
    return f"{lip}From these numbers the runout begins {where} {foot}: check that with a level."


def assumed_value(declaration: Input, number: object, units: str = "metric") -> str:
    """An assumed value with its unit, to three digits."""
    if isinstance(number, str):
        return number
    unit = declaration.imperial if units == "imperial" else declaration.unit
    sign = KINDS[declaration.kind][unit].sign
    text = f"{from_si(number, kind=declaration.kind, unit=unit):.3g}".replace("-", "−")
    return f"{text}{'' if sign in ('', '°') else ' '}{sign}"


def assumed(answer: Answer, units: str = "metric") -> list[tuple[str, str, str]]:
    """What was assumed: key path, value with unit, source, in the order of the declarations."""
    names = set(answer.assumed)
    return [
        (path, assumed_value(declaration, number, units), declaration.source)
        for path, declaration, number in given(answer.complete)
        if path in names
    ]

