"""``jumpcalc size SITE.toml``: which jump fits a hill and its riders."""

from __future__ import annotations

import argparse
import sys

from jumpcalc.show.commands.words import add_json, add_units

__all__ = ["add", "run"]


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Its words for the parser."""
    parser = commands.add_parser(
        "size",
        help="propose jumps that fit a site and its riders",
        description="Three jumps of one shape, small, middle and large, that fit the ground as it lies, the riders and the limits "
        "of a site file, each confirmed by the full answer; then what more tolerance, size, dirt and room cost one another. Ctrl-C "
        "stops the search and answers with what it has.",
    )
    parser.add_argument("file", metavar="SITE.toml", help="site file: the ground as stakes, riders, limits, what is wanted")
    parser.add_argument("--out", metavar="DIR", help="folder for the line files small.toml, middle.toml, large.toml and trade.svg")
    parser.add_argument("--force", action="store_true", help="write over files that are there")
    parser.add_argument("--lines", action="store_true", help="print the line files too")
    parser.add_argument("--seed", type=int, default=0, metavar="NUMBER", help="the same number tries the same jumps; 0 when not given")
    add_json(parser, "proposals")
    add_units(parser, "units of the printed form and of the drawing")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> str:
    """The proposals as text or JSON; writes them where asked to."""
    import json
    from dataclasses import replace
    from pathlib import Path

    import numpy as np

    from jumpcalc.errors import InputError
    from jumpcalc.plan.studies.sizing.ground import laid_out
    from jumpcalc.plan.studies.sizing.propose import SIZES, proposals
    from jumpcalc.plan.studies.sizing.whole import sized
    from jumpcalc.show.files.examples import is_example_site
    from jumpcalc.show.files.linefile import write_line
    from jumpcalc.show.files.sitefile import read_site
    from jumpcalc.show.files.sizing_json import as_dict
    from jumpcalc.show.files.whole import check_free, folder, shown_name, write_whole
    from jumpcalc.show.paper.trade import trade as drawing
    from jumpcalc.show.words import sizing as words
    from jumpcalc.show.words.numbers import Reader

    if arguments.seed < 0:
        raise InputError(f"{arguments.seed}; must be 0 or more", key="--seed")
    if arguments.out is not None:
        folder(arguments.out)
        for name in (*(f"{size}.toml" for size in SIZES), "trade.svg"):
            check_free(Path(arguments.out) / name, force=arguments.force)
    site, reader, now = read_site(arguments.file), Reader(arguments.units), None
    try:
        for now in sized(site, np.random.default_rng(arguments.seed)):
            if not now.done:
                _progress(f"{words.progress(now)}; Ctrl-C answers with what there is")
    except KeyboardInterrupt:
        if now is None:
            raise
        # what it has is still to be confirmed where it was stopped while it searched
        made = now.made or tuple(proposals(laid_out(site), now.found))
        now = replace(now, made=made, stopped=True, done=True)
    lines = [write_line(one.line) for one in now.made]
    files = []
    if arguments.out is not None and now.made:
        sheet = drawing(now, reader, stamp="EXAMPLE" if is_example_site(site) else "")
        content = {f"{one.size}.toml": text for one, text in zip(now.made, lines, strict=True)} | {"trade.svg": sheet.svg()}
        for name, text in content.items():
            path = Path(arguments.out) / name
            write_whole(path, text.encode("utf-8"), force=arguments.force)
            files.append(shown_name(path))
    if arguments.json:
        return json.dumps(as_dict(now, lines), indent=2, ensure_ascii=False) + "\n"
    example = "EXAMPLE: a bundled site, not yours.\n" if is_example_site(site) else ""
    text = words.report(now, reader, files=files)
    if arguments.lines:
        text += "".join(f"\n# {one.size}\n{line}" for one, line in zip(now.made, lines, strict=True))
    return example + text


def _progress(text: str) -> None:
    """Tell how far it is, where a person looks on."""
    from jumpcalc.show.terminal import tell

    if sys.stderr is not None and sys.stderr.isatty():
        tell(text)
