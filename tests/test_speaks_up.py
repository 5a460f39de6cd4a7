"""What must be said before any speed: side wind, landings too narrow or too exact, gusts; in the headline and in every output."""

import json
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from jumpcalc.physics import air
from jumpcalc.plan import limits
from jumpcalc.plan.ask.landings import land
from jumpcalc.plan.inputs.dug import Jump, Landing, Lip, Piece, RunIn, Runout
from jumpcalc.plan.inputs.line import Air, Line
from jumpcalc.plan.inputs.rider import Rider
from jumpcalc.plan.inputs.site import Group, SiteRider
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.between import between
from jumpcalc.plan.studies.card import card
from jumpcalc.plan.studies.compare import compare
from jumpcalc.plan.studies.field.check import check
from jumpcalc.plan.studies.group import together
from jumpcalc.plan.studies.measures import measures
from jumpcalc.plan.studies.odds import odds
from jumpcalc.plan.studies.rideable import refused
from jumpcalc.plan.studies.sizes import sizes
from jumpcalc.plan.terrain import prepare
from jumpcalc.plan.vary import vary
from jumpcalc.show.files.answer_json import as_json
from jumpcalc.show.files.linefile import parse_line
from jumpcalc.show.words import between_report, side_by_side
from jumpcalc.show.words import check as check_words
from jumpcalc.show.words import group as group_words
from jumpcalc.show.words import odds as odds_words
from jumpcalc.show.words.card import answer as on_card
from jumpcalc.show.words.card import day
from jumpcalc.show.words.jump import headline
from jumpcalc.show.words.notes import FIRST
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.report import report
from jumpcalc.show.words.said import Least, Most
from jumpcalc.show.words.sizes import size_row
from jumpcalc.show.words.window import side_wind

DEG, KMH, RNG = math.pi / 180, 1 / 3.6, np.random.default_rng(0)
JUMP = Jump(lip=Lip(angle=28 * DEG, radius=4.6, straight=1.2), landing=Landing(gap=4.2, drop=0.1, angle=24 * DEG, length=4.5))
LIGHT = Rider(path="point", mass=30.0, drag_area=1.0)
read = Reader.metric.text


def line_of(*, rider=None, wind=None, lip=None, **landing):
    jump = replace(JUMP, lip=replace(JUMP.lip, width=lip), landing=replace(JUMP.landing, **landing))
    return Line(jumps=(jump,), rider=rider or Rider(), air=wind or Air())


def codes(line):
    return [str(of.code) for of in solve(line).jumps[0].beware]


def drift_of(line, speed, crosswind):
    """Side drift at touchdown of a point with drag, integrated here."""
    k = air.density(0.0, temperature=288.15) * line.rider.drag_area / (2 * line.rider.mass)
    gap, drop, fall = 4.2, 0.1, 24 * DEG

    def motion(_, state):
        v = state[3:] - np.array([0.0, crosswind, 0.0])
        return [*state[3:], *(-k * np.linalg.norm(v) * v - np.array([0.0, 0.0, 9.80665]))]

    def down(_, state):
        return state[2] + drop + (state[0] - gap) * math.tan(fall) if state[0] > gap else 1.0

    down.terminal, down.direction = True, -1
    start = [0.0, 0.0, 0.0, speed * math.cos(28 * DEG), 0.0, speed * math.sin(28 * DEG)]
    found = solve_ivp(motion, (0, 5), start, events=down, rtol=1e-10, atol=1e-12)
    return found.y_events[0][0][1]


@pytest.mark.parametrize("width", [1.1, 1.25])
def test_side_wind_that_leaves_the_landing_is_that_of_an_own_integration(width):
    line = line_of(rider=LIGHT, width=width)
    answer = solve(line).jumps[0]
    wind = answer.side_wind
    assert 0 < wind < limits.SIDE_WIND.value
    assert drift_of(line, answer.window.speeds.aim, wind) == pytest.approx(width / 2 - 0.4, abs=2e-4)
    assert f"From {math.floor(wind * 3.6)} km/h of side wind on it is not for today" in read(side_wind(answer))


