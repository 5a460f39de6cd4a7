"""The scripts beside the line files run, as anyone would start them."""

import subprocess
import sys
from pathlib import Path

import pytest

EXAMPLES = Path(__file__).parents[1] / "examples"


def run(*words):
    return subprocess.run([sys.executable, *map(str, words)], cwd=EXAMPLES.parent, capture_output=True, text=True, timeout=120)


@pytest.mark.parametrize("line", [[], [EXAMPLES / "low_drop.toml"]], ids=["first gap", "drop"])
def test_landings_over_speed(tmp_path, line):
    out = tmp_path / "landings.png"
    done = run(EXAMPLES / "landings_over_speed.py", out, *line)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    assert out.read_bytes().startswith(b"\x89PNG") and out.stat().st_size > 20_000


def test_without_a_file_it_says_what_it_needs():
    done = run(EXAMPLES / "landings_over_speed.py")
    assert done.returncode == 1 and "Traceback" not in done.stderr and "give the picture's file" in done.stderr
