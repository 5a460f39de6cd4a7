"""Standard atmosphere: ISO 2533:1975 and U.S. Standard Atmosphere, 1976; both have the same troposphere.

Heights are geopotential metres. Pressures as printed; densities as printed at 0, 100, 1000 m, and
p/(R T) of the printed values elsewhere (independent computation). Tolerance: half the last digit.
"""

import pytest

from jumpcalc.physics.air import density, pressure, standard_temperature

# H m, T K, p Pa, half its last digit, ρ kg/m³, half its last digit
TABLE = [
    (0, 288.15, 101325.0, 0.5, 1.2250, 5e-5),
    (100, 287.50, 100129.0, 0.5, 1.21328, 5e-6),
    (500, 284.90, 95460.8, 0.05, 1.16727, 5e-6),
    (1000, 281.65, 89874.6, 0.05, 1.11164, 5e-6),
    (1500, 278.40, 84556.0, 0.05, 1.05807, 5e-6),
    (2000, 275.15, 79495.2, 0.05, 1.00649, 5e-6),
    (3000, 268.65, 70108.5, 0.05, 0.90912, 5e-6),
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
