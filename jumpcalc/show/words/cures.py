"""What is said of the start that a landing began from, and what to change after it."""

from __future__ import annotations

from jumpcalc.plan.notes import Code
from jumpcalc.plan.studies.cure import Cure
from jumpcalc.plan.studies.explain import Explanation
from jumpcalc.plan.studies.started import Reason, Started
from jumpcalc.show.words.jump import end, foot
from jumpcalc.show.words.landing import about_right, place, touched
from jumpcalc.show.words.notes import note, strokes
from jumpcalc.show.words.said import Least, Most, Words, joined, said, sentence
from jumpcalc.units import to_si

__all__ = ["begun", "cures"]

_LITTLE_SPEED = to_si(0.05, kind="speed", unit="mph")  # reads as none in tenths
_LEGS = 0.1 / 0.43  # m per m/s: legs that move 0.1 m within 0.25 s give 0.40 to 0.46 m/s, two-wheel simulation made for this project


def begun(explained: Explanation, start: Started) -> list[Words]:
    """Whether the start gives the landing that was seen; where it does not, what would explain that.

    Parameters
    ----------
    explained : Explanation
        One with a landing.
    start : Started
        From where they started.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    if start.why_none is not None:
        return [sentence(note(start.why_none))]
    pedalled = said(" with {strokes}", strokes=strokes(start.strokes)) if start.strokes else ""
    before = f"{{mark:length}} before the {foot(explained)}{{pedalled}} this run-in gives "
    if start.fits:
        return [said(f"From {before}just that landing, as well as the place was read.", mark=start.mark, pedalled=pedalled)]
    landing: Words = "a halt before the edge"
    if start.landing is not None:
        there: Words = "the bike rolls off the edge"
        if start.landing.surface != "edge":
            there = touched(place(start.along, explained.face))
        landing = said(
            f"{{speed:speed}} {'at the edge' if explained.shape == 'drop' else 'before the lip'}: {{there}}",
            speed=start.foot_speed, there=there,
        )  # fmt: skip
    far = "That start and this landing do not go together: from" if not start.usual else "From"
    usual = ": no further apart than what a rider does at the lip may bring" if start.usual else ""
    other = said(
        f"{far} {before}{{landing}}. Seen was: {{seen}}{usual}.",
        mark=start.mark, pedalled=pedalled, landing=landing, seen=touched(place(explained.along, explained.face)),
    )  # fmt: skip
    if not start.reasons:
        nothing = (
            "Nothing of plausible size explains that alone: not the dirt, brakes that drag, what the rider did at the edge, wind, the "
            "slope or the mark. Measure the place, the run-in and the jump again."
        )
        return [other, nothing]
    each = joined([_reason(one, explained) for one in start.reasons], "; ")
    return [other, said("Each of these alone would explain it: {each}. Or the place, the run-in or the jump is measured wrong.", each=each)]


def _reason(one: Reason, explained: Explanation) -> Words:
    """One thing that would explain a landing, and how much of it."""
    by, more = abs(one.by), one.by > 0
    lip = end(explained)
    body = f"{'springing off' if more else 'soaking up'} the {lip} by {{legs:height}} with the legs"
    text = {
        "dirt": f"{{by:share}} {'more' if more else 'less'} rolling resistance than given",
        "wind": f"{{by:speed}} more wind from {'behind' if more else 'ahead'}, on the way and in the air",
        "slope": f"a run-in {{by:angle.1}} {'flatter' if more else 'steeper'} than measured",
        "mark": f"a start {{by:length}} further {'up' if more else 'down'} than said",
        "brakes": f"brakes dragged lightly over the last {{by:length}} before the {lip}",
        "body": body,
    }[one.what]
    return said(text, by=by, legs=by * _LEGS)


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
    film = f"Film the {end(explained)} from the side: was it soaked up, sprung off, or braked?"
    overdone = cure.why_none is not None and cure.why_none.code == Code.ANY_CHANGE_MAY_OVERDO_IT
    if (about_right(explained) or overdone) and explained.landing.outcome == "clean":
        cannot = cure.why_none is not None and cure.why_none.code == Code.FASTER_THAN_THE_RUN_IN
        told = [sentence(note(cure.why_none))] if cannot else []
        return [*told, "Leave the speed as it is.", f"If it felt wrong, a smaller one first. {film}"]
    again = "Not again today, or a smaller one first, until the speed is the same every time."
    if explained.landing.outcome == "clean":
        again = f"Both wheels were on the landing all the same. {again}"
    if cure.why_none is not None:
        return [again, film, sentence(note(cure.why_none))]
    told: list[Words] = [again, film, _change_of_speed(explained, cure)]
    more = cure.edge > 0
    further = "further up" if more else "further down"
    if cure.mark is not None:
        kept, text = Most(cure.mark) if more else Least(cure.mark), "That is a start {mark:length} before the {end}, {by:length} {further}."
        told.append(said(text, mark=kept, end=foot(explained), by=Most(abs(cure.moved)), further=further))
    elif cure.moved is not None:
        told.append(said(f"On this run-in that is a start about {{by:length}} {further}.", by=Most(abs(cure.moved))))
    if cure.strokes is not None:
        room = "" if cure.strokes_fit or not more else ", if there is room for it"
        text = f"Or, to land clean at least, {{strokes}} {'more' if more else 'less'} and all else as it was{room}. One change at a time."
        told.append(said(text, strokes=strokes(abs(cure.strokes))))
    if not more:
        told.append("Not the brakes on the lip: braking there changes how the bike leaves it.")
    return told


def _change_of_speed(explained: Explanation, cure: Cure) -> Words:
    """The least change of speed that lands clean, and the one that lands at the aim or as near to it as may be."""
    more, far = ("more", "fastest") if cure.edge > 0 else ("less", "slowest")
    text = "Only then change the speed, by the least that will do: "
    if _LITTLE_SPEED <= abs(cure.to_clean) < abs(cure.edge) - _LITTLE_SPEED:
        text += f"{{clean:speed}} {more} at the edge is enough to land clean; "
    text += f"{{edge:speed}} {more} at the edge is "
    text += "the aim" if cure.to_aim else f"as near to the aim as the {far} that this may have been stays clean"
    if explained.shape != "drop":
        text += f", which is {{foot:speed}} {more} just before the lip"
    return said(f"{text}.", clean=Least(abs(cure.to_clean)), edge=Most(abs(cure.edge)), foot=Most(abs(cure.foot)))
