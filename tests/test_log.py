"""The commands of the log: tries are written down, shown, taken from tables and learned from; wrong ones are refused in one line."""

import json
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from benchmarks.make_logs import TRUTH, logs
from made_tries import Made, Truth, made_log

from jumpcalc.errors import InputError
from jumpcalc.plan.ask.run_in import run_in_of
from jumpcalc.plan.inputs.dug import Piece
from jumpcalc.plan.studies.field import learn as learn_module
from jumpcalc.plan.studies.field import why as why_module
from jumpcalc.plan.studies.field.doubts import _fastest
from jumpcalc.plan.studies.field.learn import learn
from jumpcalc.plan.studies.field.tries import Try
from jumpcalc.plan.studies.field.why import why
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import vary
from jumpcalc.show.cli import main
from jumpcalc.show.files.examples import FOLDER
from jumpcalc.show.files.learned_json import learned_json, why_json
from jumpcalc.show.files.linefile import parse_line, read_line
from jumpcalc.show.files.logs import log_of
from jumpcalc.show.files.tries_csv import tries_csv
from jumpcalc.show.files.tries_read import read_tries
from jumpcalc.show.words import learned as words
from jumpcalc.show.words import why as reasons
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.numbers import Reader

LINE = FOLDER / "first_gap.toml"
TRIES = FOLDER / "first_gap_tries.csv"


