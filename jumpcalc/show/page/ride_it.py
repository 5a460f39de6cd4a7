"""The rider's way in: speed and start mark in large figures, then at most four questions about today."""

from __future__ import annotations

import math
from functools import lru_cache

import streamlit as st

from jumpcalc.errors import InputError
from jumpcalc.plan.answer import LandingResult
from jumpcalc.plan.ask.from_mark import FromMark, from_mark
from jumpcalc.plan.inputs.declare import declared
from jumpcalc.plan.inputs.line import Bike, Line, RunIn
from jumpcalc.plan.inputs.surfaces import BIKES, SURFACES
from jumpcalc.show import words
from jumpcalc.show.page import hill, side, state
from jumpcalc.show.page.answer import figures, which
from jumpcalc.show.page.common import Shown, heading, plain, said, small
from jumpcalc.units import from_si, to_si

__all__ = ["NOT_TODAY", "WINDS", "ask", "check", "drawn", "picture", "show", "whole_hill"]

_WIND = "air.tailwind_kmh", "air.crosswind_kmh"
_SEEN = to_si(10, kind="speed", unit="kmh")  # leaves and twigs move; common practice, no source
WINDS: dict[str, tuple[float | None, float | None] | None] = {
    "as typed with the line": (None, None),
    "still": (0.0, 0.0),
    "leaves and twigs move, from behind": (_SEEN, 0.0),
    "leaves and twigs move, from ahead": (-_SEEN, 0.0),
    "leaves and twigs move, from the right": (0.0, _SEEN),
    "leaves and twigs move, from the left": (0.0, -_SEEN),
    "gusty, or not sure": None,
}
"""What one sees of the wind, and what it stands for: along and across [m/s]; None is not today."""

_BIKE = declared(Bike)["kind"].default

NOT_TODAY = (
    "Gusty, or not sure: not today. A gust moves the landing by more than there is room, and nobody sees it coming."
)


def ask(shown: Shown) -> None:
    """The four questions: bike, wind, surface, start mark. What is chosen goes into the one line underneath."""
    heading("Today")
    left, right = st.columns(2)
    with left:
        state.bind("ride bike", state.typed("bike.kind") or _BIKE)
        st.selectbox("Bike", list(BIKES), key="ride bike", on_change=_take_bike)
        state.bind("ride surface", state.typed("run_in.surface") or declared(RunIn)["surface"].default)
        st.selectbox("Ground today", list(SURFACES), key="ride surface", on_change=_take_surface)
    with right:
        _wind_of_the_line()
        st.selectbox("Wind, by what you see", list(WINDS), key="ride wind", on_change=_take_wind)
        if shown.index == 0:
            _ask_mark()
    mark = st.session_state.get("ride mark")
    if mark is not None and shown.index == 0 and not _not_today():
        _own_mark(shown, mark)


def _ask_mark() -> None:
    """The rider's own start mark, kept in SI."""
    unit = words.length_sign(state.units())
    mark = st.session_state.get("ride mark")
    state.bind("ride mark field", None if mark is None else float(f"{from_si(mark, kind='length', unit=unit):.4g}"))
    st.number_input(
        f"Start mark before the lip ({unit})",
        min_value=0.0,
        value=None,
        step=0.5,
        format="%g",
        key="ride mark field",
        placeholder="the aim's",
        on_change=_take_mark,
        args=(unit,),
        help="Distance along the ground from where you start to the foot of the lip; empty takes the mark for the aim.",
    )


def _wind_of_the_line() -> None:
    """What was picked holds only as long as the line has that wind."""
    seen = WINDS.get(st.session_state.get("ride wind"))
    if seen is None or seen[0] is None:
        return
    typed = [state.typed(path) for path in _WIND]
    if any(
        value is None or not math.isclose(value, part, abs_tol=1e-4) for value, part in zip(typed, seen, strict=True)
    ):
        st.session_state.update({"ride wind": "as typed with the line", "own wind": None})


def _take_bike() -> None:
    """Another bike brings all that belongs to it; what was typed of this one comes back with it."""
    bikes = st.session_state.setdefault("bikes", {})
    was = {path: value for path, value in st.session_state["typed"].items() if path.startswith("bike.")}
    bikes[was["bike.kind"] or _BIKE] = was
    kind = st.session_state["ride bike"]
    for path, value in bikes.get(kind, dict.fromkeys(was) | {"bike.kind": kind}).items():
        state.store(path, value)
    state.refill()


def _take_surface() -> None:
    # what lies on the run-in lies on the runouts too: less grip asks for more room
    grounds = ["run_in", *(f"jump[{number}].runout" for number in range(1, st.session_state["jumps"] + 1))]
    for ground in grounds:
        state.store(f"{ground}.surface", st.session_state["ride surface"])
        state.store(f"{ground}.rolling_resistance", None)
        state.store(f"{ground}.grip", None)
    state.refill()


