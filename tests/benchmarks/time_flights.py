"""Flights to first contact: how long one takes in a batch of 100,000 varied ones, and what that is measured against.

Rows differ in speed, lip angle, spring and drag; the ground is that of `examples/first_gap.toml`. The functions give
numbers, `figures` the rows of the table.
"""

from __future__ import annotations

import math
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from figures import Figure, best
from scipy.integrate import solve_ivp

from jumpcalc.physics.body import Departure, depart
from jumpcalc.physics.flight import Touchdown, touchdown
from jumpcalc.physics.ground import Arc, GroundLine, Straight, chain, joined
from jumpcalc.plan.terrain import Prepared, prepare
from jumpcalc.show.files.linefile import read_line
from jumpcalc.units import STANDARD_GRAVITY as G

ROOT = Path(__file__).parents[2]
MANY = 100_000


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Batch:
    """Flights to be flown."""

    start: Departure
    ground: GroundLine
    air: dict[str, np.ndarray | float]

    def fly(self) -> Touchdown:
        """Their touchdowns."""
        return touchdown(self.start, self.ground, apex=False, **self.air)

    def rows(self, which: slice) -> Batch:
        """The chosen ones."""
        air = {name: value[which] if np.ndim(value) else value for name, value in self.air.items()}
        return Batch(start=self.start.rows(which), ground=self.ground.rows(which), air=air)


def first_gap() -> Prepared:
    """The jump that is flown."""
    return prepare(read_line(ROOT / "examples" / "first_gap.toml")).jumps[0]


def varied(one: Prepared, count: int, *, path: str = "bike", wind: float = 0.0) -> Batch:
    """Flights over one jump, in still air or in tailwinds up to `wind` [m/s], from ahead and behind."""
    rng = np.random.default_rng(9)
    start = depart(
        one.rig.bodies[path],
        rng.uniform(6.0, 12.0, count),
        angle=one.terrain.angle + rng.normal(0.0, 0.03, count),
        gap=one.terrain.gap,
        fall=one.terrain.fall,
        spring=rng.normal(0.0, 0.3, count),
    )
    drag = one.conditions.drag * np.exp(rng.normal(0.0, 0.15, count))
    return Batch(start=start, ground=one.terrain.ground, air={"drag": drag, "tailwind": rng.uniform(-wind, wind, count) if wind else 0.0})


def each_its_own(one: Prepared, count: int, *, wind: float = 0.0) -> Batch:
    """Flights over as many jumps, which differ in gap, drop, fall, length of the face and exit."""
    rng = np.random.default_rng(10)
    gap, fall = rng.uniform(2.5, 6.0, count), rng.uniform(0.25, 0.6, count)
    floor = chain([Straight(length=gap, slope=0.0, name="floor")], z=-1.3, s=-gap)
    floor = GroundLine(*(getattr(floor, name)[..., :1] for name in GroundLine.__slots__[:6]), floor.names[:1])
    landing = [
        Straight(length=rng.uniform(2.0, 6.0, count), slope=-fall, name="face"),
        Arc(radius=rng.uniform(4.0, 9.0, count), to_slope=-0.1, name="exit"),
        Straight(length=8.0, slope=-0.1, name="runout"),
        Straight(length=30.0, slope=0.0, name="runout"),
    ]
    alike = varied(one, count, wind=wind)
    start = depart(
        one.rig.bodies["bike"],
        rng.uniform(6.0, 12.0, count),
        angle=rng.uniform(0.3, 0.7, count),
        gap=gap,
        fall=fall,
        spring=rng.normal(0.0, 0.3, count),
    )
    return Batch(start=start, ground=joined(floor, chain(landing, x=gap, z=-rng.uniform(0.0, 0.6, count))), air=alike.air)


def closed_form(speed: np.ndarray, angle: np.ndarray, ground: GroundLine) -> tuple[np.ndarray, ...]:
    """Time, place and velocity where points without drag meet the line of the face, written as for this alone [SI]."""
    face = ground.pieces(np.array(1))
    slope = float(face.sine / face.cosine)
    drop = float(face.z - slope * face.x)
    v_x, v_z = speed * np.cos(angle), speed * np.sin(angle)
    rise = v_z - slope * v_x
    time = (rise + np.sqrt(np.maximum(rise * rise - 2 * G * drop, 0.0))) / G
    x = v_x * time
    return time, x, slope * x + drop, v_x, v_z - G * time


