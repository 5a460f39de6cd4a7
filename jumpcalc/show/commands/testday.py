"""``jumpcalc testday LINE.toml``: the steps from the first roll to the first flight."""

from __future__ import annotations

import argparse

from jumpcalc.show.commands.words import add_file, add_json, add_out, add_units, free_to_write

__all__ = ["add", "run"]


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Its words for the parser."""
    parser = commands.add_parser(
        "testday",
        help="the steps from the first roll to the first flight of a line",
        description="A test day: marks for speed checks with the lip not jumped, what each step must show before the next, who stands "
        "where, when it is called off. Printed, or as a page with --out.",
    )
    add_file(parser)
    parser.add_argument("--log", metavar="TRIES.csv", help="log of tries: which steps its last day shows done")
    add_json(parser, "test day")
    add_out(parser, "testday.pdf|testday.png", "page to write: PDF or image (PNG)", required=False)
    add_units(parser, "units of what is printed")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> str:
    """The test day as text or JSON, or where its page lies."""
    from jumpcalc.plan.studies.field.testday import day_plan
    from jumpcalc.show.files.examples import is_example
    from jumpcalc.show.files.linefile import read_line
    from jumpcalc.show.files.testday_json import as_json
    from jumpcalc.show.files.tries_read import read_tries
    from jumpcalc.show.files.whole import shown_name, write_whole
    from jumpcalc.show.paper.pages import FORMATS
    from jumpcalc.show.paper.testday import pages
    from jumpcalc.show.terminal import tell
    from jumpcalc.show.words.numbers import Reader
    from jumpcalc.show.words.testday_report import report

    suffix = free_to_write(arguments, "a test day is a .pdf or a .png file", *FORMATS)
    line = read_line(arguments.file)
    found = None if arguments.log is None else read_tries(arguments.log)
    plan = day_plan(line, example=is_example(line), tries=() if found is None else found.tries)
    for one in () if found is None else found.refused:
        tell(f"{shown_name(arguments.log)}: row {one.row} not counted: {one.reason}")
    if suffix is None:
        return as_json(plan) if arguments.json else report(plan, Reader(arguments.units))
    write_whole(arguments.out, FORMATS[suffix](pages(plan, Reader(arguments.units))), force=arguments.force)
    return f"{shown_name(arguments.out)}: the test day, made from {shown_name(arguments.file)}\n"
