"""What each note says: its code's template, or a function of the note where the words hang on its numbers."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from jumpcalc.plan.answer import JumpAlone, Jumps
from jumpcalc.plan.notes import Code, Note
from jumpcalc.show.words.said import Least, Most, Said, Words, and_list, said, sentence

__all__ = ["FIRST", "TEMPLATES", "beyond", "first", "look_at", "note", "strokes", "unsaid"]


def strokes(count: int) -> Words:
    """So many pedal strokes.

    Parameters
    ----------
    count : int
        How many.

    Returns
    -------
    Said
        The number and the word for it.
    """
    return said(f"{{count:count}} pedal stroke{'s' if count > 1 else ''}", count=count)


def _strokes_do_not_fit(note: Note) -> Words:
    return said(
        "the aim would be left from {mark:length} before the foot of the lip, but only {fit:count} of the {strokes} fit there: "
        "make fewer and start higher",
        mark=note["mark"], fit=note["fit"], strokes=strokes(note["made"]),
    )  # fmt: skip


def _line_strokes_do_not_fit(note: Note) -> Words:
    return said(
        "with {strokes} it would have to start so near to the lip that they do not fit: make fewer", strokes=strokes(note["made"])
    )


def _rises(slope: float) -> Words:
    """A slope as what it does."""
    return said(f"{'falls' if slope < 0 else 'rises'} {{by:angle}}", by=abs(slope))


def _turning_off(template: str) -> Callable[[Note], Words]:
    """Words on leaving the line before the next jump, with the clear ground beside that where it was measured."""

    def words(note: Note) -> Words:
        clear = dict(note.values).get("clear")
        beside = "" if clear is None else said("; {clear:length} are clear on each side of it", clear=clear)
        return said("{begins}{beside}", begins=template, beside=beside)

    return words


def _values(note: Note) -> tuple[tuple[str, float | str], ...]:
    """A note's own numbers, and the limit that they are held against."""
    return note.values if note.limit is None else (*note.values, ("limit", note.limit.value))


