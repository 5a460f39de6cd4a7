"""Air density from altitude and temperature.

=======  ===========================================  =========
symbol   meaning                                      unit
=======  ===========================================  =========
H        geopotential altitude                        m
T        air temperature                              K
p        pressure                                     Pa
ρ        density                                      kg/m³
=======  ===========================================  =========
"""

from __future__ import annotations

from jumpcalc.errors import InputError
from jumpcalc.units import STANDARD_GRAVITY

__all__ = ["density", "pressure", "standard_temperature"]

SEA_LEVEL_PRESSURE = 101325.0  # Pa, ISO 2533:1975
SEA_LEVEL_TEMPERATURE = 288.15  # K, ISO 2533:1975
LAPSE_RATE = 6.5e-3  # K/m, ISO 2533:1975
GAS_CONSTANT = 287.05287  # J/(kg K), dry air, ISO 2533:1975
TROPOPAUSE = 11_000.0  # m
LOWEST = -2_000.0  # m, the lower end of the standard's tables


def standard_temperature(altitude: float) -> float:
    """Temperature of the standard atmosphere's troposphere.

    Parameters
    ----------
    altitude : float
        Geopotential altitude [m], -2000 to 11000.

    Returns
    -------
    float
        Temperature [K].

    Raises
    ------
    InputError
        If the altitude lies outside the troposphere of the standard.

    References
    ----------
    ISO 2533:1975, *Standard Atmosphere*.

    Examples
    --------
    >>> round(standard_temperature(1000.0), 2)
    281.65
    """
    if not LOWEST <= altitude <= TROPOPAUSE:
        raise InputError(f"altitude {altitude:g} m; allowed {LOWEST:g} to {TROPOPAUSE:g} m", key="altitude")
    return SEA_LEVEL_TEMPERATURE - LAPSE_RATE * altitude


def pressure(altitude: float) -> float:
    """Pressure of the standard atmosphere's troposphere.

    Parameters
    ----------
    altitude : float
        Geopotential altitude [m], -2000 to 11000.

    Returns
    -------
    float
        Pressure [Pa].

    Raises
    ------
    InputError
        If the altitude lies outside the troposphere of the standard.

    Notes
    -----
    p = p₀ (T/T₀)^(g/(R L)), exponent 5.25588.

    References
    ----------
    ISO 2533:1975, *Standard Atmosphere*.

    Examples
    --------
    >>> round(pressure(1000.0), 1)
    89874.6
    """
    ratio = standard_temperature(altitude) / SEA_LEVEL_TEMPERATURE
    return SEA_LEVEL_PRESSURE * ratio ** (STANDARD_GRAVITY / (GAS_CONSTANT * LAPSE_RATE))


def density(altitude: float, *, temperature: float | None = None) -> float:
    """Density of dry air.

    Parameters
    ----------
    altitude : float
        Geopotential altitude [m], -2000 to 11000.
    temperature : float, optional
        Air temperature [K]; the standard one at that altitude when not given.

    Returns
    -------
    float
        Density [kg/m³].

    Raises
    ------
    InputError
        If the altitude lies outside the troposphere or the temperature is not positive.

    Notes
    -----
    ρ = p/(R T). Humidity is left out: saturated air is 0.9 % lighter at 20 °C and 1.6 % at 30 °C.

    References
    ----------
    ISO 2533:1975, *Standard Atmosphere*.

    Examples
    --------
    >>> round(density(0.0), 4)
    1.225
    """
    if temperature is None:
        temperature = standard_temperature(altitude)
    if not temperature > 0:
        raise InputError(f"temperature {temperature:g} K; must be more than 0 K", key="temperature")
    return pressure(altitude) / (GAS_CONSTANT * temperature)
