"""Line files: every key of the design, the examples, and round trips."""

import copy
import math
import tomllib
from pathlib import Path

import pytest
import tomli_w
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from jumpcalc.errors import FileError
from jumpcalc.plan.inputs.declare import declared, keys_of, table_key, tables
from jumpcalc.plan.inputs.dug import Jump, Landing, Lip, Piece, RunIn
from jumpcalc.plan.inputs.line import Air, Line
from jumpcalc.plan.inputs.rider import Rider
from jumpcalc.plan.solve import solve
from jumpcalc.show.files.linefile import parse_line, read_line, write_line
from jumpcalc.units import KINDS, to_si

FOLDER = Path(__file__).parents[1] / "examples"
EXAMPLES = sorted(FOLDER.glob("*.toml"))
MODEL_LINES = ("first_gap", "low_drop", "step_up_table")  # each has a good answer to every question
JUMP = """
[[jump]]
lip = { angle_deg = 28, radius_m = 4.5 }
landing = { gap_m = 4.2, angle_deg = 24, length_m = 4.5 }
"""


# The keys of the first version as the design of the line file has them, with a value of each sort.
KEYS = {
    "": {"title": "a", "place": "b", "measured_on": "2026-10-03", "measured_by": "c", "notes": "d", "learned_from": "e"},
    "rider": {"mass_kg": 88, "mass_lb": 190, "drag_area_m2": 0.5, "drag_area_ft2": 6, "stroke_energy_j": 200,
              "centre_of_mass_height_m": 1.1, "centre_of_mass_behind_front_m": 0.6, "path": "point",
              "pitch_radius_m": 0.5, "landing_height_m": 0.9, "landing_height_in": 40, "brake_use": 0.5},
    "bike": {"kind": "child 24 inch", "wheelbase_m": 1.1, "wheelbase_in": 42, "brakes": "rear", "rolling_factor": 1.2,
             "rotating_mass_kg": 2, "development_m": 2.1, "travel_mm": 130, "travel_in": 5, "sag_percent": 30,
             "suspension_loss_percent": 20},
    "air": {"altitude_m": 420, "altitude_ft": 1400, "temperature_c": -3, "temperature_f": 57, "tailwind_kmh": -5,
            "tailwind_mph": 3, "tailwind_mps": 1.5, "crosswind_kmh": 4, "crosswind_mps": -1},
    "run_in": {"start_speed_kmh": 5, "start_speed_mph": 3, "strokes": 3, "strokes_at_m": 12, "strokes_at_ft": 40,
               "surface": "gravel", "rolling_resistance": 0.03,
               "grip": 0.3, "slope_accuracy_deg": 0.3, "stakes_m": [[0, 0], [5, 1.2], [11.5, 2.3]],
               "stakes_ft": [[0, 0], [16, 4]],
               "pieces": [{"length_m": 4, "slope_deg": -3}, {"radius_ft": 30, "to_slope_percent": 5}]},
    "jump": {"name": "a", "shape": "tabletop", "way_round": True, "side_clear_m": 2, "side_clear_ft": 6.5},
    "jump.lip": {"angle_deg": 30, "angle_percent": 50, "radius_m": 5, "radius_ft": 16, "height_m": 1.2,
                 "height_cm": 120, "height_mm": 1200, "height_in": 48, "straight_m": 0.8, "width_m": 1.2},
    "jump.landing": {"gap_m": 4, "gap_cm": 400, "gap_mm": 4000, "gap_ft": 13, "gap_in": 160, "drop_m": -0.3,
                     "drop_in": 12, "angle_deg": 20, "angle_percent": 40, "length_m": 4, "exit_radius_m": 6,
                     "width_m": 2},
    "jump.runout": {"pieces": [{"length_m": 40, "slope_percent": -2}], "stakes_m": [[0, 0], [30, 0.1]], "surface": "asphalt", "grip": 0.4,
                    "rolling_resistance": 0.02, "reaction_s": 1},
    "skill": {
        "speed_sd_percent": 5, "angle_sd_deg": 1, "squash_mps": 0.3, "spring_mps": 0.4, "spring_mean_mps": 0.1, "spring_sd_mps": 0.2,
        "pitch_sd_deg": 5,
    },
    "limits": {"equivalent_fall_m": 0.5, "equivalent_fall_ft": 3},
}  # fmt: skip
ONE_KEY = [(path, key, value) for path, keys in KEYS.items() for key, value in keys.items()]


