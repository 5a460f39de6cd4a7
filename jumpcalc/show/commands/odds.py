"""``jumpcalc odds LINE.toml``: how often each landing comes about."""

from __future__ import annotations

import argparse

from jumpcalc.show.commands.words import add_file, add_json, add_units, example_mark, number

__all__ = ["add", "run"]

_COSTS = "short,cased,front-long,long,hard"


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Its words for the parser."""
    parser = commands.add_parser(
        "odds",
        help="say how often each landing comes about",
        description="How often a line is landed clean, short or long when speed, lip, spring, wind, posture and pitch differ from try "
        "to try; which of them matters most; and the start that costs least.",
    )
    add_file(parser)
    who = parser.add_mutually_exclusive_group()
    for name, help_ in (
        ("practised", "a rider who has practised rolling from a mark: speed to 3 %%"),
        ("pedalling", "a rider who makes pedal strokes: 5 %%"),
        ("new", "someone new to it: 8 %%"),
    ):
        what = f"{help_}; an assumption, for what the line does not give"
        who.add_argument(f"--{name}", dest="rider", action="store_const", const=name, help=what)
    parser.add_argument("--mark", type=number, metavar="FAR", help="start mark before the foot of the lip, m (ft with --units imperial)")
    parser.add_argument(
        "--want", type=number, metavar="IN_100", help="the smallest change of landing, knuckle or lip that brings so many good tries in 100"
    )
    parser.add_argument("--costs", metavar=_COSTS, help="what each landing that is not good costs, five numbers, such as 10,4,2,5,2")
    parser.add_argument("--seed", type=int, default=0, metavar="NUMBER", help="the same number draws the same tries; 0 when not given")
    add_json(parser, "odds")
    add_units(parser, "units of the printed form, and of --mark")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> str:
    """The odds as text or JSON."""
    import json

    import numpy as np

    from jumpcalc.errors import InputError
    from jumpcalc.plan.solve import solve
    from jumpcalc.plan.studies.best_mark import best_mark, costs_of
    from jumpcalc.plan.studies.odds import odds
    from jumpcalc.plan.studies.smallest import smallest
    from jumpcalc.show.files.linefile import read_line
    from jumpcalc.show.files.odds_json import as_dict
    from jumpcalc.show.words import odds as words
    from jumpcalc.show.words.numbers import Reader
    from jumpcalc.show.words.text import wrapped
    from jumpcalc.units import to_si

    if arguments.seed < 0:
        raise InputError(f"{arguments.seed}; must be 0 or more", key="--seed")
    if arguments.want is not None and not 5 <= arguments.want <= 95:
        raise InputError(f"{arguments.want:g}; allowed 5 to 95: more is promised of nothing", key="--want")
    line, reader = read_line(arguments.file), Reader(arguments.units)
    mark = None if arguments.mark is None else float(to_si(arguments.mark, kind="length", unit=reader.unit("length")))
    answer = solve(line)
    costs = costs_of(answer) if arguments.costs is None else _costs(arguments.costs)
    found = odds(answer, np.random.default_rng(arguments.seed), rider=arguments.rider, mark=mark)
    start = best_mark(answer, np.random.default_rng(arguments.seed), rider=arguments.rider, costs=costs)
    wanted, changed, already = None if arguments.want is None else arguments.want / 100, [], None
    if wanted is not None and found is not None:
        own = found if mark is None else odds(answer, np.random.default_rng(arguments.seed), rider=arguments.rider)
        already = own.all_good.value if own is not None and own.all_good.value >= wanted else None
    if wanted is not None and found is not None and already is None:
        changed += smallest(answer, found, np.random.default_rng(arguments.seed), wanted=wanted, rider=arguments.rider)
    if arguments.json:
        told = as_dict(found, answer, start=start, smallest=None if wanted is None or already is not None else changed)
        return json.dumps(told, indent=2, ensure_ascii=False) + "\n"
    example = example_mark(line)
    if found is None:
        return example + "\n".join(wrapped(reader.text(words.none(answer)))) + "\n"
    return example + words.report(found, answer, reader, start=start, wanted=wanted, smallest=changed, already=already)


def _costs(text: str):
    """Costs from five numbers with commas between."""
    import math

    from jumpcalc.errors import InputError
    from jumpcalc.plan.studies.best_mark import Costs

    try:
        values = [float(part) for part in text.split(",")]
    except ValueError:
        values = []
    if len(values) != 5 or not all(math.isfinite(value) and 0 <= value <= 1e6 for value in values):
        raise InputError(f"{text!r}; must be five numbers from 0 to a million with commas between, {_COSTS}", key="--costs")
    return Costs(**dict(zip(("short", "rear_short", "front_long", "long", "hard"), values, strict=True)))
