"""Words for odds: shares of a hundred tries, what they rest on, what matters most, and the start that costs least."""

from __future__ import annotations

from collections.abc import Sequence

from jumpcalc.plan.answer import Answer, JumpAnswer
from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.studies.best_mark import Best, Cost
from jumpcalc.plan.studies.odds import LONGER, JumpOdds, Odds, Share
from jumpcalc.plan.studies.rideable import refused
from jumpcalc.plan.studies.smallest import Smallest
from jumpcalc.show.words import text
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.jump import foot, known_first
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.rideable import in_full
from jumpcalc.show.words.said import Words, joined, said
from jumpcalc.show.words.spread import RIDERS

__all__ = [
    "COSTS", "HEAD", "RIDERS", "best", "changes", "headline",
    "hits", "in_100", "matters", "none", "not_to_ride", "report", "rests_on", "rows", "sampling",
]  # fmt: skip

MOST, LEAST = 0.95, 0.05
"""The greatest and the least share that is said as a number."""

_WORTH_SAYING = 0.015  # a gain of less is within what rounding and sampling do
_SAME_MARK = 0.2  # m, nobody starts more exactly
_SAME_SPEED = 0.03  # m/s, nobody measures it

HEAD = ("the landing", "of 100 tries")
"""Heads of the table of outcomes."""

_OUTCOMES = {
    Outcome.REAR_SHORT: "cased: rear wheel on the knuckle",
    Outcome.CLEAN: "both wheels on the landing",
    Outcome.FRONT_LONG: "front wheel past the landing",
    Outcome.LONG: "overshot",
}
_SHORT = {
    "gap": "short: into the gap or the near wall",
    "tabletop": "short: on the deck",
    "drop": "short: before the landing",
}
_ERRORS = {
    "speed": "the spread of speed",
    "angle": "the doubt of the lip's angle",
    "spring": "what the rider adds at the lip",
    "tailwind": "the wind's ups and downs",
    "drag": "the rider's posture in the wind",
    "pitch": "nose-up or nose-down at touchdown",
}
_MEASURES = {
    "landing.length_m": "Length of the landing",
    "landing.drop_m": "The knuckle lower than the edge by",
    "landing.angle_deg": "Fall of the landing",
    "lip.angle_deg": "Lip angle",
}
_CURES = {
    "speed": "Measure the speed on the run-in, the lip not jumped, until it is right every time; a start mark that is always the same "
    "is worth most.",
    "angle": "Measure the lip's angle again, with a board on its last straight part.",
    "spring": "Practise leaving the lip the same way every time.",
    "tailwind": "Wait for a calm hour.",
    "drag": "Keep the same posture on the run-in.",
    "pitch": "Practise setting both wheels down together, on a table first.",
}


_ALL = {2: "both", 3: "all three", 4: "all four", 5: "all five", 6: "all six"}


def in_100(share: float) -> str:
    """A share as a person reads it: never more than "more than 95", never fewer than "fewer than 5".

    Parameters
    ----------
    share : float
        From 0 to 1.

    Returns
    -------
    str
        Words.

    Examples
    --------
    >>> in_100(0.714), in_100(1.0), in_100(0.0)
    ('71 in 100', 'more than 95 in 100', 'fewer than 5 in 100')
    """
    if share > MOST:
        return "more than 95 in 100"
    return "fewer than 5 in 100" if share < LEAST else f"{round(100 * share)} in 100"


def none(answer: Answer) -> Words:
    """That there are no odds to be given, and why."""
    why = refused(answer)
    if why is not None and why.why != "no speed":
        return joined(["No odds.", in_full(why, answer)])
    return "No odds: no speed lands the first jump clean, or nobody gets to its edge from that start."


def not_to_ride(answer: Answer) -> Words:
    """That the line is none to ride, whatever its odds, and so has no best start; nothing where nothing known speaks against it.

    Parameters
    ----------
    answer : Answer
        The answer the odds belong to.

    Returns
    -------
    str or Said
        Sentences or nothing.
    """
    why = refused(answer)
    return "" if why is None else joined([in_full(why, answer), "So no start is the best one."])


