"""The form: inputs in the order in which a builder measures them."""

from __future__ import annotations

from collections.abc import Callable

import streamlit as st

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.declare import declared, key_of
from jumpcalc.plan.inputs.dug import Jump, Landing, Lip, RunIn, Runout
from jumpcalc.plan.inputs.line import Air, Line
from jumpcalc.plan.inputs.rider import Bike, Limits, Rider, Skill
from jumpcalc.show.files.examples import examples
from jumpcalc.show.files.linefile import write_line
from jumpcalc.show.page import fields, ground, names, state
from jumpcalc.show.page.common import heading, plain, small
from jumpcalc.show.page.more import asked_for

__all__ = ["FINER", "GROUPS", "show"]

FINER = {
    Rider: ("centre_of_mass_height", "centre_of_mass_behind_front", "pitch_radius", "landing_height", "path",
            "drag_area", "stroke_energy"),
    Bike: ("rolling_factor", "rotating_mass", "development", "travel", "sag", "suspension_loss"),
}  # fmt: skip
"""What few will measure; asked in a group of its own."""


def show(line: Line | None, refused: InputError | None = None) -> None:
    """The whole form in the sidebar.

    Parameters
    ----------
    line : Line or None
        What can be downloaded; None while an input is refused.
    refused : InputError, optional
        Which one, and why; said here too on a phone, where the form hides the page.
    """
    with st.sidebar:
        st.header("Your jump", anchor=False)
        told = [names.MESSAGE.value, "" if refused is None else f"{refused}."]
        if any(told):
            st.container(key=names.REFUSED.name).error(plain(" ".join(filter(None, told))))
        st.radio(
            "Units",
            ["metric", "imperial"],
            key=names.UNITS.name,
            horizontal=True,
            on_change=state.refill,
            format_func=lambda name: "km/h, m, kg" if name == "metric" else "mph, ft, lb",
        )
        _examples()
        _files(line)
        if names.JUMPS.value > 1:
            numbers = range(1, names.JUMPS.value + 1)
            called = {i: f"{i}: {state.typed(f'jump[{i}].name') or 'no name'}" for i in numbers}
            st.selectbox(
                "Jump of this line",
                numbers,
                key=names.JUMP.name,
                format_func=called.__getitem__,
                on_change=state.another_landing,
            )
        number = state.index() + 1
        for title in asked_for("What to change", GROUPS, key=names.GROUPS, first=_OPEN):
            heading(title)
            GROUPS[title](f"jump[{number}]")


def _lip(jump: str) -> None:
    _one(f"{jump}.shape", Jump, "shape")
    if state.typed(f"{jump}.shape") == "drop":
        _signed(f"{jump}.lip", Lip, "angle", label="Before the edge the ground", ways=("rises", "falls"))
        _one(f"{jump}.lip.width", Lip, "width", label="Width of the edge")
    else:
        _all(f"{jump}.lip", Lip)


def _landing(jump: str) -> None:
    _one(f"{jump}.landing.gap", Landing, "gap")
    _signed(f"{jump}.landing", Landing, "drop", label="From the edge, the knuckle is", ways=("lower", "higher"))
    _all(f"{jump}.landing", Landing, skip=("gap", "drop"))


def _runout(jump: str) -> None:
    ground.show(f"{jump}.runout", "From the landing on, as it is ridden. Leave it out where it is not measured.")
    _all(f"{jump}.runout", Runout, skip=("pieces", "stakes"))


def _run_in(jump: str) -> None:
    if jump == "jump[1]":
        ground.show("run_in", "From the start mark down to the foot of the lip, as it is ridden.")
        _all("run_in", RunIn, skip=("pieces", "stakes"))
    else:
        small(f"The runout of jump {state.index()} leads here.")


def _rider(jump: str) -> None:
    _all("rider", Rider, skip=FINER[Rider])
    _all("bike", Bike, skip=FINER[Bike])


def _air(jump: str) -> None:
    _all("air", Air, skip=("tailwind", "crosswind"))
    _signed("air", Air, "tailwind", label="Wind comes from", ways=("behind", "ahead"))
    _signed("air", Air, "crosswind", label="Side wind comes from", ways=("the right", "the left"))


def _limits(jump: str) -> None:
    _all("limits", Limits)
    _all("skill", Skill)


def _finer(jump: str) -> None:
    for prefix, kind in (("rider", Rider), ("bike", Bike)):
        _all(prefix, kind, skip=tuple(name for name in declared(kind) if name not in FINER[kind]))


def _about(jump: str) -> None:
    _all(jump, Jump, skip=("shape",))
    _all("", Line)


GROUPS: dict[str, Callable[[str], None]] = {
    "Shape and lip": _lip,
    "Gap and landing": _landing,
    "Runout": _runout,
    "Run-in": _run_in,
    "Rider and bike": _rider,
    "Air and wind": _air,
    "Limits and spread": _limits,
    "Finer points of rider and bike": _finer,
    "What, where, when": _about,
}
"""What fills each group of the form, in the order in which a builder measures."""

_OPEN = ("Shape and lip", "Gap and landing")


def _examples() -> None:
    """Start from an example."""
    st.selectbox(
        "Start from the example",
        list(examples()),
        key=names.EXAMPLE.name,
        on_change=_take_example,
        format_func=lambda name: examples()[name].title or name,
    )


def _files(line: Line | None) -> None:
    """Load a line from a file; keep the line as a file."""
    if not st.toggle("Line files: load or keep one", key=names.FILES.name):
        return
    st.file_uploader(
        "Load a line file",
        type="toml",
        key=names.UPLOAD.name,
        on_change=_take_upload,
        max_upload_size=1,
        help="A text file (.toml) with the measures of a line, at most 1 MB.",
    )
    if line is not None:
        st.download_button(
            "Keep this line as a file",
            lambda: write_line(line),
            "line.toml",
            "application/toml",
            key=names.DOWNLOAD.name,
            on_click="ignore",
            width="stretch",
        )


def _take_example() -> None:
    state.load(examples()[names.EXAMPLE.value])


def _take_upload() -> None:
    file = names.UPLOAD.value
    if file is None:
        names.MESSAGE.put("")
    else:
        state.uploaded(file.name, file.getvalue())


def _path(prefix: str, kind: type, name: str) -> str:
    return f"{prefix}{'.' if prefix else ''}{key_of(name, declared(kind)[name])}"


def _one(path: str, kind: type, name: str, *, label: str = "") -> None:
    fields.field(_path(path.rpartition(".")[0], kind, name), declared(kind)[name], label=label)


def _signed(prefix: str, kind: type, name: str, *, label: str, ways: tuple[str, str]) -> None:
    fields.with_sign(_path(prefix, kind, name), declared(kind)[name], label=label, ways=ways)


def _all(prefix: str, kind: type, *, skip: tuple[str, ...] = ()) -> None:
    for name, declaration in declared(kind).items():
        if name not in skip:
            fields.field(_path(prefix, kind, name), declaration)
