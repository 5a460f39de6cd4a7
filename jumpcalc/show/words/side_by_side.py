"""The printed comparison: what changed, then every answer of both side by side, then cautions."""

from __future__ import annotations

from typing import Any

from jumpcalc.plan.studies.compare import ChangedInput, Comparison, Pair
from jumpcalc.show.words import inputs, text
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.jump import no_ride
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.said import Words, inward, said

__all__ = ["as_dict", "bike_words", "report", "rows"]

_DIFFERENCES = ("room slower than the aim", "room faster than the aim")  # between rows that are there


def report(comparison: Comparison, reader: Reader = Reader.metric, *, names: tuple[str, str]) -> str:
    """Both answers side by side as a person reads them.

    Parameters
    ----------
    comparison : Comparison
        What `compare` gave.
    reader : Reader
        Who reads it.
    names : tuple of str
        What the two columns are called.

    Returns
    -------
    str
        Lines of text, ending with a line break.
    """
    out = ["A model's numbers, not a permit.", ""]
    if comparison.rebuilt:
        out += ["Rebuilt since: old start marks and cards no longer apply.", ""]
    elif any(change.path.startswith("bike.") for change in comparison.changed):
        for told in bike_words(comparison):
            out += [*text.wrapped(told), ""]
    for name, answer in zip(names, (comparison.old, comparison.new), strict=True):
        for jump in answer.jumps:
            if jump.no_ride is not None:
                out += [*text.wrapped(f"{name}: {reader.text(no_ride(jump))}"), ""]
    changed = [_changed(change) for change in comparison.changed]
    out += text.columns([("what was measured or assumed", *names), *(reader.texts(row) for row in changed)])
    if not comparison.changed:
        out.append("Nothing differs.")
    for number, pairs in enumerate(comparison.jumps, start=1):
        name = comparison.new.jumps[number - 1].name
        out += ["", *text.columns([(f"{name}: the answer", *names), *(reader.texts(row) for row in rows(pairs))])]
    if len(comparison.old.jumps) != len(comparison.new.jumps):
        out += ["", f"{names[0]} has {len(comparison.old.jumps)} jumps, {names[1]} {len(comparison.new.jumps)}."]
    out += ["", "Cautions", *text.bullets(CAUTIONS)]
    return "\n".join(out) + "\n"


def bike_words(comparison: Comparison) -> list[str]:
    """What a change of bike means for an old start mark, and what is not known about it.

    Parameters
    ----------
    comparison : Comparison
        What `compare` gave.

    Returns
    -------
    list of str
        Sentences.
    """
    kinds = comparison.old.complete.bike.kind, comparison.new.complete.bike.kind
    return [
        f"Your start mark was for the {kinds[0]}; on the {kinds[1]} it is another.",
        "On smooth hard ground a hardtail arrives a little faster and needs less of the run-in (common practice, no "
        "source); on rough ground or grass it may be the other way round: that is not known.",
    ]


def rows(pairs: tuple[Pair, ...]) -> list[tuple[Words, Words, Words]]:
    """Name and both values of each quantity, in words.

    Parameters
    ----------
    pairs : tuple of Pair
        Those of one jump.

    Returns
    -------
    list of tuple
        Three cells a row.
    """
    return [(pair.name, _value(pair, pair.old), _value(pair, pair.new)) for pair in pairs if pair.name not in _DIFFERENCES]


def as_dict(comparison: Comparison, *, names: tuple[str, str]) -> dict[str, Any]:
    """The comparison for JSON, SI and radians as in the answers it was made from.

    Parameters
    ----------
    comparison : Comparison
        What `compare` gave.
    names : tuple of str
        What the two are called.

    Returns
    -------
    dict
        Names, cautions, what changed, and the pairs of each jump.
    """
    changed = [Reader.metric.texts(_changed(change)) for change in comparison.changed]
    return {
        "names": list(names),
        "cautions": list(CAUTIONS),
        "rebuilt": comparison.rebuilt,
        "fingerprints": [comparison.old.fingerprint, comparison.new.fingerprint],
        "changed": [{"key": key, "old": old, "new": new} for key, old, new in changed],
        "jumps": [
            [{"name": p.name, "kind": p.kind, "old_si": p.old, "new_si": p.new} for p in pairs]
            for pairs in comparison.jumps
        ],
    }


def _changed(change: ChangedInput) -> list[Words]:
    return [change.path, *(inputs.value(change.declaration, each) for each in (change.old, change.new))]


def _value(pair: Pair, value: float | bool | None) -> Words:
    if value is None:
        return "none"
    if pair.kind == "flag":
        return "yes" if value else "no"
    if pair.kind == "count":
        return f"{value}"
    kind = "drop" if pair.name.endswith("as a drop of") else pair.kind
    return said(f"{{value:{kind}}}", value=inward(pair.name, value))
