"""Odds against cases whose answer is known."""

import json
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import norm

from jumpcalc.errors import InputError
from jumpcalc.plan.ask.checks import PITCH, pitched
from jumpcalc.plan.ask.from_mark import from_mark
from jumpcalc.plan.ask.landings import land, set_down
from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies import odds as odds_module
from jumpcalc.plan.studies import smallest as smallest_module
from jumpcalc.plan.studies.best_mark import Costs, best_mark
from jumpcalc.plan.studies.field.window import window_of
from jumpcalc.plan.studies.many import ERRORS, Begin, Tries, normals, size, try_all
from jumpcalc.plan.studies.odds import begin_at, drawn, odds
from jumpcalc.plan.studies.spread import RIDERS, Spread, spread_of, steady
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import vary
from jumpcalc.show.cli import main
from jumpcalc.show.files.examples import examples
from jumpcalc.show.files.odds_json import as_dict
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.odds import best, headline, in_100, none, report
from jumpcalc.show.words.spread import often

GAP, TWO = examples()["first_gap"], examples()["two_in_a_row"]
SHORT_MEADOW = (GAP.jumps[0].runout.pieces[0], replace(GAP.jumps[0].runout.pieces[1], length=20.0))
NONE = Spread(speed=0.0, angle=0.0, spring_mean=0.0, spring=0.0, tailwind=0.0, drag=0.0, pitch=0.0)
NO_SKILL = {f"skill.{name}": 0 for name in ("speed_sd_percent", "angle_sd_deg", "spring_sd_mps", "pitch_sd_deg")}


def share(found, outcome):
    return dict(found.outcomes)[outcome].value


@pytest.fixture
def still(monkeypatch):
    """Riders without wind or posture of their own, which no line can switch off."""
    for name, rider in RIDERS.items():
        monkeypatch.setitem(RIDERS, name, replace(rider, tailwind=0.0, drag=0.0))


@pytest.fixture
def matters_not_asked(monkeypatch):
    """Which error matters takes fourteen times as many rides as the odds themselves."""
    monkeypatch.setattr(odds_module, "_matters", lambda *_: ())
    monkeypatch.setattr(odds_module, "_FEW", 64)


@pytest.mark.parametrize(
    ("times", "outcome"), [(1.0, Outcome.CLEAN), (0.9, Outcome.SHORT), (1.3, Outcome.LONG)]
)
def test_no_spread_is_certainty(times, outcome, still):
    line = vary(GAP, {**NO_SKILL, "run_in.pieces": None})
    answer = solve(line)
    start = Begin(foot_speed=times * answer.jumps[0].window.foot.aim)
    tried = try_all(prepare(line).jumps, start, drawn(np.random.default_rng(1), 4096, 1), NONE)[0]
    assert tried.landed.is_(outcome).all()
    if times == 1.0:
        found = odds(answer, np.random.default_rng(1), rows=4096)
        assert (found.all_good.value, found.all_good.error, found.matters) == (1.0, 0.0, ())


def test_a_mean_spring_of_the_rider_counts_once(still):
    line = vary(GAP, {**NO_SKILL, "run_in.pieces": None, "skill.spring_mean_mps": 0.3})
    answer = solve(line)
    assert answer.jumps[0].window.foot.aim < 0.99 * solve(vary(line, {"skill.spring_mean_mps": None})).jumps[0].window.foot.aim
    start = Begin(foot_speed=answer.jumps[0].window.foot.aim)
    spread = spread_of(line).spread
    assert spread.spring_mean == 0.3
    (tried,) = try_all(prepare(line).jumps, start, drawn(np.random.default_rng(1), 64, 1), replace(spread, tailwind=0.0, drag=0.0))
    assert tried.landed.along == pytest.approx(answer.jumps[0].landings[1].along_face, abs=1e-6)


@pytest.mark.parametrize("change", [{"run_in.surface": "wet grass or clay"}, {"jump[1].landing.gap_m": 18.0}])
def test_where_no_speed_is_given_there_are_no_odds(change):
    answer = solve(vary(GAP, change))
    assert answer.jumps[0].window.speeds is not None
    assert odds(answer, np.random.default_rng(1), rows=512) is None and best_mark(answer, np.random.default_rng(1)) is None
    assert Reader.metric.text(none(answer)).startswith("No odds. No")


