"""Units against NIST SP 811 (2008), appendix B, where a factor is exact or printed to seven digits."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from jumpcalc.units import IMPERIAL, KINDS, METRIC, STANDARD_GRAVITY, from_si, shortest_in, to_si

# kind, unit, factor to SI as printed in NIST SP 811 appendix B.8, relative half of the last printed digit (0: exact)
FACTORS = [
    ("length", "m", 1.0, 0),
    ("length", "cm", 1e-2, 0),
    ("length", "mm", 1e-3, 0),
    ("length", "ft", 3.048e-1, 0),
    ("length", "in", 2.54e-2, 0),
    ("speed", "kmh", 2.777778e-1, 1e-7),
    ("speed", "mph", 4.4704e-1, 0),
    ("speed", "mps", 1.0, 0),
    ("mass", "kg", 1.0, 0),
    ("mass", "lb", 0.45359237, 0),
    ("volume", "m3", 1.0, 0),
    ("volume", "yd3", 7.645549e-1, 1e-7),
    ("area", "m2", 1.0, 0),
    ("area", "ft2", 9.290304e-2, 0),
    ("angle", "deg", 1.745329e-2, 3e-7),
    ("time", "s", 1.0, 0),
    ("energy", "j", 1.0, 0),
    ("share", "percent", 1e-2, 0),
]
NUMBERS = st.floats(-1e4, 1e4, allow_nan=False).map(lambda v: float(f"{v:.6g}"))
PAIRS = [(kind, unit) for kind, units in KINDS.items() for unit in units]


@pytest.mark.parametrize(("kind", "unit", "factor", "relative"), FACTORS)
def test_factor_of_nist_sp_811(kind, unit, factor, relative):
    assert to_si(1.0, kind=kind, unit=unit) == pytest.approx(factor, rel=relative or 1e-15)
    assert to_si(250.0, kind=kind, unit=unit) == pytest.approx(250 * factor, rel=relative or 1e-15)


def test_every_unit_but_the_unitless_and_the_curved_ones_is_in_the_list_above():
    listed = {(kind, unit) for kind, unit, _, _ in FACTORS}
    others = {("angle", "percent"), ("temperature", "c"), ("temperature", "f"), ("number", ""), ("count", "")}
    assert listed | others == set(PAIRS)


def test_a_mile_is_1609_344_m():
    """NIST SP 811 appendix B.8: 1 mi = 1.609344 km; an hour of 1 mph covers it."""
    assert to_si(1.0, kind="speed", unit="mph") * 3600 == pytest.approx(1609.344, rel=1e-15)


def test_standard_gravity_is_that_of_nist_sp_811():
    assert STANDARD_GRAVITY == 9.80665


@pytest.mark.parametrize(
    ("kind", "unit", "name"),
    [
        ("length", "cm", "centi"),
        ("length", "mm", "milli"),
        ("length", "ft", "foot"),
        ("length", "in", "inch"),
        ("speed", "kmh", "kmh"),
        ("speed", "mph", "mph"),
        ("mass", "lb", "pound"),
        ("angle", "deg", "degree"),
    ],
)
def test_constants_are_those_of_scipy(kind, unit, name):
    # scipy makes its foot of twelve rounded inches
    assert to_si(1.0, kind=kind, unit=unit) == pytest.approx(getattr(constants, name), rel=3e-16)


def test_gravity_and_the_zero_of_celsius_are_those_of_scipy():
    assert constants.g == STANDARD_GRAVITY
    assert to_si(0.0, kind="temperature", unit="c") == constants.zero_Celsius


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"),
    [(32.0, 0.0), (212.0, 100.0), (-40.0, -40.0), (98.6, 37.0)],  # t/°C = (t/°F − 32)/1.8, NIST SP 811 B.8
)
def test_temperatures(fahrenheit, celsius):
    kelvin = celsius + 273.15
    assert to_si(celsius, kind="temperature", unit="c") == pytest.approx(kelvin, abs=1e-12)
    assert to_si(fahrenheit, kind="temperature", unit="f") == pytest.approx(kelvin, abs=1e-12)
    assert from_si(kelvin, kind="temperature", unit="f") == pytest.approx(fahrenheit, abs=1e-11)


@pytest.mark.parametrize(
    ("percent", "degrees"),
    [(100.0, 45.0), (-100.0, -45.0), (0.0, 0.0), (100 * math.sqrt(3), 60.0), (100 / math.sqrt(3), 30.0)],
)
def test_percent_of_slope_is_rise_over_level_run(percent, degrees):
    """Exact values of the tangent; a percentage along the slope would be a sine."""
    assert to_si(percent, kind="angle", unit="percent") == pytest.approx(math.radians(degrees), abs=1e-15)
    assert from_si(math.radians(degrees), kind="angle", unit="percent") == pytest.approx(percent, abs=1e-12)


@given(number=NUMBERS, pair=st.sampled_from(PAIRS))
def test_there_and_back(number, pair):
    kind, unit = pair
    back = from_si(to_si(number, kind=kind, unit=unit), kind=kind, unit=unit)
    # a slope of 1e4 % is within a hundredth of upright, where the tangent is steep
    assert back == pytest.approx(number, rel=1e-9, abs=1e-9)


@given(number=NUMBERS, pair=st.sampled_from(PAIRS))
def test_shortest_number_is_as_short_as_what_was_typed_and_means_the_same(number, pair):
    kind, unit = pair
    value = to_si(number, kind=kind, unit=unit)
    short = shortest_in(value, kind=kind, unit=unit)
    assert to_si(short, kind=kind, unit=unit) == value
    assert short == float(f"{short:.6g}"), "six digits were typed"


@given(value=st.floats(0.01, 1000))
def test_shortest_number_in_an_si_unit_is_any_number_itself(value):
    assert shortest_in(value, kind="length", unit="m") == value


def test_metric_and_imperial_name_a_unit_of_every_kind():
    for suffixes in (METRIC, IMPERIAL):
        assert set(suffixes) == set(KINDS)
        assert all(suffixes[kind] in KINDS[kind] for kind in KINDS)
    assert [IMPERIAL[kind] for kind in ("length", "speed", "mass", "temperature")] == ["ft", "mph", "lb", "f"]
