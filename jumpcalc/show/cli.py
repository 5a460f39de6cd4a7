"""The command line: ``jumpcalc solve LINE.toml``, ``jumpcalc compare OLD.toml NEW.toml``, ``jumpcalc card LINE.toml``."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from typing import NoReturn

from jumpcalc.plan.inputs.surfaces import BIKES
from jumpcalc.show.paper.card import add_card_command

__all__ = ["main"]

_KINDS = tuple(BIKES)


class _Parser(argparse.ArgumentParser):
    """A parser whose refusals are one line, as those of a line file are."""

    def error(self, message: str) -> NoReturn:
        self.exit(2, f"{self.prog}: {message}; see {self.prog} --help\n")


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="jumpcalc",
        description="How fast to leave a bike jump's lip, how far off one may be, how hard it hits, whether there is room "
        "to stop. The numbers are a model's, not a permit.",
    )
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    solve = commands.add_parser(
        "solve", help="print the answer to a line file", description="Print the answer to a line file."
    )
    solve.add_argument(
        "file", metavar="LINE.toml", help="line file: tape-and-level measurements of a run-in and its jumps"
    )
    solve.add_argument("--json", action="store_true", help="print the answer as JSON (always SI)")
    solve.add_argument("--units", choices=("metric", "imperial"), default="metric", help="units of the printed form")
    solve.set_defaults(run=_solve)
    compare = commands.add_parser(
        "compare",
        help="put two lines, or two bikes on one line, side by side",
        description='Two line files side by side, or one line ridden on two bikes: --bike hardtail --bike "dirt jump".',
    )
    compare.add_argument("file", metavar="OLD.toml", help="line file")
    compare.add_argument("other", metavar="NEW.toml", nargs="?", help="line file measured later")
    compare.add_argument(
        "--bike",
        action="append",
        metavar="KIND",
        help="kind of bike, given twice: " + ", ".join(f'"{k}"' for k in _KINDS),
    )
    compare.add_argument("--json", action="store_true", help="print the comparison as JSON (always SI)")
    compare.add_argument("--units", choices=("metric", "imperial"), default="metric", help="units of the printed form")
    compare.set_defaults(run=_compare)
    add_card_command(commands)
    return parser


def _compare(arguments: argparse.Namespace) -> str:
    import json

    from jumpcalc.errors import FileError, InputError
    from jumpcalc.plan.solve import solve
    from jumpcalc.plan.studies.compare import compare, with_bike
    from jumpcalc.show.files.linefile import read_line
    from jumpcalc.show.words import side_by_side

    bikes = arguments.bike or []
    if bikes and (arguments.other or len(bikes) != 2):
        raise InputError("give one line file with --bike twice, or two line files", key="compare")
    if not bikes and arguments.other is None:
        raise InputError("give a second line file, or --bike twice", key="compare")
    for bike in bikes:
        if bike not in _KINDS:
            raise InputError(f"{bike!r}; must be {' or '.join(_KINDS)}", key="--bike")
    first = read_line(arguments.file)
    if bikes:
        lines = [with_bike(first, bike) for bike in bikes]
        names = tuple(bikes)
    else:
        lines = [first, read_line(arguments.other)]
        names = (arguments.file, arguments.other)
    try:
        found = compare(*lines)
    except InputError:
        # which of the two files is at fault is found only now, so that it costs nothing where none is
        for line, file in zip(lines, (arguments.file, arguments.other or arguments.file), strict=True):
            try:
                solve(line)
            except InputError as error:
                raise FileError(error.text, file=file, key=error.key) from None
        raise
    if arguments.json:
        return json.dumps(side_by_side.as_dict(found, names=names), indent=2, ensure_ascii=False) + "\n"
    return side_by_side.report(found, names=names, units=arguments.units)


def _solve(arguments: argparse.Namespace) -> str:
    from jumpcalc.plan.solve import solve
    from jumpcalc.show.files.answer_json import as_json
    from jumpcalc.show.files.linefile import read_line
    from jumpcalc.show.words.report import report

    answer = solve(read_line(arguments.file))
    return as_json(answer) if arguments.json else report(answer, units=arguments.units)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line.

    Parameters
    ----------
    arguments : sequence of str, optional
        Words after the program's name; those of the process when not given.

    Returns
    -------
    int
        Exit status: 0 with an answer, also when no speed lands clean; 2 for bad input.
    """
    from jumpcalc.errors import FileError, InputError

    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    parsed = _parser().parse_args(arguments)
    try:
        text = parsed.run(parsed)
    except InputError as error:
        if not isinstance(error, FileError):
            error = FileError(error.text, file=parsed.file, key=error.key)
        print(f"jumpcalc: {error}", file=sys.stderr)
        return 2
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        sys.stderr.close()
    return 0
