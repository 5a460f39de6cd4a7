"""The errors a caller can meet; every one carries a text made for its reader."""

from __future__ import annotations

__all__ = ["FileError", "InputError", "JumpcalcError"]


class JumpcalcError(Exception):
    """Base of every error that jumpcalc raises on purpose."""


class InputError(JumpcalcError, ValueError):
    """An input that cannot be used: which one, what was given, what is allowed.

    Parameters
    ----------
    text : str
        What is wrong, what was given and what is allowed, with units.
    key : str
        Path of the input inside its line, such as ``jump[1].lip.angle_deg``; may be empty.
    """

    def __init__(self, text: str, *, key: str = "") -> None:
        self.text = text
        self.key = key
        super().__init__(f"{key}: {text}" if key else text)

    def under(self, prefix: str) -> InputError:
        """The same error with `prefix` put before its key path."""
        dot = "." if self.key and not self.key.startswith("[") else ""
        return InputError(self.text, key=f"{prefix}{dot}{self.key}")


class FileError(InputError):
    """An input error that came from a file.

    Parameters
    ----------
    text : str
        What is wrong.
    file : str
        Name of the file as the caller gave it.
    key : str
        Path of the key inside the file; may be empty.
    """

    def __init__(self, text: str, *, file: str, key: str = "") -> None:
        self.text = text
        self.key = key
        self.file = file
        JumpcalcError.__init__(self, ": ".join(part for part in (file, key, text) if part))
