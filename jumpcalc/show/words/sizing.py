"""Words for what fits a site: proposals, what each costs, and where nothing fits, why."""

from __future__ import annotations

from collections.abc import Sequence

from jumpcalc.plan.inputs.site import Site
from jumpcalc.plan.studies.guidance import guidance
from jumpcalc.plan.studies.sizing.propose import Proposal
from jumpcalc.plan.studies.sizing.rate import MOST_ROOM
from jumpcalc.plan.studies.sizing.whole import Sized
from jumpcalc.plan.studies.sizing.written import clean
from jumpcalc.show.words import text
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.guidance import not_met
from jumpcalc.show.words.notes import note
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.odds import in_100
from jumpcalc.show.words.said import Least, Most, Words, joined, said, sentence

__all__ = ["about", "built", "headline", "in_order", "name", "progress", "report", "riders", "riders_head", "row_of", "trade_head",
           "unconfirmed", "why_none"]  # fmt: skip

_KINDS = {
    "height": "height", "lip load": "load", "keep-out": "length", "speed": "speed", "run-in": "speed", "short": "share.1",
    "long": "share.1", "room": "length", "rollable": "height", "fall zone": "length", "carried": "speed",
}  # fmt: skip
_OVER = {
    "height": "lip or knuckle would stand {by} too high above the ground",
    "lip load": "the load in the curve before the edge would be {by} too great",
    "keep-out": "{by} of it would lie where nothing may be built",
    "speed": "a rider would have to be {by} faster than they ride",
    "run-in": "rolling off at the top is {by} too slow",
    "short": "the chance of landing short would be {by} too great",
    "long": "the chance of landing too long would be {by} too great",
    "room": "{by} of room to stop are missing",
    "rollable": "it misses the rule of what can be rolled by {by}",
    "fall zone": "{by} of clear ground on each side are missing",
    "carried": "the aim would be {by} too slow for who rolls off it: the front would have to be carried",
}
_BROKEN = {
    "window": "no speed lands clean for every rider", "lip load": "the load in the curve before the edge is too great",
    "speed": "it asks for more speed than a rider has", "run-in": "the run-in does not give its speed",
    "short": "the chance of landing short is too great", "long": "the chance of landing too long is too great",
    "room": "room to stop is missing", "rollable": "it cannot be rolled",
    "carried": "who rolls off it comes down nose first, so that the front must be carried",
}  # fmt: skip
_CURES = {
    "height": ("a greatest height of {to}", "height"),
    "lip load": ("a load in that curve of up to {to}", "load"),
    "speed": ("riders who ride {to} faster", "speed"),
    "short": ("a chance of landing short of up to {to}", "share"),
    "long": ("a chance of landing too long of up to {to}", "share"),
    "room": ("{to} more of ground at the end", "length"),
    "fall zone": ("{to} of clear ground on each side", "length"),
}


_DROPS = "Off a drop clean means: for who rolls off it and for who carries the front alike. "
_ABOUT = (
    "Tolerance is half of the clean speeds {where} of the rider who has least; dirt is as built and compacted, above the ground "
    "as it lies, sides battered; bank and loose volumes are by the site's bulking and compaction, where it gives none those of common "
    "earth; chances of short and too long are those of the spread of speed alone, at the aim: ask odds of the line file for "
    "all errors together; room is from the start of the aim to where the fastest clean landing stands. "
    "The run-in is the ground as it lies. "
    "Speed, radius and straight are computed: no publication gives them for bikes."
)


def about(site: Site) -> str:
    """What the words and numbers of proposals mean.

    Parameters
    ----------
    site : Site
        With its defaults filled in.

    Returns
    -------
    str
        Sentences.
    """
    drop = site.wanted.shape == "drop"
    return (_DROPS if drop else "") + _ABOUT.format(where="at the edge" if drop else "before the lip")


def progress(now: Sized) -> str:
    """How far a search is.

    Parameters
    ----------
    now : Sized
        Not at its end.

    Returns
    -------
    str
        Words.
    """
    known = f"{now.found.tried} jumps tried, {len(now.found.front.face)} that nothing beats"
    confirmed = joined([one.size for one in now.made], " and " if len(now.made) < 3 else ", ")
    return f"{known}; {confirmed} confirmed by the full answer" if now.made else known


def headline(now: Sized) -> str:
    """How many fit.

    Parameters
    ----------
    now : Sized
        At its end.

    Returns
    -------
    str
        A sentence or two.
    """
    early = " The search was stopped early: what was found until then." if now.stopped else ""
    if not now.made:
        head = "no jump is proposed" if now.found is None else "nothing fits that the full answer confirms"
        return f"{now.site.title}: {head}.{early}"
    count, shape = len(now.made), now.site.wanted.shape
    what = f"{count} {shape}{'s that fit' if count > 1 else ' that fits'}"
    return f"{now.site.title}: {what}, of {now.found.tried} that were tried.{early}"


