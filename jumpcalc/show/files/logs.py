"""Where the tries of a line are kept: in the user's data folder, by the line's ground, unless another file is named."""

from __future__ import annotations

from pathlib import Path

from jumpcalc.plan.inputs.line import Line

__all__ = ["log_of"]


def log_of(line: Line, named: str | None = None) -> Path:
    """The log of a line's tries.

    Parameters
    ----------
    line : Line
        As measured; a line measured anew has a log of its own.
    named : str, optional
        Another file.

    Returns
    -------
    pathlib.Path
        A CSV file, which need not be there yet.
    """
    if named is not None:
        return Path(named)
    import platformdirs

    return platformdirs.user_data_path("jumpcalc", appauthor=False) / "tries" / f"{line.fingerprint}.csv"
