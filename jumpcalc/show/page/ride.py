"""The line as one ride."""

from __future__ import annotations

from jumpcalc.show.page.common import Panel, Shown, said
from jumpcalc.show.words.ride import ride

__all__ = ["PANEL"]


def _body(shown: Shown) -> None:
    """How a ride from the start mark goes through a line of several jumps."""
    said(shown.texts(ride(shown.answer)))


PANEL = Panel("The line as one ride", _body, lambda shown: bool(ride(shown.answer)))
