"""Whether one can stop instead: before the lip, and after the landing."""

from __future__ import annotations

from jumpcalc.plan.answer import JumpAlone, JumpAnswer
from jumpcalc.plan.limits import TIGHT_ROOM
from jumpcalc.show.words.jump import end
from jumpcalc.show.words.notes import note
from jumpcalc.show.words.said import Least, Minus, Most, Plus, Words, joined, said, sentence

__all__ = ["BETWEEN", "after", "before"]

BETWEEN = "There is no room to stop between this jump and the next."


def after(jump: JumpAnswer) -> Words:
    """Whether there is room to stop, from the fastest clean landing.

    Parameters
    ----------
    jump : JumpAnswer
        The answer for one jump.

    Returns
    -------
    str or Said
        A sentence, or nothing where no speed lands clean.
    """
    stop = jump.stop
    if stop is None:
        return sentence(note(jump.why_no_stop)) if jump.why_no_stop is not None else ""
    if jump.way_out is not None and not stop.stops:
        return BETWEEN
    start = said("From the fastest clean landing ({speed:speed} along the ground)", speed=stop.from_speed)
    if stop.total is None:
        return said("{start} the bike does not stop on the last slope of this runout with these brakes.", start=start)
    room = said(
        "{start} stopping takes {total:length}, {reaction:length} of them before the brakes bite",
        start=start, total=stop.total, reaction=stop.reaction,
    )  # fmt: skip
    if stop.stops:
        tight = ", which is tight" if stop.margin < TIGHT_ROOM.value else ""
        text = f"{{room}}; there are {{available:length}}, {{margin:length}} to spare{tight}."
    else:
        text = "{room}; there are only {available:length}: {margin:length} are missing."
    margin = abs(stop.margin)
    available = Plus(stop.total, margin) if stop.stops else Minus(stop.total, margin)
    return joined([said(text, room=room, available=available, margin=margin), _out_of_reach(jump)])


def _out_of_reach(jump: JumpAlone) -> Words:
    """That the fastest clean landing is one that this run-in does not give, where that leaves too little room."""
    top = jump.run_in.lip_speed if isinstance(jump, JumpAnswer) and jump.run_in is not None else None
    if top is None or jump.stop.stops or top >= jump.window.speeds.max:
        return ""
    return said(
        "That is for {fastest:speed} at the edge; from its top this run-in gives {top:speed} on the ground and in the wind of the line, "
        "more on faster ground or with wind from behind.",
        fastest=Most(jump.window.speeds.max), top=top,
    )  # fmt: skip


def before(jump: JumpAnswer) -> Words:
    """The last place to stop before this lip.

    Parameters
    ----------
    jump : JumpAnswer
        The answer for one jump.

    Returns
    -------
    str or Said
        Sentences, or nothing where there is nothing to say.
    """
    found = jump.abort
    if found is None:
        if jump.run_in is None or jump.window.speeds is None or jump.run_in.foot_speed is None:
            return ""
        return (
            f"Where one can still stop before this {end(jump)} is not known: no grip can be cited for this surface. Give "
            "the grip of the run-in."
        )
    if not found.exists:
        return (
            f"Before this {end(jump)}, riding for its speed, there is no place from which the bike still stops: not even at the start "
            "mark. A check of the speed needs a way off to the side."
        )
    drop = jump.shape == "drop"
    last = said(
        f"Before this {end(jump)}: decide to stop at the latest {{last:length}} before {'it' if drop else 'its foot'}, at "
        f"{{speed:speed}}, riding {'for the aim' if jump.run_in.marks[1] is not None else 'from the top'}.",
        last=Least(found.last), speed=found.speed,
    )  # fmt: skip
    slow = ""
    if found.speed < 0.9 * found.foot_speed:
        slow = said(
            f"That is far below the {{foot:speed}} at the {'edge' if drop else 'foot'}: a check at full speed needs a way off to "
            "the side.",
            foot=found.foot_speed,
        )
    return joined([last, slow])
