"""Several riders on one line: each one's answer, who cannot ride it, the marks that serve all."""

import json
from dataclasses import replace

import pytest

from jumpcalc.errors import FileError, InputError
from jumpcalc.plan.ask.from_mark import from_mark
from jumpcalc.plan.inputs.site import Group, SiteRider
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.group import Cannot, together
from jumpcalc.plan.vary import vary
from jumpcalc.show.cli import main
from jumpcalc.show.files.examples import FOLDER, examples
from jumpcalc.show.files.sitefile import read_group
from jumpcalc.show.words.group import as_dict, report

FILE = FOLDER / "groups" / "saturday_group.toml"
GAP, TWO = examples()["first_gap"], examples()["two_in_a_row"]


def group(*riders):
    return Group(riders=tuple(SiteRider.of(**rider) for rider in riders))


def test_each_rider_is_answered_as_on_a_line_of_their_own():
    found = together(GAP, group({"mass_kg": 60, "bike": "hardtail"}, {"mass_kg": 95, "bike": "full suspension"}))
    for one, (mass, kind) in zip(found.members, ((60, "hardtail"), (95, "full suspension")), strict=True):
        keys = {"rider.mass_kg": mass, "rider.centre_of_mass_height_m": 1.05}
        own = solve(vary(GAP, {**keys, "rider.drag_area_m2": None, "bike.kind": kind, "bike.wheelbase_m": None, "bike.brakes": None}))
        assert one.answer.jumps[0].window.foot == own.jumps[0].window.foot
        assert one.marks == own.ride.window
    assert [one.rider.name for one in found.members] == ["rider 1", "rider 2"]


def test_the_marks_that_serve_all_lie_in_each_ones_own():
    found = together(TWO, group({"mass_kg": 66}, {"mass_kg": 92, "bike": "full suspension"}))
    assert not any(one.cannot for one in found.members)
    low, high = found.shared
    assert low == max(one.marks[0] for one in found.members) and high == min(one.marks[1] for one in found.members)
    assert all(one.marks[0] <= one.mark <= one.marks[1] for one in found.members)


def test_who_cannot_ride_it_is_told_why():
    slow, short, young = together(
        GAP, group({"fastest_kmh": 20}, {"bike": "dirt jump"}, {"bike": "child 24 inch", "centre_of_mass_height_m": 0.85})
    ).members
    assert [reason for reason, _, _ in slow.cannot] == [Cannot.TOO_FAST_FOR_THEM]
    assert slow.cannot[0][2] == slow.answer.jumps[0].window.foot.aim
    assert Cannot.NO_ROOM in [reason for reason, _, _ in short.cannot]
    assert short.cannot[-1][2] == pytest.approx(-short.answer.jumps[0].stop.margin)
    assert young.answer.complete.limits.equivalent_fall == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"air.crosswind_kmh": -25}, "side wind of 25"),
        ({"run_in.surface": "wet grass or clay"}, "wet"),
        ({"jump[1].landing.gap_m": 18}, "nothing stands behind"),
        ({"jump[1].landing.width_m": 0.6}, "handlebar"),
    ],
)
def test_what_no_speed_is_given_for_is_refused_to_each_rider(change, words):
    found = together(vary(GAP, change), group({"fastest_kmh": 15}))
    told, text = as_dict(found), report(found)
    assert found.shared is None and "0 of 1 riders" in text and "not for them" in text
    for rider in told["riders"]:
        assert len(rider["cannot"]) == 1 and words in rider["cannot"][0]
        assert rider["start_m"] is None and rider["marks_m"] is None and rider["jumps"] == [None]


