"""What `solve` gives back: frozen, SI and radians; None is what does not apply or is not known."""

from __future__ import annotations

from dataclasses import dataclass

from jumpcalc.plan.line import Line

__all__ = [
    "Answer",
    "Heights",
    "JumpAnswer",
    "LandingResult",
    "Note",
    "Rollable",
    "Sensitivity",
    "Speeds",
    "Stop",
    "Window",
]

OUTCOMES = ("short", "rear short", "clean", "front long", "long")


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """Something to be said, as a code and its numbers in SI; the words are made where it is shown.

    `values` are pairs of a name and a number or a word; `jump` the number of the jump it is about, from
    1, or None for the whole line.
    """

    code: str
    values: tuple[tuple[str, float | str], ...] = ()
    jump: int | None = None

    def __getitem__(self, name: str) -> float | str:
        return dict(self.values)[name]


@dataclass(frozen=True, slots=True, kw_only=True)
class Speeds:
    """The slowest clean speed, the one to aim at, and the fastest clean one [m/s]."""

    min: float
    aim: float
    max: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """Lip speeds that land clean on one path, and the same speeds at the foot of the lip.

    `speeds` and `foot` are None when nothing lands clean; `why_none` then says why. `limited_by` is ``"face"``, ``"hit"`` or
    ``"40 m/s"``: what ends the window on the fast side.
    """

    speeds: Speeds | None
    foot: Speeds | None
    limited_by: str | None
    why_none: Note | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LandingResult:
    """One touchdown. Places are the wheels' midpoint's, from the lip edge; velocities the rider's.

    `surface` names the ground touched: ``"deck"``, ``"floor"``, ``"wall"``, ``"knuckle"``, ``"face"``,
    ``"exit"``, ``"runout"``, ``"beyond"``, or ``"edge"`` where the bike rolled off rather than flew.
    """

    lip_speed: float
    outcome: str
    surface: str
    x: float
    z: float
    along_face: float | None
    flight: float
    apex: float
    speed: float
    descent: float
    into_ground: float | None
    along_ground: float | None
    equivalent_fall: float | None
    side_drift: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensitivity:
    """How far the landing moves, in the air alone, and the landings of a mistaken speed.

    `per_speed` [m per m/s], `per_angle` [m per rad], `per_wind` [m per m/s of tailwind] at the aim.
    """

    per_speed: float
    per_angle: float
    per_wind: float
    slow_10: LandingResult
    slow_5: LandingResult
    fast_5: LandingResult
    fast_10: LandingResult


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """Stopping from the fastest clean landing; distances [m] along the ground from the touchdown.

    `braking`, `total` and `margin` are None when the bike never stops on the last slope.
    """

    from_speed: float
    reaction: float
    braking: float | None
    total: float | None
    available: float
    margin: float | None
    stops: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Heights:
    """Heights that must close [m]: the lip's above its lowest point, and the runout's start below the foot."""

    lip: float | None
    runout_start_below_foot: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Rollable:
    """Whether the jump can be rolled over slowly, and by which rule."""

    yes: bool
    why: Note


@dataclass(frozen=True, slots=True, kw_only=True)
class JumpAnswer:
    """The answer for one jump.

    `path` is ``"bike"`` or ``"point"``: the one that `window` follows. `sure` holds the slowest and the
    fastest speed that land clean whatever the rider's posture, or None. `why_not_sure` says why there
    is none. `drop_matters` is how far the slowest clean lip speed moves for 0.2 m of drop either way
    [m/s], given only where the drop was assumed. `roll_off` is the speed below which the bike rolls
    off the edge [m/s].
    """

    name: str
    shape: str
    path: str
    window: Window
    point: Window
    sure: tuple[float, float] | None
    sure_foot: tuple[float, float] | None
    why_not_sure: Note | None
    heights: Heights
    rollable: Rollable
    landings: tuple[LandingResult, ...]
    sensitivity: Sensitivity | None
    stop: Stop | None
    why_no_stop: Note | None
    drop_matters: float | None
    roll_off: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """Everything that every output shows of a line.

    `line` is what was given, `complete` the same with its defaults filled in, `assumed` the key paths
    of what was filled in. `warnings` are notes about this line.
    """

    line: Line
    complete: Line
    assumed: tuple[str, ...]
    model_date: str
    fingerprint: str
    density: float
    jumps: tuple[JumpAnswer, ...]
    warnings: tuple[Note, ...] = ()
