"""What is said: every code has its words, every word stands in units asked for, and nothing is ever called safe."""

import ast
import math
import re
from collections import Counter, defaultdict
from dataclasses import replace
from pathlib import Path
from string import Formatter

import hypothesis
import pytest
from hypothesis import settings
from hypothesis import strategies as st

from jumpcalc.plan.inputs.declare import given
from jumpcalc.plan.inputs.dug import Piece, RunIn, Runout
from jumpcalc.plan.inputs.rider import Bike
from jumpcalc.plan.inputs.surfaces import BIKES
from jumpcalc.plan.limits import ROLLED_HEIGHT, STEEPEST_LIP
from jumpcalc.plan.notes import Code, Note
from jumpcalc.plan.outcome import Outcome
from jumpcalc.plan.solve import solve
from jumpcalc.plan.studies.compare import compare
from jumpcalc.plan.studies.guidance import guidance
from jumpcalc.plan.vary import vary, with_bike
from jumpcalc.plan.views.side import side_view
from jumpcalc.plan.views.stop import stop_view
from jumpcalc.show.files import answer_json
from jumpcalc.show.files.linefile import read_line
from jumpcalc.show.paper import side as draw
from jumpcalc.show.words import jump, run_in, side_by_side, stopping
from jumpcalc.show.words import sizes as size_words
from jumpcalc.show.words.cautions import CAUTIONS
from jumpcalc.show.words.guidance import not_met
from jumpcalc.show.words.guidance import rule as rule_words
from jumpcalc.show.words.inputs import assumed, groups
from jumpcalc.show.words.notes import TEMPLATES, look_at, note
from jumpcalc.show.words.numbers import Reader
from jumpcalc.show.words.report import report
from jumpcalc.show.words.said import Least, Minus, Most, Plus, Said, said

ROOT = Path(__file__).parents[1]
EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))
LINE = read_line(ROOT / "examples" / "first_gap.toml")
JUMP = LINE.jumps[0]


def test_every_code_has_words_and_every_word_a_code():
    assert set(TEMPLATES) == set(Code)


def notes_made():
    """Codes and names of values of the notes that plan makes, as far as they stand together in its source."""
    for path in (ROOT / "jumpcalc" / "plan").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Note":
                given = {keyword.arg: keyword.value for keyword in node.keywords}
                values = given.get("values")
                if isinstance(values, ast.Tuple) or values is None:
                    names = [] if values is None else [pair.elts[0].value for pair in values.elts]
                    names += ["limit"] if "limit" in given else []
                    yield from ((code, names) for code in re.findall(r"Code\.(\w+)", ast.unparse(given["code"])))


def test_every_code_is_made_somewhere():
    plan = "".join(path.read_text(encoding="utf-8") for path in (ROOT / "jumpcalc" / "plan").rglob("*.py"))
    assert [code.name for code in Code if f"Code.{code.name}" not in plan] == []


WORDS = {"wheel": "front"}
"""Values that are words already."""


@pytest.mark.parametrize("reader", Reader)
def test_templates_take_what_plan_puts_into_the_note(reader):
    values_of = {code: {name: WORDS.get(name, 3) for name in names} for code, names in notes_made()}
    assert len(values_of) > 30
    for code, values in values_of.items():
        made = note(Note(code=Code[code], values=tuple(values.items())))
        text = reader.text(made)  # a place without a value is a KeyError
        assert text and not set("{}") & set(text)
        if isinstance(made, Said):
            kinds = {name: spec for _, name, spec, _ in Formatter().parse(made.template) if name in values.keys() - WORDS}
            assert all(kinds.values()), f"{code}: a value without a kind"


@pytest.mark.parametrize("reader", Reader)
def test_a_template_without_its_value_is_no_text(reader):
    with pytest.raises(KeyError, match="margin"):
        reader.text(note(Note(code=Code.ROOM_TO_STOP_IS_TIGHT)))


def test_only_the_reader_knows_units():
    """Nothing that is said, shown or drawn is told the units; the address keeps which ones were chosen."""
    told = []
    for path in (ROOT / "jumpcalc").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef | ast.Lambda):
                taken = [one.arg for one in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs)]
                told += [f"{path.name}: {getattr(node, 'name', 'lambda')}"] if "units" in taken else []
    assert told == ["address.py: keep"]


def test_no_sentence_brings_its_own_units():
    """A length or a speed stands in a sentence by its place, so that who reads feet finds no metres."""
    unit = re.compile(r"(?<![\w{.])\d+(\.\d+)? (m|cm|mm|km/h|m³|kg|ft|mph|lb)(?![\w/²³])")
    told = []
    for path in (ROOT / "jumpcalc" / "show").rglob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        docs = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        texts = [node for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, str)]
        told += [f"{path.name}: {node.value[:60]}" for node in texts if id(node) not in docs and unit.search(node.value)]
    assert told == []


