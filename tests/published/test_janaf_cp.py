"""Chase M.W. (1998) NIST-JANAF Thermochemical Tables, 4th edition.

Heat capacity, enthalpy above 298.15 K and enthalpy of formation; values from memory.
"""

import pytest

from exhaust.engine.species import gas_table
from exhaust.gas.composition import HEATING_VALUE, MOLAR_MASS
from exhaust.gas.properties import Mixture

# [J/mol/K] at 300, 600, 1000 and 1500 K
HEAT_CAPACITY = {
    "N2": (29.125, 30.110, 32.697, 34.843),
    "O2": (29.385, 32.090, 34.870, 36.544),
    "CO2": (37.221, 47.321, 54.308, 58.379),
    "H2O": (33.596, 36.325, 41.268, 47.090),
    "CO": (29.142, 30.440, 33.183, 35.217),
    "H2": (28.849, 29.327, 30.205, 32.298),
    "Ar": (20.786, 20.786, 20.786, 20.786),
}
# [kJ/mol] from 298.15 K to 1000 K
ENTHALPY = {"N2": 21.463, "O2": 22.703, "CO2": 33.397, "H2O": 26.000, "CO": 21.690, "H2": 20.680}
FORMATION = {"CO": -110.53, "CO2": -393.52, "H2O": -241.83}  # [kJ/mol] at 298.15 K
EQUATIONS_OF_STATE = 1e-3  # how far CoolProp's own fits lie from the tables (0.07 % at worst)


@pytest.mark.parametrize("species", HEAT_CAPACITY)
def test_heat_capacity(species):
    gas = Mixture({species: 1.0}, gas_table())
    for temperature, cp in zip((300.0, 600.0, 1000.0, 1500.0), HEAT_CAPACITY[species], strict=True):
        molar = gas.cp(temperature) * MOLAR_MASS[species]
        assert molar == pytest.approx(cp, rel=EQUATIONS_OF_STATE)


@pytest.mark.parametrize("species", ENTHALPY)
def test_enthalpy_above_the_reference(species):
    gas = Mixture({species: 1.0}, gas_table())
    molar = gas.enthalpy(1000.0) * MOLAR_MASS[species]
    assert molar == pytest.approx(ENTHALPY[species] * 1e3, rel=EQUATIONS_OF_STATE)


def test_heat_left_in_carbon_monoxide_and_hydrogen():
    monoxide = (FORMATION["CO"] - FORMATION["CO2"]) * 1e3
    assert HEATING_VALUE["CO"] == pytest.approx(monoxide, rel=1e-4)
    assert HEATING_VALUE["H2"] == pytest.approx(-FORMATION["H2O"] * 1e3, rel=1e-4)
