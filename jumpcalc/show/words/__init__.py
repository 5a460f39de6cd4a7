"""What is said: verdicts, reasons, cautions, and numbers as a person reads them."""

from __future__ import annotations

from collections.abc import Callable

from jumpcalc.plan.answer import Answer, Carry, Change, JumpAnswer, LandingResult, RunInAnswer
from jumpcalc.plan.inputs.declare import Input, given
from jumpcalc.plan.inputs.surfaces import NO_SOURCE
from jumpcalc.plan.limits import TIGHT_ROOM
from jumpcalc.plan.notes import Code, Note
from jumpcalc.units import KINDS, from_si

__all__ = [
    "NO_ROOM",
    "CAUTIONS",
    "CHECKLIST",
    "LEFT_OUT",
    "abort_words",
    "angle",
    "assumed",
    "assumed_value",
    "change_words",
    "changes_words",
    "drop_height",
    "fall",
    "headline",
    "heights_words",
    "input_value",
    "length",
    "length_sign",
    "note",
    "outcome",
    "percent",
    "named",
    "number",
    "reach_words",
    "ride_words",
    "rolled_words",
    "sentence",
    "speed",
    "speed_sign",
    "start_words",
    "stop_words",
    "stopwatch_words",
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
    "band.",
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
    unit = length_sign(units)
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
    return f"as hard as a drop of {drop_height(metres, units)}"


def drop_height(metres: float, units: str = "metric") -> str:
    """The height of a drop that hits as hard; a small one is not none."""
    return f"under {length(0.1, units)}" if metres < 0.05 else length(metres, units)


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
    """What a landing is called in the trade."""
    if landing.outcome != "short":
        return _OUTCOMES[landing.outcome]
    if shape == "drop" and landing.surface == "floor":
        return "short: below the drop, before the landing"
    return _SHORT[landing.surface]


_NOTES: dict[Code, Callable[[Note, str], str]] = {
    # why there is no window
    Code.FACE_SHORTER_THAN_BIKE: lambda n, u: (
        f"the landing is shorter than the bike: {length(n['length'], u, digits=2)} of face for "
        f"{length(n['wheelbase'], u, digits=2)} of wheelbase. Build the landing longer."
    ),
    Code.POSTURE_USES_UP_THE_LANDING: lambda n, u: (
        f"posture alone uses up this landing: {length(n['length'], u)} of face leaves no place that is clean however the "
        "rider stands at the lip"
    ),
    Code.LIP_POINTS_BELOW_THE_KNUCKLE: lambda n, u: (
        f"the lip points below the knuckle: the lip rises {angle(n['angle'])}, the knuckle lies "
        f"{angle(n['needed'])} above the level of its edge. Steepen the lip or lower the landing."
    ),
    Code.NOTHING_REACHES_THE_LANDING: lambda n, u: (
        f"no lip speed up to {speed(n['speed'], u)} reaches the landing. Shorten the gap or steepen the lip."
    ),
    Code.EVERY_LANDING_HITS_TOO_HARD: lambda n, u: (
        f"even the softest landing on the face hits as hard as a drop of {length(n['height'], u, digits=2)}, more than the "
        f"{length(n['limit'], u, digits=2)} "
        "accepted. Steepen or lengthen the landing, or lower the lip or the edge."
    ),
    Code.EVERY_PATH_SKIPS_THE_FACE: lambda n, u: (
        "every speed that clears the knuckle lands past the stretch where both wheels fit, "
        f"{length(n['along'], u)} along it or further. Lengthen it, steepen the lip or lower the knuckle."
    ),
    # why there is no stopping answer
    Code.RUNOUT_NOT_MEASURED: lambda n, u: (
        "the runout was not measured: whether there is room to stop is not known. Measure it and give runout.pieces."
    ),
    Code.NO_GRIP_KNOWN: lambda n, u: (
        "no grip can be cited for this surface: whether there is room to stop is not known. Give runout.grip."
    ),
    # what to look at
    Code.NOT_ENOUGH_ROOM_TO_STOP: lambda n, u: (
        f"from the fastest clean landing there is not enough room to stop: {length(n['missing'], u)} are missing"
    ),
    Code.ROOM_TO_STOP_IS_TIGHT: lambda n, u: f"the room to stop is tight: {length(n['margin'], u)} to spare",
    Code.THE_LAST_SLOPE_IS_TOO_STEEP_TO_STOP_ON: lambda n, u: (
        "with these brakes the bike does not stop on the last slope of the runout at all"
    ),
    Code.WHEELS_LEAVE_THE_GROUND_IN_THE_RUNOUT: lambda n, u: (
        f"{length(n['along'], u)} past the knuckle the ground falls away faster than the bike: the wheels leave it"
    ),
    Code.THE_LANDING_ENDS_IN_A_KINK: lambda n, u: (
        f"the landing ends in a kink of {angle(n['turn'])} without a curve: it costs speed and hits; dig a curve"
    ),
    Code.DRIFTS_OFF_THE_LANDING: lambda n, u: (
        f"the side wind drifts the bike {length(n['drift'], u)} to the side, more than half of the "
        f"{length(n['width'], u)} wide landing"
    ),
    Code.DROP_FLOWN_AS_A_POINT: lambda n, u: (
        "a drop is flown as the textbook's point: how a bike leaves a drop was not simulated, and it may "
        "land shorter; slowly off a drop the front wheel falls first, which is not in these numbers"
    ),
    Code.FLOWN_AS_A_POINT: lambda n, u: (
        f"flown as the textbook's point, as the line asks: a bike with its rider lands {length(0.7, u)} to {length(1.0, u)} shorter"
    ),
    Code.DROPS_WERE_NOT_SIMULATED: lambda n, u: "the bike's path was made for lips; on a drop it was not checked",
    Code.LIP_ANGLE_OUTSIDE_THE_CHECKED_RANGE: lambda n, u: (
        f"a lip of {angle(n['angle'])} lies outside the 20° to 45° in which the bike's path was checked"
    ),
    Code.GAP_OUTSIDE_THE_CHECKED_RANGE: lambda n, u: (
        f"a gap of {length(n['gap'], u)} lies outside the {length(3, u)} to {length(8, u)} in which the bike's path was "
        "checked"
    ),
    Code.LIP_TIGHTER_THAN_THE_CHECKED_RANGE: lambda n, u: (
        f"a lip of {length(n['radius'], u)} radius with {length(n['straight'], u)} of straight is tighter than was "
        f"checked ({length(4.5, u)}, or {length(3.5, u)} with {length(0.6, u)} of straight): landings may be "
        f"{length(0.5, u)} or speeds 6 % off"
    ),
    # the run-in and the ride
    Code.WHEELS_LEAVE_THE_RUN_IN: lambda n, u: (
        f"{length(n['mark'], u)} before the foot of the lip the ground falls away faster than the bike: the wheels leave it; "
        "speed, start mark and roll time behind it are not known"
    ),
    Code.THE_RUN_IN_HAS_A_KINK_DOWN: lambda n, u: (
        f"{length(n['mark'], u)} before the foot of the lip the ground turns down in a kink: the bike may leave it, and "
        "speed, start mark and roll time behind it are not known"
    ),
    Code.HALTS_ON_THE_RUN_IN: lambda n, u: (
        f"from the start mark the bike comes to a halt, or does not roll off, {length(n['mark'], u)} before the foot of the lip"
    ),
    Code.HALTS_ON_THE_LIP: lambda n, u: "from the start mark the bike comes to a halt on the lip, before its edge",
    Code.THE_RUN_IN_IS_TOO_SHORT: lambda n, u: (
        f"even from the top of the run-in the lip is left {speed(n['missing'], u, digits=1)} too slowly for the aim"
    ),
    Code.THE_STROKES_DO_NOT_FIT_FROM_THE_MARK: lambda n, u: (
        f"the aim would be left from {length(n['mark'], u)} before the foot of the lip, but only {n['fit']} of the "
        f"{_strokes(n['made'])} fit there: make fewer and start higher"
    ),
    Code.THE_START_MARK_IS_TOO_HIGH: lambda n, u: (
        f"from the start mark as measured the lip is left {speed(n['over'], u, digits=1)} faster than the fastest clean "
        "speed: start lower, or brake before the foot of the lip"
    ),
    Code.SHORT_ENDS_THE_RIDE: lambda n, u: "it lands short",
    Code.LANDED_PAST_THE_NEXT_LIP: lambda n, u: "it lands past the foot of the next lip",
    Code.HALTS_BETWEEN_THE_JUMPS: lambda n, u: (
        f"it comes to a halt {length(n['along'], u)} past the knuckle, before the next lip"
    ),
    Code.HALTS_ON_THE_NEXT_LIP: lambda n, u: "it comes to a halt on the next lip, before its edge",
    Code.THE_GROUND_BETWEEN_IS_NOT_MEASURED: lambda n, u: "the ground to the next lip is not measured",
    Code.EVEN_THE_TOP_IS_TOO_LOW_FOR_THE_LINE: lambda n, u: (
        "even from the top of the run-in the line is not ridden clean without more pedalling"
    ),
    Code.EVERY_START_IS_TOO_FAST_FOR_THE_LINE: lambda n, u: (
        "the bike is rolled in too fast: even started right before the lip it is faster than what lands all clean"
    ),
    Code.THE_STROKES_DO_NOT_FIT_ON_THE_LINE_S_START_MARKS: lambda n, u: (
        f"with {_strokes(n['made'])} it would have to start so near to the lip that they do not fit: make fewer"
    ),
    Code.A_JUMP_OF_THE_LINE_HAS_NO_WINDOW: lambda n, u: "no speed lands it clean, so the line cannot be ridden clean",
    Code.THE_NEXT_LIP_IS_NOT_REACHED: lambda n, u: "no clean landing carries to the next lip",
    Code.NO_SPEED_LANDS_BOTH_CLEAN: lambda n, u: (
        "no clean landing carries, without a stroke or a brake, to a speed that lands all the jumps after it clean"
    ),
    # where they landed
    Code.NO_AIM: lambda n, u: (
        "no lip speed lands this jump clean, so there is no aim to compare with: change the jump, not the speed"
    ),
    Code.NO_NEAR_WALL: lambda n, u: "this jump has no near wall that a bike could hit: pick the distance instead",
    Code.NO_SPEED_LANDS_THERE: lambda n, u: (
        "by this model no lip speed puts the rear wheel there: the path passes over that place, or rolls off the edge. Look "
        "again at where it touched"
    ),
    # whether it can be rolled
    Code.TOO_STEEP_TO_ROLL: lambda n, u: (
        f"with {angle(n['angle'])} it is as steep as {angle(n['limit'])} or steeper, which flow-trail guidance (IMBA) does not "
        "count as rollable"
    ),
    Code.TOO_HIGH_TO_ROLL: lambda n, u: (
        f"it is {length(n['height'], u, digits=2)} high, more than the {length(n['limit'], u)} of flow-trail guidance (IMBA)"
    ),
    Code.A_DECK_TO_ROLL_ON: lambda n, u: (
        f"it has a deck, is {length(n['height'], u, digits=2)} high and less steep than 45° (flow-trail guidance, IMBA)"
    ),
    Code.THE_DROP_CAN_BE_ROLLED: lambda n, u: (
        f"the drop is {length(n['dip'], u, digits=2)} high, at most {length(n['limit'], u)} (common practice, no source)"
    ),
    Code.THE_DROP_IS_TOO_HIGH_TO_ROLL: lambda n, u: (
        f"the drop is {length(n['dip'], u)} high, more than {length(n['limit'], u)} (common practice, no source)"
    ),
    Code.NO_WAY_ROUND: lambda n, u: "there is no way round it: who comes in wrong has nowhere to turn off",
    Code.THE_LIP_LOADS_HARD: lambda n, u: (
        f"the lip loads the rider with {n['load']:.1f} g, more than a rider stays stiff under "
        f"({n['limit']:.0f} g, common practice, no source): "
        "the landing is less sure than it says"
    ),
    Code.THE_DIP_CAN_BE_ROLLED: lambda n, u: (
        f"the dip is {length(n['dip'], u, digits=2)} deep, at most the {length(n['limit'], u)} of the New Zealand guidelines"
    ),
    Code.THE_DIP_IS_TOO_DEEP_TO_ROLL: lambda n, u: (
        f"the dip is {length(n['dip'], u)} deep, more than the {length(n['limit'], u)} of the New Zealand guidelines"
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


def number(text: str) -> str:
    """A quantity's words without its unit."""
    return text.rpartition(" ")[0]


def speed_sign(units: str) -> str:
    """The unit of speeds."""
    return "mph" if units == "imperial" else "km/h"


def length_sign(units: str) -> str:
    """The unit of lengths."""
    return "ft" if units == "imperial" else "m"


NO_ROOM = "There is not enough room to stop after it."


def headline(jump: JumpAnswer, units: str = "metric") -> str:
    """The answer in one sentence that a rider understands."""
    window, short = jump.window, reach_words(jump)
    if window.speeds is None:
        return sentence(f"no lip speed lands both wheels on the landing: {note(window.why_none, units)}")
    edge = speed(window.speeds.aim, units)
    if jump.shape == "drop":
        text = f"{'It takes' if short else 'Leave the edge at'} {edge}"
        text += f"{' at the edge' if short else ''}; it still lands clean {_room(jump, units)}."
    else:
        text = (
            f"{'It takes' if short else 'Ride at'} {speed(window.foot.aim, units)} just before the lip, "
            f"which leaves its edge at {edge}; "
            f"at the edge it still lands clean {_room(jump, units)}."
        )
    if short:
        text += f" {short}"
    if jump.stop is not None and not jump.stop.stops:
        text += f" {NO_ROOM}"
    return text


def reach_words(jump: JumpAnswer) -> str:
    """That the run-in as measured does not give the speed of the answer; nothing where it does."""
    if jump.run_in is None or jump.run_in.missing is None:
        return ""
    return "The run-in as measured does not give that speed."


def window_words(jump: JumpAnswer, units: str = "metric") -> list[str]:
    """What ends the window, what posture does to it, and what the textbook's point would say."""
    said = []
    if jump.window.speeds is not None:
        ends = {
            "face": "the end of the landing",
            "hit": "how hard it hits",
            "40 m/s": "the end of the search at 40 m/s",
        }[jump.window.limited_by]
        said.append(
            f"Slower than {speed(jump.window.speeds.min, units, digits=1)} at the edge is short; what ends it on the fast side is {ends}."
        )
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
    short, long = jump.posture
    caution = (
        f"Posture moves the landing by −{length(short, units)} to +{length(long, units)}, and pumping is not counted."
    )
    if jump.sure is None:
        return f"{caution} {sentence(note(jump.why_not_sure, units))}"
    low, high = (speed(v, units, digits=1) for v in jump.sure)
    text = f"{caution} Clean on the face however the rider stands at the lip: {low} to {high} at the edge."
    aim = jump.window.speeds.aim
    if not jump.sure[0] <= aim <= jump.sure[1]:
        text += " The aim lies outside of that: at the aim posture alone may spoil the landing."
    if jump.landings[0].along_face > jump.clean_from + 0.01:
        text += " On the slow side it is the near edge that ends the window, not the face: squashed, it may still land short."
    if jump.window.limited_by == "hit":
        text += " On the fast side it is the hit that ends the window: posture may make it harder than accepted."
    return text


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
        tight = ", which is tight" if stop.margin < TIGHT_ROOM.value else ""
        return f"{room}; there are {length(stop.available, units)}, {length(stop.margin, units)} to spare{tight}."
    return f"{room}; there are only {length(stop.available, units)}: {length(-stop.margin, units)} are missing."


_CHECKS = (
    "Begin with the lowest: find it by speed checks that leave the run-in before the lip, and do not jump from a mark not "
    "yet checked."
)


def start_words(jump: JumpAnswer, units: str = "metric") -> list[str]:
    """Where to start, how sure that is, and how to check it on the spot."""
    found = jump.run_in
    if found is None:
        return [] if jump.window.speeds is None else ["The run-in was not measured: where to start is not known."]
    if jump.window.speeds is None:
        return []
    said = []
    slow, aim, fast = found.marks
    if aim is None and found.missing is None:
        said.append(
            f"No start mark gives the aim with {_strokes(found.strokes.made)}: make fewer."
            if found.strokes is not None and found.strokes.made
            else "No start mark gives the aim: the bike is rolled in too fast. Roll in more slowly."
        )
    elif aim is None:
        top = (
            "the bike does not reach the edge"
            if found.lip_speed is None
            else (
                f"the edge is left at {speed(found.lip_speed, units, digits=1)}, "
                f"{speed(found.missing or 0.0, units, digits=1)} too slow for the aim"
            )
        )
        said.append(
            f"The run-in is too short: from its top, {length(found.length, units)} before the {_end(jump)}, {top}."
        )
        if slow is not None:
            said.append(f"From {length(slow, units)} before the {_end(jump)} on it lands clean, with little to spare.")
        said.append(_stroke_cure(found, units))
    else:
        span = found.span
        made = found.strokes.made if found.strokes is not None else 0
        pedalled = f", with {_strokes(made)}," if made else ""
        here = f"Start {length(aim, units)} before the {_end(jump)}{pedalled} for the aim"
        if span is not None and span.long is not None:
            said.append(
                f"{here}; on other dirt, in other wind or with the slope misread that is anywhere from "
                f"{length(span.short, units)} to {length(span.long, units)}. {_CHECKS}"
            )
        else:
            said.append(
                f"{here}; on other dirt, in other wind or with the slope misread that is anywhere from "
                f"{length(span.short, units)} on, and the top of the run-in ({length(found.length, units)}) may be too low. "
                f"{_CHECKS}"
            )
        if slow is not None:
            high = f"{length(fast, units)}" if fast is not None else f"the top, {length(found.length, units)}"
            wider = span is not None and (span.short < slow or (fast is not None and (span.long or 1e9) > fast))
            text = f"By this model it lands clean from {length(slow, units)} to {high}"
            said.append(f"{text}: less than the span of doubt above." if wider else f"{text}.")
        said.append(stopwatch_words(found, units, to="the edge" if jump.shape == "drop" else "the foot of the lip"))
    if found.lip_load is not None:
        said.append(f"The greatest load on the lip, from the start mark as measured, is {found.lip_load:.1f} g.")
    return [text for text in said if text]


def _end(jump: JumpAnswer) -> str:
    return "edge" if jump.shape == "drop" else "lip"


def _strokes(count: int) -> str:
    return f"{count} pedal stroke{'s' if count > 1 else ''}"


def _stroke_cure(found: RunInAnswer, units: str) -> str:
    """What would cure a run-in that is too short."""
    plan = found.strokes
    if plan is None or plan.needed == 0:
        return ""
    strokes = _strokes(plan.needed)
    if plan.needed > plan.fit:
        return (
            f"It would take {strokes}, but only {plan.fit} fit: steepen the run-in or start higher, or shorten the gap."
        )
    return f"It would take {strokes} in all; {plan.fit} fit. Or make the run-in steeper, or its start higher."


def stopwatch_words(found: RunInAnswer, units: str = "metric", *, to: str = "the foot of the lip") -> str:
    """What a stopwatch tells at the start mark of the aim."""
    same = found.fast_time is not None and f"{found.fast_time:.1f}" == f"{found.slow_time:.1f}"
    if found.slow_time is None or same:
        return "By stopwatch too slow and too fast cannot be told apart here: check the speed at " + to + "."
    inside = f"up to {found.slow_time:.1f} s in the window"
    fast = ""
    if found.fast_time is not None:
        inside = f"{found.fast_time:.1f} to {found.slow_time:.1f} s in the window"
        fast = f", less than {found.fast_time:.1f} s too fast"
    return (
        f"Stopwatch from there to {to}, the average of three: more than {found.slow_time:.1f} s too slow, "
        f"{inside}{fast}."
    )


_CHANGES: dict[str, Callable[[str], str]] = {
    "tailwind_1_mps": lambda u: f"{speed(1.0, u, digits=1)} more wind from behind",
    "headwind_1_mps": lambda u: f"{speed(1.0, u, digits=1)} more wind from ahead",
    "rolling_resistance_plus_0_01": lambda u: "softer dirt (rolling resistance 0.01 more)",
    "rolling_resistance_minus_0_01": lambda u: "harder dirt (rolling resistance 0.01 less)",
    "slope_1_deg_steeper": lambda u: "a run-in 1° steeper than measured",
    "slope_1_deg_flatter": lambda u: "a run-in 1° flatter than measured",
    "drag_area_plus_0_1_m2": lambda u: "0.1 m² more drag area",
    "drag_area_minus_0_1_m2": lambda u: "0.1 m² less drag area",
}


def change_words(change: Change, units: str = "metric") -> tuple[str, str, str]:
    """A change of the conditions, what it does to the lip speed, and whether that leaves the window."""
    if change.by is None:
        return _CHANGES[change.code](units), "the bike does not get there", "leaves the window"
    by = speed(change.by, units, digits=1)
    return (
        _CHANGES[change.code](units),
        by if by.startswith("−") else f"+{by}",
        "stays in the window" if change.stays else "leaves the window",
    )


def changes_words(jump: JumpAnswer, units: str = "metric") -> str:
    """What the day may change from the same start mark, in one sentence."""
    if jump.run_in is None or all(change.by is None for change in jump.run_in.changes):
        return ""
    said = []
    for change in jump.run_in.changes:
        name, by, stays = change_words(change, units)
        said.append(
            f"{name}{':' if change.by is None else ''} {by}{'' if change.stays or change.by is None else f' ({stays})'}"
        )
    return f"From the same mark, at the edge: {'; '.join(said)}."


def abort_words(jump: JumpAnswer, units: str = "metric") -> str:
    """The last place to stop before this lip."""
    found = jump.abort
    if found is None:
        if jump.run_in is None or jump.window.speeds is None or jump.run_in.foot_speed is None:
            return ""
        return (
            f"Where one can still stop before this {_end(jump)} is not known: no grip can be cited for this surface. Give "
            "run_in.grip."
        )
    if not found.exists:
        return (
            f"Before this {_end(jump)}, riding for its speed, there is no place from which the bike still stops: not even at the start "
            "mark. A check of the speed needs a way off to the side."
        )
    riding = "for the aim" if jump.run_in.marks[1] is not None else "from the top"
    text = (
        f"Before this {_end(jump)}: decide to stop at the latest {length(found.last, units)} before "
        f"{'it' if jump.shape == 'drop' else 'its foot'}, at "
        f"{speed(found.speed, units)}, riding {riding}."
    )
    if found.speed < 0.9 * found.foot_speed:
        text += (
            f" That is far below the {speed(found.foot_speed, units)} at the {'edge' if jump.shape == 'drop' else 'foot'}: "
            "a check at full speed needs a way off to the side."
        )
    return text


def ride_words(answer: Answer, units: str = "metric") -> list[str]:
    """The ride through a line of jumps: how far it gets, from where it is clean, which jump is the tight one."""
    ride, names = answer.ride, [jump.name for jump in answer.jumps]
    if ride is None or len(names) < 2:
        return []
    said = []
    for name, step, jump in zip(names, ride.steps, answer.jumps, strict=False):
        said.append(
            f"From the start mark: {name} is left at {speed(step.lip_speed, units)}: {outcome(step.landing, jump.shape)}."
        )
    if ride.ended_by is not None:
        said.append(sentence(f"the ride ends: {note(ride.ended_by, units, jumps=len(names))}"))
    if ride.window is not None:
        slow, fast = (names[i - 1] for i in ride.tight)
        said.append(
            f"All land clean from start marks {length(ride.window[0], units)} to {length(ride.window[1], units)} before the "
            f"first lip. The tight one on the slow side is {slow}, on the fast side {fast}."
        )
    else:
        said.append(sentence(f"no start mark rides the line clean: {note(ride.why_none, units, jumps=len(names))}"))
    for i, carry in enumerate(ride.carries):
        said.append(_carry_words(carry, answer.jumps[i], answer.jumps[i + 1], units))
    return [text for text in said if text]


def _carry_words(carry: Carry | None, first: JumpAnswer, second: JumpAnswer, units: str) -> str:
    if carry is None:
        return ""
    pair = f"From {first.name} to {second.name}"
    need = ""
    if carry.strokes:
        fits = f"{carry.fit} fit" if carry.strokes <= carry.fit else f"only {carry.fit} fit"
        need = f" From the aim it needs {_strokes(carry.strokes)}; {fits}."
    elif carry.brake > 0:
        need = f" From the aim it arrives {speed(carry.brake, units, digits=1)} too fast: brake between."
    if carry.speeds is None:
        return (
            f"{pair} nothing carries without a stroke or a brake: shorten the second gap, steepen the ground between, or leave "
            f"a deck in.{need}"
        )
    if carry.share > 0.999:
        return f"{pair} the whole window carries without a stroke or a brake."
    low, high = carry.speeds
    part = (
        "fastest"
        if high >= first.window.speeds.max - 1e-6
        else "slowest"
        if low <= first.window.speeds.min + 1e-6
        else "middle"
    )
    return (
        f"{pair} only the {part} {percent(carry.share)} of the window carries ({speed(low, units, digits=1)} to "
        f"{speed(high, units, digits=1)} at the edge of {first.name}).{need}"
    )


def rolled_words(jump: JumpAnswer, units: str = "metric") -> str:
    """Whether it can be rolled."""
    can = "It can be rolled" if jump.rollable.yes else "It cannot be rolled"
    return sentence(f"{can}: {note(jump.rollable.why, units)}")


def heights_words(jump: JumpAnswer, units: str = "metric") -> str:
    """The heights that must close."""
    below = jump.heights.runout_start_below_foot
    where = (
        "level with"
        if abs(below) < 0.005
        else f"{length(abs(below), units, digits=2)} {'below' if below > 0 else 'above'}"
    )
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


def input_value(declaration: Input, number: object, units: str = "metric") -> str:
    """Any input as a person reads it, also one that is not given."""
    if number is None:
        return "not given"
    if isinstance(number, bool):
        return "yes" if number else "no"
    if declaration.kind == "pieces":
        return f"{len(number)} piece{'s' if len(number) > 1 else ''}"
    if declaration.kind == "stakes":
        return f"{len(number)} stakes over {length(number[-1][0], units)}"
    return assumed_value(declaration, number, units)


def named(path: str, declaration: Input, units: str) -> str:
    """A key path with the suffix of the unit that its value is shown in."""
    if not declaration.unit or units == "metric":
        return path
    return f"{path.removesuffix(declaration.unit)}{declaration.imperial}"


def assumed(answer: Answer, units: str = "metric") -> list[tuple[str, str, str]]:
    """What was assumed: key path, value with unit, source, in the order of the declarations."""
    names = set(answer.assumed)
    return [
        (named(path, declaration, units), assumed_value(declaration, number, units), declaration.source)
        for path, declaration, number in given(answer.complete)
        if path in names
    ]
