"""The speed check in words, as JSON and as a page: the command as a user calls it, and what must stand on every form of it."""

import json
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from jumpcalc import Piece, read_line, solve, vary
from jumpcalc.plan.studies.field.check import check
from jumpcalc.plan.studies.field.window import Grade
from jumpcalc.show.cli import main
from jumpcalc.show.files.linefile import write_line
from jumpcalc.show.paper import check as page
from jumpcalc.show.words import check as told
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.check_report import report
from jumpcalc.show.words.numbers import Reader

FIRST, DROP = "examples/first_gap.toml", "examples/low_drop.toml"
BEFORE = {
    "no window": {"jump[1].landing.length_m": 1.0},
    "far outside": {"jump[1].landing.gap_m": 18.0, "jump[1].landing.length_m": 15.0},
    "side wind": {"air.crosswind_kmh": 30},
}


@cache
def found(path=FIRST, **changes):
    return check(solve(vary(read_line(path), changes)), example=not changes)


def flat(text):
    return " ".join(text.split())


def texts_of(pages):
    """What stands on each page; that a PDF holds all of it is tested with the card."""
    return [" ".join(piece.get_text() for piece in one.texts) for one in pages.figures()]


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("file", [FIRST, DROP, "examples/two_in_a_row.toml", "examples/short_run_in.toml"])
def test_printed(file, units, capsys):
    assert main(["check", file, "--units", units]) == 0
    text = capsys.readouterr().out
    told = "The edge is not ridden off: the check leads past it" if file == DROP else "The lip is not jumped: the check leads past it"
    assert "EXAMPLE, not your jump." in text and "Check for" in text and told in flat(text)
    for caution in CAUTIONS:
        assert caution in flat(text)
    assert not re.search(r"\bsafe\b|nan|None|inf\b", text)
    assert ("km/h" in text) == (units == "metric") and ("mph" in text) == (units == "imperial")
    assert max(map(len, text.split("\n"))) <= 100


def test_where_nothing_has_room_it_says_so():
    """A foot so much higher than the edge that hardly any speed is wanted: the start lies nearer to the lip than any cone."""
    line = vary(read_line(FIRST), {"run_in.pieces": (Piece(length=2.0, slope=-0.2),), "run_in.start_speed_kmh": 0})
    one = check(solve(line))
    text = flat(report(one))
    assert one.cones is None and "there is no room for two cones" in text
    nothing = replace(one, bands=())
    assert "there is no check of it" in flat(report(nothing))
    assert "there is no check of it" in flat(texts_of(page.pages(nothing))[0])


def test_go_is_printed_inward():
    """By hand and by sensor: what is printed as go is inside the window, also after rounding."""
    for band in found(DROP).bands:
        if band.grade is Grade.NOT:
            assert told.row(band)[1:4] == ["–", "–", "–"]
            continue
        low, high = (float(part) for part in re.findall(r"[\d.]+", Reader.metric.text(told.row(band)[2]))[:2])
        ends = sorted((band.slow, band.fast))
        scale = 3.6 if band.reading.word in ("wheel sensor", "satellite receiver") else 1
        assert ends[0] * scale - 1e-6 <= low <= high <= ends[1] * scale + 1e-6


@pytest.mark.parametrize("name", BEFORE)
def test_where_no_speed_is_offered_it_says_so_and_no_more(name, tmp_path, capsys):
    line = vary(read_line(FIRST), BEFORE[name])
    (tmp_path / "line.toml").write_text(write_line(line), encoding="utf-8")
    assert main(["check", str(tmp_path / "line.toml")]) == 0
    text = flat(capsys.readouterr().out)
    assert "So there is no speed to check for." in text
    assert "What counts" not in text and "frames" not in text and "cone" not in text
    assert ("Not today" in text) == (name == "side wind")
    assert main(["check", str(tmp_path / "line.toml"), "--json", "--measured", "sensor", "speed_kmh=30", "before_foot_m=1"]) == 0
    content = json.loads(capsys.readouterr().out)
    assert content["foot_speed_mps"] is None and content["cones"] is None and content["ways"] == []
    assert content["measured"][0]["lies"] is None and "no speed to check for" in content["measured"][0]["said"]
    assert page.pages(check(solve(line))).count <= 2
    assert main(["check", str(tmp_path / "line.toml"), "--measured", "sensor", "speed_kmh=30"]) == 2
    told = capsys.readouterr().err
    assert told.count("\n") == 1 and "before_foot_m: not given" in told and "this line has no speed to check for" in told


@pytest.mark.parametrize(
    ("words", "lies"),
    [
        (["hand", "time_s=1.07"], "cannot tell"),
        (["frames", "frames=130", "rate=120"], "inside"),
        (["sensor", "speed_kmh=20", "rolled_out=true"], "too slow"),
        (["sensor", "speed_mph=20"], "too fast"),
        (["wheelbase", "frames=44", "rate=240"], "maybe too slow"),
        (["satellite", "speed_mps=7.6", "before_foot_m=2"], "maybe too fast"),
    ],
)
def test_what_was_measured_becomes_a_sentence(words, lies, capsys):
    assert main(["check", DROP, "--json", "--measured", *words]) == 0
    one = json.loads(capsys.readouterr().out)["measured"][0]
    assert one["lies"] == lies
    assert f"{one['foot_speed_mps'] * 3.6:.1f} km/h at the edge" in one["said"]
    assert ("go: all of that lies in the window" in one["said"]) == (one["lies"] == "inside")
    assert main(["check", DROP, "--measured", *words]) == 0
    assert one["said"] in flat(capsys.readouterr().out)


