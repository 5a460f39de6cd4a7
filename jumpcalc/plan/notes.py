"""What is to be said, as a code and its numbers; the words are made where it is shown."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from jumpcalc.plan.limits import Limit

__all__ = ["Code", "Note"]


class Code(StrEnum):
    """What a note says; each has its words in `show.words`."""

    # why there is no window
    FACE_SHORTER_THAN_BIKE = "face shorter than bike"
    THE_RIDER_USES_UP_THE_LANDING = "the rider uses up the landing"
    NO_SPEED_FOR_BOTH_RIDERS = "no speed for both riders"
    ALWAYS_TOO_FAST = "always too fast"
    LIP_POINTS_BELOW_THE_KNUCKLE = "lip points below the knuckle"
    NOTHING_REACHES_THE_LANDING = "nothing reaches the landing"
    EVERY_LANDING_HITS_TOO_HARD = "every landing hits too hard"
    EVERY_PATH_SKIPS_THE_FACE = "every path skips the face"

    # why there is no stopping answer
    RUNOUT_NOT_MEASURED = "runout not measured"
    NO_GRIP_KNOWN = "no grip known"

    # what to look at
    NOT_ENOUGH_ROOM_TO_STOP = "not enough room to stop"
    TURN_OFF_BEFORE_THE_NEXT = "turn off before the next"
    NO_TURNING_OFF_BEFORE_THE_NEXT = "no turning off before the next"
    TURNING_OFF_BEFORE_THE_NEXT_NOT_KNOWN = "turning off before the next not known"
    ROOM_TO_STOP_IS_TIGHT = "room to stop is tight"
    THE_LAST_SLOPE_IS_TOO_STEEP_TO_STOP_ON = "the last slope is too steep to stop on"
    WHEELS_LEAVE_THE_GROUND_IN_THE_RUNOUT = "wheels leave the ground in the runout"
    THE_LANDING_ENDS_IN_A_KINK = "the landing ends in a kink"
    DRIFTS_OFF_THE_LANDING = "drifts off the landing"
    DRIFTS_ON_AN_UNMEASURED_WIDTH = "drifts on an unmeasured width"
    THE_GROUND_IS_WET = "the ground is wet"
    THE_SIDE_WIND_IS_TOO_STRONG = "the side wind is too strong"
    NARROWER_THAN_A_HANDLEBAR = "narrower than a handlebar"
    NARROWER_THAN_THE_LIP = "narrower than the lip"
    NOBODY_RIDES_THAT_EXACTLY = "nobody rides that exactly"
    A_GUST_FROM_AHEAD = "a gust from ahead"
    A_GUST_FROM_BEHIND = "a gust from behind"
    THE_EDGE_SLOPES_OTHERWISE = "the edge slopes otherwise"
    FLOWN_AS_A_POINT = "flown as a point"
    A_WHEEL_LIFTS_ON_THE_LIP = "a wheel lifts on the lip"
    THE_FRONT_MUST_BE_CARRIED = "the front must be carried"
    THE_GAP_IS_FAR_OUTSIDE = "the gap is far outside"
    THE_LIP_IS_FAR_OUTSIDE = "the lip is far outside"
    THE_SPEED_IS_FAR_OUTSIDE = "the speed is far outside"
    NO_SPEED_FOR_WHO_CARRIES = "no speed lands clean however the front is carried"
    NO_SPEED_LIES_INSIDE = "no speed that can be said lies inside the window"

    # the run-in and the ride
    WHEELS_LEAVE_THE_RUN_IN = "wheels leave the run-in"
    THE_RUN_IN_HAS_A_KINK_DOWN = "the run-in has a kink down"
    HALTS_ON_THE_RUN_IN = "halts on the run-in"
    HALTS_ON_THE_LIP = "halts on the lip"
    THE_RUN_IN_ENDS_BEFORE_THE_AIM = "the run-in ends before the aim"
    THE_RUN_IN_IS_TOO_SHORT = "the run-in is too short"
    THE_STROKES_DO_NOT_FIT_FROM_THE_MARK = "the strokes do not fit from the mark"
    THE_START_MARK_IS_TOO_HIGH = "the start mark is too high"
    SHORT_ENDS_THE_RIDE = "short ends the ride"
    NOT_CLEAN_ENDS_THE_RIDE = "not clean ends the ride"
    A_HARD_LANDING_ENDS_THE_RIDE = "a hard landing ends the ride"
    HALTS_BETWEEN_THE_JUMPS = "halts between the jumps"
    HALTS_ON_THE_NEXT_LIP = "halts on the next lip"
    THE_GROUND_BETWEEN_IS_NOT_MEASURED = "the ground between is not measured"
    EVEN_THE_TOP_IS_TOO_LOW_FOR_THE_LINE = "even the top is too low for the line"
    EVERY_START_IS_TOO_FAST_FOR_THE_LINE = "every start is too fast for the line"
    THE_STROKES_DO_NOT_FIT_ON_THE_LINE_S_START_MARKS = "the strokes do not fit on the line's start marks"
    A_JUMP_OF_THE_LINE_HAS_NO_WINDOW = "a jump of the line has no window"
    THE_NEXT_LIP_IS_NOT_REACHED = "the next lip is not reached"
    NO_SPEED_LANDS_BOTH_CLEAN = "no speed lands both clean"

    # where they landed
    NO_AIM = "no aim"
    NO_NEAR_WALL = "no near wall"
    NO_SPEED_LANDS_THERE = "no speed lands there"
    STARTED_OFF_THE_RUN_IN = "started off the run-in"
    MORE_STROKES_THAN_FIT = "more strokes than fit"
    NO_SUCH_START = "no such start"
    THE_START_GIVES_ANOTHER_LANDING = "the start gives another landing"
    FASTER_THAN_THE_RUN_IN = "faster than the run-in"
    ANY_CHANGE_MAY_OVERDO_IT = "any change may overdo it"

    # whether it can be rolled
    TOO_STEEP_TO_ROLL = "too steep to roll"
    TOO_HIGH_TO_ROLL = "too high to roll"
    A_DECK_TO_ROLL_ON = "a deck to roll on"
    THE_DROP_CAN_BE_ROLLED = "the drop can be rolled"
    THE_DROP_IS_TOO_HIGH_TO_ROLL = "the drop is too high to roll"
    NO_WAY_ROUND = "no way round"
    THE_LIP_LOADS_HARD = "the lip loads hard"
    THE_DIP_CAN_BE_ROLLED = "the dip can be rolled"
    THE_DIP_IS_TOO_DEEP_TO_ROLL = "the dip is too deep to roll"


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """Something to be said, as a code and its numbers in SI.

    `values` are pairs of a name and a number or a word, `limit` is what they are held against (its value is also
    known as ``"limit"``); `jump` the number of the jump it is about, from 1, or None for the whole line.
    """

    code: Code
    values: tuple[tuple[str, float | str], ...] = ()
    limit: Limit | None = None
    jump: int | None = None

    def __getitem__(self, name: str) -> float | str:
        if name == "limit" and self.limit is not None:
            return self.limit.value
        return dict(self.values)[name]
