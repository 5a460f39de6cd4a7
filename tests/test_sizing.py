"""Sizing: what is proposed keeps every limit when solved afresh, and nothing that was looked at beats it.

At full size (16,384 jumps at random and six rounds around the best) the bundled site takes 17 s of one core; here a
smaller search is run.
"""

import itertools
import json
import math

import numpy as np
import pytest

from jumpcalc.errors import FileError
from jumpcalc.plan.ask.lip import climb
from jumpcalc.plan.solve import solve, solve_jumps
from jumpcalc.plan.studies.sizing import search as search_module
from jumpcalc.plan.studies.sizing import whole as whole_module
from jumpcalc.plan.studies.sizing.ground import laid_out
from jumpcalc.plan.studies.sizing.lay import Candidates
from jumpcalc.plan.studies.sizing.propose import SIZES, broken, chosen, proposals
from jumpcalc.plan.studies.sizing.rate import rated
from jumpcalc.plan.studies.sizing.search import Space, objectives, search, space_of, unbeaten
from jumpcalc.plan.studies.sizing.whole import Sized
from jumpcalc.plan.studies.sizing.why import forbids, not_today
from jumpcalc.plan.studies.sizing.written import jump_lines
from jumpcalc.plan.terrain import prepare
from jumpcalc.show.cli import main
from jumpcalc.show.files.examples import FOLDER
from jumpcalc.show.files.linefile import read_line
from jumpcalc.show.files.sitefile import parse_site, read_group, read_site
from jumpcalc.show.files.sizing_json import as_dict
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.sizing import why_none

FILE = FOLDER / "sites" / "hazel_bank.toml"
TEXT = FILE.read_text(encoding="utf-8")
ALONE = TEXT[: TEXT.rindex("[[rider]]")]
DEG = math.pi / 180


@pytest.fixture(scope="module")
def site():
    return laid_out(read_site(FILE))


@pytest.fixture(scope="module")
def found(site):
    """A search of 4096 jumps and two rounds around the best."""
    return list(itertools.islice(search(site, np.random.default_rng(0), first=4096), 3))[-1]


@pytest.fixture
def quick(monkeypatch):
    monkeypatch.setattr(search_module, "_FIRST", 1024)
    monkeypatch.setattr(search_module, "_ROUNDS", 1)


def test_windows_as_rated_are_those_of_the_full_answer(site, found):
    """The closed form is within 2 % of the simulated departure before the lip, of tolerance within 0.1 m/s."""
    for row in (0, len(found.front.jumps) - 1):
        half = []
        for line in jump_lines(site, found.front, row):
            foot = solve_jumps(line).jumps[0].window.foot
            half.append(0.5 * (foot.max - foot.min))
        assert found.front.tolerance[row] == pytest.approx(min(half), abs=0.1)


