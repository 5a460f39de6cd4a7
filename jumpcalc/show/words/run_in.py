"""What is said of the run-in: where to start, how sure that is, how to check it, and what the day may change."""

from __future__ import annotations

from jumpcalc.plan.answer import Change, JumpAnswer, Ride, RunInAnswer
from jumpcalc.plan.ask.run_in import MOST_STROKES
from jumpcalc.show.words.jump import end, foot
from jumpcalc.show.words.notes import strokes
from jumpcalc.show.words.said import Between, Least, Most, Words, joined, listed, said

__all__ = ["CHANGES", "changes", "start", "stopwatch"]

_CHECKS = (
    "The lowest is for a speed check, which leads past the {end} to one side: go up step by step, and do not jump from a mark not yet "
    "checked."
)

CHANGES: dict[str, Words] = {
    "tailwind_1_mps": said("{wind:speed} more wind from behind", wind=1.0),
    "headwind_1_mps": said("{wind:speed} more wind from ahead", wind=1.0),
    "rolling_resistance_plus_0_01": "softer dirt (rolling resistance 0.01 more)",
    "rolling_resistance_minus_0_01": "harder dirt (rolling resistance 0.01 less)",
    "slope_1_deg_steeper": "a run-in 1° steeper than measured",
    "slope_1_deg_flatter": "a run-in 1° flatter than measured",
    "drag_area_plus_0_1_m2": said("a taller rider or wider clothes ({area:area} more drag area)", area=0.1),
    "drag_area_minus_0_1_m2": said("a smaller rider or tighter clothes ({area:area} less drag area)", area=0.1),
}
"""What each change of the conditions is called, by its code."""


