"""A bike whose rear wheel alone is on the ground, for many speeds at once.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
l_r h_c  centre of mass ahead of the rear contact, above it    m
k_p      pitch radius of gyration                              m
s        rear contact before the edge, negative                m
β κ      slope and curvature of the ground there               rad, 1/m
T N      its tangent and normal                                –
ψ χ      slope of the wheel line, ψ − β                        rad
e n      along the wheel line, square to it                    –
A B      l_r sinχ + h_c cosχ, l_r cosχ − h_c sinχ              m
Γ        √(k_p² + B²)                                          m
σ p      momentum along T, and of pitch, per mass              m/s
=======  ====================================================  =========

With J = l_r n − h_c e, J' = −(l_r e + h_c n), G = (0, −g) and C the centre of mass, the equations

    [ 1, T·J ; T·J, J·J + k_p² ] (s'', ψ'') = ( T·(G − J' ψ'²), J·(G − κ N s'² − J' ψ'²) )

become, since T·J = −A and N·J = B, with the momenta σ = s' − A ψ' = T·C' and p = Γ ψ',

    s' = σ + A ψ'     σ' = κ s' B ψ' − g sinβ     p' = −(B/Γ)(g cosβ + κ s' σ)

and the load of the wheel is (g cosβ + κ s'² − A ψ'²) k_p²/Γ². On straight ground no right-hand side holds
a square of a rate, and Gauss collocation (`collocation`) finds its stages in a few rounds. Time is stepped,
not place: it does not mind s' -> 0. The last step on each piece of ground is as long as it takes to end at
its end; that length is sought along with the stages.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jumpcalc.physics.body import Body
from jumpcalc.physics.collocation import Gauss, powers

__all__ = ["SHARES", "RearWheel", "roll_to"]

SHARES = (1 - np.cos(np.linspace(0.0, np.pi, 13))) / 2
"""Shares of the time on a piece of ground at which the states on the way are given."""

_LONGEST_STEP = 0.55  # of √((k_p² + l_r²)/(g |J|)), the time in which the bike pitches by itself
_LARGEST_TURN = 0.4  # rad of pitch in one step
_EXACT = 2e-11  # m and m/s, change in the last round; the rounds shrink it faster and faster
_MOST_ROUNDS = 24
_MOST_STEPS = 80

_STAGES = 8
_GAUSS = Gauss(_STAGES)
_NODES = _GAUSS.nodes + 1
_VALUES = powers(_GAUSS.nodes, _STAGES)
# values at the nodes, along the last axis -> derivatives there
_SLOPES = (_VALUES[:, :-1] * np.arange(1, _STAGES) @ _GAUSS.coefficients[1:]).T
# values at the nodes -> integrals up to each of them, over the whole step, and how the first grow as it is stretched
_ROUND = np.hstack([_GAUSS.stages, _GAUSS.weights[:, None], _SLOPES * _NODES @ _GAUSS.stages])


@dataclass(frozen=True, slots=True, kw_only=True)
class RearWheel:
    """A piece of ground under the rear wheel of a bike: its slope is `level` + `curvature` s.

    `rear`, `height` and `radius` are l_r, h_c and k_p [m]; `gravity` is g [m/s²].
    """

    rear: float
    height: float
    radius: float
    gravity: float
    level: float
    curvature: float

    @classmethod
    def of(cls, body: Body, gravity: float, level: float, curvature: float) -> RearWheel:
        """The rear wheel of a bike whose entries are scalars, on a piece of ground."""
        return cls(
            rear=float(body.wheelbase) - float(body.behind_front),
            height=float(body.height),
            radius=float(body.pitch_radius),
            gravity=gravity,
            level=level,
            curvature=curvature,
        )

    def arms(self, s: np.ndarray, pitch: np.ndarray) -> tuple[np.ndarray, ...]:
        """Slope β of the ground, sine and cosine of χ, A and B."""
        slope = self.level + self.curvature * s
        sine, cosine = np.sin(pitch - slope), np.cos(pitch - slope)
        return slope, sine, cosine, self.rear * sine + self.height * cosine, self.rear * cosine - self.height * sine

    def momenta(
        self, s: np.ndarray, pitch: np.ndarray, along: np.ndarray, across: np.ndarray, rate: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray]:
        """σ and p for a velocity of C along e and across n [m/s] and a pitch rate [rad/s].

        A velocity that would part the contact from this ground, or press it in, is first changed by a blow
        along its normal, which touches neither σ nor the momentum about the contact.
        """
        _, sine, cosine, _, b = self.arms(s, pitch)
        about = b * (along * sine + across * cosine) + self.radius**2 * rate
        return along * cosine - across * sine, about / np.hypot(self.radius, b)

    def velocity(self, state: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Velocity of C along e and n [m/s] and pitch rate [rad/s] of states (s, ψ, σ, p)."""
        s, pitch, sigma, p = state
        _, sine, cosine, _, b = self.arms(s, pitch)
        rate = p / np.hypot(self.radius, b)
        return sigma * cosine + b * rate * sine, b * rate * cosine - sigma * sine, rate

    def pace(self, state: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """s' [m/s] and pitch rate [rad/s] of states."""
        s, pitch, sigma, p = state
        *_, a, b = self.arms(s, pitch)
        rate = p / np.hypot(self.radius, b)
        return sigma + a * rate, rate

    def load(self, state: np.ndarray) -> np.ndarray:
        """Load of the wheel per mass [m/s²] of states."""
        s, pitch, sigma, p = state
        slope, _, _, a, b = self.arms(s, pitch)
        gamma = self.radius**2 + b * b
        rate = p / np.sqrt(gamma)
        push = self.gravity * np.cos(slope) + self.curvature * np.square(sigma + a * rate) - a * rate**2
        return push * self.radius**2 / gamma


def roll_to(
    wheel: RearWheel, state: np.ndarray, going: np.ndarray, end: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Rows carried on to the end of their piece of ground.

    Parameters
    ----------
    wheel : RearWheel
        Bike and ground.
    state : numpy.ndarray
        s, ψ, σ and p at the start, shape (4, n).
    going : numpy.ndarray
        Rows that are to be carried on, of bool.
    end : float
        s of the end [m].

    Returns
    -------
    state : numpy.ndarray
        The states there; NaN in rows that do not get there.
    time : numpy.ndarray
        Time it takes [s].
    states : numpy.ndarray
        States at `SHARES` of that time, shape (4, n, 13).
    going : numpy.ndarray
        Rows that get there: those whose s' stays above 0.
    """
    state, time = np.where(going, state, np.nan), np.zeros(state.shape[1])
    there, stuck = np.zeros_like(going), ~going
    own = np.sqrt((wheel.radius**2 + wheel.rear**2) / (wheel.gravity * np.hypot(wheel.rear, wheel.height)))
    longest = np.full(len(time), _LONGEST_STEP * own)
    steps = []
    for _ in range(_MOST_STEPS):
        rows = np.nonzero(~there & ~stuck)[0]
        if not len(rows):
            break
        begin = state[:, rows]
        pace, rate = wheel.pace(begin)
        limit = np.minimum(longest[rows], _LARGEST_TURN / np.maximum(np.abs(rate), 1e-9))
        length = (end - begin[0]) / pace  # negative where the last step ran past the end
        lands = length <= limit
        half, after, rates, found = _step(
            wheel, begin, pace, rate, np.minimum(length, limit) / 2, np.where(lands, end, np.nan)
        )
        # a step that grew while its end was sought comes again, shorter
        found &= 2 * half <= 1.5 * limit
        longest[rows[~found]] /= 2
        halts = found & ((rates[0].min(axis=1) <= 0) | (wheel.pace(after)[0] <= 0))
        stuck[rows[halts]] = True
        good = found & ~halts
        moved = rows[good]
        steps.append((moved, time[moved], half[good], begin[:, good], rates[:, good]))
        time[moved] += 2 * half[good]
        state[:, moved] = after[:, good]
        there[rows[good & lands]] = True
    state[0] = end
    state[:, ~there], time[~there] = np.nan, np.nan
    return state, time, _on_the_way(steps, time, state), there


def _step(
    wheel: RearWheel, begin: np.ndarray, pace: np.ndarray, rate: np.ndarray, half: np.ndarray, end: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """A step of each row: half its length, sought where the row has an `end`; the state after it; rates at the nodes; found or not.

    In each round the momenta are found from the places, then the places from the momenta.
    """
    reach, lean = np.hypot(wheel.rear, wheel.height), np.arctan2(wheel.height, wheel.rear)
    gravity, curvature, level, squared = wheel.gravity, wheel.curvature, wheel.level, wheel.radius**2
    lands = np.isfinite(end)
    any_lands = bool(lands.any())
    start = begin[:, :, None]
    along = half[:, None] * _NODES
    s, pitch = start[0] + pace[:, None] * along, start[1] + rate[:, None] * along
    sigma, p = start[2], start[3]
    rates = np.empty((4, len(half), _STAGES))
    angles = np.empty((2, len(half), _STAGES))
    after = begin
    with np.errstate(over="ignore", invalid="ignore"):  # a row that fails comes again, with a shorter step
        for _ in range(_MOST_ROUNDS):
            np.multiply(curvature, s, out=angles[0])
            angles[0] += level
            np.subtract(pitch + lean, angles[0], out=angles[1])
            sine, cosine = np.sin(angles), np.cos(angles)
            a, b = reach * sine[1], reach * cosine[1]
            gamma = np.sqrt(b * b + squared)
            bend = 0.0
            if curvature:
                turn = p / gamma
                bend = curvature * (sigma + a * turn)
                np.multiply(bend * b, turn, out=rates[2])
                rates[2] -= gravity * sine[0]
                bend *= sigma
            else:
                np.multiply(-gravity, sine[0], out=rates[2])
            np.multiply(-b / gamma, gravity * cosine[0] + bend, out=rates[3])
            push = rates[2:] @ _ROUND
            ahead = half[:, None]
            momenta = start[2:] + ahead * push[..., :_STAGES]
            np.divide(momenta[1], gamma, out=rates[1])
            np.multiply(a, rates[1], out=rates[0])
            rates[0] += momenta[0]
            move = rates[:2] @ _ROUND
            before, after = after, np.concatenate([begin[:2] + half * move[..., _STAGES], begin[2:] + half * push[..., _STAGES]])
            change = np.abs(after - before).max(axis=0)
            places = move[..., :_STAGES]
            if any_lands:
                lack = np.where(lands, (end - after[0]) / (2 * rates[0, :, -1]), 0.0)
                most = 0.3 * np.abs(half)
                lack = np.minimum(np.maximum(lack, -most), most)
                change += np.abs(lack)
                stretch = (lack / half)[:, None]
                half = half + lack
                ahead = half[:, None]
                places = places + stretch * move[..., _STAGES + 1 :]
                momenta = start[2:] + ahead * (push[..., :_STAGES] + stretch * push[..., _STAGES + 1 :])
            if change.max() < _EXACT:
                break
            s, pitch = start[:2] + ahead * places
            sigma, p = momenta
    return half, after, rates, change < 100 * _EXACT


def _on_the_way(steps: list, time: np.ndarray, state: np.ndarray) -> np.ndarray:
    """States at `SHARES` of the time of each row, from the steps it was taken in."""
    states = np.full((4, len(time), len(SHARES)), np.nan)
    for rows, start, half, begin, rates in steps:
        since, whole = time[rows, None] * SHARES - start[:, None], half[:, None]
        # a step of no time, of a wheel that begins where the piece ends, holds its own moment only
        sigma = np.divide(since, whole, out=np.zeros_like(since), where=whole != 0) - 1
        row, share = np.nonzero((np.abs(sigma) <= 1 + 1e-9) & ((whole != 0) | (since == 0)))
        raised = powers(sigma[row, share], _GAUSS.once.shape[0])
        moves = np.einsum("krj,rj->kr", (rates @ _GAUSS.once.T)[:, row], raised)
        states[:, rows[row], share] = begin[:, row] + half[row] * moves
    states[:, :, -1] = state
    return states
