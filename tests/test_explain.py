"""The coach's way in: forward and back agree, what a little speed does, the wall's edges, starts, cures, words, drawing and panel."""

import itertools
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from crossings import crossed
from hypothesis import given, settings
from hypothesis import strategies as st
from streamlit.testing.v1 import AppTest

from jumpcalc import InputError, solve
from jumpcalc.plan.ask.from_mark import from_mark
from jumpcalc.plan.ask.inverse import Place, rear_level, rear_place
from jumpcalc.plan.ask.landings import land
from jumpcalc.plan.ask.lip import climb
from jumpcalc.plan.ask.run_in import run_in_of
from jumpcalc.plan.solve import solve_jumps
from jumpcalc.plan.studies.cure import cure_of
from jumpcalc.plan.studies.explain import PLACE_DOUBT, explain
from jumpcalc.plan.studies.started import DRAGGED, Start, fastest_of, started
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import vary
from jumpcalc.plan.views.pick import pick_view
from jumpcalc.plan.views.strip import WHEEL, strip
from jumpcalc.show.files.linefile import parse_line, read_line
from jumpcalc.show.paper.labels import WIDTH
from jumpcalc.show.paper.pick import clock, step_between
from jumpcalc.show.paper.pick import landing as drawn_landing
from jumpcalc.show.paper.strip import flights
from jumpcalc.show.paper.svg import Dot, Line, Words
from jumpcalc.show.words import cures as change
from jumpcalc.show.words import landing as told
from jumpcalc.show.words.numbers import Reader
from jumpcalc.units import STANDARD_GRAVITY

EXAMPLES = Path(__file__).parent.parent / "examples"
JUMPS = [("first_gap", 0), ("step_up_table", 0), ("low_drop", 0), ("two_in_a_row", 1)]


@pytest.fixture(scope="module")
def answers():
    return {name: solve(read_line(EXAMPLES / f"{name}.toml")) for name, _ in JUMPS}


@pytest.fixture(scope="module")
def cases(answers):
    """Short, cased, clean, long and wall: answer, index, explanation."""
    wanted = {
        "wall": ("first_gap", 0, Place(wall=True)),
        "cased": ("first_gap", 0, Place(along=-0.1)),
        "near the aim": ("first_gap", 0, Place(along=1.9)),
        "clean but slow": ("two_in_a_row", 1, Place(along=0.3)),
        "long": ("first_gap", 0, Place(along=5.0)),
        "deck": ("step_up_table", 0, Place(along=-0.9)),
        "below the drop": ("low_drop", 0, Place(along=-1.0)),
    }
    return {
        name: (answers[line], index, explain(answers[line], index, place)) for name, (line, index, place) in wanted.items()
    }


@pytest.mark.parametrize(("name", "index"), JUMPS)
def test_the_place_of_a_landing_gives_back_its_speed(answers, name, index):
    answer = answers[name]
    jump, one = answer.jumps[index], prepare(answer.line).jumps[index]
    wanted = [jump.landings[0], jump.landings[2], jump.sensitivity.fast_10, land(one, [0.8 * jump.window.speeds.min]).result(0)]
    for landing in wanted:
        if landing.surface == "wall":
            continue
        place = rear_place(one, landing)
        for same in (place, Place(level=rear_level(one, place))):
            found = explain(answer, index, same)
            assert found.lip.mid == pytest.approx(landing.lip_speed, abs=1e-6)
            assert found.landing.outcome == landing.outcome or abs(found.landing.x - landing.x) < 1e-6
            assert found.foot.mid > 0


def test_on_the_face_the_rear_wheel_is_half_a_wheelbase_behind_the_middle(answers):
    answer = answers["first_gap"]
    one = prepare(answer.line).jumps[0]
    for landing in answer.jumps[0].landings:
        assert rear_place(one, landing).along == pytest.approx(landing.along_face - one.rig.wheelbase / 2, abs=1e-9)


def test_spans_hold_their_middle_and_nest(cases):
    for _, _, found in cases.values():
        assert found.lip.low < found.normal.low < found.lip.mid < found.normal.high < found.lip.high
        assert found.foot.low < found.foot.mid < found.foot.high
        # climbing the lip costs speed; a drop has none
        assert found.foot.mid > found.lip.mid or found.shape == "drop"


def test_the_span_is_reading_and_what_the_rider_added_flown(answers):
    answer = answers["first_gap"]
    one = prepare(answer.line).jumps[0]
    found = explain(answer, 0, Place(along=1.8))
    for speed, moved, spring in (
        (found.normal.low, -PLACE_DOUBT, 0.0),
        (found.normal.high, PLACE_DOUBT, 0.0),
        (found.lip.low, -PLACE_DOUBT, one.rig.spring),
        (found.lip.high, PLACE_DOUBT, -one.rig.squash),
    ):
        landed = land(one, [speed, speed], spring=np.full(2, spring))
        assert rear_place(one, landed.result(0)).along == pytest.approx(1.8 + moved, abs=5e-3)
    wide = explain(answer, 0, Place(along=1.8), doubt=0.5)
    assert wide.lip.low < found.lip.low < found.lip.high < wide.lip.high


