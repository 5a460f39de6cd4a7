"""The form of a site: its ground as stakes that are typed or pasted, riders, what is wanted, limits, files."""

from __future__ import annotations

from collections.abc import Callable

import streamlit as st

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.declare import declared, key_of
from jumpcalc.plan.inputs.line import Air
from jumpcalc.plan.inputs.site import KeepOut, NaturalGround, Site, SiteLimits, SiteRider, Wanted
from jumpcalc.show.files.examples import sites
from jumpcalc.show.files.sitefile import write_site
from jumpcalc.show.page import fields, names, site, state
from jumpcalc.show.page.common import plain, small
from jumpcalc.show.page.form import SITE, unit_of
from jumpcalc.show.page.more import asked_for
from jumpcalc.show.page.stakes import as_text, pasted

__all__ = ["PARTS", "keep", "show"]

_STAKES = "ground.stakes_m"
_MOST = {"rider": 6, "keep_out": 20}
_LONGEST = 20_000  # characters of pasted stakes


def show() -> None:
    """Where to begin, and the parts that were asked for."""
    st.selectbox(
        "Start from the site", list(sites()), key=names.SITE_EXAMPLE.name, on_change=_take_example,
        format_func=lambda name: sites()[name].title or name,
    )  # fmt: skip
    if names.SITE_SOURCE.value:
        small(plain(f"Loaded from {names.SITE_SOURCE.value}."))
    for title in asked_for("What to change", PARTS, key=names.SITE_PARTS, first=_OPEN):
        st.markdown(f"**{plain(title)}**")
        PARTS[title]()


def keep(made: Site) -> None:
    """The site as a file."""
    st.download_button(
        "Keep this site as a file", lambda: write_site(made), "site.toml", "application/toml", key=names.SITE_BUTTON.of("keep").name,
        on_click="ignore",
    )  # fmt: skip


def _take_example() -> None:
    site.load(sites()[names.SITE_EXAMPLE.value])


def _ground() -> None:
    declaration = declared(NaturalGround)["stakes"]
    widget, unit = names.SITE_FIELD.of(_STAKES), unit_of(declaration)
    state.bind(widget, as_text(SITE.typed(_STAKES), unit))
    sign = "ft" if unit == "ft" else "m"
    st.text_area(
        f"Stakes: how far along, how much lower ({sign}), one a row", key=widget.name, height=200, max_chars=_LONGEST,
        help=f"{declaration.help} Typed or pasted from a table; the first row is 0 0.", on_change=_take_stakes, args=(unit,),
    )  # fmt: skip
    _columns("ground", NaturalGround, skip=("stakes",))


def _take_stakes(unit: str) -> None:
    """Keep the stakes in SI; what cannot be read is kept as it is, a row that was not touched exactly."""
    text, old = names.SITE_FIELD.of(_STAKES).value, SITE.typed(_STAKES)
    try:
        known = {as_text((stake,), unit): stake for stake in old} if isinstance(old, tuple) else {}
        SITE.store(_STAKES, tuple(known.get(as_text((stake,), unit), stake) for stake in pasted(text, unit)) or None)
    except InputError:
        SITE.store(_STAKES, text)


def _riders() -> None:
    small(plain("Name those who differ most: the jump must fit every one of them."))
    _many("rider", SiteRider, "Add a rider")


def _keep_outs() -> None:
    _many("keep_out", KeepOut, "Add a place")


def _many(key: str, kind: type, add: str) -> None:
    """A block for each, and how to have one more or one fewer."""
    kept = SITE.counts[key]
    for number in range(1, kept.value + 1):
        small(plain(f"{key.capitalize().replace('_', '-')} {number}"))
        _columns(f"{key}[{number}]", kind)
    least = 1 if key == "rider" else 0
    with st.container(horizontal=True, gap="small"):
        more, less = (names.SITE_BUTTON.of(word, key) for word in ("add", "less"))
        st.button(add, key=more.name, on_click=_count, args=(kept, 1), disabled=kept.value >= _MOST[key])
        st.button("Remove the last", key=less.name, on_click=_count, args=(kept, -1), disabled=kept.value <= least)


def _count(kept: names.Kept, change: int) -> None:
    kept.put(kept.value + change)
    state.refill()


def _wanted() -> None:
    _columns("wanted", Wanted)


def _limits() -> None:
    _columns("limits", SiteLimits)


def _air() -> None:
    _columns("air", Air)


def _about() -> None:
    _columns("", Site)


def _files() -> None:
    st.file_uploader(
        "Load a site file", type="toml", key=names.SITE_UPLOAD.name, on_change=_take_upload, max_upload_size=1,
        help="A text file (.toml) with stakes, riders and limits, at most 1 MB.",
    )  # fmt: skip


def _take_upload() -> None:
    file = names.SITE_UPLOAD.value
    if file is None:
        names.SITE_MESSAGE.put("")
    else:
        site.uploaded(file.name, file.getvalue())


def _columns(prefix: str, kind: type, *, skip: tuple[str, ...] = ()) -> None:
    """Every input of a table, two beside one another where there is room."""
    asked = [(name, declaration) for name, declaration in declared(kind).items() if name not in skip]
    for first in range(0, len(asked), 2):  # two columns all the way down would change the order on a phone
        for column, (name, declaration) in zip(st.columns(2, vertical_alignment="bottom"), asked[first : first + 2], strict=False):
            with column:
                fields.field(f"{prefix}{'.' if prefix else ''}{key_of(name, declaration)}", declaration, form=SITE)


PARTS: dict[str, Callable[[], None]] = {
    "The ground as it lies": _ground,
    "Riders": _riders,
    "What is wanted": _wanted,
    "Limits": _limits,
    "Where nothing may be built": _keep_outs,
    "Air and wind": _air,
    "Site files": _files,
    "Which site, where, when": _about,
}
"""What fills each part of the form."""

_OPEN = ("The ground as it lies", "Riders")
