"""The air an engine breathes: standard atmosphere, moisture, a compressor (plain floats)."""

from __future__ import annotations

import math

from exhaust.errors import ExhaustError

DRY_AIR_GAS_CONSTANT = 287.05287  # [J/kg/K] [iso2533]
VAPOUR_GAS_CONSTANT = 461.5  # [J/kg/K]
AIR_GAMMA = 1.4
AIR_CP = DRY_AIR_GAS_CONSTANT * AIR_GAMMA / (AIR_GAMMA - 1)  # [J/kg/K]

_SEA_TEMPERATURE = 288.15  # [K]
_SEA_PRESSURE = 101325.0  # [Pa]
_LAPSE = 0.0065  # [K/m]
_EXPONENT = 5.255880  # gravity over R times lapse
_TROPOPAUSE = 11000.0  # [m]


def standard_temperature(altitude: float) -> float:
    """Return the temperature of the standard atmosphere at `altitude` [K].

    T = 288.15 - 0.0065 h, h geopotential [m], -2000 to 11000 m [iso2533]

    >>> round(standard_temperature(1000.0), 2)
    281.65
    """
    if not -2000.0 <= altitude <= _TROPOPAUSE:
        raise ExhaustError(f"altitude must be between -2000 m and 11000 m (got {altitude:g} m)")
    return _SEA_TEMPERATURE - _LAPSE * altitude


def standard_pressure(altitude: float) -> float:
    """Return the pressure of the standard atmosphere at `altitude` [Pa].

    p = 101325 (T/288.15)^5.255880 [iso2533]

    >>> round(standard_pressure(1000.0))
    89875
    """
    return float(_SEA_PRESSURE * (standard_temperature(altitude) / _SEA_TEMPERATURE) ** _EXPONENT)


def saturation_pressure(temperature: float) -> float:
    """Return the vapour pressure of water over liquid at `temperature` [Pa].

    e = 611.21 exp((18.729 - t/227.3) t/(257.87 + t)), t in °C [buck]; within 0.1 % of
    the steam tables from 0 to 50 °C. Below freezing it is over supercooled water, as weather
    stations have it.

    >>> round(saturation_pressure(298.15))
    3168
    """
    t = temperature - 273.15
    if not -80.0 <= t <= 90.0:
        raise ExhaustError(
            f"temperature of moist air must be between -80 °C and 90 °C (got {t:.4g} °C)"
        )
    return 611.21 * math.exp((18.729 - t / 227.3) * t / (257.87 + t))


def humidity_ratio(vapour_pressure: float, pressure: float) -> float:
    """Return the water in moist air [kg per kg of dry air]: w = (Rd/Rv) e/(p - e).

    >>> round(humidity_ratio(1584.0, 101325.0), 5)
    0.00988
    """
    if not 0 <= vapour_pressure < pressure:
        raise ExhaustError(
            f"vapour pressure must be less than the pressure {pressure:g} Pa "
            f"(got {vapour_pressure:g} Pa)"
        )
    ratio = DRY_AIR_GAS_CONSTANT / VAPOUR_GAS_CONSTANT
    return ratio * vapour_pressure / (pressure - vapour_pressure)


def vapour_pressure(ratio: float, pressure: float) -> float:
    """Return the vapour pressure in moist air that holds `ratio` of water [Pa].

    The other way round from `humidity_ratio`.

    >>> round(vapour_pressure(0.00988, 101325.0), -1)
    1580.0
    """
    share = ratio * VAPOUR_GAS_CONSTANT / DRY_AIR_GAS_CONSTANT
    return pressure * share / (1 + share)


def moist_air_density(pressure: float, temperature: float, ratio: float = 0.0) -> float:
    """Return the density of air that holds `ratio` of water per dry air [kg/m^3].

    rho = (p - e)/(Rd T) + e/(Rv T)

    >>> round(moist_air_density(101325.0, 288.15), 3)
    1.225
    """
    e = vapour_pressure(ratio, pressure)
    dry = (pressure - e) / DRY_AIR_GAS_CONSTANT
    return (dry + e / VAPOUR_GAS_CONSTANT) / temperature


def compressor_temperature(temperature: float, pressure_ratio: float, efficiency: float) -> float:
    """Return the temperature of air after a compressor [K].

    T2 = T1 (1 + (r^((g-1)/g) - 1)/eta), isentropic efficiency eta, g = 1.4 [heywood]

    >>> round(compressor_temperature(298.15, 2.0, 0.72), 1)
    388.8
    """
    ideal = pressure_ratio ** ((AIR_GAMMA - 1) / AIR_GAMMA) - 1
    return float(temperature * (1 + ideal / efficiency))
