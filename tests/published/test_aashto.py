"""Stopping sight distance on bicycle paths.

AASHTO, *Guide for the Development of Bicycle Facilities*: S[ft] = V²/(30 (f ± G)) + 3.67 V with V in mph
(formula from memory), reaction 2.5 s, f = 0.25; 127 ft (38.7 m) at 20 mph, wet, level (quoted by
FHWA-HRT-04-103).

Where ours and the formula agree, and where not:

* the 30 is 2 g in its units rounded, g 9.835 m/s²: it is passed in here;
* f ± G is the slope's exact effect on the *level* length of the braking distance; along the ground ours is
  longer by 1/cosβ, 0.5 % on 10 %;
* the formula's reaction is v t on any slope; ours rolls on and gains or loses speed, so on a slope only the
  braking is compared.
"""

import math

import pytest

from jumpcalc.physics.ground import Straight, chain
from jumpcalc.physics.roller import Roller
from jumpcalc.physics.rolling import roll

FOOT, MPH = 0.3048, 0.44704  # m, m/s: NIST SP 811
GRAVITY = 30 * MPH**2 / (2 * FOOT)
F, REACTION = 0.25, 2.5

GRADES = (-0.10, -0.05, 0.0, 0.05, 0.10)


def formula(mph: float, grade: float) -> tuple[float, float]:
    """Feet of braking and of reaction."""
    return mph**2 / (30 * (F + grade)), 3.67 * mph


def ground(grade: float):
    return chain([Straight(length=300.0, slope=math.atan(grade))])


def braking(mph: float, grade: float) -> float:
    """Braking distance along the ground [m]."""
    return float(roll(ground(grade), 0.0, mph * MPH, Roller(braking=F, gravity=GRAVITY)).s[0])


def reaction(mph: float, grade: float) -> tuple[float, float]:
    """Distance [m] and speed [m/s] at the end of the reaction time."""
    track = roll(ground(grade), 0.0, mph * MPH, Roller(gravity=GRAVITY), duration=REACTION)
    return float(track.s[0]), float(track.speed[0])


def test_gravity_of_the_formula_is_the_earths_rounded():
    assert pytest.approx(9.80665, rel=3.5e-3) == GRAVITY


@pytest.mark.parametrize("mph", [15, 20, 25])
def test_level(mph):
    # 3.67 for 2.5 s is rounded up by 0.1 %: 0.07 ft at 20 mph
    rolled, speed = reaction(mph, 0.0)
    assert (rolled + braking(speed / MPH, 0.0)) / FOOT == pytest.approx(sum(formula(mph, 0.0)), abs=0.004 * mph)


def test_level_as_printed():
    rolled, speed = reaction(20, 0.0)
    total = rolled + braking(speed / MPH, 0.0)
    assert total / FOOT == pytest.approx(127, abs=0.5)
    assert total == pytest.approx(38.7, abs=0.15)  # 38.7 m is 127 ft, rounded up from 126.7


@pytest.mark.parametrize("mph", [15, 25])
@pytest.mark.parametrize("grade", GRADES)
def test_braking_on_a_slope(mph, grade):
    feet, _ = formula(mph, grade)
    along = braking(mph, grade) / FOOT
    assert along * math.cos(math.atan(grade)) == pytest.approx(feet, rel=1e-6)
    assert along == pytest.approx(feet, rel=0.006)


@pytest.mark.parametrize("grade", GRADES)
def test_reaction_on_a_slope_is_not_v_t(grade):
    rolled, speed = reaction(20, grade)
    pull = -GRAVITY * math.sin(math.atan(grade))
    assert rolled == pytest.approx(20 * MPH * REACTION + pull * REACTION**2 / 2, rel=1e-10)
    assert speed == pytest.approx(20 * MPH + pull * REACTION, rel=1e-10)
