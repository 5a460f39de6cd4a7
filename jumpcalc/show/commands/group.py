"""``jumpcalc group LINE.toml RIDERS.toml``: several riders on one line."""

from __future__ import annotations

import argparse

from jumpcalc.show.commands.words import add_file, add_json, add_units, example_mark

__all__ = ["add", "run"]


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Its words for the parser."""
    parser = commands.add_parser(
        "group",
        help="put several riders on one line: one table of marks and speeds",
        description="Light and heavy, child and adult, on their own bikes on one line: from which mark each starts, who cannot ride it "
        "and why, and whether one mark serves all.",
    )
    add_file(parser)
    parser.add_argument("riders", metavar="RIDERS.toml", help="file of riders, each a [[rider]] table as in a site file")
    add_json(parser, "table")
    add_units(parser, "units of the printed form")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> str:
    """The table as text or JSON."""
    import json

    from jumpcalc.plan.studies.group import together
    from jumpcalc.show.files.linefile import read_line
    from jumpcalc.show.files.sitefile import read_group
    from jumpcalc.show.words import group as words
    from jumpcalc.show.words.numbers import Reader

    line = read_line(arguments.file)
    found = together(line, read_group(arguments.riders))
    if arguments.json:
        return json.dumps(words.as_dict(found), indent=2, ensure_ascii=False) + "\n"
    example = example_mark(line)
    return example + words.report(found, Reader(arguments.units))
