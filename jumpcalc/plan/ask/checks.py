"""How the bike leaves a jump's edge and how far that was checked, what a pitched bike costs, what else a landing is told."""

from __future__ import annotations

import math

import numpy as np

from jumpcalc.physics.wheel_loads import LIFTS
from jumpcalc.plan import limits
from jumpcalc.plan.answer import Departed, LandingResult, Pitched, Speeds, Window
from jumpcalc.plan.ask.landings import flown
from jumpcalc.plan.ask.leaving import curve_of
from jumpcalc.plan.inputs.assume import foot_slope, ground_pieces
from jumpcalc.plan.inputs.line import Line
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.terrain import Prepared

__all__ = ["PITCH", "carried", "carried_or_pulled_up", "departed", "landing_notes", "no_ride", "pitched", "unchecked"]

PITCH = math.radians(10)
"""How far nose-up or nose-down a bike is taken to come in."""

_TIMES = 400
_LATER = 1.4  # of the flight, in which both wheels come down


def departed(one: Prepared, speeds: Speeds, aim: LandingResult) -> Departed | None:
    """How the bike leaves the edge at clean lip speeds.

    Parameters
    ----------
    one : Prepared
        The jump.
    speeds : Speeds
        Its window [m/s].
    aim : LandingResult
        The landing at the aim.

    Returns
    -------
    Departed or None
        None for the textbook's point, which has no wheels.
    """
    if one.rig.path == "point":
        return None
    curve = curve_of(one)
    loads = curve.loads(np.array([speeds.min, speeds.aim, speeds.max]))
    leaving = curve.leaving(np.array([speeds.aim]))
    lifting = np.nonzero(loads.lifts)[0]
    first = int(lifting[0]) if len(lifting) else None
    pitch, rate = float(leaving.pitch[0]), float(leaving.pitch_rate[0])
    return Departed(
        load=float(loads.greatest[1]),
        greatest_load=float(loads.greatest[2]),
        lifts=None if first is None else LIFTS[int(loads.lifts[first])],
        lift_before=None if first is None else float(loads.lift_before[first]),
        pitch=pitch,
        rate=rate,
        wanted_rate=-(pitch + one.terrain.fall) / aim.flight,
        passive_pitch=pitch + rate * aim.flight,
        dip=one.terrain.angle - pitch,
    )


def unchecked(one: Prepared, found: Departed | None) -> tuple[Note, ...]:
    """What of a jump lies outside the range in which the bike's departure holds.

    Parameters
    ----------
    one : Prepared
        The jump.
    found : Departed or None
        How it is left, None where nothing lands clean or the point is flown.

    Returns
    -------
    tuple of Note
        Empty where a stiff rider's wheels stay on the lip and its load can be ridden.
    """
    if one.rig.path == "point":
        return (Note(code=Code.FLOWN_AS_A_POINT),)
    if found is None or one.terrain.shape == "drop":
        return ()
    notes = []
    if found.lifts is not None:
        notes.append(Note(code=Code.A_WHEEL_LIFTS_ON_THE_LIP, values=(("wheel", found.lifts), ("before", found.lift_before))))
    if found.load > limits.STIFF_LOAD.value:
        notes.append(Note(code=Code.THE_LIP_LOADS_HARD, values=(("load", found.load),), limit=limits.STIFF_LOAD))
    return tuple(notes)


def no_ride(one: Prepared, window: Window) -> Note | None:
    """Why no speed to ride is given for a jump, however clean one would land by the model.

    Parameters
    ----------
    one : Prepared
        The jump.
    window : Window
        Its window.

    Returns
    -------
    Note or None
        None where there is no such reason.
    """
    ground = one.terrain
    held = [
        (Code.THE_GAP_IS_FAR_OUTSIDE, ground.gap, limits.FARTHEST_GAP),
        (Code.THE_LIP_IS_FAR_OUTSIDE, ground.angle, limits.STEEPEST_LIP),
    ]
    if window.foot is not None:
        held.append((Code.THE_SPEED_IS_FAR_OUTSIDE, window.foot.aim, limits.FASTEST_FOOT))
    for code, value, limit in held:
        if value > limit.value * (1 + 1e-9):
            return Note(code=code, values=(("value", value),), limit=limit)
    seen = window.speeds if ground.shape == "drop" else window.foot
    if seen is not None and 0.5 * (seen.max - seen.min) < limits.SAID_TO.value:
        return Note(code=Code.NO_SPEED_LIES_INSIDE, values=(("aim", seen.aim),), limit=limits.SAID_TO)
    return None


