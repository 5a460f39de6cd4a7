"""Where to start, and the last place to stop before the lip."""

from __future__ import annotations

from jumpcalc.show.page.common import Panel, Shown, said
from jumpcalc.show.words import run_in, stopping

__all__ = ["PANEL"]


def _body(shown: Shown) -> None:
    """Start marks of the first jump, and the way to stop instead."""
    said(_texts(shown))


def _texts(shown: Shown) -> list[str]:
    jump = shown.jump
    texts = run_in.start(jump, shown.answer.ride) if shown.index == 0 else []
    return shown.texts([text for text in (*texts, stopping.before(jump)) if text])


PANEL = Panel("Where to start", _body, lambda shown: bool(_texts(shown)))
