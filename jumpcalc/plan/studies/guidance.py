"""What published guidance says beside a jump: rules, what the jump has, and whether it leaves them.

The rules are guidance and not limits of the model; each names its source. From memory where it says so.
"""

from __future__ import annotations

from dataclasses import dataclass

from jumpcalc.plan import limits
from jumpcalc.plan.answer import Answer

__all__ = ["Rule", "guidance"]

@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One rule beside one jump.

    `code` says which rule, `has` and `asks` what the jump has and what the rule asks for, in SI (kind
    `kind`), `keeps` whether it is kept, None where the jump does not say; `source` who says so, `for_bikes`
    whether that was written for bikes.
    """

    code: str
    kind: str
    has: float | None
    asks: float
    keeps: bool | None
    source: str
    for_bikes: bool


def _rule(code: str, limit: limits.Limit, *, has: float | None, asks: float | None = None, keeps: bool | None, kind: str = "") -> Rule:
    """A rule that a limit stands behind; `asks` and `kind` where it asks for more than the limit's own value."""
    return Rule(
        code=code,
        kind=kind or limit.kind,
        has=has,
        asks=limit.value if asks is None else asks,
        keeps=keeps,
        source=limit.source,
        for_bikes=limit.for_bikes,
    )


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
        lip, height = given.lip, jump.heights.lip
        grade, ramp = next(((g, r) for g, r in limits.RAMPS if lip.angle <= r.value + 1e-9), (None, limits.RAMPS[-1][1]))
        code = "ramp steeper than any grade" if grade is None else f"ramp of grade {grade}"
        rules.append(_rule(code, ramp, has=lip.angle, keeps=grade is not None))
        low = height <= limits.ROLLED_HEIGHT.value and jump.rollable.yes
        rules.append(_rule("height", limits.ROLLED_HEIGHT, has=height, keeps=low))
        rules.append(
            _rule(
                "straight of a wheelbase", limits.STRAIGHT, has=lip.straight, asks=wheelbase, kind="length", keeps=lip.straight >= wheelbase
            )
        )
        if speeds is not None:
            asks = limits.SNOW_STRAIGHT.value * speeds.aim
            rules.append(
                _rule("straight of 0.3 s", limits.SNOW_STRAIGHT, has=lip.straight, asks=asks, kind="length", keeps=lip.straight >= asks)
            )
            asks, radius = limits.TRANSITION.value * jump.window.foot.aim**2, lip.radius
            keeps = None if radius is None else radius >= asks
            rules.append(_rule("transition radius", limits.TRANSITION, has=radius, asks=asks, kind="length", keeps=keeps))
    steepest = max(given.lip.angle, given.landing.angle)
    rules.append(_rule("steepness", limits.ROLLED_SLOPE, has=steepest, keeps=steepest < limits.ROLLED_SLOPE.value))
    if given.landing.drop < 0:
        rules.append(_rule("step-up", limits.STEP_UP, has=None, keeps=None))
    side, zone = given.side_clear, limits.FALL_ZONE.value + max(jump.heights.lip or 0.0, given.landing.drop)
    rules.append(_rule("fall zone", limits.FALL_ZONE, has=side, asks=zone, keeps=None if side is None else side >= zone))
    return tuple(rules)
