"""What a coach is told about a landing: sentences, the words for the strip of both flights, and its table."""

from __future__ import annotations

from jumpcalc.plan.answer import LandingResult
from jumpcalc.plan.studies.explain import Cure, Explanation
from jumpcalc.plan.views.strip import Strip
from jumpcalc.show.words.jump import fall
from jumpcalc.show.words.notes import note, strokes
from jumpcalc.show.words.said import Between, Words, said, sentence
from jumpcalc.units import to_si

__all__ = ["about", "alt", "cost", "cures", "first_sentence", "place", "posture", "refusal", "rows", "touched", "why"]

_HEADWIND = to_si(10, kind="speed", unit="kmh")  # leaves and twigs move
_LITTLE = 0.05  # m, less is not said
_ONE = to_si(1, kind="speed", unit="kmh")
_HALF = to_si(0.5, kind="speed", unit="mph")  # reads as none in whole mph
_LITTLE_SPEED = to_si(0.05, kind="speed", unit="mph")  # reads as none in tenths


def refusal(explained: Explanation) -> Words:
    """Why there is nothing to explain.

    Parameters
    ----------
    explained : Explanation
        One without a landing.

    Returns
    -------
    Said
        A sentence.
    """
    return sentence(note(explained.why_none))


def first_sentence(explained: Explanation) -> Words:
    """The answer: by how much the speed at the edge was off, the lip ridden normally.

    Parameters
    ----------
    explained : Explanation
        One with a landing.

    Returns
    -------
    Said
        A sentence.
    """
    least, most = explained.off
    normal = "if the edge was left normally" if explained.shape == "drop" else "if the lip was ridden normally"
    if _about_right(explained):
        return said(
            "The speed was about right, within {most:speed.0} of the aim at the edge, {normal}.", most=max(most, _ONE), normal=normal
        )
    span = "Up to {most:speed.0}" if least < _HALF else "About {off:speed.0}"
    return said(
        f"{span} {{verdict}} at the edge, {{normal}}.",
        most=most, off=Between(least, most), verdict=explained.verdict, normal=normal,
    )  # fmt: skip


def _end(explained: Explanation) -> str:
    """What the bike leaves the ground from."""
    return "edge" if explained.shape == "drop" else "lip"


def _about_right(explained: Explanation) -> bool:
    """Whether the speed was right as far as it is shown."""
    return explained.verdict == "about right" or explained.off[1] < _HALF


def posture(explained: Explanation) -> Words:
    """What the speed may have been with what a rider may do at the lip.

    Parameters
    ----------
    explained : Explanation
        One with a landing.

    Returns
    -------
    Said
        Sentences.
    """
    text = f"Counting what a rider may do at the {_end(explained)}, it was left at {{edge:speed}}; the aim is {{aim:speed}}."
    if explained.verdict != "about right":
        manner = "Soaking it up or riding stiff" if explained.verdict == "too slow" else "Springing off it"
        alone = "can explain it alone, at the right speed" if explained.rider_explains else (
            "as far as is counted here does not explain it alone"
        )
        text += f" {manner} {alone}."
    return said(text, edge=Between(explained.lip.low, explained.lip.high), aim=explained.aim.lip_speed)


def cost(explained: Explanation) -> Words:
    """What it cost, beside what the aim costs.

    Parameters
    ----------
    explained : Explanation
        One with a landing.

    Returns
    -------
    Said
        Sentences.
    """
    return said("What it cost: {theirs}. The aim lands {aim}.", theirs=_hit(explained.landing), aim=_hit(explained.aim))


def _hit(landing: LandingResult) -> Words:
    """How hard it hits; the fall height of a cased landing is its front wheel's only."""
    if landing.outcome == "rear short":
        return "a hit on the knuckle's edge (no height describes it)"
    if landing.equivalent_fall is None:
        return "a hit on a fixed edge (no height describes it)"
    return fall(landing.equivalent_fall)


