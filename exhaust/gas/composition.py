"""What burnt gas is made of, from the fuel's atoms and lambda (plain floats)."""

from __future__ import annotations

import math
from types import MappingProxyType

from exhaust.errors import ExhaustError

_C, _H, _O, _N, _AR = 12.011e-3, 1.008e-3, 15.999e-3, 14.007e-3, 39.948e-3  # [kg/mol]

MOLAR_MASS = MappingProxyType(
    {
        "N2": 2 * _N,
        "O2": 2 * _O,
        "CO2": _C + 2 * _O,
        "H2O": 2 * _H + _O,
        "CO": _C + _O,
        "H2": 2 * _H,
        "Ar": _AR,
    }
)  # [kg/mol]

# Dry air beside each mole of oxygen; together 3.773 as the textbook lump has it [heywood].
NITROGEN_PER_OXYGEN = 3.728
ARGON_PER_OXYGEN = 0.0445
DRY_AIR_PER_OXYGEN = (
    MOLAR_MASS["O2"] + NITROGEN_PER_OXYGEN * MOLAR_MASS["N2"] + ARGON_PER_OXYGEN * MOLAR_MASS["Ar"]
)  # [kg per mol of O2]

WATER_GAS_CONSTANT = 3.5  # frozen near 1740 K [heywood]
HEATING_VALUE = MappingProxyType({"CO": 282.98e3, "H2": 241.83e3})  # lower, 298 K [J/mol] [janaf]


def fuel_molar_mass(carbon: float, hydrogen: float, oxygen: float) -> float:
    """Return the mass of one mole of the fuel's formula [kg/mol].

    >>> round(fuel_molar_mass(2, 6, 1) * 1e3, 2)
    46.07
    """
    return carbon * _C + hydrogen * _H + oxygen * _O


def stoichiometric_oxygen(carbon: float, hydrogen: float, oxygen: float) -> float:
    """Return the O2 that burns one mole of the fuel's formula completely [mol/mol].

    s = a + b/4 - c/2 for a fuel CaHbOc.

    >>> stoichiometric_oxygen(1, 4, 0)
    2.0
    """
    _checked_fuel(carbon, hydrogen, oxygen)
    return carbon + hydrogen / 4 - oxygen / 2


def stoichiometric_air(carbon: float, hydrogen: float, oxygen: float) -> float:
    """Return the dry air that burns the fuel completely [kg per kg of fuel].

    (A/F)s = s (M_O2 + 3.728 M_N2 + 0.0445 M_Ar) / M_fuel  [heywood]

    >>> round(stoichiometric_air(1, 1.87, 0), 2)
    14.6
    """
    needed = stoichiometric_oxygen(carbon, hydrogen, oxygen)
    return needed * DRY_AIR_PER_OXYGEN / fuel_molar_mass(carbon, hydrogen, oxygen)


def burnt_gas(
    carbon: float,
    hydrogen: float,
    oxygen: float,
    lambda_: float,
    humidity_ratio: float = 0.0,
    shift: float = WATER_GAS_CONSTANT,
) -> dict[str, float]:
    """Return the mole fractions of burnt gas by species [mol/mol].

    `humidity_ratio` is the water the air brings [kg per kg of dry air]. Lean gas is burnt
    completely. Rich gas shares its oxygen by the water-gas reaction frozen at
    K = n_H2O n_CO / (n_CO2 n_H2) = `shift` [heywood]. Dissociation is left out: up to 0.0008 of
    a mole fraction at lambda 1 and 1740 K [cantera]. Raises when too rich: soot would form.

    >>> gas = burnt_gas(1, 1.87, 0, lambda_=0.85)
    >>> {name: round(share, 3) for name, share in gas.items()}
    {'N2': 0.7, 'O2': 0.0, 'CO2': 0.101, 'H2O': 0.124, 'CO': 0.049, 'H2': 0.017, 'Ar': 0.008}
    """
    _checked_state(lambda_, humidity_ratio, shift)
    needed = stoichiometric_oxygen(carbon, hydrogen, oxygen)
    supplied = lambda_ * needed
    vapour = supplied * DRY_AIR_PER_OXYGEN * humidity_ratio / MOLAR_MASS["H2O"]
    monoxide = hydrogen_left = oxygen_left = 0.0
    if lambda_ >= 1:
        oxygen_left = supplied - needed
    else:
        atoms = oxygen + vapour + 2 * supplied
        missing = 2 * (needed - supplied)
        monoxide = _monoxide(carbon, atoms - 2 * carbon, missing, shift)
        hydrogen_left = missing - monoxide
    moles = {
        "N2": supplied * NITROGEN_PER_OXYGEN,
        "O2": oxygen_left,
        "CO2": carbon - monoxide,
        "H2O": hydrogen / 2 + vapour - hydrogen_left,
        "CO": monoxide,
        "H2": hydrogen_left,
        "Ar": supplied * ARGON_PER_OXYGEN,
    }
    total = sum(moles.values())
    return {name: amount / total for name, amount in moles.items()}


def _monoxide(carbon: float, spare: float, missing: float, shift: float) -> float:
    """Return the CO of rich gas [mol per mole of formula].

    With k of CO: CO2 is a - k, H2O is d + k, H2 is m - k, where d is the oxygen atoms less 2a
    and m the oxygen atoms missing. K = (d + k) k / ((a - k)(m - k)) gives
    (1 - K) k^2 + (d + K (a + m)) k - K a m = 0; the root that lies between nought and the
    smaller of a and m, in the form that holds at K = 1 too.
    """
    if carbon + spare <= 0:
        raise ExhaustError(
            "lambda_ is too small for this fuel: it leaves no oxygen for the hydrogen, and soot "
            "would form; use a leaner mixture"
        )
    b = spare + shift * (carbon + missing)
    c = shift * carbon * missing
    return 2 * c / (b + math.sqrt(b * b + 4 * (1 - shift) * c))


def molar_mass(fractions: dict[str, float]) -> float:
    """Return the mean molar mass of a gas [kg/mol].

    >>> round(molar_mass({"N2": 0.79, "O2": 0.21}) * 1e3, 2)
    28.85
    """
    return sum(share * MOLAR_MASS[name] for name, share in fractions.items())


def chemical_energy(fractions: dict[str, float]) -> float:
    """Return the heat that the CO and H2 of a gas would still give [J per kg of gas].

    >>> round(chemical_energy(burnt_gas(1, 1.87, 0, lambda_=0.88)) / 1e6, 2)
    0.5
    """
    left = sum(fractions.get(name, 0.0) * heat for name, heat in HEATING_VALUE.items())
    return left / molar_mass(fractions)


def _checked_fuel(carbon: float, hydrogen: float, oxygen: float) -> None:
    got = f"(got C {carbon:g}, H {hydrogen:g}, O {oxygen:g}); give the atoms of its formula"
    if not all(0 <= atoms < math.inf for atoms in (carbon, hydrogen, oxygen)):
        raise ExhaustError(f"fuel must not have less than no atoms {got}")
    if carbon + hydrogen / 4 - oxygen / 2 <= 0:
        raise ExhaustError(f"fuel must need air to burn {got}")


def _checked_state(lambda_: float, humidity_ratio: float, shift: float) -> None:
    for name, value in (("lambda_", lambda_), ("shift", shift)):
        if not 0 < value < math.inf:
            raise ExhaustError(f"{name} must be more than zero (got {value:g})")
    if not 0 <= humidity_ratio < math.inf:
        raise ExhaustError(f"humidity_ratio must not be less than zero (got {humidity_ratio:g})")
