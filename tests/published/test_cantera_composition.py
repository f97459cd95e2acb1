"""Burnt gas against chemical equilibrium at 1740 K: Cantera with GRI-Mech 3.0, computed live.

An independent method: every species of the mechanism, with dissociation, from the same atoms.
"""

import cantera as ct
import pytest

from exhaust.engine.fuel import fuel
from exhaust.gas.composition import burnt_gas, chemical_energy, molar_mass, stoichiometric_oxygen

FROZEN = 1740.0  # [K]
# The water-gas constant of that mechanism there is 3.58, not 3.5 (0.0003 of a mole fraction), and
# dissociation near lambda 1 takes 0.0008.
SHARE = 0.002
FUELS = {
    "gasoline": (1, 1.87, 0),
    "iso-octane": (8, 18, 0),
    "methane": (1, 4, 0),
    "ethanol": (2, 6, 1),
    "methanol": (1, 4, 1),
    "diesel": (1, 1.8, 0),
}


@pytest.fixture(scope="module")
def mechanism():
    return ct.Solution("gri30.yaml")


def equilibrium(mechanism, atoms, lambda_, water=0.0):
    """Return Cantera's mole fractions; `water` is moles per mole of O2 in the air."""
    carbon, hydrogen, oxygen = atoms
    air = lambda_ * stoichiometric_oxygen(carbon, hydrogen, oxygen)
    reactants = {"C": carbon, "H": hydrogen, "O": oxygen}
    reactants |= {"O2": air, "N2": 3.728 * air, "AR": 0.0445 * air, "H2O": water * air}
    mechanism.TPX = FROZEN, ct.one_atm, reactants
    mechanism.equilibrate("TP")
    return mechanism


@pytest.mark.parametrize("name", FUELS)
@pytest.mark.parametrize("lambda_", [0.75, 0.85, 0.92, 1.0, 1.1, 1.5])
def test_composition(mechanism, name, lambda_):
    ours = burnt_gas(*FUELS[name], lambda_)
    theirs = equilibrium(mechanism, FUELS[name], lambda_)
    for species, share in ours.items():
        expected = theirs[species.upper()].X[0]
        assert share == pytest.approx(expected, abs=SHARE), species
    assert molar_mass(ours) * 1e3 == pytest.approx(theirs.mean_molecular_weight, abs=0.03)


@pytest.mark.parametrize("lambda_", [0.8, 0.95, 1.2])
def test_composition_with_wet_air(mechanism, lambda_):
    ratio = 0.03  # kg of water per kg of dry air: a tropical day
    water = ratio * 4.7725 * 28.959 / 18.015  # dry air of this recipe is 28.959 g/mol
    ours = burnt_gas(1, 1.87, 0, lambda_, humidity_ratio=ratio)
    theirs = equilibrium(mechanism, (1, 1.87, 0), lambda_, water)
    for species, share in ours.items():
        assert share == pytest.approx(theirs[species.upper()].X[0], abs=SHARE), species


# The mechanism's methanol is a vapour; its latent heat is 37.4 kJ/mol at 25 °C (from memory).
@pytest.mark.parametrize(
    ("name", "cantera_name", "latent"),
    [("methane", "CH4", 0.0), ("propane", "C3H8", 0.0), ("methanol", "CH3OH", 37.4e3 / 0.03204)],
)
@pytest.mark.parametrize("lambda_", [0.8, 1.0, 1.4])
def test_released_heat_is_the_drop_of_enthalpy(mechanism, name, cantera_name, latent, lambda_):
    """LHV less what stays in CO and H2, against absolute enthalpies at 298.15 K."""
    one = fuel(name)
    ours = burnt_gas(*one.atoms, lambda_)
    air = lambda_ * stoichiometric_oxygen(*one.atoms)
    reactants = {cantera_name: 1, "O2": air, "N2": 3.728 * air, "AR": 0.0445 * air}
    mechanism.TPX = 298.15, ct.one_atm, reactants
    before = mechanism.enthalpy_mass
    mechanism.TPX = 298.15, ct.one_atm, {species.upper(): x for species, x in ours.items()}
    share = 1 / (1 + lambda_ * one.stoichiometric_air)
    released = before - share * latent - mechanism.enthalpy_mass
    mine = share * one.heating_value - chemical_energy(ours)
    # The table of fuels is rounded to three figures.
    assert mine == pytest.approx(released, rel=0.005)
