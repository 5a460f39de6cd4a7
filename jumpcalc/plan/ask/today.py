"""What wind, wet and gusts do to a landing, and windows that nobody rides: what an answer says first."""

from __future__ import annotations

import numpy as np

from jumpcalc.plan import limits
from jumpcalc.plan.answer import Window
from jumpcalc.plan.ask.around import SIDE_WINDS, Around, gust_of
from jumpcalc.plan.inputs.dug import Jump
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.inputs.surfaces import WET
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.terrain import Prepared

__all__ = ["NOT_TODAY", "beware", "of_the_day", "side_wind_limit", "wet_ground"]

NOT_TODAY = (Code.THE_GROUND_IS_WET, Code.THE_SIDE_WIND_IS_TOO_STRONG, Code.DRIFTS_OFF_THE_LANDING)
"""What makes a day no day to ride a line at all: no speed to ride is given then, for none of its jumps."""


def side_wind_limit(jump: Jump, near: Around) -> float:
    """The side wind from which on a jump is not for today.

    Parameters
    ----------
    jump : Jump
        As measured, with its defaults.
    near : Around
        Its landings around the aim.

    Returns
    -------
    float
        Wind across the course [m/s] whose drift at the aim leaves the landing, 0 for one narrower than a handlebar; never more
        than `limits.SIDE_WIND`, because a side wind also turns the bike.

    Notes
    -----
    The bike leaves the edge in the middle; what its landing is wide, less half a handlebar, is left to either side.
    """
    spare, most = _spare(jump), limits.SIDE_WIND.value
    if spare is None:
        return most
    if spare <= 0:
        return 0.0
    # the drift grows with the wind and hardly bends between two of so many
    return float(np.interp(spare, np.abs(near.sideways.drift), SIDE_WINDS))


def wet_ground(line: Line, jump: Jump) -> list[Note]:
    """That the ground before or after a jump is wet, which takes speed and grip by amounts that nobody foresees.

    Parameters
    ----------
    line : Line
        As measured.
    jump : Jump
        One of its jumps.

    Returns
    -------
    list of Note
        Empty where it is not.
    """
    return _wet(line.run_in.surface, jump.runout.surface)


def of_the_day(surface: str | None, crosswind: float) -> tuple[Note, ...]:
    """What makes it no day to ride on a ground, whatever stands there.

    Parameters
    ----------
    surface : str or None
        Of the ground.
    crosswind : float
        Wind across the course [m/s].

    Returns
    -------
    tuple of Note
        Each with a code of `NOT_TODAY`; empty where nothing is known against the day.
    """
    return (*_wet(surface), *_blown(abs(crosswind)))


def _wet(*surfaces: str | None) -> list[Note]:
    wet = [surface for surface in surfaces if surface in WET]
    return [Note(code=Code.THE_GROUND_IS_WET, values=(("surface", wet[0]),))] if wet else []


def _blown(wind: float) -> list[Note]:
    if wind < limits.SIDE_WIND.value * (1 - 1e-9):
        return []
    return [Note(code=Code.THE_SIDE_WIND_IS_TOO_STRONG, values=(("wind", wind),), limit=limits.SIDE_WIND)]


def beware(jump: Jump, one: Prepared, window: Window, near: Around) -> tuple[Note, ...]:
    """What must be known before anything else of a jump that has a window.

    Parameters
    ----------
    jump : Jump
        As measured, with its defaults.
    one : Prepared
        The same jump.
    window : Window
        Its clean speeds.
    near : Around
        The landings around the aim.

    Returns
    -------
    tuple of Note
        Side wind, narrow landings, narrow windows, gusts, in this order; empty where there is nothing of the kind.
    """
    return (*_sideways(jump, one, abs(float(near.window.drift[1]))), *_too_exact(jump, window), *_gusts(one, near))


def _spare(jump: Jump) -> float | None:
    """What a landing's width leaves to either side of a bike in its middle [m]."""
    return None if jump.landing.width is None else jump.landing.width / 2 - limits.HALF_A_BAR.value


def _sideways(jump: Jump, one: Prepared, drift: float) -> list[Note]:
    """What is said of drift and width."""
    spare, width = _spare(jump), jump.landing.width
    notes = _blown(abs(one.conditions.crosswind))
    if spare is None:
        if drift >= limits.DRIFT_SPOKEN_OF.value:
            notes.append(Note(code=Code.DRIFTS_ON_AN_UNMEASURED_WIDTH, values=(("drift", drift),)))
        return notes
    if spare <= 0:
        notes.append(Note(code=Code.NARROWER_THAN_A_HANDLEBAR, values=(("width", width), ("bar", 2 * limits.HALF_A_BAR.value))))
    elif drift > spare:
        values = (("drift", drift), ("width", width), ("spare", spare), ("half", limits.HALF_A_BAR.value))
        notes.append(Note(code=Code.DRIFTS_OFF_THE_LANDING, values=values))
    if jump.lip.width is not None and width < jump.lip.width:
        notes.append(Note(code=Code.NARROWER_THAN_THE_LIP, values=(("width", width), ("lip", jump.lip.width))))
    return notes


def _too_exact(jump: Jump, window: Window) -> list[Note]:
    """Whether half the window, where it is checked, is less than anyone measures or rides."""
    seen = window.speeds if jump.shape == "drop" else window.foot
    half = 0.5 * (seen.max - seen.min)
    if half >= limits.RIDDEN_TO.value:
        return []
    return [Note(code=Code.NOBODY_RIDES_THAT_EXACTLY, values=(("half", half),), limit=limits.RIDDEN_TO)]


def _gusts(one: Prepared, near: Around) -> list[Note]:
    """Which gusts in the flight take the aim off what lands clean."""
    landed, gust = near.gusts, gust_of(one)
    clean = landed.is_(Outcome.CLEAN) & (np.nan_to_num(landed.fall_height) <= one.equivalent_fall)
    moves = np.abs(landed.x - near.window.x[1])
    codes = (Code.A_GUST_FROM_AHEAD, Code.A_GUST_FROM_BEHIND)
    return [
        Note(code=code, values=(("gust", gust), ("moves", float(moves[i]))))
        for i, code in enumerate(codes)
        if not clean[i] and np.isfinite(moves[i])
    ]
