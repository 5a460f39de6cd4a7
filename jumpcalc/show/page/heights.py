"""Whether the jump can be rolled."""

from __future__ import annotations

from jumpcalc.show.page.common import Panel, Shown, said
from jumpcalc.show.words.jump import rolled

__all__ = ["PANEL"]


def _body(shown: Shown) -> None:
    """What happens to one who rolls it; the heights to check with a level stand beside the question whether it stands."""
    said(shown.texts([rolled(shown.jump)]))


PANEL = Panel("Can it be rolled?", _body)
