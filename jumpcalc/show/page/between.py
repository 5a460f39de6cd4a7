"""What lies between the jump that is looked at and the next one: speeds along the line, spacing and fall, what helps."""

from __future__ import annotations

import streamlit as st

from jumpcalc.show.page import asked
from jumpcalc.show.page.common import Panel, Shown, drawing, plain, said, small, table
from jumpcalc.show.words import between as words
from jumpcalc.show.words.between_report import cured

__all__ = ["PANEL"]


def _body(shown: Shown) -> None:
    """The drawing of the whole line, then one stretch: from the jump looked at on, or to it where it is the last."""
    answer = shown.answer
    index = min(shown.index, len(answer.jumps) - 2)
    with st.spinner("Riding what lies between …"):
        stretch, helps = asked.between(shown.line, index, words.STEPS[shown.reader])
    told = [words.left(answer, stretch)]
    if stretch.why_none is None:
        told.append(words.margins(stretch))
    drawing(asked.speeds_drawn(shown.line, shown.reader, shown.stamp), alt=" ".join(["Speeds along the line.", *shown.texts(told)]))
    said(shown.texts([*told, *cured(stretch, helps, answer.jumps[index + 1].name)]))
    if stretch.why_none is not None:
        return
    small(plain(f"The fall that carries all of them, {shown.reader.sign('level')}, by spacing:"))
    table(shown.texts(words.spans_head(stretch)), [shown.texts(row) for row in words.spans(stretch)])
    small(plain(f"Rolling: {shown.reader.sign('speed')} to spare, by spacing and fall:"))
    # the falls that carry stand above: on a phone a wide last column makes every row tall
    table(shown.texts(words.head(stretch))[:-1], [shown.texts(row)[:-1] for row in words.rows(stretch.ways[0])])
    small(plain(shown.text(words.HELD)))


PANEL = Panel("What lies between: spacing and fall", _body, lambda shown: len(shown.line.jumps) > 1)
"""Only for a line of more than one jump."""
