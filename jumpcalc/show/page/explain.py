"""The coach's way in: from where the rear wheel hit to the speed it was, why, and what to change."""

from __future__ import annotations

import streamlit as st

from jumpcalc.plan.ask.inverse import Place
from jumpcalc.plan.ask.run_in import run_in_of
from jumpcalc.plan.studies.explain import PLACE_DOUBT, Explanation
from jumpcalc.plan.studies.started import Start
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.views.pick import place_at
from jumpcalc.plan.views.strip import WHEEL
from jumpcalc.show.page import fields, names, state, worked
from jumpcalc.show.page.answer import which
from jumpcalc.show.page.common import Panel, Shown, drawing, heading, jumps_solved, plain, said, small, table
from jumpcalc.show.page.player import player
from jumpcalc.show.words import cures as change
from jumpcalc.show.words import landing as told
from jumpcalc.show.words.jump import foot
from jumpcalc.show.words.numbers import Reader
from jumpcalc.units import to_si

__all__ = ["PANEL", "ask", "drawn", "picture", "show", "why"]

_PAST, _BEFORE, _WALL = "past the knuckle, down the landing", "before the knuckle", "into the near wall"
_FARTHEST = 60.0  # m
_MOST_STROKES = 1000


def drawn(shown: Shown) -> worked.Landing:
    """The landing and both flights, kept for the next run.

    Raises
    ------
    InputError
        Where inputs contradict each other.
    """
    return worked.landed(shown.line, shown.index, _place(shown), shown.reader, shown.stamp)


def _landing(shown: Shown) -> Explanation | None:
    """The landing at the place that was given, None before there is one; it needs the jumps alone."""
    return drawn(shown).explained


def picture(shown: Shown) -> None:
    """The landing to tap, with the aim's flight and theirs on one clock; a tap is taken over into the words."""
    if shown.jump.window.speeds is None:
        return
    made, answer, index = drawn(shown), jumps_solved(shown.line), shown.index

    def take(across: float, down: float) -> None:
        found = place_at(answer, index, *made.frame.place(across, down))
        names.TOUCHED.put(_WALL if found.wall else _PAST if found.along >= 0 else _BEFORE)
        if not found.wall:
            names.TOUCHED_FAR.put(min(round(abs(found.along), 2), _FARTHEST))
            state.refill()

    player(
        made.size, made.svg, made.flights, wheel=WHEEL * made.frame.scale, alt=_message(shown), key=names.TAPPED, take=take
    )  # fmt: skip


def _message(shown: Shown) -> str:
    """The drawing in words."""
    shown_in = "metres" if shown.reader is Reader.metric else "feet"
    text = f"The landing to true scale with {shown_in} from the knuckle; tapped, it takes the place. The fields beside it say it in words."
    found = _landing(shown)
    if found is None or found.why_none is not None:
        return text
    at = shown.text(told.touched(told.place(found.along, found.face)))
    return f"{text} Over it the aim's bike and this landing's, on one clock from the edge on. This landing: {at}."


def show(shown: Shown) -> None:
    """How fast it was and what it cost, or what has to be told first."""
    over, found = which(shown), _landing(shown)
    if shown.jump.window.speeds is None:
        heading("Explain a landing", over=over)
        st.markdown(plain("No lip speed lands this jump clean, so there is no aim to compare with."))
    elif found is None:
        heading("Why was it short, or long? Where did the rear wheel touch?", over=over)
        st.markdown("Tap the place on the drawing, or say it in words.")
    elif found.why_none is not None:
        heading("Explain a landing", over=over)
        st.warning(plain(shown.text(told.refusal(found))))
    else:
        heading(shown.text(told.first_sentence(found)), over=over)
        st.markdown(plain(shown.text(told.cost(found))))


def why(shown: Shown) -> None:
    """Why it was so, and what to change."""
    found = _landing(shown)
    if found is None or found.why_none is not None:
        return
    begun = worked.begun(shown.line, shown.index, _place(shown), _start(shown))
    if begun is not None:
        said(shown.texts(change.begun(found, begun)), title="From where they started")
    said(shown.texts([told.what_the_rider_added(found), *told.why(found)]), title="Why")
    if not shown.no_ride:
        _cures(shown, found)
    table(["", "the aim", "this landing"], [shown.texts(row) for row in told.rows(found)])
    within = shown.length(PLACE_DOUBT)
    small(plain(f"The place is taken to be right within {within}. The rear wheel counts, not the front one."))