def data():
    return tomllib.loads(JUMP)


def at(tree, path):
    for part in path.split(".") if path else []:
        tree = tree.setdefault(part, {}) if part != "jump" else tree["jump"][0]
    return tree


def name_of(key):
    name, _, unit = key.rpartition("_")
    return name if any(unit in units for units in KINDS.values()) and name else key


@pytest.mark.parametrize(("path", "key", "value"), ONE_KEY, ids=[f"{path}.{key}" for path, key, _ in ONE_KEY])
def test_every_key_of_the_design_is_read_and_written_back(path, key, value):
    tree = data()
    table = at(tree, path)
    stem = name_of(key)
    for other in [k for k in table if name_of(k) == stem or {stem, name_of(k)} == {"height", "radius"}]:
        del table[other]
    table[key] = value
    line = parse_line(tomli_w.dumps(tree))
    assert line != parse_line(JUMP)
    assert parse_line(write_line(line)) == line


def test_the_design_has_every_key_that_is_declared():
    """In the first unit of its kind, which is the one of the design's table."""

    def walk(kind, path):
        for name, declaration in declared(kind).items():
            yield path, next(iter(keys_of(name, declaration)))
        for name, (inner, many) in tables(kind).items():
            yield from walk(inner, f"{path}.{table_key(name, many=many)}".lstrip("."))

    assert set(walk(Line, "")) <= {(path, key) for path, key, _ in ONE_KEY}
    assert {k for _, k in walk(Piece, "")} == {"length_m", "slope_deg", "radius_m", "to_slope_deg"}


def test_numbers_arrive_in_si():
    line = parse_line("""
        [rider]
        mass_lb = 200
        [air]
        temperature_f = 59
        tailwind_mph = -10
        [skill]
        speed_sd_percent = 5
        [[jump]]
        lip = { angle_percent = 100, radius_ft = 20 }
        landing = { gap_ft = 14, drop_in = -10, angle_deg = 30, length_cm = 450 }
    """)
    # NIST SP 811: 1 lb = 0.45359237 kg, 1 ft = 0.3048 m, 1 in = 0.0254 m, 1 mph = 0.44704 m/s; 59 °F = 15 °C = 288.15 K
    assert line.rider.mass == pytest.approx(90.718474, abs=1e-12)
    assert line.air.temperature == pytest.approx(288.15, abs=1e-12)
    assert line.air.tailwind == pytest.approx(-4.4704, abs=1e-12)
    assert line.skill.speed_sd == pytest.approx(0.05, abs=1e-15)
    assert line.jumps[0].lip == Lip(angle=math.pi / 4, radius=line.jumps[0].lip.radius)
    assert line.jumps[0].lip.radius == pytest.approx(6.096, abs=1e-12)
    landing = line.jumps[0].landing
    assert [landing.gap, landing.drop, landing.angle, landing.length] == pytest.approx(
        [4.2672, -0.254, math.pi / 6, 4.5], abs=1e-12
    )


def test_only_what_is_given_is_in_the_line():
    line = parse_line(JUMP)
    assert line.rider == Rider() and line.air == Air() and line.run_in == RunIn()
    assert line.jumps[0].landing.drop is None
    text = write_line(line)
    assert tomllib.loads(text) == tomllib.loads(JUMP)
    assert tomllib.loads(text)["jump"][0]["lip"] == {"angle_deg": 28, "radius_m": 4.5}


def test_dates_without_quotes_are_taken_as_text():
    assert parse_line("measured_on = 2026-10-03\n" + JUMP).measured_on == "2026-10-03"
    assert parse_line('measured_on = "2026-10-03"\n' + JUMP).measured_on == "2026-10-03"
    assert parse_line("measured_on = 2026-10-03T09:30:00\n" + JUMP).measured_on == "2026-10-03T09:30:00"


def test_a_negative_zero_is_a_zero():
    line = parse_line(JUMP.replace("gap_m = 4.2", "gap_m = 4.2, drop_m = -0.0"))
    assert math.copysign(1.0, line.jumps[0].landing.drop) == 1.0


