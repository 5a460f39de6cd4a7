"""Line -> Card: what goes into the pocket, the line in each wind on dry and on damp ground.

A row is nothing but `solve` of the line with other wind and other ground, so that a card can never
disagree with an answer.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from jumpcalc.plan.answer import Answer
from jumpcalc.plan.ask.ride import run_on
from jumpcalc.plan.inputs.declare import declared
from jumpcalc.plan.inputs.dug import RunIn, Runout
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.surfaces import SURFACES
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.day import SEEN
from jumpcalc.plan.studies.rideable import NOT_AT_ALL, Marks, Refused, marks, refused
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import vary
from jumpcalc.plan.views.side import SideView, side_view

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Damp:
    """How damp ground is taken for one surface: factors on its rolling resistance and its grip, an assumption."""

    surface: str
    towards: str
    rolling_factor: float
    grip_factor: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CardRow:
    """One wind on one ground: the line's answer to it, why it is none to ride by, and the start marks that ride all of it clean.

    `ground` is ``"dry"`` or ``"damp"``. `arrives` holds the speed at the foot of each jump [m/s] when started at the mark, as far as
    the ride gets.
    """

    wind: str
    ground: str
    answer: Answer
    refused: Refused | None
    marks: Marks | None
    arrives: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """The pocket card of a line.

    `answer` is that of the line as it was given, `views` its jumps from the side. `refused` is why there is nothing to ride by at
    all; there are no rows then. `damp` says how damp ground was taken; it is empty where there are no damp rows.
    """

    answer: Answer
    views: tuple[SideView, ...]
    example: bool
    refused: Refused | None
    rows: tuple[CardRow, ...]
    damp: tuple[Damp, ...]

    @property
    def title(self) -> str:
        """Title of the line."""
        return self.answer.complete.title


def card(line: Line, *, example: bool = False) -> Card:
    """The pocket card of a line.

    Parameters
    ----------
    line : Line
        As measured.
    example : bool
        Whether it is an example, not the reader's own line.

    Returns
    -------
    Card
        Rows for still air, headwind and tailwind, first as measured, then on damp ground; none on a day, or for a line, that is none
        to ride on.

    Raises
    ------
    InputError
        Where inputs contradict each other.
    """
    answer = solve(line)
    known = {line: answer}
    why = refused(answer)
    why = why if why is not None and why.why in NOT_AT_ALL else None
    rows = []
    for ground, on_it in [] if why is not None else _grounds(line):
        for wind, speed in WINDS:
            changed = _in_wind(on_it, speed)
            if changed not in known:
                known[changed] = solve(changed)
            rows.append(_row(wind, ground, known[changed]))
    damp = ()
    if any(row.ground == "damp" for row in rows):
        damp = tuple(dict.fromkeys(_damp(_surface(part)) for part in (line.run_in, *(jump.runout for jump in line.jumps))))
    return Card(
        answer=answer,
        views=tuple(side_view(answer, index) for index in range(len(answer.jumps))),
        example=example,
        refused=why,
        rows=tuple(rows),
        damp=damp,
    )


def _row(wind: str, ground: str, answer: Answer) -> CardRow:
    """A row, with the ride from its mark."""
    found = marks(answer)
    arrives: tuple[float, ...] = ()
    if found is not None:
        steps, _ = run_on(prepare(answer.line).jumps, found.foot[1], found.edge[1])
        arrives = tuple(step.foot_speed for step in steps)
    return CardRow(wind=wind, ground=ground, answer=answer, refused=refused(answer), marks=found, arrives=arrives)


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
    parts: tuple[RunIn | Runout, ...] = (line.run_in, *(jump.runout for jump in line.jumps))
    damp = tuple(map(damped, parts))
    if None in damp:
        return [("dry", line)]
    paths = ("run_in", *(f"jump[{number}].runout" for number in range(1, len(parts))))
    return [("dry", line), ("damp", vary(line, dict(zip(paths, damp, strict=True))))]


def _in_wind(line: Line, tailwind: float) -> Line:
    """The line in this wind and none from the side; the same line where that is its wind."""
    if ((line.air.tailwind or 0.0), (line.air.crosswind or 0.0)) == (tailwind, 0.0):
        return line
    return vary(line, {"air.tailwind_mps": tailwind, "air.crosswind_mps": 0.0})
