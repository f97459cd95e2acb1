"""Heat capacity, viscosity and conductivity of a gas mixture, quick enough for a slider.

A `GasTable` holds the species; a `Mixture` of fixed composition is worked out once on the table's
temperatures and then only looked up: straight lines between them, and enthalpy the exact integral
of that heat capacity.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import NamedTuple, TypeVar

import attrs
import numpy as np
from numpy.typing import ArrayLike

from exhaust.errors import ExhaustError
from exhaust.gas.composition import MOLAR_MASS
from exhaust.gas.mixing import Array, mixture_conductivity, mixture_viscosity

GAS_CONSTANT = 8.314462618  # [J/mol/K]
ZERO_OF_ENTHALPY = 298.15  # [K]

Value = TypeVar("Value", float, Array)  # a float gives a float, an array an array


def _frozen_array(values: ArrayLike) -> Array:
    array = np.array(values, dtype=np.float64)
    array.flags.writeable = False
    return array


def _names(species: Iterable[str]) -> tuple[str, ...]:
    return tuple(species)


@attrs.frozen(kw_only=True, eq=False)
class GasTable:
    """Properties of each species on one set of temperatures.

    `species` (n,) names; `temperature` (m,) [K], rising; `cp` (n, m) [J/mol/K]; `viscosity`
    (n, m) [Pa s]; `conductivity` (n, m) [W/m/K].

    >>> table = GasTable(species=["Ar"], temperature=[250.0, 500.0], cp=[[20.8, 20.8]],
    ...                  viscosity=[[19e-6, 34e-6]], conductivity=[[0.015, 0.026]])
    >>> table.lowest, table.highest
    (250.0, 500.0)
    """

    species: tuple[str, ...] = attrs.field(converter=_names)
    temperature: Array = attrs.field(converter=_frozen_array, repr=False)
    cp: Array = attrs.field(converter=_frozen_array, repr=False)
    viscosity: Array = attrs.field(converter=_frozen_array, repr=False)
    conductivity: Array = attrs.field(converter=_frozen_array, repr=False)

    def __attrs_post_init__(self) -> None:
        grid = self.temperature
        if grid.ndim != 1 or grid.size < 2 or not (np.diff(grid) > 0).all():
            raise ExhaustError("temperature of a gas table must be two values or more, rising")
        if not self.lowest <= ZERO_OF_ENTHALPY <= self.highest:
            raise ExhaustError("temperature of a gas table must span 298.15 K")
        shape = (len(self.species), grid.size)
        for name in ("cp", "viscosity", "conductivity"):
            values = getattr(self, name)
            if values.shape != shape:
                raise ExhaustError(f"{name} of a gas table must be {shape} (got {values.shape})")
            if not (values > 0).all():
                raise ExhaustError(f"{name} of a gas table must be more than zero throughout")

    @property
    def lowest(self) -> float:
        """Lowest temperature in the table [K]."""
        return float(self.temperature[0])

    @property
    def highest(self) -> float:
        """Highest temperature in the table [K]."""
        return float(self.temperature[-1])


def _pairs(fractions: Mapping[str, float]) -> tuple[tuple[str, float], ...]:
    for name, share in fractions.items():
        if name not in MOLAR_MASS:
            raise ExhaustError(f"no species {name!r} in a gas; known: {', '.join(MOLAR_MASS)}")
        if not 0 <= share <= 1:
            raise ExhaustError(f"mole fraction of {name} must be between 0 and 1 (got {share:g})")
    total = math.fsum(fractions.values())
    if not abs(total - 1) < 1e-6:
        raise ExhaustError(f"mole fractions must add up to 1 (got {total:.6g})")
    return tuple((name, float(share)) for name, share in fractions.items())


class _Grid(NamedTuple):
    """A mixture's own properties at the temperatures of its table (m,)."""

    molar_mass: float  # [kg/mol]
    cp: Array  # [J/kg/K]
    enthalpy: Array  # [J/kg]
    viscosity: Array  # [Pa s]
    conductivity: Array  # [W/m/K]


