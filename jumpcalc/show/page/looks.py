"""What the theme cannot say: large figures, targets for a gloved thumb on a touch screen, and what would cost the browser time."""

from __future__ import annotations

import streamlit as st

__all__ = ["show"]

_STYLE = """<style>
/* Streamlit fades every element at every run: that alone takes the browser some 25 ms */
[data-testid="stElementContainer"] { transition: none !important; opacity: 1 !important; }
[data-testid="stHeaderActionElements"] { display: none; }
p + [data-testid="stHeadingWithActionElements"] { margin-top: -1rem; }
.figures { display: flex; flex-wrap: wrap; gap: 0.5rem 2rem; margin: 0; padding: 0 !important; }
.figures dt { font-size: 0.875rem; margin: 0; padding: 0; }
.figures dd { font-size: 1.9rem; font-weight: 600; margin: 0; padding: 0; white-space: nowrap; font-variant-numeric: tabular-nums; }
.st-key-refused { display: none; }
@media (max-width: 768px) {
  [data-testid="stLayoutWrapper"]:has(> .st-key-refused) { position: sticky; top: 0; z-index: 9; }
  .st-key-refused { display: flex; background: var(--background-color, Canvas); border-radius: 0.5rem; }
}
@media (max-width: 640px) { .figures { gap: 0.25rem 1.25rem; } .figures dd { font-size: 1.6rem; } }
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