def test_a_spread_of_speed_alone_is_the_normal_integral(still):
    """Clean is one run of foot speeds, so its share is the normal integral between its ends."""
    line = vary(GAP, {**NO_SKILL, "skill.speed_sd_percent": 4, "run_in.pieces": None})
    answer = solve(line)
    foot = answer.jumps[0].window.foot
    found = odds(answer, np.random.default_rng(2), rows=65536)
    sd = 0.04 * foot.aim
    assert found.all_good.value == pytest.approx(norm.cdf((foot.max - foot.aim) / sd) - norm.cdf((foot.min - foot.aim) / sd), abs=3e-4)
    assert steady(answer).share == pytest.approx(found.all_good.value, abs=3e-4)
    shorter = share(found.jumps[0], Outcome.SHORT) + share(found.jumps[0], Outcome.REAR_SHORT)
    assert shorter == pytest.approx(norm.cdf((foot.min - foot.aim) / sd), abs=3e-4)
    assert found.matters[0].error == "speed" and found.matters[0].total == pytest.approx(1.0, abs=0.03)
    halved = norm.cdf(2 * (foot.max - foot.aim) / sd) - norm.cdf(2 * (foot.min - foot.aim) / sd)
    assert found.matters[0].halved == pytest.approx(halved, abs=3e-3)


def test_how_many_come_at_a_clean_speed_is_told_where_it_is_not_nearly_all():
    """About the speed that the start gives: the aim's, from the top what that gives, none where there is no start."""
    least = steady(solve(vary(GAP, {"run_in.strokes": 4})))
    assert least.taken.rider == "pedalling" and least.share < steady(solve(GAP)).share
    for change, words in (
        ({}, "whose speed differs by 3 % from one to the next (assumed), at best 84 come"),
        ({"skill.speed_sd_percent": 6}, "by this rider, whose speed differs by 6 % from one to the next, at best 51 come"),
        ({"skill.speed_sd_percent": 1}, ""), ({"run_in.surface": "wet grass or clay"}, ""), ({"air.tailwind_kmh": -8}, ""),
    ):  # fmt: skip
        told = Reader.metric.text(often(solve(vary(GAP, change))))
        assert words in told and bool(words) == bool(told), change
    top = solve(vary(GAP, {"air.tailwind_kmh": -4}))
    foot, at = top.jumps[0].window.foot, top.jumps[0].run_in.foot_speed
    assert top.jumps[0].run_in.from_top
    assert steady(top).share == pytest.approx(norm.cdf((foot.max - at) / (0.03 * at)) - norm.cdf((foot.min - at) / (0.03 * at)), abs=1e-9)


