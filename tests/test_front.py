"""The front door of the library: few names, none of them slow to come by."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

import jumpcalc

ROOT = Path(__file__).parents[1]


def loaded(code):
    """What a fresh interpreter has loaded after some code."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    code += "; import sys; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=environment, timeout=60, check=True)
    return set(done.stdout.split())


def test_there_are_few_names_and_all_are_there():
    assert 18 <= len(jumpcalc.__all__) <= 25 and len(set(jumpcalc.__all__)) == len(jumpcalc.__all__)
    assert {"read_line", "write_line", "solve", "Answer", "MODEL_DATE", "JumpcalcError", "InputError", "FileError"} <= set(jumpcalc.__all__)
    assert set(jumpcalc.__all__) <= set(dir(jumpcalc))
    starred = {}
    exec("from jumpcalc import *", starred)
    assert {name: getattr(jumpcalc, name) for name in jumpcalc.__all__}.items() <= starred.items()
    with pytest.raises(AttributeError, match="module 'jumpcalc' has no attribute 'sovle'"):
        jumpcalc.sovle  # noqa: B018


def test_a_line_is_read_written_and_solved_through_it(tmp_path):
    line = jumpcalc.read_line(ROOT / "examples" / "first_gap.toml")
    (tmp_path / "copy.toml").write_text(jumpcalc.write_line(line), encoding="utf-8")
    assert jumpcalc.read_line(tmp_path / "copy.toml") == line
    assert jumpcalc.solve(line).jumps[0].window.speeds is not None


def test_an_answer_is_shown_in_a_line():
    line = jumpcalc.read_line(ROOT / "examples" / "two_in_a_row.toml")
    shown = repr(jumpcalc.solve(line))
    slow = jumpcalc.solve(line).jumps[1].window.speeds.min
    assert shown.startswith("Answer(Line('Clay Pit two in a row', 2 jumps), ") and f"{slow:.4g} to " in shown and len(shown) < 200


def test_the_package_itself_loads_nothing():
    assert not {"numpy", "scipy", "jumpcalc.front"} & loaded("import jumpcalc; jumpcalc.__version__")


def test_no_name_loads_figures_or_the_page():
    assert not {"matplotlib", "streamlit", "pandas"} & loaded("from jumpcalc import *")


def test_rooms_are_still_found_by_name():
    assert "jumpcalc.plan.inputs" in loaded("from jumpcalc import plan; import jumpcalc.plan.inputs")
