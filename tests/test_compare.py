"""Two lines, or two bikes on one line, side by side."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from jumpcalc.errors import InputError
from jumpcalc.plan.inputs.rider import Bike
from jumpcalc.plan.inputs.surfaces import BIKES
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.compare import compare
from jumpcalc.plan.vary import with_bike
from jumpcalc.show.cli import main
from jumpcalc.show.files.linefile import read_line, write_line
from jumpcalc.show.words.side_by_side import as_dict, report

EXAMPLES = Path(__file__).parents[1] / "examples"
FIRST = EXAMPLES / "first_gap.toml"
LINE = read_line(FIRST)
DUG = replace(
    LINE, jumps=(replace(LINE.jumps[0], landing=replace(LINE.jumps[0].landing, gap=4.6, length=5.0)),), title="dug again"
)  # fmt: skip


@pytest.fixture(scope="module")
def dug():
    return compare(LINE, DUG)


def test_nothing_differs_from_itself():
    same = compare(LINE, LINE)
    assert same.changed == () and not same.rebuilt
    assert all(pair.old == pair.new for pairs in same.jumps for pair in pairs)
    assert "Nothing differs." in report(same, names=("a", "b"))


def test_changed_inputs_are_those_that_changed(dug):
    assert [(change.path, change.old, change.new) for change in dug.changed] == [
        ("jump[1].landing.gap_m", 4.2, 4.6),
        ("jump[1].landing.length_m", 4.5, 5.0),
    ]
    assert dug.rebuilt and dug.old.fingerprint != dug.new.fingerprint


def test_of_ground_in_pieces_the_piece_is_told():
    steeper = replace(LINE.run_in.pieces[0], slope=LINE.run_in.pieces[0].slope - 0.02)
    found = compare(LINE, replace(LINE, run_in=replace(LINE.run_in, pieces=(steeper, *LINE.run_in.pieces[1:]))))
    assert [(one.path, one.old - one.new) for one in found.changed] == [("run_in.pieces[1].slope_deg", pytest.approx(0.02))]
    fewer = compare(LINE, replace(LINE, run_in=replace(LINE.run_in, pieces=LINE.run_in.pieces[:-1])))
    assert [one.path for one in fewer.changed] == ["run_in.pieces"]


def test_answers_are_those_of_both_lines(dug):
    for line, side in ((LINE, "old"), (DUG, "new")):
        jump = solve(line).jumps[0]
        rows = {pair.name: getattr(pair, side) for pair in dug.jumps[0]}
        assert rows["at the edge, aim"] == jump.window.speeds.aim
        assert rows["before the lip, slowest clean"] == jump.window.foot.min
        assert rows["room faster than the aim"] == jump.window.speeds.max - jump.window.speeds.aim
        assert rows["start mark for the aim"] == jump.run_in.marks[1]
        assert rows["hits at the fastest as a drop of"] == jump.landings[2].equivalent_fall
        assert rows["pedal strokes for the aim"] == jump.run_in.strokes.needed
        assert rows["last place to stop before the lip"] == jump.abort.last
        assert rows["room to stop to spare"] == jump.stop.margin
        assert rows["can be rolled"] is jump.rollable.yes
    assert len({pair.name for pair in dug.jumps[0]}) == len(dug.jumps[0])


def test_a_longer_gap_asks_for_more(dug):
    rows = {pair.name: pair for pair in dug.jumps[0]}
    assert rows["at the edge, slowest clean"].new > rows["at the edge, slowest clean"].old
    assert rows["start mark for the aim"].new is None or rows["start mark for the aim"].new > rows["start mark for the aim"].old


def test_rebuilt_is_said_only_of_ground():
    told = "Rebuilt since: old start marks and cards no longer apply."
    assert told in report(compare(LINE, DUG), names=("old", "new"))
    windy = replace(LINE, air=replace(LINE.air, tailwind=2.0))
    other = compare(LINE, windy)
    assert not other.rebuilt and [change.path for change in other.changed] == ["air.tailwind_kmh"]
    assert told not in report(other, names=("old", "new"))


def test_titles_and_notes_are_no_measurements():
    other = compare(LINE, replace(LINE, title="x", notes="y", measured_on="today", measured_by="z", place="there"))
    assert other.changed == () and not other.rebuilt


@pytest.mark.parametrize("kind", BIKES)
def test_a_bike_brings_all_that_belongs_to_its_kind(kind):
    bike = solve(with_bike(LINE, kind)).complete.bike
    for name in ("wheelbase", "brakes", "rolling_factor", "rotating_mass", "development", "travel", "suspension_loss"):
        assert getattr(bike, name) == getattr(BIKES[kind], name)
        assert f"bike.{name}" in " ".join(solve(with_bike(LINE, kind)).assumed)


def test_two_bikes():
    """The hardtail needs less of the run-in on hard ground: common practice, no source."""
    found = compare(with_bike(LINE, "hardtail"), with_bike(LINE, "full suspension"))
    assert not found.rebuilt
    assert {"bike.kind", "bike.wheelbase_m", "bike.travel_mm", "bike.suspension_loss_percent"} == {
        change.path for change in found.changed
    }
    rows = {pair.name: pair for pair in found.jumps[0]}
    assert rows["from the start mark the edge is left at"].old > rows["from the start mark the edge is left at"].new
    text = report(found, names=("hardtail", "full suspension"))
    assert "Your start mark was for the hardtail; on the full suspension it is another." in text
    assert "that is not known" in " ".join(text.split())


def test_other_brakes_move_the_last_place_to_stop():
    found = compare(with_bike(LINE, "hardtail"), replace(LINE, bike=Bike(kind="hardtail", brakes="rear")))
    rows = {pair.name: pair for pair in found.jumps[0]}
    assert rows["at the edge, aim"].old == rows["at the edge, aim"].new
    assert rows["last place to stop before the lip"].new is None or (
        rows["last place to stop before the lip"].new > rows["last place to stop before the lip"].old
    )
    assert rows["stopping after the landing takes"].new > rows["stopping after the landing takes"].old


def test_lines_with_different_numbers_of_jumps():
    two = read_line(EXAMPLES / "two_in_a_row.toml")
    found = compare(two, replace(two, jumps=two.jumps[:1]))
    assert len(found.jumps) == 1 and found.rebuilt
    assert "old has 2 jumps, new 1." in report(found, names=("old", "new"))
    gone = {change.path: change for change in found.changed}["jump[2].landing.gap_m"]
    assert gone.new is None and gone.old == 4.0
    assert "not given" in report(found, names=("old", "new"))


def test_a_side_without_a_window_is_none():
    tiny = replace(LINE, jumps=(replace(LINE.jumps[0], landing=replace(LINE.jumps[0].landing, length=1.0)),))
    found = compare(LINE, tiny)
    rows = {pair.name: pair for pair in found.jumps[0]}
    assert rows["at the edge, aim"].new is None and rows["at the edge, aim"].old is not None
    json.dumps(as_dict(found, names=("a", "b")), allow_nan=False)


def test_contradicting_inputs_are_refused():
    wrong = replace(LINE, run_in=replace(LINE.run_in, strokes=90))
    with pytest.raises(InputError, match=r"run_in\.strokes"):
        compare(LINE, wrong)


@pytest.fixture
def files(tmp_path):
    old, new = tmp_path / "old.toml", tmp_path / "new.toml"
    old.write_text(write_line(LINE), encoding="utf-8")
    new.write_text(write_line(DUG), encoding="utf-8")
    return str(old), str(new)


def test_on_the_command_line_with_two_files(files, capsys):
    assert main(["compare", *files]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    for text in ("Rebuilt since", "jump[1].landing.gap_m", "4.2 m", "4.6 m", "start mark for the aim", *files):
        assert text in out
    assert main(["compare", *files, "--units", "imperial"]) == 0
    out = capsys.readouterr().out
    assert "15.1 ft" in out and "mph" in out and "km/h" not in out


def test_on_the_command_line_with_two_bikes(capsys):
    assert main(["compare", str(FIRST), "--bike", "hardtail", "--bike", "dirt jump"]) == 0
    out, err = capsys.readouterr()
    assert err == "" and "Your start mark was for the hardtail; on the dirt jump it is another." in out
    assert "bike.brakes" in out and "rear" in out


def test_json(files, capsys):
    assert main(["compare", *files, "--json"]) == 0
    data = json.loads(capsys.readouterr().out, parse_constant=lambda word: pytest.fail(word))
    assert data["rebuilt"] is True and data["names"] == list(files) and len(set(data["fingerprints"])) == 2
    assert {change["key"] for change in data["changed"]} == {"jump[1].landing.gap_m", "jump[1].landing.length_m"}
    rows = {row["name"]: row for row in data["jumps"][0]}
    assert rows["at the edge, aim"]["new_si"] == pytest.approx(solve(DUG).jumps[0].window.speeds.aim)
    assert data["cautions"]


WRONG = {
    "one file": ["compare", str(FIRST)],
    "one bike": ["compare", str(FIRST), "--bike", "hardtail"],
    "three bikes": ["compare", str(FIRST), *["--bike", "hardtail"] * 3],
    "files and bikes": ["compare", str(FIRST), str(FIRST), "--bike", "hardtail", "--bike", "dirt jump"],
    "unknown bike": ["compare", str(FIRST), "--bike", "hardtail", "--bike", "unicycle"],
    "no such file": ["compare", str(FIRST), "nowhere.toml"],
}


@pytest.mark.parametrize("name", WRONG)
def test_wrong_uses_are_one_line(name, capsys):
    assert main(WRONG[name]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1 and err.startswith("jumpcalc: ")


def test_the_file_at_fault_is_named(files, tmp_path, capsys):
    """Also where only the whole line shows that its inputs contradict each other."""
    bad = tmp_path / "bad.toml"
    bad.write_text(write_line(replace(LINE, run_in=replace(LINE.run_in, strokes=90))), encoding="utf-8")
    for pair in ((files[0], str(bad)), (str(bad), files[0])):
        assert main(["compare", *pair]) == 2
        err = capsys.readouterr().err
        assert err.count("\n") == 1 and err.startswith(f"jumpcalc: {bad}: run_in.strokes: ")
