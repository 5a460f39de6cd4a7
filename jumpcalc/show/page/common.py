"""What the panels share: the answer shown, cached work, drawings, tables, text that is not markup."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

import streamlit as st

from jumpcalc.plan.answer import Answer, JumpAnswer
from jumpcalc.plan.line import Line
from jumpcalc.plan.solve import add_ride, solve_jumps
from jumpcalc.show import words
from jumpcalc.show.svg import Sheet

__all__ = ["Shown", "drawing", "jumps_solved", "plain", "said", "small", "solved", "table"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What every panel shows: the answer, which jump of it, in which units, and whether it is an example's."""

    answer: Answer
    index: int
    units: str
    example: bool

    def complete(self) -> Shown:
        """The same with run-in and ride worked out."""
        return replace(self, answer=solved(self.answer.line))

    @property
    def jump(self) -> JumpAnswer:
        """The jump looked at."""
        return self.answer.jumps[self.index]

    @property
    def stamp(self) -> str:
        """The word over drawings that are not of the reader's own jump."""
        return "EXAMPLE" if self.example else ""

    @property
    def speed(self) -> Callable[..., str]:
        """Words for a speed in these units."""
        return partial(words.speed, units=self.units)

    @property
    def length(self) -> Callable[..., str]:
        """Words for a length in these units."""
        return partial(words.length, units=self.units)


@st.cache_data(max_entries=100, show_spinner=False)
def jumps_solved(line: Line) -> Answer:
    """The answer to a line without run-in and ride, kept for the next run."""
    return solve_jumps(line)


@st.cache_data(max_entries=100, show_spinner=False)
def solved(line: Line) -> Answer:
    """The whole answer to a line, kept for the next run."""
    return add_ride(jumps_solved(line))


@st.cache_data(max_entries=200, show_spinner=False)
def _drawn(kind: str, line: Line, index: int, units: str, example: bool, _make: Callable[[], Sheet]) -> str:
    return _make().svg()


def drawing(shown: Shown, kind: str, make: Callable[[], Sheet], *, alt: str, width: str = "stretch") -> None:
    """A drawing as a picture with words for those who do not see it.

    Parameters
    ----------
    shown : Shown
        What it is of.
    kind : str
        Its name; with line, jump, units and example it says which drawing is kept.
    make : callable
        Makes the sheet, called only when it is not kept.
    alt : str
        Its message in words.
    width : str
        Passed on to the picture.
    """
    picture = _drawn(kind, shown.answer.line, shown.index, shown.units, shown.example, make)
    st.image(picture, width=width, alt=alt)


def plain(text: str) -> str:
    """Text shown as it is, whatever marks it holds."""
    return re.sub(r"([\\`*_{}\[\]()<>#+|$~:!&-])", r"\\\1", text)


def small(text: str) -> None:
    """A remark in small type; a caption of Streamlit's own is too pale to read outdoors."""
    st.markdown(f":small[{text}]")


def said(texts: Sequence[str]) -> None:
    """A list of sentences."""
    st.markdown("\n".join(f"- {plain(text)}" for text in texts if text))


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """A small table; its first column names the rows."""
    lines = [head, ["---"] * len(head), *rows]
    made = ["| " + " | ".join(cell if cell == "---" else plain(cell) for cell in row) + " |" for row in lines]
    st.markdown("\n".join(made))
