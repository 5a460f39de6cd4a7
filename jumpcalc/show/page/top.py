"""Title, caution, whose jump it is, and what was refused."""

from __future__ import annotations

import streamlit as st

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.line import Line
from jumpcalc.show.files.examples import examples
from jumpcalc.show.page import names
from jumpcalc.show.page.common import Shown, plain, small
from jumpcalc.show.words.cautions import CAUTIONS

__all__ = ["EXAMPLE", "message", "no_ride", "refused", "show", "whose"]

EXAMPLE = "EXAMPLE, not your jump. Type yours on the left, or tap »."


def show() -> None:
    """The name of the page and the first caution."""
    st.markdown("# How fast for this jump?")
    st.container(key=names.CAUTION.name).markdown(f"**{plain(CAUTIONS[0])}**")


def message() -> None:
    """Why a file or an address could not be taken."""
    if names.MESSAGE.value:
        st.error(plain(names.MESSAGE.value))


def refused(error: InputError) -> None:
    """The one line that says which input cannot be used."""
    st.error(
        plain(
            f"{error}. Everything typed is kept; change it on the left (on a phone: behind » at the top), in its group."
        )
    )


def no_ride(shown: Shown) -> None:
    """That no speed to ride is given, in every way in, and why."""
    for text in shown.no_ride:
        st.error(plain(text))


def whose(shown: Shown) -> None:
    """Until it is the reader's own jump, a band says so over everything; then, of which file it is and what is still the example's."""
    if shown.example:
        st.warning(plain(EXAMPLE))
        return
    left = _still(shown.line)
    if names.SOURCE.value:
        small(plain(f"Loaded from {names.SOURCE.value}."))
    elif left:
        small(plain(f"Still the example's, until you change it: {', '.join(left)}."))


def _still(line: Line) -> list[str]:
    """Which parts of a line are those of the example that it was begun from."""
    begun = examples().get(names.EXAMPLE.value)
    if begun is None or begun == line:
        return []
    parts = {
        "title and date": (line.title, line.measured_on) == (begun.title, begun.measured_on) and bool(line.title),
        "run-in": line.run_in == begun.run_in,
        "runout": len(line.jumps) == len(begun.jumps)
        and all(one.runout == other.runout for one, other in zip(line.jumps, begun.jumps, strict=True)),
        "rider": line.rider == begun.rider,
        "bike": line.bike == begun.bike,
        "air and wind": line.air == begun.air,
    }
    return [name for name, same in parts.items() if same] if sum(parts.values()) > 1 else []
