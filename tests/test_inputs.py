"""Declarations: one for each input, consistent in themselves, and what is refused by them."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from jumpcalc.errors import FileError, InputError, JumpcalcError
from jumpcalc.plan.inputs.declare import Input, declared, given, key_of, keys_of, table_key, tables
from jumpcalc.plan.inputs.dug import Jump, Landing, Lip, Piece, RunIn, Runout
from jumpcalc.plan.inputs.line import Air, Line
from jumpcalc.plan.inputs.rider import Bike, Rider
from jumpcalc.plan.inputs.valid import check_value, echo, spoken
from jumpcalc.units import KINDS, to_si


def every_table(kind=Line):
    found = [kind]
    for inner, _ in tables(kind).values():
        found += every_table(inner)
    return found


TABLES = [*every_table(), Piece]
INPUTS = [(kind, name, declaration) for kind in TABLES for name, declaration in declared(kind).items()]
NUMBERS = [(kind, name, declaration) for kind, name, declaration in INPUTS if declaration.kind in KINDS]


def names(rows):
    return [f"{kind.__name__}.{name}" for kind, name, _ in rows]


def small_jump(**landing):
    return Jump(
        lip=Lip(angle=math.radians(28), radius=4.5),
        landing=Landing(**{"gap": 4.0, "angle": math.radians(24), "length": 4.5, **landing}),
    )


@pytest.mark.parametrize(("kind", "name", "declaration"), INPUTS, ids=names(INPUTS))
def test_every_input_says_what_it_is_and_where_its_default_comes_from(kind, name, declaration):
    assert len(declaration.help) > 5
    assert declaration.label or declaration.kind == "pieces"
    if declaration.required:
        assert declaration.default is None
    elif kind is not Piece and not (kind is Lip and name in ("radius", "height")):
        assert declaration.default is not None or declaration.default_words, "neither a default nor words for one"
    assert declaration.source


@pytest.mark.parametrize(("kind", "name", "declaration"), NUMBERS, ids=names(NUMBERS))
def test_every_number_has_bounds_and_its_default_lies_in_them(kind, name, declaration):
    low, high = declaration.bounds
    assert low < high
    if declaration.default is not None:
        assert low <= declaration.default_si <= high
    assert declaration.unit in KINDS[declaration.kind]
    assert declaration.imperial in KINDS[declaration.kind]


@pytest.mark.parametrize(("kind", "name", "declaration"), NUMBERS, ids=names(NUMBERS))
def test_what_is_told_as_allowed_is_allowed_in_every_unit(kind, name, declaration):
    for unit in KINDS[declaration.kind]:
        told = declaration.allowed(unit)
        low, high = (float(re.match(r"-?[\d.]+", part)[0]) for part in told.split(" to "))
        for end in (low, high):
            value = int(end) if declaration.kind == "count" else end
            si = check_value(value, declaration, key="it", unit=unit)
            assert si == pytest.approx(to_si(end, kind=declaration.kind, unit=unit))
        beyond = high + 0.01 * (high - low) if declaration.kind != "count" else int(high) + 1
        with pytest.raises(InputError, match="allowed"):
            check_value(beyond, declaration, key="it", unit=unit)


def test_no_key_stands_for_two_inputs_of_a_table():
    for kind in TABLES:
        keys = [key for name, declaration in declared(kind).items() for key in keys_of(name, declaration)]
        keys += [table_key(name, many=many) for name, (_, many) in tables(kind).items()]
        assert len(keys) == len(set(keys)), kind.__name__


def test_choices_contain_their_default():
    for kind, name, declaration in INPUTS:
        if declaration.choices and declaration.default is not None:
            assert declaration.default in declaration.choices, f"{kind.__name__}.{name}"


def test_keys_are_the_name_and_the_suffix_of_a_unit():
    gap = declared(Landing)["gap"]
    assert key_of("gap", gap) == "gap_m"
    assert keys_of("gap", gap) == {"gap_m": "m", "gap_cm": "cm", "gap_mm": "mm", "gap_ft": "ft", "gap_in": "in"}
    assert list(keys_of("slope", declared(Piece)["slope"])) == ["slope_deg", "slope_percent"]
    assert keys_of("surface", declared(RunIn)["surface"]) == {"surface": ""}
    assert keys_of("strokes", declared(RunIn)["strokes"]) == {"strokes": ""}
    assert (table_key("jumps", many=True), table_key("run_in", many=False)) == ("jump", "run_in")


def test_defaults_convert_to_si():
    assert declared(Rider)["mass"].default_si == 85.0
    assert declared(Air)["altitude"].default_si == 0.0
    temperature = Input(kind="temperature", help="of a test", unit="c", low=-40, high=55, default=15)
    assert temperature.default_si == pytest.approx(288.15)  # ISO 2533: 15 °C is 288.15 K
    assert temperature.bounds == pytest.approx((233.15, 328.15))


def test_a_value_is_spoken_with_its_unit():
    assert spoken(4.2, declared(Landing)["gap"]) == "4.2 m"
    assert spoken(1.2192, declared(Landing)["gap"], unit="ft") == "4 ft"
    assert spoken(math.radians(28), declared(Lip)["angle"]) == "28°"
    assert spoken(0.7, declared(Rider)["brake_use"]) == "0.7"


@pytest.mark.parametrize(
    ("make", "key", "words"),
    [
        (lambda: Rider(mass=5.0), "mass_kg", ("5 kg", "20 to 250 kg")),
        (lambda: Rider(mass="85"), "mass_kg", ("'85' is not a number", "20 to 250 kg")),
        (lambda: Rider(mass=True), "mass_kg", ("true is not a number",)),
        (lambda: Rider(mass=math.nan), "mass_kg", ("nan", "finite")),
        (lambda: Rider(mass=math.inf), "mass_kg", ("inf", "finite")),
        (lambda: Rider(mass=10**400), "mass_kg", ("more than 60 digits", "20 to 250 kg")),
        (lambda: Rider(path="jet"), "path", ("'jet'", '"bike" or "point"')),
        (lambda: RunIn(strokes=2.5), "strokes", ("2.5", "whole number")),
        (lambda: Landing(gap=0.0, angle=0.4, length=4.0), "gap_m", ("0 m", "0.05 to 60 m")),
        (lambda: Landing(gap=None, angle=0.4, length=4.0), "gap_m", ("not given", "0.05 to 60 m")),
        (lambda: Lip(angle=math.radians(80), radius=4.0), "angle_deg", ("80°", "-45 to 75°")),
        (lambda: Lip(angle=0.5, radius=4.0, height=1.0), "height_m", ("radius",)),
        (lambda: Line(title=3, jumps=(small_jump(),)), "title", ("3", "text in quotes")),
        (lambda: Line(jumps=()), "jump", ("one jump or more",)),
        (lambda: Piece(length=3.0), "", ("length",)),
        (lambda: Piece(length=3.0, slope=0.0, radius=3.0), "", ("length and radius and slope",)),
        (lambda: RunIn(pieces=()), "pieces", ("empty list",)),
        (lambda: RunIn(pieces=(Piece(radius=3.0, to_slope=0.1),)), "pieces[1]", ("first piece",)),
        (lambda: RunIn(surface="gravel", grip=0.3, rolling_resistance=0.03), "surface", ("grip",)),
        (lambda: Runout(surface="gravel", grip=0.3, rolling_resistance=0.03), "surface", ("grip",)),
        (lambda: Line(rider=None, jumps=(small_jump(),)), "rider", ("None", "must be a Rider")),
        (lambda: Line(rider=Bike(), jumps=(small_jump(),)), "rider", ("Bike()", "must be a Rider")),
        (lambda: Line(limits={}, jumps=(small_jump(),)), "limits", ("a table", "must be a Limits")),
        (lambda: Line(jumps=("x",)), "jump[1]", ("'x'", "must be a Jump")),
        (lambda: Line(jumps=(small_jump(), None)), "jump[2]", ("None", "must be a Jump")),
        (lambda: Line(jumps=[small_jump()]), "jump", ("a list", "must be a tuple of Jump")),
        (lambda: Line(jumps=None), "jump", ("None", "must be a tuple of Jump")),
        (lambda: replace(small_jump(), lip=None), "lip", ("None", "must be a Lip")),
        (lambda: replace(small_jump(), lip=Lip), "lip", ("must be a Lip",)),
        (lambda: replace(small_jump(), lip=small_jump().landing), "lip", ("Landing(gap=4 m", "must be a Lip")),
        (lambda: replace(small_jump(), runout=0), "runout", ("0", "must be a Runout")),
        (lambda: RunIn(pieces=[Piece(length=3.0, slope=0.0)]), "pieces", ("a list", "must be a tuple of Piece")),
        (lambda: RunIn(pieces=(Piece(length=3.0, slope=0.0), "x")), "pieces[2]", ("'x'", "must be a Piece")),
        (lambda: RunIn(pieces=3), "pieces", ("3", "must be a tuple of Piece")),
        (lambda: RunIn(stakes=(("a", 0.0),)), "stakes_m[1]", ("'a' is not a number", "[along, fall]")),
        (lambda: RunIn(stakes=((0.0, 0.0), (1.0, True))), "stakes_m[2]", ("true is not a number",)),
        (lambda: RunIn(stakes=((0.0, 0.0), (1.0, math.nan))), "stakes_m[2]", ("finite",)),
        (lambda: RunIn(stakes=((0.0, 0.0), (1.0,))), "stakes_m[2]", ("pair of numbers",)),
        (lambda: RunIn(stakes=((0.0, 0.0), [1.0, 0.1])), "stakes_m", ("tuple of pairs",)),
        (lambda: RunIn(stakes=[(0.0, 0.0), (1.0, 0.1)]), "stakes_m", ("a list", "tuple of pairs")),
        (lambda: Runout(stakes=np.zeros((2, 2))), "stakes_m", ("array", "tuple of pairs")),
        (lambda: Runout(stakes=5), "stakes_m", ("5", "tuple of pairs")),
        (lambda: Rider(mass=np.array([80.0])), "mass_kg", ("a list is not a number", "20 to 250 kg")),
        (lambda: Rider(mass=np.float64("nan")), "mass_kg", ("nan", "finite")),
        (lambda: Rider(mass=np.int64(5)), "mass_kg", ("5 kg", "20 to 250 kg")),
        (lambda: Rider(mass=np.bool_(True)), "mass_kg", ("true is not a number",)),
        (lambda: Rider(mass=80 + 0j), "mass_kg", ("is not a number",)),
        (lambda: Rider(mass=np.ndarray), "mass_kg", ("is not a number",)),
        (lambda: replace(small_jump(), way_round=1), "way_round", ("1", "true or false")),
    ],
)
def test_an_object_that_exists_is_valid(make, key, words):
    with pytest.raises(InputError) as caught:
        make()
    assert caught.value.key == key
    assert all(word in caught.value.text for word in words), caught.value.text
    assert isinstance(caught.value, ValueError) and isinstance(caught.value, JumpcalcError)


ODD = [None, 0, -1.5, True, "x", b"x", (), [], {}, [1], (1,), ((0, 0), (1, 1)), math.nan, 10**400, 2j, object(), Lip, np.zeros(3),
       np.float64(1), np.array(2), np.bool_(False), np.str_("both"), Rider(), Air(), (Rider(),), Piece(length=3.0, slope=0.0),
       (Piece(length=3.0, slope=0.0),), np.datetime64("2026-10-03"), np.ma.masked]  # fmt: skip


@pytest.mark.parametrize("kind", TABLES, ids=lambda kind: kind.__name__)
def test_whatever_is_given_it_is_refused_in_one_line_or_kept_as_python_s_own(kind):
    lip, landing = Lip(angle=0.5, radius=4.0), small_jump().landing
    good = {Line: {"jumps": (small_jump(),)}, Jump: {"lip": lip, "landing": landing}, Piece: {"length": 3.0, "slope": 0.0}}
    for name in kind.__dataclass_fields__:
        for odd in ODD:
            base = {Lip: lip, Landing: landing}.get(kind) or kind(**good.get(kind, {}))
            try:
                made = replace(base, **{name: odd})
            except InputError as error:
                assert str(error).isprintable() and len(str(error)) < 300
                assert error.key or kind is Piece, "no key named"
            else:
                assert deep(made), f"{name}={odd!r}"
                assert repr(made)


def deep(value):
    """Whether nothing but Python's own numbers, words and tuples, and tables of them, is kept."""
    if type(value) is tuple:
        return all(map(deep, value))
    if isinstance(value, tuple(TABLES)):
        return all(deep(getattr(value, name)) for name in value.__dataclass_fields__)
    return value is None or type(value) in (float, int, bool, str)


