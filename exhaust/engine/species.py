"""The shipped table of gas species, as data/species.csv has it."""

from __future__ import annotations

from functools import lru_cache

from exhaust import tables
from exhaust.gas.properties import GasTable


@lru_cache(maxsize=1)
def gas_table() -> GasTable:
    """Return the properties of N2, O2, CO2, H2O, CO, H2 and Ar from 250 to 1800 K.

    Viscosity and conductivity of CO are those of N2, of equal molar mass [coolprop].

    >>> gas_table().species
    ('N2', 'O2', 'CO2', 'H2O', 'CO', 'H2', 'Ar')
    """
    rows = tables.read("species")
    species = tuple(dict.fromkeys(row["species"] for row in rows))
    of = {name: [row for row in rows if row["species"] == name] for name in species}

    def column(name: str, scale: float) -> list[list[float]]:
        return [[float(row[name]) * scale for row in of[one]] for one in species]

    grids = column("temperature_K", 1.0)
    return GasTable(
        species=species,
        temperature=grids[0],
        cp=column("cp_J_per_mol_K", 1.0),
        viscosity=column("viscosity_uPa_s", 1e-6),
        conductivity=column("conductivity_mW_per_m_K", 1e-3),
    )