def why(explained: Explanation) -> list[Words]:
    """Three or four plain sentences.

    Parameters
    ----------
    explained : Explanation
        One with a landing.

    Returns
    -------
    list of str or Said
        Why it was so.
    """
    part, slow = explained.why, explained.why.slow
    told: list[Words] = []
    if abs(slow) >= 0.005:
        ways = ("slow", "short") if slow > 0 else ("fast", "long")
        told.append(
            said(
                f"Speed enters squared: {{slow:share}} {ways[0]} is {{squared:share}} {ways[1]} without air; here the bike came down "
                f"{{short:length}} {ways[1]} of the aim's place, measured level.",
                slow=abs(slow), squared=abs(part.squared), short=abs(part.short),
            )
        )  # fmt: skip
    told.append(_air(explained))
    if explained.landing.surface == "wall":
        told.append("The near wall of the landing stops the bike instead of letting it roll on.")
    elif explained.landing.surface == "floor":
        told.append("The ground before the landing does not fall away under the bike: it takes the whole fall.")
    elif explained.landing.outcome == "short" and explained.shape == "tabletop":
        told.append("The deck does not fall away under the bike as the landing does: it takes the whole fall.")
    elif explained.verdict == "too slow" and explained.landing.outcome == "rear short":
        told.append("The front wheel reaches the landing and the rear wheel does not: it kicks up from the knuckle.")
    if explained.end_hit is not None and explained.past_hit is not None:
        start = "Too much speed lands flat"
        if explained.verdict != "too fast":
            start = f"The other way is no cure: {start[0].lower()}{start[1:]}"
        told.append(
            said(
                f"{start}. At the end of the landing it hits {{end}}, {{further:length}} further {{past}}.",
                end=fall(explained.end_hit), further=0.5, past=fall(explained.past_hit),
            )
        )  # fmt: skip
    return told


def _air(explained: Explanation) -> Words:
    """What air and wind did to the flight, or would."""
    part = explained.why
    air = "Air takes {drag:length} off the aim's flight" if part.drag >= _LITTLE else (
        "Air takes less than {little:length} off the aim's flight"
    )
    per = abs(part.per_wind) * _HEADWIND
    if abs(part.wind) >= _LITTLE:
        wind = f"the wind {'adds' if part.wind > 0 else 'takes'} {{wind:length}}"
    else:
        least = "about {per:length}" if per >= _LITTLE else "less than {little:length}"
        wind = f"a headwind of {{blows:speed.0}} would take {least} in the air, and more on the run-in"
    return said(f"{air}; {wind}.", drag=part.drag, little=0.1, wind=abs(part.wind), per=per, blows=_HEADWIND)


