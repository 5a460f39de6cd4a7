"""The pocket page: one HTML file that asks nothing of the network."""

from __future__ import annotations

import base64
import json
from dataclasses import replace
from importlib.resources import files
from typing import Any

from jumpcalc.plan.inputs.declare import declared
from jumpcalc.plan.limits import WIND_DOUBT
from jumpcalc.plan.studies.field.kinds import Filmed, Sensor
from jumpcalc.plan.studies.field.testday import DayPlan
from jumpcalc.plan.studies.field.tries import OUTCOMES, Try
from jumpcalc.plan.studies.pocket import WINDS, Pocket, PocketRow
from jumpcalc.plan.views.side import side_view
from jumpcalc.show.files.tries_csv import COLUMNS, DANGEROUS, WHOLE
from jumpcalc.show.paper.side import side
from jumpcalc.show.words import pocket as words
from jumpcalc.show.words import testday
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.jump import end, foot
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.rideable import why
from jumpcalc.show.words.said import Least, Most, Words, said
from jumpcalc.show.words.testday_report import parts, steps
from jumpcalc.units import to_si

__all__ = ["html"]

_ABOVE = ("How the speed is checked",)
"""Parts of the test day that the page has already, for the day that is picked."""

_MEASURES = ("by hand", "filmed", "wheel sensor")
"""Ways of measuring that the form for tries asks for."""


def html(pocket: Pocket, plan: DayPlan, reader: Reader = Reader.metric) -> bytes:
    """The pocket page as the bytes of a file.

    Parameters
    ----------
    pocket : Pocket
        From `plan.studies.pocket.pocket`.
    plan : DayPlan
        The test day of the same line.
    reader : Reader
        Who reads it.

    Returns
    -------
    bytes
        UTF-8, the same for the same line.
    """
    from jinja2 import Environment, StrictUndefined

    here = files("jumpcalc.show.pocket")
    source = {name: here.joinpath(f"pocket.{name}").read_text(encoding="utf-8") for name in ("html", "css", "js")}
    made = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True).from_string(source["html"])
    answer = pocket.answer
    page = made.render(
        title=answer.complete.title, example=pocket.example, cautions=CAUTIONS, css=source["css"], script=source["js"],
        data=_script_safe(_data(pocket, reader)),
        drawings=[_drawing(pocket, index, reader) for index in range(len(answer.jumps))],
        bikes=list(dict.fromkeys(one.bike for one in pocket.settings)), grounds=list(dict.fromkeys(one.ground for one in pocket.settings)),
        strokes=pocket.strokes, own_strokes=pocket.own_strokes, top=pocket.marks[-1] if pocket.marks else None,
        end=end(answer.jumps[0]), foot=foot(answer.jumps[0]), unit=reader.sign("length"), speed_unit=reader.sign("speed"),
        side=reader.text(words.not_by_this_page(pocket)), made=reader.text(words.how_made(pocket)),
        ways=reader.texts([told for _, told in words.ways(pocket)]), cones=_cones(pocket, reader),
        static=_static(pocket, reader), day_head=reader.text(testday.headline(plan)), day=_day(plan, reader),
        look=reader.texts(words.look(answer)),
        day_parts={head: reader.texts(told) for head, told in parts(plan).items() if head not in _ABOVE}, day_source=testday.SOURCE,
        measures=_MEASURES, outcomes=OUTCOMES, kept=words.KEPT, phones=words.PHONES,
    )  # fmt: skip
    return page.encode("utf-8")


def _drawing(pocket: Pocket, index: int, reader: Reader) -> dict[str, str]:
    """A jump from the side and what it shows in words, without any speed: the page says those of the day."""
    answer = pocket.answer
    view, jump = side_view(answer, index), answer.complete.jumps[index]
    made = side(replace(view, paths=()), reader, stamp="EXAMPLE" if pocket.example else "", brief=True)
    drawn = said(
        "{name} from the side, to true scale: gap {gap:length}, landing falls {fall:angle}, {long:length} long.",
        name=answer.jumps[index].name or "the jump", gap=view.gap, fall=view.fall, long=jump.landing.length,
    )  # fmt: skip
    return {"svg": base64.b64encode(made.svg().encode()).decode(), "alt": reader.text(drawn)}


