"""What tries teach, against a world that is simulated by other means than the fit uses (`made_tries`).

At full size (`tests/benchmarks/cover_tries.py`) the intervals are counted on 200 logs of 4, 8 and 16 tries each.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from made_tries import Made, Truth, made_log

from jumpcalc import read_line, solve, vary
from jumpcalc.errors import InputError
from jumpcalc.plan.ask.landings import land
from jumpcalc.plan.studies.field import fit as fit_module
from jumpcalc.plan.studies.field.charts import charts_of, speeds_over
from jumpcalc.plan.studies.field.expect import Marked, World, started
from jumpcalc.plan.studies.field.fit import swings
from jumpcalc.plan.studies.field.learn import fitted, learn
from jumpcalc.plan.studies.field.seen import clean_places
from jumpcalc.plan.studies.field.tries import Try
from jumpcalc.plan.studies.field.unknowns import unknowns_of
from jumpcalc.plan.terrain import prepare
from jumpcalc.show.files.examples import FOLDER
from jumpcalc.show.files.linefile import parse_line, write_line
from jumpcalc.show.files.tries_read import read_tries

DAY = "2026-11-14"
LINE = read_line(FOLDER / "first_gap.toml")
TABLE = read_line(FOLDER / "step_up_table.toml")
TRUTH = Truth(rolling=0.7, lip=math.radians(-0.6), spring=0.2, wind=-0.4, spring_sd=0.12, speed_sd=0.01)


def log(count, seed, *, truth=TRUTH, line=LINE, **how):
    rng = np.random.default_rng(seed)
    marks = np.round(rng.uniform(28.0, 32.0, count), 1)
    return made_log(Made(line, truth), marks, rng, **how)[0]


@pytest.fixture(scope="module")
def learned():
    return learn(LINE, log(16, 3))


@pytest.mark.parametrize("line", [LINE, TABLE], ids=["gap", "table"])
def test_a_world_as_measured_is_expected_as_it_is(line):
    """Without any error the simulated rides are those that the model expects, to a few mm/s and centimetres."""
    made = Made(line, Truth(gust_sd=0))
    marks = np.linspace(30.0, 33.0, 4)
    foot, _, along, when = made.ride(marks, np.random.default_rng(0), scatter=False)
    tries = [Try(date=DAY, start_mark=float(mark), outcome="clean") for mark in marks]
    world = World(made.line, unknowns_of(line, tries))
    nothing = np.full(4, np.nan)
    found = world.expected(
        started(made.line, tries, nothing), Marked(nothing, nothing - np.inf, nothing + np.inf), np.zeros(len(world.unknowns))
    ).row(0)
    on = along > 0.1
    assert on.sum() >= 3
    assert found.foot == pytest.approx(foot, abs=6e-3)
    assert found.place[on] == pytest.approx(along[on], abs=0.04)
    assert found.time[on] == pytest.approx(when[on], abs=4e-3)


@pytest.mark.parametrize("line", [LINE, TABLE], ids=["gap", "table"])
def test_speeds_that_places_near_the_top_edge_take(line):
    """Against flights at the speeds themselves: where outcomes are bounded a chart that missed it by 0.05 m/s told drag from nothing.

    A bike that sets down on a deck as long as it is too slow may set down beyond the edge at once.
    """
    one = prepare(line).jumps[0]
    behind, conditions = one.body.wheelbase - one.body.behind_front, one.conditions
    springs, drags, winds = (x.ravel() for x in np.meshgrid([-0.6, 0.0, 0.5], [0.8, 1.25], [-2.0, 0.0, 1.5]))
    charts = charts_of(one, speeds_over(one), spring=springs, drag=conditions.drag * drags, tailwind=winds)
    near = np.array([*clean_places(one), 0.3, 1.0, 2.0])
    for chart, spring, drag, wind in zip(charts, springs, conditions.drag * drags, winds, strict=True):
        places = np.maximum(near, chart.place[0])
        needed, each = chart.needed(places)
        slower = land(one, chart.speed[:1] - 0.01, spring=spring, drag=np.array([drag]), tailwind=np.array([wind]), apex=False)
        assert slower.surface[0] in ("wall", "deck")
        landed = land(one, needed, spring=spring, drag=np.full(5, drag), tailwind=np.full(5, wind), apex=False)
        off = (landed.along - behind - places) * each
        assert (landed.surface == "face").all() and np.abs(off).max() < 2e-3, (spring, drag, wind, off)


def test_rounds_of_the_fit_have_come_to_rest(monkeypatch):
    """A tenth of what rounds may still move by: the values stay within a fiftieth of their doubt."""
    for tries in (log(8, 11), read_tries(FOLDER / "first_gap_blunders.csv").tries):
        found, _, _ = fitted(LINE, tries)
        with monkeypatch.context() as patch:
            patch.setattr(fit_module, "_NEAR", 1e-6)
            patch.setattr(fit_module, "_STEADY", 1e-6)
            patch.setattr(fit_module, "_ROUNDS", 40)
            rested, _, _ = fitted(LINE, tries)
        sd = np.sqrt(np.diag(rested.after.covariance))
        assert np.abs((found.after.mean - rested.after.mean) / sd).max() < 0.02
        assert np.diag(found.after.covariance) == pytest.approx(np.square(sd), rel=0.01)
        assert found.trusted.tolist() == rested.trusted.tolist() and found.far == pytest.approx(rested.far, abs=0.02)


def test_each_unknown_moves_what_it_moves_in_the_simulation():
    """By half a standard deviation of each: speed at the foot to a hundredth of the move, the place to a tenth."""
    marks = np.array([31.5, 32.5])
    tries = [Try(date=DAY, start_mark=float(mark), outcome="clean") for mark in marks]
    plain = Made(LINE, Truth(gust_sd=0))
    world = World(plain.line, unknowns_of(LINE, tries))
    begun = started(plain.line, tries, np.full(2, np.nan))
    free = Marked(np.full(2, np.nan), np.full(2, -np.inf), np.full(2, np.inf))
    base = plain.ride(marks, np.random.default_rng(0), scatter=False)
    here = world.expected(begun, free, np.zeros(len(world.unknowns))).row(0)
    area = plain.line.rider.drag_area
    for name, truth in {
        "rolling": lambda x: {"rolling": math.exp(x)}, "drag": lambda x: {"drag": area * (math.exp(x) - 1)},
        "lip": lambda x: {"lip": x}, "spring": lambda x: {"spring": x}, "wind": lambda x: {"wind": x},
    }.items():  # fmt: skip
        place = next(i for i, one in enumerate(world.unknowns) if one.name == name)
        values = 0.5 * np.eye(len(world.unknowns))[place]
        moved = world.expected(begun, free, values).row(0)
        really = Made(LINE, Truth(gust_sd=0, **truth(0.5 * world.unknowns[place].sd))).ride(marks, np.random.default_rng(0), scatter=False)
        assert moved.foot - here.foot == pytest.approx(really[0] - base[0], rel=0.01, abs=1e-4), name
        assert moved.place - here.place == pytest.approx(really[2] - base[2], rel=0.1, abs=5e-3), name


def test_what_is_learned_holds_the_truth(learned):
    """16 tries in a world with a third less rolling resistance, a flatter lip, a springy rider and a headwind."""
    by = {one.name: one for one in learned.taught}
    for name, value in {"rolling": 0.014, "lip": LINE.jumps[0].lip.angle + TRUTH.lip, "spring": 0.2, "wind": -0.4, "slope": 1.0}.items():
        assert abs(by[name].after - value) < 2.6 * by[name].after_sd, name
    assert learned.used >= 15 and learned.enough  # one in two hundred true tries is named wrongly
    assert by["spring"].share < 0.7
    assert not by["drag"].told  # a run-in of 33 m tells next to nothing of air


def test_the_next_try_is_narrower_than_the_untried_line(learned):
    told, untried = learned.next.learned, learned.next.untried
    for name in ("foot", "touched", "mark"):
        narrow, wide = (high - low for low, high in (getattr(told, name), getattr(untried, name)))
        assert narrow < 0.6 * wide, name
    made, rng = Made(LINE, TRUTH), np.random.default_rng(8)
    foot, _, along, _ = made.ride(np.full(400, learned.next.mark), rng)
    assert np.mean((told.foot[0] <= foot) & (foot <= told.foot[1])) > 0.8
    assert np.mean((told.touched[0] <= along) & (along <= told.touched[1])) > 0.8


def test_the_corrected_line_is_what_solve_uses(learned):
    line = learned.corrected
    assert line.learned_from == learned.origin == f"{learned.used} tries of {DAY}"
    assert parse_line(write_line(line)) == line
    answer = solve(line)
    assert answer.jumps[0].run_in.marks[1] == pytest.approx(learned.next.mark)
    assert answer.jumps[0].window.speeds.aim == pytest.approx(learned.next.edge_speed)
    assert {"run_in.rolling_resistance", "rider.drag_area_m2", "skill.spring_mean_mps"}.isdisjoint(answer.assumed)
    assert line.run_in.surface == LINE.run_in.surface and line.rider.mass == LINE.rider.mass
    assert learned.line == LINE  # what was measured stays


def test_a_mean_spring_moves_the_window():
    """Who springs as a rule lands further: the window lies lower, and by as much as landing with that spring says."""
    plain, sprung = (solve(line).jumps[0] for line in (LINE, vary(LINE, {"skill.spring_mean_mps": 0.3})))
    assert sprung.window.speeds.min < plain.window.speeds.min - 0.1
    assert sprung.point.speeds == plain.point.speeds


TIDY = replace(TRUTH, speed_sd=0.004, gust_sd=0.2, spring_sd=0.1)
"""A rider who rolls off the same every time."""


def with_and_without_blunders(truth, seed):
    """The same 14 tries without and with a mark written 3 m too far up and a brake that was dragged."""
    marks = np.round(np.random.default_rng([7, seed]).uniform(28.5, 32.0, 14), 1)
    marks[3], marks[8] = 28.8, 31.5
    how = {"how": ("wheel sensor",), "taped": 0.9}
    for spoiled in ({}, {"misread": (3,), "dragged": (8,)}):
        yield learn(LINE, made_log(Made(LINE, truth), marks, np.random.default_rng([7, seed, 1]), **how, **spoiled)[0])


def test_blunders_of_a_tidy_rider_are_named_with_their_causes():
    """So are those of a second log, drawn with seed 2."""
    clean, spoiled = with_and_without_blunders(TIDY, 1)
    assert not clean.blunders
    assert {one.number for one in spoiled.blunders} == {3, 8}
    causes = {one.number: [cause.name for cause in one.causes] for one in spoiled.blunders}
    assert "mark" in causes[3][:3] and "brake" in causes[8][:3]
    for before, after in zip(clean.taught, spoiled.taught, strict=True):
        assert abs(before.after - after.after) < after.after_sd, before.name


def test_blunders_among_scattered_tries_do_not_carry_the_fit_off():
    """Of a rider who scatters they hardly show, at some two standard deviations, but move nothing by more than its own."""
    clean, spoiled = with_and_without_blunders(TRUTH, 4)
    for before, after in zip(clean.taught, spoiled.taught, strict=True):
        assert abs(before.after - after.after) < after.after_sd, before.name


def test_without_tries_the_prior_stays():
    """A clean landing tells a little: of worlds drawn from the prior, weighted by how likely it is in them, the slopes scatter by 0.83."""
    one = learn(LINE, [Try(date=DAY, start_mark=32.0, outcome="clean")])
    assert not one.enough and one.used == 1
    for taught in one.taught:
        assert taught.share > 0.85
    width = [high - low for low, high in (one.next.learned.foot, one.next.untried.foot)]
    assert 0.7 < width[0] / width[1] <= 1.001


def test_who_and_what_is_left_out_is_said():
    tries = [
        *(Try(date=DAY, rider="Jo", start_mark=32.0 + i / 10, touched=1.2) for i in range(3)),
        Try(date=DAY, rider="Al", start_mark=32.0, touched=1.2),
        Try(date=DAY, rider="Jo", start_mark=32.0, touched=1.2, bike="dirt jump"),
        Try(date=DAY, rider="Jo", start_mark=90.0, touched=1.2),
        Try(date=DAY, rider="Jo", touched=1.2),
    ]
    found = learn(LINE, tries)
    assert [one.number for one in found.left] == [3, 4, 5, 6] and found.used == 3
    for left, why in zip(found.left, ["ridden by Al", "another bike", "the run-in was measured over", "neither a start mark"], strict=True):
        assert why in left.why
    with pytest.raises(InputError, match="there are tries of Al, Jo"):
        learn(LINE, tries, rider="Bo")
    with pytest.raises(InputError, match="no try to learn from"):
        learn(LINE, [])


def test_one_number_seen_is_one_number():
    """The covariance of one try without outcomes is that of its parts, by hand."""
    tries = [Try(date=DAY, start_mark=32.0, touched=1.2)]
    world = World(Made(LINE, Truth()).line, unknowns_of(LINE, tries))
    marked = Marked(np.array([1.2]), np.array([-np.inf]), np.array([np.inf]))
    now = swings(world, started(world.line, tries, np.array([np.nan])), marked, np.zeros(len(world.unknowns)))
    by = {one.name: i for i, one in enumerate(world.unknowns)}
    assert now.jacobian[0, 1, by["spring"]] / world.unknowns[by["spring"]].sd == pytest.approx(now.ways[0, 1, 0])
    assert now.jacobian[0, 1, by["wind"]] / world.unknowns[by["wind"]].sd == pytest.approx(now.ways[0, 1, 3])


def test_speeds_without_a_start_mark_teach_too():
    """Towed in, or a run-in that nobody measured: speed and place tell of spring and lip, not of the dirt."""
    bare = replace(LINE, run_in=replace(LINE.run_in, pieces=None))
    filmed = {"measured": "filmed", "stretch": 5.0, "before_foot": 1.0, "rate": 60}
    tries = [Try(date=DAY, **filmed, frames=31.5 + i / 2, touched=1.9 - 0.5 * i) for i in range(4)]
    found = learn(bare, tries)
    by = {one.name: one for one in found.taught}
    assert by["spring"].share < 0.85
    assert by["rolling"].share > 0.95 and "slope" not in by
    assert found.next.mark is None and found.next.foot_speed is not None
