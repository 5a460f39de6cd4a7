"""What the panels share: the answer shown, cached work, drawings, tables, text that is not markup.

Lines and answers are frozen and hashed in microseconds, so what is worked out of them is kept: by `elsewhere` what every change
needs, by `lru_cache` what only those need who ask for it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import streamlit as st

from jumpcalc.plan.answer import Answer, JumpAnswer
from jumpcalc.plan.inputs.line import Line
from jumpcalc.show.files.examples import is_example
from jumpcalc.show.page import state, today
from jumpcalc.show.page.worked import jumps_solved, solved
from jumpcalc.show.words.jump import no_ride
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import Words

__all__ = ["Panel", "Shown", "drawing", "heading", "jumps_solved", "plain", "said", "shown", "small", "solved", "table"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What every panel shows: a line, which jump of it, for which reader, and whether it is an example's."""

    line: Line
    index: int
    reader: Reader
    example: bool
    whole: Answer | None = None

    def begin(self) -> None:
        """Have workers begin on run-in and ride while there is something else to do."""
        solved.ahead(self.line)

    def complete(self) -> Shown:
        """The same with run-in and ride, which are worked out here."""
        return replace(self, whole=solved(self.line))

    @property
    def answer(self) -> Answer:
        """The answer to the line, worked out when it is first asked for; with run-in and ride once it is complete."""
        return self.whole or jumps_solved(self.line)

    @property
    def jump(self) -> JumpAnswer:
        """The jump looked at."""
        return self.answer.jumps[self.index]

    @property
    def no_ride(self) -> list[str]:
        """Why no speed to ride is given, today or at all; empty where one is."""
        return [*today.gusts(), *filter(None, [self.text(no_ride(self.jump))])]

    @property
    def stamp(self) -> str:
        """The word over a drawing that is not of the reader's own jump."""
        return "EXAMPLE" if self.example else ""

    @property
    def drawn(self) -> tuple[Answer, int, Reader, str]:
        """What a drawing is made of: answer, jump, reader and stamp."""
        return self.answer, self.index, self.reader, self.stamp

    @property
    def speed(self) -> Callable[..., str]:
        """A speed as it is read."""
        return self.reader.speed

    @property
    def length(self) -> Callable[..., str]:
        """A length as it is read."""
        return self.reader.length

    def text(self, words: Words) -> str:
        """What is said, as it is read."""
        return self.reader.text(words)

    def texts(self, words: Sequence[Words]) -> list[str]:
        """Each of what is said, as it is read."""
        return self.reader.texts(words)


@dataclass(frozen=True, slots=True)
class Panel:
    """A part of the page: its title, what shows it, and for which answers there is something to show."""

    title: str
    body: Callable[[Shown], None]
    there: Callable[[Shown], bool] = lambda shown: True

    def show(self, shown: Shown) -> None:
        """The panel under its title."""
        if self.there(shown):
            heading(self.title)
            self.body(shown)


def shown(line: Line) -> Shown:
    """What the panels show of a line; nothing is worked out yet."""
    index = state.index()
    return Shown(
        line=line,
        index=index,
        reader=Reader(state.units()),
        example=is_example(line),
    )


def drawing(svg: str, *, alt: str) -> None:
    """A drawing as a picture with words for those who do not see it.

    Parameters
    ----------
    svg : str
        The drawing.
    alt : str
        Its message in words.
    """
    st.image(svg, width="stretch", alt=alt)


def plain(text: str) -> str:
    """Text shown as it is, on one line, whatever marks it holds."""
    return re.sub(r"([\\`*_{}\[\]()<>#+|$~:!&-])", r"\\\1", re.sub(r"[^\S\u00a0]+", " ", text.strip()))


def heading(title: str, *, over: str = "") -> None:
    """A part's title, with a remark in small type over it; a heading of Streamlit's own costs the browser more at every run.

    Parameters
    ----------
    title : str
        Words without marks.
    over : str
        What it is of, without marks.
    """
    remark = f":small[{plain(over)}]\n\n" if over else ""
    st.markdown(f"{remark}### {plain(title)}")


def small(text: str) -> None:
    """A remark in small type; a caption of Streamlit's own is too pale to read outdoors."""
    st.markdown(f":small[{text}]")


def said(texts: Sequence[str], *, title: str = "") -> None:
    """A list of sentences, under a title where one is given."""
    head = f"### {plain(title)}\n" if title else ""
    st.markdown(head + "\n".join(f"- {plain(text)}" for text in texts if text))


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """A small table; its first column names the rows."""
    lines = [head, ["---"] * len(head), *rows]
    made = ["| " + " | ".join(cell if cell == "---" else plain(cell) for cell in row) + " |" for row in lines]
    st.markdown("\n".join(made))