def headline(found: Odds, answer: Answer) -> Words:
    """How often all goes well.

    Parameters
    ----------
    found : Odds
        From `odds`.
    answer : Answer
        The answer it belongs to.

    Returns
    -------
    str or Said
        A sentence.
    """
    count = len(found.jumps)
    what = "it is landed clean" if count == 1 else f"{_ALL.get(count, f'all {count}')} jumps are landed clean"
    return said(
        "{where} {what}, no harder than a drop of {limit:drop}, {share}: this model's odds, not a promise.",
        where=_where(found.mark, found.foot_speed, answer.jumps[0]), what=what, limit=found.jumps[0].limit,
        share=in_100(found.all_good.value),
    )  # fmt: skip


def _where(mark: float | None, foot_speed: float, first: JumpAnswer) -> Words:
    if mark is None:
        return said(f"At {{speed:speed}} {_before(first)}", speed=foot_speed)
    return said(f"From {{mark:length}} before the {foot(first)}, which gives {{speed:speed}} there,", mark=mark, speed=foot_speed)


def rests_on(found: Odds) -> Words:
    """The spread that the odds rest on, and what of it is only assumed.

    Parameters
    ----------
    found : Odds
        From `odds`.

    Returns
    -------
    Said
        Sentences.
    """
    spread, taken = found.taken.spread, found.taken
    mean = "" if not spread.spring_mean else said(" about {mean:speed signed}", mean=spread.spring_mean)
    share = "share.1" if spread.speed < 0.01 else "share"
    values = said(
        f"They rest on this spread from try to try, one standard deviation each: speed {{speed:{share}}}, "
        "lip angle {angle:angle.1}, springing "
        "off the lip {spring:speed}{mean}, wind {wind:speed}, drag area {drag:share}, pitch at touchdown {pitch:angle}.",
        speed=spread.speed, angle=spread.angle, spring=spread.spring, mean=mean, wind=spread.tailwind, drag=spread.drag,
        pitch=spread.pitch,
    )  # fmt: skip
    who = RIDERS[taken.rider]
    if "speed" in taken.given:
        return joined([values, said("What the line does not give itself is assumed, as of {who}.", who=who)])
    return joined([values, said("All that the line does not give itself is assumed, the speed too, as of {who}: no source.", who=who)])


def sampling(found: Odds) -> Words:
    """How many tries were reckoned and how far off that leaves the shares."""
    worst = max(share.error for share in _all_shares(found))
    error = "less than 1 in 100" if worst < 0.005 else f"about {max(round(200 * worst), 1)} in 100"
    return f"From {found.rows} reckoned tries; sampling moves a share by {error} (two standard deviations)."


def _all_shares(found: Odds) -> list[Share]:
    return [found.all_good, *(share for jump in found.jumps for _, share in jump.outcomes)]


def rows(jump: JumpOdds, shape: str) -> list[list[Words]]:
    """Each outcome with its share.

    Parameters
    ----------
    jump : JumpOdds
        One jump's odds.
    shape : str
        The jump's.

    Returns
    -------
    list of list of str
        Cells of each row, in the order of `HEAD`.
    """
    found: list[list[Words]] = [
        [_SHORT[shape] if outcome is Outcome.SHORT else _OUTCOMES[outcome], in_100(share.value)] for outcome, share in jump.outcomes
    ]
    if jump.unknown:
        found.append(["could not be worked out", in_100(jump.unknown)])
    return found


def hits(jump: JumpOdds) -> Words:
    """How hard the landings hit, beside the limit.

    Parameters
    ----------
    jump : JumpOdds
        One jump's odds.

    Returns
    -------
    str or Said
        A sentence or two; empty where nobody comes down on the landing.
    """
    if not jump.fall:
        return ""
    low, _, middle, _, high = jump.fall
    over = said(" Of the tries, {share} land with both wheels on the landing and yet harder than that.", share=in_100(jump.hard.value))
    return said(
        "Whoever comes down on the landing or beyond hits as a drop of {middle:drop} in the middle, 90 in 100 between {low:drop} and "
        "{high:drop}; accepted is {limit:drop}.{over}",
        middle=middle, low=low, high=high, limit=jump.limit, over=over if jump.hard.value >= LEAST else "",
    )  # fmt: skip


