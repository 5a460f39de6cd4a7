"""What leaving humidity out costs.

A. Picard, R. S. Davis, M. Gläser, K. Fujii, "Revised formula for the density of moist air (CIPM-2007),"
Metrologia 45 (2008) 149-155. The formula is written out below with its constants from memory; the
density at 20 °C, 101325 Pa, 50 % is an independent computation that holds it to what it ought to be.
"""

import math

import pytest

from jumpcalc.physics.air import density

PASCAL = 101325.0


def cipm_2007(kelvin: float, humidity: float) -> float:
    """Density of moist air [kg/m³] at 101325 Pa, 400 ppm of carbon dioxide."""
    celsius = kelvin - 273.15
    saturated = math.exp(1.2378847e-5 * kelvin**2 - 1.9121316e-2 * kelvin + 33.93711047 - 6.3431645e3 / kelvin)
    enhancement = 1.00062 + 3.14e-8 * PASCAL + 5.6e-7 * celsius**2
    vapour = humidity * enhancement * saturated / PASCAL
    first = 1.58123e-6 - 2.9331e-8 * celsius + 1.1043e-10 * celsius**2
    second = (5.707e-6 - 2.051e-8 * celsius) * vapour + (1.9898e-4 - 2.376e-6 * celsius) * vapour**2
    ratio = PASCAL / kelvin
    compressibility = 1 - ratio * (first + second) + ratio**2 * (1.83e-11 - 0.765e-8 * vapour**2)
    molar = 28.96546e-3 * (1 - vapour * (1 - 18.01528e-3 / 28.96546e-3))
    return PASCAL * molar / (compressibility * 8.314472 * kelvin)


def test_formula():
    assert cipm_2007(293.15, 0.5) == pytest.approx(1.1993, abs=5e-5)
    assert cipm_2007(293.15, 0.0) == pytest.approx(1.2046, abs=5e-5)


@pytest.mark.parametrize("celsius", [-10, 0, 10, 20, 30, 40])
def test_dry_air(celsius):
    # ISO 2533 takes air as an ideal gas and another molar mass: up to 0.08 %
    ours = density(0.0, temperature=celsius + 273.15)
    assert ours == pytest.approx(cipm_2007(celsius + 273.15, 0.0), rel=8e-4)


def test_half_humid_air_at_20_degrees_is_0_4_percent_lighter():
    assert density(0.0, temperature=293.15) / 1.1993 - 1 == pytest.approx(0.004, abs=5e-4)


@pytest.mark.parametrize(("celsius", "percent"), [(20, 0.9), (30, 1.6)])
def test_saturated_air_is_lighter_by_what_the_docstring_says(celsius, percent):
    kelvin = celsius + 273.15
    cost = cipm_2007(kelvin, 0.0) / cipm_2007(kelvin, 1.0) - 1
    assert 100 * cost == pytest.approx(percent, abs=0.06)
    assert f"{percent} %" in density.__doc__