def test_further_is_faster(answers):
    for name, index in JUMPS[:2]:
        found = [explain(answers[name], index, Place(along=a)) for a in (-1.0, -0.1, 0.3, 5.0)]
        for low, high in itertools.pairwise(f for f in found if f.why_none is None):
            assert low.lip.mid < high.lip.mid
            assert low.lip.high < high.lip.high + 1e-3


FLAT = """
[rider]
path = "point"
drag_area_m2 = 0
[limits]
equivalent_fall_m = 3
[[jump]]
shape = "tabletop"
lip = { angle_deg = 25, radius_m = 6 }
landing = { gap_m = 4, drop_m = 0, angle_deg = 0, length_m = 6 }
"""


def test_without_air_the_range_on_the_level_goes_with_speed_squared():
    """Textbook: x = v² sin 2θ / g on level ground."""
    answer = solve(parse_line(FLAT))
    one = prepare(answer.line).jumps[0]
    foot, aim = answer.jumps[0].window.foot.aim, answer.jumps[0].landings[1]
    for along, way in ((-2.0, -1), (-0.4, -1), (4.5, 1)):
        found = explain(answer, 0, Place(along=along))
        middle = 4.0 + along + one.rig.wheelbase / 2
        assert found.lip.mid**2 * math.sin(2 * one.terrain.angle) / STANDARD_GRAVITY == pytest.approx(middle, abs=1e-6)
        assert found.why.short == pytest.approx(found.aim.x - middle, abs=1e-6)
        assert found.why.drag == pytest.approx(0, abs=1e-9)
        assert found.why.wind == pytest.approx(0, abs=1e-9)
        for step, unit in ((found.why.kmh, 1 / 3.6), (found.why.mph, 0.44704)):
            edge = float(climb(one, np.array([foot + way * unit]), one.up_the_lip)[0][0])
            x = edge**2 * math.sin(2 * one.terrain.angle) / STANDARD_GRAVITY
            assert step.shorter == pytest.approx(aim.x - x, abs=1e-6)
            # on the level nothing falls away, and a point has no way of its own to leave the lip
            assert step.on_level == pytest.approx(step.shorter, abs=1e-9) and step.by_bike == 0


def test_what_one_unit_of_speed_does_here_is_flown_and_said_to_each_reader(answers):
    answer = answers["first_gap"]
    one, jump = prepare(answer.line).jumps[0], answer.jumps[0]
    found = explain(answer, 0, Place(along=0.6))
    for reader, unit, step, length in ((Reader.metric, 1 / 3.6, found.why.kmh, 1.0), (Reader.imperial, 0.44704, found.why.mph, 0.3048)):
        edge, _ = climb(one, np.array([jump.window.foot.aim - unit]), one.up_the_lip)
        moved = jump.landings[1].x - float(land(one, edge).x[0])
        assert step.shorter == pytest.approx(moved, abs=1e-9)
        # the landing falls away, and a slower bike is turned down more
        assert 0 < step.on_level < 0.6 * moved and 0.1 < step.by_bike < 0.5 * moved
        texts = reader.texts(told.why(found))
        sign = "km/h" if reader is Reader.metric else "mph"
        assert texts[0].startswith(f"1 {sign} less before the lip lands {moved / length:.1f} ")
        assert "on level ground it would be" in texts[0] and "textbook's point" in texts[0]
        assert not any("squared" in text or "%" in text for text in texts)
    fast = Reader.metric.texts(told.why(explain(answer, 0, Place(along=4.0))))[0]
    assert fast.startswith("1 km/h more before the lip lands ")
    drop = Reader.metric.texts(told.why(explain(answers["low_drop"], 0, Place(along=0.3))))[0]
    assert drop.startswith("1 km/h less at the edge lands ")


def test_air_is_spoken_of_only_where_it_matters():
    texts = Reader.metric.texts(told.why(explain(solve(parse_line(FLAT)), 0, Place(along=-0.4))))
    assert not any("Air" in text or "wind" in text for text in texts)


def test_drag_takes_and_wind_adds(answers):
    line = answers["first_gap"].line
    tail = solve(replace(line, air=replace(line.air, tailwind=4.0)))
    head = solve(replace(line, air=replace(line.air, tailwind=-4.0)))
    for answer, sign in ((tail, 1), (head, -1)):
        why = explain(answer, 0, Place(along=0.5)).why
        assert why.drag > 0
        assert why.wind * sign > 0
    assert any("the wind takes" in text for text in Reader.metric.texts(told.why(explain(head, 0, Place(along=0.5)))))


