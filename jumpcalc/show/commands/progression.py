"""``jumpcalc progression LINE.toml --out FOLDER``: a line in steps, small to large."""

from __future__ import annotations

import argparse

from jumpcalc.show.commands.words import add_file, add_json, add_units, example_mark, number

__all__ = ["add", "run"]

_FEWEST, _MOST = 2, 8


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Its words for the parser."""
    parser = commands.add_parser(
        "progression",
        help="line files small to large whose steps are equal in effort, a table before each gap",
        description="From one line file several, small to large, the last one the line itself: equal steps of the speed at the edge, the "
        "same lip angle, fall of the landing and run-in, no less tolerance. Each is solved and rides clean from a start of this run-in.",
    )
    add_file(parser)
    parser.add_argument("--steps", type=int, default=4, metavar="NUMBER", help=f"how many, {_FEWEST} to {_MOST}; 4 when not given")
    parser.add_argument(
        "--smallest", type=number, default=50.0, metavar="PERCENT", help="gap of the first step, of the line's own; 50 when not given"
    )
    parser.add_argument("--out", metavar="FOLDER", help="folder for the line files step_1_table.toml, step_1.toml and so on")
    parser.add_argument("--force", action="store_true", help="write over files that are there")
    add_json(parser, "steps")
    add_units(parser, "units of the printed form")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> str:
    """The steps as text or JSON; writes their files where asked to."""
    import json
    from pathlib import Path

    from jumpcalc.errors import InputError
    from jumpcalc.plan.studies.progression import Step, progression
    from jumpcalc.show.files.linefile import read_line, write_line
    from jumpcalc.show.files.whole import check_free, folder, shown_name, write_whole
    from jumpcalc.show.words import progression as words
    from jumpcalc.show.words.numbers import Reader

    if not _FEWEST <= arguments.steps <= _MOST:
        raise InputError(f"{arguments.steps}; allowed {_FEWEST} to {_MOST}", key="--steps")
    if not 20 <= arguments.smallest <= 90:
        raise InputError(f"{arguments.smallest:g} %; allowed 20 to 90 %", key="--smallest")
    line = read_line(arguments.file)
    if arguments.out is not None:
        folder(arguments.out)
        for number in range(1, arguments.steps + 1):
            for name in (f"step_{number}_table.toml", f"step_{number}.toml"):
                check_free(Path(arguments.out) / name, force=arguments.force)
    found = list(progression(line, steps=arguments.steps, smallest=arguments.smallest / 100))
    files = []
    if arguments.out is not None:
        for one in found:
            if isinstance(one, Step):
                path = Path(arguments.out) / words.file_name(one)
                write_whole(path, write_line(one.line).encode("utf-8"), force=arguments.force)
                files.append(shown_name(path))
    if arguments.json:
        return json.dumps(words.as_dict(line, found), indent=2, ensure_ascii=False) + "\n"
    return example_mark(line) + words.report(line, found, arguments.steps, Reader(arguments.units), files=files)
