"""A line with other values: told by key path, in the unit of the key, all at once."""

import math
from pathlib import Path

import pytest

from jumpcalc import Bike, InputError, Runout, read_line, vary
from jumpcalc.plan.vary import with_bike

LINE = read_line(Path(__file__).parents[1] / "examples" / "first_gap.toml")


def test_values_come_in_the_unit_of_their_key():
    new = vary(LINE, {"jump[1].landing.gap_ft": 15, "air.tailwind_kmh": -18, "jump[1].lip.angle_percent": 50})
    assert new.jumps[0].landing.gap == pytest.approx(15 * 0.3048)
    assert new.air.tailwind == pytest.approx(-5)
    assert new.jumps[0].lip.angle == pytest.approx(math.atan(0.5))
    assert new.jumps[0].landing.angle == LINE.jumps[0].landing.angle and new.title == LINE.title


def test_no_change_is_the_same_line():
    assert vary(LINE, {}) == LINE


def test_whole_tables_and_what_stands_in_them():
    new = vary(LINE, {"bike": Bike(kind="dirt jump"), "bike.wheelbase_m": 1.1, "jump[1].runout": Runout()})
    assert new.bike == Bike(kind="dirt jump", wheelbase=1.1) and new.jumps[0].runout == Runout()
    assert with_bike(LINE, "full suspension").bike == Bike(kind="full suspension")


def test_none_takes_a_value_away():
    assert vary(LINE, {"rider.mass_kg": None}).rider.mass is None


def test_values_that_only_go_together_are_changed_together():
    new = vary(LINE, {"jump[1].lip.radius_m": None, "jump[1].lip.height_m": 1.2})
    assert new.jumps[0].lip.radius is None and new.jumps[0].lip.height == 1.2


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"air.tailwind": 3}, "air.tailwind: no such key"),
        ({"jump[2].landing.gap_m": 3}, "jump[2].landing.gap_m: there is no such one; there are 1"),
        ({"jump.landing.gap_m": 3}, "jump.landing.gap_m: there is no such one"),
        ({"jump[1].landing.gap_m": 300}, "jump[1].landing.gap_m: 300 m; allowed 0.05 to 60 m"),
        ({"rider.mass_lb": "heavy"}, "rider.mass_lb"),
        ({"jump[1].lip.height_m": 1.2}, "jump[1].lip.height_m: given beside radius"),
        ({"": 1}, "no key path"),
        ({"a b": 1}, "no key path"),
        ({"bike": "hardtail"}, "bike"),
    ],
)
def test_refused(changes, said):
    with pytest.raises(InputError) as error:
        vary(LINE, changes)
    assert said in str(error.value)