def start(jump: JumpAnswer, ride: Ride | None = None) -> list[Words]:
    """Where to start, how sure that is, and how to check it on the spot.

    Parameters
    ----------
    jump : JumpAnswer
        The first jump's answer.
    ride : Ride, optional
        That of its line, where other jumps follow: what they leave of its marks is told.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    found = jump.run_in
    line = ride.window if ride is not None and ride.carries else None
    if jump.window.speeds is None:
        return []
    if found is None:
        return ["The run-in was not measured: where to start is not known."]
    if found.marks[1] is not None:
        told = _marks(jump, found, line)
    elif found.from_top:
        told = _from_top(jump, found, line)
    elif found.missing is None:
        told = [_rolled_in_too_fast(found)]
    else:
        told = _too_short(jump, found)
    load = ""
    if found.lip_load is not None:
        load = said("The greatest load on the lip, from the start mark as measured, is {load:load}.", load=found.lip_load)
    return listed([*told, _brake(jump, found), load])


def _brake(jump: JumpAnswer, found: RunInAnswer) -> Words:
    """Where to brake from a start mark that is too high."""
    way = found.brake
    if way is None:
        return ""
    speeds = "from {fast:speed} down to {slow:speed}"
    if way.to_speed >= way.from_speed:  # the ground is so steep that these brakes only hold it back
        speeds = "from {fast:speed} on, so that it is no faster than {slow:speed} there"
    return said(
        "From the start mark as measured it is too fast: start lower, or brake from {begin:length} to {stop:length} before the {end} with "
        f"about {{use:share}} of the hardest braking there is, {speeds}, and let go.",
        begin=way.begin, stop=way.end, end=foot(jump), use=way.use, fast=way.from_speed, slow=way.to_speed,
    )  # fmt: skip


def _rolled_in_too_fast(found: RunInAnswer) -> Words:
    """That even a start right before the lip is too fast."""
    plan = found.strokes
    if plan is not None and plan.made and plan.works is not None:
        return said(
            "No start mark gives the aim with {strokes}; with {works} there is one.", strokes=strokes(plan.made), works=strokes(plan.works)
        )
    if plan is not None and plan.made:
        return said(
            "No start mark gives the aim with {strokes}: where it is not too fast they do not fit. Make fewer, or make the run-in steeper.",
            strokes=strokes(plan.made),
        )
    return "No start mark gives the aim: the bike is rolled in too fast. Roll in more slowly."


def _from_top(jump: JumpAnswer, found: RunInAnswer, line: tuple[float, float] | None) -> list[Words]:
    """That the top is where to start although it does not give the aim, and what would give it."""
    begin = said(
        "Start at the top of the run-in, {top:length} before the {end}: from there the edge is left {missing:speed} under the aim, which "
        "lands clean, with less to spare on the slow side. On softer dirt, against the wind or with the slope misread the top may be too "
        "low: check the speed there first, the {lip} not jumped.",
        top=Most(found.length), missing=found.missing, end=foot(jump), lip=end(jump),
    )  # fmt: skip
    what, slow = ("it lands", found.marks[0]) if line is None else ("all of the line lands", line[0])
    clean = said(f"By this model {what} clean from {{slow:length}} before the {{end}} to the top.", slow=Least(slow), end=foot(jump))
    plan = found.strokes
    cure = _stroke_cure(found, "The aim") if plan is not None and plan.works == plan.needed else ""
    return [begin, clean, stopwatch(found, to=f"the {foot(jump)}"), cure, _higher(jump, found)]


def _too_short(jump: JumpAnswer, found: RunInAnswer) -> list[Words]:
    """That even the top is too low, and what would cure it."""
    slow = found.marks[0]
    top: Words = "the bike does not reach the edge"
    if found.lip_speed is not None:
        top = said("the edge is left {missing:speed} too slowly for the aim", missing=found.missing)
    too_short = said(
        "The run-in is too short: from its top, {length:length} before the {end}, {top}.",
        length=Most(found.length), end=foot(jump), top=top,
    )  # fmt: skip
    clean = ""
    if slow is not None:
        clean = said(
            "From {slow:length} before the {end} on it lands clean, with little to spare.", slow=Least(slow), end=foot(jump)
        )
    return [too_short, clean, _stroke_cure(found), _higher(jump, found)]


def _higher(jump: JumpAnswer, found: RunInAnswer) -> Words:
    """How much further up the aim has a start."""
    if found.higher is None:
        return ""
    return said(
        "A start {more:length} further up, {whole:length} before the {end}, gives the aim, if the ground goes on there as it begins at the "
        "top.",
        more=Least(found.higher), whole=Least(found.length + found.higher), end=foot(jump),
    )  # fmt: skip


def _stroke_cure(found: RunInAnswer, it: str = "It") -> Words:
    """What would cure a run-in that is too short for `it`."""
    plan = found.strokes
    if plan is None or plan.needed == 0:
        return ""
    if plan.needed > max(plan.fit, MOST_STROKES):
        text = (
            "{it} would take far more pedal strokes than the {fit:count} that fit: steepen the run-in or start higher, or shorten the gap."
        )
    elif plan.needed > plan.fit:
        text = "{it} would take {strokes}, but only {fit:count} fit: steepen the run-in or start higher, or shorten the gap."
    elif plan.works is None:
        text = (
            "With {strokes} it is fast enough from the top, but from where it is not too fast they no longer fit, and with one less it is "
            "too slow: make the run-in steeper, or its start higher."
        )
    else:
        text = "{it} would take {strokes} in all; {fit:count} fit. Or make the run-in steeper, or its start higher."
    return said(text, it=it, strokes=strokes(plan.needed if plan.works is None else plan.works), fit=plan.fit)


def _marks(jump: JumpAnswer, found: RunInAnswer, line: tuple[float, float] | None) -> list[Words]:
    """The start mark of the aim with its span, those that land clean, all of a line where it has several jumps, and a stopwatch."""
    slow, aim, fast = found.marks if line is None else (line[0], found.marks[1], line[1] if line[1] < found.length else None)
    span, made = found.span, found.strokes.made if found.strokes is not None else 0
    pedalled = said(", with {strokes},", strokes=strokes(made)) if made else ""
    here = (
        "Start {aim:length} before the {end}{pedalled} for the aim; on other dirt, in other wind or with the slope misread that is "
        "anywhere from {short:length} "
    )
    here += (
        "to {long:length}. {checks}"
        if span.long is not None
        else "on, and the top of the run-in ({top:length}) may be too low. {checks}"
    )
    told: list[Words] = [
        said(
            here, aim=aim, end=foot(jump), pedalled=pedalled, short=span.short, long=span.long, top=Most(found.length),
            checks=said(_CHECKS, end=end(jump)),
        )
    ]
    if slow is not None:
        wider = span.short < slow or (fast is not None and (span.long or 1e9) > fast)
        marks = "{clean:length}" if fast is not None else "{slow:length} to the top, {top:length},"
        less = " That is less room than dirt, wind and slope may take." if wider else ""
        what = "it lands" if line is None else "all of the line lands"
        own = "" if line is None or line[0] <= aim <= line[1] else " The first jump's own aim is not among them: start from one of them."
        told.append(
            said(
                f"By this model {what} clean from {marks} before the {foot(jump)}.{own}{less}",
                clean=Between(Least(slow), Most(fast or found.length)), slow=Least(slow), top=Most(found.length),
            )
        )  # fmt: skip
    told.append(stopwatch(found, to=f"the {foot(jump)}"))
    return told


def stopwatch(found: RunInAnswer, *, to: str = "the foot of the lip") -> Words:
    """What a stopwatch tells at the start mark of the aim.

    Parameters
    ----------
    found : RunInAnswer
        The run-in.
    to : str
        Where it is stopped.

    Returns
    -------
    str or Said
        A sentence.
    """
    slow, fast = found.slow_time, found.fast_time
    if slow is None or (fast is not None and f"{fast:.1f}" == f"{slow:.1f}"):
        return said(
            "By roll time too slow and too fast cannot be told apart here, and a shove at the start changes it at an unchanged speed: "
            "check the speed at {to}.",
            to=to,
        )
    inside = "less may be in the window or too fast, which a stopwatch does not tell here"
    if fast is not None:
        inside = "{fast:time bare} to {slow:time} in the window, less than {fast:time} too fast"
    return said(
        f"Stopwatch from there to {{to}}, rolling off without a shove, the average of three: more than {{slow:time}} too slow, {inside}. "
        "It tells to about {error:time}, and not at all after a shove: what counts is the speed at {to}.",
        to=to, slow=slow, fast=fast, error=0.1,
    )  # fmt: skip


def changes(jump: JumpAnswer) -> Words:
    """What the day may change from the same start mark, in one sentence.

    Parameters
    ----------
    jump : JumpAnswer
        The first jump's answer.

    Returns
    -------
    str or Said
        A sentence, or nothing.
    """
    if jump.run_in is None or all(each.by is None for each in jump.run_in.changes):
        return ""
    found, speeds = jump.run_in, jump.window.speeds
    clean = speeds is not None and (found.marks[1] is not None or speeds.min <= (found.lip_speed or 0.0) <= speeds.max)
    whence = "the aim's mark" if found.marks[1] is not None else "the top"
    return said("From {whence}, at the edge: {told}.", whence=whence, told=joined([_change(each, clean) for each in found.changes], "; "))


def _change(of: Change, clean: bool) -> Words:
    """What one change does to the lip speed, and whether what was clean, or was not, then no longer is."""
    if of.by is None:
        return said("{name}: the bike does not get there", name=CHANGES[of.code])
    then = "" if of.stays == clean else " (clean then)" if of.stays else " (no longer clean)"
    return said(f"{{name}} {{by:speed signed}}{then}", name=CHANGES[of.code], by=of.by)