@pytest.mark.parametrize(("name", "index"), [("first_gap", 0), ("two_in_a_row", 1)])
def test_just_inside_its_range_the_wall_is_hit_and_just_outside_not(answers, name, index):
    answer = answers[name]
    one = prepare(answer.line).jumps[index]
    found = explain(answer, index, Place(wall=True))
    low, high = found.wall
    below, inside, in_too, above = land(one, [low - 1e-6, low + 1e-6, high - 1e-6, high + 1e-6]).surface
    assert (below, inside, in_too) == ("floor", "wall", "wall")
    assert above in ("face", "knuckle")
    assert found.landing.equivalent_fall is None
    assert found.lip.low < low < found.lip.mid < high < found.lip.high
    # no metres past the wall can be more than what is just past the knuckle, moved by what the rider adds
    assert found.lip.high < explain(answer, index, Place(along=0.5)).lip.high


@pytest.mark.parametrize("name", ["step_up_table", "low_drop"])
def test_tables_and_drops_have_no_near_wall(answers, name):
    found = explain(answers[name], 0, Place(wall=True))
    assert found.why_none.code == "no near wall"
    assert Reader.metric.text(told.refusal(found))


def test_places_that_no_speed_reaches_are_told(answers):
    for along in (-100.0, 190.0):
        found = explain(answers["first_gap"], 0, Place(along=along))
        assert found.why_none.code == "no speed lands there"
        assert found.lip is None
        assert "no lip speed" in Reader.metric.text(told.refusal(found))
    none = solve(parse_line("[[jump]]\nlip = { angle_deg = 28, radius_m = 5 }\nlanding = { gap_m = 3, angle_deg = 20, length_m = 1 }"))
    assert explain(none, 0, Place(along=0.5)).why_none.code == "no aim"


@pytest.mark.parametrize("given", [{}, {"along": 1.0, "wall": True}, {"along": 1.0, "level": 5.0}, {"along": math.nan}, {"level": 1e9}])
def test_a_place_is_one_thing(given):
    with pytest.raises(InputError):
        Place(**given)


def _edge(run_in, mark, strokes=None):
    """Lip speed from a start mark."""
    run_in = run_in if strokes is None else replace(run_in, strokes=strokes)
    return float(run_in.forward(np.array([run_in.foot - mark]), run_in.roller())[1][0])


def test_the_run_in_moved_by_the_cure_gives_the_aim(answers):
    answer = answers["first_gap"]
    found = explain(answer, 0, Place(along=-0.1))
    run_in = run_in_of(prepare(answer.line))
    cure = cure_of(answer, 0, found)
    assert cure.to_aim and cure.mark is None
    assert _edge(run_in, answer.jumps[0].run_in.marks[1] - cure.moved) == pytest.approx(found.lip.mid, abs=1e-6)
    assert cure.moved > 0
    second = answers["two_in_a_row"]
    assert cure_of(second, 1, explain(second, 1, Place(along=0.3))).moved is None
    # whoever landed there did not start on this run-in without a shove: no mark is said
    fast = cure_of(answer, 0, explain(answer, 0, Place(along=5.0)))
    assert fast.edge < 0 and fast.to_clean < 0 and fast.moved is None


def test_strokes_land_clean_and_fit_and_none_is_taken_away_where_there_was_none(answers):
    answer = answers["first_gap"]
    run_in = run_in_of(prepare(answer.line))
    found = explain(answer, 0, Place(along=-0.1))
    speeds = answer.jumps[0].window.speeds
    mark = run_in.foot - float(run_in.starts(np.array([found.lip.mid]), run_in.roller())[0])
    cure = cure_of(answer, 0, found)
    assert speeds.min <= _edge(run_in, mark, cure.strokes) <= speeds.max
    assert cure.strokes == 1 or _edge(run_in, mark, cure.strokes - 1) < speeds.min
    fast = explain(answer, 0, Place(along=4.0))
    for known in (None, Start(strokes=0)):
        least = cure_of(answer, 0, fast, start=known)
        assert least.strokes is None
        assert not any("pedal stroke" in text for text in Reader.metric.texts(change.cures(fast, least)))
    # strokes were made that carry too far: fewer, from the same start, land clean
    made = next(n for n in range(9) if _edge(run_in, 28.0, n) > speeds.max)
    begun = Start(mark=28.0, strokes=made)
    seen = from_mark(answer.line, begun.mark, strokes=made)
    assert made > 1
    fast = explain(answer, 0, rear_place(prepare(answer.line).jumps[0], seen.landing))
    less = cure_of(answer, 0, fast, start=begun, begun=started(answer, 0, fast, begun))
    assert less.strokes is not None and less.strokes < 0
    assert speeds.min <= from_mark(answer.line, begun.mark, strokes=made + less.strokes).lip_speed <= speeds.max
    assert any("less and all else as it was" in text for text in Reader.metric.texts(change.cures(fast, less)))