def cures(explained: Explanation, cure: Cure) -> list[Words]:
    """What to do, in this order: less first, then look, then the smallest change of speed.

    Parameters
    ----------
    explained : Explanation
        One with a landing.
    cure : Cure
        Its smallest changes.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    film = f"Film the {_end(explained)} from the side: was it soaked up, ridden stiff, or braked?"
    if _about_right(explained):
        return ["Leave the speed as it is.", f"If it felt wrong, a smaller one first. {film}"]
    again = "Not again today, or a smaller one first, until the speed is the same every time."
    if explained.landing.outcome == "clean":
        again = f"Both wheels were on the landing all the same. {again}"
    told: list[Words] = [again, film, _change_of_speed(explained, cure)]
    if cure.run_in is not None:
        further = "further up" if cure.to_aim > 0 else "further down"
        told.append(said(f"On this run-in that is a start about {{by:length}} {further}.", by=abs(cure.run_in)))
    if cure.to_aim < 0:
        told.append(
            "Or one pedal stroke less. Not the brakes on the lip: braking there changes how the bike leaves it."
        )
    elif cure.strokes:
        fit = "" if cure.fit is None else f"; {'only ' if cure.fit < cure.strokes else ''}{{fit:count}} more fit"
        told.append(
            said(f"Or {{strokes}} more{fit}. One change at a time.", strokes=strokes(cure.strokes), fit=cure.fit)
        )
    return told


def _change_of_speed(explained: Explanation, cure: Cure) -> Words:
    """The least change of speed that lands clean, and the one that lands at the aim."""
    more = "more" if cure.to_aim > 0 else "less"
    text = "Only then change the speed, by the least that will do: "
    if abs(cure.to_clean) >= _LITTLE_SPEED:
        text += f"{{clean:speed}} {more} at the edge is enough to land clean; "
    text += f"{{aim:speed}} {more} at the edge is the aim"
    if explained.shape != "drop":
        text += f", which is {{foot:speed}} {more} just before the lip"
    return said(f"{text}.", clean=abs(cure.to_clean), aim=abs(cure.to_aim), foot=abs(cure.foot))


def place(along: float | None, face: float) -> Words:
    """Where a rear wheel touched, from the knuckle.

    Parameters
    ----------
    along : float or None
        Distance along the ground from the knuckle [m]; None for the near wall.
    face : float
        Length of the landing [m].

    Returns
    -------
    str or Said
        Words.
    """
    if along is None:
        return "into the near wall"
    if abs(along) < _LITTLE:
        return "on the knuckle"
    if along < 0:
        return said("{far:length} before the knuckle", far=-along)
    if along <= face:
        return said("{far:length} down the landing", far=along)
    return said("{far:length} past the end of the landing", far=along - face)


def rows(explained: Explanation) -> list[tuple[Words, Words, Words]]:
    """The numbers of the drawing: what, of the aim, of theirs.

    Parameters
    ----------
    explained : Explanation
        One with a landing.

    Returns
    -------
    list of tuple
        Three cells a row.
    """
    aim, theirs = explained.aim, explained.landing

    def hit(landing: LandingResult) -> Words:
        if landing.equivalent_fall is None or landing.outcome == "rear short":
            return "no height describes it"
        return said("{height:drop}", height=landing.equivalent_fall)

    return [
        ("speed at the edge", said("{speed:speed}", speed=aim.lip_speed), about(explained)),
        ("rear wheel", place(explained.aim_along, explained.face), place(explained.along, explained.face)),
        ("middle of the bike, level from the edge", *(said("{x:length}", x=each.x) for each in (aim, theirs))),
        ("in the air", *(said("{flight:time.2}", flight=each.flight) for each in (aim, theirs))),
        ("as hard as a drop of", hit(aim), hit(theirs)),
    ]


def alt(explained: Explanation, seen: Strip) -> Words:
    """The drawing in words.

    Parameters
    ----------
    explained : Explanation
        One with a landing.
    seen : Strip
        Its strip of moments.

    Returns
    -------
    Said
        Sentences.
    """
    aim, theirs = explained.aim, explained.landing
    return said(
        "Two strips of moments, {step} s apart, true to scale. Above, the aim: {speed:speed} at the edge, {aim_at}, {aim_hit}. "
        "Below, this landing: {about} at the edge, {their_at}, {their_hit}.",
        step=f"{seen.step:g}", speed=aim.lip_speed, aim_at=touched(place(explained.aim_along, explained.face)), aim_hit=_hit(aim),
        about=about(explained), their_at=touched(place(explained.along, explained.face)), their_hit=_hit(theirs),
    )  # fmt: skip


def touched(at: Words) -> Words:
    """What touched there.

    Parameters
    ----------
    at : str or Said
        A place, as `place` says it.

    Returns
    -------
    str or Said
        Words.
    """
    return at if at == "into the near wall" else said("rear wheel {at}", at=at)


def about(explained: Explanation) -> Words:
    """Their speed at the edge as the span of a normally ridden lip.

    Parameters
    ----------
    explained : Explanation
        One with a landing.

    Returns
    -------
    Said
        Words.
    """
    return said("about {normal:speed.0}", normal=Between(explained.normal.low, explained.normal.high))