def test_side_wind_is_never_allowed_beyond_what_turns_the_bike():
    assert solve(line_of(width=9.0)).jumps[0].side_wind == limits.SIDE_WIND.value
    assert solve(line_of()).jumps[0].side_wind == limits.SIDE_WIND.value
    assert codes(line_of(width=9.0, wind=Air(crosswind=-25 * KMH))) == ["the side wind is too strong"]
    assert codes(line_of(width=9.0, wind=Air(crosswind=24.9 * KMH))) == []


@pytest.mark.parametrize(
    ("code", "changes"),
    [
        ("drifts on an unmeasured width", {"rider": LIGHT, "wind": Air(crosswind=20 * KMH)}),
        ("narrower than a handlebar", {"width": 0.8}),
        ("narrower than the lip", {"width": 1.5, "lip": 1.8}),
        ("nobody rides that exactly", {"length": 1.75}),
        ("a gust from ahead", {"rider": LIGHT, "length": 2.2}),
        ("a gust from behind", {"rider": LIGHT, "length": 2.2}),
    ],
)
def test_it_speaks_up_first_and_in_every_output(code, changes):
    line = line_of(**changes)
    answer = solve(line)
    jump = answer.jumps[0]
    of = next(of for of in jump.beware if of.code == code)
    warnings = [str(warning.code) for warning in answer.warnings]
    assert warnings.index(code) == len(jump.unchecked) + jump.beware.index(of)
    short = FIRST[of.code]
    short = read(short(of) if callable(short) else short)
    head = read(headline(jump))
    assert head.index(short) < head.index("just before the lip")
    assert short in " ".join(report(answer).split())
    found = json.loads(as_json(answer))
    assert any(text[:30].lower() in warning.lower() for text in found["jumps"][0]["beware"] for warning in found["warnings"])
    pocket = card(line)
    assert short in read(on_card(pocket, 0))
    told = " ".join(Reader.imperial.texts(day(pocket)))
    assert "nan" not in told and ("on not at all" in told) == bool(jump.side_wind and pocket.rows)


@pytest.mark.parametrize(
    ("code", "changes"),
    [
        ("drifts off the landing", {"rider": LIGHT, "wind": Air(crosswind=20 * KMH), "width": 1.2}),
        ("drifts off the landing", {"rider": LIGHT, "wind": Air(crosswind=-20 * KMH), "width": 1.2}),
        ("the side wind is too strong", {"wind": Air(crosswind=30 * KMH)}),
        ("the ground is wet", {"surface": "wet grass or clay"}),
        ("the gap is far outside", {"gap": 18.0}),
    ],
)
def test_where_it_is_not_to_be_ridden_no_output_gives_a_speed(code, changes):
    surface = changes.pop("surface", None)
    steep = RunIn(pieces=(Piece(length=90.0, slope=-20 * DEG), Piece(length=3.0, slope=0.0)), surface=surface)
    runout = Runout(pieces=(Piece(length=200.0, slope=0.0),))
    line = line_of(**changes)
    line = replace(line, run_in=steep, jumps=(replace(line.jumps[0], runout=runout), replace(line_of().jumps[0], runout=runout)))
    answer = solve(line)
    assert answer.jumps[0].window.speeds is not None
    far = "outside" in code
    assert str(answer.jumps[0].no_ride.code) == code and (answer.jumps[1].no_ride is None) == far
    head = read(headline(answer.jumps[0]))
    assert head.startswith("No speed to ride: " if far else "Not today: ")
    found = json.loads(as_json(answer))
    assert found["jumps"][0]["no_ride"] and any(found["jumps"][0]["no_ride"][:40].lower() in told.lower() for told in found["warnings"])
    alone = solve(replace(line, jumps=line.jumps[:1]))
    texts = [report(alone, tape=[measures(alone, 0)])]
    texts.append(side_by_side.report(compare(alone.line, alone.line), names=("old", "new")))
    for text in texts:
        text = " ".join(text.split())
        assert head in text
        for ridden in ("just before the lip", "Where to start", "m before the lip", "slowest clean 2", "aim 3", "What the tape does"):
            assert ridden not in text, ridden
    row = size_row(next(size for size in sizes(alone, 0) if size.gap == line.jumps[0].landing.gap), run_in=True, last=True)
    assert row[1] == "no speed to ride"


