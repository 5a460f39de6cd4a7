"""Grip of motor-vehicle tyres, the only kind that is published.

R. Noon, *Engineering Analysis of Vehicular Accidents* (1994), quoted: gravel and dirt road 0.35, wet grass 0.20, dry
asphalt 0.65. Nothing citable exists for bicycle tyres on wood.
"""

import pytest

from jumpcalc.plan.inputs.surfaces import SURFACES


@pytest.mark.parametrize(
    ("surface", "grip"),
    [("hardpack", 0.35), ("gravel", 0.35), ("wet grass or clay", 0.20), ("asphalt", 0.65), ("dry wood", None)],
)
def test_grip(surface, grip):
    assert SURFACES[surface].grip == grip
    assert "Noon" in SURFACES[surface].grip_source or grip is None


def test_what_is_not_quoted_is_called_an_assumption():
    for name in ("loose or fresh dirt", "short grass"):
        assert SURFACES[name].grip_source == "assumption"
