"""The site that jumps are looked for: begun from a bundled one, a file or the address, kept as it is typed."""

from __future__ import annotations

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.declare import given
from jumpcalc.plan.inputs.site import Site
from jumpcalc.plan.studies.sizing.ground import filled_site
from jumpcalc.show.files.examples import sites
from jumpcalc.show.files.sitefile import parse_site, write_site
from jumpcalc.show.page import address, names, state
from jumpcalc.show.page.form import SITE, file_text

__all__ = ["begin", "load", "site", "uploaded"]


def begin() -> None:
    """At first the site in the address, or a bundled one."""
    if names.SITE.known:
        return
    first, message = next(iter(sites())), ""
    found = sites()[first]
    try:
        if names.IN_SITE.value:
            found = parse_site(address.unpacked(names.IN_SITE.value, "site"), file="site in the address")
    except InputError as error:
        message = f"{error}. The page starts on an example instead."
    load(found)
    names.SITE_EXAMPLE.put(first)
    names.SITE_MESSAGE.put(message)


def load(new: Site) -> None:
    """Put a site's inputs in place of what was typed."""
    names.SITE.put({path: value for path, _, value in given(new)})
    names.SITE_RIDERS.put(len(new.riders))
    names.SITE_KEEP_OUTS.put(len(new.keep_outs))
    for one in (names.SITE_MESSAGE, names.SITE_SOURCE, names.SITE_PICK):
        one.forget()
    state.refill()


def uploaded(name: str, content: bytes) -> None:
    """Load an uploaded site file; where it cannot be read, say why and keep what was typed."""
    try:
        name, text = file_text(name, content, what="site file")
        load(parse_site(text, file=name))
        names.SITE_SOURCE.put(name)
    except InputError as error:
        names.SITE_MESSAGE.put(f"{error}. Nothing was changed.")


def site() -> Site:
    """The site of what was typed; it is kept in the address, and what it leaves open is told in the fields.

    Raises
    ------
    InputError
        One line that names the input by its label, what was given and what is allowed.
    """
    made = SITE.built(Site)
    full = {path: value for path, _, value in given(filled_site(made))}
    names.SITE_ASSUMED.put({path: value for path, value in full.items() if SITE.typed(path) is None and value is not None})
    names.IN_SITE.put(None if made in sites().values() else address.packed(write_site(made)))
    return made
