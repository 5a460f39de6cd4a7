"""What the theme cannot say: large figures, targets for a gloved thumb on a touch screen, and what would cost the browser time."""

from __future__ import annotations

import streamlit as st

from jumpcalc.show.page import names

__all__ = ["show"]

_WIDE = "@media (min-width: 1000px)"
_STYLE = f"""<style>
/* Streamlit fades every element at every run: that alone takes the browser some 25 ms */
[data-testid="stElementContainer"] {{ transition: none !important; opacity: 1 !important; }}
[data-testid="stHeaderActionElements"] {{ display: none; }}
/* the first screen is for the answer: the bar at the top lets title and ways in shine through, and clicks on them pass */
[data-testid="stHeader"] {{ background: transparent; }}
[data-testid="stHeader"], [data-testid="stHeader"] :not(button, button *) {{ pointer-events: none; }}
[data-testid="stHeader"] button {{ pointer-events: auto; }}
[data-testid="stMainBlockContainer"] {{ padding: 0.5rem 2rem 3rem; max-width: 84rem; }}
{names.HEAD.css} h1 {{ font-size: 1.5rem; padding: 0; line-height: 2.1rem; }}
{names.HEAD.css} p {{ font-size: 0.875rem; line-height: 1.3; margin: 0; }}
{names.HEAD.css} [data-testid="stAlertContainer"] {{ padding: 0.2rem 0.6rem; min-height: 0; font-weight: 600;
  border-left: 0.3rem solid currentColor; }}
{names.HEAD.css} [data-testid="stMarkdownContainer"], {names.ANSWER.css} [data-testid="stMarkdownContainer"] {{ margin-bottom: 0; }}
{names.CAUTION.css} {{ border-left: 0.3rem solid var(--st-primary-color, currentColor); padding-left: 0.6rem; }}
{names.ANSWER.css} h3, {names.ASK.css} h3 {{ padding-top: 0; }}
{names.ANSWER.css} h3 {{ padding-bottom: 0.5rem; }}
{names.ANSWER.css} p {{ margin-bottom: 0.25rem; line-height: 1.4; }}
{names.REST.css} {{ max-width: 52rem; }}
{names.REST.css} [data-testid="stImage"], {names.REST.css} .clock-stage {{ max-width: 34rem; }}
.figures {{ display: flex; flex-wrap: wrap; gap: 0.25rem 1.75rem; margin: 0; padding: 0 !important; }}
.figures dt {{ font-size: 0.875rem; margin: 0; padding: 0; }}
.figures dd {{ font-size: 1.75rem; line-height: 1.2; font-weight: 600; margin: 0; padding: 0; white-space: nowrap;
  font-variant-numeric: tabular-nums; }}
.figures small {{ display: block; font-size: 0.875rem; line-height: 1; font-weight: 400; }}
{names.REFUSED.css} {{ display: none; }}
{_WIDE} {{
  {names.HEAD.css} {{ display: grid; grid-template-columns: 2fr 3fr; padding-right: 2.5rem; align-items: center; }}
  {names.HEAD.css} > :not(:first-child) {{ grid-column: 1 / -1; }}
  {names.HEAD.css} > :has(h1) {{ grid-row: 1; }}
  {names.HEAD.css} > .st-key-{names.WAY.name} {{ grid-area: 1 / 2; }}
  {names.FIRST.css} {{ display: grid; grid-template: "answer drawing" auto "ask drawing" 1fr / 5fr 6fr; gap: 0.75rem 2rem; }}
  {names.FIRST.css} > * {{ min-width: 0; }}
  {names.FIRST.css} > :has(> {names.ANSWER.css}) {{ grid-area: answer; }}
  {names.FIRST.css} > :has(> {names.DRAWING.css}) {{ grid-area: drawing; }}
  {names.FIRST.css} > :has(> {names.ASK.css}) {{ grid-area: ask; }}
}}
@media (max-width: 768px) {{
  [data-testid="stLayoutWrapper"]:has(> {names.REFUSED.css}) {{ position: sticky; top: 0; z-index: 9; }}
  {names.REFUSED.css} {{ display: flex; background: var(--background-color, Canvas); border-radius: 0.5rem; }}
}}
@media (max-width: 640px) {{
  [data-testid="stMainBlockContainer"] {{ padding: 0.25rem 0.5rem 3rem; }}
  {names.HEAD.css} h1 {{ font-size: 1.2rem; margin-left: 3rem; }}
  {names.HEAD.css} [data-testid="stAlertContainer"] p {{ font-size: 0.8125rem; }}
  {names.ANSWER.css} h3 {{ font-size: 1.15rem; }}
  .figures {{ gap: 0.25rem 1rem; }}
  .figures dt {{ font-size: 0.8125rem; max-width: 8rem; }}
  .figures dd {{ font-size: 1.4rem; }}
}}
@media (pointer: coarse) {{
  [data-testid="stButtonGroup"] button, [data-testid="stButton"] button, [data-testid="stDownloadButton"] button,
  [data-testid="stFileUploader"] button,
  [data-testid="stExpandSidebarButton"], [data-testid="stNumberInputContainer"], [data-testid="stTextInputRootElement"],
  [data-testid="stSelectbox"] [role="group"], [data-testid="stSelectbox"] [role="group"] > *,
  [data-testid="stRadio"] label, [data-testid="stCheckbox"] label {{
    min-height: 2.75rem;
  }}
  [data-testid="stExpandSidebarButton"] {{ min-width: 2.75rem; }}
  [data-testid="stRadio"] label, [data-testid="stCheckbox"] label {{ align-items: center; }}
}}
</style>"""


def show() -> None:
    """The page's own style, once a run."""
    st.html(_STYLE)
