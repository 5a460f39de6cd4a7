"""Title, caution, and what was refused."""

from __future__ import annotations

import streamlit as st

from jumpcalc.errors import InputError
from jumpcalc.show import words
from jumpcalc.show.page.common import Shown, plain

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
    """Until it is the reader's own jump, the band says so over everything."""
    if shown.example:
        st.warning(plain(EXAMPLE))
