"""Heywood J.B. (1988) Internal Combustion Engine Fundamentals, McGraw-Hill, table D.4.

The table itself lies in data/published, from memory; here two of its fuels are mixed.
"""

import pytest

from exhaust.engine.fuel import fuel

PRINTED = 0.003  # the table gives three or four figures, for air of 28.96 to 28.97 g/mol


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
