"""Gases that tables and worked examples are made for: nothing about them changes, or one law."""

from __future__ import annotations

from typing import NamedTuple

from exhaust.flow.friction import FloatArray

AIR_CONSTANT = 287.05  # [J/kg/K]


class Perfect(NamedTuple):
    """A gas of one heat capacity, viscosity and conductivity.

    >>> Perfect.of(1.4).temperature_at(Perfect.of(1.4).enthalpy(300.0))
    300.0
    """

    heat_capacity: float  # [J/kg/K]
    mu: float = 0.0  # [Pa s]
    k: float = 0.0  # [W/m/K]
    gas_constant: float = AIR_CONSTANT

    @classmethod
    def of(cls, gamma: float, gas_constant: float = AIR_CONSTANT) -> Perfect:
        """Return the gas with this ratio of heat capacities; the constant is that of air."""
        return cls(gamma * gas_constant / (gamma - 1), gas_constant=gas_constant)

    def cp(self, temperature: FloatArray, /) -> FloatArray:
        """Return the heat capacity [J/kg/K]."""
        return self.heat_capacity + 0 * temperature

    def enthalpy(self, temperature: FloatArray, /) -> FloatArray:
        """Return the enthalpy above 0 K [J/kg]."""
        return self.heat_capacity * temperature

    def temperature_at(self, enthalpy: FloatArray, /) -> FloatArray:
        """Return the temperature of an enthalpy [K]."""
        return enthalpy / self.heat_capacity

    def viscosity(self, temperature: FloatArray, /) -> FloatArray:
        """Return the dynamic viscosity [Pa s]."""
        return self.mu + 0 * temperature

    def conductivity(self, temperature: FloatArray, /) -> FloatArray:
        """Return the thermal conductivity [W/m/K]."""
        return self.k + 0 * temperature


class Sutherland:
    """Air by Sutherland's two formulas, cp 1030 J/kg/K."""

    gas_constant = AIR_CONSTANT

    def cp(self, temperature: FloatArray, /) -> FloatArray:
        """Return the heat capacity [J/kg/K]."""
        return 1030.0 + 0 * temperature

    def viscosity(self, temperature: FloatArray, /) -> FloatArray:
        """Return the dynamic viscosity [Pa s]."""
        return 1.716e-5 * (temperature / 273.15) ** 1.5 * (273.15 + 110.4) / (temperature + 110.4)

    def conductivity(self, temperature: FloatArray, /) -> FloatArray:
        """Return the thermal conductivity [W/m/K]."""
        return 0.0241 * (temperature / 273.15) ** 1.5 * (273.15 + 194) / (temperature + 194)
