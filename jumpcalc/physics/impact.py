"""What a touchdown does to a rider: speed into and along the ground, equivalent fall height.

=======  ===============================================  =========
symbol   meaning                                          unit
=======  ===============================================  =========
φ        fall of the ground, positive downhill            rad
v_x v_z  velocity at touchdown                            m/s
v_n      speed into the ground, square to it              m/s
v_t      speed along the ground                           m/s
h        equivalent fall height                           m
=======  ===============================================  =========
"""

from __future__ import annotations

import numpy as np

from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["along_ground", "equivalent_fall", "into_ground"]


def into_ground(v_x: np.ndarray, v_z: np.ndarray, *, fall: np.ndarray) -> np.ndarray:
    """Speed square into the ground.

    Parameters
    ----------
    v_x, v_z : array_like
        Velocity at touchdown [m/s].
    fall : array_like
        Fall φ of the ground [rad], positive downhill.

    Returns
    -------
    numpy.ndarray
        v_n [m/s], positive into the ground, of the broadcast shape.

    Notes
    -----
    v_n = −(v_x sinφ + v_z cosφ).

    Examples
    --------
    >>> round(float(into_ground(5.0, -3.0, fall=0.0)), 9)
    3.0
    """
    return -(np.asarray(v_x) * np.sin(fall) + np.asarray(v_z) * np.cos(fall))


def along_ground(v_x: np.ndarray, v_z: np.ndarray, *, fall: np.ndarray) -> np.ndarray:
    """Speed along the ground, with which the ride goes on.

    Parameters
    ----------
    v_x, v_z : array_like
        Velocity at touchdown [m/s].
    fall : array_like
        Fall φ of the ground [rad], positive downhill.

    Returns
    -------
    numpy.ndarray
        v_t [m/s], of the broadcast shape.

    Notes
    -----
    v_t = v_x cosφ − v_z sinφ.

    Examples
    --------
    >>> round(float(along_ground(5.0, -3.0, fall=0.0)), 9)
    5.0
    """
    return np.asarray(v_x) * np.cos(fall) - np.asarray(v_z) * np.sin(fall)


def equivalent_fall(speed: np.ndarray, *, gravity: float = STANDARD_GRAVITY) -> np.ndarray:
    """Height of a straight drop onto level ground that hits as hard.

    Parameters
    ----------
    speed : array_like
        Speed square into the ground v_n [m/s].
    gravity : float
        g [m/s²].

    Returns
    -------
    numpy.ndarray
        h [m], of the shape of `speed`.

    Notes
    -----
    h = v_n²/(2 g) = v² sin²(γ − φ)/(2 g). It describes wheels set down on the ground, not a fall onto
    head or hands, and not a hit on a wall.

    References
    ----------
    M. Hubbard, "Safer ski jump landing surface design limits normal impact velocity," J. ASTM Int.
    6(1), 2009.

    Examples
    --------
    >>> round(float(equivalent_fall(4.429, gravity=9.81)), 3)
    1.0
    """
    return np.square(speed) / (2 * gravity)
