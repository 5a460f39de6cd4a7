"""How fast to leave a bike jump's lip, how far off one may be, how hard it hits, and whether there is room to stop.

Axes and signs, used everywhere: x forward along the course, z up, y to the rider's left; the origin is
the lip edge of the jump in hand. SI units and radians inside. Slopes are positive uphill. Two things
are spoken of the other way round and kept so: a landing's angle is positive downhill, and `drop` is
how far the knuckle lies below the lip edge. Wind along the course is positive from behind, across it
positive towards the rider's left.

Three rooms; imports only go down: `jumpcalc.physics` (nature), `jumpcalc.plan` (jumps),
`jumpcalc.show` (paper and screens).

A first answer::

    from jumpcalc import read_line, solve

    answer = solve(read_line("examples/first_gap.toml"))
    print(answer.jumps[0].window.speeds)  # m/s
"""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from jumpcalc.front import *  # noqa: F403

__version__ = "0.1.0"


def __getattr__(name: str) -> Any:
    """A public name; numpy and scipy are loaded for the first one, so that the command line starts at once."""
    if not name.startswith("__") or name == "__all__":
        import jumpcalc.front as front

        if name == "__all__" or name in front.__all__:
            return getattr(front, name)
    raise AttributeError(f"module 'jumpcalc' has no attribute {name!r}")


def __dir__() -> list[str]:
    import jumpcalc.front as front

    return sorted({*globals(), *front.__all__})
