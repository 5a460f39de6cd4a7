"""One field for one input, made from its declaration; what is typed is stored in SI."""

from __future__ import annotations

from typing import Any

import streamlit as st

from jumpcalc.plan.inputs.declare import Input
from jumpcalc.show.page import names, state
from jumpcalc.show.page.form import LINE, Form
from jumpcalc.show.words import inputs
from jumpcalc.show.words.numbers import Reader
from jumpcalc.units import KINDS, from_si, to_si

__all__ = ["field", "number", "shown", "with_sign"]

_STEPS = {
    "length": 0.1, "speed": 1.0, "mass": 1.0, "area": 0.01, "angle": 1.0, "temperature": 1.0, "time": 0.1,
    "energy": 10.0, "share": 1.0, "number": 0.05,
}  # fmt: skip
_LONGEST_TEXT = 200


def shown(value: float | None, kind: str, unit: str) -> float | None:
    """A stored value as a field shows it: in its unit, to five digits."""
    if value is None:
        return None
    number = from_si(value, kind=kind, unit=unit)
    return int(number) if kind == "count" else float(f"{number:.5g}")


def number(
    label: str, widget: names.Kept, *, kind: str, unit: str, help: str | None = None, hint: str = "", **callback: Any
) -> None:
    """A number field that may stay empty."""
    sign = KINDS[kind][unit].sign
    st.number_input(
        f"{label} ({sign})" if sign else label,
        value=None,
        step=1 if kind == "count" else _STEPS[kind],
        format="%d" if kind == "count" else "%g",
        key=widget.name,
        help=help,
        placeholder=hint or None,
        **callback,
    )


def field(path: str, declaration: Input, *, label: str = "", form: Form = LINE) -> None:
    """The widget of one input.

    Parameters
    ----------
    path : str
        Its key path.
    declaration : Input
        What is known of it.
    label : str
        Words instead of the declaration's.
    form : Form
        What it is an input of.
    """
    widget, label, value = form.widgets.of(path), label or declaration.label, form.typed(path)
    hint = _hint(path, declaration, form)
    if declaration.kind == "text":
        state.bind(widget, value or "")
        st.text_input(
            label,
            key=widget.name,
            help=declaration.help,
            max_chars=_LONGEST_TEXT,
            placeholder=hint,
            on_change=_take_text,
            args=(path, widget, form),
        )
    elif declaration.kind in ("choice", "flag"):
        options = [True, False] if declaration.kind == "flag" else list(declaration.choices)
        state.bind(widget, value)
        st.selectbox(
            label,
            options,
            index=None,
            key=widget.name,
            help=declaration.help,
            placeholder=hint,
            format_func=_option,
            on_change=_take,
            args=(path, widget, form),
        )
    else:
        unit = state.unit_of(declaration)
        state.bind(widget, shown(value, declaration.kind, unit))
        number(
            label,
            widget,
            kind=declaration.kind,
            unit=unit,
            help=declaration.help,
            hint=hint,
            on_change=_take_number,
            args=(path, widget, declaration.kind, unit, form),
        )


def with_sign(path: str, declaration: Input, *, label: str, ways: tuple[str, str], amount: str = "by") -> None:
    """A signed input asked in words: which way, and how much.

    Parameters
    ----------
    path : str
        Its key path.
    declaration : Input
        What is known of it.
    label : str
        Words before the two ways.
    ways : tuple of str
        The words for a positive and for a negative value.
    amount : str
        Label of the number.
    """
    sign, widget, value = names.SIGN.of(path), names.INPUT.of(path), state.typed(path)
    unit = state.unit_of(declaration)
    state.bind(sign, ways[1] if value is not None and value < 0 else ways[0])
    state.bind(widget, shown(None if value is None else abs(value), declaration.kind, unit))
    take = {"on_change": _take_signed, "args": (path, widget, sign, ways, declaration.kind, unit)}
    left, right = st.columns([3, 2], vertical_alignment="bottom")
    with left:
        st.selectbox(label, ways, key=sign.name, help=declaration.help, **take)
    with right:
        number(amount, widget, kind=declaration.kind, unit=unit, hint=_hint(path, declaration, LINE), **take)


def _hint(path: str, declaration: Input, form: Form) -> str:
    """What an empty field says: the value assumed for it, or what leaving it empty means."""
    value = form.assumed.value.get(path)
    if value is not None and declaration.kind != "flag":
        return f"assumed {Reader(state.units()).text(inputs.value(declaration, value))}"
    return "needed" if declaration.required else declaration.default_words or "not given"


def _option(option: Any) -> str:
    return {True: "yes", False: "no"}.get(option, option) if isinstance(option, bool) else str(option)


def _take(path: str, widget: names.Kept, form: Form) -> None:
    form.store(path, widget.value)


def _take_text(path: str, widget: names.Kept, form: Form) -> None:
    form.store(path, widget.value.strip() or None)


def _take_number(path: str, widget: names.Kept, kind: str, unit: str, form: Form) -> None:
    value = widget.value
    form.store(path, None if value is None else _si(value, kind, unit))


def _take_signed(
    path: str, widget: names.Kept, way: names.Kept, ways: tuple[str, str], kind: str, unit: str
) -> None:
    value = widget.value
    sign = -1 if way.value == ways[1] else 1
    state.store(path, None if value is None else _si(sign * value, kind, unit) + 0.0)


def _si(value: float, kind: str, unit: str) -> float | int:
    return int(value) if kind == "count" else float(to_si(value, kind=kind, unit=unit))
