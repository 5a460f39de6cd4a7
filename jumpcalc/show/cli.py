"""The command line: ``jumpcalc COMMAND ...``, each command a file of `show.commands`."""

from __future__ import annotations

import argparse
import importlib
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

import jumpcalc.show.one_core  # noqa: F401, before numpy
from jumpcalc.show.terminal import one_line, patience, put, stoppable, tell, to_utf8

__all__ = ["main"]

ANSWERED, BROKEN, REFUSED, STOPPED = 0, 1, 2, 130
"""Exit statuses: an answer; a fault of the program's own; bad input, or an output that cannot be written; Ctrl-C."""


_COMMANDS = ("solve", "compare", "between", "group", "odds", "size", "progression", "check", "coast", "testday", "card", "log")


class _Parser(argparse.ArgumentParser):
    """A parser whose refusals are one line, as those of a line file are."""

    def parse_known_args(self, args=None, namespace=None):
        """Words of a list may also stand behind options: by itself a list ends at the first of them."""
        found, rest = super().parse_known_args(args, namespace)
        values = getattr(found, "values", None)
        if isinstance(values, list):
            values += [word for word in rest if not word.startswith("-")]
            rest = [word for word in rest if word.startswith("-")]
        return found, rest

    def error(self, message: str) -> NoReturn:
        self.exit(REFUSED, one_line(f"{self.prog}: {message}; see {self.prog} --help"))


def _parser(words: Sequence[str]) -> argparse.ArgumentParser:
    """The parser for these words: with one command where they begin with it, else with all of them."""
    parser = _Parser(
        prog="jumpcalc",
        description="How fast to leave a bike jump's lip, how far off one may be, how hard it hits, whether there is room "
        "to stop. The numbers are a model's, not a permit.",
    )
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND", prog=parser.prog)
    for name in words[:1] if words[:1] and words[0] in _COMMANDS else _COMMANDS:
        importlib.import_module(f"jumpcalc.show.commands.{name}").add(commands)
    return parser


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line.

    Parameters
    ----------
    arguments : sequence of str, optional
        Words after the program's name; those of the process when not given.

    Returns
    -------
    int
        Exit status: 0 with an answer, also when no speed lands clean; 2 for bad input and for an output that cannot be
        written; 130 when it was stopped; 1 for a fault of the program's own. All but the first with one line on
        standard error; only a reader that has left, as ``| head`` does, is told nothing.
    """
    with stoppable() as stopped:
        try:
            return _answered(arguments)
        except BaseException as error:
            # a library that is stopped while it loads may raise something else
            if stopped.is_set() or isinstance(error, KeyboardInterrupt):
                tell("stopped")
                return STOPPED
            if sys.flags.dev_mode or not isinstance(error, Exception):
                raise
            tell(_fault(error))
            return BROKEN


def _answered(arguments: Sequence[str] | None) -> int:
    from jumpcalc.errors import FileError, InputError
    from jumpcalc.show.files.whole import shown_name

    to_utf8()
    try:
        words = sys.argv[1:] if arguments is None else list(arguments)
        parsed = _parser(words).parse_args(words)
    except SystemExit as told:  # its help, or why the words were refused
        return _printed("") or told.code
    try:
        with patience(f"still working on {shown_name(parsed.file)}; Ctrl-C stops it"):
            text = parsed.run(parsed)
    except FileError as error:
        tell(str(error))
        return REFUSED
    except InputError as error:
        tell(str(FileError(error.text, file=shown_name(parsed.file), key=error.key)))
        return REFUSED
    return _printed(text)


def _printed(text: str) -> int:
    """Print an answer; the exit status says whether all of it was taken."""
    try:
        put(text)
    except BrokenPipeError:
        return REFUSED
    except OSError as error:
        tell(f"standard output: cannot be written: {error.strerror or error}")
        return REFUSED
    return ANSWERED


def _fault(error: Exception) -> str:
    """What is told of an error that nobody foresaw."""
    import traceback

    place = traceback.extract_tb(error.__traceback__)[-1]
    where = f"{type(error).__name__} in {Path(place.filename).name}, row {place.lineno}"
    return f"a fault of jumpcalc: {where}; please report it with the file (python -X dev -m jumpcalc ... shows all of it)"
