"""What `solve` gives back: frozen, SI and radians; None is what does not apply or is not known."""

from __future__ import annotations

from dataclasses import dataclass

from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.outcome import Outcome

__all__ = [
    "Abort",
    "Answer",
    "Brake",
    "Carry",
    "Change",
    "Departed",
    "Heights",
    "JumpAlone",
    "JumpAnswer",
    "Jumps",
    "LandingResult",
    "Pitched",
    "Ride",
    "RideStep",
    "Rollable",
    "RunInAnswer",
    "Sensitivity",
    "Span",
    "Speeds",
    "Stop",
    "StrokePlan",
    "WayOut",
    "Window",
]

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
    ``"40 m/s"``: what ends the window on the fast side. `from_rest` says that nothing ends it on the slow side: the foot lies
    so much higher than the edge that even a bike that starts from a standstill there is fast enough.
    """

    speeds: Speeds | None
    foot: Speeds | None
    limited_by: str | None
    why_none: Note | None
    from_rest: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class LandingResult:
    """One touchdown. Places are the wheels' midpoint's, from the lip edge; velocities the rider's.

    `surface` names the ground touched: ``"deck"``, ``"floor"``, ``"wall"``, ``"knuckle"``, ``"face"``,
    ``"exit"``, ``"runout"``, ``"beyond"``, or ``"edge"`` where the bike rolled off rather than flew: then only the lip
    speed and the outcome are known, all else is None.
    """

    lip_speed: float
    outcome: Outcome
    surface: str
    x: float | None
    z: float | None
    along_face: float | None
    flight: float | None
    apex: float | None
    speed: float | None
    descent: float | None
    into_ground: float | None
    along_ground: float | None
    equivalent_fall: float | None
    side_drift: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensitivity:
    """How far the landing moves, in the air alone, and the landings of a mistaken speed.

    `per_speed` [m per m/s], `per_angle` [m per rad that the same departure is turned up about the edge; a lip built steeper also
    loads the bike differently], `per_wind` [m per m/s of tailwind] at the aim.
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
class Span:
    """A start mark [m before the foot] and the marks that plausible dirt, wind and slope put in its place.

    `long` is None where the top of the run-in may not be high enough.
    """

    mark: float
    short: float
    long: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What one change of the conditions does from the same start mark.

    `by` is the change of the lip speed [m/s], None where the rider no longer gets there; `stays` whether
    the lip speed is still in the window.
    """

    code: str
    by: float | None
    stays: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StrokePlan:
    """Pedal strokes: how many the line makes, the fewest from the top for the aim, how many fit the ground.

    `works` is a number of them with which there is a start mark for the aim, from which they fit: those made where there is one,
    None where neither the fewest nor one less are such.
    """

    made: int
    needed: int
    fit: int
    works: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Brake:
    """Where to brake before the foot of the lip, and how hard.

    From `begin` to `end` [m before the foot] with the share `use` of the hardest possible braking, which takes the speed
    from `from_speed` to `to_speed` [m/s]; from there it rolls to the foot with the aim.
    """

    begin: float
    end: float
    use: float
    from_speed: float
    to_speed: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RunInAnswer:
    """The run-in of the first jump. Marks [m] along the ground before the foot of the lip.

    `lip_speed` is that from the start mark as measured, None where the rider does not get there;
    `marks` the start marks for min, aim and max, each None where the run-in is too short for it; `missing`
    how much lip speed the top leaves short of the aim [m/s], `from_top` whether it is one to start from all the same: it lands
    clean whatever the rider does at the lip, with `limits.ROOM_KEPT` of the aim's room left; `higher` how much further up [m] the aim has
    a start where the ground goes on as it begins, None where not within reach; `too_fast` how much the start mark as
    measured is above the fastest clean one. `roll_times` [s] from those marks to the foot. `slow_time`
    and `fast_time` bound the stopwatch readings [s] from the aim's mark that mean "in the window", None
    where a stopwatch cannot tell. `brake` is how to come down to the aim where the start mark as measured is too
    fast. `lip_load` [g] is the greatest load of the ground up to the edge. `beware` says where the wheels leave the ground on the
    way from the start.
    """

    length: float
    lip_speed: float | None
    foot_speed: float | None
    halts_at: float | None
    marks: tuple[float | None, float | None, float | None]
    roll_times: tuple[float | None, float | None, float | None]
    span: Span | None
    strokes: StrokePlan | None
    missing: float | None
    from_top: bool
    higher: float | None
    too_fast: float | None
    slow_time: float | None
    fast_time: float | None
    brake: Brake | None
    changes: tuple[Change, ...]
    lip_load: float | None
    arc_load: float | None
    beware: tuple[Note, ...] = ()

    @property
    def mark(self) -> float | None:
        """Where to start [m before the foot]: the aim's mark, else the top where it is one to start from."""
        return self.length if self.from_top else self.marks[1]

    @property
    def short_of_aim(self) -> float | None:
        """How much lip speed is missing [m/s] where there is no start that gives the aim, nor one nearly as good."""
        return None if self.from_top else self.missing


