"""The log of tries on the page: one is written down, a file is loaded or kept, and what they teach.

Served on one's own machine, tries are kept in the user's data folder. Served to others, nothing is stored here: the log is the
visitor's file, and leaving the page with tries that are not in it is warned of.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import lru_cache, partial
from typing import Any

import streamlit as st
from streamlit.runtime import get_instance

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.declare import Input, declared
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.field.doubts import doubts
from jumpcalc.plan.studies.field.tries import Try, fields_of
from jumpcalc.show.files.corrected_text import corrected_text
from jumpcalc.show.files.logs import log_of
from jumpcalc.show.files.tries_csv import append_tries, tries_csv
from jumpcalc.show.files.tries_read import new_among, parse_tries, read_tries
from jumpcalc.show.page import asked, fields, names, state
from jumpcalc.show.page.common import Panel, Shown, drawing, plain, said, small, table
from jumpcalc.show.words import learned as words
from jumpcalc.show.words import tries as listed
from jumpcalc.show.words import why as reasons
from jumpcalc.units import to_si

__all__ = ["PANEL", "own_machine"]

_FIRST = ("date", "rider", "start_mark", "strokes", "tailwind", "touched", "outcome", "note")
_LOOPBACK = ("127.0.0.1", "localhost", "::1")
_LEAVING = """
export default function({data}) {
    window.onbeforeunload = data.unsaved ? (event) => { event.preventDefault(); return ""; } : null;
}
"""


def own_machine() -> bool:
    """Whether the page is served to nobody but the one who started it: bound to this machine, asked for by its name, through no proxy."""
    headers = st.context.headers
    host = (headers.get("Host") or "").rsplit(":", 1)[0].strip("[]")
    passed_on = any(headers.get(name) for name in ("X-Forwarded-For", "X-Real-Ip", "Forwarded"))
    return st.get_option("server.address") in _LOOPBACK and host in _LOOPBACK and not passed_on


def _kept(line: Line) -> tuple[Try, ...]:
    return read_tries(log_of(line)).tries if own_machine() and log_of(line).exists() else names.TRIES.value


def _keep(line: Line, tries: tuple[Try, ...]) -> None:
    if own_machine():
        append_tries(log_of(line), tries)
    else:
        names.TRIES.put((*names.TRIES.value, *tries))
        names.TRIES_NEW.put(True)


def _body(shown: Shown) -> None:
    """A try, the log, and what it teaches."""
    if shown.index:
        st.markdown(plain("Tries are written down for the first jump of a line."))
        return
    if shown.line.learned_from:
        st.info(
            plain(
                f"This line is corrected by {shown.line.learned_from}. They stay in the log of the line as measured; load that line to "
                "go on learning from them. What is written down here goes into a log of its own."
            )
        )
    _form(shown)
    if names.TRIES_TOLD.value:
        st.info(plain(names.TRIES_TOLD.value))
    try:
        tries = _kept(shown.line)
    except InputError as error:
        st.error(plain(str(error)))
        return
    if tries:
        table(list(listed.HEAD), [shown.texts(row) for row in listed.rows(tries)])
    _files(shown, tries)
    if tries:
        st.checkbox("What do these tries teach?", key=names.LEARN.name)
        if names.LEARN.value:
            _lesson(shown, tries)


def _form(shown: Shown) -> None:
    """The fields of one try; those of its speed check by how that was measured."""
    way = names.TRY.value.get("measured")
    own = fields_of(way) if way else ()
    asked = [*_FIRST[:5], "measured", *own, *(name for name in _FIRST[5:] if name not in own)]
    columns = st.columns(2, vertical_alignment="bottom")
    for number, name in enumerate(asked):
        with columns[number % 2]:
            _field(name, declared(Try)[name])
    st.button("Write this try down", key=names.LOG_BUTTON.of("add").name, on_click=_add, args=(shown.line,))


def _field(name: str, declaration: Input) -> None:
    """The field of one thing seen."""
    widget, stored, take = names.TRY_FIELD.of(name), names.TRY.value.get(name), partial(_take, name, declaration)
    if declaration.kind == "choice":
        state.bind(widget, stored)
        st.selectbox(declaration.label, declaration.choices, key=widget.name, index=None, help=declaration.help, on_change=take)
    elif declaration.kind == "text":
        state.bind(widget, stored or (date.today().isoformat() if name == "date" else ""))
        st.text_input(declaration.label, key=widget.name, help=declaration.help, on_change=take, max_chars=500)
    elif declaration.kind == "flag":
        state.bind(widget, bool(stored))
        st.checkbox(declaration.label, key=widget.name, help=declaration.help, on_change=take)
    else:
        unit = state.unit_of(declaration)
        state.bind(widget, fields.shown(stored, declaration.kind, unit))
        hint = declaration.default_words
        fields.number(declaration.label, widget, kind=declaration.kind, unit=unit, help=declaration.help, hint=hint, on_change=take)


def _take(name: str, declaration: Input) -> None:
    """Keep what was typed in SI, so that a switch of units does not change it."""
    value: Any = names.TRY_FIELD.of(name).value
    if value is not None and declaration.kind not in ("text", "choice", "flag"):
        value = int(value) if declaration.kind == "count" else float(to_si(value, kind=declaration.kind, unit=state.unit_of(declaration)))
    names.TRY.put({**names.TRY.value, name: value})


def _add(line: Line) -> None:
    """Write down what was typed; where it is no try, say why and keep it in the form."""
    way = names.TRY.value.get("measured")
    taken = {*_FIRST, *(("measured", *fields_of(way)) if way else ())}
    values = {"date": date.today().isoformat(), **{k: v for k, v in names.TRY.value.items() if k in taken and v not in (None, "")}}
    try:
        one = Try(**values, fingerprint=line.fingerprint)
        doubtful = doubts(line, one, today=date.today().isoformat())
        _keep(line, (one,))
    except InputError as error:
        labels = {name: d.label for name, d in declared(Try).items()}
        key = next((label for name, label in labels.items() if error.key.startswith(name)), "")
        names.TRIES_TOLD.put(f"Not written down: {f'{key}: ' if key else ''}{error.text}.")
        return
    names.TRIES_TOLD.put(" ".join([f"Written down: {listed.in_words(one)}.", *(f"Look again: {doubt}." for doubt in doubtful)]))
    # what the next try seldom shares is empty again
    stay = ("date", "rider", "measured", "stretch", "before_foot", "rate", "camera", "rolled_out")
    names.TRY.put({key: value for key, value in names.TRY.value.items() if key in stay})
    for name in declared(Try):
        if name not in stay:
            names.TRY_FIELD.of(name).forget()


def _files(shown: Shown, tries: tuple[Try, ...]) -> None:
    """Load a log, keep it, and where it is."""
    label = "Load a log or a table of tries (CSV)"
    st.file_uploader(label, type=["csv", "txt"], key=names.LOG_UPLOAD.name, on_change=_load, args=(shown.line,), max_upload_size=5)
    if tries:
        st.download_button(
            "Keep the log as a file", data=partial(tries_csv, tries), file_name=f"tries-{shown.line.fingerprint}.csv", mime="text/csv",
            key=names.LOG_BUTTON.of("keep").name, on_click=_saved,
        )  # fmt: skip
    if own_machine():
        small(plain(f"Kept on this machine in {log_of(shown.line)}."))
        return
    small(plain("Nothing is stored here: the log is your file. Keep it before you leave, and load it next time."))
    if names.TRIES_NEW.value:
        st.warning(plain("Some of these tries are in no file yet."))
    _leaving(get_instance())(key=names.LOG_BUTTON.of("leaving").name, data={"unsaved": names.TRIES_NEW.value})


@lru_cache(maxsize=2)
def _leaving(server: object) -> Callable[..., object]:
    """What asks before the page is left, of one running server."""
    return st.components.v2.component("jumpcalc_leaving", html="<span></span>", js=_LEAVING, isolate_styles=False)


def _saved() -> None:
    names.TRIES_NEW.put(False)


def _load(line: Line) -> None:
    """Take the tries of a file that are not there yet, and say which rows are none."""
    file = names.LOG_UPLOAD.value
    if file is None:
        return
    try:
        found = parse_tries(file.getvalue(), file="the file", check=partial(doubts, line))
        new = new_among(found.tries, _kept(line))
        was_new = names.TRIES_NEW.value
        if new:
            _keep(line, new)
        names.TRIES_NEW.put(was_new)
        names.TRIES_TOLD.put(" ".join(listed.imported(found, new=len(new), table="the file", log="").split("\n")[:-2]))
    except InputError as error:
        names.TRIES_TOLD.put(f"Not loaded: {error}.")


def _lesson(shown: Shown, tries: tuple[Try, ...]) -> None:
    """What the tries teach: in words, as drawings with their tables, and the corrected line."""
    try:
        with st.spinner("Learning from the tries …"):
            found = asked.learned(shown.line, tries)
            curve, narrow, off = asked.lesson(shown.line, tries, shown.reader, shown.stamp)
    except InputError as error:
        st.error(plain(str(error)))
        return
    said(shown.texts(words.next_try(found)), title="The next try")
    drawing(curve, alt="Where the rear wheel touched over the speed before the lip: tries, and the curve that goes best with them.")
    said(shown.texts([item for item in words.taught(found) if item]), title="What these tries teach")
    drawing(narrow, alt="How much narrower each unknown is known; the table below has the numbers.")
    table(list(words.TAUGHT_HEAD), [shown.texts(row) for row in words.taught_rows(found)])
    doubted = words.blunders(found)
    if doubted:
        said(shown.texts(doubted), title="Not believed, or left out")
    drawing(off, alt="How far each try lies from what is expected of it; the table below has the numbers.")
    table(list(words.HELD_HEAD), [shown.texts(row) for row in words.held_rows(found.held)])
    _reasons(shown, tries)
    if not shown.example:
        text = corrected_text(shown.line, found.corrected)
        st.button("Use the line as these tries correct it", key=names.LOG_BUTTON.of("use").name, on_click=_use, args=(text,))


def _use(text: str) -> None:
    names.TRIES_TOLD.put("")
    state.uploaded("the line as tries correct it", text.encode())


def _reasons(shown: Shown, tries: tuple[Try, ...]) -> None:
    """Why they land elsewhere than the line as measured says."""
    try:
        found = asked.why(shown.line, tries)
    except InputError:
        return
    if found.is_offset or found.is_scatter or found.days:
        said(shown.texts([*reasons.summary(found), *reasons.look(found)]), title="Why do they land there?")


PANEL = Panel("Tries", _body)