@pytest.mark.parametrize("line", [GAP, TWO], ids=["one", "two"])
def test_where_the_run_in_ends_before_the_aim_no_other_mark_is_told(line):
    """From its top the slowest landings are still clean, with next to nothing to spare: that is no mark to send anyone to."""
    first, *rest = GAP.run_in.pieces
    pieces = (replace(first, length=first.length + 15.0), *rest)
    line, rider = replace(line, run_in=replace(GAP.run_in, pieces=pieces)), {"mass_kg": 85, "bike": "hardtail"}
    whole = together(line, group(rider)).members[0]
    cut = whole.answer.jumps[0].run_in.length - (0.9 * whole.marks[0] + 0.1 * whole.mark)
    shorter = replace(line.run_in, pieces=(replace(pieces[0], length=pieces[0].length - cut), *rest))
    found = together(replace(line, run_in=shorter), group(rider))
    (one,) = found.members
    assert one.marks is not None and one.mark is None and [reason for reason, _, _ in one.cannot] == [Cannot.RUN_IN_TOO_SHORT]
    assert one.cannot[0][2] == one.answer.jumps[0].run_in.missing
    assert "not for them" in report(found) and "the run-in is too short for the aim" in " ".join(report(found).split())


def test_no_mark_is_faster_than_they_ride():
    (free,) = together(GAP, group({"mass_kg": 85, "fastest_kmh": 60})).members
    fastest = free.answer.jumps[0].window.foot.aim + 0.02
    (slow,) = together(GAP, group({"mass_kg": 85, "fastest_kmh": fastest * 3.6})).members
    assert free.marks[0] == slow.marks[0] and slow.mark <= slow.marks[1] < free.marks[1]
    assert from_mark(slow.answer.line, slow.marks[1]).foot_speed == pytest.approx(fastest, abs=1e-3)


def test_a_reason_that_holds_for_several_is_told_once():
    found = together(vary(GAP, {"run_in.surface": "wet grass or clay"}), group({"mass_kg": 66}, {"mass_kg": 92}))
    text = " ".join(report(found).split())
    assert "- rider 1, rider 2: wet ground" in text and text.count("wet ground") == 1


def test_no_mark_is_promised_where_there_is_none():
    nobody, unmeasured = together(GAP, group({"fastest_kmh": 15})), together(vary(GAP, {"run_in.pieces": None}), group({"mass_kg": 66}))
    assert not unmeasured.members[0].cannot and "the run-in is not measured" in " ".join(report(unmeasured).split())
    assert "From these marks" not in report(nobody) and "From these marks" not in report(unmeasured)


def test_a_drop_has_an_edge_and_no_lip():
    """One who rides up to 22 km/h is told the speed that is asked for at the edge; two others are told marks before it."""
    text = " ".join(report(together(examples()["low_drop"], group({"fastest_kmh": 22}, {"mass_kg": 66}, {"mass_kg": 92}))).split())
    assert "aim at the edge" in text and "km/h at the edge, more than they ride" in text and "m before the edge land all" in text
    assert "the lip" not in text


@pytest.mark.parametrize("names", [("Ann", "ann "), ("rider 2", None)])
def test_two_riders_of_one_name_are_refused(names):
    with pytest.raises(InputError, match="name of their own") as refused:
        group(*({} if name is None else {"name": name} for name in names))
    assert refused.value.key == "rider[2].name"


def test_the_command(capsys, tmp_path):
    assert main(["group", str(FOLDER / "two_in_a_row.toml"), str(FILE)]) == 0
    text = capsys.readouterr().out
    assert "EXAMPLE" in text and "not for them" in text and "Ride-test" in text and "jump 1, it asks for" in text
    assert main(["group", str(FOLDER / "first_gap.toml"), str(FILE), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert [rider["name"] for rider in told["riders"]] == ["coach", "light adult", "teenager", "child"]
    assert told["riders"][3]["start_m"] is None and told["riders"][3]["cannot"]
    empty = tmp_path / "nobody.toml"
    empty.write_text('title = "nobody"\n', encoding="utf-8")
    assert main(["group", str(FOLDER / "first_gap.toml"), str(empty)]) == 2
    assert "nobody.toml: rider" in capsys.readouterr().err
    with pytest.raises(FileError, match="each a"):
        read_group(_file(tmp_path, ""))


def _file(tmp_path, text):
    file = tmp_path / "empty.toml"
    file.write_text(text, encoding="utf-8")
    return file
