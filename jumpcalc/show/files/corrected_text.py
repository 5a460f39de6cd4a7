"""A corrected line as a line file: every value that tries changed says where it comes from."""

from __future__ import annotations

from jumpcalc.plan.inputs.line import Line
from jumpcalc.show.files.linefile import write_line

__all__ = ["corrected_text"]


def corrected_text(measured: Line, corrected: Line) -> str:
    """The text of a line file of a corrected line.

    Parameters
    ----------
    measured : Line
        As measured.
    corrected : Line
        With what tries taught.

    Returns
    -------
    str
        TOML that reads back as the corrected line; what differs from the line as measured carries its origin as a comment.
    """
    before = set(_rows(write_line(measured)))
    origin = f"  # from {corrected.learned_from}"
    return "\n".join(
        row + origin if row.strip() and "=" in row and (section, row) not in before and not row.startswith("learned_from") else row
        for section, row in _rows(write_line(corrected))
    )


def _rows(text: str) -> list[tuple[str, str]]:
    """The rows of a file, each with the table that it stands in."""
    section, found = "", []
    for row in text.split("\n"):
        section = row if row.startswith("[") else section
        found.append((section, row))
    return found
