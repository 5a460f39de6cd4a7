"""Stopping after a landing, along the ground that is really there."""

from __future__ import annotations

import numpy as np

from jumpcalc.physics.rolling import roll
from jumpcalc.plan.answer import LandingResult, Stop
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.terrain import Prepared

__all__ = ["stopping"]


def stopping(course: Prepared, landing: LandingResult) -> tuple[Stop | None, tuple[Note, ...]]:
    """Stopping distance from a landing, against the room there is.

    Parameters
    ----------
    course : Prepared
        The jump.
    landing : LandingResult
        The touchdown to stop from.

    Returns
    -------
    stop : Stop or None
        None where the runout is not measured or no grip is known.
    notes : tuple of Note
        Why there is none, or what was met on the way.

    Notes
    -----
    The bike rolls on for the reaction time, then brakes; half a wheelbase is taken off the room, so
    that the front wheel stops in it. Beyond the end of the runout its last slope goes on, to say how
    many metres are missing.
    """
    if course.terrain.runout_end is None:
        return None, (Note(code=Code.RUNOUT_NOT_MEASURED),)
    if course.conditions.braking is None:
        return None, (Note(code=Code.NO_GRIP_KNOWN),)
    speed, start = max(landing.along_ground, 0.0), landing.along_face
    height = course.body.height
    rolling = course.roller(course.conditions.landing_rolling, height)
    first = roll(course.terrain.ground, start, speed, rolling, duration=course.reaction)
    braking = course.roller(course.conditions.landing_rolling, height, braking=course.conditions.braking)
    then = roll(course.terrain.ground, first.s, first.speed, braking)
    notes = [
        Note(code=Code.WHEELS_LEAVE_THE_GROUND_IN_THE_RUNOUT, values=(("along", float(track.lifted[0])),))
        for track in (first, then)
        if np.isfinite(track.lifted[0])
    ]
    available = course.terrain.runout_end - start - course.rig.wheelbase / 2
    reaction = float(first.s[0] - start)
    stops_at_all = bool(then.stopped[0])
    braked = float(then.s[0] - first.s[0]) if stops_at_all else None
    total = reaction + braked if stops_at_all else None
    margin = available - total if stops_at_all else None
    if not stops_at_all:
        notes.append(Note(code=Code.THE_LAST_SLOPE_IS_TOO_STEEP_TO_STOP_ON))
    stop = Stop(
        from_speed=speed,
        reaction=reaction,
        braking=braked,
        total=total,
        available=available,
        margin=margin,
        stops=margin is not None and margin >= 0,
    )
    return stop, tuple(notes)