@dataclass(frozen=True, slots=True, kw_only=True)
class Abort:
    """The last place on the run-in to decide to stop before the lip, riding for the aim.

    `last` [m before the foot], `speed` there [m/s], `foot_speed` that of the aim; None where it does not
    exist.
    """

    exists: bool
    last: float | None
    speed: float | None
    foot_speed: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Carry:
    """From one jump to the next: the lip speeds of the first that carry to a clean second.

    `speeds` is None when none does; `share` the part of the first one's window; `arrives` the next lip
    speed for min and max of the first, `from_aim` the one for its aim, None where the rider does not get
    there; `strokes` what the aim of the first needs to reach the aim of the next, `fit` how many the ground
    between takes, `brake` the lip speed [m/s] to brake off instead.
    """

    speeds: tuple[float, float] | None
    share: float
    arrives: tuple[float | None, float | None]
    from_aim: float | None
    strokes: int
    fit: int
    brake: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RideStep:
    """One jump of the ride from the start mark: speeds at its foot and edge [m/s], and its landing."""

    foot_speed: float
    lip_speed: float
    landing: LandingResult


@dataclass(frozen=True, slots=True, kw_only=True)
class Ride:
    """One run from the start mark through the line, as far as its landings are clean; `ended_by` says what ends it.

    `window` holds the start marks [m before the first foot] from which all jumps land clean, `tight` the
    number of the jump that ends it on the slow and on the fast side; `why_none` says why there is none. `lip_speeds` are those
    of the first jump [m/s] from which all land clean, whether or not a start mark gives them.
    """

    steps: tuple[RideStep, ...]
    ended_by: Note | None
    window: tuple[float, float] | None
    tight: tuple[int, int] | None
    why_none: Note | None
    carries: tuple[Carry | None, ...]
    lip_speeds: tuple[float, float] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Departed:
    """How the bike leaves the edge.

    `load` is the greatest load on the lip with both wheels on it, in multiples of gravity, at the aim, `greatest_load`
    at the fastest clean speed. `lifts` names the wheel that lifts before the edge at a clean speed, `lift_before` how far
    before it [m]; None where none does. At the aim, as the rear wheel leaves: `pitch` of the bike [rad, nose up] and its
    `rate` [rad/s], and `dip` [rad] by which it lies below the ground's slope at the edge; `wanted_rate` [rad/s] would set the
    wheels down parallel to the landing, `passive_pitch` [rad] is what a rider who does nothing has at touchdown.
    """

    load: float
    greatest_load: float
    lifts: str | None
    lift_before: float | None
    pitch: float
    rate: float
    wanted_rate: float
    passive_pitch: float
    dip: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Pitched:
    """What 10° of pitch cost at the aim, along the landing [m].

    `rear_earlier` is how much earlier the rear wheel comes down nose-up, `front_earlier` the front wheel nose-down;
    `rear_on_knuckle` whether the rear one then comes down before the knuckle.
    """

    rear_earlier: float
    front_earlier: float
    rear_on_knuckle: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOut:
    """Between this jump and the next, where nobody stops: whether one can leave to the side before the next.

    `way_round` is whether there is a way round the next jump, None where that is not said; `side_clear` the clear ground on
    each side of it [m], None where it is not measured.
    """

    way_round: bool | None
    side_clear: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class JumpAlone:
    """The answer for one jump by itself: nothing of its run-in.

    `path` is ``"bike"`` or ``"point"``: the one that `window` follows; of a drop the bike rolls off, the point is
    carried. `sure` holds the slowest and the fastest speed that land clean whether the rider squashes the lip, rides it
    stiffly or springs off it (off a drop: rolls off or carries), or None; `why_not_sure` says why there is none.
    `drop_matters` is how far the slowest clean lip speed moves for 0.2 m of drop either way [m/s], given only where the
    drop was assumed. `moves` is how much shorter squashing the lip lands at the aim and how much further springing off
    it [m], None for a drop; `clean_from` is where down the face clean landings begin [m].
    `point_lands_longer` is how much further the textbook's point would land from the aim's speed before the lip [m].
    `way_out` is None for the last jump of a line: only there does the room to stop end the ride.
    `unchecked` says what of it lies outside what was checked, `no_ride` why no speed to ride is given at all. `beware` is what
    must be known first besides; from `side_wind` [m/s] across the course on the jump is not for today, None where there is no
    window.
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
    way_out: WayOut | None
    drop_matters: float | None
    moves: tuple[float, float] | None
    clean_from: float
    departed: Departed | None
    pitched: Pitched | None
    point_lands_longer: float | None
    unchecked: tuple[Note, ...]
    no_ride: Note | None
    beware: tuple[Note, ...]
    side_wind: float | None

    @property
    def must_be_carried(self) -> bool:
        """Whether the jump is a drop that is only for someone who carries the front."""
        return any(of.code is Code.THE_FRONT_MUST_BE_CARRIED for of in self.beware)


@dataclass(frozen=True, slots=True, kw_only=True)
class JumpAnswer(JumpAlone):
    """The answer for one jump in its line; of the first one with its run-in where that was measured."""

    run_in: RunInAnswer | None
    abort: Abort | None


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Jumps:
    """The jumps of a line each by itself: no run-in, no ride.

    `line` is what was given, `complete` the same with its defaults filled in, `assumed` the key paths
    of what was filled in. `warnings` are notes about this line.
    """

    line: Line
    complete: Line
    assumed: tuple[str, ...]
    model_date: str
    fingerprint: str
    density: float
    jumps: tuple[JumpAlone, ...]
    warnings: tuple[Note, ...] = ()

    def __repr__(self) -> str:
        spans = [jump.window.speeds for jump in self.jumps]
        clean = ", ".join("none clean" if span is None else f"{span.min:.4g} to {span.max:.4g} m/s" for span in spans)
        return f"{type(self).__name__}({self.line!r}, {clean})"


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Answer(Jumps):
    """Everything that every output shows of a line; `ride` is None where the run-in was not measured."""

    jumps: tuple[JumpAnswer, ...]
    ride: Ride | None