def test_windows_files_are_read(tmp_path):
    path = tmp_path / "line.toml"
    path.write_bytes(b"\xef\xbb\xbf" + JUMP.replace("\n", "\r\n").encode())
    assert read_line(path) == parse_line(JUMP)


def test_pieces_are_written_one_a_line():
    pieces = (Piece(length=25.0, slope=math.radians(-12)), Piece(radius=9.0, to_slope=0.0))
    text = write_line(Line(run_in=RunIn(pieces=pieces), jumps=parse_line(JUMP).jumps))
    assert "{ length_m = 25, slope_deg = -12 },\n" in text
    assert "{ radius_m = 9, to_slope_deg = 0 },\n" in text


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_examples_read_write_and_read_back_the_same(path):
    line = read_line(path)
    again = parse_line(write_line(line))
    assert again == line
    assert again.fingerprint == line.fingerprint
    assert write_line(again) == write_line(line)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_keys_in_python_are_those_of_the_file(path):
    assert Line.of(**tomllib.loads(path.read_text(encoding="utf-8"))) == read_line(path)


@pytest.mark.parametrize("path", [p for p in EXAMPLES if p.stem in MODEL_LINES], ids=lambda path: path.stem)
def test_examples_have_a_window_a_landing_below_the_limit_and_room_to_stop(path):
    """What the examples promise in the README: each has an answer to every question."""
    line = read_line(path)
    answer = solve(line)
    for jump in answer.jumps:
        speeds = jump.window.speeds
        assert (speeds.max - speeds.min) * 3.6 > 2.0
        assert jump.sure is not None
        assert max(landing.equivalent_fall for landing in jump.landings) < 1.0
        assert jump.stop.stops and jump.stop.margin >= 3.0
        assert jump.heights.runout_start_below_foot > 0.0
    assert line.run_in.pieces
    assert {warning.code for warning in answer.warnings} <= set()


def test_the_other_examples_show_what_they_are_there_for():
    too_short = solve(read_line(FOLDER / "short_run_in.toml"))
    assert {warning.code for warning in too_short.warnings} == {"the run-in is too short"}
    row = solve(read_line(FOLDER / "two_in_a_row.toml"))
    assert {warning.code for warning in row.warnings} == {"turn off before the next"}
    assert row.ride.window is not None
    rear = read_line(FOLDER / "dirt_jump_bike.toml")
    assert rear.bike.brakes == "rear"
    assert not solve(rear).jumps[0].abort.exists


def test_there_is_an_example_of_each_shape():
    assert {read_line(path).jumps[0].shape for path in EXAMPLES} == {"gap", "tabletop", "drop"}


@st.composite
def numbers(draw, declaration):
    """A key's unit and a number that a person could type within its bounds."""
    units = list(KINDS[declaration.kind])
    unit = draw(st.sampled_from(units))
    low, high = (KINDS[declaration.kind][unit].from_si(bound) for bound in declaration.bounds)
    inset = (high - low) * 4e-3  # more than rounding to three digits moves a number
    if declaration.kind == "count":
        return unit, draw(st.integers(int(low), int(high)))
    value = draw(st.floats(low + inset, high - inset))
    return unit, float(f"{value:.{draw(st.integers(3, 8))}g}")


@st.composite
def plain_tables(draw, kind, only=None, never=(), always=()):
    plain = {}
    for name, declaration in declared(kind).items():
        needed = declaration.required or name in always
        if name in never or declaration.kind in ("pieces", "stakes") or not (needed or draw(st.booleans())):
            continue
        if declaration.choices:
            plain[name] = draw(st.sampled_from(declaration.choices))
        elif declaration.kind == "flag":
            plain[name] = draw(st.booleans())
        elif declaration.kind == "text":
            plain[name] = draw(st.text(st.characters(exclude_categories=["Cs"]), max_size=20))
        else:
            unit, value = draw(numbers(declaration))
            plain[f"{name}_{unit}" if unit else name] = value
    return plain


