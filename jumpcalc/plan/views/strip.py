"""Two flights over the same ground as a strip of moments: wheels and rider at equal times."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from jumpcalc.plan.answer import Answer, LandingResult
from jumpcalc.plan.ask.inverse import along_at, rear_contact
from jumpcalc.plan.ask.landings import flown
from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.studies.explain import Explanation
from jumpcalc.plan.terrain import Prepared, prepare
from jumpcalc.plan.views.side import Stretch, ground_seen

__all__ = ["WHEEL", "Moment", "Strip", "strip"]

_STEPS = (0.1, 0.2, 0.25, 0.3, 0.4, 0.5, 1.0)  # s between moments
WHEEL = 0.34  # m, radius of a wheel as drawn
_IN_GROUND = 0.03  # m that a drawn wheel may be in the ground


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """Wheels' contacts and rider at one time [s] of a flight; places (x, z) [m] from the lip edge."""

    time: float
    rear: tuple[float, float]
    front: tuple[float, float]
    rider: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """Two flights over the same ground as moments at equal times `step` [s] apart, the last one at touchdown.

    `mark` is where their rear wheel hit.
    """

    ground: tuple[Stretch, ...]
    step: float
    aim: tuple[Moment, ...]
    theirs: tuple[Moment, ...]
    mark: tuple[float, float]


def strip(answer: Answer, index: int, explained: Explanation, *, step: float | None = None) -> Strip:
    """The aim's flight and theirs as a strip of moments.

    Parameters
    ----------
    answer : Answer
        What `solve` gave.
    index : int
        Which jump, from 0.
    explained : Explanation
        One with a landing.
    step : float, optional
        Time between moments [s]; else so much that bikes side by side do not overlap.

    Returns
    -------
    Strip
        At the last moment the bike stands on the ground where its rear wheel touches; at a wall it is the latest
        moment at which no wheel is in the ground.
    """
    one = prepare(answer.line).jumps[index]
    pace = (one.rig.wheelbase + 1.6 * WHEEL) / max(explained.aim.lip_speed * math.cos(one.terrain.angle), 0.1)
    step = step or next((value for value in _STEPS if value >= pace), _STEPS[-1])
    aim, theirs = (_moments(answer, one, landing, step) for landing in (explained.aim, explained.landing))
    mark = theirs[-1].rear
    if explained.landing.surface == "wall":
        mark = one.terrain.gap, min(theirs[-1].front[1], -one.terrain.drop)
    return Strip(ground=ground_seen(answer.complete, one, index), step=step, aim=aim, theirs=theirs, mark=mark)


def _moments(answer: Answer, one: Prepared, landing: LandingResult, step: float) -> tuple[Moment, ...]:
    """One flight at equal time steps and at its end."""
    if not landing.flight:
        return ()
    leaving, flight = flown(one, [landing])

    def seen(times: np.ndarray) -> tuple[np.ndarray, ...]:
        place = flight.at(times[None, :])[0][0]
        x, z = leaving.wheels(place[:, 0], place[:, 2])
        attitude, _ = leaving.hangs(place[:, 0])
        # the point's path has no height of its own: its rider is drawn as high as any
        height = answer.complete.rider.centre_of_mass_height if one.body.height == 0 else leaving.height
        across, up = 0.5 * one.rig.wheelbase * np.cos(attitude), 0.5 * one.rig.wheelbase * np.sin(attitude)
        return x - across, z - up, x + across, z + up, x - height * np.sin(attitude), z + height * np.cos(attitude)

    if landing.surface == "wall":
        times = np.linspace(0.0, landing.flight, 200)
        _, _, x, z, *_ = seen(times)
        end = float(times[np.nonzero((x < one.terrain.gap) | (z >= -one.terrain.drop - _IN_GROUND))[0][-1]])
    else:
        end = landing.flight
    at = np.append(np.arange(0.0, max(end - 0.5 * step, 1e-9), step), end)
    made = [
        Moment(time=float(t), rear=(rx, rz), front=(fx, fz), rider=(x, z))
        for t, rx, rz, fx, fz, x, z in zip(at, *(part.tolist() for part in seen(at)), strict=True)
    ]
    if landing.surface not in ("wall", "face") or (landing.outcome is Outcome.REAR_SHORT and one.terrain.shape == "tabletop"):
        height = math.dist(made[-1].rider, (landing.x, landing.z))
        made[-1] = _standing(one, float(rear_contact(one, landing.x)), end, height=height)
    return tuple(made)


def _standing(one: Prepared, level: float, time: float, *, height: float) -> Moment:
    """A bike with both wheels on the ground, its rear one at a level distance from the edge [m]."""
    s = rear_s = float(along_at(one, level))
    rear = tuple(float(v) for v in one.terrain.ground.point(np.array(rear_s)))
    for _ in range(30):
        # the chord between the wheels is shorter than the ground under them
        front = tuple(float(v) for v in one.terrain.ground.point(np.array(s)))
        s += one.rig.wheelbase - math.dist(front, rear)
    across, up = ((b - a) / one.rig.wheelbase for a, b in zip(rear, front, strict=True))
    middle = 0.5 * (rear[0] + front[0]), 0.5 * (rear[1] + front[1])
    return Moment(time=time, rear=rear, front=front, rider=(middle[0] - height * up, middle[1] + height * across))
