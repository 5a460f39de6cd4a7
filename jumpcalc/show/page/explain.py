"""The coach's way in: from where the rear wheel hit to the speed it was, why, and what to change."""

from __future__ import annotations

from functools import lru_cache

import streamlit as st

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.studies.explain import Cure, Explanation, Place, Strip, cure_of, explain, strip
from jumpcalc.plan.views.pick import pick_view, place_at
from jumpcalc.show import words
from jumpcalc.show.page import fields, names, state
from jumpcalc.show.page.answer import which
from jumpcalc.show.page.common import Shown, drawing, heading, jumps_solved, plain, said, small, table
from jumpcalc.show.page.tap import tapped
from jumpcalc.show.paper.pick import landing, step_between
from jumpcalc.show.paper.strip import flights
from jumpcalc.show.words import landing as told
from jumpcalc.units import to_si

__all__ = ["ask", "drawn", "picture", "show", "why"]

_PAST, _BEFORE, _WALL = "past the knuckle, down the landing", "before the knuckle", "into the near wall"
_FARTHEST = 60.0  # m


@lru_cache(maxsize=100)
def _explained(answer: Answer, index: int, place: Place) -> tuple[Explanation, Strip | None]:
    found = explain(answer, index, place)
    return found, None if found.why_none is not None else strip(answer, index, found)


@lru_cache(maxsize=100)
def _cure(answer: Answer, index: int, explained: Explanation) -> Cure:
    return cure_of(answer, index, explained)


@lru_cache(maxsize=100)
def _drawn(answer: Answer, index: int, place: Place, units: str, stamp: str) -> str:
    found, seen = _explained(answer, index, place)
    return "" if seen is None else flights(found, seen, units, stamp=stamp).svg()


def _landing(shown: Shown) -> tuple[Explanation, Strip | None] | None:
    """The landing at the place that was given, None before there is one; it needs the jumps alone."""
    place = _place(shown)
    return None if place is None else _explained(jumps_solved(shown.line), shown.index, place)


def drawn(shown: Shown) -> str:
    """Both flights, empty where there is nothing to show, kept for the next run.

    Raises
    ------
    InputError
        Where inputs contradict each other.
    """
    answer, place = jumps_solved(shown.line), _place(shown)
    return "" if place is None else _drawn(answer, shown.index, place, shown.units, shown.stamp)


def picture(shown: Shown) -> None:
    """The aim's flight and theirs."""
    svg = drawn(shown)
    if svg:
        drawing(svg, alt=told.alt(*_landing(shown), shown.units))


def show(shown: Shown) -> None:
    """Where the rear wheel hit, asked in words, and how fast that was."""
    heading("Explain a landing", over=which(shown))
    if shown.jump.window.speeds is None:
        st.markdown(plain("No lip speed lands this jump clean, so there is no aim to compare with."))
        return
    found = _landing(shown)
    if found is None:
        small("The answer follows once the place is given: a tap, or the distance from the knuckle along the ground.")
        return
    explained, units = found[0], shown.units
    if explained.why_none is not None:
        st.warning(plain(told.refusal(explained)))
        return
    st.markdown(f"**{plain(told.first_sentence(explained, units))}**\n\n{plain(told.cost(explained, units))}")


def why(shown: Shown) -> None:
    """Why it was so, and what to change."""
    found = _landing(shown)
    if found is None or found[0].why_none is not None:
        return
    explained, units = found[0], shown.units
    said([told.posture(explained, units), *told.why(explained, units)], title="Why")
    if not shown.not_today:
        _cures(shown, explained)
    table(["", "the aim", "this landing"], told.rows(explained, units))
    small(plain("The place is taken to be right within 0.2 m. The rear wheel counts, not the front one."))


def _cures(shown: Shown, explained: Explanation) -> None:
    """What to change, in the order in which it is to be tried."""
    units = shown.units
    cures = told.cures(explained, _cure(shown.answer, shown.index, explained), units)
    cures = "\n".join(f"{number}. {plain(text)}" for number, text in enumerate(cures, start=1))
    st.markdown(f"### What to change, in this order\n{cures}")


def _ways(shown: Shown) -> list[str]:
    """The ways in which the place can be given in words on this jump; one that it does not have is forgotten with its place."""
    ways = [_PAST, _BEFORE, *([_WALL] if shown.jump.shape == "gap" else [])]
    if names.TOUCHED.value not in ways:
        names.TOUCHED.put(_PAST)
        names.TOUCHED_FAR.put(None)
    return ways


def _place(shown: Shown) -> Place | None:
    """The place as it was picked, on the drawing or in words; None where there is no aim, or the distance is not given."""
    if shown.jump.window.speeds is None:
        return None
    _ways(shown)
    way, far = names.TOUCHED.value, names.TOUCHED_FAR.value
    if way == _WALL:
        return Place(wall=True)
    return None if far is None else Place(along=far if way == _PAST else -far)


def ask(shown: Shown) -> None:
    """The landing to tap, and the same in words."""
    if shown.jump.window.speeds is None:
        return
    st.markdown("**Where did the rear wheel touch?** Tap the place on the drawing, or say it in words.")
    _pointed(shown, _place(shown))
    if st.selectbox("The rear wheel touched", _ways(shown), key=names.TOUCHED.name) == _WALL:
        return
    unit = words.length_sign(shown.units)
    state.bind(names.TOUCHED_FIELD, fields.shown(names.TOUCHED_FAR.value, "length", unit))
    label = "Distance from the knuckle, along the ground"
    fields.number(label, names.TOUCHED_FIELD, kind="length", unit=unit, on_change=_take, args=(unit,))


def _pointed(shown: Shown, place: Place | None) -> None:
    """The landing to tap; a tap is taken over into the words."""
    answer, index, units, stamp = shown.drawn
    sheet, frame = landing(pick_view(answer, index, place, step=step_between(units)), units, stamp=stamp)

    def take(across: float, down: float) -> None:
        found = place_at(answer, index, *frame.place(across, down))
        names.TOUCHED.put(_WALL if found.wall else _PAST if found.along >= 0 else _BEFORE)
        if not found.wall:
            names.TOUCHED_FAR.put(min(round(abs(found.along), 2), _FARTHEST))
            state.refill()

    shown_in = "metres" if units == "metric" else "feet"
    tapped(
        sheet.svg(),
        key=names.TAPPED,
        take=take,
        alt=f"The landing to true scale with {shown_in} from the knuckle; tapped, it takes the place. The fields below say it in words.",
    )


def _take(unit: str) -> None:
    """Keep the distance in SI, so that a switch of units does not change it; a negative one is the other way."""
    value = names.TOUCHED_FIELD.value
    metres = None if value is None else float(to_si(value, kind="length", unit=unit))
    if metres is not None and metres < 0:
        names.TOUCHED.put(_BEFORE if names.TOUCHED.value == _PAST else _PAST)
    names.TOUCHED_FAR.put(None if metres is None else min(abs(metres), _FARTHEST))
    state.refill()  # the field shows what is used