def test_a_start_that_gives_the_landing_is_moved_on_the_run_in(answers):
    for name in ("first_gap", "step_up_table", "low_drop"):
        answer = answers[name]
        one, top, strokes = prepare(answer.line).jumps[0], answer.jumps[0].run_in.length, answer.complete.run_in.strokes
        speeds = answer.jumps[0].window.speeds
        for share in (0.86, 0.93, 1.0):
            mark = share * top
            seen = from_mark(answer.line, mark).landing
            found = explain(answer, 0, rear_place(one, seen))
            if found.why_none is not None:
                continue
            start = Start(mark=mark, strokes=strokes)
            begun = started(answer, 0, found, start)
            assert begun.fits and begun.landing == seen and begun.reasons == ()
            text = " ".join(Reader.metric.texts(change.begun(found, begun)))
            assert "just that landing" in text
            cure = cure_of(answer, 0, found, start=start, begun=begun)
            if cure.mark is None:
                continue
            assert 0 < cure.mark <= top
            # said in whole tenths or feet, as the lesser change
            for step in (0.0, 0.1, 0.3048):
                moved = cure.mark - math.copysign(step, cure.moved)
                assert speeds.min - 1e-6 <= from_mark(answer.line, min(moved, top)).lip_speed <= speeds.max + 1e-6


def test_what_is_changed_after_a_wall_is_counted_from_the_start_that_is_known():
    """A mark on the near wall leaves a wide span of speeds; the start says which it was, and what is told is ridden from there."""
    line = parse_line("""
[air]
tailwind_kmh = -13.2
[run_in]
pieces = [ { length_m = 31.45, slope_deg = -10.1 }, { radius_m = 21, to_slope_deg = -0.8 }, { length_m = 4.6, slope_deg = -0.8 } ]
[[jump]]
lip = { angle_deg = 44.5, radius_m = 3.1, straight_m = 0.55 }
landing = { gap_m = 3.53, drop_m = -0.46, angle_deg = 16.8, length_m = 7.94, exit_radius_m = 11 }
""")
    answer = solve(line)
    found, speeds, said = explain(answer, 0, Place(wall=True)), answer.jumps[0].window.speeds, 0
    for mark in np.arange(31.0, 38.0, 0.5):
        seen, start = from_mark(line, float(mark)), Start(mark=float(mark), strokes=0)
        if seen.landing.surface != "wall":
            continue
        cure = cure_of(answer, 0, found, start=start, begun=started(answer, 0, found, start))
        for to, count in ((cure.mark, None), (mark, cure.strokes)):
            if to is not None and (count is not None or to != mark):
                assert speeds.min - 1e-6 <= from_mark(line, float(to), strokes=count).lip_speed <= speeds.max + 1e-6, mark
                said += 1
    assert said


def test_a_start_that_gives_another_landing_is_told_with_what_would_explain_it(answers):
    """The landing seen is made by a change of the line that the explanation does not know, one at a time."""
    answer = answers["first_gap"]
    line, one = answer.line, prepare(answer.line).jumps[0]
    mark, accuracy = 32.0, answer.complete.run_in.slope_accuracy
    run_in = run_in_of(prepare(line))
    given = answer.complete.run_in.rolling_resistance or 0.02
    squashed = land(one, np.full(2, _edge(run_in, mark)), spring=np.full(2, -0.3)).result(0)

    def tilted(by):
        names = ["to_slope" if piece.slope is None else "slope" for piece in line.run_in.pieces]
        pieces = tuple(replace(p, **{name: getattr(p, name) + by}) for p, name in zip(line.run_in.pieces, names, strict=True))
        return replace(line, run_in=replace(line.run_in, pieces=pieces))

    ridden = {
        "dirt": (0.3, from_mark(vary(line, {"run_in.rolling_resistance": 1.3 * given}), mark).landing),
        "mark": (-0.7, from_mark(line, mark - 0.7).landing),
        "body": (-0.3, squashed),
        "wind": (-1.5, from_mark(vary(line, {"air.tailwind_kmh": -5.4}), mark).landing),
        "dirt, more": (-0.4, from_mark(vary(line, {"run_in.rolling_resistance": 0.6 * given}), mark).landing),
    }
    told = set()
    for case, (by, seen) in ridden.items():
        what = case.partition(",")[0]
        found = explain(answer, 0, rear_place(one, seen))
        start = Start(mark=mark, strokes=0)
        begun = started(answer, 0, found, start)
        reasons = {reason.what: reason.by for reason in begun.reasons}
        assert not begun.fits and reasons[what] == pytest.approx(by, abs=0.02)
        # the others are other ways to the same place, each tried alone on another line
        if "dirt" in reasons:
            again = from_mark(vary(line, {"run_in.rolling_resistance": (1 + reasons["dirt"]) * given}), mark).landing
            assert again.x == pytest.approx(seen.x, abs=0.05)
        if "wind" in reasons:
            again = from_mark(vary(line, {"air.tailwind_kmh": 3.6 * reasons["wind"]}), mark).landing
            assert again.x == pytest.approx(seen.x, abs=0.05)
        assert abs(reasons.get("slope", 0.0)) <= 2 * accuracy + 1e-9
        if "slope" in reasons:
            # the lip keeps its own slope: the line's ground turned is the nearest thing to a run-in misread
            flatter = from_mark(tilted(reasons["slope"]), mark).landing
            assert flatter.x == pytest.approx(seen.x, abs=0.15)
        cure = cure_of(answer, 0, found, start=start, begun=begun)
        told.add(begun.usual)
        assert begun.usual == (found.lip.low <= _edge(run_in, mark) <= found.lip.high)
        for reader in Reader:
            text = " ".join(reader.texts([*change.begun(found, begun), *change.cures(found, cure)]))
            assert ("do not go together" in text) == ("change neither" in text.lower()) == (not begun.usual) and "measured wrong" in text
            assert ("no further apart than what a rider does at the lip may bring" in text) == begun.usual
        if not begun.usual:
            assert (cure.edge, cure.foot, cure.mark, cure.moved, cure.strokes) == (None,) * 5 and "further up." not in text
        elif cure.mark is not None:
            window = answer.jumps[0].window.speeds
            assert window.min <= from_mark(line, cure.mark).lip_speed <= window.max
    assert told == {False, True}