def test_numbers_of_any_make_are_kept_as_python_s_own():
    plain = RunIn(start_speed=2.0, strokes=3, grip=0.25, surface="gravel", stakes=((0.0, 0.0), (4.0, 1.0)))
    made = RunIn(
        start_speed=np.float32(2), strokes=np.int8(3), grip=np.array(0.25), surface=np.str_("gravel"),
        stakes=((0, np.int64(0)), (np.float64(4), np.array(1))),
    )  # fmt: skip
    assert made == plain and deep(made)
    assert type(Rider(mass=80).mass) is float and type(RunIn(strokes=3.0).strokes) is int
    assert type(replace(small_jump(), way_round=np.bool_(True)).way_round) is bool
    assert math.copysign(1, Air(tailwind=-0.0).tailwind) == 1


def test_tables_are_made_from_keys_with_units():
    assert Lip.of(angle_deg=28, radius_cm=360) == Lip(angle=math.radians(28), radius=3.6)
    assert Air.of(tailwind_kmh=-36, temperature_f=59, altitude_m=None) == Air(tailwind=-10.0, temperature=288.15)
    assert Rider.of(mass_kg=np.int64(80)) == Rider(mass=80.0)
    piece = Piece.of(length_m=4, slope_percent=-100)
    assert piece.slope == -math.pi / 4
    run_in = RunIn.of(strokes=2, pieces=[piece, {"radius_m": 9, "to_slope_deg": 0}])
    assert run_in.pieces == (piece, Piece(radius=9.0, to_slope=0.0))
    assert Runout.of(stakes_ft=np.array([[0, 0], [100, 5]])).stakes[1] == pytest.approx((30.48, 1.524), abs=1e-12)
    jump = Jump.of(lip=Lip.of(angle_deg=28, radius_m=4.5), landing={"gap_m": 4, "angle_deg": 24, "length_m": 4.5})
    assert jump == small_jump()
    assert Line.of(title="t", jump=[jump, jump], run_in=run_in) == Line(title="t", jumps=(jump, jump), run_in=run_in)


