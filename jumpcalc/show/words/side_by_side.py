"""The printed comparison: what changed, then every answer of both side by side, then cautions."""

from __future__ import annotations

from typing import Any

from jumpcalc.plan.studies.compare import ChangedInput, Comparison, Pair
from jumpcalc.show import words
from jumpcalc.show.words import text

__all__ = ["as_dict", "bike_words", "report", "rows"]


def report(comparison: Comparison, *, names: tuple[str, str], units: str = "metric") -> str:
    """Both answers side by side as a person reads them.

    Parameters
    ----------
    comparison : Comparison
        What `compare` gave.
    names : tuple of str
        What the two columns are called.
    units : str
        ``"metric"`` or ``"imperial"``.

    Returns
    -------
    str
        Lines of text, ending with a line break.
    """
    out = ["A model's numbers, not a permit.", ""]
    if comparison.rebuilt:
        out += ["Rebuilt since: old start marks and cards no longer apply.", ""]
    elif any(change.path.startswith("bike.") for change in comparison.changed):
        for said in bike_words(comparison):
            out += [*text.wrapped(said), ""]
    out += text.columns([("what was measured or assumed", *names), *(_input(c, units) for c in comparison.changed)])
    if not comparison.changed:
        out.append("Nothing differs.")
    for number, pairs in enumerate(comparison.jumps, start=1):
        name = comparison.new.jumps[number - 1].name
        out += ["", *text.columns([(f"{name}: the answer", *names), *rows(pairs, units)])]
    if len(comparison.old.jumps) != len(comparison.new.jumps):
        out += ["", f"{names[0]} has {len(comparison.old.jumps)} jumps, {names[1]} {len(comparison.new.jumps)}."]
    out += ["", "Cautions", *text.bullets(words.CAUTIONS)]
    return "\n".join(out) + "\n"


def bike_words(comparison: Comparison) -> list[str]:
    """What a change of bike means for an old start mark, and what is not known about it."""
    kinds = comparison.old.complete.bike.kind, comparison.new.complete.bike.kind
    return [
        f"Your start mark was for the {kinds[0]}; on the {kinds[1]} it is another.",
        "On smooth hard ground a hardtail arrives a little faster and needs less of the run-in (common practice, no "
        "source); on rough ground or grass it may be the other way round: that is not known.",
    ]


def rows(pairs: tuple[Pair, ...], units: str = "metric") -> list[tuple[str, str, str]]:
    """Name and both values of each quantity, in words."""
    return [(pair.name, _said(pair, pair.old, units), _said(pair, pair.new, units)) for pair in pairs]


def as_dict(comparison: Comparison, *, names: tuple[str, str]) -> dict[str, Any]:
    """The comparison for JSON, SI and radians as in the answers it was made from."""
    return {
        "names": list(names),
        "cautions": list(words.CAUTIONS),
        "rebuilt": comparison.rebuilt,
        "fingerprints": [comparison.old.fingerprint, comparison.new.fingerprint],
        "changed": [
            {"key": c.path, "old": _input(c, "metric")[1], "new": _input(c, "metric")[2]} for c in comparison.changed
        ],
        "jumps": [
            [{"name": p.name, "kind": p.kind, "old_si": p.old, "new_si": p.new} for p in pairs]
            for pairs in comparison.jumps
        ],
    }


def _input(change: ChangedInput, units: str) -> tuple[str, str, str]:
    return change.path, *(words.input_value(change.declaration, value, units) for value in (change.old, change.new))


def _said(pair: Pair, value: float | bool | None, units: str) -> str:
    if value is None:
        return "none"
    if pair.kind == "flag":
        return "yes" if value else "no"
    if pair.kind == "count":
        return f"{value}"
    return words.speed(value, units, digits=1) if pair.kind == "speed" else words.length(value, units)