def test_dragging_brakes_explain_a_slow_landing_by_metres(answers):
    answer = answers["first_gap"]
    one, run_in = prepare(answer.line).jumps[0], run_in_of(prepare(answer.line))
    seen = from_mark(answer.line, 30.7).landing
    found = explain(answer, 0, rear_place(one, seen))
    begun = started(answer, 0, found, Start(mark=31.0))
    length = next(reason.by for reason in begun.reasons if reason.what == "brakes")
    # the same energy, on the last straight: brakes take b g cosβ each metre, and rolling goes on inside them
    fast = from_mark(answer.line, 31.0).foot_speed
    slow = from_mark(answer.line, 30.7).foot_speed
    slope, b = math.radians(4), DRAGGED * run_in.braking
    lost = (b - one.conditions.lip_rolling) * STANDARD_GRAVITY * math.cos(slope)
    assert length == pytest.approx((fast**2 - slow**2) / 2 / lost, rel=0.06)
    # faster than it gives, no brake explains
    ahead = explain(answer, 0, rear_place(one, from_mark(answer.line, 33.0).landing))
    assert all(reason.what != "brakes" for reason in started(answer, 0, ahead, Start(mark=31.0)).reasons)


def test_a_landing_that_the_run_in_cannot_give_is_called_that():
    answer = solve(read_line(EXAMPLES / "short_run_in.toml"))
    run_in = run_in_of(prepare(answer.line))
    top, strokes = fastest_of(answer)
    assert strokes == int(run_in.foot / run_in.development)
    assert top == pytest.approx(from_mark(answer.line, run_in.foot, strokes=strokes).lip_speed)
    for along in (0.5, 3.0):
        found = explain(answer, 0, Place(along=along))
        assert found.normal.low > top
        cure = cure_of(answer, 0, found)
        assert cure.edge is None and cure.strokes is None and cure.moved is None
        text = " ".join(Reader.metric.texts(change.cures(found, cure)))
        assert "cannot give that landing" in text and f"{3.6 * top:.1f} km/h" in text
        assert "further up" not in text and "stroke more" not in text


def test_no_start_off_the_run_in_and_no_strokes_that_do_not_fit(answers):
    answer = answers["first_gap"]
    found = explain(answer, 0, Place(along=-0.1))
    for start, words in ((Start(mark=900.0), "not on this run-in"), (Start(mark=5.0, strokes=3), "at most 2 fit there")):
        begun = started(answer, 0, found, start)
        text = Reader.metric.texts(change.begun(found, begun))
        assert begun.why_none is not None and words in text[0]
        cure = cure_of(answer, 0, found, start=start, begun=begun)
        assert cure.edge is None and cure.mark is None
        assert not set(text) & set(Reader.metric.texts(change.cures(found, cure)))
    with pytest.raises(InputError, match="allowed 0 to 2"):
        from_mark(answer.line, 5.0, strokes=3)
    assert started(answer, 0, found, Start(strokes=2)) is None
    line = answers["two_in_a_row"]
    assert started(line, 1, explain(line, 1, Place(along=0.3)), Start(mark=20.0)) is None


