"""The printed answer: one sentence, a short table, then what is tight, assumed or missing, then cautions."""

from __future__ import annotations

from collections.abc import Iterable

from jumpcalc.plan.answer import Answer, JumpAnswer, LandingResult
from jumpcalc.show import words
from jumpcalc.show.words import text

__all__ = ["report"]


def report(answer: Answer, *, units: str = "metric") -> str:
    """The answer as a person reads it.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    units : str
        ``"metric"`` or ``"imperial"``.

    Returns
    -------
    str
        Lines of text, ending with a line break.
    """
    line = answer.complete
    from_where = ", ".join(
        part for part in (line.place, line.measured_on and f"measured {line.measured_on}", line.measured_by) if part
    )
    out = [f"{line.title}{f' ({from_where})' if from_where else ''}", "A model's numbers, not a permit.", ""]
    for index in range(len(answer.jumps)):
        out += _jump(answer, index, units)
    ride = words.ride_words(answer, units)
    if ride:
        out += ["The line as one ride", *_section(ride)]
    if answer.warnings:
        out.append("Look at")
        out += _section(words.sentence(words.note(said, units, jumps=len(answer.jumps))) for said in answer.warnings)
    out.append("Assumed, not measured")
    # a value stays on the line of its key
    named = [f"{path} {value}".replace(" ", text.HARD_SPACE) for path, value, _ in words.assumed(answer, units)]
    out += _section([", ".join(named) or "nothing"])
    out.append("Cautions")
    out += _section(words.CAUTIONS)
    out.append(f"Ground {answer.fingerprint}, model of {answer.model_date}.")
    return "\n".join(out) + "\n"


def _jump(answer: Answer, index: int, units: str) -> list[str]:
    jump = answer.jumps[index]
    out = [*text.wrapped(words.headline(jump, units)), ""]
    if len(answer.jumps) > 1:
        out = [f"{index + 1}  {jump.name}", *out]
    if jump.landings:
        out += [*_table(jump, units), ""]
    sections = {
        "The landing": [
            *words.window_words(jump, units),
            _short_words(jump, units),
            "The fall height is for wheels set down on the ground, not for a fall." if jump.landings else "",
        ],
        "Where to start": [*words.start_words(jump, units), words.changes_words(jump, units)] if index == 0 else [],
        "Can I stop instead?": [
            words.abort_words(jump, units),
            words.stop_words(jump, units),
            "Brakes, grip and reaction are assumed unless the line gives them." if jump.stop is not None else "",
        ],
        "The ground": [words.rolled_words(jump, units), words.heights_words(jump, units)],
    }
    for head, said in sections.items():
        said = [sentence for sentence in said if sentence]
        out += [head, *_section(said)] if said else []
    return out


def _short_words(jump: JumpAnswer, units: str) -> str:
    """What a tenth too slow does, and what a hit on the knuckle is."""
    if jump.sensitivity is None:
        return ""
    slow, fast = jump.sensitivity.slow_10, jump.sensitivity.fast_10
    wall = " A case on a gap is a hit on a wall." if jump.shape == "gap" and slow.outcome != "clean" else ""
    return (
        f"A tenth slower at the edge: {words.outcome(slow, jump.shape)}{_hit(slow, units)}. "
        f"A tenth faster: {words.outcome(fast, jump.shape)}{_hit(fast, units)}.{wall}"
    )


def _hit(landing: LandingResult, units: str) -> str:
    return "" if landing.equivalent_fall is None else f", {words.fall(landing.equivalent_fall, units)}"


def _table(jump: JumpAnswer, units: str) -> list[str]:
    """Slowest, aim and fastest: speeds, landing and hit."""
    names = ("slowest clean", "aim", "fastest clean")
    foot = jump.window.foot
    head = ("", "before the lip", "at the edge", "lands at", "down the face", "in the air", "hits as a drop of")
    if jump.shape == "drop":
        head = (head[0], *head[2:])
    rows = [head]
    for name, before, landing in zip(names, (foot.min, foot.aim, foot.max), jump.landings, strict=True):
        cells = [
            name,
            words.speed(before, units, digits=1),
            words.speed(landing.lip_speed, units, digits=1),
            words.length(landing.x, units),
            words.length(landing.along_face, units),
            f"{landing.flight:.2f} s",
            words.drop_height(landing.equivalent_fall, units),
        ]
        rows.append(tuple(cells if jump.shape != "drop" else [cells[0], *cells[2:]]))
    return text.columns(rows)


def _section(items: Iterable[str]) -> list[str]:
    return [*text.bullets(items), ""]
