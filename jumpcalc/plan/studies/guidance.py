"""What published guidance says beside a jump: rules, what the jump has, and whether it leaves them.

The rules are guidance and not limits of the model; each names its source. From memory where it says so.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from jumpcalc.plan.answer import Answer

__all__ = ["Rule", "guidance"]

_GRADES = ((2, 20), (3, 25), (4, 30), (5, 35))  # grade, steepest ramp in degrees


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One rule beside one jump.

    `code` says which rule, `has` and `asks` what the jump has and what the rule asks for, in SI (kind
    `kind`), `keeps` whether it is kept, None where the jump does not say; `source` who says so.
    """

    code: str
    kind: str
    has: float | None
    asks: float
    keeps: bool | None
    source: str


_NZ = "Recreation Aotearoa, Mountain Bike Trail Design & Construction Guidelines (2023)"
_IMBA = "IMBA flow trails"
_QUEBEC = "municipal bike-park guide, Quebec"
_SNOW = "U.S. snow-park criteria, from memory; not made for bikes"
_NORDIC = "Nordic ski-jump norm, from memory; not made for bikes"


def guidance(answer: Answer, index: int) -> tuple[Rule, ...]:
    """Published rules beside one jump of an answer.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    index : int
        Which jump, from 0.

    Returns
    -------
    tuple of Rule
        The rules that apply to its shape.

    Notes
    -----
    Straight face: at least one wheelbase (about 1.4 m), or 0.3 s at the speed of the aim; the two part at
    about 17 km/h. Transition radius 0.14 v². Fall zone: 2 m plus the height of the riding surface.
    """
    jump, given = answer.jumps[index], answer.complete.jumps[index]
    wheelbase = answer.complete.bike.wheelbase
    speeds = jump.window.speeds
    rules = []
    if jump.shape != "drop":
        grade = next((g for g, steepest in _GRADES if math.degrees(given.lip.angle) <= steepest + 1e-9), None)
        allowed = math.radians(_GRADES[-1][1] if grade is None else dict(_GRADES)[grade])
        code = "ramp steeper than any grade" if grade is None else f"ramp of grade {grade}"
        rules.append(Rule(code=code, kind="angle", has=given.lip.angle, asks=allowed, keeps=grade is not None, source=_NZ))
        height = jump.heights.lip
        low = height <= 1.0
        rules.append(Rule(code="height", kind="length", has=height, asks=1.0, keeps=low and jump.rollable.yes, source=_IMBA))
        straight = given.lip.straight
        rules.append(
            Rule(code="straight of a wheelbase", kind="length", has=straight, asks=wheelbase, keeps=straight >= wheelbase, source=_NZ)
        )
        if speeds is not None:
            asks = 0.3 * speeds.aim
            rules.append(
                Rule(code="straight of 0.3 s", kind="length", has=straight, asks=asks, keeps=straight >= asks, source=_SNOW)
            )
            asks = 0.14 * jump.window.foot.aim**2
            radius = given.lip.radius
            rules.append(
                Rule(
                    code="transition radius", kind="length", has=radius, asks=asks,
                    keeps=None if radius is None else radius >= asks, source=_NORDIC,
                )
            )
    steepest = max(given.lip.angle, given.landing.angle)
    rules.append(
        Rule(code="steepness", kind="angle", has=steepest, asks=math.radians(45), keeps=steepest < math.radians(45), source=_IMBA)
    )
    if given.landing.drop < 0:
        rules.append(
            Rule(code="step-up", kind="angle", has=None, asks=math.radians(5), keeps=None, source=_NZ)
        )
    height = max(jump.heights.lip or 0.0, given.landing.drop)
    zone = 2.0 + height
    side = given.side_clear
    rules.append(
        Rule(
            code="fall zone", kind="length", has=side, asks=zone, keeps=None if side is None else side >= zone, source=_QUEBEC
        )
    )
    return tuple(rules)
