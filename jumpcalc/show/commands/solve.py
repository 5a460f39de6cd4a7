"""``jumpcalc solve LINE.toml``: the answer to a line file."""

from __future__ import annotations

import argparse

from jumpcalc.show.commands.words import add_file, add_json, add_units

__all__ = ["add", "run"]


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Its words for the parser."""
    parser = commands.add_parser("solve", help="print the answer to a line file", description="Print the answer to a line file.")
    add_file(parser)
    add_json(parser, "answer")
    parser.add_argument(
        "--tape", action="store_true", help="also how much each measurement's own error moves the speeds; takes a few seconds"
    )
    add_units(parser, "units of the printed form")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> str:
    """The answer as text or JSON."""
    from jumpcalc.plan.solve import solve
    from jumpcalc.show.files.linefile import read_line

    answer, tape = solve(read_line(arguments.file)), []
    if arguments.tape:
        from jumpcalc.plan.studies.measures import measures

        tape = [measures(answer, index) for index in range(len(answer.jumps))]
    if arguments.json:
        from jumpcalc.show.files.answer_json import as_json

        return as_json(answer, tape=tape)
    from jumpcalc.show.words.numbers import Reader
    from jumpcalc.show.words.report import report

    return report(answer, Reader(arguments.units), tape=tape)
