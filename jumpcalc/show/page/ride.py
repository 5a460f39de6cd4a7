"""The line as one ride."""

from __future__ import annotations

from jumpcalc.show import words
from jumpcalc.show.page.common import Panel, Shown, said

__all__ = ["PANEL"]


def _body(shown: Shown) -> None:
    """How a ride from the start mark goes through a line of several jumps."""
    said(words.ride_words(shown.answer, shown.units))


PANEL = Panel("The line as one ride", _body, lambda shown: bool(words.ride_words(shown.answer, shown.units)))
