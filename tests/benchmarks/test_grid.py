"""A few lines of the grid, the same every time; many more by ``python tests/benchmarks/grid.py``. Of the first 24 none had a fault."""

import pytest
from grid import faults, lines

LINES, GROUPS = 10, 5


@pytest.mark.parametrize("group", range(GROUPS))
def test_answers_of_random_lines_hold(group):
    wrong = {k: faults(text) for k, text in enumerate(lines(LINES, 10)) if k % GROUPS == group}
    assert {k: found for k, found in wrong.items() if found not in ([], ["refused"])} == {}


def test_two_jumps_with_stakes_between_have_every_output():
    """Stakes lie on arcs flatter and on straights shorter than anyone measures."""
    staked = """
[[jump]]
lip = { angle_deg = 25, radius_m = 5 }
landing = { gap_m = 3, angle_deg = 20, length_m = 5 }
[jump.runout]
stakes_m = [ [0, 0], [5.9, 0.44], [10.84, 0.78], [18.44, 1.21], [22.41, 1.37], [25.95, 1.48] ]
[[jump]]
lip = { angle_deg = 20, radius_m = 6 }
landing = { gap_m = 3, angle_deg = 20, length_m = 5 }
[jump.runout]
pieces = [ { length_m = 30, slope_deg = 0 } ]
[run_in]
pieces = [ { length_m = 25, slope_deg = -12 }, { radius_m = 15, to_slope_deg = 0 }, { length_m = 4, slope_deg = 0 } ]
"""
    assert faults(staked) == []