def test_a_wish_that_is_met_asks_for_no_change(capsys):
    path = str(Path(__file__).parents[1] / "examples" / "first_gap.toml")
    assert main(["odds", path, "--want", "60"]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "As it is, from the aim's start, it goes well that often already: 78 in 100." in told and "in place of" not in told


@pytest.mark.parametrize("name", ["low_drop", "first_gap", "step_up_table"])
def test_the_best_start_is_one_that_a_speed_check_asks_for(name):
    answer = solve(examples()[name])
    window = window_of(answer, prepare(answer.line).jumps[0])
    found = best_mark(answer, np.random.default_rng(0))
    assert window.low - 1e-6 <= found.best.foot_speed <= window.high + 1e-6
    assert found.best.cost <= found.aim.cost and (found.best == found.aim) == (found.best.mark == found.aim.mark)


def test_a_longer_landing_is_told_of_the_jump_that_it_helps(matters_not_asked, monkeypatch):
    """A longer first landing brings whoever lands it faster to the second jump: built, most tries fail there."""
    monkeypatch.setattr(odds_module, "_FEW", 4096)
    answer = solve(TWO)
    found = odds(answer, np.random.default_rng(5), rows=16384)
    for i, (gain, jump) in enumerate(zip(found.longer, TWO.jumps, strict=True), start=1):
        built = solve(vary(TWO, {f"jump[{i}].landing.length_m": jump.landing.length + 1}))
        there = odds(built, np.random.default_rng(6), rows=16384, mark=found.mark)
        assert found.all_good.value + gain == pytest.approx(there.all_good.value, abs=0.02)
    assert found.longer[0] < 0 < found.longer[1]
    assert "more of the landing of second gap, all else as it is" in " ".join(report(found, answer).split())


@pytest.mark.parametrize("error", ERRORS)
def test_halved_errors_quarter_the_variance(error):
    """Errors of a third of the usual ones land on the face, where they act as good as linearly; of pitch only one sign does."""
    one, start = prepare(GAP).jumps, begin_at(solve(GAP), None)[0]
    small = replace(NONE, **{error: {"pitch": 0.003}.get(error, getattr(RIDERS["practised"], error) / 3)})
    tries = drawn(np.random.default_rng(3), 4096, 1)
    if error == "pitch":
        tries = Tries(tries.common, np.abs(tries.own))

    def variance(times):
        tried = try_all(one, start, tries.changed(error, times), small)[0]
        assert tried.landed.on_face.all()
        return np.var(tried.landed.along)

    assert variance(1.0) / variance(0.5) == pytest.approx(4.0, rel=0.02)
    assert variance(1.0) > 0


def test_the_sampling_error_is_what_repeated_seeds_show(matters_not_asked):
    """Also held with 20 seeds of 4096 rows each."""
    answer = solve(GAP)
    found = [odds(answer, np.random.default_rng(seed), rows=512).all_good for seed in range(12)]
    seen = np.std([one.value for one in found], ddof=1)
    told = math.sqrt(np.mean([one.error**2 for one in found]))
    # the spread of 12 numbers is known to a fifth, and 16 scramblings tell their own to a fifth
    assert 0.5 < told / seen < 2.0


def test_the_same_seed_draws_the_same(monkeypatch):
    monkeypatch.setattr(odds_module, "_FEW", 256)
    answer = solve(GAP)
    first, second, other = (odds(answer, np.random.default_rng(seed), rows=512) for seed in (5, 5, 6))
    assert first == second and first != other


def test_a_chart_rides_as_the_run_in_does():
    """Rows looked up against the same rows ridden one by one, on both jumps."""
    one, start = prepare(TWO).jumps, begin_at(solve(TWO), None)[0]
    tries = drawn(np.random.default_rng(4), 16384, 2)
    some = tries.rows(slice(0, 40))
    many, few = (try_all(one, start, each, RIDERS["practised"]) for each in (tries, some))
    for looked_up, ridden in zip(many, few, strict=True):
        both = np.isin(looked_up.number, ridden.number)
        assert len(ridden.number) > 20
        assert looked_up.landed.speed[both] == pytest.approx(ridden.landed.speed, abs=3e-4)


def test_who_fails_at_one_jump_does_not_come_to_the_next(matters_not_asked):
    answer = solve(TWO)
    found = odds(answer, np.random.default_rng(1), rows=4096)
    assert "there, both jumps are landed clean" in Reader.metric.text(headline(found, answer))
    assert found.jumps[1].comes.value == pytest.approx(found.jumps[0].good.value, abs=1e-3)
    assert found.all_good.value == pytest.approx(found.jumps[1].comes.value * found.jumps[1].good.value)
    for jump in found.jumps:
        assert sum(one.value for _, one in jump.outcomes) + jump.unknown == pytest.approx(1.0)
        assert sum(jump.wheels) == pytest.approx(1.0)


@pytest.mark.parametrize("nose", [1, -1])
def test_a_turned_bike_touches_where_both_contacts_say(nose):
    """Against the search along the sampled path that tells what nose-up and nose-down cost at the aim."""
    answer, one = solve(GAP), prepare(GAP).jumps[0]
    aim = answer.jumps[0].landings[1]
    landed = land(one, np.array([aim.lip_speed]))
    turned = float(set_down(one, landed, np.array([nose * PITCH])).along[0])
    half, found = one.rig.wheelbase / 2, pitched(one, aim)
    first = turned - nose * half  # the rear contact of a nose-up bike, the front one of a nose-down bike
    earlier = found.rear_earlier if nose > 0 else found.front_earlier
    assert (aim.along_face - nose * half) - first == pytest.approx(earlier, abs=0.03)


def test_the_smallest_change_is_enough_and_a_step_less_is_not(matters_not_asked, monkeypatch):
    """The landing's length alone, its odds drawn afresh with other tries."""
    monkeypatch.setattr(smallest_module, "_MEASURES", smallest_module._MEASURES[:1])
    answer = solve(GAP)
    found = odds(answer, np.random.default_rng(0), rows=4096)
    (change,) = smallest_module.smallest(answer, found, np.random.default_rng(1), wanted=0.85)
    assert (change.path, change.was) == ("jump[1].landing.length_m", 4.5) and change.good >= 0.85

    def again(length):
        return odds(solve(vary(GAP, {change.path: length})), np.random.default_rng(9), rows=4096).all_good.value

    assert again(change.becomes) > 0.845 and again(change.becomes - 0.25) < 0.855
    assert list(smallest_module.smallest(answer, found, np.random.default_rng(1), wanted=0.9999)) == []


def test_shares_never_promise():
    assert in_100(0.9999) == "more than 95 in 100" and in_100(0.0001) == "fewer than 5 in 100" and in_100(0.5) == "50 in 100"


def test_what_the_line_says_of_its_rider_is_taken(matters_not_asked):
    line = vary(GAP, {"skill.speed_sd_percent": 1, "skill.pitch_sd_deg": 2})
    found = odds(solve(line), np.random.default_rng(0), rider="new", rows=512)
    assert found.taken.spread == replace(RIDERS["new"], speed=0.01, pitch=math.radians(2))
    assert found.taken.given == ("speed", "pitch") and "spring" in found.taken.assumed


@pytest.mark.parametrize("mark", [-1.0, 0.0, 60.0])
def test_a_mark_off_the_run_in_is_refused(mark):
    with pytest.raises(InputError, match="length of the run-in"):
        odds(solve(GAP), np.random.default_rng(0), mark=mark, rows=4096)


def test_nobody_who_halts_on_the_way_has_odds():
    flat = vary(GAP, {"run_in.rolling_resistance": 0.3})
    assert odds(solve(flat), np.random.default_rng(0), rows=4096) is None
    assert best_mark(solve(flat), np.random.default_rng(0)) is None


def test_rows_are_a_power_of_two():
    assert len(normals(np.full((8, size(2)), 0.5), 2)) == 8
    with pytest.raises(InputError, match="power of two"):
        drawn(np.random.default_rng(0), 5000, 1)


def test_the_best_start_follows_the_costs():
    """Where only short costs, faster is better; where only long does, slower; the aim lies between."""
    answer = solve(vary(GAP, {"run_in.pieces": None}))
    nothing = Costs(short=0, rear_short=0, front_long=0, long=0, hard=0)

    def best(**costs):
        return best_mark(answer, np.random.default_rng(1), costs=replace(nothing, **costs))

    short, long = best(short=10, rear_short=10, long=1, front_long=1), best(short=1, rear_short=1, long=10, front_long=10)
    assert long.best.foot_speed < long.aim.foot_speed < short.best.foot_speed
    even = best(short=1, rear_short=1, long=1, front_long=1)
    assert even.best.cost <= even.aim.cost
    # nobody lands well more often than from there, but for what the grid of starts is coarse by
    assert even.best.good == pytest.approx(1 - even.best.cost, abs=0.01)
    assert nothing == Costs(short=0, rear_short=0, front_long=0, long=0, hard=0)


def test_the_command(tmp_path, capsys, monkeypatch):
    from jumpcalc.show.files.linefile import write_line

    monkeypatch.setattr(odds_module, "_FEW", 256)
    file = tmp_path / "line.toml"
    file.write_text(write_line(vary(GAP, {"jump[1].landing.gap_m": 4.0})), encoding="utf-8")
    assert main(["odds", str(file), "--new", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["rider"] == "new" and told["spread"]["speed_sd_share"] == 0.08 and told["cautions"]
    assert 5 <= told["all_clean"]["in_100"] <= 95
    assert main(["odds", str(file), "--costs", "1,2,3"]) == 2
    assert "--costs" in capsys.readouterr().err
    assert main(["odds", str(file), "--want", "99"]) == 2
    assert "more is promised of nothing" in capsys.readouterr().err
    assert main(["odds", str(file), "--mark", "900"]) == 2
    assert "length of the run-in" in capsys.readouterr().err
    file.write_text(write_line(vary(GAP, {"jump[1].landing.length_m": 1.0})), encoding="utf-8")
    assert main(["odds", str(file)]) == 0
    assert "No odds: no speed lands" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        (vary(GAP, {"jump[1].runout.pieces": SHORT_MEADOW}), "10.9 m to stop are missing"),
        (vary(TWO, {"jump[2].landing.gap_m": 3.0}), "no start lands all jumps clean"),
    ],
)
def test_what_is_not_to_be_ridden_is_said_first_and_has_no_best_start(line, reason, monkeypatch):
    monkeypatch.setattr(odds_module, "_FEW", 64)
    answer = solve(line)
    found, start = odds(answer, np.random.default_rng(0), rows=512), best_mark(answer, np.random.default_rng(0))
    text, told = " ".join(report(found, answer, start=start).split()), as_dict(found, answer, start=start)
    assert text.startswith(f"Do not ride: {reason}.")
    assert reason in told["not_to_ride"] and told["best_start"] is None and "Costs least" not in text


def test_an_aim_that_the_run_in_does_not_give_is_no_aim():
    """A headwind of 5 km/h leaves the top of the run-in short of the aim."""
    answer = solve(vary(GAP, {"air.tailwind_kmh": -5}))
    assert answer.jumps[0].run_in.marks[1] is None
    start = best_mark(answer, np.random.default_rng(0))
    said = " ".join(Reader.metric.texts(best(start, answer)))
    assert not start.aim_reached and start.aim.foot_speed < answer.jumps[0].window.foot.aim
    assert "The run-in ends there, before it gives the aim: a higher start would cost less still." in said and "aim's start" not in said


def test_a_drop_has_an_edge_and_more_than_95_is_not_made_more(monkeypatch):
    monkeypatch.setattr(odds_module, "_FEW", 256)
    drop = {"jump[1].shape": "drop", "jump[1].lip.angle_deg": -3, "jump[1].lip.radius_m": None, "jump[1].lip.straight_m": None}
    face = {f"jump[1].landing.{key}": value for key, value in {"gap_m": 1.2, "drop_m": 0.8, "angle_deg": 22, "length_m": 4}.items()}
    answer = solve(vary(GAP, {**drop, **face, "run_in.pieces": None}))
    found, start = odds(answer, np.random.default_rng(0), rows=512), best_mark(answer, np.random.default_rng(0))
    aim = f"{3.6 * answer.jumps[0].window.foot.aim:.1f} km/h"
    text = " ".join(report(found, answer, start=start).split())
    assert text.startswith(f"At {aim} at the edge it is landed clean") and "before the lip" not in text
    assert "faster than the aim" in text and "instead of" not in text and "would make it" not in text


def test_the_best_start_of_a_line_is_one_that_rides_it_and_is_told_to_be_of_its_first_jump():
    """A second gap so small that the line must be begun slowly; where long costs nothing the first jump alone would be begun fast."""
    answer = solve(vary(TWO, {"jump[2].landing.gap_m": 3.6}))
    low, high = answer.ride.window
    costs = Costs(short=10, rear_short=10, front_long=0, long=0, hard=0)
    start = best_mark(answer, np.random.default_rng(0), costs=costs)
    assert answer.jumps[0].window.speeds.max > from_mark(answer.line, high).lip_speed + 0.5
    assert low - 1e-3 <= start.best.mark <= high + 1e-3
    said = Reader.metric.texts(best(start, answer))
    assert said[0].startswith("On the first jump alone, costs least") and "land the first jump well" in said[1]


def test_the_panel_in_size_it(monkeypatch):
    from pathlib import Path

    from streamlit.testing.v1 import AppTest

    from jumpcalc.show.page import asked, names
    from jumpcalc.show.page.odds import PANEL

    monkeypatch.setattr(asked, "_ROWS", 4096)
    monkeypatch.setattr(odds_module, "_FEW", 256)
    at = AppTest.from_file(str(Path(__file__).parents[1] / "app.py"), default_timeout=120)
    at.session_state[names.MORE_SIZE.name] = [PANEL.title]
    at.run()
    assert not at.exception
    told = " ".join(each.value for each in at.markdown)
    assert "78 in 100" in told and "a model" in told.lower()
    assert "short 10, cased 4" in told
    at.number_input(key=names.COST_FIELD.of("gap", "short").name).set_value(1.0)
    at.selectbox(key=names.ODDS_RIDER.name).set_value("new").run()
    told = " ".join(each.value for each in at.markdown)
    assert not at.exception and "someone new to it" in told.lower() and "short 1, cased 4" in told