def looped(batch: Batch, count: int) -> np.ndarray:
    """Where the first points meet the ground by an adaptive solver with an event, one after the other, as exactly [m]."""
    ground, found = batch.ground, []
    for row in range(count):
        drag, wind = (np.broadcast_to(batch.air[name], batch.start.v_x.shape)[row] for name in ("drag", "tailwind"))

        def rate(_, state, drag=drag, wind=wind):
            against = state[2] - wind
            push = drag * math.hypot(against, state[3])
            return (state[2], state[3], -push * against, -G - push * state[3])

        def meets(_, state):
            x = np.array([state[0]])
            return float(state[1] - ground.height(x, ground.piece_over(x))[0])

        meets.terminal, meets.direction = True, -1
        start = batch.start.rows(row)
        state = (float(start.x), float(start.z) + 1e-12, float(start.v_x), float(start.v_z))
        run = solve_ivp(rate, (0.0, 5.0), state, method="DOP853", rtol=1e-9, atol=1e-10, events=meets, max_step=0.1)
        found.append(run.y_events[0][0][0])
    return np.array(found)


def each(batch: Batch) -> float:
    """Time of a flight of a batch [s]."""
    return best(batch.fly, repeats=9, warm=2) / len(batch.start.v_x)


def grown(count: int) -> tuple[float, float]:
    """Time of so many flights, each [s], and the memory that they take beyond inputs and results [MB]."""
    import resource

    batch = varied(first_gap(), min(count, MANY))
    if count > MANY:
        turns = -(-count // MANY)
        entries = (np.tile(np.broadcast_to(getattr(batch.start, name), (MANY,)), turns)[:count] for name in Departure.__slots__[:-1])
        batch = Batch(start=Departure(*entries), ground=batch.ground, air={"drag": np.tile(batch.air["drag"], turns)[:count]})
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    seconds = best(batch.fly, repeats=1, warm=0)
    one = batch.rows(slice(0, 1)).fly()
    results = sum(getattr(one, name).itemsize for name in ("time", "x", "z", "v_x", "v_z", "piece", "wall", "tier"))
    return seconds / count, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024 - before - results * count / 2**20


def figures() -> Iterator[Figure]:
    """Figures of flights."""
    one = first_gap()
    still, mixed = varied(one, MANY), varied(one, MANY, wind=8.0)
    point = varied(one, MANY, path="point")
    tiers = ", ".join(f"{100 * share:.2g} %" for share in np.bincount(mixed.fly().tier, minlength=4) / MANY)
    yield Figure(work="a flight of 100,000: bike, still air", value=each(still), unit="µs", aim=1.5e-6)
    yield Figure(work="the same, mixed wind", value=each(mixed), unit="µs", aim=2.5e-6, note=f"tiers: {tiers}")
    alone = each(point)
    yield Figure(work="the same, point, still air", value=alone, unit="µs", aim=1e-6)
    loop = best(lambda: looped(point, 100), repeats=3, warm=0) / 100
    work, note = "against a loop over an adaptive solver", f"{1e3 * loop:.2g} ms each"
    yield Figure(work=work, value=loop / alone, unit="×", aim=1000, least=True, note=note)
    speed, angle = np.hypot(point.start.v_x, point.start.v_z), np.arctan2(point.start.v_z, point.start.v_x)
    form = best(lambda: closed_form(speed, angle, point.ground), repeats=20) / MANY
    yield Figure(work="against the drag-free closed form", value=alone / form, unit="×", aim=40, note=f"{1e9 * form:.3g} ns each")
    single = still.rows(slice(5, 6))
    yield Figure(work="one flight alone", value=best(single.fly, repeats=50), unit="ms", aim=1e-3)
    yield Figure(work="a flight of 100,000, each onto another jump", value=each(each_its_own(one, MANY)), unit="µs", aim=3e-6)
    yield Figure(work="the same, mixed wind", value=each(each_its_own(one, MANY, wind=8.0)), unit="µs")
    for power in range(3, 8):
        command = [sys.executable, str(Path(__file__)), str(10**power)]
        told = subprocess.run(command, check=True, capture_output=True, text=True).stdout.split()
        note = f"{float(told[1]):.0f} MB beyond inputs and results"
        yield Figure(work=f"a flight of 1e{power}, in a process of its own", value=float(told[0]), unit="µs", note=note)


if __name__ == "__main__":
    print(*grown(int(sys.argv[1])))