def test_not_today_is_so_for_the_whole_line():
    narrow = replace(JUMP, landing=replace(JUMP.landing, width=1.2))
    answer = solve(Line(jumps=(JUMP, narrow), rider=LIGHT, air=Air(crosswind=20 * KMH)))
    assert {str(jump.no_ride.code) for jump in answer.jumps} == {"drifts off the landing"}
    text = " ".join(report(answer).split())
    assert "Not today: in this side wind" in text and "just before the lip" not in text


def test_a_wide_calm_jump_has_none_of_it():
    assert codes(line_of(width=2.5, lip=1.2, length=7.0)) == []


def test_half_a_window_is_held_against_what_can_be_ridden():
    for length in (1.6, 2.0, 2.6, 4.0):
        foot = solve(line_of(length=length)).jumps[0].window.foot
        said = "nobody rides that exactly" in codes(line_of(length=length))
        assert said == (foot.max - foot.min < 2 * KMH), length


def test_a_gust_is_flown():
    line = line_of(rider=LIGHT, length=2.2)
    jump = solve(line).jumps[0]
    for of, sign in zip(jump.beware[-2:], (-1, 1), strict=True):
        there = land(prepare(line).jumps[0], [jump.window.speeds.aim], tailwind=sign * of["gust"])
        assert there.outcomes != ("clean",)
        assert of["gust"] == pytest.approx(10 * KMH) and of["moves"] == pytest.approx(abs(there.x[0] - jump.landings[1].x))
    windy = replace(line, air=Air(tailwind=-30 * KMH))
    gusts = [of["gust"] for of in solve(windy).jumps[0].beware if "gust" in str(of.code)]
    assert gusts and gusts == pytest.approx([15 * KMH] * len(gusts))


def test_the_page_for_riders_says_it_before_the_mark():
    from types import SimpleNamespace

    from jumpcalc.show.page.ride_it import _first_sentence

    run_in = RunIn(pieces=(Piece(length=60.0, slope=-12 * DEG), Piece(length=3.0, slope=0.0)))
    jump = solve(replace(line_of(length=1.6), run_in=run_in)).jumps[0]
    shown = SimpleNamespace(jump=jump, text=read, texts=Reader.metric.texts, length=Reader.metric.length, speed=Reader.metric.speed)
    text = _first_sentence(shown)
    assert "start " in text and text.index("nobody rides that exactly") < text.index("By this model: start")


def test_a_line_that_no_start_rides_clean_gives_no_speed_to_ride_at():
    line = parse_line((Path(__file__).parents[1] / "examples" / "two_in_a_row.toml").read_text(encoding="utf-8"))
    text = " ".join(report(solve(line)).split())
    assert "Ride at" in text and "No start mark" not in text
    shorter = vary(line, {"jump[2].landing.gap_m": line.jumps[1].landing.gap + 3.0})
    text = " ".join(report(solve(shorter)).split())
    assert "No start mark rides this line clean" in text and "Ride at" not in text and "It takes" in text