def name(one: Proposal) -> Words:
    """What a proposal is.

    Parameters
    ----------
    one : Proposal
        Of any size.

    Returns
    -------
    Said
        Size, shape and gap.
    """
    jump = one.line.jumps[0]
    shape = jump.shape if one.size else jump.shape.capitalize()
    what = f"{one.size.capitalize()}: {shape}" if one.size else shape
    if jump.shape == "drop":
        return said(f"{what} of {{drop:height}}, {{gap:height}} out", drop=jump.landing.drop, gap=jump.landing.gap)
    return said(f"{what} over {{gap:height}}", gap=jump.landing.gap)


def report(now: Sized, reader: Reader = Reader.metric, *, files: Sequence[str] = ()) -> str:
    """What fits, as a person reads it.

    Parameters
    ----------
    now : Sized
        From `sized`, at its end.
    reader : Reader
        Who reads it.
    files : sequence of str
        Files that were written.

    Returns
    -------
    str
        Lines of text, ending with a line break.
    """
    out = [*text.wrapped(headline(now)), "A model's numbers, not a permit.", ""]
    if not now.made:
        out += [*text.bullets(reader.texts(why_none(now))), "", "Cautions", *text.bullets(CAUTIONS)]
        return "\n".join(out) + "\n"
    for one in now.made:
        out += [reader.text(name(one)), *text.bullets(reader.texts(built(one))), ""]
        out += [*text.columns([riders_head(now.site), *(reader.texts(row) for row in riders(one, now.site))]), ""]
    table = [trade_head(now.site), *(reader.texts(row_of(one)) for one in in_order(now))]
    out += ["What one costs the other", *text.columns(table), ""]
    out += text.wrapped(about(now.site))
    if files:
        out += ["", *text.wrapped(f"Written: {', '.join(files)}")]
    out += ["", "Cautions", *text.bullets(CAUTIONS)]
    return "\n".join(out) + "\n"


def in_order(now: Sized) -> list[Proposal]:
    """All that was confirmed, from the smallest to the largest.

    Parameters
    ----------
    now : Sized
        From `sized`.

    Returns
    -------
    list of Proposal
        Proposals and further jumps.
    """
    return sorted((*now.made, *now.others), key=lambda one: one.extent)


