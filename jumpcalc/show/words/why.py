"""Why tries land short, or long: the same in all or scatter, and what to look at first."""

from __future__ import annotations

from jumpcalc.plan.limits import SAME_SPEED
from jumpcalc.plan.studies.field.readings import NINETY
from jumpcalc.plan.studies.field.why import Day, Why
from jumpcalc.show.words import causes
from jumpcalc.show.words.learned import of_the_log
from jumpcalc.show.words.rideable import in_full
from jumpcalc.show.words.said import Words, joined, said

__all__ = ["look", "summary"]


def summary(found: Why) -> list[Words]:
    """What the landings have in common.

    Parameters
    ----------
    found : Why
        Of several tries.

    Returns
    -------
    list of Said
        Sentences.
    """
    told: list[Words] = [
        *([in_full(found.refused, found.answer)] if found.refused is not None else []),
        *of_the_log(found),
        said(
            "Of {count:count} tries {short:count} came down short of where it is clean, and {long:count} beyond it.",
            count=found.count, short=found.short, long=found.long,
        ),
    ]  # fmt: skip
    if found.slips:
        one = "One that goes with none of the others is" if found.slips == 1 else "{count:count} that go with none of the others are"
        told.append(said(f"{one} left out: what the tries teach names {'it' if found.slips == 1 else 'them'}.", count=found.slips))
    if found.days:
        told.append(
            said(
                "It is not the same every day: {days}. Look first for what was otherwise that day: dirt, wind, bike, what was dug.",
                days=joined([_day(one) for one in found.days], "; "),
            )
        )
    elif found.is_offset:
        told.append(
            said(
                f"The same is off in all of them: they land as if they were {{off:speed}} {'slower' if found.offset < 0 else 'faster'} "
                "at the edge than this line as measured says, give or take {sd:speed}.",
                off=abs(found.offset), sd=NINETY * found.offset_sd,
            )
        )  # fmt: skip
    else:
        told.append("On the whole they land where this line as measured says: nothing shows that is the same in all of them.")
    if found.is_scatter:
        told.append(
            said(
                "They differ from try to try by more than is usual, ± {spread:speed} where ± {usual:speed} is: look for what changes "
                "between them, such as gusts, the start, or what the rider does at the lip.",
                spread=NINETY * found.spread, usual=NINETY * found.usual,
            )
        )  # fmt: skip
    if found.short and found.expected_short >= found.short / 2:
        own = "its own mark for the aim is {mark:length} before the foot of the lip"
        told.append(
            said(
                "From their start marks {count:count} of them would come up short by the line as measured too"
                f"{'' if found.mark is None else f'; {own}'}.",
                count=found.expected_short, mark=found.mark,
            )
        )  # fmt: skip
    return told


def _day(one: Day) -> Words:
    how = "as it says" if abs(one.offset) < SAME_SPEED.value else f"as if {{off:speed}} {'slower' if one.offset < 0 else 'faster'}"
    return said(f"on {one.date} {{count:count}} land {how}", count=one.count, off=abs(one.offset))


def look(found: Why) -> list[Words]:
    """What would explain it, the best first, each with what confirms it at the spot; how fast anyone rides stands last.

    Parameters
    ----------
    found : Why
        Of several tries.

    Returns
    -------
    list of Said
        Sentences.
    """
    if not found.is_offset and found.odd is None:
        return []
    told: list[Words] = [
        said("{cause:sentence} To find out: {confirm}", cause=causes.told(cause), confirm=causes.confirm(cause)) for cause in found.causes
    ]
    if found.odd is not None and told:
        told = [f"What would explain those of {found.odd.date}, each by itself:", *told]
    if not told:
        return ["Nothing that was thought of explains it by itself; measure the line again from the start."]
    if found.refused is not None:
        return told
    return [*told, "Only when all of this has been looked at is another start mark worth a thought, and then by what the tries teach."]
