"""The pocket card to save before there is no signal."""

from __future__ import annotations

from functools import lru_cache

import streamlit as st

from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.studies.card import Card, card
from jumpcalc.plan.studies.field.testday import day_plan
from jumpcalc.plan.studies.pocket import pocket
from jumpcalc.show.files.examples import is_example
from jumpcalc.show.page import names, save
from jumpcalc.show.page.common import Shown, heading, plain
from jumpcalc.show.paper import card as sheet
from jumpcalc.show.paper.pages import Pages
from jumpcalc.show.pocket.page import html
from jumpcalc.show.words.numbers import Reader

__all__ = ["show"]


def show(shown: Shown) -> None:
    """Two buttons; the card is made only when one is pressed."""
    heading("A card for the pocket")
    st.markdown(
        plain(
            "Small pages (A6) to save before there is no signal: start, speed, last place to stop and room after, in still air, "
            "headwind and tailwind, on dry and on damp ground, and every jump from the side. It takes a few seconds."
        )
    )
    save.buttons(shown, "Card", names.CARD, _pages)
    _pocket_page(shown)


def _pocket_page(shown: Shown) -> None:
    """The pocket page: worked out when asked for, with its progress, then kept to be saved."""
    st.markdown(
        plain(
            "Or one file that a phone's browser opens without network: today's questions answered from what is worked out now, the speed "
            "check, the test day with boxes, and a form for tries. It takes some seconds."
        )
    )
    made = _pocket_pages(shown.line, shown.reader)
    if st.button("Make the pocket page", key=names.POCKET.of("make").name) and not made:
        bar = st.progress(0.0, text="Solving …")
        found = pocket(
            shown.line, example=is_example(shown.line),
            progress=lambda done, total: bar.progress(done / total, text=f"Solved {done} of {total} rows"),
        )  # fmt: skip
        made.append(html(found, day_plan(shown.line, example=is_example(shown.line)), shown.reader))
        bar.empty()
    if made:
        st.download_button(
            "Save the pocket page", data=made[0], file_name=f"card-{shown.answer.fingerprint}.html", mime="text/html",
            key=names.POCKET.of("save").name, on_click="ignore",
        )  # fmt: skip


@lru_cache(maxsize=8)
def _pocket_pages(line: Line, reader: Reader) -> list[bytes]:
    """The pocket page of a line, once it was made: what tells its progress has no place among what a cache knows it by."""
    return []


@lru_cache(maxsize=20)
def _card(line: Line) -> Card:
    return card(line, example=is_example(line))


def _pages(line: Line, reader: Reader) -> Pages:
    return sheet.pages(_card(line), reader)
