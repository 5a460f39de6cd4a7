"""What a coach is told about a landing: sentences, the words for the strip of both flights, and its table."""

from __future__ import annotations

from jumpcalc.plan.answer import LandingResult
from jumpcalc.plan.studies.explain import Cure, Explanation
from jumpcalc.plan.views.strip import Strip
from jumpcalc.show import words
from jumpcalc.units import to_si

__all__ = ["about", "alt", "cost", "cures", "first_sentence", "place", "posture", "refusal", "rows", "touched", "why"]

_HEADWIND = 10.0  # km/h: leaves and twigs move
_LITTLE = 0.05  # m, less is not said


def refusal(explained: Explanation) -> str:
    """Why there is nothing to explain."""
    return words.sentence(words.note(explained.why_none))


def first_sentence(explained: Explanation, units: str = "metric") -> str:
    """The answer: by how much the speed at the edge was off, the lip ridden normally."""
    least, most = (_whole(value, units) for value in explained.off)
    normal = "if the edge was left normally" if explained.shape == "drop" else "if the lip was ridden normally"
    if _about_right(explained, units):
        return f"The speed was about right, within {max(most, 1)} {words.speed_sign(units)} of the aim at the edge, {normal}."
    span = f"Up to {most}" if least == 0 else f"About {most}" if least == most else f"About {least} to {most}"
    return f"{span} {words.speed_sign(units)} {explained.verdict} at the edge, {normal}."


def _end(explained: Explanation) -> str:
    """What the bike leaves the ground from."""
    return "edge" if explained.shape == "drop" else "lip"


def _about_right(explained: Explanation, units: str) -> bool:
    """Whether the speed was right as far as it is shown."""
    return explained.verdict == "about right" or _whole(explained.off[1], units) == 0


def posture(explained: Explanation, units: str = "metric") -> str:
    """What the speed may have been with the posture that is counted on."""
    low, high = (words.speed(v, units, digits=1) for v in (explained.lip.low, explained.lip.high))
    aim = words.speed(explained.aim.lip_speed, units, digits=1)
    text = f"With posture at the {_end(explained)} counted in, the edge was left at {words.number(low)} to {high}; the aim is {aim}."
    if explained.verdict == "about right":
        return text
    manner = "Squashing or riding stiff" if explained.verdict == "too slow" else "Popping"
    if explained.rider_explains:
        return f"{text} {manner} can explain it alone, at the right speed."
    return f"{text} {manner} as far as is counted here does not explain it alone."


def cost(explained: Explanation, units: str = "metric") -> str:
    """What it cost, beside what the aim costs."""
    return f"What it cost: {_hit(explained.landing, units)}. The aim lands {_hit(explained.aim, units)}."


def _hit(landing: LandingResult, units: str) -> str:
    """How hard it hits; the fall height of a cased landing is its front wheel's only."""
    if landing.outcome == "rear short":
        return "a hit on the knuckle's edge (no height describes it)"
    if landing.equivalent_fall is None:
        return "a hit on a fixed edge (no height describes it)"
    return words.fall(landing.equivalent_fall, units)


def why(explained: Explanation, units: str = "metric") -> list[str]:
    """Three or four plain sentences."""
    part, slow = explained.why, explained.why.slow
    said = []
    if abs(slow) >= 0.005:
        ways = ("slow", "short") if slow > 0 else ("fast", "long")
        said.append(
            f"Speed enters squared: {words.percent(abs(slow))} {ways[0]} is {words.percent(abs(part.squared))} {ways[1]} "
            f"without air; here the bike came down {words.length(abs(part.short), units)} {ways[1]} of the aim's place, "
            f"measured level."
        )
    air = (
        f"Air takes {words.length(part.drag, units)} off the aim's flight"
        if part.drag >= _LITTLE
        else (f"Air takes less than {words.length(0.1, units)} off the aim's flight")
    )
    if abs(part.wind) >= _LITTLE:
        does = "adds" if part.wind > 0 else "takes"
        wind = f"the wind {does} {words.length(abs(part.wind), units)}"
    else:
        blows = to_si(_HEADWIND, kind="speed", unit="kmh")
        per = abs(part.per_wind) * blows
        least = f"about {words.length(per, units)}" if per >= _LITTLE else f"less than {words.length(0.1, units)}"
        wind = f"a headwind of {words.speed(blows, units)} would take {least} in the air, and more on the run-in"
    said.append(f"{air}; {wind}.")
    if explained.landing.surface == "wall":
        said.append("The near wall of the landing stops the bike instead of letting it roll on.")
    elif explained.landing.surface == "floor":
        said.append("The ground before the landing does not fall away under the bike: it takes the whole fall.")
    elif explained.landing.outcome == "short" and explained.shape == "tabletop":
        said.append("The deck does not fall away under the bike as the landing does: it takes the whole fall.")
    elif explained.verdict == "too slow" and explained.landing.outcome == "rear short":
        said.append("The front wheel reaches the landing and the rear wheel does not: it kicks up from the knuckle.")
    if explained.end_hit is not None and explained.past_hit is not None:
        start = "Too much speed lands flat"
        if explained.verdict != "too fast":
            start = f"The other way is no cure: {start[0].lower()}{start[1:]}"
        said.append(
            f"{start}. At the end of the landing it hits {words.fall(explained.end_hit, units)}, "
            f"{words.length(0.5, units)} further {words.fall(explained.past_hit, units)}."
        )
    return said