def test_every_change_has_words():
    changes = {change.code for change in solve(LINE).jumps[0].run_in.changes}
    assert changes == set(run_in.CHANGES)


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
    for outcome, told in expected.items():
        assert jump.outcome(replace(landing, outcome=outcome), shape) == told
    surfaces = {
        "deck": "landed on the deck",
        "floor": "below the drop" if shape == "drop" else "short: into the gap",
        "wall": "short: into the near wall",
        "knuckle": "knuckle",
        "edge": "rolled off the edge",
    }
    for surface, told in surfaces.items():
        assert told in jump.outcome(replace(landing, outcome="short", surface=surface), shape)


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
    "wind": replace(LINE, air=replace(LINE.air, tailwind=-8.0, crosswind=6.0)),
    "two, the second without a window": replace(
        LINE, jumps=(JUMP, replace(JUMP, name="b", landing=replace(JUMP.landing, length=1.0)))
    ),
    "two that do not carry": replace(LINE, jumps=(JUMP, replace(JUMP, name="second"))),
    "long and fast": replace(
        LINE,
        jumps=(
            replace(
                JUMP,
                landing=replace(JUMP.landing, gap=9.0, drop=1.2, length=9.0),
                runout=Runout(pieces=(Piece(length=90.0, slope=0.0),)),
            ),
        ),
    ),
    "flown as a point": replace(LINE, rider=replace(LINE.rider, path="point")),
}
ALL = {path.stem: read_line(path) for path in EXAMPLES} | VARIANTS


@pytest.fixture(scope="module", params=ALL)
def answer(request):
    return solve(ALL[request.param])


def test_nothing_is_called_safe_and_nothing_is_nan(answer):
    texts = [report(answer, reader) for reader in Reader] + [answer_json.as_json(answer)]
    for text in texts:
        assert not re.search(r"\b(un)?safe(ly|ty)?\b|\bnan\b|\binf\b|\bNone\b", text, re.IGNORECASE), text
        assert "{" not in text or text.startswith("{")


@pytest.mark.parametrize("reader", Reader)
def test_words_are_those_that_a_fifteen_year_old_follows(answer, reader):
    assert not re.search(r"postur|span of doubt|×|\w\.\w+_\w|run_in|edge on\b", report(answer, reader))


def test_the_report_carries_the_cautions_and_what_is_assumed(answer):
    text = " ".join(report(answer).split())
    for caution in CAUTIONS:
        assert caution in text
    for each in assumed(answer):
        assert f"{each.name} {Reader.metric.text(each.value)}" in text


@pytest.mark.parametrize("reader", Reader)
def test_no_sentence_is_said_twice(answer, reader):
    """What is said of one jump may hold for the next too; what holds for all of them is said once."""
    text = " ".join(report(answer, reader).split())
    parts = re.split(r"(?<=[.!?]) - |(?<=[.!?]) (?=[A-Z0-9])", text)
    twice = [part for part, count in Counter(parts).items() if count > 1 and len(part) > 20]
    heads = ("It can", "The lip is", "Slower than", "Soaked up, ridden", "Whoever", "A tenth", "A flying", "From the fastest", "From these")
    heads += ("Ride at", "Soaking", "At the aim", "Not checked")
    assert not [part for part in twice if len(answer.jumps) == 1 or not part.removeprefix("The ground - ").startswith(heads)]


def test_metric_and_imperial_answer_the_same_questions(answer):
    """As many sentences under the same heads, each in its own units only."""
    metric, imperial = (report(answer, reader) for reader in Reader)
    heads = [[row for row in text.split("\n") if row and not row.startswith(" ")][-8:] for text in (metric, imperial)]
    assert [row for row in heads[0] if not re.search(r"\d", row)] == [row for row in heads[1] if not re.search(r"\d", row)]
    assert len(re.findall(r"^  - ", metric, re.MULTILINE)) == len(re.findall(r"^  - ", imperial, re.MULTILINE))
    assert not re.search(r"\d (mph|ft|ft²|lb|in)\b", metric)
    assert not re.search(r"\d (km/h|m/s|m²|m|kg|mm)(?![\w/])", imperial)


def test_a_number_stays_on_the_row_of_its_unit(answer):
    for reader in Reader:
        assert not re.search(r"\d\n +(km/h|mph|m|ft|%|s|g|m²|ft²)\b", report(answer, reader))