@st.composite
def plain_pieces(draw):
    straight, arc = (
        plain_tables(Piece, never=never, always=always)
        for never, always in (
            (("radius", "to_slope"), ("length", "slope")),
            (("length", "slope"), ("radius", "to_slope")),
        )
    )
    pieces = [draw(straight)]
    for piece in draw(st.lists(straight | arc, max_size=3)):
        before, slope = [
            to_si(value, kind="angle", unit=key.rpartition("_")[2])
            for one in (pieces[-1], piece)
            for key, value in one.items()
            if "slope" in key
        ]
        if not math.isclose(before, slope, abs_tol=1e-8) or "length" in str(piece):  # no arc that turns by nothing
            pieces.append(piece)
    return pieces


@st.composite
def plain_lines(draw):
    def pieces(plain):
        measured = draw(st.sampled_from(["pieces", "stakes", None]))
        if measured == "pieces":
            plain["pieces"] = draw(plain_pieces())
        if measured == "stakes":
            steps = draw(st.lists(st.tuples(st.floats(0.5, 20), st.floats(-0.5, 0.5)), min_size=1, max_size=5))
            along, fall = [0.0], [0.0]
            for step, share in steps:
                along.append(along[-1] + step)
                fall.append(fall[-1] + share * step)
            plain[draw(st.sampled_from(["stakes_m", "stakes_ft"]))] = [list(pair) for pair in zip(along, fall, strict=True)]
        return plain

    plain = draw(plain_tables(Line))
    for name, (kind, many) in tables(Line).items():
        if many:
            continue
        plain[name] = draw(plain_tables(kind, never=draw(st.sampled_from([("surface",), ("rolling_resistance",)]))))
    pieces(plain["run_in"])
    plain["jump"] = []
    for _ in range(draw(st.integers(1, 3))):
        jump = draw(plain_tables(Jump))
        either = draw(st.sampled_from(["radius", "height"]))
        other = {"radius": "height", "height": "radius"}[either]
        drop = jump.get("shape") == "drop"
        never, always = (("radius", "height", "straight"), ()) if drop else ((other,), (either,))
        jump["lip"] = draw(plain_tables(Lip, never=never, always=always))
        jump["landing"] = draw(plain_tables(Landing, never=("drop",) if drop else ()))
        if drop:
            jump["landing"]["drop_m"] = draw(st.floats(0.01, 30))
        jump["runout"] = pieces(draw(plain_tables(tables(Jump)["runout"][0], never=("surface",))))
        plain["jump"].append(jump)
    return plain


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(plain=plain_lines())
def test_read_write_read_is_the_same_line(plain):
    line = parse_line(tomli_w.dumps(plain))
    text = write_line(line)
    again = parse_line(text)
    assert again == line
    assert again.fingerprint == line.fingerprint
    assert write_line(again) == text


@given(
    mass=st.floats(20, 250), speed=st.floats(-22, 22), kelvin=st.floats(234, 328), length=st.floats(0.05, 60)
)
def test_any_number_made_elsewhere_survives(mass, speed, kelvin, length):
    """Masses, speeds, temperatures and lengths that no file gave; an angle may lose its last bit, no more."""
    jump = Jump(lip=Lip(angle=0.5, radius=4.0), landing=Landing(gap=length, angle=0.4, length=length))
    line = Line(rider=Rider(mass=mass), air=Air(temperature=kelvin, tailwind=speed), jumps=(jump,))
    again = parse_line(write_line(line))
    assert (again.rider, again.air) == (line.rider, line.air)
    assert again.jumps[0].landing.gap == length
    assert again.jumps[0].lip.angle == pytest.approx(0.5, rel=3e-16)


ODD = st.one_of(
    st.none().map(lambda _: {}), st.booleans(), st.integers(), st.floats(), st.text(max_size=5), st.dates(),
    st.just([]), st.just([{}]), st.just({"a": 1}), st.just([1, "a"]), st.just(10**80),
)  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(choice=st.integers(0, len(ONE_KEY) - 1), odd=ODD, new_key=st.none() | st.text(min_size=1, max_size=8))
def test_whatever_stands_at_a_key_it_is_read_or_refused_in_one_line(choice, odd, new_key):
    path, key, _ = ONE_KEY[choice]
    tree = copy.deepcopy(data())
    at(tree, path)[new_key or key] = odd
    try:
        text = tomli_w.dumps(tree)
    except (ValueError, UnicodeError):
        return
    try:
        line = parse_line(text)
    except FileError as error:
        assert str(error).isprintable()
        assert error.file == "line file"
    else:
        assert parse_line(write_line(line)) == line
