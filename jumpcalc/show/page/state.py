"""What was typed, kept in SI beside the widgets, so that neither a switch of units nor an error loses it.

`typed` maps the key path of every input to its SI value or None; ground pieces are rows of kind, size
and slope, stakes rows of distance and fall. Widgets write into it; `line` builds the Line from it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from jumpcalc.errors import InputError
from jumpcalc.plan.answer import Answer
from jumpcalc.plan.inputs.declare import given
from jumpcalc.plan.inputs.line import Line
from jumpcalc.show.files.examples import FIRST, examples
from jumpcalc.show.files.linefile import parse_line
from jumpcalc.show.page import address, names, today
from jumpcalc.show.page.form import LINE, file_text, unit_of, units

__all__ = [
    "another_landing",
    "bind",
    "example_of",
    "index",
    "line",
    "load",
    "refill",
    "remember",
    "start",
    "store",
    "take_choice",
    "typed",
    "units",
    "unit_of",
    "uploaded",
]

_OF_A_LINE = (names.OWN_WIND, names.ASIDE, names.RIDE_MARK, names.SOURCE, names.READ, names.READ_WAY)
_OF_A_LANDING = (names.TOUCHED, names.TOUCHED_FAR, names.BEGAN, names.PEDALLED)


def start() -> None:
    """Begin a session on the line in the address, or on an example; keep what parts not shown now were told."""
    if names.TYPED.known:
        for one in names.declared(names.Kept):
            if one.goes and one.known:
                # else Streamlit forgets it with its widget, at a change of way or while a value is refused
                one.put(one.value)
        return
    found, asked, message = address.take()
    name = asked or FIRST
    names.UNITS.put("imperial" if names.IN_UNITS.value == "imperial" else "metric")
    names.EXAMPLE.put(name)
    if names.IN_TODAY.value == today.IN_ADDRESS:
        names.RIDE_WIND.put(today.GUSTY)
    if names.IN_SITE.value:
        names.SIZE_KIND.put("planned")  # it is looked at there
    load(found if found is not None else examples()[name])
    names.MESSAGE.put(message)


def example_of(one: Line) -> str | None:
    """The name of the example that a line is, unchanged, or None."""
    return next((name for name, line in examples().items() if line == one), None)


def load(new: Line) -> None:
    """Put a line's inputs in place of what was typed."""
    values: dict[str, Any] = {}
    for path, declaration, value in given(new):
        if declaration.kind == "pieces" and value is not None:
            value = tuple(
                ("straight", piece.length, piece.slope)
                if piece.length is not None
                else ("curve", piece.radius, piece.to_slope)
                for piece in value
            )
        values[path] = value
    names.TYPED.put(values)
    names.JUMPS.put(len(new.jumps))
    names.JUMP.put(1)
    names.MESSAGE.put("")
    # they belong to the line and the day they were given for
    for one in (*_OF_A_LINE, *_OF_A_LANDING):
        one.forget()
    if names.RIDE_WIND.value != today.GUSTY:  # a gust does not ask which line it is
        names.RIDE_WIND.forget()
    refill()


def another_landing() -> None:
    """Let go of where a wheel touched: that was on one jump, not on all of them."""
    for one in _OF_A_LANDING:
        one.forget()
    refill()


def take_choice(of: str, *, was: str, now: str, fresh: Mapping[str, Any]) -> None:
    """Take another choice of something that brings values with it; what was typed for the one before comes back with that one.

    Parameters
    ----------
    of : str
        What is chosen.
    was, now : str
        The choice before, and the one taken.
    fresh : mapping of str to object
        All key paths that go with it, with what they are at the first time.
    """
    aside = {**names.ASIDE.value, (of, was): {path: typed(path) for path in fresh}}
    names.ASIDE.put(aside)
    for path, value in aside.get((of, now), fresh).items():
        store(path, value)
    refill()


def refill() -> None:
    """Have every widget show what is stored at the next run."""
    names.ROUND.put(names.ROUND.value + 1)


def bind(widget: names.Kept, value: Any) -> None:
    """Give a widget the value it shows: at its first run, and after a line was loaded or units were switched."""
    rounds, now = names.ROUNDS.value, names.ROUND.value
    if not widget.known or rounds.get(widget.name) != now:
        widget.put(value)
        names.ROUNDS.put({**rounds, widget.name: now})


def uploaded(name: str, content: bytes) -> None:
    """Load an uploaded line file; where it cannot be read, say why and keep what was typed.

    Parameters
    ----------
    name : str
        Name of the file as the browser says.
    content : bytes
        Its content.
    """
    try:
        name, text = file_text(name, content, what="line file")
        load(parse_line(text, file=name))
        names.SOURCE.put(name)
    except InputError as error:
        names.MESSAGE.put(f"{error}. Nothing was changed.")


def typed(path: str) -> Any:
    """The stored value of an input [SI] or None."""
    return LINE.typed(path)


def store(path: str, value: Any) -> None:
    """Store the value of an input [SI] or None; what was said of a file before is over with it."""
    LINE.store(path, value)


def index() -> int:
    """Which jump of the line is looked at, from 0."""
    return min(names.JUMP.value, names.JUMPS.value) - 1


def remember(answer: Answer) -> None:
    """Keep what was assumed, so that empty fields can say it."""
    paths = set(answer.assumed)
    names.ASSUMED.put({path: value for path, _, value in given(answer.complete) if path in paths})


def line() -> Line:
    """The Line of what was typed.

    Raises
    ------
    InputError
        One line that names the input by its label, what was given and what is allowed.
    """
    return LINE.built(Line)
