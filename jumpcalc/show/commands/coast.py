"""``jumpcalc coast LINE.toml RUNS.csv``: rolling resistance and drag area from bikes that rolled out."""

from __future__ import annotations

import argparse

from jumpcalc.show.commands.words import add_file, add_json, add_units

__all__ = ["add", "run"]


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Its words for the parser."""
    from jumpcalc.plan.inputs.declare import declared, key_of
    from jumpcalc.plan.studies.field.rolled import Rolled

    columns = ", ".join(key_of(name, d) for name, d in declared(Rolled).items())
    parser = commands.add_parser(
        "coast",
        help="rolling resistance and drag area from roll-outs",
        description="Rolling resistance and drag area from a bike that rolls out: how far, marks passed at times, or speeds at times. "
        f"Columns of the CSV, units as in a line file: {columns}. One row is one reading, with two of distance, time and speed; the first "
        "row of a run is its start.",
    )
    add_file(parser)
    parser.add_argument("runs", metavar="RUNS.csv", help="what was read, with units in its header")
    parser.add_argument(
        "--on",
        choices=("run_in", "runout"),
        default="run_in",
        help="whose rolling resistance it is, and the ground of runs without a slope",
    )
    add_json(parser, "fit")
    add_units(parser, "units of the printed form")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> str:
    """What the runs tell, as text or JSON."""
    from jumpcalc.errors import FileError, InputError
    from jumpcalc.plan.solve import solve
    from jumpcalc.plan.studies.field.coast import coast_fit, corrected
    from jumpcalc.plan.studies.field.rolled import runs_of
    from jumpcalc.show.files.coast_csv import read_coasts
    from jumpcalc.show.files.coast_json import as_json
    from jumpcalc.show.files.linefile import read_line
    from jumpcalc.show.files.whole import shown_name
    from jumpcalc.show.words.coast import report
    from jumpcalc.show.words.numbers import Reader

    line = read_line(arguments.file)
    readings = read_coasts(arguments.runs)
    try:
        fit = coast_fit(line, runs_of(readings), on=arguments.on)
    except InputError as error:
        raise FileError(error.text, file=shown_name(arguments.runs), key=error.key) from None
    before, after = solve(line), solve(corrected(line, fit, on=arguments.on))
    if arguments.json:
        return as_json(fit, before, after, on=arguments.on)
    return report(fit, before, after, on=_table(arguments.on, len(line.jumps)), reader=Reader(arguments.units))


def _table(on: str, jumps: int) -> str:
    """The table of the line file whose rolling resistance it is."""
    return "run_in" if on == "run_in" else f"jump[{jumps}].runout"
