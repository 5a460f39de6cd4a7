"""What a coach is told about a landing: what happened and why, the words for the strip of both flights, and its table."""

from __future__ import annotations

from jumpcalc.plan.answer import LandingResult
from jumpcalc.plan.studies.explain import Explanation, Step
from jumpcalc.plan.views.strip import Strip
from jumpcalc.show.words.jump import end, fall
from jumpcalc.show.words.notes import note
from jumpcalc.show.words.said import Between, Either, Words, listed, said, sentence
from jumpcalc.units import to_si

__all__ = [
    "about",
    "about_right",
    "alt",
    "cost",
    "first_sentence",
    "place",
    "refusal",
    "rows",
    "touched",
    "what_the_rider_added",
    "why",
]

_LITTLE = 0.05  # m, less is not said
_MATTERS = 0.1  # m
_ONE = to_si(1, kind="speed", unit="kmh")
_HALF = to_si(0.5, kind="speed", unit="mph")  # reads as none in whole mph


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
    if about_right(explained):
        return said(
            "The speed was about right, within {most:speed.0} of the aim at the edge, {normal}.", most=max(most, _ONE), normal=normal
        )
    span = "Up to {most:speed.0}" if least < _HALF else "About {off:speed.0}"
    return said(
        f"{span} {{verdict}} at the edge, {{normal}}.",
        most=most, off=Between(least, most), verdict=explained.verdict, normal=normal,
    )  # fmt: skip


def about_right(explained: Explanation) -> bool:
    """Whether the speed was right as far as it is shown.

    Parameters
    ----------
    explained : Explanation
        One with a landing.

    Returns
    -------
    bool
        Then there is nothing to change.
    """
    return explained.verdict == "about right" or explained.off[1] < _HALF


def what_the_rider_added(explained: Explanation) -> Words:
    """What the speed may have been with what a rider may add at the lip or take away.

    Parameters
    ----------
    explained : Explanation
        One with a landing.

    Returns
    -------
    Said
        Sentences.
    """
    text = f"Counting what a rider may do at the {end(explained)}, it was left at {{edge:speed}}; the aim is {{aim:speed}}."
    if explained.verdict != "about right":
        manner = "Soaking it up" if explained.verdict == "too slow" else "Springing off it"
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
    told = listed([_here(explained), _air(explained)])
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


def _here(explained: Explanation) -> Words:
    """What a little speed does on this landing, and how much shorter or longer this one was."""
    part = explained.why
    first = Either(metric=_one(explained, part.kmh), imperial=_one(explained, part.mph))
    if abs(part.short) < _LITTLE:
        return first
    way = "shorter than" if part.short > 0 else "past"
    return said(f"{{first}} This one came down {{short:length}} {way} the aim's place, measured level.", first=first, short=abs(part.short))


def _one(explained: Explanation, step: Step) -> Words:
    """What one unit of speed does here, and why so much."""
    slower, drop = explained.landing.lip_speed <= explained.aim.lip_speed, explained.shape == "drop"
    less, shorter = ("less", "shorter") if slower else ("more", "further")
    text = f"1 {{speed_unit}} {less} {'at the edge' if drop else 'before the lip'}"
    if step.shorter is None:
        return said(f"{text} than the aim no longer reaches the landing.")
    text += f" lands {{moved:length}} {shorter} here"
    moved, level = abs(step.shorter), abs(step.on_level)
    if moved - level >= _MATTERS:
        text += ", because the landing falls away under a flat path: on level ground it would be {level:length}"
    text += "."
    if moved - abs(step.shorter - step.by_bike) >= _MATTERS:
        turned = ("dips its front more" if slower else "dips its front less") if drop else f"is turned down {'more' if slower else 'less'}"
        text += f" For the textbook's point it would be {{point:length}}: a {'slower' if slower else 'faster'} bike {turned} as it leaves."
    return said(text, moved=moved, level=level, point=abs(step.shorter - step.by_bike))


def _air(explained: Explanation) -> Words:
    """What air and wind did to the aim's flight, where that matters."""
    part = explained.why
    air = "Air takes {drag:length} off the aim's flight" if part.drag >= _MATTERS else ""
    wind = f"the wind {'adds' if part.wind > 0 else 'takes'} {{wind:length}}" if abs(part.wind) >= _MATTERS else ""
    if not air and not wind:
        return ""
    return sentence(said("; ".join(listed([air, wind])), drag=part.drag, wind=abs(part.wind)))


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