@pytest.mark.parametrize(("name", "index"), JUMPS)
def test_no_cure_sends_the_far_end_of_the_span_past_what_is_clean(answers, name, index):
    """Whoever was at the end of the span rides it with the same v² added at the foot, the lip ridden stiffly.

    Run once for twice as many places.
    """
    answer = answers[name]
    one, speeds = prepare(answer.line).jumps[index], answer.jumps[index].window.speeds
    changed = 0
    for along in (-0.5, 0.3, 1.5, 3.2, 5.0):
        found = explain(answer, index, Place(along=along))
        if found.why_none is not None:
            continue
        cure = cure_of(answer, index, found)
        if cure.edge is None:
            continue
        changed += 1
        gain = (found.foot.mid + cure.foot) ** 2 - found.foot.mid**2
        feet = np.sqrt(np.square([found.foot.low, found.foot.mid, found.foot.high]) + gain)
        low, mid, high = climb(one, feet, one.up_the_lip)[0]
        assert mid == pytest.approx(found.lip.mid + cure.edge, abs=1e-9)
        assert land(one, [mid]).outcomes == ("clean",)
        if cure.edge > 0:
            assert mid <= speeds.aim + 1e-9 and high <= speeds.max + 1e-6
        else:
            assert mid >= speeds.aim - 1e-9 and low >= speeds.min - 1e-6
    assert changed > 1


def test_where_the_span_fills_the_window_no_change_is_said():
    line = vary(read_line(EXAMPLES / "first_gap.toml"), {"jump[1].landing.length_m": 2.0})
    answer = solve(line)
    assert answer.jumps[0].window.speeds is not None
    found = explain(answer, 0, Place(along=-0.2))
    cure = cure_of(answer, 0, found)
    speeds = answer.jumps[0].window.speeds
    assert found.lip.high + (speeds.min - found.lip.mid) > speeds.max
    assert cure.edge is None
    assert "may also overdo it" in " ".join(Reader.metric.texts(change.cures(found, cure)))


def test_the_hit_grows_past_the_end_of_the_landing(answers):
    for name, index in JUMPS:
        found = explain(answers[name], index, Place(along=0.5))
        assert found.past_hit > found.end_hit > found.aim.equivalent_fall
        one = prepare(answers[name].line).jumps[index]
        speeds = np.linspace(found.aim.lip_speed, 1.5 * found.aim.lip_speed, 4000)
        landed = land(one, speeds)
        on = landed.on_face
        assert found.end_hit == pytest.approx(landed.fall_height[on][-1], rel=0.01)
        near = int(np.argmin(np.abs(landed.along - one.terrain.face - 0.5)))
        assert found.past_hit == pytest.approx(landed.fall_height[near], rel=0.01)


def test_verdicts_and_first_sentences(cases):
    verdicts = {name: found.verdict for name, (_, _, found) in cases.items()}
    assert verdicts == {
        "wall": "too slow", "cased": "too slow", "near the aim": "about right", "clean but slow": "too slow",
        "long": "too fast", "deck": "too slow", "below the drop": "too slow",
    }  # fmt: skip
    for name, (_, _, found) in cases.items():
        text = Reader.metric.text(told.first_sentence(found))
        assert verdicts[name] in text
        assert ("if the lip was ridden normally" in text) == (found.shape != "drop")
        least, most = (3.6 * value for value in found.off)
        if name != "near the aim":
            assert str(round(most)) in text and str(round(least)) in text


@pytest.mark.parametrize("reader", Reader)
def test_words_promise_nothing_and_name_the_cost(cases, reader):
    for name, (answer, index, found) in cases.items():
        seen = strip(answer, index, found)
        parts = [told.first_sentence(found), told.what_the_rider_added(found), told.cost(found), told.alt(found, seen)]
        parts += [*told.why(found), *change.cures(found, cure_of(answer, index, found))]
        parts += [cell for row in told.rows(found) for cell in row]
        for text in reader.texts(parts):
            assert not {"safe", "safely", "go", "nan", "none"} & set(text.lower().replace(".", " ").replace(",", " ").split()), text
            assert "−" not in text
            assert reader is Reader.metric or not any(sign in text.split() for sign in ("km/h", "m"))
        assert 2 <= len(told.why(found)) <= 4, told.why(found)
        assert ("no height describes it" in reader.text(told.cost(found))) == (name in ("wall", "cased"))
        assert "as hard as a drop of" in reader.text(told.cost(found))


def test_cures_come_in_their_order(cases):
    for name, (answer, index, found) in cases.items():
        texts = Reader.metric.texts(change.cures(found, cure_of(answer, index, found)))
        if name == "near the aim":
            assert texts[0] == "Leave the speed as it is."
            continue
        assert "smaller one first" in texts[0]
        assert texts[1].startswith(("Film the lip", "Film the edge"))
        assert texts[2].startswith("Only then change the speed")
        assert ("more" in texts[2]) == (found.verdict == "too slow")


