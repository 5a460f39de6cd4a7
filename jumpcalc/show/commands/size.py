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
    from pathlib import Path

    import numpy as np

    from jumpcalc.errors import InputError
    from jumpcalc.plan.studies.sizing.ground import laid_out
    from jumpcalc.plan.studies.sizing.propose import SIZES, proposals, trade
    from jumpcalc.plan.studies.sizing.search import search
    from jumpcalc.plan.studies.sizing.why import forbids, not_today
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
    laid, reader = laid_out(read_site(arguments.file)), Reader(arguments.units)
    found, made, others, none, stopped = None, [], [], not_today(laid.site), False
    try:
        if none is None:
            for found in search(laid, np.random.default_rng(arguments.seed)):
                _progress(f"{found.tried} jumps tried, {len(found.front.face)} that nothing beats; Ctrl-C answers with these")
            for one in proposals(laid, found):
                made.append(one)
                _progress(f"{one.size}: confirmed by the full answer")
            for one in trade(laid, found, tuple(made)):
                others.append(one)
            none = None if made else forbids(laid, found)
    except KeyboardInterrupt:
        if found is None:
            raise
        stopped = True
        if not made:  # stopped while it searched: what it has is still to be confirmed
            made += proposals(laid, found)
    lines = [write_line(one.line) for one in made]
    files = []
    if arguments.out is not None and made:
        sheet = drawing(found, made, others, reader, stamp="EXAMPLE" if _is_example(arguments.file) else "")
        content = {f"{one.size}.toml": text for one, text in zip(made, lines, strict=True)} | {"trade.svg": sheet.svg()}
        for name, text in content.items():
            path = Path(arguments.out) / name
            write_whole(path, text.encode("utf-8"), force=arguments.force)
            files.append(shown_name(path))
    if arguments.json:
        told = as_dict(laid.site, found, made, others, lines, none=none, stopped=stopped)
        return json.dumps(told, indent=2, ensure_ascii=False) + "\n"
    example = "EXAMPLE: a bundled site, not yours.\n" if _is_example(arguments.file) else ""
    text = words.report(laid.site, found, made, others, reader, none=none, stopped=stopped, files=files)
    if arguments.lines:
        text += "".join(f"\n# {one.size}\n{line}" for one, line in zip(made, lines, strict=True))
    return example + text


def _progress(text: str) -> None:
    """Tell how far it is, where a person looks on."""
    from jumpcalc.show.terminal import tell

    if sys.stderr is not None and sys.stderr.isatty():
        tell(text)


def _is_example(file: str) -> bool:
    """Whether the ground of a site is a bundled one."""
    from jumpcalc.show.files.examples import FOLDER
    from jumpcalc.show.files.sitefile import read_site

    ground = read_site(file).ground.stakes
    return any(read_site(path).ground.stakes == ground for path in sorted((FOLDER / "sites").glob("*.toml")))
