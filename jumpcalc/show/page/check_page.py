"""The speed check on small pages to save before there is no signal."""

from __future__ import annotations

from functools import lru_cache, partial

import streamlit as st

from jumpcalc.plan.inputs.line import Line
from jumpcalc.show.page import check_it, names
from jumpcalc.show.page.common import Shown, heading, plain
from jumpcalc.show.paper import check as sheet
from jumpcalc.show.words.numbers import Reader

__all__ = ["show"]

_KINDS = {"image": ("png", "image/png"), "PDF": ("pdf", "application/pdf")}


def show(shown: Shown) -> None:
    """Two buttons; the page is made only when one is pressed."""
    heading("The check for the pocket")
    st.markdown(plain("Small pages (A6) with large figures: where the cones stand, and what is too slow, go and too fast."))
    with st.container(horizontal=True, gap="small"):
        for name, (suffix, mime) in _KINDS.items():
            st.download_button(
                f"Check as {'an' if name == 'image' else 'a'} {name}",
                data=partial(_file, name, shown.line, shown.reader),
                file_name=f"check-{shown.answer.fingerprint}.{suffix}",
                mime=mime,
                key=names.CHECK_PAGE.of(name).name,
                on_click="ignore",
            )


@lru_cache(maxsize=20)
def _file(name: str, line: Line, reader: Reader) -> bytes:
    made = sheet.pages(check_it.found(line), reader)
    return made.pdf() if name == "PDF" else made.png()