def _script_safe(data: dict[str, Any]) -> str:
    """JSON that may stand inside a script: nothing in it ends one."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def _data(pocket: Pocket, reader: Reader) -> dict[str, Any]:
    """What the script looks up, SI; rounded to less than it is read off."""
    off, notes = pocket.off, [""]
    units = {
        kind: {"per": 1 / to_si(1.0, kind=kind, unit=reader.unit(kind)), "sign": reader.sign(kind)} for kind in ("speed", "length")
    }
    found = {
        "key": f"jumpcalc {pocket.answer.fingerprint}",
        "units": units | {"wholeFeet": 30 if reader is Reader.imperial else None},
        "end": end(pocket.answer.jumps[0]),
        "foot": foot(pocket.answer.jumps[0]),
        "winds": [round(wind, 6) for wind in WINDS],
        "marks": [round(mark, 4) for mark in pocket.marks],
        "strokes": pocket.strokes,
        "own": pocket.own_strokes,
        "bike": pocket.answer.complete.bike.kind,
        "wind": pocket.answer.complete.air.tailwind,
        "windDoubt": WIND_DOUBT.value,
        "off": {"go": off.go, "ridden": off.ridden, "room": off.room, "times": off.times, "reads": off.reads},
        "settings": [
            {
                "bike": one.bike,
                "ground": one.ground,
                "spans": one.spans,
                "rows": [_row(row, reader, notes) for row in one.rows],
                "v": [[[_short(v, 4) for v in row] for row in ridden.speeds] for ridden in one.ridden],
            }
            for one in pocket.settings
        ],
        "ways": [_way(band.reading) for band, _ in words.ways(pocket)],
        "cones": None if pocket.cones is None else [pocket.cones.length, pocket.cones.before_foot],
        "columns": [*COLUMNS, WHOLE],
        "dangerous": DANGEROUS,
        "bounds": {name: [d.low, d.high] for name, d in declared(Try).items() if d.kind in ("length", "speed", "count", "time", "number")},
        "say": words.SAYINGS,
        "kept": words.KEPT,
    }
    return found | {"notes": notes}


def _row(row: PocketRow, reader: Reader, notes: list[str]) -> dict[str, Any]:
    """One solved row; what is said before its speeds goes into `notes`, once."""
    if row.refused is not None or row.go is None:
        return {"no": reader.text(why(row.refused, jumps=len(row.answer.jumps)))}
    stop, before = row.stop, reader.text(words.before(row.answer))
    if before not in notes:
        notes.append(before)
    return {
        "no": None,
        "note": notes.index(before),
        "go": [_short(v, 5) for v in row.go],
        "least": _short(row.least, 5),
        "t": None if row.times is None else [_short(t, 5) for t in row.times],
        "r": None if row.reads is None else [_short(v, 5) for v in row.reads],
        "room": _short(row.room, 3),
        "stop": None if stop is None else [_short(stop.last, 3), _short(stop.speed, 4)] if stop.exists else [],
    }


def _short(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits)


def _way(reading: object) -> dict[str, Any]:
    """What the script needs to know of a way of measuring."""
    if isinstance(reading, Sensor):
        return {"shows": "speed"}
    return {"shows": "frames", "rate": reading.rate} if isinstance(reading, Filmed) else {"shows": "time"}


def _cones(pocket: Pocket, reader: Reader) -> str:
    """Where the cones stand."""
    cones = pocket.cones
    if cones is None:
        return ""
    name = end(pocket.answer.jumps[0])
    where = f"Two cones {{apart:length}} apart, the second {{near:length}} before the {name}; the {name} is not jumped."
    return reader.text(said(where, apart=cones.length, near=cones.before_foot))


def _static(pocket: Pocket, reader: Reader) -> list[list[str]]:
    """Rows for a viewer that runs no script: the line's own bike, each ground and wind."""
    own, rows = pocket.settings[0].bike, []
    for one in pocket.settings:
        if one.bike != own:
            continue
        for wind, row in zip(WINDS, one.rows, strict=True):
            rows.append(reader.texts([one.ground, _wind(wind), *_told(row)]))
    return rows


def _wind(wind: float) -> Words:
    if abs(wind) < 1e-9:
        return "still"
    return said("{wind:speed.0} from {where}", wind=abs(wind), where="behind" if wind > 0 else "ahead")


def _told(row: PocketRow) -> tuple[Words, Words]:
    """Start mark and band of one row, or why there are none."""
    if row.refused is not None or row.go is None:
        return "–", said("do not ride: {why}", why=why(row.refused, jumps=len(row.answer.jumps)))
    if row.room is not None and row.room < 0:
        return "–", said("do not ride: {missing:length} to stop are missing", missing=-row.room)
    mark: Words = "–" if row.mark is None else said("{mark:length}", mark=row.mark)
    return mark, said("{low:speed bare} to {high:speed}", low=Least(row.go[0]), high=Most(row.go[2]))


def _day(plan: DayPlan, reader: Reader) -> list[dict[str, Any]]:
    """The steps, each with how many boxes it has."""
    # in the order of the steps that are shown
    boxes = [1, *(one.needs for one in plan.steps if one.kind == "check"), *(1 for _ in plan.versions)]
    boxes += [one.needs for one in plan.steps if one.kind != "check"]
    return [
        {"text": reader.text(told), "boxes": list(range(1, count + 1))} for (told, _), count in zip(steps(plan), boxes, strict=False)
    ]