def matters(found: Odds) -> list[Words]:
    """Which error matters most, and what halving it would bring, beside a longer landing.

    Parameters
    ----------
    found : Odds
        From `odds`.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    out: list[Words] = []
    if found.matters:
        moves = max(found.matters, key=lambda one: one.total)
        out.append(f"What moves the landing most is {_ERRORS[moves.error]}.")
        most = found.matters[0]
        if _worth_saying(most.gain, found):
            out.append(
                f"Halving {_ERRORS[most.error]} would bring most: {in_100(most.halved)} instead of {in_100(found.all_good.value)}. "
                + _CURES[most.error]
            )
        elif in_100(found.all_good.value) != in_100(1.0):
            out.append("Halving any one of the errors would change hardly anything.")
    gain, jump = max(zip(found.longer, found.jumps, strict=False), key=lambda one: one[0])
    if _worth_saying(gain, found):
        which = "landing" if len(found.jumps) == 1 else "the landing of {name}, all else as it is"
        share = in_100(found.all_good.value + gain)
        told = f"{{longer:length}} more of {which}, from the same start, would make it {{share}}."
        out.append(said(told, longer=LONGER, name=jump.name, share=share))
    return out


def _worth_saying(gain: float, found: Odds) -> bool:
    """Whether a gain of all that goes well is more than rounding, and can be told at all."""
    share = found.all_good.value
    return gain >= _WORTH_SAYING and in_100(share + gain) != in_100(share)


COSTS = {
    "short": "short", "rear_short": "cased", "front_long": "front wheel past the landing", "long": "overshot",
    "hard": "clean but too hard",
}  # fmt: skip
"""What each field of `Costs` is the cost of."""


def best(found: Best, answer: Answer) -> list[Words]:
    """The start that costs least, how it differs from that of the aim, and why.

    Parameters
    ----------
    found : Best
        From `best_mark`.
    answer : Answer
        The answer it belongs to.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    costs, here, aim, first = found.costs, found.best, found.aim, answer.jumps[0]
    same = abs(here.foot_speed - aim.foot_speed) < _SAME_SPEED if here.mark is None else abs(here.mark - aim.mark) < _SAME_MARK
    many = len(answer.jumps) > 1
    costs_least = "Costs least"
    if many:
        clean = "" if answer.ride is None else " among the starts that ride the whole line clean"
        costs_least = f"On the first jump alone, costs least{clean}"
    told = joined([said(f"{costs_least}: {{where}}.", where=_at(here, first)), _beside_the_aim(found, first, same=same)])
    shares = f"There {in_100(here.good)} land {'the first jump ' if many else ''}well"
    if not same:
        both = in_100(here.good) == in_100(aim.good)
        shares += f", from {_aim(found)} as many" if both else f"; from {_aim(found)} {in_100(aim.good)}"
    shares += "."
    each = ", ".join(f"{label} {getattr(costs, name):g}" for name, label in COSTS.items())
    return [told, shares, f"Costs taken, beside one another: {each}; a judgement, no source."]


def _aim(found: Best) -> str:
    """What the start that is compared with is called."""
    if not found.aim_reached:
        return "the top of the run-in"
    return "the aim" if found.aim.mark is None else "the aim's start"


def _beside_the_aim(found: Best, first: JumpAnswer, *, same: bool) -> Words:
    """How the start that costs least lies to that of the aim, and what the run-in does not give."""
    here, aim, ends = found.best, found.aim, "The run-in ends there"
    more = ": a higher start would cost less still." if found.ends_at_top else "."
    if same and not found.aim_reached:
        return f"{ends}, before it gives the aim{more}"
    if same:
        apart: Words = f"That is {_aim(found)}, as nearly as anyone {'rides' if here.mark is None else 'starts'}."
    else:
        faster = here.foot_speed > aim.foot_speed
        by = "" if here.mark is None else said(
            "{by:length} {way} than {aim}, ", by=abs(here.mark - aim.mark), way="further up" if here.mark > aim.mark else "lower down",
            aim=_aim(found),
        )  # fmt: skip
        apart = said(
            "That is {by}{speed:speed} {faster} {there}, {why}.",
            by=by, speed=abs(here.foot_speed - aim.foot_speed), faster="faster" if faster else "slower",
            there=f"than {_aim(found)}" if here.mark is None else _before(first), why=_why(found, faster=faster),
        )  # fmt: skip
    return joined([apart, ends + more if found.ends_at_top else "", "" if found.aim_reached else "No start on it gives the aim."])


