"""``jumpcalc compare OLD.toml NEW.toml``: two lines, or two bikes on one line, side by side."""

from __future__ import annotations

import argparse

from jumpcalc.show.commands.words import add_json, add_units

__all__ = ["add", "run"]


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Its words for the parser."""
    from jumpcalc.plan.inputs.surfaces import BIKES

    parser = commands.add_parser(
        "compare",
        help="put two lines, or two bikes on one line, side by side",
        description='Two line files side by side, or one line ridden on two bikes: --bike hardtail --bike "dirt jump".',
    )
    parser.add_argument("file", metavar="OLD.toml", help="line file")
    parser.add_argument("other", metavar="NEW.toml", nargs="?", help="line file measured later")
    parser.add_argument(
        "--bike",
        action="append",
        metavar="KIND",
        help="kind of bike, given twice: " + ", ".join(f'"{kind}"' for kind in BIKES),
    )
    add_json(parser, "comparison")
    add_units(parser, "units of the printed form")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> str:
    """What differs, as text or JSON."""
    import json

    from jumpcalc.errors import FileError, InputError
    from jumpcalc.plan.inputs.surfaces import BIKES
    from jumpcalc.plan.solve import solve
    from jumpcalc.plan.studies.compare import compare
    from jumpcalc.plan.vary import with_bike
    from jumpcalc.show.files.linefile import read_line
    from jumpcalc.show.files.whole import shown_name
    from jumpcalc.show.words import side_by_side
    from jumpcalc.show.words.numbers import Reader

    bikes = arguments.bike or []
    files = [file for file in (arguments.file, arguments.other) if file is not None]
    if bikes and (len(files) == 2 or len(bikes) != 2):
        raise InputError("give one line file with --bike twice, or two line files", key="compare")
    if not bikes and len(files) == 1:
        raise InputError("give a second line file, or --bike twice", key="compare")
    for bike in bikes:
        if bike not in BIKES:
            raise InputError(f"{bike!r}; must be {' or '.join(BIKES)}", key="--bike")
    lines = [read_line(file) for file in files]
    if bikes:
        lines = [with_bike(lines[0], bike) for bike in bikes]
    names = tuple(bikes or map(shown_name, files))
    try:
        found = compare(*lines)
    except InputError:
        # which of the two files is at fault is found only now, so that it costs nothing where none is
        for line, file in zip(lines, files if len(files) == 2 else files * 2, strict=True):
            try:
                solve(line)
            except InputError as error:
                raise FileError(error.text, file=shown_name(file), key=error.key) from None
        raise
    if arguments.json:
        return json.dumps(side_by_side.as_dict(found, names=names), indent=2, ensure_ascii=False) + "\n"
    return side_by_side.report(found, Reader(arguments.units), names=names)