@pytest.mark.parametrize("reader", Reader)
def test_the_drawing_is_true_to_scale_and_its_words_fit(cases, reader):
    for answer, index, found in cases.values():
        seen = strip(answer, index, found)
        sheet = flights(found, seen, reader, stamp="EXAMPLE")
        assert sheet.width == WIDTH and sheet.height < 2 * sheet.width
        for name, flight in (("aim", seen.aim), ("theirs", seen.theirs)):
            wheels = [dot for dot in sheet.all(Dot) if dot.name == f"{name} wheel"]
            bikes = [line for line in sheet.all(Line) if line.name == f"{name} bike"]
            assert len(wheels) == 2 * len(flight) and len(bikes) == len(flight)
            lengths = {round(math.dist(*bike.points), 6) for bike in bikes}
            scale = wheels[0].radius / WHEEL
            assert lengths == {round(scale * math.dist(flight[0].rear, flight[0].front), 6)}
        texts = sheet.all(Words)
        for text in texts:
            left, top, right, bottom = text.box
            assert left >= 0 and top >= 0 and right <= sheet.width and bottom <= sheet.height, text.text
        for one, other in itertools.combinations(texts, 2):
            a, b = one.box, other.box
            assert min(a[2], b[2]) - max(a[0], b[0]) < 1 or min(a[3], b[3]) - max(a[1], b[1]) < 3, (one.text, other.text)
        assert any(text.text.startswith("the aim: ") for text in texts)
        assert any(text.text.startswith("this landing: about ") for text in texts)


def test_bikes_stand_at_equal_times_and_keep_their_wheelbase(cases):
    for answer, index, found in cases.values():
        one, seen = prepare(answer.line).jumps[index], strip(answer, index, found)
        sheet = flights(found, seen)
        for name, flight, landing in (("aim", seen.aim, found.aim), ("theirs", seen.theirs, found.landing)):
            times = [moment.time for moment in flight]
            assert times[0] == 0
            assert np.diff(times[:-1]) == pytest.approx(seen.step)
            assert 0 < times[-1] <= landing.flight + 1e-12
            for moment in flight:
                assert math.dist(moment.rear, moment.front) == pytest.approx(one.rig.wheelbase, abs=1e-6)
                assert moment.rear[0] < moment.front[0]
                assert moment.rider[1] > max(moment.rear[1], moment.front[1])
            wheels = [dot.at[0] for dot in sheet.all(Dot) if dot.name == f"{name} wheel"]
            assert all(0 < x < sheet.width for x in wheels)
        # the aim lands clean: its last bike is the touchdown of both wheels
        last = seen.aim[-1]
        assert 0.5 * (last.rear[0] + last.front[0]) == pytest.approx(found.aim.x, abs=1e-6)
        where = one.terrain.gap if found.landing.surface == "wall" else found.rear
        assert seen.mark[0] == pytest.approx(where, abs=1e-6)
        mark = next(line for line in sheet.all(Line) if line.name == "mark")
        ground = [line for line in sheet.all(Line) if line.name == "ground"][-1]
        x, y = (sum(values) / 2 for values in zip(*mark.points, strict=True))
        if found.landing.surface != "wall" and found.rear > one.terrain.gap:  # else it lies at or over an edge
            assert y == pytest.approx(float(np.interp(x, *zip(*ground.points, strict=True))), abs=0.5)


def test_the_alternative_text_and_the_table_hold_the_numbers(cases):
    for answer, index, found in cases.values():
        text = Reader.metric.text(told.alt(found, strip(answer, index, found)))
        rows = {row[0]: Reader.metric.texts(row[1:]) for row in told.rows(found)}
        for cells in (rows["speed at the edge"], rows["rear wheel"]):
            for cell in cells:
                assert cell in text
        aim, theirs = rows["as hard as a drop of"]
        assert aim in text and theirs in text
        assert rows["in the air"][1] == f"{found.landing.flight:.2f} s"


def test_same_input_same_bytes(cases):
    answer, index, found = cases["cased"]
    once, again = (flights(found, strip(answer, index, found)).svg() for _ in range(2))
    assert once == again


@pytest.mark.parametrize("reader", Reader)
def test_both_flights_run_on_one_clock_over_ground_whose_words_nothing_crosses(cases, reader):
    for answer, index, found in cases.values():
        seen = strip(answer, index, found, step=0.04)
        where = Place(wall=True) if found.along is None else Place(along=found.along)
        view = pick_view(answer, index, where, step=step_between(reader))
        sheet, frame = drawn_landing(view, reader, seen=seen, stamp="EXAMPLE")
        assert list(crossed(sheet)) == []
        for one, other in itertools.combinations(sheet.all(Words), 2):
            a, b = one.box, other.box
            assert min(a[2], b[2]) - max(a[0], b[0]) < 1 or min(a[3], b[3]) - max(a[1], b[1]) < 3, (one.text, other.text)
        flown = clock(frame, seen)
        assert [len(rows) for rows in flown] == [len(seen.aim), len(seen.theirs)]
        for rows in flown:
            assert rows[0][0] == 0 and all(0 < b[0] - a[0] < 0.0801 for a, b in itertools.pairwise(rows))
            for _, rx, ry, fx, fy, hx, hy in rows:
                assert all(0 < x < sheet.width for x in (rx, fx, hx)) and all(0 < y < sheet.height for y in (ry, fy, hy))
                # one scale: the wheelbase is as long at every moment
                base = prepare(answer.line).jumps[index].rig.wheelbase
                assert math.dist((rx, ry), (fx, fy)) == pytest.approx(base * frame.scale, abs=0.05)


