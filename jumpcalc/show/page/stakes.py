"""Stakes as text: one a row, how far along and how much lower, as they are typed or pasted from a table."""

from __future__ import annotations

import re

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.valid import echo
from jumpcalc.units import from_si, to_si

__all__ = ["as_text", "pasted"]

_MOST = 500


def pasted(text: str, unit: str) -> tuple[tuple[float, float], ...]:
    """The stakes of a text.

    Parameters
    ----------
    text : str
        One stake a row, its two numbers apart by blanks, a tab, a semicolon, or a comma and a blank; a decimal comma is taken where
        the two are apart by something else. Brackets are left aside, and words before the first row of numbers.
    unit : str
        Of the numbers.

    Returns
    -------
    tuple of tuple of float
        Distance along the ground and fall of each [m].

    Raises
    ------
    InputError
        Which row is none.

    Examples
    --------
    >>> pasted("along\\tlower\\n0\\t0\\n[10, 2.1],\\n20,5 4,1", "m")
    ((0.0, 0.0), (10.0, 2.1), (20.5, 4.1))
    """
    stakes: list[tuple[float, float]] = []
    # a list of pairs on one row, as in a site file, is taken apart
    rows = [row.strip(" \t[](),;") for row in re.sub(r"\]\s*,\s*\[", "\n", text).splitlines()]
    for row in filter(None, rows):
        parts = [part.rstrip(",") for part in re.split(r"[\s;]+", row)]
        if len(parts) == 1 and row.count(",") == 1:
            parts = row.split(",")
        try:
            along, fall = (float(to_si(float(part.replace(",", ".")), kind="length", unit=unit)) for part in parts if part)
        except (ValueError, OverflowError):
            if not stakes and not re.search(r"\d", row):
                continue
            given = f"row {len(stakes) + 1}: {echo(row)}"
            raise InputError(f"{given}; a stake is two numbers, how far along and how much lower", key="Stakes") from None
        stakes.append((along, fall))
        if len(stakes) > _MOST:
            raise InputError(f"more than {_MOST} rows", key="Stakes")
    return tuple(stakes)


def as_text(stakes: tuple[tuple[float, float], ...] | str | None, unit: str) -> str:
    """Stakes as they are typed; what could not be read is as it was.

    Parameters
    ----------
    stakes : tuple of tuple of float or str or None
        Distance and fall of each [m].
    unit : str
        Of the numbers shown.

    Returns
    -------
    str
        One stake a row.
    """
    if stakes is None or isinstance(stakes, str):
        return stakes or ""
    return "\n".join("  ".join(f"{from_si(value, kind='length', unit=unit):.5g}" for value in stake) for stake in stakes)
