"""Gas properties: what must hold between them, and how fine the table is.

The values themselves are checked against JANAF and Cantera in tests/published.
"""

import copy
import pickle

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust.engine.species import gas_table
from exhaust.errors import ExhaustError
from exhaust.gas.composition import burnt_gas
from exhaust.gas.mixing import mixture_conductivity, mixture_viscosity
from exhaust.gas.properties import GasTable, Mixture

R = 8.314462618  # [J/mol/K], exact
EXHAUST = Mixture(burnt_gas(1, 1.87, 0, 0.88), gas_table())
PROPERTIES = ("cp", "gamma", "enthalpy", "viscosity", "conductivity", "prandtl", "sound_speed")
temperatures = st.floats(250, 1800)


@given(temperatures)
def test_enthalpy_is_the_integral_of_cp(temperature):
    step = 0.5
    low, high = max(temperature - step, 250.0), min(temperature + step, 1800.0)
    slope = (EXHAUST.enthalpy(high) - EXHAUST.enthalpy(low)) / (high - low)
    mean = (EXHAUST.cp(high) + 4 * EXHAUST.cp((low + high) / 2) + EXHAUST.cp(low)) / 6
    # Straight lines meet at the table's temperatures: Simpson's rule errs there by 1e-5 at most.
    assert slope == pytest.approx(mean, rel=2e-5)


@given(temperatures)
def test_temperature_comes_back_from_enthalpy(temperature):
    assert EXHAUST.temperature_at(EXHAUST.enthalpy(temperature)) == pytest.approx(
        temperature, abs=1e-6
    )


def test_enthalpy_is_nought_at_the_reference():
    assert EXHAUST.enthalpy(298.15) == pytest.approx(0, abs=1e-6)


@given(temperatures)
def test_identities_of_an_ideal_gas(temperature):
    gas = EXHAUST
    specific = R / gas.molar_mass
    assert gas.gas_constant == pytest.approx(specific, rel=1e-12)
    cp, gamma = gas.cp(temperature), gas.gamma(temperature)
    assert cp * (1 - 1 / gamma) == pytest.approx(specific, rel=1e-12)
    squared = gamma * 2e5 / gas.density(temperature, 2e5)
    assert gas.sound_speed(temperature) ** 2 == pytest.approx(squared, rel=1e-12)
    prandtl = cp * gas.viscosity(temperature) / gas.conductivity(temperature)
    assert gas.prandtl(temperature) == pytest.approx(prandtl, rel=1e-12)
    assert 0.65 < prandtl < 0.8  # every gas of this kind


def test_a_float_gives_a_float_and_an_array_an_array():
    grid = np.array([[300.0, 700.0], [250.0, 1800.0]])
    for name in PROPERTIES:
        method = getattr(EXHAUST, name)
        assert type(method(700.0)) is float
        assert type(method(700)) is float
        assert method(grid).shape == grid.shape
        assert method(grid)[0, 1] == pytest.approx(method(700.0), rel=1e-14)
    assert type(EXHAUST.temperature_at(5e5)) is float
    assert EXHAUST.density(grid, 1e5).shape == grid.shape


@pytest.mark.parametrize("temperature", [249.9, 1800.1, float("nan"), np.array([300.0, 2000.0])])
def test_outside_the_table_is_refused(temperature):
    for name in PROPERTIES:
        with pytest.raises(ExhaustError, match="gas temperature must be between 250 K and 1800 K"):
            getattr(EXHAUST, name)(temperature)
    with pytest.raises(ExhaustError, match="gas temperature must be"):
        EXHAUST.density(temperature, 1e5)


@pytest.mark.parametrize("enthalpy", [-1e6, 5e6, float("nan")])
def test_enthalpy_outside_the_table_is_refused(enthalpy):
    with pytest.raises(ExhaustError, match="hotter or colder than its table"):
        EXHAUST.temperature_at(enthalpy)


def halved(table: GasTable) -> GasTable:
    return GasTable(
        species=table.species,
        temperature=table.temperature[::2],
        cp=table.cp[:, ::2],
        viscosity=table.viscosity[:, ::2],
        conductivity=table.conductivity[:, ::2],
    )