def test_a_straight_line_between_two_moments_of_the_clock_is_right_to_two_centimetres(cases):
    """g t²/8 with the longest t, 0.06 s, is 4 mm; a bike that turns adds to it. The last moment is a bike that stands."""
    answer, index, found = cases["long"]
    rough, fine = (strip(answer, index, found, step=step).theirs for step in (0.04, 0.01))
    for part in ("rear", "front", "rider"):
        for axis in (0, 1):
            times = [m.time for m in fine if m.time <= rough[-2].time]
            made = np.interp(times, [m.time for m in rough], [getattr(m, part)[axis] for m in rough])
            assert made == pytest.approx([getattr(m, part)[axis] for m in fine[: len(times)]], abs=0.02)


def panel_page():
    import streamlit as st

    from jumpcalc.show.page import common, explain, state
    from jumpcalc.show.words.numbers import Reader

    state.start()
    line = state.line()
    units = st.session_state.get("asked units", "metric")
    st.session_state["units"] = units
    shown = common.Shown(line=line, index=0, reader=Reader(units), example=True).complete()
    for part in (explain.show, explain.picture, explain.ask, explain.why):
        part(shown)


def test_the_panel_asks_answers_and_keeps_the_distance_through_a_switch_of_units():
    page = AppTest.from_function(panel_page, default_timeout=60).run()
    assert not page.exception
    assert not any("What it cost" in element.value for element in page.markdown)
    page.number_input(key="explain far").set_value(0.3).run()
    shown = " ".join(element.value.replace("\\", "") for element in page.markdown)
    assert "too slow at the edge" in shown and "What it cost" in shown
    page.number_input(key="explain far").set_value(5.0).run()
    assert not page.exception
    assert "too fast at the edge" in " ".join(element.value for element in page.markdown)
    page.session_state["asked units"] = "imperial"
    page.session_state["round"] += 1
    page.run()
    assert page.number_input(key="explain far").value == pytest.approx(16.404)
    assert "mph" in " ".join(element.value for element in page.markdown)
    page.selectbox(key="explain way").set_value("into the near wall").run()
    assert not page.exception
    assert "no height describes it" in " ".join(element.value.replace("\\", "") for element in page.markdown)
    assert any("| as hard as a drop of |" in element.value for element in page.markdown)


def test_the_panel_asks_from_where_they_started_and_says_when_that_does_not_fit():
    page = AppTest.from_function(panel_page, default_timeout=60).run()
    page.number_input(key="explain far").set_value(0.3).run()

    def shown():
        return " ".join(element.value.replace("\\", "") for element in page.markdown)

    assert "further up" in shown() and "From where they started" not in shown()
    page.number_input(key="explain start field").set_value(33.0).run()
    assert not page.exception
    assert "do not go together" in shown() and "more rolling resistance" in shown() and "further up." not in shown()
    page.number_input(key="explain strokes field").set_value(-4).run()
    assert page.number_input(key="explain strokes field").value == 0
    page.session_state["asked units"] = "imperial"
    page.session_state["round"] += 1
    page.run()
    assert page.number_input(key="explain start field").value == pytest.approx(108.27)
    page.number_input(key="explain start field").set_value(900.0).run()
    assert not page.exception and "not on this run-in" in shown()


@given(gap=st.floats(2.5, 6.5), drop=st.floats(0.0, 0.6), fall=st.floats(15, 32))
@settings(max_examples=5, deadline=None)
def test_the_span_of_a_wall_hit_ends_where_no_squashed_and_no_sprung_lip_hits_it(gap, drop, fall):
    """Both ends are flown: the slowest that hits it sprung, the fastest that hits it squashed. Held for 12 such gaps too."""
    line = read_line(EXAMPLES / "first_gap.toml")
    landing = replace(line.jumps[0].landing, gap=gap, drop=drop, angle=math.radians(fall))
    answer = solve_jumps(replace(line, jumps=(replace(line.jumps[0], landing=landing),)))
    if answer.jumps[0].window.speeds is None:
        return
    one, found = prepare(answer.line).jumps[0], explain(answer, 0, Place(wall=True))
    if found.why_none is None:
        assert found.lip.low < found.wall[0] < found.lip.mid < found.wall[1] < found.lip.high
        for speed, spring, inward in ((found.lip.low, one.rig.spring, 1e-6), (found.lip.high, -one.rig.squash, -1e-6)):
            surface = land(one, [speed + inward, speed - inward], spring=np.full(2, spring)).surface
            assert surface[0] == "wall" and surface[1] != "wall"
