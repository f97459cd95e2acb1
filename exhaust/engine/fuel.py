"""A fuel as data/fuel.csv has it."""

from __future__ import annotations

from functools import lru_cache

import attrs

from exhaust import tables
from exhaust.gas import composition


@attrs.frozen(kw_only=True)
class Fuel:
    """A fuel: the atoms of its formula, its heat, and how it is lit.

    `heating_value` is the lower one [J/kg]; `ignition` "spark" or "compression".

    >>> fuel("ethanol").atoms
    (2.0, 6.0, 1.0)
    """

    name: str
    carbon: float
    hydrogen: float
    oxygen: float
    heating_value: float
    ignition: str

    @property
    def atoms(self) -> tuple[float, float, float]:
        """Carbon, hydrogen and oxygen atoms of the formula."""
        return (self.carbon, self.hydrogen, self.oxygen)

    @property
    def stoichiometric_air(self) -> float:
        """Dry air that burns it completely [kg/kg]."""
        return composition.stoichiometric_air(*self.atoms)


@lru_cache(maxsize=64)
def fuel(name: str) -> Fuel:
    """Return the fuel `name`, for example "gasoline" or "E85".

    >>> round(fuel("E85").stoichiometric_air, 1), fuel("diesel").ignition
    (9.8, 'compression')
    """
    row = tables.lookup("fuel", name, "fuel")
    return Fuel(
        name=name,
        carbon=float(row["carbon"]),
        hydrogen=float(row["hydrogen"]),
        oxygen=float(row["oxygen"]),
        heating_value=float(row["lower_heating_value_MJ_per_kg"]) * 1e6,
        ignition=row["ignition"],
    )