@pytest.mark.parametrize(
    ("make", "key", "words"),
    [
        (lambda: Lip.of(angle_deg=80, radius_m=3), "angle_deg", ("80°", "-45 to 75°")),
        (lambda: Lip.of(angle_percent=900, radius_m=3), "angle_percent", ("900 %", "%")),
        (lambda: Lip.of(angle=28, radius_m=3), "angle", ("no unit given", "angle_deg or angle_percent")),
        (lambda: Lip.of(angel_deg=28, radius_m=3), "angel_deg", ("did you mean 'angle_deg'",)),
        (lambda: Lip.of(angle_rad=0.5, radius_m=3), "angle_rad", ("unknown", "angle_deg")),
        (lambda: Lip.of(angle_deg=28, angle_percent=50, radius_m=3), "angle_percent", ("as angle_deg",)),
        (lambda: Lip.of(angle_deg=28, radius_m=3, height_ft=3), "height_ft", ("beside radius",)),
        (lambda: Lip.of(radius_m=3), "angle_deg", ("not given",)),
        (lambda: Lip.of(mass_kg=None), "mass_kg", ("unknown key",)),
        (lambda: Jump.of(landing=small_jump().landing), "lip", ("not given", "angle_deg")),
        (lambda: Jump.of(lip={"angle_deg": 99}, landing=small_jump().landing), "lip.angle_deg", ("99°", "75°")),
        (lambda: Jump.of(lip=Rider(), landing=small_jump().landing), "lip", ("Rider()", "one table")),
        (lambda: Line.of(jumps=[small_jump()]), "jumps", ("did you mean 'jump'",)),
        (lambda: Line.of(jump=small_jump()), "jump", ("a single Jump; give a list",)),
        (lambda: Line.of(jump=[small_jump(), 3]), "jump[2]", ("3", "must be a table")),
        (lambda: Line.of(jump=[small_jump()], mass_kg=80), "mass_kg", ("belongs in rider",)),
        (lambda: Line.of(), "jump", ("one jump or more",)),
    ],
)
def test_keys_with_units_are_refused_as_in_a_line_file(make, key, words):
    with pytest.raises(InputError) as caught:
        make()
    assert caught.value.key == key
    assert all(word in caught.value.text for word in words), caught.value.text