def test_where_it_was_measured_is_where_the_check_has_it(capsys):
    """Cones, camera and post as told; the edge of the lip only where that is said."""
    words = ["--measured", "frames", "frames=130", "rate=120", "--measured", "wheelbase", "frames=30", "rate=240"]
    assert main(["check", FIRST, "--json", *words, "--measured", "wheelbase", "frames=30", "rate=240", "before_foot_m=edge"]) == 0
    content = json.loads(capsys.readouterr().out)
    filmed, post, edge = content["measured"]
    cones = content["cones"]
    assert (filmed["length_m"], filmed["camera_m"]) == (cones["apart_m"], cones["camera_beside_m"])
    assert filmed["before_foot_m"] == post["before_foot_m"] == cones["second_before_foot_m"] and edge["before_foot_m"] is None
    assert "post filmed, 240/s: 30 frames" in post["said"].lower() and "edge filmed" in edge["said"].lower()


def test_a_flight_tells_its_direction_too(capsys):
    assert main(["check", FIRST, "--json", "--measured", "flight", "time_s=0.9", "along_m=5.7", "lower_m=0.9", "rate=60"]) == 0
    one = json.loads(capsys.readouterr().out)["measured"][0]
    assert one["direction_deg"] is not None and "a stiff rider leaves at" in one["said"]


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (["foot", "time_s=1"], "must be hand or frames or"),
        (["hand", "tme_s=1"], "did you mean 'time_s'"),
        (["hand", "time_s"], "must be a key and its value"),
        (["hand", "time_s=1", "time_s=2"], "each once"),
        (["hand", "time_s=-1"], "allowed 0.05 to 200 s"),
        (["hand", "time_s=nan"], "must be a finite number"),
        (["hand", "time_s=90"], "no speed before this lip"),
        (["hand"], "not given; it is needed"),
        (["frames", "frames=10", "rate=60", "length_m=90"], "the ground before it is"),
        (["sensor", "speed=3"], "no unit given"),
    ],
)
def test_what_cannot_be_is_one_line_and_status_2(words, why, capsys):
    assert main(["check", FIRST, "--measured", *words]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1 and why in err and FIRST in err


def test_json_is_si_in_both_units(capsys):
    texts = []
    for units in ("metric", "imperial"):
        assert main(["check", DROP, "--json", "--units", units]) == 0
        texts.append(capsys.readouterr().out)
    assert texts[0] == texts[1]
    content = json.loads(texts[0])
    assert content["cones"]["first_before_foot_m"] == content["cones"]["apart_m"] + content["cones"]["second_before_foot_m"]
    assert content["cautions"] == list(CAUTIONS) and content["example"] and content["run_in_measured"]
    hand = [way for way in content["ways"] if way["way"] == "by hand"]
    assert all(way["fast_end_s"] < way["aim_s"] < way["slow_end_s"] for way in hand)


@pytest.mark.parametrize(("suffix", "magic"), [(".pdf", b"%PDF"), (".png", b"\x89PNG")])
def test_a_page_is_written_and_not_over_another(suffix, magic, tmp_path, capsys):
    out = tmp_path / f"check{suffix}"
    assert main(["check", DROP, "--out", str(out)]) == 0
    first = out.read_bytes()
    assert first.startswith(magic) and main(["check", DROP, "--out", str(out)]) == 2
    assert "--force" in capsys.readouterr().err
    assert main(["check", DROP, "--out", str(out), "--force"]) == 0 and out.read_bytes() == first
    assert main(["check", DROP, "--out", str(tmp_path / "check.txt")]) == 2 and not (tmp_path / "check.txt").exists()


@pytest.mark.parametrize("reader", Reader)
def test_the_page_holds_cones_bands_and_cautions(reader):
    """ISO 216 A6, two pages at most, the good and the rough bands as printed, every caution."""
    pages = page.pages(found(DROP), reader)
    text = flat(" ".join(texts_of(pages)))
    assert pages.count <= 2
    assert [round(25.4 * float(side)) for side in pages.figures()[0].get_size_inches()] == [105, 148]
    assert "EXAMPLE" in text and "The edge is not ridden off" in text
    for caution in CAUTIONS:
        assert flat(caution) in text
    for band in found(DROP).bands:
        if band.grade is not Grade.NOT:
            assert reader.text(told.ends(band)[1][0]) in text
    assert reader.length(found(DROP).cones.before_foot + found(DROP).cones.length) in text.replace("\u00a0", " ")


def test_a_long_title_and_many_warnings_stay_on_two_pages():
    line = vary(read_line(FIRST), {"title": "a very long name $x_1$ 木 " * 20, "measured_on": "some day " * 40, "air.crosswind_kmh": 12})
    assert page.pages(check(solve(line))).count <= 2
    assert "a very long name" in report(check(solve(line)))


def test_every_example_is_checked_as_it_is_solved():
    """The window that is checked for lies in the one of the answer, whichever part of it that is."""
    for file in sorted(Path("examples").glob("*.toml")):
        one = check(solve(read_line(file)))
        speeds = one.jump.window.speeds if one.jump.shape == "drop" else one.jump.window.foot
        assert speeds.min - 1e-9 <= one.window.low < one.window.aim < one.window.high <= speeds.max + 1e-9


def test_a_decimal_comma_is_taken(capsys):
    said = []
    for number in ("0.81", "0,81"):
        assert main(["check", FIRST, "--json", "--measured", "hand", f"time_s={number}"]) == 0
        said.append(json.loads(capsys.readouterr().out)["measured"])
    assert said[0] == said[1]
    assert main(["check", FIRST, "--measured", "hand", "time_s=0,8,1"]) == 2
    assert capsys.readouterr().err.count("\n") == 1
