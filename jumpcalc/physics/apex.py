"""The highest place of the wheels on the way to a touchdown."""

from __future__ import annotations

import numpy as np

from jumpcalc.physics.body import Departure
from jumpcalc.physics.hodograph import horner
from jumpcalc.physics.path import Path
from jumpcalc.physics.roots import bracketed_roots

__all__ = ["highest"]

_EVEN = np.linspace(-1.0, 1.0, 33)[:, None]  # places that are looked at first
_CLOSE = 1e-10  # of σ; at a bend heights change with it, not with its square


def highest(path: Path, departure: Departure) -> np.ndarray:
    """Highest place of the wheels on the way to a touchdown, not below the edge.

    Parameters
    ----------
    path : Path
        Of the flying point of n rows, to where each touches down.
    departure : Departure
        Start and set-down of the same rows.

    Returns
    -------
    numpy.ndarray
        Height [m], shape (n,).

    Notes
    -----
    The top of even places, or the turning point beside it: the wheels' path turns where its rise changes sign, also at the bend
    where they are set down.
    """

    def height(sigma: np.ndarray) -> np.ndarray:
        """Of the wheels at σ of shape (k, n)."""
        x, z = horner(path.place[:, :, None], sigma) * path.scale
        return departure.wheels(departure.x + x, departure.z + z)[1]

    def rise(sigma: np.ndarray) -> np.ndarray:
        """Their velocity up [m/s] at σ of shape (n,)."""
        now = path.at(sigma)
        return departure.wheels_velocity(departure.x + now.x, now.v_x, now.v_z)[1]

    even = height(np.broadcast_to(_EVEN, (len(_EVEN), len(path.half))))
    top = np.argmax(even, axis=0)
    low, high = (_EVEN[np.clip(top + side, 0, len(_EVEN) - 1), 0] for side in (-1, 1))
    turned = height(bracketed_roots(rise, low, high, tolerance=_CLOSE)[None])[0]
    return np.maximum(even.max(axis=0), turned).clip(min=0.0)