def test_a_table_shows_what_is_given_and_no_more():
    assert repr(Rider()) == "Rider()"
    assert repr(Lip(angle=math.radians(28), radius=3.6)) == "Lip(angle=28°, radius=3.6 m)"
    assert repr(Air(tailwind=-2.5, temperature=273.15)) == "Air(temperature=0 °C, tailwind=-9 km/h)"
    assert repr(Bike(kind="dirt jump", sag=0.3)) == "Bike(kind='dirt jump', sag=30 %)"
    assert repr(RunIn(strokes=3, stakes=((0.0, 0.0), (1.0, 0.2)))) == "RunIn(strokes=3, 2 stakes)"
    shown = "Jump(lip=Lip(angle=28°, radius=4.5 m), landing=Landing(gap=4 m, angle=24°, length=4.5 m))"
    assert repr(small_jump()) == shown
    ground = Runout(pieces=(Piece(length=9.0, slope=0.0),))
    assert repr(replace(small_jump(), runout=ground, way_round=True)) == shown[:-1] + ", runout=Runout(1 piece), way_round=true)"
    assert repr(Line(title="Clay Pit", jumps=(small_jump(),))) == "Line('Clay Pit', 1 jump)"
    assert repr(Line(jumps=(small_jump(), small_jump()))) == "Line(untitled, 2 jumps)"


