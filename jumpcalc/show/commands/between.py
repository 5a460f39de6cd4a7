"""``jumpcalc between LINE.toml``: how far apart and how much lower the next lip may stand."""

from __future__ import annotations

import argparse

from jumpcalc.show.commands.words import add_file, add_json, add_out, add_units, example_mark, free_to_write

__all__ = ["add", "run"]

_MOST = 6  # strokes


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Its words for the parser."""
    from jumpcalc.plan.inputs.surfaces import BIKES

    parser = commands.add_parser(
        "between",
        help="what lies between the jumps of a line: which spacing and fall carry",
        description="For each two jumps of a line a table of spacing and fall that carry all who land the first one well into the clean "
        "speeds of the next, rolling and with pedal strokes, with what is left on either side; which jump ends the line, and what helps.",
    )
    add_file(parser)
    parser.add_argument("--strokes", type=int, default=2, metavar="MOST", help=f"up to how many pedal strokes, at most {_MOST}; else 2")
    kinds = ", ".join(f'"{kind}"' for kind in BIKES)
    parser.add_argument("--bike", action="append", default=[], metavar="KIND", help=f"on another bike too; may be given again: {kinds}")
    add_json(parser, "tables")
    add_units(parser, "units of the printed form and of the drawing")
    add_out(parser, "between.svg", "write the drawing of speeds along the line (SVG) too", required=False)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> str:
    """The tables as text or JSON; writes the drawing where asked to."""
    import json

    from jumpcalc.errors import InputError
    from jumpcalc.plan.inputs.surfaces import BIKES
    from jumpcalc.plan.solve import solve, solve_jumps
    from jumpcalc.plan.studies.between import between
    from jumpcalc.plan.studies.remedies import remedies, together
    from jumpcalc.plan.vary import with_bike
    from jumpcalc.plan.views.carry import carry_view
    from jumpcalc.show.files.between_json import as_dict
    from jumpcalc.show.files.linefile import read_line
    from jumpcalc.show.files.whole import shown_name, write_whole
    from jumpcalc.show.paper.carry import carry
    from jumpcalc.show.words.between import STEPS
    from jumpcalc.show.words.between_report import report
    from jumpcalc.show.words.numbers import Reader

    free_to_write(arguments, "the drawing is an .svg file", ".svg")
    if not 0 <= arguments.strokes <= _MOST:
        raise InputError(f"{arguments.strokes}; allowed 0 to {_MOST}", key="--strokes")
    for bike in arguments.bike:
        if bike not in BIKES:
            raise InputError(f"{bike!r}; must be {' or '.join(BIKES)}", key="--bike")
    line, reader = read_line(arguments.file), Reader(arguments.units)
    if len(line.jumps) < 2:
        raise InputError("one jump; between needs a line of two or more", key="jump")
    answer = solve(line)
    own = answer.complete.bike.kind
    lines = [answer, *(solve_jumps(with_bike(line, bike)) for bike in dict.fromkeys(arguments.bike) if bike != own)]
    steps = STEPS[reader]
    found = [[between(one, i, strokes=arguments.strokes, steps=steps) for one in lines] for i in range(len(line.jumps) - 1)]
    helps = [remedies(answer, each[0]) for each in found]
    all_of_it = together(answer) if len(helps) > 1 else None
    mark, written = example_mark(line), ""
    if arguments.out is not None:
        sheet = carry(carry_view(answer), reader, stamp="EXAMPLE" if mark else "")
        write_whole(arguments.out, sheet.svg().encode("utf-8"), force=arguments.force)
        written = f"\nWritten: {shown_name(arguments.out)}\n"
    if arguments.json:
        return json.dumps(as_dict(answer, found, helps, all_of_it=all_of_it), indent=2, ensure_ascii=False) + "\n"
    return mark + report(answer, found, helps, reader, all_of_it=all_of_it) + written
