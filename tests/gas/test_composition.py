"""Burnt gas: what must hold whatever the fuel, and closed forms."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from exhaust.errors import ExhaustError
from exhaust.gas.composition import (
    MOLAR_MASS,
    burnt_gas,
    chemical_energy,
    fuel_molar_mass,
    molar_mass,
    stoichiometric_air,
    stoichiometric_oxygen,
)

EXACT = 1e-9  # round-off of the quadratic and of sums
FORMULAS = {
    "N2": {"N": 2},
    "O2": {"O": 2},
    "CO2": {"C": 1, "O": 2},
    "H2O": {"H": 2, "O": 1},
    "CO": {"C": 1, "O": 1},
    "H2": {"H": 2},
    "Ar": {"Ar": 1},
}
# Dry air of 1 O2 + 3.728 N2 + 0.0445 Ar, from atomic masses written out here.
DRY_AIR = 2 * 15.999e-3 + 3.728 * 2 * 14.007e-3 + 0.0445 * 39.948e-3
WATER = 2 * 1.008e-3 + 15.999e-3


def atoms_of(gas):
    totals = dict.fromkeys("CHON", 0.0) | {"Ar": 0.0}
    for species, share in gas.items():
        for atom, count in FORMULAS[species].items():
            totals[atom] += share * count
    return totals


@given(
    carbon=st.floats(0.5, 12),
    hydrogen_ratio=st.floats(0.5, 4),
    oxygen_ratio=st.floats(0, 1),
    lambda_=st.floats(0.5, 8),
    water=st.floats(0, 0.05),
    shift=st.floats(0.3, 6),
)
def test_atoms_and_mass_are_kept_and_the_shift_holds(
    carbon, hydrogen_ratio, oxygen_ratio, lambda_, water, shift
):
    hydrogen, oxygen = hydrogen_ratio * carbon, oxygen_ratio * carbon
    needed = carbon + hydrogen / 4 - oxygen / 2
    assume(needed > 0.05 * carbon)
    air = lambda_ * needed
    vapour = air * DRY_AIR * water / WATER
    assume(oxygen + vapour + 2 * air > 1.02 * carbon)  # no soot
    gas = burnt_gas(carbon, hydrogen, oxygen, lambda_, water, shift)
    assert math.fsum(gas.values()) == pytest.approx(1, abs=EXACT)
    assert min(gas.values()) >= -EXACT
    brought = {
        "C": carbon,
        "H": hydrogen + 2 * vapour,
        "O": oxygen + vapour + 2 * air,
        "N": 2 * 3.728 * air,
        "Ar": 0.0445 * air,
    }
    found = atoms_of(gas)
    moles = carbon / found["C"]  # of burnt gas
    for atom, count in brought.items():
        assert moles * found[atom] == pytest.approx(count, rel=1e-7, abs=1e-9), atom
    mass = fuel_molar_mass(carbon, hydrogen, oxygen) + air * DRY_AIR * (1 + water)
    assert moles * molar_mass(gas) == pytest.approx(mass, rel=1e-7)
    if lambda_ < 1:
        left = gas["H2O"] * gas["CO"]
        assert left == pytest.approx(shift * gas["CO2"] * gas["H2"], rel=1e-6, abs=1e-12)
        assert gas["O2"] == 0
    else:
        assert gas["CO"] == gas["H2"] == 0


@pytest.mark.parametrize("lambda_", [1.0, 1.1, 1.7])
def test_lean_gas_by_hand(lambda_):
    """CH4 + 2 lambda (O2 + 3.728 N2 + 0.0445 Ar): 1 CO2, 2 H2O, 2 (lambda - 1) O2."""
    total = 1 + 2 + 2 * (lambda_ - 1) + 2 * lambda_ * 3.7725
    gas = burnt_gas(1, 4, 0, lambda_)
    assert gas["CO2"] == pytest.approx(1 / total, rel=EXACT)
    assert gas["H2O"] == pytest.approx(2 / total, rel=EXACT)
    assert gas["O2"] == pytest.approx(2 * (lambda_ - 1) / total, abs=EXACT)
    assert gas["Ar"] == pytest.approx(2 * lambda_ * 0.0445 / total, rel=EXACT)


@pytest.mark.parametrize(
    ("lambda_", "expected", "mass"),
    [
        (0.85, {"CO2": 0.10141, "H2O": 0.12366, "CO": 0.04916, "H2": 0.01713}, 28.058),
        (0.90, {"CO2": 0.11235, "H2O": 0.12492, "CO": 0.03220, "H2": 0.01023}, 28.401),
        (1.00, {"CO2": 0.13384, "H2O": 0.12514, "CO": 0.0, "H2": 0.0}, 29.012),
        (1.10, {"CO2": 0.12236, "H2O": 0.11441, "O2": 0.01796, "CO": 0.0}, 29.008),
    ],
)
def test_gasoline_worked_by_hand(lambda_, expected, mass):
    """The quadratic solved apart from this code, for air lumped as O2 + 3.773 N2 of 28.16."""
    gas = burnt_gas(1, 1.87, 0, lambda_)
    for species, share in expected.items():
        assert gas[species] == pytest.approx(share, abs=2e-4)
    assert molar_mass(gas) * 1e3 == pytest.approx(mass, abs=0.01)


def test_continuous_at_lambda_one():
    rich, lean = burnt_gas(1, 1.87, 0, 1 - 1e-9), burnt_gas(1, 1.87, 0, 1.0)
    for species in FORMULAS:
        assert rich[species] == pytest.approx(lean[species], abs=1e-8)


def test_chemical_energy_by_hand():
    gas = {"CO": 0.05, "H2": 0.02, "N2": 0.93}
    # 283.0 and 241.8 kJ/mol, from memory
    mass = 0.05 * 0.02801 + 0.02 * 0.002016 + 0.93 * 0.028014
    assert chemical_energy(gas) == pytest.approx((0.05 * 283.0e3 + 0.02 * 241.8e3) / mass, rel=5e-4)
    assert chemical_energy(burnt_gas(1, 1.87, 0, 1.2)) == 0


def test_rich_gas_keeps_about_a_sixth_of_the_heat_at_full_load():
    """Lambda 0.88: 12 % too little oxygen keeps 12 to 18 % of the heat (common practice)."""
    per_fuel = chemical_energy(burnt_gas(1, 1.87, 0, 0.88)) * (
        1 + 0.88 * stoichiometric_air(1, 1.87, 0)
    )
    assert 0.12 < per_fuel / 44e6 < 0.18


def test_molar_masses_are_sums_of_atoms():
    atom = {"C": 12.011e-3, "H": 1.008e-3, "O": 15.999e-3, "N": 14.007e-3, "Ar": 39.948e-3}
    for species, formula in FORMULAS.items():
        mass = sum(atom[name] * count for name, count in formula.items())
        assert MOLAR_MASS[species] == pytest.approx(mass, rel=1e-12)
    assert fuel_molar_mass(2, 6, 1) == pytest.approx(46.069e-3, rel=1e-4)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((1, 1.87, 0, 0.2), "lambda_ is too small for this fuel: .*; use a leaner mixture"),
        ((1, 1.87, 0, 0.0), r"lambda_ must be more than zero \(got 0\)"),
        ((1, 1.87, 0, math.nan), "lambda_ must be more than zero"),
        ((-1, 4, 0, 1.0), "fuel must not have less than no atoms"),
        ((0, 0, 1, 1.0), "fuel must need air to burn"),
        ((1, 1.87, 0, 1.0, -0.1), "humidity_ratio must not be less than zero"),
        ((1, 1.87, 0, 1.0, 0.0, 0.0), "shift must be more than zero"),
    ],
)
def test_nonsense_is_refused_in_words(arguments, message):
    with pytest.raises(ExhaustError, match=message):
        burnt_gas(*arguments)


def test_hydrogen_burns_too():
    assert stoichiometric_oxygen(0, 2, 0) == pytest.approx(0.5)
    gas = burnt_gas(0, 2, 0, 1.0)
    assert gas["CO2"] == 0
    assert gas["H2O"] == pytest.approx(1 / (1 + 0.5 * 3.7725), rel=EXACT)