def test_what_no_number_can_say_is_no_speed_to_ride():
    """Below a window as wide as two printed tenths no output gives a speed; from there to the judgement it is no instruction."""
    tiny = solve(line_of(length=1.3, angle=4 * DEG))
    assert tiny.jumps[0].window.foot.max - tiny.jumps[0].window.foot.min < 2 * limits.SAID_TO.value
    for reader in Reader:
        text = report(tiny, reader)
        assert "No speed to ride: only" in text and "Ride at" not in text and "slowest clean" not in text
    assert refused(tiny).why == "exact"
    some = solve(line_of(length=1.7))
    assert any(of.limit is limits.RIDDEN_TO for of in some.jumps[0].beware) and some.jumps[0].no_ride is None
    assert "It takes" in read(headline(some.jumps[0])) and "Ride at" not in read(headline(some.jumps[0]))
    for reader in Reader:
        foot = some.jumps[0].window.foot
        assert float(reader.speed(Least(foot.min)).split()[0]) <= float(reader.speed(Most(foot.max)).split()[0])


LIFTS = """
rider = {mass_kg = 84}
run_in = {stakes_m = [[0, 0], [5, 0.9], [11, 2.4], [16, 3.9], [17, 3.6], [18, 4.2], [26, 4.9], [32, 5.7], [36, 6.2]]}
[[jump]]
name = "one"
shape = "tabletop"
lip = {angle_deg = 22, height_m = 0.7, straight_m = 0.6}
landing = {gap_m = 3.0, drop_m = 0.0, angle_deg = 20, length_m = 5, exit_radius_m = 6}
runout = {stakes_m = [[0, 0], [5, 0.6], [9, 0.75], [12, 0.7]]}
[[jump]]
name = "two"
shape = "tabletop"
lip = {angle_deg = 24, height_m = 0.8, straight_m = 0.6}
landing = {gap_m = 3.4, drop_m = 0.0, angle_deg = 20, length_m = 7.25, exit_radius_m = 6}
runout = {pieces = [{length_m = 50, slope_deg = 0}]}
"""


def test_wheels_that_leave_the_run_in_are_told_of_first_in_every_output():
    """A bump half way down: from above it nothing of speed and start mark is known."""
    line = parse_line(LIFTS)
    answer = solve(line)
    (place,) = (of["mark"] for of in answer.jumps[0].run_in.beware)
    short = f"the wheels leave the run-in {place:.1f} m before the foot of the lip"
    riders = Group(riders=(SiteRider.of(mass_kg=84, bike="hardtail"),))
    told = {
        "headline": read(headline(answer.jumps[0])), "solve": report(answer),
        "odds": odds_words.report(odds(answer, RNG, rows=4096), answer),
        "group": group_words.report(together(line, riders)), "card": " ".join(read(on_card(card(line), i)) for i in range(2)),
        "between": between_report.report(answer, [[between(answer, 0)]], [()]), "check": read(check_words.headline(check(answer))),
    }  # fmt: skip
    assert [name for name, text in told.items() if short not in " ".join(text.split())] == []
    for name in ("headline", "solve", "check"):
        text = " ".join(told[name].split())
        assert text.index(short) < text.index("km/h"), name
    low = solve(vary(line, {"run_in.stakes_m": ((0.0, 0.0), (8.0, 1.6), (16.0, 3.0), (26.0, 4.9), (32.0, 5.7), (36.0, 6.2))}))
    assert low.jumps[0].run_in.beware == () and "wheels leave the run-in" not in report(low)


def test_what_was_not_checked_is_told_with_odds_and_for_a_group():
    line = line_of(length=4.5)
    steep = replace(line, jumps=(replace(line.jumps[0], lip=replace(line.jumps[0].lip, radius=1.6, straight=1.2)),))
    answer = solve(steep)
    assert answer.jumps[0].unchecked and answer.jumps[0].no_ride is None
    riders = Group(riders=(SiteRider.of(mass_kg=85, bike="hardtail"),))
    for text in (odds_words.report(odds(answer, RNG, rows=4096), answer), group_words.report(together(steep, riders))):
        assert "Not checked: " in text
