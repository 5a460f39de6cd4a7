"""Declarations: one for each input, consistent in themselves, and what is refused by them."""

import math
import re

import pytest

from jumpcalc.errors import FileError, InputError, JumpcalcError
from jumpcalc.plan.inputs.declare import (
    Input,
    check_value,
    declared,
    echo,
    given,
    key_of,
    keys_of,
    spoken,
    table_key,
    tables,
)
from jumpcalc.plan.inputs.line import Air, Jump, Landing, Limits, Line, Lip, Piece, Rider, RunIn, Runout
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
    assert declared(Limits)["equivalent_fall"].default_si == 1.0
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
    ],
)
def test_an_object_that_exists_is_valid(make, key, words):
    with pytest.raises(InputError) as caught:
        make()
    assert caught.value.key == key
    assert all(word in caught.value.text for word in words), caught.value.text
    assert isinstance(caught.value, ValueError) and isinstance(caught.value, JumpcalcError)


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
        (16**60, "a whole number of more than 60 digits"),
    ],
)
def test_what_was_given_is_echoed_on_one_short_line(value, shown):
    assert echo(value) == shown
    assert len(echo(value)) <= 60
