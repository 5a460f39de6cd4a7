"""The command line: ``jumpcalc solve LINE.toml``, ``jumpcalc compare OLD.toml NEW.toml``, ``jumpcalc card LINE.toml``."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

from jumpcalc.show.terminal import one_line, patience, put, stoppable, tell, to_utf8

__all__ = ["main"]

ANSWERED, BROKEN, REFUSED, STOPPED = 0, 1, 2, 130
"""Exit statuses: an answer; a fault of the program's own; bad input, or an output that cannot be written; Ctrl-C."""


class _Parser(argparse.ArgumentParser):
    """A parser whose refusals are one line, as those of a line file are."""

    def error(self, message: str) -> NoReturn:
        self.exit(REFUSED, one_line(f"{self.prog}: {message}; see {self.prog} --help"))


def _parser() -> argparse.ArgumentParser:
    from jumpcalc.plan.inputs.surfaces import BIKES

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
    solve.add_argument(
        "--tape", action="store_true", help="also how much each measurement's own error moves the speeds; takes a few seconds"
    )
    _add_units(solve, "units of the printed form")
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
        help="kind of bike, given twice: " + ", ".join(f'"{kind}"' for kind in BIKES),
    )
    compare.add_argument("--json", action="store_true", help="print the comparison as JSON (always SI)")
    _add_units(compare, "units of the printed form")
    compare.set_defaults(run=_compare)
    card = commands.add_parser(
        "card",
        help="write the pocket card of a line's first jump",
        description="One A6 page for the pocket: start, speed, roll time, last place to stop and room after, in still "
        "air, headwind and tailwind, on dry and on damp ground.",
    )
    card.add_argument("file", metavar="LINE.toml", help="line file")
    _add_out(card, "card.pdf|card.png", "file to write: PDF or image (PNG)")
    _add_units(card, "units of the card")
    card.set_defaults(run=_card)
    return parser


def _add_units(parser: argparse.ArgumentParser, what: str) -> None:
    parser.add_argument("--units", choices=("metric", "imperial"), default="metric", help=what)


def _add_out(parser: argparse.ArgumentParser, metavar: str, what: str) -> None:
    """The file that a command writes, which is written whole or not at all: see `show.files.whole`."""
    parser.add_argument("--out", metavar=metavar, required=True, help=what)
    parser.add_argument("--force", action="store_true", help="write over a file that is there")


def _solve(arguments: argparse.Namespace) -> str:
    from jumpcalc.plan.solve import solve
    from jumpcalc.plan.studies.measures import measures
    from jumpcalc.show.files.answer_json import as_json
    from jumpcalc.show.files.linefile import read_line
    from jumpcalc.show.words.numbers import Reader
    from jumpcalc.show.words.report import report

    answer = solve(read_line(arguments.file))
    tape = [measures(answer, index) for index in range(len(answer.jumps))] if arguments.tape else []
    return as_json(answer, tape=tape) if arguments.json else report(answer, Reader(arguments.units), tape=tape)


def _compare(arguments: argparse.Namespace) -> str:
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


def _card(arguments: argparse.Namespace) -> str:
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
    content = make(card(line, example=is_example(line.jumps[0])), Reader(arguments.units))
    write_whole(arguments.out, content, force=arguments.force)
    return f"{shown_name(arguments.out)}: the card, made from {shown_name(arguments.file)}\n"


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line.

    Parameters
    ----------
    arguments : sequence of str, optional
        Words after the program's name; those of the process when not given.

    Returns
    -------
    int
        Exit status: 0 with an answer, also when no speed lands clean; 2 for bad input and for an output that cannot be
        written; 130 when it was stopped; 1 for a fault of the program's own. All but the first with one line on
        standard error; only a reader that has left, as ``| head`` does, is told nothing.
    """
    with stoppable() as stopped:
        try:
            return _answered(arguments)
        except BaseException as error:
            # a library that is stopped while it loads may raise something else
            if stopped.is_set() or isinstance(error, KeyboardInterrupt):
                tell("stopped")
                return STOPPED
            if sys.flags.dev_mode or not isinstance(error, Exception):
                raise
            tell(_fault(error))
            return BROKEN


def _answered(arguments: Sequence[str] | None) -> int:
    from jumpcalc.errors import FileError, InputError
    from jumpcalc.show.files.whole import shown_name

    to_utf8()
    try:
        parsed = _parser().parse_args(arguments)
    except SystemExit as told:  # its help, or why the words were refused
        return _printed("") or told.code
    try:
        with patience(f"still working on {shown_name(parsed.file)}; Ctrl-C stops it"):
            text = parsed.run(parsed)
    except FileError as error:
        tell(str(error))
        return REFUSED
    except InputError as error:
        tell(str(FileError(error.text, file=shown_name(parsed.file), key=error.key)))
        return REFUSED
    return _printed(text)


def _printed(text: str) -> int:
    """Print an answer; the exit status says whether all of it was taken."""
    try:
        put(text)
    except BrokenPipeError:
        return REFUSED
    except OSError as error:
        tell(f"standard output: cannot be written: {error.strerror or error}")
        return REFUSED
    return ANSWERED


def _fault(error: Exception) -> str:
    """What is told of an error that nobody foresaw."""
    import traceback

    place = traceback.extract_tb(error.__traceback__)[-1]
    where = f"{type(error).__name__} in {Path(place.filename).name}, row {place.lineno}"
    return f"a fault of jumpcalc: {where}; please report it with the file (python -X dev -m jumpcalc ... shows all of it)"