def _take_wind() -> None:
    """The wind that is seen takes the place of the line's, which is kept aside for the way back."""
    seen, own = WINDS[st.session_state["ride wind"]], st.session_state.get("own wind")
    now = tuple(state.typed(path) for path in _WIND)
    if seen is None or seen[0] is None:
        seen = now if own is None else own
        st.session_state["own wind"] = None
    elif own is None:
        st.session_state["own wind"] = now
    for path, value in zip(_WIND, seen, strict=True):
        state.store(path, value)
    state.refill()


def _take_mark(unit: str) -> None:
    value = st.session_state["ride mark field"]
    st.session_state["ride mark"] = None if not value else to_si(value, kind="length", unit=unit)


@lru_cache(maxsize=100)
def _from_mark(line: Line, mark: float) -> FromMark | None:
    return from_mark(line, mark)


def _ridden(shown: Shown) -> FromMark | None:
    """The ride from the rider's own start mark; None where there is none, or it is not on a measured run-in."""
    mark = st.session_state.get("ride mark")
    try:
        return None if mark is None else _from_mark(shown.line, mark)
    except InputError:  # said under the field, or of the whole line
        return None


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
    if not _not_today():
        side.show(shown, _own(shown))


def whole_hill(shown: Shown) -> None:
    """The hill with its marks, except on a day that is not one for it."""
    if _not_today() or not hill.PANEL.there(shown):
        return
    ridden = _ridden(shown)
    heading(hill.PANEL.title)
    hill.show(shown, None if ridden is None else ridden.mark)


def show(shown: Shown) -> None:
    """The ride's figures in large type, and how to check them on the spot."""
    if _not_today():
        st.error(plain(NOT_TODAY))
        return
    heading(_first_sentence(shown), over=which(shown))
    if shown.jump.window.speeds is not None:
        figures(shown, "On the run-in just before the lip")
        if shown.jump.shape != "drop":
            small("The speed on the run-in and the speed at the edge differ: climbing the lip costs speed.")


def check(shown: Shown) -> None:
    """How sure the start mark is, how to check it on the spot, and where the bike can still be stopped."""
    jump, units = shown.jump, shown.units
    if jump.window.speeds is None or _not_today():
        return
    start = words.start_words(jump, units) if shown.index == 0 else []
    said([*start, words.sure_words(jump, units)], title="Check it on the spot")
    stops = [words.abort_words(jump, units), words.stop_words(jump, units)]
    said([*stops, "Brakes, grip and reaction are assumed unless typed."], title="Can I stop instead?")


def _not_today() -> bool:
    return st.session_state.get("ride wind") == "gusty, or not sure"


def _first_sentence(shown: Shown) -> str:
    jump = shown.jump
    aim = None if jump.run_in is None else jump.run_in.marks[1]
    if aim is None or jump.window.speeds is None or jump.shape == "drop":
        return words.headline(jump, shown.units)
    text = (
        f"By this model: start {shown.length(aim)} before the lip for {shown.speed(jump.window.foot.aim)} just before it. "
        "Check that speed first, without the jump."
    )
    return f"{text} {words.NO_ROOM}" if jump.stop is not None and not jump.stop.stops else text


def _own_mark(shown: Shown, mark: float) -> None:
    """What the rider's own start mark gives."""
    run_in = shown.jump.run_in
    if run_in is None:
        st.warning("The run-in is not measured, so that nothing can be said of a start mark.")
        return
    ridden = _ridden(shown)
    if ridden is None:
        allowed = f"allowed above 0 to {shown.length(run_in.length)}, the length of the run-in"
        st.error(plain(f"Start mark: {shown.length(mark)}; {allowed}."))
        return
    if ridden.landing is None:
        st.warning(plain(f"From {shown.length(mark)} the bike comes to a halt before the edge."))
        return
    outcome = words.outcome(ridden.landing, shown.jump.shape)
    text = (
        f"From {shown.length(mark)}: {shown.speed(ridden.foot_speed)} just before the lip after "
        f"{ridden.roll_time:.1f} s, {shown.speed(ridden.lip_speed)} at the edge: {outcome}"
    )
    if ridden.landing.equivalent_fall is not None:
        text += f", {words.fall(ridden.landing.equivalent_fall, shown.units)}"
    if len(shown.line.jumps) > 1:
        text += ". What becomes of the jumps after it stands in the table under the hill"
    (st.info if ridden.landing.outcome == "clean" else st.warning)(plain(f"{text}."))