TEMPLATES: dict[Code, str | Callable[[Note], Words]] = {
    # why there is no window
    Code.FACE_SHORTER_THAN_BIKE: (
        "the landing is shorter than the bike: {length:height>wheelbase} of face for {wheelbase:height} of wheelbase. Build the landing "
        "longer."
    ),
    Code.THE_RIDER_USES_UP_THE_LANDING: (
        "what a rider does at the lip alone uses up this landing: on {length:height} of face no speed lands clean both squashed "
        "and sprung"
    ),
    Code.NO_SPEED_FOR_BOTH_RIDERS: (
        "no speed lands clean both for a bike that rolls off and for one whose front is carried: how it is ridden decides, and "
        "{length:height} of face is too little for both"
    ),
    Code.ALWAYS_TOO_FAST: (
        "the foot of the lip lies so much higher than its edge that even from a standstill there the edge is left at {least:speed}, "
        "faster than the fastest clean {fastest:speed}. Lengthen the landing, or lower the foot."
    ),
    Code.LIP_POINTS_BELOW_THE_KNUCKLE: lambda note: said(
        "the edge points below the knuckle: it {leaves}, and the line from it to the knuckle {needs}. Steepen the {lip} or lower the "
        "landing.",
        leaves=_rises(note["angle"]), needs=_rises(note["needed"]), lip="lip" if note["angle"] > 0 else "last of the ground before it",
    ),
    Code.NOTHING_REACHES_THE_LANDING: (
        "no lip speed up to {speed:speed.0} reaches the landing. Shorten the gap or steepen the lip."
    ),
    Code.EVERY_LANDING_HITS_TOO_HARD: (
        "even the softest landing on the face hits as hard as a drop of {height:drop>limit}, more than the {limit:drop} accepted. "
        "A steeper landing hits less hard, and so does one that lies less far below."
    ),
    Code.EVERY_PATH_SKIPS_THE_FACE: (
        "every speed that clears the knuckle lands past the stretch where both wheels fit, {along:length} along it or further. "
        "Lengthen it, steepen the lip or lower the knuckle."
    ),
    # why there is no stopping answer
    Code.RUNOUT_NOT_MEASURED: (
        "the runout was not measured: whether there is room to stop is not known. Measure it to the end of the room."
    ),
    Code.NO_GRIP_KNOWN: (
        "no grip can be cited for this surface: whether there is room to stop is not known. Give the grip of the runout."
    ),
    # what to look at
    Code.NOT_ENOUGH_ROOM_TO_STOP: (
        "from the fastest clean landing there is not enough room to stop: {missing:length} are missing"
    ),
    Code.TURN_OFF_BEFORE_THE_NEXT: _turning_off(
        "nobody stops before the next jump: who will not jump it leaves by the way round it, and has to see that way in time"
    ),
    Code.NO_TURNING_OFF_BEFORE_THE_NEXT: _turning_off(
        "nobody stops before the next jump, and there is no way round it: whoever jumps this one has to jump that one too"
    ),
    Code.TURNING_OFF_BEFORE_THE_NEXT_NOT_KNOWN: _turning_off(
        "nobody stops before the next jump, and whether one can leave to the side before it is not said: look at that first"
    ),
    Code.ROOM_TO_STOP_IS_TIGHT: "the room to stop is tight: {margin:length} to spare",
    Code.THE_LAST_SLOPE_IS_TOO_STEEP_TO_STOP_ON: "with these brakes the bike does not stop on the last slope of the runout at all",
    Code.WHEELS_LEAVE_THE_GROUND_IN_THE_RUNOUT: (
        "{along:length} past the knuckle the ground falls away faster than the bike: the wheels leave it"
    ),
    Code.THE_LANDING_ENDS_IN_A_KINK: (
        "the landing ends in a kink of {turn:angle} without a curve: it costs speed and hits; dig a curve"
    ),
    Code.DRIFTS_OFF_THE_LANDING: (
        "in this side wind the bike drifts {drift:length>spare} to the side; beside half a handlebar ({half:length}, an assumption) the "
        "{width:length} wide landing leaves {spare:length}"
    ),
    Code.DRIFTS_ON_AN_UNMEASURED_WIDTH: (
        "in this side wind the bike drifts {drift:length} to the side, and the width of the landing was not measured: whether that is "
        "still on it is not known"
    ),
    Code.THE_SIDE_WIND_IS_TOO_STRONG: lambda note: said(
        "with a side wind of {wind:speed.0} it is not ridden: from {most:speed.0} on (a judgement, no source) the wind turns the bike "
        "as well, which is not reckoned with here",
        wind=note["wind"], most=Most(note["limit"]),
    ),
    Code.THE_GROUND_IS_WET: (
        "wet ground takes speed and grip by amounts that nobody foresees, and riding it wet spoils it. Dry enough is: nothing sticks to "
        "tyre or shoe, a heel leaves no dent in run-in, lip and landing, and no water stands on any of them or on the runout (common "
        "practice, no source)"
    ),
    Code.NARROWER_THAN_A_HANDLEBAR: (
        "the landing is {width:length>bar} wide, no more than a handlebar ({bar:length}, an assumption): it leaves nothing to either "
        "side. Measure it again, or build it wider"
    ),
    Code.NARROWER_THAN_THE_LIP: (
        "the landing is narrower than the lip, {width:height>lip} against {lip:height}: who leaves beside the middle may land beside it"
    ),
    Code.NOBODY_RIDES_THAT_EXACTLY: lambda note: said(
        "all that lands clean lies within ± {half:speed}: nobody rides or measures speed that exactly. Lengthen the landing",
        half=Least(note["half"]),
    ),
    Code.A_GUST_FROM_AHEAD: (
        "a gust of {gust:speed.0} from ahead lands the aim {moves:length} shorter, and not clean any more: not in gusts"
    ),
    Code.A_GUST_FROM_BEHIND: (
        "a gust of {gust:speed.0} from behind lands the aim {moves:length} longer, and not clean any more: not in gusts"
    ),
    Code.THE_EDGE_SLOPES_OTHERWISE: lambda note: said(
        "the ground before this drop was measured so that it {there} at its end, the edge so that it {here}: the edge is believed. "
        "Put the board on both again",
        there=_rises(note["ends"]), here=_rises(note["edge"]),
    ),
    Code.FLOWN_AS_A_POINT: (
        "flown as the textbook's point, as the line asks: from the same start mark a bike with its rider lands shorter"
    ),
    Code.A_WHEEL_LIFTS_ON_THE_LIP: (
        "on this lip a stiff rider's {wheel} wheel lifts {before:height} before the edge: nobody rides it like that, and how it is "
        "left was not checked"
    ),
    Code.THE_FRONT_MUST_BE_CARRIED: (
        "without a rider who carries the front, its wheel dips {dip:angle} before the rear one has left, and the bike would come down "
        "{nose:angle} nose-down: only for someone who can carry the front"
    ),
    Code.THE_GAP_IS_FAR_OUTSIDE: (
        "a gap of {value:length>limit} is more than the {limit:length} up to which a speed to ride is given here: nothing "
        "stands behind one"
    ),
    Code.THE_LIP_IS_FAR_OUTSIDE: (
        "a lip of {value:angle>limit} is steeper than the {limit:angle} up to which a speed to ride is given here: nothing "
        "stands behind one"
    ),
    Code.THE_SPEED_IS_FAR_OUTSIDE: (
        "{value:speed>limit} before the lip is more than the {limit:speed} up to which a speed to ride is given here: "
        "nothing stands behind it"
    ),
    Code.NO_SPEED_FOR_WHO_CARRIES: (
        "only someone who carries the front rides off this edge, and no speed lands clean both with the front carried from the edge on "
        "and with the front only pulled up in the air; {length:height} of face is too little for both. A longer one may have such a "
        "speed; for someone who carries the front from the edge on every time give the rider's path as \"point\""
    ),
    Code.NO_SPEED_LIES_INSIDE: (
        "only {aim:speed} lands clean, with less than ± {limit:speed} to spare: nobody rides that exactly, and nothing shows it. "
        "A longer or a steeper landing helps"
    ),
    # the run-in and the ride
    Code.WHEELS_LEAVE_THE_RUN_IN: (
        "{mark:length} before the foot of the lip the ground falls away faster than the bike: the wheels leave it; speed, start "
        "mark and roll time behind it are not known"
    ),
    Code.THE_RUN_IN_HAS_A_KINK_DOWN: (
        "{mark:length} before the foot of the lip the ground turns down in a kink: the bike may leave it, and speed, start mark and "
        "roll time behind it are not known"
    ),
    Code.HALTS_ON_THE_RUN_IN: (
        "from the start mark the bike comes to a halt, or does not roll off, {mark:length} before the foot of the lip"
    ),
    Code.HALTS_ON_THE_LIP: "from the start mark the bike comes to a halt on the lip, before its edge",
    Code.THE_RUN_IN_ENDS_BEFORE_THE_AIM: (
        "from the top of the run-in the edge is left {missing:speed} under the aim: that lands clean, with less to spare on the slow side"
    ),
    Code.THE_RUN_IN_IS_TOO_SHORT: (
        "even from the top of the run-in the edge is left {missing:speed} too slowly for the aim"
    ),
    Code.THE_STROKES_DO_NOT_FIT_FROM_THE_MARK: _strokes_do_not_fit,
    Code.THE_START_MARK_IS_TOO_HIGH: (
        "from the start mark as measured the lip is left {over:speed} faster than the fastest clean speed: start lower, or brake "
        "before the foot of the lip"
    ),
    Code.SHORT_ENDS_THE_RIDE: "it lands short",
    Code.NOT_CLEAN_ENDS_THE_RIDE: "it does not land clean, and what comes after that is anyone's guess",
    Code.A_HARD_LANDING_ENDS_THE_RIDE: "it lands harder than accepted, and what comes after that is anyone's guess",
    Code.HALTS_BETWEEN_THE_JUMPS: "it comes to a halt {along:length} past the knuckle, before the next lip",
    Code.HALTS_ON_THE_NEXT_LIP: "it comes to a halt on the next lip, before its edge",
    Code.THE_GROUND_BETWEEN_IS_NOT_MEASURED: "the ground to the next lip is not measured",
    Code.EVEN_THE_TOP_IS_TOO_LOW_FOR_THE_LINE: (
        "even from the top of the run-in the line is not ridden clean without more pedalling"
    ),
    Code.EVERY_START_IS_TOO_FAST_FOR_THE_LINE: (
        "the bike is rolled in too fast: even started right before the lip it is faster than what lands all clean"
    ),
    Code.THE_STROKES_DO_NOT_FIT_ON_THE_LINE_S_START_MARKS: _line_strokes_do_not_fit,
    Code.A_JUMP_OF_THE_LINE_HAS_NO_WINDOW: "no speed lands it clean, so the line cannot be ridden clean",
    Code.THE_NEXT_LIP_IS_NOT_REACHED: "no clean landing carries to the next lip",
    Code.NO_SPEED_LANDS_BOTH_CLEAN: (
        "no clean landing carries, without a stroke or a brake, to a speed that lands all the jumps after it clean"
    ),
    # where they landed
    Code.NO_AIM: "no lip speed lands this jump clean, so there is no aim to compare with: change the jump, not the speed",
    Code.NO_NEAR_WALL: "this jump has no near wall that a bike could hit: pick the distance instead",
    Code.NO_SPEED_LANDS_THERE: (
        "by this model no lip speed puts the rear wheel there: the path passes over that place, or rolls off the edge. Look "
        "again at where it touched"
    ),
    Code.STARTED_OFF_THE_RUN_IN: (
        "a start {mark:length>top} before the foot of the lip is not on this run-in: allowed above 0 to {top:length}, its length"
    ),
    Code.MORE_STROKES_THAN_FIT: lambda note: said(
        "{strokes} from {mark:length} before the foot of the lip: at most {fit:count} fit there",
        strokes=strokes(note["made"]), mark=note["mark"], fit=note["fit"],
    ),
    Code.THE_START_GIVES_ANOTHER_LANDING: (
        "change neither the start nor the speed before it is known which of these it was: a new mark would rest on a "
        "run-in, or a place, that is not as it was measured"
    ),
    Code.NO_SUCH_START: "give a start that this run-in has, or none, before anything is changed",
    Code.FASTER_THAN_THE_RUN_IN: lambda note: said(
        "this run-in cannot give that landing: from its top{pedalled} the edge is left at {fastest:speed}, and landing there takes at "
        "least {least:speed>fastest}. Measure the place, the run-in and the jump again before anything is changed",
        fastest=note["fastest"], least=note["least"],
        pedalled=said(" with {strokes}, all that fit or were made,", strokes=strokes(note["made"])) if note["made"] else "",
    ),
    Code.ANY_CHANGE_MAY_OVERDO_IT: (
        "leave the speed as it is until that is known: within what the rider may have done at the edge, any change that would help "
        "may also overdo it"
    ),
    # whether it can be rolled
    Code.TOO_STEEP_TO_ROLL: (
        "with {angle:angle} it is as steep as {limit:angle} or steeper, which flow-trail guidance (IMBA) does not count as rollable"
    ),
    Code.TOO_HIGH_TO_ROLL: (
        "it is {height:height>limit} high, more than the {limit:length} of flow-trail guidance (IMBA)"
    ),
    Code.A_DECK_TO_ROLL_ON: (
        "it has a deck, is {height:height} high and less steep than 45° (flow-trail guidance, IMBA)"
    ),
    Code.THE_DROP_CAN_BE_ROLLED: (
        "the drop is {dip:height} high, at most {limit:length} (common practice, no source)"
    ),
    Code.THE_DROP_IS_TOO_HIGH_TO_ROLL: (
        "the drop is {dip:height>limit} high, more than {limit:length} (common practice, no source)"
    ),
    Code.NO_WAY_ROUND: "there is no way round it: who comes in wrong has nowhere to turn off",
    Code.THE_LIP_LOADS_HARD: (
        "the lip presses the rider down with {load:load}, more than the {limit:load} under which a rider stays stiff (common "
        "practice, no source): the landing is less sure than it says"
    ),
    Code.THE_DIP_CAN_BE_ROLLED: (
        "the dip is {dip:height} deep, at most the {limit:length} of the New Zealand guidelines"
    ),
    Code.THE_DIP_IS_TOO_DEEP_TO_ROLL: (
        "the dip is {dip:height>limit} deep, more than the {limit:length} of the New Zealand guidelines"
    ),
}
"""What each code says."""

