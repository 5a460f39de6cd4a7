"""What can be measured at the spot: each way of measuring a table of its own, with what it was and how far off it may be.

Places are counted along the ground before the foot of the lip, as start marks are. All errors are standard uncertainties;
of bounds ±a within which anything is as likely, a/√3 (JCGM 100:2008, 4.3.7).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from jumpcalc.plan import limits
from jumpcalc.plan.inputs.declare import quantity
from jumpcalc.plan.inputs.keys import Table
from jumpcalc.plan.inputs.valid import checked

__all__ = ["BOUND", "KINDS", "Airtime", "Filmed", "Passing", "Reading", "Receiver", "Sensor", "Timed", "frame_timing"]

BOUND = 1 / math.sqrt(3)
"""Standard uncertainty of a bound of 1 either way."""

_MIDDLE = 1.0  # m either way, where along the run-in a number was read off a display: assumption
_OFF_LINE = 0.3  # m either way, how far beside the line of the cones a bike rides: assumption
_WHEELBASE = 0.01  # m either way, by tape
_TURN = math.radians(10)  # either way, how a bike lies in the air as its rear wheel touches: assumption
_LAG = 0.5  # s, of a receiver that tells once a second, and as much either way
_ON_A_BIKE = 0.44  # m/s, with which 64 in 100 readings lie within 0.4 m/s, as was found on bicycles


def frame_timing(rate: float) -> float:
    """Standard uncertainty of a time between two frames of a video.

    Parameters
    ----------
    rate : float
        Frames a second.

    Returns
    -------
    float
        1/(rate √6) [s]: each end lies anywhere within one frame.

    Examples
    --------
    >>> round(frame_timing(60) * 1e3, 1)
    6.8
    """
    return 1 / (rate * math.sqrt(6))


def _tape(length: float) -> float:
    """Standard uncertainty of a length by tape [m]."""
    return max(limits.TAPE.value, limits.TAPE_SHARE.value * length) * BOUND


class Reading(Table):
    """Something measured. `errors` are its own: what they are called and their standard uncertainty in SI."""

    __slots__ = ()
    word: ClassVar[str]

    @property
    def errors(self) -> dict[str, float]:
        raise NotImplementedError


_LENGTH = quantity(
    "length", 0.3, 200, required=True, label="Length of the stretch", help="From the first cone to the second, along the ground."
)
_ENDS = quantity(
    "length", 0, 500, required=True, label="The second cone stands before the foot by",
    help="Distance along the ground from the second cone to the foot of the lip; of a drop, to its edge.",
)  # fmt: skip
_READ_AT = quantity(
    "length", 0, 500, required=True, label="Read before the foot by",
    help="Distance along the ground from where the speed was read to the foot of the lip; of a drop, to its edge.",
)  # fmt: skip
_RATE = quantity("number", 10, 2000, required=True, label="Frames a second", help="Of the video: 30, 60, 120 or 240 as a rule.")
_SPEED = quantity("speed", 1, 120, required=True, label="Speed shown", help="What it shows.")


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Timed(Reading):
    """Seconds by hand between two cones, as the front wheel passes them: one time, or the mean of several runs."""

    word: ClassVar[str] = "by hand"
    length: float = _LENGTH
    before_foot: float = _ENDS
    time: float = quantity("time", 0.05, 200, required=True, label="Time", help="By stopwatch; of several runs their mean.")
    runs: int | None = quantity("count", 1, 100, default=1, label="Mean of so many runs", help="Each timed from start to stop.")

    __post_init__ = checked

    @property
    def errors(self) -> dict[str, float]:
        return {
            "timing": limits.HAND_TIMING.value / math.sqrt(self.runs or 1),
            "length": _tape(self.length),
            "place": _tape(self.before_foot),
        }


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Filmed(Reading):
    """Frames of a video between two cones, as the front wheel passes them.

    Seen from one camera, a bike that rides beside the line of the cones passes more or less than their distance.
    """

    word: ClassVar[str] = "filmed"
    length: float = _LENGTH
    before_foot: float = _ENDS
    frames: float = quantity("number", 1, 20000, required=True, label="Frames", help="From the front wheel at one cone to the other.")
    rate: float = _RATE
    camera: float | None = quantity(
        "length", 1, 200, default=10, label="Camera to the line of the cones", help="Level distance, opposite to the middle of the stretch."
    )

    __post_init__ = checked

    @property
    def time(self) -> float:
        return self.frames / self.rate

    @property
    def errors(self) -> dict[str, float]:
        return {
            "timing": frame_timing(self.rate),
            "length": _tape(self.length),
            "place": _tape(self.before_foot),
            "camera": self.length * _OFF_LINE / (self.camera or 10.0) * BOUND,
        }


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Passing(Reading):
    """Frames in which a bike passes its own wheelbase: from the front axle to the rear one at a post, or at the edge of the lip."""

    word: ClassVar[str] = "wheelbase"
    frames: float = quantity("number", 1, 20000, required=True, label="Frames", help="From the front axle at the post to the rear one.")
    rate: float = _RATE
    before_foot: float | None = quantity(
        "length", 0, 500, default_words="at the edge of the lip", label="The post stands before the foot by",
        help="Distance along the ground from the post to the foot of the lip, at least half a wheelbase; not given, the post is "
        "the edge of the lip, and the bike jumps it.",
    )  # fmt: skip

    __post_init__ = checked

    @property
    def time(self) -> float:
        return self.frames / self.rate

    @property
    def errors(self) -> dict[str, float]:
        place = {} if self.before_foot is None else {"place": _tape(self.before_foot)}
        return {"timing": frame_timing(self.rate), "wheelbase": _WHEELBASE * BOUND, **place}


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Sensor(Reading):
    """A speed from a wheel sensor, which counts turns of a wheel: in a curve the rider's middle is slower than the wheels."""

    word: ClassVar[str] = "wheel sensor"
    speed: float = _SPEED
    before_foot: float = _READ_AT
    rolled_out: bool | None = quantity(
        "flag", label="Circumference rolled out", default=False,
        help="Whether the wheel's circumference was measured by rolling it out under the rider: then it is good to 0.3 %, else to 1 %.",
    )  # fmt: skip

    __post_init__ = checked

    @property
    def errors(self) -> dict[str, float]:
        return {"circumference": (0.003 if self.rolled_out else 0.01) * self.speed, "place": _MIDDLE * BOUND}


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Receiver(Reading):
    """A speed from a satellite receiver, which tells it late.

    Notes
    -----
    By itself a receiver is within 0.2 m/s along an axis 95 times in 100. On bicycles only 45 in 100 readings were within
    0.2 m/s and 64 within 0.4: that is what is reckoned with.
    """

    word: ClassVar[str] = "satellite receiver"
    speed: float = _SPEED
    before_foot: float = _READ_AT

    __post_init__ = checked

    @property
    def lag(self) -> float:
        """How late it tells [s]."""
        return _LAG

    @property
    def errors(self) -> dict[str, float]:
        return {"receiver": _ON_A_BIKE, "lag": _LAG * BOUND, "place": _MIDDLE * BOUND}


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Airtime(Reading):
    """A flight: from the rear wheel at the edge to the rear wheel down, and where it came down."""

    word: ClassVar[str] = "flight"
    time: float = quantity("time", 0.1, 6, required=True, label="Time in the air", help="Rear wheel off the edge to rear wheel down.")
    along: float = quantity(
        "length", 0.3, 80, required=True, label="Rear wheel down, level from the edge",
        help="Level distance from the edge of the lip to where the rear wheel came down.",
    )  # fmt: skip
    lower: float = quantity(
        "length", -15, 40, required=True, label="Lower than the edge by",
        help="How far the place where the rear wheel came down lies below the edge; negative where it lies above.",
    )  # fmt: skip
    rate: float | None = quantity(
        "number", 10, 2000, default_words="timed by hand", label="Frames a second", help="Of the video; not given, it was timed by hand."
    )

    __post_init__ = checked

    @property
    def errors(self) -> dict[str, float]:
        return {
            "timing": limits.HAND_TIMING.value if self.rate is None else frame_timing(self.rate),
            "length": _tape(self.along),
            "height": _tape(abs(self.lower)),
            "attitude": _TURN * BOUND,
        }


KINDS: dict[str, type[Reading]] = {kind.word: kind for kind in (Timed, Filmed, Passing, Sensor, Receiver, Airtime)}
"""Ways of measuring by the word for each."""
