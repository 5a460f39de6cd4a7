"""Title, caution, and what was refused."""

from __future__ import annotations

import streamlit as st

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.line import Line
from jumpcalc.show import words
from jumpcalc.show.files.examples import examples
from jumpcalc.show.page.common import Shown, plain, small

__all__ = ["EXAMPLE", "example_band", "refused", "show"]

EXAMPLE = (
    "EXAMPLE: these are the measures of a bundled example, not of your jump. Type yours in the form on the left "
    "(on a phone: behind » at the top)."
)


def show() -> None:
    """The name of the page, the first caution, and why a file could not be loaded."""
    st.title("How fast for this jump?", anchor=False)
    st.markdown(plain(words.CAUTIONS[0]))
    message = st.session_state.get("message")
    if message:
        st.error(plain(message))


def refused(error: InputError) -> None:
    """The one line that says which input cannot be used."""
    st.error(
        plain(
            f"{error}. Everything typed is kept; change it on the left (on a phone: behind » at the top), in its group."
        )
    )


def example_band(shown: Shown) -> None:
    """Until it is the reader's own jump, the band says so over everything; then, what is still the example's."""
    if shown.example:
        st.warning(plain(EXAMPLE))
        return
    left = _still(shown.line)
    if left:
        small(plain(f"Begun from an example. Still the example's, until you change them: {', '.join(left)}."))


def _still(line: Line) -> list[str]:
    """Which parts of a line are those of the example that it was begun from."""
    begun = examples().get(st.session_state.get("example"))
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
