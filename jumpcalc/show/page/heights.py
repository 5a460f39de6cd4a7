"""Heights that must close, and whether the jump can be rolled."""

from __future__ import annotations

from jumpcalc.show import words
from jumpcalc.show.page.common import Panel, Shown, said

__all__ = ["PANEL"]


def _body(shown: Shown) -> None:
    """What to check with a level, and what happens to one who rolls it."""
    said([words.heights_words(shown.jump, shown.units), words.rolled_words(shown.jump, shown.units)])


PANEL = Panel("Check on the ground", _body)
