"""Ours beside published: air, burnt gas, fuels, and what the ear makes of a frequency."""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType

from exhaust import units
from exhaust.engine.fuel import fuel
from exhaust.engine.species import gas_table
from exhaust.flow.cost import ideal_volumetric_efficiency
from exhaust.gas import air
from exhaust.gas.composition import HEATING_VALUE, MOLAR_MASS, stoichiometric_air
from exhaust.gas.properties import Mixture

KELVIN = 273.15


def _density(altitude_m: float) -> float:
    pressure = air.standard_pressure(altitude_m)
    return air.moist_air_density(pressure, air.standard_temperature(altitude_m))


def _heat_capacity(species: str, temperature_K: float) -> float:
    return Mixture({species: 1.0}, gas_table()).cp(temperature_K) * MOLAR_MASS[species]


def _enthalpy(species: str, temperature_K: float) -> float:
    gas = Mixture({species: 1.0}, gas_table())
    return gas.enthalpy(temperature_K) * MOLAR_MASS[species] / 1e3


def _ear(frequency_Hz: float) -> float:
    import numpy as np

    from exhaust.choices.orders import ear_weight

    exact = 1000.0 * 10 ** (round(10 * np.log10(frequency_Hz / 1000.0)) / 10)
    return 20 * float(np.log10(ear_weight(np.array([exact])))[0])


OURS: MappingProxyType[str, Callable[..., float]] = MappingProxyType(
    {
        "temperature of the standard atmosphere": lambda altitude_m: air.standard_temperature(
            altitude_m
        ),
        "pressure of the standard atmosphere": lambda altitude_m: air.standard_pressure(altitude_m),
        "density of the standard atmosphere": _density,
        "saturation pressure of water": lambda temperature_degC: air.saturation_pressure(
            temperature_degC + KELVIN
        ),
        "pressure of a column": lambda column: float(units.pressure(column)),
        "heat capacity": _heat_capacity,
        "enthalpy above 298.15 K": _enthalpy,
        "heat left in unburnt gas": lambda species: HEATING_VALUE[species] / 1e3,
        "air to burn a formula": stoichiometric_air,
        "air to burn a fuel": lambda name: fuel(name).stoichiometric_air,
        "lower heating value": lambda name: fuel(name).heating_value / 1e6,
        "volumetric efficiency of the ideal cycle": lambda **at: float(
            ideal_volumetric_efficiency(**at)
        ),
        "weighting A for the ear": _ear,
    }
)
