"""Site files and files of riders: TOML in, made from the declarations beside the fields of `plan.inputs.site`."""

from __future__ import annotations

from pathlib import Path

from jumpcalc.plan.inputs.site import Group, Site
from jumpcalc.show.files.linefile import read_text, table_in, write_table
from jumpcalc.show.files.whole import shown_name

__all__ = ["parse_site", "read_group", "read_site", "write_site"]

_WHAT = "site file"
_RIDERS = "file of riders"


def read_site(path: str | Path) -> Site:
    """The site that a site file describes.

    Parameters
    ----------
    path : str or pathlib.Path
        A TOML file of at most 1 MB.

    Returns
    -------
    Site
        In SI and radians, with only what the file gives.

    Raises
    ------
    FileError
        If there is no such file, it cannot be read, or it does not describe a site.
    """
    return parse_site(read_text(path, what=_WHAT), file=shown_name(path))


def parse_site(text: str, *, file: str = _WHAT) -> Site:
    """The site that the text of a site file describes.

    Parameters
    ----------
    text : str
        TOML.
    file : str
        Name that error messages call it by.

    Returns
    -------
    Site
        In SI and radians, with only what the text gives.

    Raises
    ------
    FileError
        If the text is not TOML or does not describe a site.

    Examples
    --------
    >>> site = parse_site('''
    ... [ground]
    ... stakes_m = [[0, 0], [20, 3], [60, 6]]
    ... [[rider]]
    ... fastest_mph = 20
    ... ''')
    >>> round(site.riders[0].fastest, 2)
    8.94
    """
    return table_in(Site, text, file=file, what=_WHAT, empty="a site needs its ground as stakes, stakes_m in a [ground] table")


def write_site(site: Site) -> str:
    """The text of a site file that reads back as the same site.

    Parameters
    ----------
    site : Site
        What to write; what it does not give is left out.

    Returns
    -------
    str
        TOML, in metric units, as `write_line` writes.
    """
    return write_table(site)


def read_group(path: str | Path) -> Group:
    """The riders that a file describes.

    Parameters
    ----------
    path : str or pathlib.Path
        A TOML file of at most 1 MB.

    Returns
    -------
    Group
        In SI, with only what the file gives.

    Raises
    ------
    FileError
        If there is no such file, it cannot be read, or it does not describe riders.
    """
    text = read_text(path, what=_RIDERS)
    return table_in(Group, text, file=shown_name(path), what=_RIDERS, empty="a group needs one rider or more, each a [[rider]] table")
