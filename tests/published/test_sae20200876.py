"""Measured braking on dry asphalt.

SAE 2020-01-0876 (2020), abstract: both brakes 0.40 to 0.71 g, rear alone 0.25 to 0.37 g. The bikes' measures are not
given there; those used here are of the benchmark bicycle with a seated rider, J. P. Meijaard et al., Proc. R. Soc. A
463 (2007): wheelbase 1.02 m, centre of mass 0.861 m high and 0.342 m ahead of the rear contact (recomputed from its
printed parts).
"""

import pytest

from jumpcalc.physics.roller import brake_limit
from jumpcalc.plan.inputs.surfaces import SURFACES

SEATED = {"height": 0.861, "behind_front": 1.02 - 0.342, "wheelbase": 1.02}


@pytest.mark.parametrize(("brakes", "least", "most"), [("both", 0.40, 0.71), ("rear", 0.25, 0.37)])
def test_within_what_was_measured(brakes, least, most):
    assert least <= brake_limit(grip=SURFACES["asphalt"].grip, brakes=brakes, **SEATED) <= most


@pytest.mark.xfail(
    strict=True,
    reason="the rider assumed here stands with the weight higher and farther forward than a seated one: 0.22 g with "
    "the rear brake alone, which asks for more room",
)
def test_standing_rider_with_a_rear_brake():
    assert brake_limit(grip=0.65, brakes="rear", height=1.05, behind_front=0.62, wheelbase=1.17) >= 0.25
