"""What was measured at the spot, typed in, and the sentence that says where it lies in the window."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import streamlit as st

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.declare import Input, declared, key_of
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.valid import check_value
from jumpcalc.plan.studies.field.check import Check
from jumpcalc.plan.studies.field.kinds import KINDS, Reading
from jumpcalc.plan.studies.field.readings import Measured, measured
from jumpcalc.plan.studies.field.window import Lies, lies
from jumpcalc.show.page import fields, names, state
from jumpcalc.show.page.common import Shown, heading, plain, small
from jumpcalc.show.words.check_report import sentences
from jumpcalc.units import KINDS as QUANTITIES
from jumpcalc.units import from_si, to_si

__all__ = ["ask"]

_WAYS = {
    "by hand": "a stopwatch between the cones",
    "filmed": "a video of both cones",
    "wheelbase": "a video of the bike passing a post",
    "wheel sensor": "a wheel sensor",
    "satellite receiver": "a satellite receiver",
    "flight": "a video of a flight",
}
_PLACES = ("length", "before_foot", "camera")


@lru_cache(maxsize=100)
def _measured(line: Line, reading: Reading) -> Measured:
    return measured(line, reading)


def ask(shown: Shown, found: Check) -> None:
    """How it was measured, what it was, and where that lies."""
    heading("What did you measure?")
    if not names.READ_WAY.known:  # one that tells it here, where there is one
        names.READ_WAY.put(next((band.reading.word for band in found.telling if band.reading.word in _WAYS), next(iter(_WAYS))))
    way = st.selectbox("With", list(_WAYS), key=names.READ_WAY.name, format_func=_WAYS.__getitem__)
    kind = KINDS[way]
    # what was read comes before where it was
    inputs = dict(sorted(declared(kind).items(), key=lambda item: item[0] in _PLACES))
    columns = st.columns(2, vertical_alignment="bottom")
    for number, (name, declaration) in enumerate(inputs.items()):
        with columns[number % 2]:
            _field(way, name, declaration, hint=_hint(shown, found, way, name, declaration))
    try:
        reading = _reading(way, found)
        if reading is None:
            needed = [d.label.lower() for name, d in inputs.items() if d.required and _value(way, name, found) is None]
            small(plain(f"Still needed: {', '.join(needed)}."))
            return
        one = _measured(shown.line, reading)
    except InputError as error:
        st.error(plain(str(error)))
        return
    told = " ".join(shown.texts(sentences(found, one)))
    inside = found.window is not None and lies(found.window, one) is Lies.INSIDE
    (st.info if inside else st.warning)(plain(told))


def _field(way: str, name: str, declaration: Input, *, hint: str) -> None:
    """The field of one input of a reading."""
    widget = names.READ_FIELD.of(way, name)
    stored = names.READ.value.get((way, name))
    if declaration.kind == "flag":
        state.bind(widget, bool(stored))
        st.checkbox(declaration.label, key=widget.name, help=declaration.help, on_change=_take, args=(way, name, declaration, ""))
        return
    unit = _unit(declaration)
    state.bind(widget, fields.shown(stored, declaration.kind, unit))
    fields.number(
        declaration.label, widget, kind=declaration.kind, unit=unit, help=declaration.help, hint=hint, on_change=_take,
        args=(way, name, declaration, unit),
    )  # fmt: skip


def _unit(declaration: Input) -> str:
    """The unit in which a field is shown."""
    return state.unit_of(declaration)


def _hint(shown: Shown, found: Check, way: str, name: str, declaration: Input) -> str:
    """What an empty field stands for."""
    value = found.places(KINDS[way]).get(name)
    if value is not None:
        return f"{shown.length(value)}, as above"
    if declaration.required:
        return "needed"
    return declaration.default_words or ("" if declaration.default is None else f"{declaration.default:g}")


def _take(way: str, name: str, declaration: Input, unit: str) -> None:
    """Keep what was typed in SI, so that a switch of units does not change it."""
    value: Any = names.READ_FIELD.of(way, name).value
    if value is not None and declaration.kind != "flag":
        value = int(value) if declaration.kind == "count" else float(to_si(value, kind=declaration.kind, unit=unit))
    names.READ.put({**names.READ.value, (way, name): value})


def _value(way: str, name: str, found: Check) -> Any:
    stored = names.READ.value.get((way, name))
    return found.places(KINDS[way]).get(name) if stored is None else stored


def _reading(way: str, found: Check) -> Reading | None:
    """What was typed as a reading; None while something is missing."""
    kind, values = KINDS[way], {}
    for name, declaration in declared(kind).items():
        value = _value(way, name, found)
        if value is None and declaration.required:
            return None
        if value is not None and declaration.kind in QUANTITIES:
            unit = _unit(declaration)
            seen = from_si(value, kind=declaration.kind, unit=unit)
            check_value(int(seen) if declaration.kind == "count" else seen, declaration, key=declaration.label, unit=unit)
        values[name] = value
    try:
        return kind(**values)
    except InputError as error:
        labels = {key_of(name, d): d.label for name, d in declared(kind).items()}
        raise InputError(error.text, key=labels.get(error.key, error.key)) from None