def built(one: Proposal) -> list[Words]:
    """What is to be pegged out and dug, and which guidance it leaves.

    Parameters
    ----------
    one : Proposal
        Of any size.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    jump, answer = one.line.jumps[0], one.answers[0]
    lip, landing = jump.lip, jump.landing
    level = "level with the edge"
    if abs(landing.drop) >= 0.005:
        level = said("{drop:height} {way} than the edge", drop=abs(landing.drop), way="lower" if landing.drop > 0 else "higher")
    if jump.shape == "drop":
        even = abs(lip.angle) < 0.005
        first = said(
            "Deck: leaves the ground {place:length} from the first stake in a curve of {radius:height}, then {straight:height} straight, "
            f"{'level' if even else 'falling {angle:angle}'}, to its edge, {{stands:height}} above the ground as it lies.",
            place=one.place, radius=one.radius, straight=one.straight, stands=one.stands, angle=abs(lip.angle),
        )  # fmt: skip
    else:
        first = said(
            "Lip: foot {place:length} from the first stake, {angle:angle}, radius {radius:height}, straight {straight:height}, "
            "{high:height} high.",
            place=one.place, angle=lip.angle, radius=lip.radius, straight=lip.straight, high=answer.jumps[0].heights.lip,
        )  # fmt: skip
    return [
        first,
        said(
            "Knuckle {gap:height} from the edge, {level}; landing falls {fall:angle}, {length:height} long, then a curve of "
            "{exit:height} onto the ground as it lies, {ends:length} from the first stake.",
            gap=landing.gap, level=level, fall=landing.angle, length=landing.length, exit=landing.exit_radius, ends=one.ends,
        ),
        said(
            "Dirt {dirt:volume} as built and compacted: {bank:volume} to be dug from the bank, {loose:volume} loose as it is carried.",
            dirt=one.dirt, bank=one.bank, loose=one.loose,
        ),
        said("Room used {room:length}.", room=one.room),
        joined([not_met(guidance(answer, 0))]) or "It meets the published guidance that is looked at.",
    ]  # fmt: skip


def riders_head(site: Site) -> list[str]:
    """Heads of the table of riders.

    Parameters
    ----------
    site : Site
        With its defaults filled in.

    Returns
    -------
    list of str
        In the order of the cells of `riders`.
    """
    before, where = ("edge", "at the edge") if site.wanted.shape == "drop" else ("foot", "before the lip")
    return ["", f"start before the {before}", f"clean {where}", "aim", "short", "too long", "room to spare"]


def riders(one: Proposal, site: Site) -> list[list[Words]]:
    """Start, speeds and chances of each rider.

    Parameters
    ----------
    one : Proposal
        Of any size.
    site : Site
        With its defaults filled in.

    Returns
    -------
    list of list of str or Said
        Cells of each row, in the order of `riders_head`.
    """
    rows: list[list[Words]] = []
    for rider, answer, (short, long) in zip(site.riders, one.answers, one.chances, strict=True):
        jump = answer.jumps[0]
        speeds = clean(jump)
        rows.append([
            said("{name}", name=rider.name), said("{mark:length}", mark=jump.run_in.marks[1]),
            said("{low:speed bare} to {high:speed}", low=Least(speeds.min), high=Most(speeds.max)), said("{aim:speed}", aim=speeds.aim),
            in_100(short), in_100(long), said("{margin:length}", margin=jump.stop.margin),
        ])  # fmt: skip
    return rows


def trade_head(site: Site) -> list[str]:
    """Heads of the table of what one costs the other.

    Parameters
    ----------
    site : Site
        With its defaults filled in.

    Returns
    -------
    list of str
        In the order of the cells of `row_of`.
    """
    size, edge = ("drop", "edge falls") if site.wanted.shape == "drop" else ("gap", "lip")
    return ["", size, "tolerance ±", "dirt", "room used", edge, "landing falls", "landing long"]


def row_of(one: Proposal) -> list[Words]:
    """What a proposal gives and takes.

    Parameters
    ----------
    one : Proposal
        Of any size.

    Returns
    -------
    list of str or Said
        Cells, in the order of `trade_head`.
    """
    jump = one.line.jumps[0]
    return [
        one.size, said("{size:height}", size=one.extent), said("{by:speed}", by=Most(one.tolerance)),
        said("{dirt:volume}", dirt=one.dirt), said("{room:length}", room=one.room),
        said("{angle:angle}", angle=abs(jump.lip.angle)),
        said("{angle:angle}", angle=jump.landing.angle),
        said("{length:height}", length=jump.landing.length),
    ]  # fmt: skip


def why_none(now: Sized) -> list[Words]:
    """Why nothing fits, and what would help.

    Parameters
    ----------
    now : Sized
        At its end, with no proposal. Where it does not say what stands in the way, no jump has a window at all, or nothing stands in
        the way but the full answer.

    Returns
    -------
    list of str or Said
        Sentences.
    """
    none, found = now.none, now.found
    tried = "No jump was tried: this holds whatever is built." if found is None else f"{found.tried} jumps were tried."
    if none is None:
        return [
            tried,
            "None of them can be built on this ground with a speed at which every rider lands clean: the landing must be steeper than the "
            "ground, so look for steeper or longer ground, or allow other gaps.",
        ]
    if none.today is not None:
        return [tried, sentence(said("not today: {why}", why=note(none.today)))]
    first = _exceeded(none.limit, none.by)
    out: list[Words] = [tried, said("What stands in the way first: in the nearest of them {first}.", first=first)]
    if none.others:
        out.append(said("Besides, {others}.", others=joined([_exceeded(name, by) for name, by in none.others], "; ")))
    if none.cure is None:
        out.append("No small change of what the site file gives was found that a full answer confirms.")
    else:
        name, to = none.cure
        template, kind = _CURES[name]
        other = " and as much of the rest" if none.others else ""
        out.append(
            said(
                "Tried: with {cure}{other} a gap of {gap:length} fits.",
                cure=said(template.replace("{to}", f"{{to:{kind}}}"), to=to), other=other, gap=none.found,
            )
        )
    return out


def unconfirmed(names: Sequence[str]) -> str:
    """Why a jump that was reckoned to fit is not proposed.

    Parameters
    ----------
    names : sequence of str
        From `propose.unconfirmed`.

    Returns
    -------
    str
        A sentence.
    """
    return f"The full answer does not confirm this one: {'; '.join(_BROKEN[name] for name in names)}. So it stays pale."


def _exceeded(name: str, by: float) -> Words:
    if name == "room" and by >= MOST_ROOM:
        return "the brakes do not hold on the last slope of the ground, so that nobody comes to a stand there"
    return said(_OVER[name].replace("{by}", f"{{by:{_KINDS[name]}}}"), by=by)
