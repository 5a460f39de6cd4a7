"""A drawing that can be tapped: it tells how far across and down it was touched."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

import streamlit as st
from streamlit.runtime import get_instance

from jumpcalc.show.page import names

__all__ = ["tapped"]

_HTML = '<img draggable="false">'
_CSS = "img { width: 100%; display: block; cursor: crosshair; touch-action: manipulation; border-radius: 0.5rem; }"
# the drawing is shown as a picture, so that nothing in it can run
_JS = """
export default function ({ parentElement, data, setTriggerValue }) {
  const picture = parentElement.querySelector('img');
  picture.src = 'data:image/svg+xml;charset=utf-8,' + encodeURIComponent(data.svg);
  picture.alt = data.alt;
  picture.onclick = (event) => {
    const box = picture.getBoundingClientRect();
    setTriggerValue('place', [(event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height]);
  };
}
"""


@lru_cache(maxsize=1)
def _component(server: object) -> Callable[..., object]:
    """The component of one running server."""
    return st.components.v2.component("jumpcalc_tapped", html=_HTML, css=_CSS, js=_JS)


def tapped(svg: str, *, alt: str, key: names.Kept, take: Callable[[float, float], None]) -> None:
    """A drawing; each tap calls `take`.

    Parameters
    ----------
    svg : str
        The drawing.
    alt : str
        Its message in words.
    key : Kept
        Of the widget.
    take : callable
        Told the shares of width and height, 0 to 1 from the top left corner, at which it was tapped.
    """

    def told() -> None:
        place = key.value.place
        if place is not None:
            take(*(min(max(float(share), 0.0), 1.0) for share in place))

    _component(get_instance())(key=key.name, data={"svg": svg, "alt": alt}, on_place_change=told)
