"""The command line: ``jumpcalc solve LINE.toml``."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

__all__ = ["main"]


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="jumpcalc",
        description="How fast to leave a bike jump's lip, how far off one may be, how hard it hits, whether there is room "
        "to stop. The numbers are a model's, not a permit.",
    )
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    solve = commands.add_parser("solve", help="print the answer to a line file", description="Print the answer to a line file.")
    solve.add_argument("file", metavar="LINE.toml", help="line file: tape-and-level measurements of a run-in and its jumps")
    solve.add_argument("--json", action="store_true", help="print the answer as JSON (always SI)")
    solve.add_argument("--units", choices=("metric", "imperial"), default="metric", help="units of the printed form")
    solve.set_defaults(run=_solve)
    return parser


def _solve(arguments: argparse.Namespace) -> str:
    from jumpcalc.plan.solve import solve
    from jumpcalc.show.answer_json import as_json
    from jumpcalc.show.linefile import read_line
    from jumpcalc.show.report import report

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
