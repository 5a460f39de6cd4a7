"""The pocket card to save before there is no signal."""

from __future__ import annotations

from functools import lru_cache, partial

import streamlit as st

from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.card import Card, card
from jumpcalc.show.files.examples import is_example
from jumpcalc.show.page import names
from jumpcalc.show.page.common import Shown, heading, plain
from jumpcalc.show.paper import card as sheet
from jumpcalc.show.words.numbers import Reader

__all__ = ["show"]

_KINDS = {"image": ("png", "image/png", sheet.png), "PDF": ("pdf", "application/pdf", sheet.pdf)}


def show(shown: Shown) -> None:
    """Two buttons; the card is made only when one is pressed."""
    line = shown.line
    heading("A card for the pocket")
    st.markdown(
        plain(
            "Small pages (A6) to save before there is no signal: start, speed, last place to stop and room after, in still air, "
            "headwind and tailwind, on dry and on damp ground, and every jump from the side. It takes a few seconds."
        )
    )
    with st.container(horizontal=True, gap="small"):
        for name, (suffix, mime, _) in _KINDS.items():
            st.download_button(
                f"Card as {'an' if name == 'image' else 'a'} {name}",
                data=partial(_file, name, line, shown.reader),
                file_name=f"card-{shown.answer.fingerprint}.{suffix}",
                mime=mime,
                key=names.CARD.of(name).name,
                on_click="ignore",
            )


@lru_cache(maxsize=20)
def _card(line: Line) -> Card:
    return card(line, example=any(map(is_example, line.jumps)))


@lru_cache(maxsize=20)
def _file(name: str, line: Line, reader: Reader) -> bytes:
    return _KINDS[name][2](_card(line), reader)