def cures(explained: Explanation, cure: Cure, units: str = "metric") -> list[str]:
    """What to do, in this order: less first, then look, then the smallest change of speed."""
    film = f"Film the {_end(explained)} from the side: was it squashed, ridden stiff, or braked?"
    if _about_right(explained, units):
        return ["Leave the speed as it is.", f"If it felt wrong, a smaller one first. {film}"]
    again = "Not again today, or a smaller one first, until the speed is the same every time."
    if explained.landing.outcome == "clean":
        again = f"Both wheels were on the landing all the same. {again}"
    said = [again, film]
    more, further = ("more", "further up") if cure.to_aim > 0 else ("less", "further down")
    text = "Only then change the speed, by the least that will do: "
    least = words.speed(abs(cure.to_clean), units, digits=1)
    if float(words.number(least)) > 0:
        text += f"it lands clean from {least} {more} at the edge on; "
    text += f"for the aim {words.speed(abs(cure.to_aim), units, digits=1)} {more} at the edge"
    if explained.shape != "drop":
        text += f", which is {words.speed(abs(cure.foot), units, digits=1)} {more} just before the lip"
    said.append(f"{text}.")
    if cure.run_in is not None:
        said.append(f"On this run-in that is a start about {words.length(abs(cure.run_in), units)} {further}.")
    if cure.to_aim < 0:
        said.append(
            "Or one pedal stroke less. Not the brakes on the lip: braking there changes how the bike leaves it."
        )
    elif cure.strokes:
        fit = "" if cure.fit is None else f"; {'only ' if cure.fit < cure.strokes else ''}{cure.fit} more fit"
        said.append(f"Or {cure.strokes} pedal stroke{'s' if cure.strokes > 1 else ''} more{fit}. One change at a time.")
    return said


def place(along: float | None, face: float, units: str = "metric") -> str:
    """Where a rear wheel touched, from the knuckle."""
    if along is None:
        return "into the near wall"
    far = words.length(abs(along), units)
    if abs(along) < _LITTLE:
        return "on the knuckle"
    if along < 0:
        return f"{far} before the knuckle"
    return (
        f"{far} down the landing"
        if along <= face
        else f"{words.length(along - face, units)} past the end of the landing"
    )


def rows(explained: Explanation, units: str = "metric") -> list[tuple[str, str, str]]:
    """The numbers of the drawing: what, of the aim, of theirs."""
    aim, theirs = explained.aim, explained.landing
    places = [place(at, explained.face, units) for at in (explained.aim_along, explained.along)]

    def hit(landing: LandingResult) -> str:
        if landing.equivalent_fall is None or landing.outcome == "rear short":
            return "no height describes it"
        return words.length(landing.equivalent_fall, units)

    return [
        ("speed at the edge", words.speed(aim.lip_speed, units, digits=1), about(explained, units)),
        ("rear wheel", *places),
        ("middle of the bike, level from the edge", words.length(aim.x, units), words.length(theirs.x, units)),
        ("in the air", f"{aim.flight:.2f} s", f"{theirs.flight:.2f} s"),
        ("as hard as a drop of", hit(aim), hit(theirs)),
    ]


def alt(explained: Explanation, seen: Strip, units: str = "metric") -> str:
    """The drawing in words."""
    aim, theirs = explained.aim, explained.landing
    where = [place(at, explained.face, units) for at in (explained.aim_along, explained.along)]
    return (
        f"Two strips of moments, {seen.step:g} s apart, true to scale. Above, the aim: "
        f"{words.speed(aim.lip_speed, units, digits=1)} at the edge, {touched(where[0])}, {_hit(aim, units)}. Below, this landing: "
        f"{about(explained, units)} at the edge, {touched(where[1])}, {_hit(theirs, units)}."
    )


def touched(at: str) -> str:
    """What touched there."""
    return at if at == "into the near wall" else f"rear wheel {at}"


def about(explained: Explanation, units: str) -> str:
    """Their speed at the edge as the span of a normally ridden lip."""
    low, high = (words.speed(v, units, digits=0) for v in (explained.normal.low, explained.normal.high))
    return f"about {high}" if low == high else f"about {words.number(low)} to {high}"


def _whole(speed: float, units: str) -> int:
    return int(words.number(words.speed(speed, units)))
