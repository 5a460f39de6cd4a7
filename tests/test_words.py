"""What is said: every code has its words, every word stands in units asked for, and nothing is ever called safe."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from jumpcalc.plan.inputs.line import Bike, RunIn
from jumpcalc.plan.inputs.surfaces import BIKES
from jumpcalc.plan.notes import Code
from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.compare import compare
from jumpcalc.plan.vary import with_bike
from jumpcalc.show import words
from jumpcalc.show.files import answer_json
from jumpcalc.show.files.linefile import read_line
from jumpcalc.show.words import side_by_side
from jumpcalc.show.words.report import report

ROOT = Path(__file__).parents[1]
EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))
LINE = read_line(ROOT / "examples" / "first_gap.toml")
JUMP = LINE.jumps[0]


def test_every_code_has_words_and_every_word_a_code():
    assert set(words._NOTES) == set(Code)


def test_every_code_is_made_somewhere():
    plan = "".join(path.read_text(encoding="utf-8") for path in (ROOT / "jumpcalc" / "plan").rglob("*.py"))
    assert [code.name for code in Code if f"Code.{code.name}" not in plan] == []


def test_every_change_has_words():
    changes = {change.code for change in solve(LINE).jumps[0].run_in.changes}
    assert changes == set(words._CHANGES)


@pytest.mark.parametrize("shape", ["gap", "tabletop", "drop"])
def test_outcomes_are_said_in_the_words_of_the_trade(shape):
    landing = solve(LINE).jumps[0].landings[1]
    expected = {
        "rear short": "cased: rear wheel on the knuckle",
        "clean": "both wheels on the landing",
        "front long": "front wheel past the landing",
        "long": "overshot",
    }
    assert set(expected) | {"short", "unknown"} == set(Outcome)
    for outcome, said in expected.items():
        assert words.outcome(replace(landing, outcome=outcome), shape) == said
    surfaces = {
        "deck": "landed on the deck",
        "floor": "below the drop" if shape == "drop" else "short: into the gap",
        "wall": "short: into the near wall",
        "knuckle": "knuckle",
        "edge": "rolled off the edge",
    }
    for surface, said in surfaces.items():
        assert said in words.outcome(replace(landing, outcome="short", surface=surface), shape)


PIECES = LINE.run_in.pieces
VARIANTS = {
    "no window": replace(LINE, jumps=(replace(JUMP, landing=replace(JUMP.landing, length=1.0)),)),
    "too short": replace(LINE, run_in=replace(LINE.run_in, pieces=(replace(PIECES[0], length=8.0), *PIECES[1:]))),
    "much too short": replace(LINE, run_in=replace(LINE.run_in, pieces=PIECES[2:])),
    "too high": replace(LINE, run_in=replace(LINE.run_in, pieces=(replace(PIECES[0], length=60.0), *PIECES[1:]))),
    "strokes do not fit": replace(LINE, run_in=replace(LINE.run_in, strokes=14)),
    "rolled in too fast": replace(LINE, run_in=replace(LINE.run_in, start_speed=14.0)),
    "not measured": replace(LINE, run_in=RunIn()),
    "halts": replace(LINE, run_in=RunIn(pieces=(replace(PIECES[0], slope=0.1),), start_speed=1.0)),
    "no grip": replace(LINE, run_in=replace(LINE.run_in, surface="dry wood")),
    "rear brake": replace(LINE, bike=Bike(kind="dirt jump")),
    "no room": replace(LINE, jumps=(replace(JUMP, runout=replace(JUMP.runout, pieces=JUMP.runout.pieces[:1])),)),
    "wind": replace(LINE, air=replace(LINE.air, tailwind=-8.0, crosswind=7.0)),
    "two, the second without a window": replace(
        LINE, jumps=(JUMP, replace(JUMP, name="b", landing=replace(JUMP.landing, length=1.0)))
    ),
    "two that do not carry": replace(LINE, jumps=(JUMP, replace(JUMP, name="second"))),
}
ALL = {path.stem: read_line(path) for path in EXAMPLES} | VARIANTS


@pytest.fixture(scope="module", params=ALL)
def answer(request):
    return solve(ALL[request.param])


def test_nothing_is_called_safe_and_nothing_is_nan(answer):
    texts = [report(answer, units=units) for units in ("metric", "imperial")] + [answer_json.as_json(answer)]
    for text in texts:
        assert not re.search(r"\b(un)?safe(ly|ty)?\b|\bnan\b|\binf\b|\bNone\b", text, re.IGNORECASE), text
        assert "{" not in text or text.startswith("{")


def test_the_report_carries_the_cautions_and_what_is_assumed(answer):
    text = " ".join(report(answer).split())
    for caution in words.CAUTIONS:
        assert caution in text
    for path in answer.assumed:
        assert path in text


def test_metric_and_imperial_answer_the_same_questions(answer):
    """As many sentences under the same heads, each in its own units only."""
    metric, imperial = (report(answer, units=units) for units in ("metric", "imperial"))
    heads = [[row for row in text.split("\n") if row and not row.startswith(" ")][-8:] for text in (metric, imperial)]
    assert [row for row in heads[0] if not re.search(r"\d", row)] == [row for row in heads[1] if not re.search(r"\d", row)]
    assert len(re.findall(r"^  - ", metric, re.MULTILINE)) == len(re.findall(r"^  - ", imperial, re.MULTILINE))
    assert not re.search(r"\d (mph|ft|ft²|lb|in)\b", metric)
    assert not re.search(r"\d (km/h|m|kg|mm)(?![\w/²])", imperial)


def test_speeds_and_lengths_in_imperial_units():
    # NIST SP 811: 1 mph = 0.44704 m/s, 1 ft = 0.3048 m
    assert words.speed(4.4704, "imperial", digits=1) == "10.0 mph"
    assert words.length(3.048, "imperial") == "10.0 ft"
    assert words.speed(10.0) == "36 km/h" and words.length(-0.04) == "0.0 m" and words.length(-0.06) == "−0.1 m"


def test_where_to_start_is_told_as_a_span_with_a_check():
    answer = solve(LINE)
    said = " ".join(words.start_words(answer.jumps[0]))
    span = answer.jumps[0].run_in.span
    assert f"anywhere from {words.length(span.short)}" in said
    assert "do not jump from a mark not yet checked" in said
    assert "too slow" in said and "in the window" in said and not re.search(r"\bgo\b", said)


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("too short", "The run-in is too short"),
        ("much too short", "It would take"),
        ("strokes do not fit", "No start mark gives the aim with 14 pedal strokes: make fewer."),
        ("rolled in too fast", "No start mark gives the aim: the bike is rolled in too fast."),
        ("not measured", "where to start is not known"),
        ("too high", "faster than the fastest clean"),
        ("halts", "the bike does not reach the edge"),
        ("rear brake", "A check of the speed needs a way off to the side."),
        ("no room", "are missing"),
        ("two, the second without a window", "jump 2: no speed lands it clean"),
        ("two that do not carry", "nothing carries without a stroke or a brake"),
    ],
)
def test_what_helps_is_said_where_it_does_not_do(name, told):
    assert told in " ".join(report(solve(ALL[name])).split())


def test_what_is_left_out_names_the_window_that_nothing_lands():
    text = words.headline(solve(ALL["no window"]).jumps[0])
    assert text.startswith("No lip speed lands both wheels on the landing:") and text.endswith(".")


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_side_by_side_carries_the_cautions(units):
    kinds = tuple(BIKES)[:2]
    text = side_by_side.report(compare(*(with_bike(LINE, kind) for kind in kinds)), names=kinds, units=units)
    flat = " ".join(text.split())
    assert all(caution in flat for caution in words.CAUTIONS)
    assert not re.search(r"\bsafe\b|\bnan\b", text, re.IGNORECASE)
    assert ("mph" in text) == (units == "imperial") and ("km/h" in text) == (units == "metric")


def test_every_assumption_has_a_source_or_the_word_assumption():
    for path, value, source in words.assumed(solve(LINE)):
        assert value and source, path