def test_the_table_is_fine_enough():
    """Straight lines err with the square of the step: the 50 K table shows three times our error.

    So 0.12 % between the two means at most 0.04 % from a table without steps.
    """
    coarse = Mixture(EXHAUST.fractions, halved(gas_table()))
    grid = np.linspace(300.0, 1750.0, 400)
    for name in ("cp", "viscosity", "conductivity"):
        ours, theirs = getattr(EXHAUST, name)(grid), getattr(coarse, name)(grid)
        assert np.max(np.abs(theirs / ours - 1)) < 1.2e-3, name
    assert np.max(np.abs(coarse.enthalpy(grid) - EXHAUST.enthalpy(grid))) < 300.0  # J/kg: 0.25 K


def test_one_species_is_itself():
    table = gas_table()
    for index, species in enumerate(table.species):
        gas = Mixture({species: 1.0}, table)
        assert gas.viscosity(500.0) == pytest.approx(table.viscosity[index, 10], rel=1e-12)
        assert gas.conductivity(500.0) == pytest.approx(table.conductivity[index, 10], rel=1e-12)


def test_wilke_by_hand():
    """Two gases of equal viscosity, masses 1 to 4: phi worked out with a pencil.

    phi_12 = (1 + 4^(1/4))^2 / (8 (1 + 1/4))^(1/2), phi_21 = (1 + 4^(-1/4))^2 / (8 * 5)^(1/2).
    """
    phi_12 = (1 + 2**0.5) ** 2 / 10**0.5
    phi_21 = (1 + 0.5**0.5) ** 2 / 40**0.5
    expected = 0.5 / (0.5 + 0.5 * phi_12) + 0.5 / (0.5 + 0.5 * phi_21)
    x, masses, mu = np.array([0.5, 0.5]), np.array([1.0, 4.0]), np.ones((2, 1))
    assert mixture_viscosity(x, masses, mu)[0] == pytest.approx(expected, rel=1e-12)
    k = np.array([[3.0], [7.0]])
    shared = 3 * 0.5 / (0.5 + 0.5 * phi_12) + 7 * 0.5 / (0.5 + 0.5 * phi_21)
    assert mixture_conductivity(x, masses, mu, k)[0] == pytest.approx(shared, rel=1e-12)


def test_a_mixture_survives_copying_and_compares():
    again = Mixture(EXHAUST.fractions, gas_table())
    assert again == EXHAUST
    assert hash(again) == hash(EXHAUST)
    sent = pickle.loads(pickle.dumps(EXHAUST))
    assert sent.viscosity(900.0) == EXHAUST.viscosity(900.0)
    assert copy.deepcopy(EXHAUST).fractions == EXHAUST.fractions
    assert sum(EXHAUST.mass_fractions.values()) == pytest.approx(1, rel=1e-12)
    with pytest.raises(ValueError, match="read-only"):
        gas_table().cp[0, 0] = 1.0


@pytest.mark.parametrize(
    ("fractions", "message"),
    [
        ({"N2": 0.9}, r"mole fractions must add up to 1 \(got 0.9\)"),
        ({"N2": 1.2, "O2": -0.2}, "mole fraction of N2 must be between 0 and 1"),
        ({"NO": 1.0}, "no species 'NO' in a gas; known: N2"),
    ],
)
def test_a_wrong_mixture_is_refused(fractions, message):
    with pytest.raises(ExhaustError, match=message):
        Mixture(fractions, gas_table())


def test_a_wrong_table_is_refused():
    flat = {"cp": [[29.0, 29.0]], "viscosity": [[1e-5, 2e-5]], "conductivity": [[0.02, 0.03]]}
    with pytest.raises(ExhaustError, match="two values or more, rising"):
        GasTable(species=["N2"], temperature=[500.0, 250.0], **flat)
    with pytest.raises(ExhaustError, match=r"must span 298.15 K"):
        GasTable(species=["N2"], temperature=[300.0, 500.0], **flat)
    with pytest.raises(ExhaustError, match=r"cp of a gas table must be \(2, 2\)"):
        GasTable(species=["N2", "O2"], temperature=[250.0, 500.0], **flat)
    with pytest.raises(ExhaustError, match="the gas table has no O2"):
        Mixture({"O2": 1.0}, GasTable(species=["N2"], temperature=[250.0, 500.0], **flat))
