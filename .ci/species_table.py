"""Builds data/species.csv from CoolProp: run `python .ci/species_table.py` from the checkout.

One row for each species and temperature: ideal-gas heat capacity, and viscosity and conductivity
at 1 kPa, where density no longer counts. The equation of state of hydrogen is fitted up to
1000 K, of carbon monoxide up to 500 K, and of water from 273.16 K; their rows beyond say so.
CoolProp has no viscosity and no conductivity of carbon monoxide: nitrogen, of equal molar mass,
stands in for both.
"""

from __future__ import annotations

import csv
import sys
from collections.abc import Iterator
from pathlib import Path

FLUIDS = {
    "N2": "Nitrogen",
    "O2": "Oxygen",
    "CO2": "CarbonDioxide",
    "H2O": "Water",
    "CO": "CarbonMonoxide",
    "H2": "Hydrogen",
    "Ar": "Argon",
}
STAND_IN = {"CO": "N2"}  # whose transport properties are used
DILUTE = 1000.0  # [Pa]
TEMPERATURES = tuple(range(250, 1801, 25))  # [K]
HEADER = (
    "species",
    "temperature_K",
    "cp_J_per_mol_K",
    "viscosity_uPa_s",
    "conductivity_mW_per_m_K",
    "source",
    "where",
)


def rows(species: str, temperatures: tuple[int, ...] = TEMPERATURES) -> Iterator[tuple[str, ...]]:
    """Yield the rows of `species` as text, in the order of HEADER."""
    import CoolProp

    transport = STAND_IN.get(species, species)
    own = CoolProp.AbstractState("HEOS", FLUIDS[species])
    other = CoolProp.AbstractState("HEOS", FLUIDS[transport])
    for state in (own, other):
        state.specify_phase(CoolProp.iphase_gas)
    for temperature in temperatures:
        for state in (own, other):
            state.update(CoolProp.PT_INPUTS, DILUTE, float(temperature))
        where = "ideal-gas cp; viscosity and conductivity at 1 kPa"
        if transport != species:
            where = f"ideal-gas cp; viscosity and conductivity are those of {transport}"
        if not own.Tmin() <= temperature <= own.Tmax():
            where += f"; equation of state fitted {own.Tmin():.2f} to {own.Tmax():.0f} K"
        yield (
            species,
            str(temperature),
            f"{own.cp0molar():.4f}",
            f"{other.viscosity() * 1e6:.5g}",
            f"{other.conductivity() * 1e3:.5g}",
            "coolprop",
            where,
        )


def write(path: Path) -> None:
    """Write the table of every species to `path`."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(HEADER)
        for species in FLUIDS:
            writer.writerows(rows(species))


if __name__ == "__main__":
    here = Path(__file__).resolve().parent.parent
    write(Path(sys.argv[1]) if len(sys.argv) > 1 else here / "data" / "species.csv")
