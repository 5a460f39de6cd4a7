"""Braking limits of a seated rider.

D. G. Wilson, *Bicycling Science*, 3rd ed. (MIT Press, 2004), chapter on braking (from memory, recomputed):
wheelbase 1067 mm, centre of mass 432 mm ahead of the rear axle and 1143 mm high → 0.56 g; rear brake alone,
μ 0.8 → 0.256 g.
"""

import pytest

from jumpcalc.physics.roller import brake_limit

BIKE = {"height": 1.143, "behind_front": 1.067 - 0.432, "wheelbase": 1.067}


@pytest.mark.parametrize(
    ("brakes", "published", "half_digit"), [("both", 0.56, 0.005), ("front", 0.56, 0.005), ("rear", 0.256, 5e-4)]
)
def test_limit(brakes, published, half_digit):
    assert brake_limit(grip=0.8, brakes=brakes, **BIKE) == pytest.approx(published, abs=half_digit)


@pytest.mark.parametrize("grip", [0.1, 0.35, 0.5])
def test_below_tipping_by_the_loads_of_the_wheels(grip):
    # forces and moments solved here, in multiples of the weight: front load F, rear load R, braking b
    w, h, l_f = (BIKE[name] for name in ("wheelbase", "height", "behind_front"))
    rear = brake_limit(grip=grip, brakes="rear", **BIKE)
    assert rear == pytest.approx(grip * (l_f - rear * h) / w)  # R = (l_f − b h)/w, slides at b = μ R
    front = brake_limit(grip=grip, brakes="front", **BIKE)
    assert front == pytest.approx(grip * (w - l_f + front * h) / w)  # F = (w − l_f + b h)/w
    assert brake_limit(grip=grip, brakes="both", **BIKE) == pytest.approx(grip)
