"""Coast-downs from a CSV: the command as a user calls it, and files as people keep them."""

import json
import re
from functools import cache
from pathlib import Path

import pytest

from jumpcalc import FileError, read_line, vary
from jumpcalc.plan.studies.field import coast as coast_module
from jumpcalc.plan.studies.field.coast import corrected
from jumpcalc.plan.studies.field.rolled import Rolled, runs_of
from jumpcalc.show.cli import main
from jumpcalc.show.files.coast_csv import parse_coasts, read_coasts
from jumpcalc.show.words.cautions import CAUTIONS

LINE, RUNS = "examples/first_gap.toml", "examples/coast_there_and_back.csv"


_fitted = cache(coast_module.coast_fit)


def coast_fit(line, runs, **on):
    return _fitted(line, tuple(runs), **on)


@pytest.fixture(autouse=True)
def fitted_once(monkeypatch):
    """The same runs are asked for in several forms and from several files."""
    monkeypatch.setattr(coast_module, "coast_fit", coast_fit)


def flat(text):
    return " ".join(text.split())


def test_printed_and_as_json(capsys):
    """The example was made with rolling resistance 0.027, drag area 0.50 m², the strip 0.3° off its reading and 0.6 m/s of wind."""
    assert main(["coast", LINE, RUNS]) == 0
    text = flat(capsys.readouterr().out)
    assert "Rolling resistance 0.0" in text and "run_in.rolling_resistance = 0.0" in text and "Check the speed before any jump." in text
    for caution in CAUTIONS:
        assert caution in text
    assert not re.search(r"\bnan\b|\bsafe\b|None", text)
    assert main(["coast", LINE, RUNS, "--json"]) == 0
    content = json.loads(capsys.readouterr().out)
    for key, made in (("rolling_resistance", 0.027), ("drag_area_m2", 0.50), ("slope_error_deg", 0.3), ("wind_error_mps", 0.6)):
        assert abs(content[key]["value"] - made) < 2.5 * content[key]["uncertainty"], key
    assert len(content["region_90_of_100"]) > 10 and content["runs"] == 4
    assert all(sentence in text for sentence in content["said"])


def test_imperial(capsys):
    assert main(["coast", LINE, RUNS, "--units", "imperial"]) == 0
    text = capsys.readouterr().out
    assert "ft²" in text and "mph" in text and "km/h" not in text


WAYS = {
    "commas": "run,distance_m,speed_kmh,slope_deg\n1,0,15,0\n1,24.5,0,0\n",
    "semicolons and decimal commas": "run;distance_m;speed_kmh;slope_deg\n1;0;15,0;0\n1;24,5;0;0\n",
    "tabs and a byte-order mark": "\ufeffrun\tdistance_m\tspeed_kmh\tslope_deg\n1\t0\t15\t0\n1\t24.5\t0\t0\n",
    "other units": "distance_ft,speed_mph,slope_percent\n0,9.3205679,0\n80.380577,0,0\n",
    "empty rows and remarks": "# by tape\n\nrun,distance_m,speed_kmh,slope_deg\n\n1,0,15,0\n\n1,24.5,0,0\n,,,\n".replace(",,,\n", ""),
    "line ends of another system": "run,distance_m,speed_kmh,slope_deg\r\n1,0,15,0\r\n1,24.5,0,0\r\n",
}


