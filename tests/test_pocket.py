"""The pocket page: its rows are answers, what lies between them is read off within the error that is stated, and its file is whole.

What a phone shows of it is tested in a browser, in tests/browser/test_pocket.py.
"""

import json
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from jumpcalc import solve, vary
from jumpcalc.plan.ask.from_mark import from_mark
from jumpcalc.plan.inputs.dug import RunIn
from jumpcalc.plan.studies.card import card
from jumpcalc.plan.studies.field.testday import day_plan
from jumpcalc.plan.studies.field.window import window_of
from jumpcalc.plan.studies.pocket import WINDS, _row, pocket
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import with_bike
from jumpcalc.show.cli import main
from jumpcalc.show.files.linefile import read_line, write_line
from jumpcalc.show.files.tries_csv import COLUMNS
from jumpcalc.show.pocket.page import html
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.pocket import SAYINGS

ROOT = Path(__file__).parents[1]
DROP = read_line(ROOT / "examples" / "low_drop.toml")
PAIR = read_line(ROOT / "examples" / "two_in_a_row.toml")
QUICK = replace(DROP, run_in=replace(DROP.run_in, surface="dry wood"))  # nothing is known of damp wood: half as many rows
LINES = {"quick": QUICK, "drop": DROP, "two": replace(PAIR, run_in=replace(PAIR.run_in, surface="dry wood"))}


@cache
def found(name):
    return pocket(LINES[name], example=True)


def solved(line, wind):
    answer = solve(vary(line, {"air.tailwind_mps": wind, "air.crosswind_mps": 0.0}))
    return answer, window_of(answer, prepare(answer.line).jumps[0])


@pytest.fixture
def own_bike(monkeypatch):
    """No other kind of bike is worked out than the line's own, a quarter of the rows; what other bikes get is tested with `found`."""
    monkeypatch.setattr("jumpcalc.plan.studies.pocket.BIKES", {})


def page_of(line, reader=Reader.metric, **how):
    return html(pocket(line, **how), day_plan(line, **how), reader).decode()


def data_of(page):
    return json.loads(re.search(r'id="data">(.*?)</script>', page, re.DOTALL)[1])


@pytest.mark.parametrize("name", ["drop", "two"])
def test_rows_are_answers(name):
    one = found(name).settings[0]
    assert (one.bike, one.ground) == (found(name).answer.complete.bike.kind, "dry")
    for wind, row in zip(WINDS, one.rows, strict=True):
        answer, window = solved(LINES[name], wind)
        if row.go is None or row.refused is not None:
            assert row.refused is not None
            continue
        assert row.go == (window.low, window.aim, window.high)
        assert row.room == answer.jumps[-1].stop.margin
        if name == "drop" and answer.jumps[0].run_in.marks[1] is not None:
            assert row.mark == answer.jumps[0].run_in.marks[1] and row.stop == answer.jumps[0].abort


def test_what_lies_between_rows_is_read_off_within_the_stated_error():
    """Winds and bikes drawn at random (once): speeds, room and times against solve there."""
    rng = np.random.default_rng(11)
    for name in ("drop", "quick"):
        data = found(name)
        for _ in range(5):
            one = data.settings[rng.integers(len(data.settings))]
            if one.ground != "dry":
                continue
            i = int(rng.integers(len(WINDS) - 1))
            assert one.spans[i]
            share = float(rng.uniform(0.1, 0.9))
            wind = WINDS[i] + share * (WINDS[i + 1] - WINDS[i])
            line = LINES[name] if one.bike == data.answer.complete.bike.kind else with_bike(LINES[name], one.bike)
            answer, window = solved(line, wind)
            a, b = one.rows[i], one.rows[i + 1]
            read = [x + share * (y - x) for x, y in zip(a.go, b.go, strict=True)]
            assert np.abs(np.array(read) - (window.low, window.aim, window.high)).max() <= data.off.go
            assert abs(a.room + share * (b.room - a.room) - answer.jumps[-1].stop.margin) <= data.off.room


def test_speeds_from_marks_in_one_ride_are_those_of_single_ones_and_read_off_within_the_error():
    data, rng = found("drop"), np.random.default_rng(5)
    one = data.settings[0]
    for _ in range(12):
        k, w, m = (int(rng.integers(n)) for n in (len(data.strokes), len(WINDS), len(data.marks) - 8))
        m += 8
        line = vary(DROP, {"air.tailwind_mps": WINDS[w]})
        if one.ridden[k].speeds[w][m] is None:
            continue
        alone = from_mark(line, data.marks[m], strokes=data.strokes[k]).foot_speed
        assert one.ridden[k].speeds[w][m] == pytest.approx(alone, abs=1e-9)
        if m + 1 < len(data.marks) and w + 1 < len(WINDS):
            corners = [one.ridden[k].speeds[a][b] for a in (w, w + 1) for b in (m, m + 1)]
            between = from_mark(
                vary(DROP, {"air.tailwind_mps": 0.5 * (WINDS[w] + WINDS[w + 1])}), 0.5 * (data.marks[m] + data.marks[m + 1]),
                strokes=data.strokes[k],
            ).foot_speed  # fmt: skip
            assert abs(np.sqrt(np.mean(np.square(corners))) - between) <= data.off.ridden


def test_nothing_is_told_between_rows_where_something_changes():
    one = next(one for one in found("two").settings if one.ground == "dry")
    refused = [row.refused is not None for row in one.rows]
    assert any(refused)  # no start rides both clean with the strongest wind from behind
    for i, told in enumerate(one.spans):
        assert not (told and (refused[i] or refused[i + 1]))


