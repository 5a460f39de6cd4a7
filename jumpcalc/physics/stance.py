"""A bike with both wheels on curved ground: its attitude and the loads of its wheels.

=======  ====================================================  =========
symbol   meaning                                               unit
=======  ====================================================  =========
w        wheelbase                                             m
l_f l_r  centre of mass behind the front, ahead of the rear    m
h_c      centre of mass above the wheel line                   m
k_p      pitch radius of gyration                              m
s s_f    rear and front contact along the ground               m
β β_f    slope of the ground under them                        rad
κ κ_f    its curvature there                                   1/m
ψ        slope of the wheel line, nose up                      rad
χ χ_f    ψ − β, ψ − β_f                                        rad
e n      along the wheel line, square to it                    –
C        centre of mass                                        m
N N_f    loads of the wheels per mass                          m/s²
=======  ====================================================  =========

One degree of freedom: everything is a function of s, and a dash is d/ds here. a = s_f' = cosχ/cosχ_f,
ψ' = (sinχ − a sinχ_f)/w, C' = (cosχ − h_c ψ') e + (l_r ψ' − sinχ) n. With ṡ the speed of the rear contact
and M = C'·C' + k_p² ψ'², energy gives M s̈ = −(C'·C'' + k_p² ψ' ψ'') ṡ² − g C'_z; then across the wheel line
and about C

    N cosχ + N_f cosχ_f = (C'' ṡ² + C' s̈)·n + g cosψ
    N (h_c sinχ − l_r cosχ) + N_f (h_c sinχ_f + l_f cosχ_f) = k_p² (ψ'' ṡ² + ψ' s̈)

so that each load is a multiple of g plus a multiple of ṡ².
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jumpcalc.physics.body import Body
from jumpcalc.physics.ground import GroundLine

__all__ = ["Stance", "stance_at", "stances"]

_SAMPLES = (1 - np.cos(np.linspace(0.0, np.pi, 13))) / 2  # shares of each stretch between joints, its ends included
_MOST_ROUNDS = 50
_EXACT = 1e-14  # m


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stance:
    """Places of a bike on the ground, both wheels down; arrays of shape (n,), in the order of travel.

    `rear` and `front` are the contacts' distances s [m], `rear_piece` the piece of ground under the rear,
    `pitch` is ψ [rad], `z` the height of C [m]. For each metre of the rear contact, `along` and `across`
    are C' on e and n, `turn` is ψ' [rad/m] and `inertia` is M. The loads are
    N = g `rear_weight` + ṡ² `rear_press`, and so for the front.
    """

    rear: np.ndarray
    front: np.ndarray
    rear_piece: np.ndarray
    pitch: np.ndarray
    z: np.ndarray
    along: np.ndarray
    across: np.ndarray
    turn: np.ndarray
    inertia: np.ndarray
    rear_weight: np.ndarray
    rear_press: np.ndarray
    front_weight: np.ndarray
    front_press: np.ndarray


def stance_at(ground: GroundLine, front: np.ndarray, front_piece: np.ndarray, body: Body) -> Stance:
    """The bike with its front contact at given places.

    Parameters
    ----------
    ground : GroundLine
        The ground; its first piece is continued back as far as needed.
    front : numpy.ndarray
        Distances s_f [m] of the front contact, shape (n,).
    front_piece : numpy.ndarray
        Piece of ground under it, shape (n,): at a joint it decides on which side the front is.
    body : Body
        The bike, every entry a scalar.

    Returns
    -------
    Stance
        n rows.
    """
    rear = _other_contact(ground, front, -float(body.wheelbase))
    return _stance(ground, rear, ground.piece_at(rear), front, front_piece, body)


def stances(ground: GroundLine, foot: float, edge: float, last: int, body: Body) -> Stance:
    """The bike at many places from the front's passing the foot to its passing the edge.

    Parameters
    ----------
    ground : GroundLine
        The ground; its first piece is continued back as far as needed.
    foot, edge : float
        Distances s [m] of the front contact at the first and the last place.
    last : int
        The piece of ground that ends at the edge.
    body : Body
        The bike, every entry a scalar.

    Returns
    -------
    Stance
        Rows in the order of travel: some on each stretch on which neither wheel passes a joint, with both
        its ends, so that a load that jumps at a joint is there with both its values.
    """
    base = float(body.wheelbase)
    joints = ground.start[1 : last + 1]
    rear_foot, rear_edge = _other_contact(ground, np.array([foot, edge]), -base)
    under_rear = joints[(joints > rear_foot) & (joints < rear_edge)]
    cuts = np.concatenate([joints[(joints > foot) & (joints < edge)], _other_contact(ground, under_rear, base), [foot, edge]])
    cuts = np.sort(cuts)
    cuts = cuts[np.append(True, np.diff(cuts) > 1e-9)]
    if len(cuts) == 1:
        return stance_at(ground, np.array([edge]), np.array([last]), body)
    front = cuts[:-1, None] + np.diff(cuts)[:, None] * _SAMPLES
    rear = _other_contact(ground, front, -base)
    middle = len(_SAMPLES) // 2
    pieces = [np.repeat(ground.piece_at(s[:, middle]), len(_SAMPLES)) for s in (rear, front)]
    return _stance(ground, rear.ravel(), pieces[0], front.ravel(), pieces[1], body)


def _other_contact(ground: GroundLine, contact: np.ndarray, chord: float) -> np.ndarray:
    """Distance s [m] of the contact a chord ahead of a contact, or behind it where the chord is negative."""
    x, z = ground.point(contact)
    s = contact + chord
    for _ in range(_MOST_ROUNDS):
        there_x, there_z = ground.point(s)
        d_x, d_z, slope = there_x - x, there_z - z, ground.slope_at(s)
        distance = np.hypot(d_x, d_z)
        step = (abs(chord) - distance) * distance / (d_x * np.cos(slope) + d_z * np.sin(slope))
        s = s + step
        if not step.size or np.abs(step).max() < _EXACT:
            break
    return s


def _stance(
    ground: GroundLine, rear: np.ndarray, rear_piece: np.ndarray, front: np.ndarray, front_piece: np.ndarray, body: Body
) -> Stance:
    base, ahead, height, radius = (
        float(value) for value in (body.wheelbase, body.behind_front, body.height, body.pitch_radius)
    )
    behind = base - ahead
    (x, z), (front_x, front_z) = ground.point(rear), ground.point(front)
    pitch = np.arctan2(front_z - z, front_x - x)
    chi, chi_f = pitch - ground.slope_at(rear, rear_piece), pitch - ground.slope_at(front, front_piece)
    sine, cosine, sine_f, cosine_f = np.sin(chi), np.cos(chi), np.sin(chi_f), np.cos(chi_f)
    a = cosine / cosine_f
    turn = (sine - a * sine_f) / base
    along, across = cosine - height * turn, behind * turn - sine
    inertia = along**2 + across**2 + (radius * turn) ** 2

    curvature = ground.curvature[rear_piece]
    chi_1, chi_f1 = turn - curvature, turn - a * ground.curvature[front_piece]
    a_1 = (a * sine_f * chi_f1 - sine * chi_1) / cosine_f
    turn_1 = (cosine * chi_1 - a_1 * sine_f - a * cosine_f * chi_f1) / base
    along_1 = curvature * sine - height * turn_1 - behind * turn**2
    across_1 = curvature * cosine + behind * turn_1 - height * turn**2

    lever, lever_f = height * sine - behind * cosine, height * sine_f + ahead * cosine_f
    both = cosine * lever_f - cosine_f * lever

    def loads(push: np.ndarray, moment: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return (push * lever_f - cosine_f * moment) / both, (cosine * moment - push * lever) / both

    weight = -(along * np.sin(pitch) + across * np.cos(pitch)) / inertia  # s̈ for each g, and for each ṡ²
    press = -(along * along_1 + across * across_1 + radius**2 * turn * turn_1) / inertia
    rear_weight, front_weight = loads(across * weight + np.cos(pitch), radius**2 * turn * weight)
    rear_press, front_press = loads(across_1 + across * press, radius**2 * (turn_1 + turn * press))
    return Stance(
        rear=rear,
        front=front,
        rear_piece=rear_piece,
        pitch=pitch,
        z=z + behind * np.sin(pitch) + height * np.cos(pitch),
        along=along,
        across=across,
        turn=turn,
        inertia=inertia,
        rear_weight=rear_weight,
        rear_press=rear_press,
        front_weight=front_weight,
        front_press=front_press,
    )
