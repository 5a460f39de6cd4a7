"""The form's rows for measured ground: pieces with their slopes in words, or stakes."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import streamlit as st

from jumpcalc.plan.inputs.declare import declared
from jumpcalc.plan.inputs.dug import Piece
from jumpcalc.show.page import fields, names, state
from jumpcalc.show.page.common import small
from jumpcalc.units import to_si

__all__ = ["show"]

_WAYS = ("falls", "climbs")
_HOW = ("not measured", "pieces", "stakes")


def show(prefix: str, caption: str) -> None:
    """How this ground was measured, and its rows.

    Parameters
    ----------
    prefix : str
        Key path of the run-in or the runout.
    caption : str
        Words above the rows.
    """
    pieces, stakes = f"{prefix}.pieces", f"{prefix}.stakes_m"
    small(caption)
    widget = names.MEASURED.of(prefix)
    now = "stakes" if state.typed(stakes) is not None else "pieces" if state.typed(pieces) is not None else _HOW[0]
    state.bind(widget, now)
    st.selectbox(
        "Measured as",
        _HOW,
        key=widget.name,
        on_change=_switch,
        args=(prefix, widget),
        help="Pieces: straights and curves with length or radius and slope. Stakes: distance along the ground and how far "
        "each lies lower than the first, by tape and string level.",
    )
    if now == "pieces":
        _rows(pieces, _piece, ("straight", None, None))
    elif now == "stakes":
        _rows(stakes, _stake, (None, None))


def _switch(prefix: str, widget: names.Kept) -> None:
    """Change how the ground is given; rows of the other way are kept aside."""
    aside = dict(names.ASIDE.value)
    for way, path, first in (
        ("pieces", f"{prefix}.pieces", (("straight", None, 0.0),)),
        ("stakes", f"{prefix}.stakes_m", ((0.0, 0.0), (None, None))),
    ):
        if state.typed(path) is not None:
            aside[path] = state.typed(path)
        state.store(path, aside.get(path, first) if widget.value == way else None)
    names.ASIDE.put(aside)
    state.refill()


def _rows(path: str, row: Callable[[str, int, tuple[Any, ...]], None], empty: tuple[Any, ...]) -> None:
    rows = state.typed(path)
    for number, values in enumerate(rows):
        row(path, number, values)
    left, right = st.columns(2)
    left.button("Add a row", key=names.ADD_ROW.of(path).name, on_click=_change, args=(path, (*rows, empty)), width="stretch")
    right.button(
        "Remove last",
        key=names.LESS_ROWS.of(path).name,
        on_click=_change,
        args=(path, rows[:-1]),
        width="stretch",
        disabled=len(rows) < 2,
    )


def _change(path: str, rows: tuple[Any, ...]) -> None:
    state.store(path, rows)
    state.refill()


def _piece(path: str, number: int, values: tuple[str, float | None, float | None]) -> None:
    kind, size, slope = values
    keys = [part.of(path, number) for part in (names.ROW_KIND, names.ROW_SIZE, names.SIGN, names.ROW_SLOPE)]
    length = declared(Piece)["length"]
    unit = state.unit_of(length)
    state.bind(keys[0], kind)
    state.bind(keys[1], fields.shown(size, "length", unit))
    state.bind(keys[2], _WAYS[1] if slope is not None and slope > 0 else _WAYS[0])
    state.bind(keys[3], fields.shown(None if slope is None else abs(slope), "angle", "deg"))
    take = {"on_change": _take_piece, "args": (path, number, keys, unit)}
    straight = kind == "straight"
    left, right = st.columns(2, vertical_alignment="bottom")
    with left:
        st.selectbox(f"Piece {number + 1} is a", ("straight", "curve"), key=keys[0].name, **take)
    with right:
        fields.number("long" if straight else "radius", keys[1], kind="length", unit=unit, hint="needed", **take)
    left, right = st.columns(2, vertical_alignment="bottom")
    with left:
        st.selectbox("and it" if straight else "which at its end", _WAYS, key=keys[2].name, **take)
    with right:
        fields.number("by", keys[3], kind="angle", unit="deg", hint="needed", **take)
    st.divider()


def _take_piece(path: str, number: int, keys: list[names.Kept], unit: str) -> None:
    kind, size, way, slope = (key.value for key in keys)
    old = state.typed(path)[number]
    # what was not touched keeps the exact value it was loaded with
    if size == fields.shown(old[1], "length", unit):
        size = old[1]
    else:
        size = None if size is None else float(to_si(size, kind="length", unit=unit))
    if slope is not None:
        slope = float(to_si(slope if way == _WAYS[1] else -slope, kind="angle", unit="deg")) + 0.0
        if old[2] is not None and abs(slope - old[2]) < 1e-6:
            slope = old[2]
    _put(path, number, (kind, size, slope))


def _stake(path: str, number: int, values: tuple[float | None, float | None]) -> None:
    keys = [part.of(path, number) for part in (names.STAKE_ALONG, names.STAKE_FALL)]
    unit = state.unit_of(declared(Piece)["length"])
    for key, value in zip(keys, values, strict=True):
        state.bind(key, fields.shown(value, "length", unit))
    take = {"on_change": _take_stake, "args": (path, number, keys, unit)}
    left, right = st.columns(2, vertical_alignment="bottom")
    with left:
        fields.number(f"Stake {number + 1}, along", keys[0], kind="length", unit=unit, hint="needed", **take)
    with right:
        fields.number("lower by", keys[1], kind="length", unit=unit, hint="needed", **take)


def _take_stake(path: str, number: int, keys: list[names.Kept], unit: str) -> None:
    old = state.typed(path)[number]
    new = tuple(
        before
        if key.value == fields.shown(before, "length", unit)
        else None
        if key.value is None
        else float(to_si(key.value, kind="length", unit=unit))
        for key, before in zip(keys, old, strict=True)
    )
    _put(path, number, new)


def _put(path: str, number: int, row: tuple[Any, ...]) -> None:
    rows = state.typed(path)
    state.store(path, (*rows[:number], row, *rows[number + 1 :]))
