"""Ten thousand different jumps at once: ground of its own in every row, the closed form of the departure, a window each."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from figures import Figure, best

from jumpcalc.physics.body import Body, depart
from jumpcalc.physics.flight import touchdown
from jumpcalc.physics.ground import Straight, chain

JUMPS = 10_000
SPEEDS = 40
ROUNDS = 5  # each narrows an end of a window to a quarter
BIKE = Body(height=1.05, landing_height=1.05, wheelbase=1.17, behind_front=0.62, pitch_radius=0.45)
DRAG = 0.0037


def jumps(rng: np.random.Generator, count: int) -> tuple[np.ndarray, ...]:
    """Lip angle [rad], gap, drop [m], fall [rad] and length [m] of tables."""
    return (
        np.radians(rng.uniform(18, 38, count)),
        rng.uniform(2.5, 6.0, count),
        rng.uniform(-0.3, 0.8, count),
        np.radians(rng.uniform(16, 32, count)),
        rng.uniform(3.0, 7.0, count),
    )


def ends(count: int = JUMPS, *, seed: int = 5) -> np.ndarray:
    """Slowest and fastest clean lip speed [m/s] of each jump, shape (count, 2), NaN where no scanned speed is clean."""
    angle, gap, drop, fall, length = jumps(np.random.default_rng(seed), count)
    deck, level = np.hypot(gap, drop), np.zeros(count)
    parts = (("deck", deck, np.arctan2(-drop, gap)), ("face", length, -fall), ("runout", level + 20.0, level))
    ground = chain([Straight(name=name, length=long, slope=slope) for name, long, slope in parts], s=-deck)
    half = BIKE.wheelbase / 2

    def room(speed: np.ndarray) -> np.ndarray:
        """How far inside the face each speed of each jump lands [m]; speeds of shape (count, k)."""
        rows, wide = np.repeat(np.arange(count), speed.shape[1]), speed.ravel()
        leaving = depart(BIKE, wide, angle=angle[rows], gap=gap[rows], fall=fall[rows])
        touched = touchdown(leaving, ground.rows(rows), drag=DRAG, apex=False)
        along = (touched.x - gap[rows]) / np.cos(fall[rows])
        inside = np.minimum(along - half, length[rows] - half - along)
        return np.where(touched.piece == 1, inside, np.where(touched.piece < 1, -1.0, -2.0)).reshape(speed.shape)

    grid = np.linspace(5.0, 14.0, SPEEDS)
    clean = room(np.broadcast_to(grid, (count, SPEEDS))) >= 0
    some = clean.any(axis=1)
    first, last = clean.argmax(axis=1), SPEEDS - 1 - clean[:, ::-1].argmax(axis=1)
    found = np.stack([grid[first], grid[last]], axis=1)
    step = grid[1] - grid[0]
    outward = np.array([-1.0, 1.0]) * step
    for _ in range(ROUNDS):
        shares = np.array([0.25, 0.5, 0.75])
        tries = found[:, :, None] + outward[None, :, None] * shares
        good = room(tries.reshape(count, -1)).reshape(tries.shape) >= 0
        steps = np.cumprod(good, axis=2).sum(axis=2)
        found = found + outward * 0.25 * steps
        outward = outward * 0.25
    return np.where(some[:, None], found, np.nan)


def figures() -> Iterator[Figure]:
    """The figure of ten thousand windows."""
    taken = best(ends, repeats=2, warm=0)
    flights = JUMPS * (SPEEDS + 6 * ROUNDS)
    yield Figure(
        work="10,000 different jumps, window each", value=taken, unit="s", aim=5.0, note=f"{flights:,} flights, ends to 1 mm/s"
    )
