"""Line -> Card: what goes into the pocket, the first jump in each wind on dry and on damp ground.

A row is nothing but `solve` of the line with other wind and other ground, so that a card can never
disagree with an answer.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from jumpcalc.plan.answer import Abort, Answer, JumpAnswer, Span, Speeds
from jumpcalc.plan.inputs.declare import declared
from jumpcalc.plan.inputs.line import Line, RunIn, Runout
from jumpcalc.plan.inputs.surfaces import SURFACES
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.day import SEEN
from jumpcalc.plan.vary import vary

__all__ = ["WINDS", "Card", "CardRow", "Damp", "card", "damped"]

WINDS = (("still air", 0.0), ("headwind", -SEEN), ("tailwind", SEEN))
"""Winds of the card and their speed from behind [m/s]."""

_TOWARDS = {
    "hardpack": "loose or fresh dirt",
    "loose or fresh dirt": "wet grass or clay",
    "short grass": "wet grass or clay",
    "gravel": "loose or fresh dirt",
}
"""Damp ground is taken midway between the surface and this one: assumption."""

_WET = "wet grass or clay"


@dataclass(frozen=True, slots=True, kw_only=True)
class Damp:
    """How damp ground is taken for one surface: factors on its rolling resistance and its grip, an assumption."""

    surface: str
    towards: str
    rolling_factor: float
    grip_factor: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CardRow:
    """One wind on one ground: the line as changed, and the first jump's answer to it.

    `ground` is ``"dry"``, ``"damp"`` or, where the line was measured wet, ``"wet"``. What is not known
    is None.
    """

    wind: str
    ground: str
    line: Line
    jump: JumpAnswer

    @property
    def start(self) -> Span | None:
        """Start mark for the aim and its span [m before the foot]."""
        return None if self.jump.run_in is None else self.jump.run_in.span

    @property
    def foot(self) -> Speeds | None:
        """Clean speeds just before the lip [m/s]; those at the edge for a drop."""
        return self.jump.window.foot if self.jump.shape != "drop" else self.jump.window.speeds

    @property
    def roll_time(self) -> float | None:
        """From the aim's mark to the foot [s]."""
        return None if self.jump.run_in is None else self.jump.run_in.roll_times[1]

    @property
    def last_stop(self) -> Abort | None:
        """The last place to stop before the lip."""
        return self.jump.abort

    @property
    def room_after(self) -> float | None:
        """Room left after stopping from the fastest clean landing [m], negative where it is missing."""
        return None if self.jump.stop is None else self.jump.stop.margin


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """The pocket card of a line's first jump.

    `answer` is that of the first jump as the line was given; `fingerprint` that of the whole line,
    `jumps` how many it has. `damp` says how damp ground was taken; it is empty where there are no damp
    rows, because the ground is wet already or of wood.
    """

    answer: Answer
    fingerprint: str
    jumps: int
    example: bool
    rows: tuple[CardRow, ...]
    damp: tuple[Damp, ...]

    @property
    def title(self) -> str:
        """Title of the line."""
        return self.answer.complete.title

    @property
    def measured_on(self) -> str | None:
        """Date as given, None where it was not."""
        return self.answer.line.measured_on

    @property
    def model_date(self) -> str:
        """Cards of models before this date no longer match."""
        return self.answer.model_date

    @property
    def jump(self) -> JumpAnswer:
        """The first jump as the line was given."""
        return self.answer.jumps[0]


def card(line: Line, *, example: bool = False) -> Card:
    """The pocket card of a line's first jump.

    Parameters
    ----------
    line : Line
        As measured.
    example : bool
        Whether it is an example, not the reader's own jump.

    Returns
    -------
    Card
        Rows for still air, headwind and tailwind, first as measured, then on damp ground.

    Raises
    ------
    InputError
        Where inputs contradict each other.
    """
    # what follows the second jump does not change the answer to the first, but takes most of the time
    first = replace(line, jumps=line.jumps[:2])
    known = {first: solve(first)}
    own = tuple(replace(note, jump=None) for note in known[first].warnings if note.jump in (None, 1))
    rows = []
    for ground, on_it in _grounds(first):
        for wind, speed in WINDS:
            changed = _in_wind(on_it, speed)
            if changed not in known:
                known[changed] = solve(changed)
            rows.append(CardRow(wind=wind, ground=ground, line=changed, jump=known[changed].jumps[0]))
    damp = ()
    if any(row.ground == "damp" for row in rows):
        damp = tuple(dict.fromkeys(_damp(_surface(part)) for part in (first.run_in, first.jumps[0].runout)))
    return Card(
        answer=replace(known[first], warnings=own),
        fingerprint=line.fingerprint,
        jumps=len(line.jumps),
        example=example,
        rows=tuple(rows),
        damp=damp,
    )


def damped(ground: RunIn | Runout) -> RunIn | Runout | None:
    """A run-in or a runout when it is damp.

    Parameters
    ----------
    ground : RunIn or Runout
        As measured, taken as dry.

    Returns
    -------
    RunIn or Runout or None
        With more rolling resistance and less grip; None for wood, where nothing can be said, and for
        ground that is wet already.
    """
    surface = _surface(ground)
    damp = _damp(surface)
    if damp is None:
        return None
    values = {}
    for name, factor in (("rolling_resistance", damp.rolling_factor), ("grip", damp.grip_factor)):
        own = getattr(ground, name)
        low, high = declared(type(ground))[name].bounds
        values[name] = min(max((getattr(SURFACES[surface], name) if own is None else own) * factor, low), high)
    # a surface beside both values would set neither and is refused
    return replace(ground, surface=None, **values)


def _surface(ground: RunIn | Runout) -> str:
    """The surface that decides how damp it is taken; with both values given instead, that of the default."""
    return ground.surface or declared(type(ground))["surface"].default


def _damp(surface: str) -> Damp | None:
    """How damp ground of this surface is taken, None where it is not."""
    if surface == "asphalt":
        return Damp(surface=surface, towards="", rolling_factor=1.0, grip_factor=0.8)
    if surface not in _TOWARDS:
        return None
    dry, other = SURFACES[surface], SURFACES[_TOWARDS[surface]]
    return Damp(
        surface=surface,
        towards=_TOWARDS[surface],
        rolling_factor=0.5 * (1 + other.rolling_resistance / dry.rolling_resistance),
        grip_factor=0.5 * (1 + other.grip / dry.grip),
    )


def _grounds(line: Line) -> list[tuple[str, Line]]:
    """The line as measured, and when it is damp where that can be said."""
    jump = line.jumps[0]
    parts: tuple[Any, ...] = (line.run_in, jump.runout)
    if _WET in map(_surface, parts):
        return [("wet", line)]
    run_in, runout = map(damped, parts)
    if run_in is None or runout is None:
        return [("dry", line)]
    return [("dry", line), ("damp", vary(line, {"run_in": run_in, "jump[1].runout": runout}))]


def _in_wind(line: Line, tailwind: float) -> Line:
    """The line in this wind and none from the side; the same line where that is its wind."""
    if ((line.air.tailwind or 0.0), (line.air.crosswind or 0.0)) == (tailwind, 0.0):
        return line
    return vary(line, {"air.tailwind_mps": tailwind, "air.crosswind_mps": 0.0})