def read_of(answer, reader, monkeypatch):
    """Every number of the worked-out ones in what is said of an answer: its kind and value, and how it was printed."""
    printed = defaultdict(set)
    number = Reader._number

    def watched(self, value, kind, digits):
        found, places = number(self, value, kind, digits)
        if not isinstance(value, Plus | Minus):
            si = getattr(value, "value", value)
            printed[reader.unit(kind), round(si, 9)].add(f"{found:.{places}f}")
        return found, places

    monkeypatch.setattr(Reader, "_number", watched)
    report(answer, reader)
    for index, one in enumerate(answer.jumps):
        reader.texts([cell for rule in guidance(answer, index) for cell in rule_words(rule)[:2]])
        reader.text(size_words.spacing(answer, index))
        draw.side(side_view(answer, index), reader)
        view = stop_view(answer, index)
        if view is not None:
            draw.stopping(view, one, reader)
    return printed


ROUND = {0.1, 0.2, 0.4, 1.0, 2.0, 3.0, 8.0, 40.0}
"""Numbers that are limits or remarks of a sentence, not worked out: told as finely as they stand."""


@pytest.mark.parametrize("reader", Reader)
def test_one_number_has_one_rounding(answer, reader, monkeypatch):
    lines = {(unit, value): texts for (unit, value), texts in read_of(answer, reader, monkeypatch).items() if value not in ROUND}
    assert len(lines) > 5
    typed = {round(value, 9) for _, _, value in given(answer.complete) if isinstance(value, float)}
    for (unit, value), texts in lines.items():
        # what was typed is told as typed where a rule is held against it
        assert len({float(text) for text in texts}) == 1 or value in typed, (unit, value, texts)


def numbers(text):
    return [float(found.replace("−", "-")) for found in re.findall(r"−?\d+\.?\d*", text)]


@pytest.mark.parametrize("reader", Reader)
def test_sums_agree(answer, reader):
    """Room either way with the aim and the ends of the table; what stopping takes with what there is and what is to spare."""
    for one in answer.jumps:
        if not one.landings:
            continue
        speeds, _ = jump.checked_at(one)
        low, aim, high = (float(reader.speed(value, "speed bare")) for value in (Least(speeds.min), speeds.aim, Most(speeds.max)))
        slower, faster = numbers(reader.text(jump.headline(one)).partition("up to ")[2])[:2]
        assert low + slower == pytest.approx(aim, abs=1e-9) and aim + faster == pytest.approx(high, abs=1e-9)
        if one.stop is not None and one.stop.total is not None and (one.stop.stops or one.way_out is None):
            _, takes, _, there, margin = numbers(reader.text(stopping.after(one)).partition(" That is for")[0])
            assert there == pytest.approx(takes + (margin if one.stop.stops else -margin), abs=1e-9)


def test_room_that_only_a_speed_lacks_which_the_run_in_does_not_give_is_said_so():
    pieces = (replace(PIECES[0], length=PIECES[0].length - 12.0), *PIECES[1:])
    short = {"run_in.pieces": pieces, "jump[1].runout.pieces": (Piece(length=20.0, slope=0.0),)}
    one = solve(vary(LINE, short)).jumps[0]
    assert not one.stop.stops and one.run_in.lip_speed < one.window.speeds.max
    told = Reader.metric.text(stopping.after(one))
    assert "are missing. That is for" in told and f"this run-in gives {one.run_in.lip_speed * 3.6:.1f} km/h" in told
    assert "That is for" not in Reader.metric.text(stopping.after(solve(LINE).jumps[0]))


@settings(max_examples=300)
@hypothesis.given(value=st.floats(0, 60), kind=st.sampled_from(["speed", "length"]), reader=st.sampled_from(Reader))
def test_ends_of_what_lands_clean_are_rounded_inward(value, kind, reader):
    exact = reader.amount(value, kind)
    least, most = (float(reader.quantity(end(value), f"{kind} bare")) for end in (Least, Most))
    step = 1.0 if reader is Reader.imperial and kind == "length" and exact >= 29.95 else 0.1
    assert exact - 1e-6 <= least < exact + step and exact - step < most <= exact + 1e-6


def test_speeds_and_lengths_in_imperial_units():
    # NIST SP 811: 1 mph = 0.44704 m/s, 1 ft = 0.3048 m
    assert Reader.imperial.speed(4.4704) == "10.0 mph"
    assert Reader.imperial.length(3.048) == "10.0 ft"
    assert Reader.imperial.length(9.144) == "30 ft" and Reader.imperial.length(9.11) == "29.9 ft"
    assert Reader.imperial.text(said("{area:area}", area=0.1)) == "1.1 ft²"
    assert Reader.metric.speed(10.0) == "36.0 km/h" and Reader.metric.length(-0.04) == "0.0 m" and Reader.metric.length(-0.06) == "−0.1 m"


def test_what_reads_like_its_limit_is_said_to_be_just_over_it():
    high = Note(code=Code.TOO_HIGH_TO_ROLL, values=(("height", 1.004),), limit=ROLLED_HEIGHT)
    assert Reader.metric.text(note(high)).startswith("it is just over 1.00 m high, more than the 1.0 m")
    assert Reader.metric.text(note(replace(high, values=(("height", 1.02),)))).startswith("it is 1.02 m high, more than")
    steep = Note(code=Code.THE_LIP_IS_FAR_OUTSIDE, values=(("value", math.radians(60.2)),), limit=STEEPEST_LIP)
    assert Reader.metric.text(note(steep)).startswith("a lip of just over 60° is steeper than the 60°")


