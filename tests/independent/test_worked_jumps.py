"""Jumps worked by hand without drag: where they land and as hard as a drop of what height (g 9.81).

The form of the equivalent fall height is held in `tests/published/test_hubbard2009.py`.
"""

import math

import pytest

from jumpcalc.physics.body import POINT, depart
from jumpcalc.physics.flight import Touchdown, touchdown
from jumpcalc.physics.ground import GroundLine, Straight, chain
from jumpcalc.physics.impact import equivalent_fall, into_ground

GRAVITY = 9.81


def land(speed: float, degrees: float, ground: GroundLine) -> Touchdown:
    start = depart(POINT, speed, angle=math.radians(degrees), gap=5.0, fall=0.0, gravity=GRAVITY)
    return touchdown(start, ground, gravity=GRAVITY)


def fall_height(landed: Touchdown, degrees: float) -> float:
    """Equivalent fall height [m] on ground falling so many degrees."""
    speed = into_ground(landed.v_x[0], landed.v_z[0], fall=math.radians(degrees))
    return float(equivalent_fall(speed, gravity=GRAVITY))


def test_8_metres_a_second_25_degrees_level():
    landed = land(8.0, 25, chain([Straight(length=20.0, slope=0.0)]))
    assert landed.x[0] == pytest.approx(4.9976, abs=5e-5)
    assert landed.time[0] == pytest.approx(0.6893, abs=5e-5)
    assert landed.apex[0] == pytest.approx(0.5826, abs=5e-5)
    for degrees, height in ((0, 0.5826), (10, 0.2185), (15, 0.0984), (25, 0.0)):
        assert fall_height(landed, degrees) == pytest.approx(height, abs=5e-5)


def test_10_metres_a_second_20_degrees_2_metres_lower():
    landed = land(10.0, 20, chain([Straight(length=20.0, slope=0.0)], z=-2.0))
    assert landed.time[0] == pytest.approx(1.0762, abs=5e-5)
    assert landed.x[0] == pytest.approx(10.1127, abs=5e-5)
    assert math.hypot(landed.v_x[0], landed.v_z[0]) == pytest.approx(11.800, abs=5e-4)
    assert math.degrees(math.atan2(landed.v_z[0], landed.v_x[0])) == pytest.approx(-37.217, abs=5e-4)
    assert fall_height(landed, 30) == pytest.approx(0.1120, abs=5e-5)
    assert fall_height(landed, 0) == pytest.approx(2.5962, abs=5e-5)


class TestDeckOf5Metres:
    """A deck of 5 m, a face of 25° and 4 m level, then flat ground; lip 25°."""

    face = 4 / math.cos(math.radians(25))
    ground = chain(
        [
            Straight(length=5.0, slope=0.0, name="deck"),
            Straight(length=face, slope=-math.radians(25), name="face"),
            Straight(length=20.0, slope=0.0, name="flat"),
        ]
    )

    def test_face_along(self):
        assert pytest.approx(4.4135, abs=5e-5) == self.face

    def test_8_lands_on_the_deck_2_millimetres_before_its_edge(self):
        landed = land(8.0, 25, self.ground)
        assert self.ground.names[landed.piece[0]] == "deck"
        assert 5.0 - landed.x[0] == pytest.approx(0.002, abs=5e-4)

    def test_8_5_lands_on_the_face(self):
        landed = land(8.5, 25, self.ground)
        assert self.ground.names[landed.piece[0]] == "face"
        assert fall_height(landed, 25) == pytest.approx(0.246, abs=5e-4)

    def test_9_overshoots_by_a_tenth_of_a_metre_and_hits_ten_times_as_hard(self):
        landed = land(9.0, 25, self.ground)
        assert self.ground.names[landed.piece[0]] == "flat"
        assert landed.x[0] - 9.0 == pytest.approx(0.10, abs=5e-3)
        assert fall_height(landed, 0) == pytest.approx(2.603, abs=5e-4)


@pytest.mark.parametrize(("speed", "past"), [(8.4710 - 6e-4, False), (8.4710 + 6e-4, True)])
def test_path_that_skips_the_top_of_a_steep_face(speed, past):
    # lip 15°, knuckle (4, −0.1), face 35°: above 8.4710 m/s (g 9.80665) nothing touches nearer than 6.372 m along
    gravity = 9.80665
    deck = chain([Straight(length=math.hypot(4.0, 0.1), slope=-math.atan2(0.1, 4.0), name="deck"),
                  Straight(length=30.0, slope=-math.radians(35), name="face")])
    start = depart(POINT, speed, angle=math.radians(15), gap=4.0, fall=0.0, gravity=gravity)
    landed = touchdown(start, deck, gravity=gravity)
    along = deck.distance_over(landed.x, landed.piece) - deck.start[1]
    assert (along[0] >= 6.372 - 5e-4) if past else (along[0] < 0)
