"""``jumpcalc check LINE.toml``: the speed check before the first lip of a line."""

from __future__ import annotations

import argparse
import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from jumpcalc.show.commands.words import add_file, add_json, add_out, add_units, free_to_write

if TYPE_CHECKING:
    from jumpcalc.plan.studies.field.check import Check
    from jumpcalc.plan.studies.field.kinds import Reading

__all__ = ["add", "run"]

_NO_CHECK = "this line has no speed to check for, and without --measured it is said why"
_WAYS = {
    "hand": "by hand",
    "frames": "filmed",
    "wheelbase": "wheelbase",
    "sensor": "wheel sensor",
    "satellite": "satellite receiver",
    "flight": "flight",
}
"""Ways of measuring in one word each, for a shell."""

_POST = "before_foot_m"

_MEASURED = (
    "what was measured, with its keys, to be put into a sentence; may be given more than once. "
    "hand time_s=0.81 runs=3; frames frames=98 rate=120; wheelbase frames=28 rate=240 before_foot_m=1.5; sensor speed_kmh=34.2; "
    "satellite speed_kmh=34; flight time_s=0.85 along_m=6.2 lower_m=0.4 rate=60. Where cones, post and camera stand and a speed is read is "
    "that of the check, unless length_m, before_foot_m and camera_m say otherwise; of a wheelbase before_foot_m=edge is the edge of the "
    "lip, jumped"
)


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Its words for the parser."""
    parser = commands.add_parser(
        "check",
        help="how to check the speed at the spot before jumping",
        description="Where to set two cones on the run-in, and what is too slow, in the window and too fast by stopwatch, video, wheel "
        "sensor and satellite receiver. The lip is not jumped.",
    )
    add_file(parser)
    parser.add_argument("--measured", action="append", nargs="+", metavar=("WAY", "KEY=VALUE"), default=[], help=_MEASURED)
    add_json(parser, "check")
    add_units(parser, "units of the printed form and of the page")
    add_out(parser, "check.pdf|check.png", "write it on small pages (A6) instead: PDF or image (PNG)", required=False)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> str:
    """The check as text, as JSON or as a page; says where that lies."""
    from jumpcalc.plan.solve import solve
    from jumpcalc.plan.studies.field.check import check
    from jumpcalc.plan.studies.field.readings import measured
    from jumpcalc.show.files.check_json import as_json
    from jumpcalc.show.files.examples import is_example
    from jumpcalc.show.files.linefile import read_line
    from jumpcalc.show.files.whole import shown_name, write_whole
    from jumpcalc.show.paper.check import pages
    from jumpcalc.show.paper.pages import FORMATS
    from jumpcalc.show.words.check_report import report
    from jumpcalc.show.words.numbers import Reader

    suffix = free_to_write(arguments, "a speed check is a .pdf or a .png file", *FORMATS)
    line = read_line(arguments.file)
    found = check(solve(line), example=is_example(line))
    readings = [measured(line, _reading(words, found)) for words in arguments.measured]
    reader = Reader(arguments.units)
    if suffix is not None:
        write_whole(arguments.out, FORMATS[suffix](pages(found, reader)), force=arguments.force)
        return f"{shown_name(arguments.out)}: the speed check, made from {shown_name(arguments.file)}\n"
    return as_json(found, readings=readings) if arguments.json else report(found, reader, readings=readings)


def _reading(words: list[str], found: Check) -> Reading:
    """What was measured, from a way of measuring and its keys."""
    from jumpcalc.errors import InputError
    from jumpcalc.plan.inputs.keys import from_keys
    from jumpcalc.plan.inputs.valid import echo
    from jumpcalc.plan.studies.field.kinds import KINDS

    way, *pairs = words
    if way not in _WAYS:
        raise InputError(f"{echo(way)}; must be {' or '.join(_WAYS)}", key="--measured")
    keys: dict[str, Any] = {}
    for pair in pairs:
        key, equals, value = pair.partition("=")
        if not equals or key in keys:
            raise InputError(f"{echo(pair)}; must be a key and its value, as time_s=0.81, each once", key=f"--measured {way}")
        keys[key] = _value(value)
    kind = KINDS[_WAYS[way]]
    where = _where(kind, keys, found)
    if keys.get(_POST) == "edge":
        if way != "wheelbase":
            told = f"edge; only wheelbase is filmed there, with {way} give the metres before the foot"
            raise InputError(told, key=f"--measured {way} {_POST}")
        del keys[_POST]
    try:
        return from_keys(kind, {**where, **keys})
    except InputError as error:
        # where there is nothing to check for, there is no place either that need not be said
        nowhere = f"; {_NO_CHECK}" if found.why_none is not None and error.text.startswith("not given") else ""
        raise InputError(error.text + nowhere, key=f"--measured {way} {error.key}".rstrip()) from None


def _where(kind: type[Reading], keys: Mapping[str, Any], found: Check) -> dict[str, float]:
    """Where it was measured if that is not said: where the check has it."""
    return {f"{name}_m": value for name, value in found.places(kind).items() if not any(key.startswith(f"{name}_") for key in keys)}


def _value(text: str) -> Any:
    """A value as a line file would have it."""
    if text in ("true", "false"):
        return text == "true"
    if re.fullmatch(r"[+-]?\d*,\d+", text):
        text = text.replace(",", ".")  # a decimal comma
    try:
        return int(text)
    except ValueError:
        pass
    try:
        return float(text)
    except ValueError:
        return text