def test_what_is_the_same_for_several_jumps_is_said_once():
    made = [(1, Code.NO_WAY_ROUND), (1, Code.RUNOUT_NOT_MEASURED), (2, Code.NO_WAY_ROUND), (4, Code.NO_WAY_ROUND)]
    notes = tuple(Note(code=code, jump=number) for number, code in (*made, (4, Code.RUNOUT_NOT_MEASURED)))
    told = Reader.metric.texts(look_at(notes, jumps=4))
    assert [text[:18] for text in told] == ["Jumps 1, 2 and 4: ", "Jumps 1 and 4: the"]
    assert Reader.metric.texts(look_at(notes[:1], jumps=1)) == ["There is no way round it: who comes in wrong has nowhere to turn off."]


def test_assumed_inputs_are_named_by_their_tables():
    answer = solve(replace(LINE, jumps=tuple(replace(JUMP, name=name, runout=Runout()) for name in "abc")))
    told = Reader.metric.texts(groups(answer))
    assert [text.partition(":")[0] for text in told][:2] == ["Rider", "Bike"]
    assert any(text.startswith("Jumps 1, 2 and 3, runout: ") for text in told)
    assert sum("reaction" in text.lower() for text in told) == 1


@pytest.mark.parametrize("name", ["a {b} {c:speed}", "{", "two\nrows\r\nmore", "tab\tand\x1b[31mred", "**bold** | # <b>"])
def test_names_are_text_on_one_line(name):
    answer = solve(replace(LINE, title=name, place=name, jumps=(replace(JUMP, name=name), replace(JUMP, name=f"{name} 2"))))
    shown = re.sub(r"\s+", " ", name).replace("\x1b", "")
    text = report(answer)
    assert f"{shown} ({shown}" in text.split("\n")[0]
    assert f"1  {shown}" in text.split("\n") and "\x1b" not in text and "\t" not in text


def test_only_rules_for_bikes_are_not_met():
    rules = guidance(solve(LINE), 0)
    assert {rule.code for rule in rules if not rule.for_bikes} == {"straight of 0.3 s", "transition radius"}
    assert all("snow" in rule.source for rule in rules if rule.code == "straight of 0.3 s")
    left = Reader.metric.text(not_met(rules))
    assert any(not rule.for_bikes and rule.keeps is False for rule in rules), "the example leaves one made for snow"
    assert "snow" not in left and "Nordic" not in left and "wheelbase" in left
    assert not_met(rule for rule in rules if rule.keeps) == ""


def test_where_to_start_is_told_as_a_span_with_a_check():
    answer = solve(LINE)
    said = " ".join(Reader.metric.texts(run_in.start(answer.jumps[0])))
    span = answer.jumps[0].run_in.span
    assert f"anywhere from {Reader.metric.length(span.short)}" in said
    assert "do not jump from a mark not yet checked" in said
    watch = said_of_the_watch(replace(answer.jumps[0].run_in, slow_time=6.4, fast_time=5.9))
    assert "more than 6.4 s too slow" in watch and "5.9 to 6.4 s in the window" in watch
    assert "cannot be told apart" in said_of_the_watch(replace(answer.jumps[0].run_in, slow_time=None, fast_time=None))
    assert not re.search(r"\bgo\b", watch)


def said_of_the_watch(found):
    return Reader.metric.text(run_in.stopwatch(found))


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("too short", "The run-in is too short"),
        ("much too short", "It would take"),
        ("strokes do not fit", "No start mark gives the aim with 14 pedal strokes: where it is not too fast they do not fit. Make fewer"),
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
    text = Reader.metric.text(jump.headline(solve(ALL["no window"]).jumps[0]))
    assert text.startswith("No lip speed lands both wheels on the landing:") and text.endswith(".")


@pytest.mark.parametrize("reader", Reader)
def test_side_by_side_carries_the_cautions(reader):
    kinds = tuple(BIKES)[:2]
    text = side_by_side.report(compare(*(with_bike(LINE, kind) for kind in kinds)), reader=reader, names=kinds)
    flat = " ".join(text.split())
    assert all(caution in flat for caution in CAUTIONS)
    assert not re.search(r"\bsafe\b|\bnan\b", text, re.IGNORECASE)
    assert ("mph" in text) == (reader is Reader.imperial) and ("km/h" in text) == (reader is Reader.metric)


def test_every_assumption_has_a_source_or_the_word_assumption():
    for each in assumed(solve(LINE)):
        assert each.value and each.source and each.name != each.path, each.path
