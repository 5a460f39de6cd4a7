"""How far a rider's tries lie apart, and the day with them: what odds rest on."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace

from jumpcalc.errors import InputError
from jumpcalc.plan.answer import Answer
from jumpcalc.plan.inputs.line import Line

__all__ = ["RIDERS", "Spread", "Steady", "Taken", "spread_of", "steady"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Standard deviations from one try to the next; each is normal, that of the drag area of its logarithm.

    `speed` at the foot of the lip, as a share of it; `angle` of the lip as built [rad]; `spring` across the lip [m/s] about
    `spring_mean`, which every flight of the line has already; `tailwind` [m/s] about the line's; `drag` area, as a share of
    it; `pitch` of the bike against the landing at touchdown [rad].
    """

    speed: float
    angle: float
    spring_mean: float
    spring: float
    tailwind: float
    drag: float
    pitch: float


RIDERS = {
    "practised": Spread(
        speed=0.03, angle=math.radians(0.5), spring_mean=0.0, spring=0.15, tailwind=0.5, drag=0.1, pitch=math.radians(4)
    ),
    "pedalling": Spread(
        speed=0.05, angle=math.radians(0.5), spring_mean=0.0, spring=0.2, tailwind=0.5, drag=0.1, pitch=math.radians(5)
    ),
    "new": Spread(
        speed=0.08, angle=math.radians(0.5), spring_mean=0.0, spring=0.25, tailwind=0.5, drag=0.1, pitch=math.radians(8)
    ),
}  # fmt: skip
"""Riders by name: one who practised rolling from a mark, one who makes strokes, one who is new to it. All assumptions."""

_GIVEN = {"speed": "speed_sd", "angle": "angle_sd", "spring_mean": "spring_mean", "spring": "spring_sd", "pitch": "pitch_sd"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """A spread, the name of the rider whom it is taken from, and which of its entries the line gives itself."""

    spread: Spread
    rider: str
    given: tuple[str, ...]

    @property
    def assumed(self) -> tuple[str, ...]:
        """The entries that are assumptions."""
        return tuple(f.name for f in fields(self.spread) if f.name not in self.given)


def spread_of(line: Line, rider: str | None = None) -> Taken:
    """The spread that the odds of a line rest on.

    Parameters
    ----------
    line : Line
        As measured; what its `skill` gives is taken from there.
    rider : str, optional
        A name of `RIDERS` for the rest; by the line's strokes when not given.

    Returns
    -------
    Taken
        The spread, and what of it is assumed.

    Raises
    ------
    InputError
        Where there is no such rider.

    Examples
    --------
    >>> from jumpcalc import Jump, Landing, Line, Lip
    >>> landing = Landing.of(gap_m=4, angle_deg=25, length_m=4.5)
    >>> line = Line.of(jump=[Jump(lip=Lip.of(angle_deg=28, radius_m=4), landing=landing)], skill={"speed_sd_percent": 2})
    >>> taken = spread_of(line)
    >>> taken.rider, taken.spread.speed, taken.given
    ('practised', 0.02, ('speed',))
    """
    if rider is None:
        rider = "pedalling" if line.run_in.strokes else "practised"
    if rider not in RIDERS:
        raise InputError(f"{rider}; allowed {', '.join(RIDERS)}", key="rider")
    own = {name: getattr(line.skill, field) for name, field in _GIVEN.items()}
    own = {name: value for name, value in own.items() if value is not None}
    return Taken(spread=replace(RIDERS[rider], **own), rider=rider, given=tuple(own))


@dataclass(frozen=True, slots=True, kw_only=True)
class Steady:
    """The `share` of tries that come to the first jump at a speed that lands clean, and the spread of `taken` that it rests on."""

    share: float
    taken: Taken


def steady(answer: Answer) -> Steady | None:
    """How many tries from the start mark, or at the aim, come at a speed that lands clean.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.

    Returns
    -------
    Steady or None
        None where no speed is given to ride, and where a measured run-in has no mark to start from.

    Notes
    -----
    The normal integral of the speed from the slowest to the fastest clean one. It is the most that odds can be: they count all else
    that differs from try to try.
    """
    jump = answer.jumps[0]
    speeds = jump.window.speeds if jump.shape == "drop" else jump.window.foot
    if speeds is None or jump.no_ride is not None or (jump.run_in is not None and jump.run_in.mark is None):
        return None
    taken, at = spread_of(answer.line), speeds.aim
    if jump.run_in is not None and jump.run_in.from_top:
        at = jump.run_in.lip_speed if jump.shape == "drop" else jump.run_in.foot_speed
    sd = math.sqrt(2) * max(taken.spread.speed * at, 1e-9)
    slow = 0.0 if jump.window.from_rest else 0.5 * math.erfc((at - speeds.min) / sd)
    return Steady(share=1.0 - slow - 0.5 * math.erfc((speeds.max - at) / sd), taken=taken)
