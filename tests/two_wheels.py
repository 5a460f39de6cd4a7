"""A simulation of the bike's departure in another formulation than the package's, for tests to share.

Two massless contact points, rigid to a planar bike of mass 1; the forces normal to the ground that hold them on it are
found from the constraints' second derivatives (Lagrange multipliers), the motion is integrated in time by
`solve_ivp` (DOP853) with an event for each joint that a contact passes. Both wheels on the straight run-in, up the
lip, the front past the edge, the rear past the edge: nothing here uses the package's formulas or its ground.
"""

import math
from dataclasses import dataclass

import numpy as np
from scipy.integrate import solve_ivp


@dataclass
class Piece:
    start: float
    x: float
    z: float
    slope: float
    curvature: float

    def at(self, s):
        """Place, tangent's sine and cosine."""
        u = s - self.start
        slope = self.slope + self.curvature * u
        if not self.curvature:
            return self.x + u * math.cos(slope), self.z + u * math.sin(slope), math.sin(slope), math.cos(slope)
        return (
            self.x + (math.sin(slope) - math.sin(self.slope)) / self.curvature,
            self.z - (math.cos(slope) - math.cos(self.slope)) / self.curvature,
            math.sin(slope),
            math.cos(slope),
        )


def pieces_of(parts, slope):
    """Pieces from s = 0, x = z = 0 on: (length, curvature) each; and the s of their ends."""
    found, s, x, z = [], 0.0, 0.0, 0.0
    for length, curvature in parts:
        found.append(Piece(s, x, z, slope, curvature))
        x, z, *_ = found[-1].at(s + length)
        s, slope = s + length, slope + curvature * length
    return found, [piece.start for piece in found[1:]] + [s]


@dataclass
class Case:
    parts: list
    slope: float
    foot: float
    bike: tuple  # w, l_f, h_c, k_p
    speed: float
    gravity: float


class Simulated:
    """State: place of the centre of mass, pitch, their rates, both contacts' distances along the ground."""

    def __init__(self, case):
        self.w, self.l_f, self.h, self.k = case.bike
        self.l_r = self.w - self.l_f
        self.g = case.gravity
        self.ground, self.joints = pieces_of(case.parts, case.slope)
        self.edge = self.joints[-1]
        self.at_edge = self.ground[-1].at(self.edge)
        self.foot = case.foot
        slope = case.slope
        theta = math.asin(self.at_edge[2])
        # both wheels on the first straight, its end or the edge just ahead
        rear = self.joints[0] - 1.01 * self.w
        x = rear * math.cos(slope) + self.l_r * math.cos(slope) - self.h * math.sin(slope)
        z = rear * math.sin(slope) + self.l_r * math.sin(slope) + self.h * math.cos(slope)
        energy = case.speed**2 / 2 + self.g * (self.at_edge[1] + self.h * math.cos(theta))
        self.squared = 2 * (energy - self.g * z)
        self.begin, self.front_path = None, []
        if self.squared > 0:
            v = math.sqrt(self.squared)
            self.begin = [x, z, slope, v * math.cos(slope), v * math.sin(slope), 0.0, rear, rear + self.w]

    def contact(self, state, piece, front):
        """Arm from the centre of mass, normal, its lever, speed along, curvature."""
        _, _, pitch, v_x, v_z, turn, s_r, s_f = state
        sine, cosine = math.sin(pitch), math.cos(pitch)
        ahead = self.l_f if front else -self.l_r
        r_x, r_z = ahead * cosine + self.h * sine, ahead * sine - self.h * cosine
        _, _, t_z, t_x = self.ground[piece].at(s_f if front else s_r)
        n_x, n_z = -t_z, t_x
        along = (v_x - turn * r_z) * t_x + (v_z + turn * r_x) * t_z
        return r_x, r_z, n_x, n_z, r_x * n_z - r_z * n_x, along, self.ground[piece].curvature

    def forces(self, state, rear_piece, front_piece):
        """Loads of the rear and the front (0 when it is in the air), and the derivative of the state."""
        turn = state[5]
        rx, rz, nx, nz, lever, along, curvature = self.contact(state, rear_piece, False)
        known = curvature * along**2 + turn**2 * (nx * rx + nz * rz) + nz * self.g
        own = 1 + (lever / self.k) ** 2
        if front_piece is None:
            load, load_f, along_f = known / own, 0.0, 0.0
            fx = fz = lever_f = 0.0
        else:
            qx, qz, fx, fz, lever_f, along_f, curvature_f = self.contact(state, front_piece, True)
            known_f = curvature_f * along_f**2 + turn**2 * (fx * qx + fz * qz) + fz * self.g
            own_f = 1 + (lever_f / self.k) ** 2
            shared = nx * fx + nz * fz + lever * lever_f / self.k**2
            det = own * own_f - shared**2
            load, load_f = (known * own_f - shared * known_f) / det, (own * known_f - shared * known) / det
        rates = [
            state[3],
            state[4],
            turn,
            load * nx + load_f * fx,
            load * nz + load_f * fz - self.g,
            (load * lever + load_f * lever_f) / self.k**2,
            along,
            along_f,
        ]
        return load, load_f, rates

    def run(self):
        """The state as the rear leaves, the time since the front passed the edge, and looks at the loads; None if it halts."""
        state, rear, front, clock, looks = self.begin, 0, 0, 0.0, []
        while True:
            rear_end = self.joints[rear]
            front_end = None if front is None else self.joints[front]

            def at_rear(_, y, end=rear_end):
                return y[6] - end

            def at_front(_, y, end=front_end):
                return y[7] - end if end is not None else 1.0

            def halts(_, y, rear=rear):
                return self.contact(y, rear, False)[5]

            at_rear.terminal = at_front.terminal = halts.terminal = True
            at_rear.direction = at_front.direction = 1
            halts.direction = -1
            way = solve_ivp(
                lambda _, y, rear=rear, front=front: self.forces(y, rear, front)[2],
                (0.0, 20.0),
                state,
                method="DOP853",
                rtol=1e-11,
                atol=1e-12,
                events=[at_rear, at_front, halts],
                dense_output=True,
            )
            for time in np.linspace(0, way.t[-1], 25):
                y = way.sol(time)
                if front is None or self.ground[front].start >= self.foot - 1e-9:
                    looks.append((y[6], y[7], *self.forces(y, rear, front)[:2], front is not None))
                if front is None:
                    sine, cosine = math.sin(y[2]), math.cos(y[2])
                    self.front_path.append((y[0] + self.l_f * cosine + self.h * sine, y[1] + self.l_f * sine - self.h * cosine))
            state = way.y[:, -1].tolist()
            if front is None:
                clock += way.t[-1]
            if len(way.t_events[2]) or way.status != 1:
                return None
            if len(way.t_events[1]):
                front = front + 1 if front + 1 < len(self.ground) else None
                if front is None and self.foot >= self.edge - 1e-9:
                    looks.append((state[6], state[7], *self.forces(state, rear, len(self.ground) - 1)[:2], True))
            if len(way.t_events[0]):
                rear += 1
                if rear == len(self.ground):
                    return state, clock, looks
