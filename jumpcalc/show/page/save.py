"""Buttons that save pages to print, as an image or as a PDF; they are made only when one is pressed."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, partial

import streamlit as st

from jumpcalc.plan.inputs.line import Line
from jumpcalc.show.page.common import Shown
from jumpcalc.show.page.names import Family
from jumpcalc.show.paper.pages import FORMATS, Pages
from jumpcalc.show.words.numbers import Reader

__all__ = ["buttons"]

_KINDS = {"image": (".png", "image/png"), "PDF": (".pdf", "application/pdf")}


def buttons(shown: Shown, what: str, family: Family, pages: Callable[[Line, Reader], Pages]) -> None:
    """Two buttons, one for each kind of file.

    Parameters
    ----------
    shown : Shown
        What the page shows.
    what : str
        What is saved, as the buttons call it, and the file in small letters.
    family : Family
        Names of the buttons.
    pages : callable
        Makes the pages of a line for a reader, the same function every time: the files made are kept.
    """
    with st.container(horizontal=True, gap="small"):
        for name, (suffix, mime) in _KINDS.items():
            st.download_button(
                f"{what} as {'an' if name == 'image' else 'a'} {name}",
                data=partial(_file, pages, suffix, shown.line, shown.reader),
                file_name=f"{what.lower().replace(' ', '')}-{shown.answer.fingerprint}{suffix}",
                mime=mime,
                key=family.of(name).name,
                on_click="ignore",
            )


@lru_cache(maxsize=60)
def _file(pages: Callable[[Line, Reader], Pages], suffix: str, line: Line, reader: Reader) -> bytes:
    return FORMATS[suffix](pages(line, reader))
