"""``jumpcalc log ...``: tries at a jump, written down and learned from."""

from __future__ import annotations

import argparse
from pathlib import Path

from jumpcalc.show.commands.words import add_file, add_json, add_units

__all__ = ["add", "run"]

_BESIDE = (
    "holds no line file with its log beside it; put both into one folder, each line with a log of the same name (first_gap.toml, "
    "first_gap.csv): where the log of a line is kept, jumpcalc log show LINE.toml says"
)


def add(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Its words for the parser."""
    parser = commands.add_parser(
        "log",
        help="write down tries at a jump, and learn from them",
        description="Tries at the first jump of a line, one a row, kept as CSV; what they teach of dirt, wind, lip and rider.",
    )
    actions = parser.add_subparsers(dest="action", required=True, metavar="ACTION")

    one = _action(actions, "add", "write down one try", "Write down one try: jumpcalc log add LINE.toml start_mark_m=32 touched_m=1.2")
    what = "what was seen; --keys lists every key. The date is today's if not given"
    one.add_argument("values", nargs="*", metavar="KEY=VALUE", help=what)
    one.add_argument("--keys", action=_Keys, nargs=0, help="list every key with what it is, and write nothing")

    show = _action(actions, "show", "list the tries, and say where they are kept", "The tries that are kept, and where.")
    add_json(show, "tries")
    add_units(show, "units of the table")

    take = _action(
        actions, "import", "take tries from a table", "Take tries from a spreadsheet saved as CSV: rows that cannot be used are told with "
        "their reason, the others are kept; what is in the log already is not taken twice.",
    )  # fmt: skip
    take.add_argument("table", metavar="TABLE.csv", help="a table with a row of heads: date, start mark (m), touched (m) and so on")

    fit = _action(actions, "fit", "learn from the tries", "What the tries teach, the next start mark, and the line corrected by them.")
    fit.add_argument("--rider", metavar="NAME", help="whose tries; of the rider with the most if not given")
    fit.add_argument("--out", metavar="LINE.toml", help="write the corrected line, whose values say where they come from")
    fit.add_argument("--force", action="store_true", help="write over a file that is there")
    fit.add_argument("--tries", action="store_true", help="also every try held against what was expected")
    add_json(fit, "lesson")
    add_units(fit, "units of the printed form")

    why = _action(
        actions, "why", "why do they keep landing short?", "From several tries: is the same off in all of them or do they scatter, what "
        "would explain it, and what to look at first.",
    )  # fmt: skip
    why.add_argument("--rider", metavar="NAME", help="whose tries; of the rider with the most if not given")
    add_json(why, "answer")
    add_units(why, "units of the printed form")

    pool = actions.add_parser(
        "pool",
        help="what the logs of many lines say together",
        description="A folder of line files, each with its log beside it (first_gap.toml, first_gap.csv): what they say of the model.",
    )
    pool.add_argument("file", metavar="FOLDER", help="folder of line files and logs")
    pool.add_argument("--out", metavar="POOL.csv", help="write the table: a row for each line, without names")
    pool.add_argument("--force", action="store_true", help="write over a file that is there")
    add_json(pool, "summary")
    add_units(pool, "units of the printed form")
    pool.set_defaults(run=run)


class _Keys(argparse.Action):
    """Lists what of a try may be written down, as help is: whatever else is asked for or missing."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from jumpcalc.show.words.tries import keys

        print(keys(), end="")
        parser.exit()


def _action(actions: argparse._SubParsersAction, name: str, help: str, description: str) -> argparse.ArgumentParser:
    """One thing to do with the log of a line."""
    parser = actions.add_parser(name, help=help, description=description)
    add_file(parser)
    parser.add_argument("--log", metavar="FILE.csv", help="where the tries are kept; by default in your data folder, by the line's ground")
    parser.set_defaults(run=run)
    return parser


def run(arguments: argparse.Namespace) -> str:
    """What was asked of the log, as text or JSON."""
    return _ACTIONS[arguments.action](arguments)


def _add(arguments: argparse.Namespace) -> str:
    from dataclasses import replace
    from datetime import date

    from jumpcalc.errors import FileError, InputError
    from jumpcalc.plan.studies.field.doubts import doubts
    from jumpcalc.plan.studies.field.tries import Try
    from jumpcalc.show.files.linefile import read_line
    from jumpcalc.show.files.logs import log_of
    from jumpcalc.show.files.tries_csv import append_tries
    from jumpcalc.show.files.tries_read import given_in_words
    from jumpcalc.show.files.whole import shown_name
    from jumpcalc.show.words.tries import in_words

    line = read_line(arguments.file)
    today = date.today().isoformat()
    values = {"date": today}
    try:
        for word in arguments.values:
            key, equals, value = word.partition("=")
            if not equals:
                raise InputError(f"{word!r}; write each as key=value, such as touched_m=1.2")
            values[key] = value
        one = replace(Try.of(**given_in_words(values)), fingerprint=line.fingerprint)
        told = doubts(line, one, today=today)
    except InputError as error:
        raise FileError(error.text, file="log add", key=error.key) from None
    path = log_of(line, arguments.log)
    append_tries(path, [one])
    return "".join([f"kept in {shown_name(path)}: {in_words(one)}\n", *(f"Look again: {doubt}.\n" for doubt in told)])


def _kept(arguments: argparse.Namespace):
    """The line, where its log is, and what it holds; nothing where there is none yet."""
    from jumpcalc.show.files.linefile import read_line
    from jumpcalc.show.files.logs import log_of
    from jumpcalc.show.files.tries_read import Tries, read_tries

    line = read_line(arguments.file)
    path = log_of(line, arguments.log)
    must = arguments.log and arguments.action not in ("add", "import")
    return line, path, read_tries(path) if must or path.exists() else Tries()


def _show(arguments: argparse.Namespace) -> str:
    from jumpcalc.show.files.whole import shown_name
    from jumpcalc.show.words import tries
    from jumpcalc.show.words.numbers import Reader

    _, path, kept = _kept(arguments)
    name = shown_name(path)
    return tries.as_json(kept, name) if arguments.json else tries.table(kept, name, Reader(arguments.units))


def _import(arguments: argparse.Namespace) -> str:
    from functools import partial

    from jumpcalc.errors import FileError
    from jumpcalc.plan.studies.field.doubts import doubts
    from jumpcalc.show.files.tries_csv import append_tries
    from jumpcalc.show.files.tries_read import new_among, read_tries
    from jumpcalc.show.files.whole import shown_name
    from jumpcalc.show.words.tries import imported, nothing_in

    line, path, kept = _kept(arguments)
    found = read_tries(arguments.table, check=partial(doubts, line))
    if not found.tries:
        raise FileError(nothing_in(found), file=shown_name(arguments.table))
    new = new_among(found.tries, kept.tries)
    if new:
        append_tries(path, new)
    return imported(found, new=len(new), table=shown_name(arguments.table), log=shown_name(path))


def _fit(arguments: argparse.Namespace) -> str:
    from jumpcalc.errors import FileError
    from jumpcalc.plan.studies.field.learn import learn
    from jumpcalc.show.files.corrected_text import corrected_text
    from jumpcalc.show.files.learned_json import learned_json
    from jumpcalc.show.files.whole import check_free, shown_name, write_whole
    from jumpcalc.show.terminal import steps
    from jumpcalc.show.words import lesson
    from jumpcalc.show.words.numbers import Reader

    if arguments.out:
        check_free(arguments.out, force=arguments.force)
        if Path(arguments.out).resolve() == Path(arguments.file).resolve():
            raise FileError("is the line as measured, which stays; give another name", file=shown_name(arguments.out))
    line, path, kept = _kept(arguments)
    with steps("learning") as progress:
        found = learn(line, kept.tries, rider=arguments.rider, progress=progress)
    if arguments.out:
        write_whole(arguments.out, corrected_text(line, found.corrected).encode(), force=arguments.force)
    if arguments.json:
        return learned_json(found)
    wrote = f"{shown_name(arguments.out)}: the line as these tries correct it\n" if arguments.out else ""
    return lesson.report(found, Reader(arguments.units), refused=kept.refused, log=shown_name(path), tries=arguments.tries) + wrote


def _why(arguments: argparse.Namespace) -> str:
    from jumpcalc.plan.studies.field.why import why
    from jumpcalc.show.files.learned_json import why_json
    from jumpcalc.show.words import lesson
    from jumpcalc.show.words.numbers import Reader

    line, _, kept = _kept(arguments)
    found = why(line, kept.tries, rider=arguments.rider)
    return why_json(found) if arguments.json else lesson.why_report(found, line, Reader(arguments.units))


def _pool(arguments: argparse.Namespace) -> str:
    from pathlib import Path

    from jumpcalc.errors import FileError
    from jumpcalc.plan.studies.field.pool import pool
    from jumpcalc.show.files.linefile import read_line
    from jumpcalc.show.files.pool_csv import pool_csv, pool_json
    from jumpcalc.show.files.tries_read import read_tries
    from jumpcalc.show.files.whole import check_free, shown_name, write_whole
    from jumpcalc.show.terminal import steps
    from jumpcalc.show.words import pool as words
    from jumpcalc.show.words.numbers import Reader

    folder = Path(arguments.file)
    if not folder.is_dir():
        raise FileError("not a folder; give one with line files and their logs", file=shown_name(folder))
    files = [path for path in sorted(folder.glob("*.toml")) if path.with_suffix(".csv").exists()]
    if not files:
        raise FileError(_BESIDE, file=shown_name(folder))
    if arguments.out:
        check_free(arguments.out, force=arguments.force)
    lines = [(read_line(path), read_tries(path.with_suffix(".csv")).tries) for path in files]
    with steps("pooling") as progress:
        found = pool(lines, progress=progress)
    if arguments.out:
        write_whole(arguments.out, pool_csv(found), force=arguments.force)
    if arguments.json:
        return pool_json(found)
    wrote = f"{shown_name(arguments.out)}: the table, without names\n" if arguments.out else ""
    return words.report(found, Reader(arguments.units)) + wrote


_ACTIONS = {"add": _add, "show": _show, "import": _import, "fit": _fit, "why": _why, "pool": _pool}
