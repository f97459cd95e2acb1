"""Heywood J.B. (1988) Internal Combustion Engine Fundamentals, McGraw-Hill, table D.4.

Stoichiometric air-fuel ratios of fuels by their formula; the table from memory.
"""

import pytest

from exhaust.engine.fuel import fuel
from exhaust.gas.composition import stoichiometric_air

PRINTED = 0.003  # the table gives three or four figures, for air of 28.96 to 28.97 g/mol


@pytest.mark.parametrize(
    ("name", "atoms", "ratio"),
    [
        ("gasoline", (1, 1.87, 0), 14.60),
        ("iso-octane", (8, 18, 0), 15.13),
        ("methanol", (1, 4, 1), 6.47),
        ("ethanol", (2, 6, 1), 9.00),
        ("light diesel", (1, 1.8, 0), 14.50),
        ("methane", (1, 4, 0), 17.23),
        ("propane", (3, 8, 0), 15.67),
    ],
)
def test_air_fuel_ratio_of_a_formula(name, atoms, ratio):
    assert stoichiometric_air(*atoms) == pytest.approx(ratio, rel=PRINTED)


@pytest.mark.parametrize(
    ("name", "ratio"),
    [
        ("gasoline", 14.60),
        ("ethanol", 9.00),
        ("methanol", 6.47),
        ("diesel", 14.50),
        ("methane", 17.23),
        ("propane", 15.67),
    ],
)
def test_air_fuel_ratio_of_the_shipped_fuels(name, ratio):
    assert fuel(name).stoichiometric_air == pytest.approx(ratio, rel=PRINTED)


@pytest.mark.parametrize(
    ("name", "heating_value"),
    [
        ("gasoline", 44.0e6),
        ("ethanol", 26.9e6),
        ("methanol", 20.0e6),
        ("diesel", 42.5e6),
        ("methane", 50.0e6),
        ("propane", 46.4e6),
    ],
)
def test_lower_heating_values_as_the_table_has_them(name, heating_value):
    assert fuel(name).heating_value == pytest.approx(heating_value, rel=1e-9)


# Mixing by mass of the two formulas above, at 745 and 789 kg/m^3 (densities from memory).
@pytest.mark.parametrize(("name", "share"), [("E10", 0.10), ("E85", 0.85)])
def test_blends_mix_by_mass(name, share):
    ethanol = share * 789 / (share * 789 + (1 - share) * 745)
    ratio = ethanol * 9.00 + (1 - ethanol) * 14.60
    heat = ethanol * 26.9e6 + (1 - ethanol) * 44.0e6
    assert fuel(name).stoichiometric_air == pytest.approx(ratio, rel=PRINTED)
    assert fuel(name).heating_value == pytest.approx(heat, rel=PRINTED)
    carbon, hydrogen, oxygen = fuel(name).atoms
    # oxygen by mass: only ethanol has any, 15.999 in 46.069
    mass = 12.011 * carbon + 1.008 * hydrogen + 15.999 * oxygen
    assert 15.999 * oxygen / mass == pytest.approx(ethanol * 15.999 / 46.069, rel=1e-3)


@pytest.mark.parametrize(("name", "ratio"), [("E10", 14.01), ("E85", 9.80)])
def test_blends_by_number(name, ratio):
    assert fuel(name).stoichiometric_air == pytest.approx(ratio, rel=PRINTED)