FIRST: dict[Code, str | Callable[[Note], Words]] = {
    Code.THE_FRONT_MUST_BE_CARRIED: "Only for someone who carries the front.",
    Code.DRIFTS_ON_AN_UNMEASURED_WIDTH: "Side wind, and the landing's width was not measured.",
    Code.NARROWER_THAN_A_HANDLEBAR: "The landing is narrower than a handlebar.",
    Code.NARROWER_THAN_THE_LIP: "The landing is narrower than the lip.",
    Code.NOBODY_RIDES_THAT_EXACTLY: lambda note: said("Within ± {half:speed}: nobody rides that exactly.", half=Least(note["half"])),
    Code.A_GUST_FROM_AHEAD: "Not in gusts.",
    Code.A_GUST_FROM_BEHIND: "Not in gusts.",
}
"""What must be known before any speed, in as few words as a headline has room for; with what is not for today no speed is given."""


def note(of: Note, *, jumps: int = 1) -> Words:
    """A note as a sentence's body, without a full stop where it may stand inside one.

    Parameters
    ----------
    of : Note
        A code and its numbers.
    jumps : int
        How many jumps the line has; with more than one the note says which it is about.

    Returns
    -------
    str or Said
        The words.
    """
    template = TEMPLATES[of.code]
    words = template(of) if callable(template) else Said(template, _values(of))
    return _of_jumps(words, [] if of.jump is None else [of.jump], jumps)


