"""``jumpcalc card LINE.toml --out card.pdf``: the pocket card."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from jumpcalc.show.commands.words import add_file, add_out, add_units, free_to_write

if TYPE_CHECKING:
    from jumpcalc.plan.inputs.line import Line
    from jumpcalc.show.words.numbers import Reader

__all__ = ["add", "run"]


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Its words for the parser."""
    parser = commands.add_parser(
        "card",
        help="write the pocket card of a line",
        description="A6 pages for the pocket: start, speed, last place to stop and room after, in still air, headwind and tailwind, "
        "on dry and on damp ground; every jump from the side.",
    )
    add_file(parser)
    add_out(parser, "card.pdf|card.png|card.html", "file to write: PDF, image (PNG), or a page for a phone without network (HTML)")
    add_units(parser, "units of the card")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> str:
    """Write the card; says where it lies."""
    from jumpcalc.plan.studies.card import card
    from jumpcalc.show.files.examples import is_example
    from jumpcalc.show.files.linefile import read_line
    from jumpcalc.show.files.whole import shown_name, write_whole
    from jumpcalc.show.paper.card import pages
    from jumpcalc.show.paper.pages import FORMATS
    from jumpcalc.show.words.numbers import Reader

    suffix = free_to_write(arguments, "a card is a .pdf, a .png or an .html file", *FORMATS, ".html")
    line, reader = read_line(arguments.file), Reader(arguments.units)
    example = is_example(line)
    if suffix == ".html":
        content = _page(line, reader, example=example)
    else:
        content = FORMATS[suffix](pages(card(line, example=example), reader))
    write_whole(arguments.out, content, force=arguments.force)
    what = "the pocket page" if suffix == ".html" else "the card"
    return f"{shown_name(arguments.out)}: {what}, made from {shown_name(arguments.file)}\n"


def _page(line: Line, reader: Reader, *, example: bool) -> bytes:
    """The pocket page, with its progress where a person looks on."""
    from jumpcalc.plan.studies.field.testday import day_plan
    from jumpcalc.plan.studies.pocket import pocket
    from jumpcalc.show.pocket.page import html
    from jumpcalc.show.terminal import steps

    with steps("solving the pocket page") as tell:
        found = pocket(line, example=example, progress=tell)
    return html(found, day_plan(line, example=example), reader)