def test_a_face_ends_on_the_ground_as_it_lies(site, found):
    """The line file's own ground, from the foot through lip, landing and curve, comes down on the staked slope."""
    for row in (0, len(found.front.jumps) // 2):
        line = jump_lines(site, found.front, row)[0]
        terrain = prepare(line).jumps[0].terrain
        x, z = (float(v) for v in terrain.ground.point(np.array(terrain.runout_start)))
        foot_x, foot_z, _ = site.natural.at(np.array(found.front.jumps.place[row]))
        on = np.interp(foot_x + x - terrain.foot_x, site.natural.x, site.natural.z)
        assert foot_z + z - terrain.foot_z == pytest.approx(float(on), abs=0.06)


def test_starts_of_the_ground_roll_as_the_run_in_does(site, found):
    """The start that is rated for an aim gives that speed at the foot of the line file's run-in, within 1 %."""
    row = int(np.argmax(found.front.tolerance))
    line, there = jump_lines(site, found.front, row)[0], site.riders[0]
    first = solve(line).jumps[0]
    place = found.front.jumps.place[row]
    start = there.start_for(np.array(place), np.array(first.window.foot.aim), site.natural)
    assert place - float(start) == pytest.approx(first.run_in.marks[1], rel=0.03)
    assert float(there.fastest_at(np.array(place), site.natural)) == pytest.approx(first.run_in.foot_speed, rel=0.01)
    edge, _ = climb(prepare(line).jumps[0], np.array([first.window.foot.aim]), prepare(line).jumps[0].up_the_lip)
    assert float(edge[0]) == pytest.approx(first.window.speeds.aim, rel=1e-6)


def test_dirt_of_a_lip_by_hand():
    """On level ground a lip's dirt is W∫z dx + a∫z² dx, here by a fine sum of its own; no deck to a gap."""
    flat = parse_site(
        '[ground]\nstakes_m = [[0, 0], [40, 8], [45, 8.2], [60, 8.2], [70, 8.2], [80, 8.2], [90, 8.2], [150, 8.2]]\n'
        '[wanted]\nshape = "gap"\nbatter = 1\nlip_width_m = 1.5\n'
    )
    laid = laid_out(flat)
    jumps = Candidates.of(np.array([[90.0, 3.0, 25 * DEG, 8.0, 2.0, 0.0, 20 * DEG]]))
    found = rated(laid, jumps)
    s = np.linspace(0, 1, 20001)
    arc_x, arc_z = 8 * np.sin(25 * DEG * s), 8 * (1 - np.cos(25 * DEG * s))
    up_x, up_z = arc_x[-1] + 2 * s * math.cos(25 * DEG), arc_z[-1] + 2 * s * math.sin(25 * DEG)
    x, z = np.concatenate([arc_x, up_x]), np.concatenate([arc_z, up_z])
    lip = np.trapezoid(1.5 * z + z * z, x)
    top, width = up_z[-1], 2.0
    down = found.face[0] * math.sin(20 * DEG)
    fall = np.linspace(0, 1, 20001)
    curve = 6.0 * (1 - math.cos(20 * DEG))
    assert down + curve == pytest.approx(top, abs=0.03)
    slope_x = np.linspace(0, found.face[0] * math.cos(20 * DEG) + 6 * math.sin(20 * DEG), len(fall))
    slope_z = np.maximum(top - slope_x * math.tan(20 * DEG), 0.0)
    landing = np.trapezoid(width * slope_z + slope_z**2, slope_x)
    backs = 0.5 * top**2 * (1.5 + width)
    assert found.dirt[0] == pytest.approx(lip + landing + backs, rel=0.03)


def test_unbeaten_against_two_loops():
    values = np.random.default_rng(1).integers(0, 6, (300, 4)).astype(float)
    slow = [not any(all(b <= a) and any(b < a) for b in values) for a in values]
    assert unbeaten(values).tolist() == slow


def test_three_free_sizes_give_the_front_of_brute_force(site):
    """Gap, lip angle and fall free, all else fixed: every jump of the grid rated one batch a gap, its front by two loops."""
    low, high, step = (np.array(column) for column in zip(
        (33.0, 33.0, 1.0), (2.0, 4.5, 0.125), (11 * DEG, 19 * DEG, 0.5 * DEG), (6.0, 6.0, 1.0), (1.2, 1.2, 1.0), (0.5, 0.5, 1.0),
        (14 * DEG, 22 * DEG, 0.5 * DEG), strict=True,
    ))  # fmt: skip
    space = Space(low=low, high=high, step=step)
    last = None
    for last in search(site, np.random.default_rng(3), space=space, first=1024):  # noqa: B007
        pass
    assert last.tried < 0.6 * np.prod(space.most + 1)
    kept = []
    for gap in np.arange(space.most[1] + 1):
        steps = np.array([[0, gap, a, 0, 0, 0, f] for a in range(space.most[2] + 1) for f in range(space.most[6] + 1)])
        each = rated(site, Candidates.of(space.at(steps)))
        kept += [(tuple(row), tuple(value)) for row, value, fits in zip(steps, objectives(each), each.fits, strict=True) if fits]
    values = np.array([value for _, value in kept])
    front = {row for (row, value) in kept if not ((values <= value).all(axis=1) & (values < value).any(axis=1)).any()}
    assert len(front) > 10
    assert {tuple(row) for row in space.steps(last.front.jumps.array)} == front


def test_the_same_seed_finds_the_same(site):
    first, second = (next(search(site, np.random.default_rng(7), first=1024)) for _ in range(2))
    assert np.array_equal(first.front.jumps.array, second.front.jumps.array)
    assert np.array_equal(first.front.dirt, second.front.dirt)


def test_proposals_keep_every_limit_when_solved_afresh(site, found):
    made = list(proposals(site, found))
    assert [one.size for one in made] == list(SIZES)
    gaps = [one.line.jumps[0].landing.gap for one in made]
    assert gaps == sorted(gaps) and gaps[0] < gaps[-1]
    for one in made:
        for rider, answer in zip(site.site.riders, one.answers, strict=True):
            again = solve(answer.line)
            assert broken(site.site, again, fastest=rider.fastest, spread=rider.speed_sd) == ()
            jump = again.jumps[0]
            assert jump.window.foot.aim <= rider.fastest and jump.stop.stops and jump.run_in.marks[1] is not None
            assert all(landing.equivalent_fall <= again.complete.limits.equivalent_fall + 1e-6 for landing in jump.landings)
        keep = site.site.keep_outs[0]
        assert one.ends <= keep.begins or one.place >= keep.ends


def alone(tmp_path):
    """The bundled site with its first rider only."""
    file = tmp_path / "alone.toml"
    file.write_text(ALONE, encoding="utf-8")
    return file


def test_the_command_writes_line_files_that_solve_confirms(tmp_path, capsys, quick):
    folder, one_rider = tmp_path / "bank", str(alone(tmp_path))
    assert main(["size", one_rider, "--out", str(folder), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["cautions"] and told["nothing_fits"] is None
    for one in told["proposals"]:
        file = folder / f"{one['size']}.toml"
        assert file.read_text(encoding="utf-8") == one["line_file"]
        assert main(["solve", str(file), "--json"]) == 0
        solved = json.loads(capsys.readouterr().out)
        first = solved["jumps"][0]
        rider = one["riders"][0]
        assert first["foot_speed_mps"]["aim"] == pytest.approx(rider["foot_speed_mps"]["aim"], rel=1e-6)
        assert first["stop"]["stops"] and first["run_in"]["start_m_for_aim"] == pytest.approx(rider["start_m"], rel=1e-6)
        assert math.degrees(read_line(file).jumps[0].lip.angle) <= 30 + 1e-9
    assert "EXAMPLE" in (folder / "trade.svg").read_text(encoding="utf-8")
    # never written over unasked
    assert main(["size", one_rider, "--out", str(folder)]) == 2
    assert "--force" in capsys.readouterr().err


def test_stopped_it_answers_with_what_it_has(monkeypatch, capsys, tmp_path):
    whole = whole_module.search

    def stopped(*args, **keys):
        yield next(whole(*args, **keys))
        raise KeyboardInterrupt

    monkeypatch.setattr(search_module, "_FIRST", 8192)
    monkeypatch.setattr(whole_module, "search", stopped)
    assert main(["size", str(alone(tmp_path))]) == 0
    out = capsys.readouterr().out
    assert "stopped early" in out and "start before the foot" in out and "EXAMPLE" in out
    assert "those of the spread of speed alone" in " ".join(out.split())


def test_where_nothing_fits_the_limit_is_named_and_a_cure_tried(capsys, quick, tmp_path):
    """A room that ends too soon: more of it is what helps."""
    short = TEXT.replace("[54, 9.0], [62, 9.9], [72, 10.6], [86, 11.0], [105, 11.1],", "")
    assert short != TEXT
    file = tmp_path / "short.toml"
    file.write_text(short, encoding="utf-8")
    assert main(["size", str(file), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    why = told["nothing_fits"]
    assert told["proposals"] == [] and why["limit"] == "room" and why["exceeded_by"] > 1.0
    assert why["cure"] is None or why["cure"]["limit"] == "room"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (TEXT + "\n[air]\ncrosswind_kmh = -30\n", "Not today: with a side wind of 30 km/h"),
        (TEXT.replace('surface = "hardpack"', 'surface = "wet grass or clay"'), "Not today: wet ground"),
    ],
)
def test_a_day_that_is_none_to_ride_on_is_told_before_any_search(text, told, tmp_path, capsys, monkeypatch):
    monkeypatch.delattr(search_module, "rated")
    file = tmp_path / "site.toml"
    file.write_text(text, encoding="utf-8")
    assert main(["size", str(file)]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert told in out and "No jump was tried" in out and "Ride-test" in out and "too great" not in out
    assert main(["size", str(file), "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["tried"] == 0 and answer["proposals"] == []
    assert answer["nothing_fits"]["not_today"] in out


def test_a_side_wind_that_drifts_off_a_narrow_landing_is_what_stands_in_the_way():
    """At 20 km/h the bike by itself stays upright; what it drifts only the full answer to a jump tells."""
    laid = laid_out(parse_site(ALONE.replace('shape = "tabletop"', 'landing_width_m = 0.9') + "\n[air]\ncrosswind_kmh = 20\n"))
    assert not_today(laid.site) is None
    found = next(search(laid, np.random.default_rng(0), first=256))
    why = forbids(laid, found)
    now = Sized(site=laid.site, found=found, none=why, done=True)
    said = " ".join(Reader.metric.texts(why_none(now)))
    assert as_dict(now, [])["nothing_fits"]["not_today"] in said
    assert "Not today:" in said and "too great" not in said and "missing" not in said


def test_one_gap_is_one_size(site, found):
    gaps = found.front.jumps.gap
    one = found.front.rows(np.nonzero(gaps == gaps[0])[0])
    assert [size for size, _ in chosen(one, "tabletop")] == ["middle"]
    rows = [rows for _, rows in chosen(found.front, "tabletop")]
    assert sorted(row for each in rows for row in each) == list(range(len(gaps)))


def test_ground_no_landing_can_meet_says_so(capsys, quick, tmp_path):
    file = tmp_path / "cliff.toml"
    file.write_text("[ground]\nstakes_m = [[0, 0], [30, 24], [60, 48]]\n", encoding="utf-8")
    assert main(["size", str(file)]) == 0
    assert "steeper than the ground" in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "a site needs its ground as stakes"),
        ("[ground]\n", "stakes_m: not given"),
        ("[ground]\nstakes_m = [[0, 0], [5, 1]]\n", "m of ground"),
        ('[ground]\nsurface = "dry wood"\nstakes_m = [[0, 0], [50, 5]]\n', "nothing is known of stopping; give grip"),
        ("[ground]\nstakes_m = [[0, 0], [50, 5]]\n[limits]\nlip_angel_deg = 3\n", "did you mean 'lip_angle_deg'"),
        ("[ground]\nstakes_m = [[0, 0], [50, 5]]\n[[keep_out]]\nbegins_m = 4\nends_m = 3\n", "must lie beyond its beginning"),
        ("[ground]\nstakes_m = [[0, 0], [50, 5]]\n[[keep_out]]\nbegins_m = 60\nends_m = 63\n", "the ground ends after"),
        ("[ground]\nstakes_m = [[0, 0], [50, 5]]\n[wanted]\nlanding_width_m = 0.7\n", "0.7 m; must be more than a handlebar"),
        ("[ground]\nstakes_m = [[0, 0], [50, 5]]\n[wanted]\nsmallest_gap_m = 5\nlargest_gap_m = 3\n", "must not be less than the smallest"),
    ],
)
def test_refusals_are_one_line(text, told, tmp_path, capsys):
    file = tmp_path / "site.toml"
    file.write_text(text, encoding="utf-8")
    assert main(["size", str(file)]) == 2
    error = capsys.readouterr().err
    assert told in error and error.count("\n") == 1 and "site.toml" in error


@pytest.mark.parametrize(
    ("read", "file", "told"),
    [
        (read_line, FILE, "a site file .* needed is a line file"),
        (read_site, FOLDER / "first_gap.toml", "a line file .* needed is a site file"),
        (read_group, FOLDER / "first_gap.toml", "a line file .* needed is a file of riders"),
        (read_group, FILE, "a site file .* needed is a file of riders"),
        (read_site, FOLDER / "groups" / "saturday_group.toml", "a file of riders .* needed is a site file"),
        (read_line, FOLDER / "groups" / "saturday_group.toml", "a file of riders .* needed is a line file"),
    ],
)
def test_a_file_of_another_kind_is_called_what_it_is(read, file, told):
    with pytest.raises(FileError, match=told):
        read(file)


def test_a_space_is_in_steps_a_builder_pegs_out(site):
    space = space_of(site)
    assert (space.most >= 0).all()
    assert space.low[4] >= 2 * site.half - 1e-9  # the straight is a wheelbase long where nobody says otherwise
    assert np.allclose(space.steps(space.at(space.most)), space.most)


def test_too_many_riders_are_refused():
    with pytest.raises(FileError, match="up to 6"):
        parse_site("[ground]\nstakes_m = [[0, 0], [50, 5]]\n" + '[[rider]]\nname = "a"\n' * 7)
