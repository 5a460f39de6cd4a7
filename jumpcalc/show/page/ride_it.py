"""The rider's way in: speed and start mark in large figures, then at most four questions about today."""

from __future__ import annotations

import math

import streamlit as st

from jumpcalc.plan.answer import LandingResult, RunInAnswer
from jumpcalc.plan.ask.from_mark import FromMark
from jumpcalc.plan.inputs.declare import declared
from jumpcalc.plan.inputs.dug import RunIn
from jumpcalc.plan.inputs.rider import Bike
from jumpcalc.plan.inputs.surfaces import BIKES, SURFACES
from jumpcalc.plan.studies.day import ground_changes
from jumpcalc.show.page import hill, names, side, state, worked
from jumpcalc.show.page.answer import checked, figures, which
from jumpcalc.show.page.common import Shown, heading, plain, said, small
from jumpcalc.show.page.today import AS_TYPED, WINDS
from jumpcalc.show.words import jump as told
from jumpcalc.show.words import run_in, stopping
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.ride import no_start
from jumpcalc.show.words.said import Least, Most
from jumpcalc.show.words.spread import often
from jumpcalc.show.words.window import caution, sure
from jumpcalc.units import from_si, to_si

__all__ = ["ask", "check", "drawn", "picture", "show", "whole_hill"]

_WIND = "air.tailwind_kmh", "air.crosswind_kmh"
_BIKE, _SURFACE = declared(Bike)["kind"].default, declared(RunIn)["surface"].default

def ask(shown: Shown) -> None:
    """The four questions: bike, wind, surface, start mark. What is chosen goes into the one line underneath."""
    heading("Today")
    left, right = st.columns(2)
    with left:
        state.bind(names.RIDE_BIKE, state.typed("bike.kind") or _BIKE)
        st.selectbox("Bike", list(BIKES), key=names.RIDE_BIKE.name, on_change=_take_bike)
        state.bind(names.RIDE_GROUND, state.typed("run_in.surface") or _SURFACE)
        st.selectbox("Ground today", list(SURFACES), key=names.RIDE_GROUND.name, on_change=_take_surface)
    with right:
        _wind_of_the_line()
        st.selectbox("Wind, by what you see", list(WINDS), key=names.RIDE_WIND.name, on_change=_take_wind)
        if shown.index == 0 and not shown.no_ride:
            _ask_mark(shown)
    mark = names.RIDE_MARK.value
    if mark is not None and shown.index == 0 and not shown.no_ride:
        _own_mark(shown, mark)


def _ask_mark(shown: Shown) -> None:
    """The rider's own start mark, kept in SI."""
    unit = Reader(state.units()).unit("length")
    mark = names.RIDE_MARK.value
    state.bind(names.RIDE_MARK_FIELD, None if mark is None else float(f"{from_si(mark, kind='length', unit=unit):.4g}"))
    st.number_input(
        f"Start mark before the {told.foot(shown.jump)} ({unit})",
        min_value=0.0,
        value=None,
        step=0.5,
        format="%g",
        key=names.RIDE_MARK_FIELD.name,
        placeholder="the aim's",
        on_change=_take_mark,
        args=(unit,),
        help="Distance along the ground from where you start to the foot of the lip; empty takes the mark for the aim.",
    )


def _wind_of_the_line() -> None:
    """What was picked holds only as long as the line has that wind."""
    seen = WINDS.get(names.RIDE_WIND.value)
    if seen is None or seen[0] is None:
        return
    typed = [state.typed(path) for path in _WIND]
    if any(
        value is None or not math.isclose(value, part, abs_tol=1e-4) for value, part in zip(typed, seen, strict=True)
    ):
        names.RIDE_WIND.put(AS_TYPED)
        names.OWN_WIND.put(None)


def _take_bike() -> None:
    """Another bike brings all that belongs to it; what was typed of this one comes back with it."""
    paths = [path for path in names.TYPED.value if path.startswith("bike.")]
    now = names.RIDE_BIKE.value
    was = state.typed("bike.kind") or _BIKE
    state.take_choice("bike", was=was, now=now, fresh=dict.fromkeys(paths) | {"bike.kind": now})


def _take_surface() -> None:
    """Another ground has values of its own; what was typed for this one comes back with it."""
    now = names.RIDE_GROUND.value
    was = state.typed("run_in.surface") or _SURFACE
    state.take_choice("ground", was=was, now=now, fresh=ground_changes(names.JUMPS.value, now))


def _take_wind() -> None:
    """The wind that is seen takes the place of the line's, which is kept aside for the way back."""
    seen, own = WINDS[names.RIDE_WIND.value], names.OWN_WIND.value
    now = tuple(state.typed(path) for path in _WIND)
    if seen is None or seen[0] is None:
        seen = now if own is None else own
        names.OWN_WIND.put(None)
    elif own is None:
        names.OWN_WIND.put(now)
    for path, value in zip(_WIND, seen, strict=True):
        state.store(path, value)
    state.refill()


def _take_mark(unit: str) -> None:
    value = names.RIDE_MARK_FIELD.value
    names.RIDE_MARK.put(None if not value else to_si(value, kind="length", unit=unit))


def _ridden(shown: Shown) -> FromMark | None:
    """The ride from the rider's own start mark; None where there is none, or it is not on a measured run-in."""
    mark = names.RIDE_MARK.value
    return None if mark is None else worked.ridden(shown.line, mark)


