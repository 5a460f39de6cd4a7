"""Words that several commands take."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jumpcalc.plan.inputs.line import Line

__all__ = ["add_file", "add_json", "add_out", "add_units", "example_mark", "free_to_write", "number"]


def add_file(parser: argparse.ArgumentParser) -> None:
    """The line file that a command reads."""
    parser.add_argument("file", metavar="LINE.toml", help="line file: tape-and-level measurements of a run-in and its jumps")


def add_json(parser: argparse.ArgumentParser, what: str) -> None:
    """An answer for programs."""
    parser.add_argument("--json", action="store_true", help=f"print the {what} as JSON (always SI)")


def add_units(parser: argparse.ArgumentParser, what: str) -> None:
    """Units of what is printed."""
    parser.add_argument("--units", choices=("metric", "imperial"), default="metric", help=what)


def add_out(parser: argparse.ArgumentParser, metavar: str, what: str, *, required: bool = True) -> None:
    """The file that a command writes, which is written whole or not at all: see `show.files.whole`."""
    parser.add_argument("--out", metavar=metavar, required=required, help=what)
    parser.add_argument("--force", action="store_true", help="write over a file that is there")


def free_to_write(arguments: argparse.Namespace, refusal: str, *endings: str) -> str | None:
    """How the name of the file to write ends, which must be one of `endings`; None where none is to be written.

    Told before anything is worked out: that the name ends otherwise, or that there is such a file already.
    """
    from jumpcalc.errors import FileError
    from jumpcalc.show.files.whole import check_free, shown_name

    if arguments.out is None:
        return None
    ending = Path(arguments.out).suffix.lower()
    if ending not in endings:
        raise FileError(refusal, file=shown_name(arguments.out))
    check_free(arguments.out, force=arguments.force)
    return ending


def example_mark(line: Line) -> str:
    """The row that stands over what is printed of a bundled example's ground; empty over one's own."""
    from jumpcalc.show.files.examples import is_example

    return "EXAMPLE: the ground of a bundled example, not yours.\n" if is_example(line) else ""


def number(text: str) -> float:
    """A number as people write it, also with a decimal comma."""
    try:
        return float(text.replace(",", "."))
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is no number, as 45.4 is") from None
