"""Pins, made by our own code: when an answer changes, `MODEL_DATE` does, and cards printed before no longer match.

Made anew by ``python tests/test_model_date.py``, only together with a new date.
"""

import json
from pathlib import Path

import pytest

from jumpcalc import MODEL_DATE, read_line, solve

ROOT = Path(__file__).parents[1]
PINS = Path(__file__).with_suffix(".json")
LINES = ("first_gap", "low_drop", "step_up_table", "two_in_a_row")


def told(name):
    """A few numbers of each jump of an example, to a thousandth: coarser than any rounding of the machine."""
    answer = solve(read_line(ROOT / "examples" / f"{name}.toml"))
    numbers = []
    for jump in answer.jumps:
        speeds, foot = jump.window.speeds, jump.window.foot
        numbers += [speeds.min, speeds.aim, speeds.max, foot.aim, *jump.sure, jump.stop.total, jump.landings[1].equivalent_fall]
    numbers += [mark for mark in answer.jumps[0].run_in.marks if mark is not None]
    return [round(number, 3) for number in numbers]


@pytest.mark.parametrize("name", LINES)
def test_answers_are_those_of_the_model_date(name):
    pins = json.loads(PINS.read_text(encoding="utf-8"))
    assert pins["model_date"] == MODEL_DATE, "a new model date: make the pins anew"
    assert told(name) == pytest.approx(pins[name], abs=2e-3), "answers changed: give plan/solve.py a new MODEL_DATE and make the pins anew"


if __name__ == "__main__":
    made = {"model_date": MODEL_DATE, **{name: told(name) for name in LINES}}
    PINS.write_text(json.dumps(made, indent=1) + "\n", encoding="utf-8")
