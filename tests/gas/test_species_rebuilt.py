"""Shows that the table is what CoolProp says, not that it is right.

What is right about it is checked against JANAF and Cantera in tests/published.
"""

import importlib.util
from pathlib import Path

import pytest

from exhaust import tables

SCRIPT = Path(__file__).resolve().parents[2] / ".ci" / "species_table.py"
ANOTHER_VERSION = 1e-3  # of CoolProp may have refitted a property


@pytest.fixture(scope="module")
def script():
    spec = importlib.util.spec_from_file_location("species_table", SCRIPT)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("species", ["N2", "O2", "CO2", "H2O", "CO", "H2", "Ar"])
def test_a_sample_of_rows_is_rebuilt(script, species):
    shipped = {
        row["temperature_K"]: row for row in tables.read("species") if row["species"] == species
    }
    assert tuple(int(value) for value in shipped) == script.TEMPERATURES
    for made in script.rows(species, (250, 300, 1000, 1800)):
        row = dict(zip(script.HEADER, made, strict=True))
        kept = shipped[row["temperature_K"]]
        for column in ("cp_J_per_mol_K", "viscosity_uPa_s", "conductivity_mW_per_m_K"):
            assert float(kept[column]) == pytest.approx(float(row[column]), rel=ANOTHER_VERSION)
        assert (kept["source"], kept["where"]) == (row["source"], row["where"])


def test_rows_say_what_stands_in_and_where_the_fit_ends():
    where = {(row["species"], row["temperature_K"]): row["where"] for row in tables.read("species")}
    assert "those of N2" in where["CO", "600"]
    assert "fitted 68.16 to 500 K" in where["CO", "600"]
    assert "fitted 13.96 to 1000 K" in where["H2", "1200"]
    assert "fitted 273.16 to 2000 K" in where["H2O", "250"]
    assert "fitted" not in where["N2", "1200"]


def test_the_script_writes_the_whole_table(script, tmp_path):
    path = tmp_path / "species.csv"
    script.write(path)
    lines = path.read_text(encoding="utf-8").splitlines()
    assert lines[0] == ",".join(script.HEADER)
    assert len(lines) == 1 + 7 * len(script.TEMPERATURES)
