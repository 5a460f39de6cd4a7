"""``jumpcalc card LINE.toml --out card.pdf``: the pocket card."""

from __future__ import annotations

import argparse
from pathlib import Path

from jumpcalc.show.commands.words import add_file, add_out, add_units

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
    add_out(parser, "card.pdf|card.png", "file to write: PDF or image (PNG)")
    add_units(parser, "units of the card")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> str:
    """Write the card; says where it lies."""
    from jumpcalc.errors import FileError
    from jumpcalc.plan.studies.card import card
    from jumpcalc.show.files.examples import is_example
    from jumpcalc.show.files.linefile import read_line
    from jumpcalc.show.files.whole import check_free, shown_name, write_whole
    from jumpcalc.show.paper.card import pdf, png
    from jumpcalc.show.words.numbers import Reader

    make = {".pdf": pdf, ".png": png}.get(Path(arguments.out).suffix.lower())
    if make is None:
        raise FileError("a card is a .pdf or a .png file", file=shown_name(arguments.out))
    check_free(arguments.out, force=arguments.force)
    line = read_line(arguments.file)
    content = make(card(line, example=any(map(is_example, line.jumps))), Reader(arguments.units))
    write_whole(arguments.out, content, force=arguments.force)
    return f"{shown_name(arguments.out)}: the card, made from {shown_name(arguments.file)}\n"