@pytest.fixture
def ask(capsys, tmp_path, monkeypatch):
    """Run a command with a data folder of its own: exit status, what was printed, what was told."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.chdir(tmp_path)

    def run(*arguments):
        status = main(["log", *map(str, arguments)])
        printed = capsys.readouterr()
        return status, printed.out, printed.err

    return run


@cache
def _learned(line, tries, rider):
    return learn(line, tries, rider=rider)


@cache
def _why(line, tries, rider):
    return why(line, tries, rider=rider)


@pytest.fixture(autouse=True)
def learned_once(monkeypatch):
    """Commands that are asked the same of the same tries work it out once."""
    monkeypatch.setattr(learn_module, "learn", lambda line, tries, *, rider=None, progress=None: _learned(line, tuple(tries), rider))
    monkeypatch.setattr(why_module, "why", lambda line, tries, *, rider=None: _why(line, tuple(tries), rider))


@pytest.fixture(scope="module")
def lesson():
    return _learned(read_line(LINE), read_tries(TRIES).tries, None)


def test_the_made_up_logs_are_as_they_would_be_made():
    for name, tries in logs().items():
        assert (FOLDER / f"{name}.csv").read_bytes() == tries_csv(tries), name


def test_tries_are_kept_where_it_says(ask):
    status, out, _ = ask("add", LINE, "start_mark_ft=101", "touched_m=1,2", "note==1+1", "rider=Jo")
    assert status == 0 and out.startswith("kept in ") and "start mark before the foot of the lip 30.7848 m" in out and "Try(" not in out
    status, out, _ = ask("add", LINE, "date=2026-11-14", "outcome=short", "start_mark_m=29", "rolled_out=yes")
    assert status == 2
    ask("add", LINE, "date=2026-11-14", "outcome=short", "start_mark_m=29")
    kept = log_of(read_line(LINE))
    assert read_line(LINE).fingerprint in kept.name and len(read_tries(kept).tries) == 2
    status, out, _ = ask("show", LINE)
    assert "30.8 m" in out and "=1+1" in out and f"Kept in {kept}" in out
    assert "101 ft" in ask("show", LINE, "--units", "imperial")[1]
    shown = json.loads(ask("show", LINE, "--json")[1])
    assert shown["tries"][1] == {
        "date": "2026-11-14", "start_mark_m": 29.0, "outcome": "short", "fingerprint": read_line(LINE).fingerprint,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("values", "told"),
    [
        (["start_mark_m=30"], "nothing was seen"),
        (["touched_m=far"], "touched: 'far' is not a number"),
        (["touched=1"], "no unit given"),
        (["start_mark_m=0", "outcome=clean"], "start_mark_m: 0 m; allowed 0.1 to 1000 m"),
        (["outcome"], "write each as key=value"),
        (["date=14.11.2026", "outcome=clean"], "must be a day written as 2026-11-14"),
        (["measured=by hand", "stretch_m=8"], "before_foot_m: not given"),
    ],
)
def test_a_wrong_try_is_one_line(ask, values, told):
    status, out, err = ask("add", LINE, *values)
    assert status == 2 and not out and err.count("\n") == 1 and told in err
    assert "No tries yet" in ask("show", LINE)[1]


def test_every_key_is_listed(ask):
    out = " ".join(ask("add", LINE, "--keys")[1].split())
    assert all(key in out for key in ("start_mark_m", "tailwind_kmh", "touched_m", "measured", '"by hand"'))


def test_a_messy_table_is_taken_row_by_row(ask):
    status, out, _ = ask("import", LINE, FOLDER / "messy_tries.csv", "--log", "mine.csv")
    assert status == 0 and out.startswith("4 tries taken")
    reasons = {4: "is a formula", 6: "may be two days", 7: "in m and in ft", 8: '"short" or "clean" or "long"', 9: "nothing was seen"}
    for row, why_not in reasons.items():
        assert f"Row {row} was refused" in out and why_not in out
    assert "0 tries taken" in ask("import", LINE, FOLDER / "messy_tries.csv", "--log", "mine.csv")[1]
    assert len(read_tries("mine.csv").tries) == 4
    status, _, err = ask("import", LINE, LINE, "--log", "mine.csv")
    assert status == 2 and err.count("\n") == 1


def test_the_lesson_as_text(ask):
    status, out, err = ask("fit", LINE, "--log", TRIES, "--tries")
    assert status == 0 and not err and "EXAMPLE" in out and "not a permit" in out
    parts = "The next try|start 31|9 of 10 tries are expected|What these tries teach|cannot tell|Each try|± holds 9 of 10"
    for part in parts.split("|"):
        assert part in out, part
    assert all(caution.split(",")[0][:40] in " ".join(out.split()) for caution in CAUTIONS)
    assert "nan" not in out.lower() and "mph" in ask("fit", LINE, "--log", TRIES, "--units", "imperial")[1]


def test_the_lesson_as_json(ask):
    found = json.loads(ask("fit", LINE, "--log", TRIES, "--json")[1])
    assert found["used"] == 12 and found["enough"] and found["learned_from"] == "12 tries of 2026-11-14"
    assert {one["name"] for one in found["taught"]} == {"rolling", "drag", "lip", "spring", "slope", "sensor", "wind"}
    narrow, wide = (found["next"][key]["foot_speed_mps"] for key in ("learned", "untried"))
    assert narrow[1] - narrow[0] < 0.6 * (wide[1] - wide[0])


def test_the_example_teaches_its_truth(lesson):
    by = {one.name: one for one in lesson.taught}
    for name, value in {"rolling": 0.02 * TRUTH.rolling, "spring": TRUTH.spring, "wind": TRUTH.wind, "sensor": 1 + TRUTH.sensor}.items():
        assert abs(by[name].after - value) < 2 * by[name].after_sd, name


def test_the_corrected_line_says_where_its_values_come_from_and_solve_says_that_it_is_corrected(ask, capsys):
    assert ask("fit", LINE, "--log", TRIES, "--out", "new.toml")[0] == 0
    text = Path("new.toml").read_text(encoding="utf-8")
    for key in ("rolling_resistance", "drag_area_m2", "spring_mean_mps", "angle_deg = 2"):
        row = next(row for row in text.split("\n") if row.startswith(key))
        assert row.endswith("# from 12 tries of 2026-11-14"), row
    assert "gap_m = 4.2\n" in text
    assert ask("fit", LINE, "--log", TRIES, "--out", "new.toml")[0] == 2  # it is there
    status, _, err = ask("fit", "new.toml", "--log", TRIES)
    assert status == 2 and "corrected this line already" in err
    assert main(["solve", "new.toml"]) == 0
    assert "This line is corrected by 12 tries of 2026-11-14." in capsys.readouterr().out


def test_blunders_are_named_in_words(ask):
    out = " ".join(ask("fit", LINE, "--log", FOLDER / "first_gap_blunders.csv")[1].split())
    assert "Try 5 of 2026-11-14 is not believed" in out and "Try 10 of 2026-11-14 is not believed" in out
    assert "closer to the lip than noted" in out and "dragged" in out


def test_two_tries_are_too_few(ask):
    out = " ".join(ask("fit", LINE, "--log", FOLDER / "first_gap_two_tries.csv")[1].split())
    assert "2 tries to learn from: too few" in out


def test_no_log_is_one_line(ask):
    for action in ("fit", "why"):
        status, out, err = ask(action, LINE)
        assert status == 2 and not out and err.count("\n") == 1 and "no try to learn from" in err
        status, _, err = ask(action, LINE, "--log", "none.csv")
        assert status == 2 and "none.csv: no such file" in err


def test_why_they_land_short(ask):
    """A gap that is longer than measured and a dragged brake, from outcomes and places; speed is never the first word."""
    line = read_line(LINE)
    longer = replace(line, jumps=(replace(line.jumps[0], landing=replace(line.jumps[0].landing, gap=4.7)),))
    marks = np.linspace(32.3, 33.2, 8)
    tries = made_log(Made(longer, Truth(spring_sd=0.08, speed_sd=0.004, gust_sd=0.1)), marks, np.random.default_rng(3), how=("filmed",))[0]
    found = why(line, tries)
    assert found.is_offset and found.offset < 0
    assert "gap" in [cause.name for cause in found.causes][:3]
    slow = made_log(Made(line, Truth(spring_sd=0.08, speed_sd=0.004, gust_sd=0.1)), marks, np.random.default_rng(3), how=("filmed",),
                    dragged=range(8))[0]  # fmt: skip
    found = _why(line, tuple(slow), None)
    assert found.is_offset and {cause.name for cause in found.causes[:4]} & {"brake", "rolling"}
    assert found.causes[0].name != "gap"
    Path("slow.csv").write_bytes(tries_csv(slow))
    out = " ".join(ask("why", LINE, "--log", "slow.csv")[1].split())
    assert "The same is off in all of them" in out and "spin it" in out and out.rindex("another start mark") > out.index("To find out")
    assert json.loads(ask("why", LINE, "--log", "slow.csv", "--json")[1])["is_offset"]


def test_tries_that_land_as_expected_say_that_nothing_is_off(ask):
    tries = made_log(Made(read_line(LINE), Truth()), np.linspace(31.5, 33.2, 8), np.random.default_rng(5))[0]
    assert not why(read_line(LINE), tries).is_offset


def test_the_lesson_reads_in_both_units(lesson):
    for reader in Reader:
        for part in (words.next_try(lesson), words.taught(lesson), words.blunders(lesson)):
            assert all(text and "{" not in text for text in reader.texts([item for item in part if item]))


@pytest.mark.parametrize(
    ("change", "first"),
    [
        ({"air.crosswind_kmh": 25}, "Not today: with a side wind of 25 km/h"),
        ({"jump[1].runout.pieces": (Piece.of(length_m=8, slope_deg=-6), Piece.of(length_m=3, slope_deg=0))}, "Do not ride: "),
        ({"jump[1].landing.width_m": 0.7}, "Do not ride it. "),
    ],
)
def test_no_next_try_on_a_line_that_is_none_to_ride(change, first):
    found = learn(vary(read_line(LINE), change), read_tries(TRIES).tries[:4])
    told = Reader.metric.texts(words.next_try(found))
    assert told[0].startswith(first) and "There is no next try" in told[1] and "start " not in told[1].replace("start mark", "")
    content = json.loads(learned_json(found))["next"]
    assert content["refused"] == told[0] and content["start_mark_m"] is None and content["foot_speed_mps"] is None


def test_no_next_try_from_a_run_in_that_is_too_short():
    found = learn(read_line(LINE), [Try(date="2026-11-14", start_mark=32.7, outcome="short")] * 6)
    told = " ".join(Reader.metric.texts(words.next_try(found)))
    assert found.next.mark is None and found.next.top > 33
    assert told.startswith("There is no next try from this run-in: by 6 tries") and "too short for the aim" in told
    assert "touch from short" not in told


def test_tries_on_wet_ground_do_not_move_the_dry_mark():
    line, dry = read_line(LINE), list(read_tries(TRIES).tries[:4])
    wet = [Try(date="2026-11-14", rider=dry[0].rider, start_mark=31.3, surface="wet grass or clay", touched=1.1 + i / 10) for i in range(4)]
    alone, both = learn(line, dry), learn(line, [*wet, *dry])
    assert both.next.mark == alone.next.mark and both.corrected == alone.corrected
    assert Reader.metric.texts(words.next_try(both))[0].startswith("4 tries on wet ground are left out")
    assert [one.number for one in both.left] == [0, 1, 2, 3]
    with pytest.raises(InputError, match="wet grass or clay"):
        learn(line, wet)


STEEP = """
[run_in]
surface = "hardpack"
pieces = [ { length_m = 40, slope_deg = -14 }, { radius_m = 9, to_slope_deg = -2 }, { length_m = 4, slope_deg = -2 } ]
[[jump]]
lip = { angle_deg = 62, radius_m = 3.2, straight_m = 0.4 }
landing = { gap_m = 3.0, drop_m = 0.2, angle_deg = 45, length_m = 4 }
runout = { surface = "hardpack", pieces = [ { length_m = 40, slope_deg = 0 } ] }
"""
FURTHER = {"gap": -1, "rolling": -1, "brake": -1, "wind": 1, "mark": 1, "slope": 1, "spring": 1}
"""Which way each of these must be off for landings further down."""


def test_causes_go_the_way_that_was_measured_and_a_line_none_rides_has_no_mark():
    found = why(parse_line(STEEP), read_tries(TRIES).tries)
    assert found.is_offset and found.offset > 0
    assert all(FURTHER[one.name] * one.amount > 0 for one in found.causes if one.name in FURTHER)
    told = Reader.metric.texts(reasons.summary(found))
    assert told[0].startswith("No speed to ride: a lip of 62°") and found.mark is None and "m before the" not in " ".join(told)
    assert reasons.look(found) and "another start mark" not in " ".join(map(str, reasons.look(found)))
    assert json.loads(why_json(found))["refused"] == told[0]
    slow = why(read_line(LINE), [Try(date="2026-11-14", start_mark=32.7, outcome="short")] * 6)
    assert slow.offset < 0 and len(slow.causes) > 4
    assert all(FURTHER[one.name] * one.amount < 0 for one in slow.causes if one.name in FURTHER)


def test_words_stand_before_or_behind_options(ask):
    for words_of in (
        ["--log", "one.csv", "start_mark_m=31.5", "touched_m=1.2"],
        ["start_mark_m=31.5", "--log", "one.csv", "touched_m=1.2"],
        ["start_mark_m=31.5", "touched_m=1.2", "--log", "one.csv"],
    ):
        assert ask("add", LINE, *words_of)[0] == 0
    assert ask("add", "--log", "one.csv", LINE, "start_mark_m=31.5", "touched_m=1.2")[0] == 0
    kept = read_tries("one.csv").tries
    assert len(kept) == 4 and len(set(kept)) == 1 and kept[0].touched == 1.2
    status, _, err = ask("add", LINE, "--lgo", "one.csv", "touched_m=1.2", "start_mark_m=30")
    assert status == 2 and "--lgo" in err and err.count("\n") == 1


def test_a_table_of_nothing_keeps_nothing_and_says_so(ask):
    for text, told in (
        ("", "it holds no row of a try"),
        ("date,touched_m\n", "it holds no row of a try"),
        (
            "date,start_mark_m,touched_m\n,31,1.2\n2026-11-14,far,1\n",
            "all of its 2 rows were refused; row 2: date: not given; a day is needed"),
    ):
        Path("table.csv").write_text(text)
        status, out, err = ask("import", LINE, "table.csv", "--log", "mine.csv")
        assert status == 2 and not out and err.count("\n") == 1 and "nothing was kept" in err and told in err
        assert "quotes" not in err and not Path("mine.csv").exists()


@pytest.mark.parametrize(
    ("values", "told"),
    [
        (["touched_m=90"], "touched_m: 90 m; landing and runout were measured over"),
        (["touched_m=3", "outcome=short"], "touched_m: 3 m, and outcome=short: both cannot be"),
        (["touched_m=-1", "outcome=clean"], "touched_m: -1 m, and outcome=clean: both cannot be"),
        (["touched_m=-9"], "touched_m: -9 m; the lip lies 4.2 m before that edge: no bike comes down before it"),
        (["touched_m=1", "outcome=long"], "touched_m: 1 m, and outcome=long: both cannot be"),
    ],
)
def test_what_cannot_be_is_not_kept(ask, values, told):
    status, out, err = ask("add", LINE, "start_mark_m=30", *values)
    assert status == 2 and not out and err.count("\n") == 1 and told in err
    assert "No tries yet" in ask("show", LINE)[1]


@pytest.mark.parametrize(
    ("values", "told"),
    [
        (["start_mark_m=500", "touched_m=1"], "Look again: start_mark_m: 500 m before the foot, but the run-in was measured over"),
        (["start_mark_m=30", "touched_m=6", "outcome=long"], "Look again: touched_m: 6 m is beyond the end of the landing"),
        (["start_mark_m=30", "touched_m=1", "date=9000-01-01"], "Look again: date: 9000-01-01 has not come yet"),
        (["start_mark_m=30", "touched_m=0.2", "outcome=short"], ""),
        (["touched_m=-0.2", "outcome=clean"], "Look again: touched_m: -0.2 m is before the top edge of the landing, so it is taken for"),
        (["start_mark_m=30", "touched_m=-1"], "Look again: touched_m: -1 m is in the gap"),
        (
            ["start_mark_m=27", "measured=wheel sensor", "speed_kmh=60", "before_foot_m=0", "touched_m=1"],
            "Look again: speed_kmh: that is 60 km/h, but from 27 m a bike that nothing slows has 36 km/h at most",
        ),
        (["start_mark_m=27", "measured=wheel sensor", "speed_kmh=60", "before_foot_m=0", "touched_m=1", "start_speed_kmh=55"], ""),
        (["start_mark_m=27", "measured=wheel sensor", "speed_kmh=36", "before_foot_m=0", "touched_m=1"], ""),
        (
            ["start_mark_m=27", "measured=filmed", "stretch_m=4", "before_foot_m=1", "frames=15", "rate=60", "touched_m=1"],
            "frames: that is 58",
        ),
        (["start_mark_m=27", "air_time_s=5", "touched_m=1"], "Look again: air_time_s: 5 s, but who comes from 27 m and jumps up"),
        (["air_time_s=0.3", "touched_m=1", "outcome=clean"], "0.3 s, but who comes down on the landing was in the air for 0.8"),
        (["start_mark_m=27", "air_time_s=1.1", "touched_m=1", "outcome=clean"], ""),
    ],
)
def test_what_may_be_is_kept_and_warned_of(ask, values, told):
    status, out, err = ask("add", LINE, *values)
    assert status == 0 and not err and "Try(" not in out and "where the rear wheel touched" in out
    assert told in out if told else "Look again" not in out
    assert json.loads(ask("show", LINE, "--json")[1])["tries"]


@pytest.mark.parametrize("mark", [4.0, 15.0, 27.0, 31.0])
def test_no_bike_is_faster_than_what_is_told_to_be_the_most(mark):
    """Held against the ride itself on ground and in air that slow nothing: never below it, and by less than a metre a second above."""
    ridden = run_in_of(prepare(read_line(LINE)))
    easy = ridden.roller(rolling_resistance=np.zeros(1), drag=np.zeros(1))
    told = _fastest(ridden, Try(date="2026-11-14", start_mark=mark, outcome="clean"))
    assert 0 < told - ridden.forward(ridden.foot - mark, easy)[0][0] < 1


def test_tries_of_other_ground_are_told_and_impossible_rows_of_a_table_refused(ask, tmp_path):
    """A log says which ground it was ridden on; a table is held against the line like a try that is typed."""
    assert ask("add", LINE, "touched_m=1.2")[0] == 0
    assert read_tries(log_of(read_line(LINE))).tries[0].fingerprint == read_line(LINE).fingerprint
    assert "other ground" not in ask("why", LINE, "--log", TRIES)[1]
    dug = tmp_path / "dug.toml"
    dug.write_text(LINE.read_text().replace("length_m = 4.5", "length_m = 4.4"))
    assert read_line(dug).fingerprint != read_line(LINE).fingerprint
    for action in ("why", "fit"):
        status, out, _ = ask(action, dug, "--log", TRIES)
        assert status == 0 and "12 tries were written down for other ground than this line has now" in " ".join(out.split())
    table = tmp_path / "table.csv"
    table.write_text("date,touched (m),outcome\n2026-11-14,1.2,clean\n2026-11-14,300,long\n")
    status, out, err = ask("import", LINE, table)
    assert status in (0, 2) and ("Row 3 was refused" in out or "row 3" in err)
    table.write_text("date,touched (m),outcome\n2026-11-15,1.3,clean\n2026-11-14,4,short\n")
    out = ask("import", LINE, table)[1]
    assert "1 tries taken" in out and "Row 3 was refused: touched_m: 4 m, and outcome=short: both cannot be" in out


def test_what_cannot_be_is_no_cause_and_places_beyond_the_landing_count():
    """All of them metres beyond: no run-in has so little rolling resistance, and nobody springs like that."""
    line = read_line(LINE)
    found = why(line, [Try(date="2026-11-20", start_mark=26.0, outcome="long")] * 6)
    assert found.is_offset and found.long == 6 and found.causes == ()
    assert "come up short" not in " ".join(map(Reader.metric.text, reasons.summary(found)))
    taped = why(line, [Try(date="2026-11-20", start_mark=32.5, touched=place) for place in (5.2, 5.6, 6.0)])
    assert (taped.short, taped.long) == (0, 3)
    assert all(cause.amount > -1 for cause in taped.causes if cause.name == "rolling")


def test_the_next_mark_says_for_which_wind_and_start_it_is():
    line = read_line(LINE)
    places = {31: 0.6, 32: 1.0, 33: 1.4}
    tries = [Try(date="2026-11-20", start_mark=mark, tailwind=-10 / 3.6, touched=place) for mark, place in places.items()]
    found = learn(line, tries)
    told = " ".join(map(Reader.metric.text, words.next_try(found)))
    assert found.otherwise == ("tailwind",)
    assert "for still air or nearly so, rolling off from rest without a pedal stroke" in told and "had another wind" in told
    assert learn(line, [replace(one, tailwind=None) for one in tries]).otherwise == ()


def test_a_day_that_was_otherwise_is_told_apart(ask):
    """Five tries as the line says, five of another day shorter by over a metre: not the same in all, and nothing dug explains it."""
    for day, touched in (("2026-11-20", 1.6), ("2026-11-21", 0.2)):
        for off in (-0.1, 0.0, 0.1, 0.0, -0.1):
            assert ask("add", LINE, f"date={day}", "start_mark_m=32", f"touched_m={touched + off:.1f}")[0] == 0
    found = json.loads(ask("why", LINE, "--json")[1])
    assert [one["tries"] for one in found["days"]] == [5, 5] and not found["is_offset"] and not found["is_scatter"]
    first, second = (one["offset_mps"] for one in found["days"])
    assert second < -0.15 and first - second > 0.3
    assert not {one["cause"] for one in found["causes"]} & {"lip", "slope", "gap"} and found["causes"]
    told = " ".join(ask("why", LINE)[1].split())
    assert "It is not the same every day: on 2026-11-20 5 land as" in told and "; on 2026-11-21 5 land as if" in told
    assert "What would explain those of 2026-11-21" in told and "The same is off" not in told


def test_tries_torn_between_short_and_long_have_no_next_mark():
    """From one mark they land from the gap to beyond the landing: that is no matter of the mark."""
    line, places = read_line(LINE), (0.5, 4.0, -2.5, 6.0, 1.0, -1.0, 5.0)
    tries = [Try(date="2026-11-20", start_mark=31.0, touched=place) for place in places]
    found = learn(line, tries)
    told = words.next_try(found)
    assert found.torn and len(told) == 1
    assert "no start mark makes such tries clean" in Reader.metric.text(told[0])
    assert not learn(line, tries[:1] + tries[4:5]).torn


def test_the_line_as_measured_is_not_written_over(ask, tmp_path):
    own = tmp_path / "own.toml"
    own.write_bytes(Path(LINE).read_bytes())
    (tmp_path / "own.csv").write_bytes(tries_csv([Try(date="2026-11-20", start_mark=31.0, touched=1.0)]))
    status, _, told = ask("fit", own, "--log", tmp_path / "own.csv", "--out", own, "--force")
    assert status == 2 and told.count("\n") == 1 and "as measured" in told and own.read_bytes() == Path(LINE).read_bytes()


def test_a_name_is_one_however_it_is_typed():
    tries = [Try(date="2026-11-20", start_mark=31.0, touched=1.0, rider=name) for name in ("Ann", "ann ", "ANN", "Ben")]
    assert len(learn(read_line(LINE), tries).held) == 3