@pytest.mark.parametrize("name", WAYS)
def test_files_as_people_keep_them(name, tmp_path):
    path = tmp_path / "runs.csv"
    path.write_bytes(WAYS[name].encode("utf-8"))
    readings = read_coasts(path)
    assert [reading.distance for reading in readings] == pytest.approx([0, 24.5], abs=1e-5)
    assert [reading.speed for reading in readings] == pytest.approx([15 / 3.6, 0], abs=1e-6)
    fit = coast_fit(read_line(LINE), runs_of(readings))
    assert fit.values["rolling_resistance"] == pytest.approx(0.033, abs=0.003)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "empty"),
        ("run,time_s,speed_kmh\n", "no reading"),
        ("run,time_s,sped_kmh\n1,0,3\n", "did you mean 'speed_kmh'"),
        ("run,time,speed_kmh\n1,0,3\n", "no unit given"),
        ("run,time_s,speed_kmh\n1,0,fast\n", "row 2, speed_kmh: 'fast' is not a number"),
        ("run,time_s,speed_kmh\n1,0,300\n", "row 2, speed_kmh: 300 km/h; allowed 0 to 80 km/h"),
        ("run,time_s,speed_kmh\n1,0,3,4\n", "row 2: 4 cells; the header has 3 columns"),
        ("run,time_s,speed_kmh,speed_mph\n1,0,3,4\n", "the same quantity"),
        ("run,time_s,time_s\n1,0,3\n", "stands in it twice"),
        ("run,time_s,speed_kmh\n1,,3\n", "two of a distance, a time and a speed"),
        ("run,time_s,speed_kmh\n1,0,nan\n", "not a number"),
        ("run,time_s,speed_kmh\n1,0,=1+1\n", "is not a number"),
    ],
)
def test_refused_rows_name_row_and_reason(text, why, tmp_path, capsys):
    with pytest.raises(FileError, match=re.escape(why)):
        parse_coasts(text)
    path = tmp_path / "runs.csv"
    path.write_text(text, encoding="utf-8")
    assert main(["coast", LINE, str(path)]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1 and str(path) in err


@pytest.mark.parametrize(("file", "why"), [("nowhere.csv", "no such file"), ("examples", "cannot be read"), (LINE, "unknown")])
def test_no_such_csv_is_one_line(file, why, capsys):
    assert main(["coast", LINE, file]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1 and file in err


def test_a_run_that_is_not_in_order_names_the_csv(tmp_path, capsys):
    path = tmp_path / "runs.csv"
    path.write_text("run,time_s,speed_kmh,slope_deg\na,0,20,0\na,5,15,0\na,3,17,0\n", encoding="utf-8")
    assert main(["coast", LINE, str(path)]) == 2
    assert "runs.csv: run 'a': its readings must be in order" in capsys.readouterr().err


def test_the_corrected_line_holds_what_was_told():
    """The tyres' factor is taken out, a grip that was given stays, and the line is solved with it as it rolled."""
    line = vary(read_line(LINE), {"bike.rolling_factor": 1.25, "run_in.grip": 0.4})
    made = [Rolled(slope=0.0, distance=0.0, speed=5.0), Rolled(slope=0.0, distance=30.0, speed=0.0)]
    fit = coast_fit(line, runs_of(made))
    new = corrected(line, fit)
    assert new.run_in.rolling_resistance * 1.25 == pytest.approx(fit.values["rolling_resistance"])
    assert new.run_in.grip == 0.4 and new.rider.drag_area is None
    there = corrected(line, fit, on="runout")
    assert there.run_in.rolling_resistance is None and there.jumps[-1].runout.rolling_resistance == new.run_in.rolling_resistance


def test_the_example_says_what_it_is():
    head = Path(RUNS).read_text(encoding="utf-8").split("\n")[0]
    assert "Made-up data" in head


def test_the_ground_it_was_reckoned_on_is_said_first(tmp_path, capsys):
    path = tmp_path / "runs.csv"
    path.write_text("run,distance_m,speed_kmh,slope_deg\n1,0,25,0\n1,300,0,0\n")
    level = coast_fit(read_line(LINE), runs_of(read_coasts(path)))
    assert [(one.of, one.slopes) for one in level.grounds] == [(None, (0.0, 0.0))]
    path.write_text("run,distance_m,speed_kmh\n1,0,25\n1,300,0\n")
    assert main(["coast", LINE, str(path), "--on", "runout"]) == 0
    first = flat(capsys.readouterr().out.split("  - ")[1])
    assert "the line's own runout" in first and "slope −6.0 to 0.0°" in first and "give slope_deg" in first
    assert main(["coast", LINE, str(path), "--on", "runout", "--json"]) == 0
    content = json.loads(capsys.readouterr().out)
    assert content["reckoned_on"] == [{"run": "1", "ground": "runout", "slope_deg": pytest.approx([-6, 0])}]
    assert content["said"][0] == first


def test_no_value_is_offered_where_readings_scatter_far_more_than_stated(tmp_path, capsys):
    path = tmp_path / "runs.csv"
    path.write_text("run;way;time_s;speed_kmh\n1;there;0;25,0\n1;there;5;20,0\n1;there;10;15,2\n")
    assert main(["coast", LINE, str(path)]) == 0
    text = flat(capsys.readouterr().out)
    assert "rolling_resistance =" not in text and "no rolling resistance is given" in text and "With it the start" not in text
    assert "Look at this first: whether it rolled on that ground" in text
    assert main(["coast", LINE, str(path), "--json"]) == 0
    content = json.loads(capsys.readouterr().out)
    assert content["offered"] is False and content["rolling_resistance"]["value"] is None and content["scatter"] > 3


def test_what_nothing_slows_gives_no_number(tmp_path, capsys):
    """Faster after 30 m of level ground: the strip falls, or the wind pushed."""
    runs = tmp_path / "runs.csv"
    runs.write_text("run,slope_percent,distance_m,speed_kmh\n1,0,0,15\n1,0,30,18\n")
    assert main(["coast", str(LINE), str(runs)]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "no rolling resistance is given" in told and "the strip falls more" in told and "In the line file" not in told