@attrs.frozen
class Mixture:
    """A gas of fixed composition: `Mixture(fractions, table)`, mole fractions by species.

    Every property takes one temperature [K] and gives a float, or takes an array and gives an
    array. A temperature outside the table is refused.

    >>> from exhaust.engine.species import gas_table
    >>> air = Mixture({"N2": 0.7808, "O2": 0.2095, "Ar": 0.0097}, gas_table())
    >>> round(air.cp(300.0)), round(air.gamma(300.0), 2), round(air.sound_speed(300.0))
    (1005, 1.4, 347)
    """

    _fractions: tuple[tuple[str, float], ...] = attrs.field(converter=_pairs, alias="fractions")
    table: GasTable = attrs.field(repr=False)
    _grid: _Grid = attrs.field(init=False, eq=False, repr=False)

    @_grid.default
    def _worked_out(self) -> _Grid:
        return _on_grid(dict(self._fractions), self.table)

    @property
    def fractions(self) -> dict[str, float]:
        """Mole fraction of each species [mol/mol]."""
        return dict(self._fractions)

    @property
    def mass_fractions(self) -> dict[str, float]:
        """Mass fraction of each species [kg/kg]."""
        return {name: x * MOLAR_MASS[name] / self.molar_mass for name, x in self._fractions}

    @property
    def molar_mass(self) -> float:
        """Mean molar mass [kg/mol]."""
        return self._grid.molar_mass

    @property
    def gas_constant(self) -> float:
        """Gas constant of this gas [J/kg/K]."""
        return GAS_CONSTANT / self.molar_mass

    def cp(self, temperature: Value) -> Value:
        """Return the heat capacity at constant pressure [J/kg/K]: cp = sum x_i cp_i / M."""
        return self._looked_up(temperature, self._grid.cp)

    def gamma(self, temperature: Value) -> Value:
        """Return the ratio of heat capacities: cp/(cp - R)."""
        cp = self.cp(temperature)
        return cp / (cp - self.gas_constant)

    def enthalpy(self, temperature: Value) -> Value:
        """Return the enthalpy above 298.15 K [J/kg]: the integral of cp."""
        self._check(temperature)
        h = _integral(temperature, self.table.temperature, self._grid.cp, self._grid.enthalpy)
        return _like(temperature, h)

    def temperature_at(self, enthalpy: Value) -> Value:
        """Return the temperature at which the gas has this `enthalpy` above 298.15 K [K]."""
        h, t, cp = self._grid.enthalpy, self.table.temperature, self._grid.cp
        if not np.all((enthalpy >= h[0]) & (enthalpy <= h[-1])):
            raise self._outside("is hotter or colder than its table")
        i = np.clip(np.searchsorted(h, enthalpy, side="right") - 1, 0, h.size - 2)
        slope = (cp[i + 1] - cp[i]) / (t[i + 1] - t[i])
        more = enthalpy - h[i]
        beyond = 2 * more / (cp[i] + np.sqrt(cp[i] ** 2 + 2 * slope * more))
        return _like(enthalpy, t[i] + beyond)

    def viscosity(self, temperature: Value) -> Value:
        """Return the dynamic viscosity [Pa s], by Wilke's rule [wilke]."""
        return self._looked_up(temperature, self._grid.viscosity)

    def conductivity(self, temperature: Value) -> Value:
        """Return the thermal conductivity [W/m/K], by Mason and Saxena's rule [mason-saxena]."""
        return self._looked_up(temperature, self._grid.conductivity)

    def prandtl(self, temperature: Value) -> Value:
        """Return the Prandtl number: cp mu / k."""
        return self.cp(temperature) * self.viscosity(temperature) / self.conductivity(temperature)

    def density(self, temperature: Value, pressure: float) -> Value:
        """Return the density at `pressure` [Pa], ideal gas [kg/m^3]: p/(R T)."""
        self._check(temperature)
        return pressure / (self.gas_constant * temperature)

    def sound_speed(self, temperature: Value) -> Value:
        """Return the speed of sound [m/s]: (gamma R T)^(1/2)."""
        squared = self.gamma(temperature) * self.gas_constant * temperature
        return _like(temperature, np.sqrt(squared))

    def _looked_up(self, temperature: Value, values: Array) -> Value:
        self._check(temperature)
        return _like(temperature, np.interp(temperature, self.table.temperature, values))

    def _check(self, temperature: Value) -> None:
        low, high = self.table.lowest, self.table.highest
        if isinstance(temperature, float) and low <= temperature <= high:
            return  # the quick way, for a march down a pipe
        got = np.atleast_1d(np.asarray(temperature, dtype=np.float64))
        wrong = ~((got >= low) & (got <= high))
        if wrong.any():
            raise self._outside(f"got {got[wrong][0]:.4g} K")

    def _outside(self, got: str) -> ExhaustError:
        low, high = self.table.lowest, self.table.highest
        return ExhaustError(
            f"gas temperature must be between {low:.0f} K and {high:.0f} K, where its properties "
            f"are known ({got}); check the duty and the measured temperature"
        )


def _on_grid(fractions: dict[str, float], table: GasTable) -> _Grid:
    for name in fractions:
        if name not in table.species:
            raise ExhaustError(f"the gas table has no {name}; add its rows")
    shares = np.array([fractions.get(name, 0.0) for name in table.species])
    masses = np.array([MOLAR_MASS[name] for name in table.species])
    molar_mass = float(shares @ masses)
    cp = np.asarray(shares @ table.cp / molar_mass)
    t, mu = table.temperature, table.viscosity
    h = np.concatenate(([0.0], np.cumsum(np.diff(t) * (cp[1:] + cp[:-1]) / 2)))
    return _Grid(
        molar_mass,
        _frozen_array(cp),
        _frozen_array(h - _integral(ZERO_OF_ENTHALPY, t, cp, h)),
        _frozen_array(mixture_viscosity(shares, masses, mu)),
        _frozen_array(mixture_conductivity(shares, masses, mu, table.conductivity)),
    )


def _integral(temperature: Value, grid: Array, cp: Array, enthalpy: Array) -> Array:
    """Return the enthalpy at the grid point below and the integral of cp from there."""
    i = np.clip(np.searchsorted(grid, temperature, side="right") - 1, 0, grid.size - 2)
    slope = (cp[i + 1] - cp[i]) / (grid[i + 1] - grid[i])
    beyond = temperature - grid[i]
    return np.asarray(enthalpy[i] + beyond * (cp[i] + slope * beyond / 2))


def _like(asked: Value, answer: ArrayLike) -> Value:
    """Return `answer` as a float if a float was `asked`, else as an array."""
    if isinstance(asked, np.ndarray):
        return np.asarray(answer, dtype=np.float64)
    return float(np.asarray(answer))
