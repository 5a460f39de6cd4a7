"""Standard atmosphere: ISO 2533:1975 and U.S. Standard Atmosphere, 1976; both have the same troposphere.

Heights are geopotential metres. Temperatures and pressures as printed, densities as printed at 0, 100, 1000 m;
elsewhere the density is p/(R T) of what is printed. Tolerance: half the last digit.
"""

import pytest

from jumpcalc.physics.air import density, pressure, standard_temperature

# H m, T K, p Pa, half its last digit, ρ kg/m³ and half its last digit where it is printed
PRINTED = [
    (0, 288.15, 101325.0, 0.5, 1.2250, 5e-5),
    (100, 287.50, 100129.0, 0.5, 1.21328, 5e-6),
    (500, 284.90, 95460.8, 0.05, None, None),
    (1000, 281.65, 89874.6, 0.05, 1.11164, 5e-6),
    (1500, 278.40, 84556.0, 0.05, None, None),
    (2000, 275.15, 79495.2, 0.05, None, None),
    (3000, 268.65, 70108.5, 0.05, None, None),
]
GAS_CONSTANT = 287.05287  # J/(kg K), as printed
TABLE = [
    (h, t, p, half, rho or p / (GAS_CONSTANT * t), half_rho or half / (GAS_CONSTANT * t)) for h, t, p, half, rho, half_rho in PRINTED
]


@pytest.mark.parametrize(("height", "kelvin", "pascal", "half_pascal", "rho", "half_rho"), TABLE)
def test_table(height, kelvin, pascal, half_pascal, rho, half_rho):
    assert standard_temperature(height) == pytest.approx(kelvin, abs=1e-9)
    assert pressure(height) == pytest.approx(pascal, abs=half_pascal)
    assert density(height) == pytest.approx(rho, abs=half_rho)


@pytest.mark.parametrize(("height", "kelvin", "pascal", "half_pascal", "rho", "half_rho"), TABLE)
def test_density_of_the_printed_temperature_is_that_of_the_table(
    height, kelvin, pascal, half_pascal, rho, half_rho
):
    assert density(height, temperature=kelvin) == pytest.approx(rho, abs=half_rho)
