"""What the theme cannot say: targets for a gloved thumb on a touch screen."""

from __future__ import annotations

import streamlit as st

__all__ = ["show"]

_STYLE = """<style>
@media (pointer: coarse) {
  [data-testid="stButtonGroup"] button, [data-testid="stButton"] button, [data-testid="stDownloadButton"] button,
  [data-testid="stExpandSidebarButton"], [data-testid="stNumberInputContainer"], [data-testid="stTextInputRootElement"],
  [data-testid="stSelectbox"] [role="group"], [data-testid="stSelectbox"] [role="group"] > *,
  [data-testid="stRadio"] label, [data-testid="stCheckbox"] label {
    min-height: 2.75rem;
  }
  [data-testid="stExpandSidebarButton"] { min-width: 2.75rem; }
  [data-testid="stRadio"] label, [data-testid="stCheckbox"] label { align-items: center; }
}
</style>"""


def show() -> None:
    """The page's own style, once a run."""
    st.html(_STYLE)