def _cures(shown: Shown, explained: Explanation) -> None:
    """What to change, in the order in which it is to be tried."""
    cures = shown.texts(change.cures(explained, worked.cure(shown.line, shown.index, _place(shown), _start(shown))))
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
    """Where the rear wheel touched, in words, and from where they started."""
    if shown.jump.window.speeds is None:
        return
    unit = shown.reader.unit("length")
    if st.selectbox("The rear wheel touched", _ways(shown), key=names.TOUCHED.name) != _WALL:
        state.bind(names.TOUCHED_FIELD, fields.shown(names.TOUCHED_FAR.value, "length", unit))
        label = "Distance from the knuckle, along the ground"
        fields.number(label, names.TOUCHED_FIELD, kind="length", unit=unit, on_change=_take, args=(unit,))
    if _run_in_known(shown):
        _ask_start(unit, foot(shown.jump))


def _run_in_known(shown: Shown) -> bool:
    """Whether a start can be asked for: before the first jump, on ground that was measured."""
    return shown.index == 0 and run_in_of(prepare(shown.line)) is not None


def _ask_start(unit: str, tape: str) -> None:
    """From where they started and with how many strokes, as far as it is known."""
    left, right = st.columns(2, vertical_alignment="bottom")
    with left:
        state.bind(names.BEGAN_FIELD, fields.shown(names.BEGAN.value, "length", unit))
        fields.number(
            f"Start mark before the {tape}", names.BEGAN_FIELD, kind="length", unit=unit, hint="not known",
            on_change=_take_start, args=(unit,),
            help="Distance along the ground from there to where they started; leave it empty where nobody knows.",
        )  # fmt: skip
    with right:
        state.bind(names.PEDALLED_FIELD, names.PEDALLED.value)
        fields.number(
            "Pedal strokes made", names.PEDALLED_FIELD, kind="count", unit="", hint="the line's", on_change=_take_strokes,
            help="Half-turns of the cranks after the start; empty takes those of the line.",
        )  # fmt: skip


def _take_start(unit: str) -> None:
    """Keep the start mark in SI, so that a switch of units does not change it."""
    value = names.BEGAN_FIELD.value
    names.BEGAN.put(None if value is None else float(to_si(value, kind="length", unit=unit)))


def _take_strokes() -> None:
    """Keep how many strokes they made; fewer than none is none."""
    value = names.PEDALLED_FIELD.value
    names.PEDALLED.put(None if value is None else min(max(int(value), 0), _MOST_STROKES))
    state.refill()  # the field shows what is used


def _start(shown: Shown) -> Start:
    """From where they started, as far as it was said and this run-in is known."""
    if not _run_in_known(shown):
        return Start()
    return Start(mark=names.BEGAN.value, strokes=names.PEDALLED.value)


def _take(unit: str) -> None:
    """Keep the distance in SI, so that a switch of units does not change it; a negative one is the other way."""
    value = names.TOUCHED_FIELD.value
    metres = None if value is None else float(to_si(value, kind="length", unit=unit))
    if metres is not None and metres < 0:
        names.TOUCHED.put(_BEFORE if names.TOUCHED.value == _PAST else _PAST)
    names.TOUCHED_FAR.put(None if metres is None else min(abs(metres), _FARTHEST))
    state.refill()  # the field shows what is used


def _moments(shown: Shown) -> None:
    """The strip of both flights."""
    seen, drawn = worked.moments(shown.line, shown.index, _place(shown), shown.reader, shown.stamp)
    drawing(drawn, alt=shown.text(told.alt(_landing(shown), seen)))


def _explains(shown: Shown) -> bool:
    found = _landing(shown)
    return found is not None and found.why_none is None


PANEL = Panel("Both flights moment by moment, to print", _moments, _explains)