def test_an_error_can_be_put_under_a_table_and_in_a_file():
    error = InputError("5 kg; allowed 20 to 250 kg", key="mass_kg").under("rider")
    assert str(error) == "rider.mass_kg: 5 kg; allowed 20 to 250 kg"
    assert InputError("has nothing", key="").under("run_in.pieces[2]").key == "run_in.pieces[2]"
    in_file = FileError(error.text, file="a.toml", key=error.key)
    assert str(in_file) == "a.toml: rider.mass_kg: 5 kg; allowed 20 to 250 kg"


def test_paths_of_given_inputs_count_jumps_from_one():
    paths = [path for path, _, _ in given(Line(jumps=(small_jump(), small_jump(gap=5.0))))]
    assert paths[:2] == ["title", "place"]
    assert {"rider.mass_kg", "run_in.pieces", "jump[1].lip.angle_deg", "jump[2].landing.gap_m"} <= set(paths)
    values = {path: value for path, _, value in given(Line(jumps=(small_jump(), small_jump(gap=5.0))))}
    assert [values[f"jump[{number}].landing.gap_m"] for number in (1, 2)] == [4.0, 5.0]
    assert values["rider.mass_kg"] is None


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (True, "true"),
        (3, "3"),
        ("a\nb", r"'a\nb'"),
        ("x" * 500, "'" + "x" * 58 + "…"),
        ({"a": 1}, "a table"),
        ([1], "a list"),
        (np.zeros((2, 2)), "array([[0., 0.], [0., 0.]])"),
        (16**60, "a whole number of more than 60 digits"),
    ],
)
def test_what_was_given_is_echoed_on_one_short_line(value, shown):
    assert echo(value) == shown
    assert len(echo(value)) <= 60
