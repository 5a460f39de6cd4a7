"""What becomes of a landing."""

from __future__ import annotations

from enum import StrEnum

import numpy as np

__all__ = ["Outcome", "numbers"]


class Outcome(StrEnum):
    """Where the wheels touched; `UNKNOWN` is a row that could not be worked out, and never counts as anything else."""

    SHORT = "short"
    REAR_SHORT = "rear short"
    CLEAN = "clean"
    FRONT_LONG = "front long"
    LONG = "long"
    UNKNOWN = "unknown"


_NUMBERS = {outcome: number for number, outcome in enumerate(Outcome)}


def numbers(*outcomes: Outcome) -> np.ndarray:
    """The numbers that stand for outcomes in arrays; only `Landings` asks for them.

    Parameters
    ----------
    *outcomes : Outcome
        Any.

    Returns
    -------
    numpy.ndarray
        Of int8, shape (len(outcomes),).
    """
    return np.array([_NUMBERS[outcome] for outcome in outcomes], dtype=np.int8)
