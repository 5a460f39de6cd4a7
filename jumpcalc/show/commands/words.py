"""Words that several commands take."""

from __future__ import annotations

import argparse

__all__ = ["add_file", "add_json", "add_out", "add_units"]


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