def _own(shown: Shown) -> LandingResult | None:
    """Where that ride lands, if it is the jump looked at."""
    ridden = _ridden(shown) if shown.index == 0 else None
    return None if ridden is None else ridden.landing


def drawn(shown: Shown) -> str:
    """The jump from the side with the rider's own path, kept for the next run.

    Raises
    ------
    InputError
        Where inputs contradict each other.
    """
    return side.drawn(shown, _own(shown))


def picture(shown: Shown) -> None:
    """The jump from the side, with the path from the rider's own start mark; none on a day that is not one for it."""
    if not shown.no_ride:
        side.show(shown, _own(shown))


def whole_hill(shown: Shown) -> None:
    """The hill with its marks."""
    if not hill.PANEL.there(shown):
        return
    ridden = _ridden(shown)
    heading(hill.PANEL.title)
    hill.show(shown, None if ridden is None else ridden.mark)


def show(shown: Shown) -> None:
    """The ride's figures in large type, and how to check them on the spot."""
    if shown.no_ride:
        return
    none = shown.text(no_start(shown.answer))
    heading(f"{none} {_first_sentence(shown)}".lstrip(), over=which(shown))
    if shown.jump.window.speeds is None:
        return
    figures(_large(shown))
    if shown.jump.shape != "drop":
        top = _top(shown)
        edge = shown.speed(shown.jump.window.speeds.aim if top is None else top.lip_speed)
        small(f"At the edge it is {edge}: climbing the lip costs speed.")


def _large(shown: Shown) -> dict[str, tuple[str, str]]:
    """Start mark, speed and last place to stop, in the order in which they come; what is not known is left out."""
    jump = shown.jump
    drop = jump.shape == "drop"
    large = {}
    start = None if jump.run_in is None or shown.index > 0 or told.no_room(jump) else jump.run_in.mark
    if start is not None:
        large[f"Start before the {'edge' if drop else 'foot'}"] = shown.length(start), "the top" if jump.run_in.from_top else ""
    top = _top(shown)
    begun = None if top is None else top.lip_speed if drop else top.foot_speed
    large["Speed at the edge" if drop else "Speed before the lip"] = checked(shown, begun)
    if jump.abort is not None:
        found = jump.abort
        if found.exists:
            large["Last place to stop"] = shown.length(Least(found.last)), f"at {shown.speed(found.speed)}"
        else:
            large["Last place to stop"] = "nowhere", "leave to the side"
    return large


def _top(shown: Shown) -> RunInAnswer | None:
    """The run-in where it is its top that is started from, and not the aim's mark."""
    found = shown.jump.run_in if shown.index == 0 else None
    return found if found is not None and found.from_top else None


def check(shown: Shown) -> None:
    """How sure the start mark is, how to check it on the spot, and where the bike can still be stopped."""
    jump = shown.jump
    if jump.window.speeds is None:
        return
    start = run_in.start(jump, shown.answer.ride) if shown.index == 0 else []
    said(shown.texts([*start, often(shown.answer) if shown.index == 0 else "", caution(jump), sure(jump)]), title="Check it on the spot")
    stops = shown.texts([stopping.before(jump), stopping.after(jump)])
    said([*stops, "Brakes, grip and reaction are assumed unless typed."], title="Can I stop instead?")


def _first_sentence(shown: Shown) -> str:
    jump = shown.jump
    aim = None if jump.run_in is None else jump.run_in.marks[1]  # from the top the headline says more
    if aim is None or jump.window.speeds is None or jump.shape == "drop" or told.no_room(jump):
        return shown.text(told.headline(jump, rides=not no_start(shown.answer)))
    text = (
        f"By this model: start {shown.length(aim)} before the foot of the lip, to come to it at {shown.speed(jump.window.foot.aim)}. "
        "Check that speed first, without the jump."
    )
    return " ".join([*shown.texts(told.before_speed(jump)), text])


def _own_mark(shown: Shown, mark: float) -> None:
    """What the rider's own start mark gives."""
    run_in = shown.jump.run_in
    if run_in is None:
        st.warning("The run-in is not measured, so that nothing can be said of a start mark.")
        return
    ridden = _ridden(shown)
    if ridden is None:
        allowed = f"allowed above 0 to {shown.length(Most(run_in.length))}, the length of the run-in"
        st.error(plain(f"Start mark: {shown.length(mark)}; {allowed}."))
        return
    if ridden.landing is None:
        st.warning(plain(f"From {shown.length(mark)} the bike comes to a halt before the edge."))
        return
    outcome = told.outcome(ridden.landing, shown.jump.shape)
    text = (
        f"From {shown.length(mark)}: {shown.speed(ridden.foot_speed)} just before the lip after "
        f"{ridden.roll_time:.1f} s, {shown.speed(ridden.lip_speed)} at the edge: {outcome}"
    )
    if ridden.landing.equivalent_fall is not None:
        text += f", {shown.text(told.fall(ridden.landing.equivalent_fall))}"
    if len(shown.line.jumps) > 1:
        text += ". What becomes of the jumps after it stands in the table under the hill"
    (st.info if ridden.landing.outcome == "clean" else st.warning)(plain(f"{text}."))
