"""The README says only what is true: its tables, example output and list of simplifications are made, not typed."""

from pathlib import Path

import pytest

from jumpcalc import solve
from jumpcalc.plan.inputs.declare import given
from jumpcalc.show import words
from jumpcalc.show.files.linefile import read_line
from jumpcalc.show.readme import inputs_markdown, refreshed, surfaces_markdown
from jumpcalc.show.words.report import report

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_tables_are_those_of_the_declarations():
    assert inputs_markdown() in README
    assert surfaces_markdown() in README
    assert refreshed(README) == README


def test_every_input_of_a_line_has_its_row():
    line = read_line(ROOT / "examples" / "first_gap.toml")
    for path, _, _ in given(line):
        assert f"`{path.replace('[1]', '')}`" in README


def test_worked_example_is_what_is_printed():
    assert report(solve(read_line(ROOT / "examples" / "first_gap.toml"))) in README


def test_simplifications_are_listed():
    for text in words.LEFT_OUT:
        assert f"- {text}" in README


@pytest.mark.parametrize("command", ["streamlit run app.py", "bash tests/run"])
def test_the_two_commands_stand_there(command):
    assert command in README


def test_the_picture_is_there():
    assert (ROOT / "examples" / "first_gap.svg").is_file()