def test_only_what_can_be_ridden_by_is_told(own_bike):
    wet = replace(DROP, run_in=replace(DROP.run_in, surface="wet grass or clay"))
    data = data_of(page_of(wet))
    assert all(row["no"] for one in data["settings"] for row in one["rows"])
    runout = QUICK.jumps[0].runout
    cut = (runout.pieces[0], replace(runout.pieces[1], length=6.0))
    short = replace(QUICK, jumps=(replace(QUICK.jumps[0], runout=replace(runout, pieces=cut)),))
    page = page_of(short)
    assert all(row["no"] is None and row["room"] < 0 for one in data_of(page)["settings"] for row in one["rows"])
    static = re.search(r"<noscript>.*?</noscript>", page, re.DOTALL)[0]
    assert "do not ride" in static and "km/h" not in re.sub(r"\d+ km/h from (ahead|behind)", "", static)


def test_a_line_without_a_run_in_still_has_a_page(own_bike):
    data = data_of(page_of(replace(DROP, run_in=RunIn())))
    assert data["marks"] == [] and data["strokes"] == [] and data["settings"][0]["rows"][2]["go"]


@pytest.mark.parametrize("reader", Reader)
def test_the_file_is_one_small_file_that_asks_nothing_of_the_network(reader):
    page = html(found("drop"), day_plan(DROP, example=True), reader)
    assert len(page) < 300_000
    text = page.decode()
    assert not re.search(r'\b(src|href|action)="(?!data:|#)', text) and "@import" not in text and "fetch(" not in text
    assert not re.search(r"https?://(?!www\.w3\.org)", text) and "default-src 'none'" in text
    assert "EXAMPLE, not your jump" in text
    for caution in CAUTIONS:
        assert caution.replace("'", "&#39;") in text
    assert data_of(text)["columns"] == [*COLUMNS, "whole_row"]
    assert not re.search(r"\b(NaN|Infinity|undefined ?<|None)\b", text)


def test_of_several_jumps_all_are_drawn_and_only_the_own_bike_is_worked_out():
    page = html(found("two"), day_plan(PAIR, example=True), Reader.metric).decode()
    assert page.count("data:image/svg+xml;base64,") == 2 and {one["bike"] for one in data_of(page)["settings"]} == {"hardtail"}
    assert len(page) < 300_000 and "only its own bike" in page


def test_what_must_be_known_first_is_said_first_and_names_that_people_typed_are_only_text(own_bike):
    bad = "</script><img src=x onerror=alert(1)> {{ 7 * 7 }} <mark>"
    corner = read_line(ROOT / "examples" / "dirt_jump_bike.toml")
    jump = replace(corner.jumps[0], name=bad, landing=replace(corner.jumps[0].landing, length=4.5))
    page = page_of(replace(corner, title=bad, measured_by=bad, jumps=(jump,), run_in=replace(corner.run_in, surface="dry wood")))
    data = data_of(page)
    own = data["settings"][0]
    assert "Not checked: on this lip a stiff rider's front wheel lifts" in data["notes"][own["rows"][2]["note"]]
    assert "<img src=x" not in page and "{{ 7 * 7 }}" in page and page.count("</script>") == 2
    assert "EXAMPLE" not in page.split("</style>")[1]


def test_the_command_makes_the_same_file_each_time(own_bike, tmp_path, capsys):
    told, file, out = [], tmp_path / "line.toml", tmp_path / "card.html"
    again = pocket(QUICK, example=True, progress=lambda done, total: told.append((done, total)))
    assert told == [(done, 5) for done in range(1, 6)] and again.solved == 5
    page = html(again, day_plan(QUICK, example=True), Reader.metric)
    file.write_text(write_line(QUICK), encoding="utf-8")
    assert main(["card", str(file), "--out", str(out)]) == 0
    assert capsys.readouterr().out == f"{out}: the pocket page, made from {file}\n"
    assert out.read_bytes() == page
    assert main(["card", str(file), "--out", str(out)]) == 2


def test_every_sentence_of_the_page_is_said_and_none_is_missing():
    script = (ROOT / "jumpcalc" / "show" / "pocket" / "pocket.js").read_text(encoding="utf-8")
    assert [name for name in SAYINGS if f'"{name}"' not in script] == []
    assert [name for name in re.findall(r'say\("(\w+)"', script) if name not in SAYINGS] == []


def test_a_line_refused_for_its_side_wind_gives_nothing_to_ride_by(own_bike):
    made = pocket(vary(LINES["two"], {"air.crosswind_kmh": 30}))
    assert all(row.refused is not None and row.go is None for setting in made.settings for row in setting.rows)


def test_a_run_in_that_is_too_short_for_the_aim_gives_no_mark_and_no_test_day_but_strokes_may():
    line = vary(read_line(ROOT / "examples" / "first_gap.toml"), {"air.tailwind_kmh": -5})
    assert solve(line).jumps[0].run_in.missing is not None and solve(line).jumps[0].run_in.marks[0] is not None
    row = _row(line, None)
    assert row.mark is None and row.refused is None and row.go is not None
    plan = day_plan(line)
    assert plan.cannot == ("no mark",) and not plan.steps
    assert {row.wind: row.marks for row in card(line).rows if row.ground == "dry"}["headwind"] is None