def beyond(jump: JumpAlone) -> list[Note]:
    """What a jump's headline begins with: why no speed to ride is given, or what was not checked.

    Parameters
    ----------
    jump : JumpAlone
        The answer for one jump.

    Returns
    -------
    list of Note
        In order; that a line asks for the textbook's point is no news to it.
    """
    if jump.no_ride is not None:
        return [jump.no_ride]
    return [of for of in jump.unchecked if of.code is not Code.FLOWN_AS_A_POINT]


def first(jump: JumpAlone) -> list[Words]:
    """What a headline says before it gives a speed, of the wind and of windows too narrow to ride.

    Parameters
    ----------
    jump : JumpAlone
        The answer for one jump.

    Returns
    -------
    list of str or Said
        Short sentences, none twice; what there is to them stands among what to look at.
    """
    told = [(FIRST[of.code], of) for of in jump.beware if of.code in FIRST]
    return list(dict.fromkeys(words(of) if callable(words) else words for words, of in told))


def unsaid(answer: Jumps, *, headlines: Iterable[int]) -> tuple[Note, ...]:
    """The warnings of an answer that do not stand in the headlines of its jumps.

    Parameters
    ----------
    answer : Jumps
        What `solve` gave.
    headlines : iterable of int
        The jumps whose headlines are shown, from 0.

    Returns
    -------
    tuple of Note
        What is left to look at.
    """
    told = [replace(of, jump=number) for index in headlines for of in beyond(answer.jumps[index]) for number in (None, index + 1)]
    return tuple(warning for warning in answer.warnings if warning not in told)


def look_at(warnings: tuple[Note, ...], *, jumps: int) -> list[Words]:
    """What to look at, a sentence for each; what is the same for several jumps is said once, of all of them.

    Parameters
    ----------
    warnings : tuple of Note
        Of an answer.
    jumps : int
        How many jumps the line has.

    Returns
    -------
    list of Said
        Sentences.
    """
    of: dict[Words, list[int | None]] = {}
    for each in warnings:
        of.setdefault(note(each), []).append(each.jump)
    return [sentence(_of_jumps(words, [n for n in numbers if n is not None], jumps)) for words, numbers in of.items()]


def _of_jumps(words: Words, numbers: list[int], jumps: int) -> Words:
    """Words with the jumps they are about, where a line has several."""
    if jumps == 1 or not numbers:
        return words
    which = and_list([str(number) for number in numbers])
    return said("jump{s} {which}: {words}", s="s" if len(numbers) > 1 else "", which=which, words=words)