def _before(first: JumpAnswer) -> str:
    """Where the speed is that a run-in gives."""
    return "at the edge" if first.shape == "drop" else "before the lip"


def _at(here: Cost, first: JumpAnswer) -> Words:
    if here.mark is None:
        return said(f"{{speed:speed}} {_before(first)}", speed=here.foot_speed)
    gives = f"a start {{mark:length}} before the {foot(first)}, which gives {{speed:speed}} there"
    return said(gives, mark=here.mark, speed=here.foot_speed)


def _why(found: Best, *, faster: bool) -> str:
    """Why the start that costs least lies on this side of the aim."""
    costs, aim = found.costs, found.aim
    if faster:
        dear = costs.short > costs.long
        return "since short costs more than long here" if dear else f"since from there {in_100(aim.short)} come down short"
    dear = costs.long > costs.short
    return "since long costs more than short here" if dear else f"since from there {in_100(aim.long)} go too long"


def changes(found: Sequence[Smallest], wanted: float) -> list[Words]:
    """The smallest changes of a jump that bring what is wanted.

    Parameters
    ----------
    found : sequence of Smallest
        From `smallest`.
    wanted : float
        The share that is wanted.

    Returns
    -------
    list of str or Said
        Sentences; each change alone, all else as it is.
    """
    if not found:
        return [f"No single change of landing, knuckle or lip that was tried brings {in_100(wanted)}."]
    return [
        said(
            f"{{what}}: {{becomes:{one.kind}}} in place of {{was:{one.kind}}}, then {{share}}.",
            what=_MEASURES[one.path.partition(".")[2]], becomes=one.becomes, was=one.was, share=in_100(one.good),
        )
        for one in found
    ]  # fmt: skip


def report(
    found: Odds, answer: Answer, reader: Reader = Reader.metric, *, start: Best | None = None, wanted: float | None = None,
    smallest: Sequence[Smallest] = (), already: float | None = None,
) -> str:  # fmt: skip
    """The odds as a person reads them.

    Parameters
    ----------
    found : Odds
        From `odds`.
    answer : Answer
        The answer it belongs to.
    reader : Reader
        Who reads it.
    start : Best, optional
        The start that costs least.
    wanted : float, optional
        How often it is to go well.
    smallest : sequence of Smallest
        The smallest changes that bring that.
    already : float, optional
        How often it goes well from the aim's start as it is, where that is often enough.

    Returns
    -------
    str
        Lines of text, ending with a line break.
    """
    out = text.wrapped(reader.text(joined([not_to_ride(answer), *known_first(answer), headline(found, answer)])))
    out += ["A model's numbers, not a permit.", ""]
    out += [*text.wrapped(reader.text(rests_on(found))), ""]
    for number, jump in enumerate(found.jumps, start=1):
        if len(found.jumps) > 1:
            out += [f"{number}  {jump.name}, of those who come to it ({in_100(jump.comes.value)})"]
        out += text.columns([reader.texts(row) for row in rows(jump, answer.jumps[number - 1].shape)])
        out += [*text.wrapped(reader.text(hits(jump))), ""]
    out += ["What matters", *text.bullets(reader.texts([*matters(found), sampling(found)])), ""]
    if wanted is not None and already is not None:
        out += [*text.wrapped(f"As it is, from the aim's start, it goes well that often already: {in_100(already)}."), ""]
    elif wanted is not None:
        jump = f"jump {smallest[0].path[5:].partition(']')[0]}, " if smallest and len(found.jumps) > 1 else ""
        head = f"The smallest change for {in_100(wanted)}, {jump}each alone, from the aim's start it then has; what follows the "
        head += "landing moves with it"
        out += [*text.wrapped(head), *text.bullets(reader.texts(changes(smallest, wanted))), ""]
    if start is not None:
        out += ["Which start is best", *text.bullets([*reader.texts(best(start, answer)), "Other costs: --costs."]), ""]
    out += ["Cautions", *text.bullets(CAUTIONS), f"Ground {answer.fingerprint}, model of {answer.model_date}."]
    return "\n".join(out) + "\n"