def pitched(one: Prepared, aim: LandingResult) -> Pitched | None:
    """What a bike that comes in nose-up or nose-down costs at the aim.

    Parameters
    ----------
    one : Prepared
        The jump.
    aim : LandingResult
        The landing at the aim.

    Returns
    -------
    Pitched or None
        None for the textbook's point, which has no wheels.

    Notes
    -----
    The wheels' midpoint hangs below the centre of mass at the attitude of the landing, turned by the pitch; each contact
    lies half a wheelbase along that attitude from it.
    """
    if one.rig.path == "point":
        return None
    ground, half = one.terrain.ground, one.rig.wheelbase / 2
    _, flight = flown(one, [aim], share=_LATER)
    place = flight.at(np.linspace(0.4, _LATER, _TIMES)[None, :] * aim.flight)[0][0]
    height = float(one.body.landing_height)

    def down(pitch: float, side: float) -> float | None:
        """Where along the ground from the knuckle the rear (−1) or front (+1) contact comes down."""
        attitude = pitch - one.terrain.fall
        x = place[:, 0] + height * math.sin(attitude) + side * half * math.cos(attitude)
        z = place[:, 2] - height * math.cos(attitude) + side * half * math.sin(attitude)
        piece = ground.piece_over(x)
        above = z - ground.height(x, piece)
        below = np.nonzero((above[1:] <= 0) & (above[:-1] > 0))[0]
        if not len(below):
            return None
        i = int(below[0])
        share = above[i] / (above[i] - above[i + 1])
        level = np.array([x[i] + share * (x[i + 1] - x[i])])
        return float(ground.distance_over(level, piece[i : i + 1])[0])

    level_rear, level_front, up, nose = down(0.0, -1.0), down(0.0, 1.0), down(PITCH, -1.0), down(-PITCH, 1.0)
    if None in (level_rear, level_front, up, nose):
        return None
    return Pitched(rear_earlier=level_rear - up, front_earlier=level_front - nose, rear_on_knuckle=up < 0)


def carried(one: Prepared, found: Departed | None) -> tuple[Note, ...]:
    """Whether a drop is only for someone who carries the front.

    Parameters
    ----------
    one : Prepared
        The jump.
    found : Departed or None
        How it is left.

    Returns
    -------
    tuple of Note
        One, or none.
    """
    if one.terrain.shape != "drop" or found is None or found.dip <= limits.ASKS_FOR_CARRYING.value:
        return ()
    values = (("dip", found.dip), ("nose", -found.passive_pitch))
    return (Note(code=Code.THE_FRONT_MUST_BE_CARRIED, values=values, limit=limits.ASKS_FOR_CARRYING),)


def carried_or_pulled_up(one: Prepared, first: tuple[Note, ...], sure: tuple[float, float] | None) -> Note | None:
    """That a drop only for someone who carries the front has no speed that lands clean however that is done.

    Parameters
    ----------
    one : Prepared
        The jump.
    first : tuple of Note
        From `carried`.
    sure : tuple of float or None
        Speeds that land clean with the front carried from the edge on as well as only pulled up in the air [m/s].

    Returns
    -------
    Note or None
        None where there is such a speed, and of any other jump.
    """
    if sure is not None or not first:
        return None
    return Note(code=Code.NO_SPEED_FOR_WHO_CARRIES, values=(("length", one.terrain.face),))


def landing_notes(line: Line, index: int) -> list[Note]:
    """What a clean landing should be told besides.

    Parameters
    ----------
    line : Line
        With its defaults filled in.
    index : int
        Which jump, from 0.

    Returns
    -------
    list of Note
        May be empty.
    """
    notes, jump = [], line.jumps[index]
    ends = foot_slope(line, index)
    before = line.run_in if index == 0 else line.jumps[index - 1].runout
    if jump.shape == "drop" and ground_pieces(before, "") and abs(ends - jump.lip.angle) > limits.BOARD.value * (1 + 1e-9):
        notes.append(Note(code=Code.THE_EDGE_SLOPES_OTHERWISE, values=(("ends", ends), ("edge", jump.lip.angle)), limit=limits.BOARD))
    if jump.way_round is False:
        notes.append(Note(code=Code.NO_WAY_ROUND))
    return notes
