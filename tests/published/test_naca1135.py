"""NACA Report 1135 (Ames Research Staff, 1953): isentropic flow and normal shocks.

The tables' columns to five or six figures, from its closed forms (equations 43, 44, 93 to 99 as
remembered; the report itself was not open).
"""

import numpy as np
import pytest

from exhaust.flow.fanno import Gas, mach_from_static, mach_from_total, state
from exhaust.flow.impulse import motion_at_impulse
from exhaust.flow.moving import mach_number, total_pressure
from exhaust.flow.quick import at_pressure

R, T0, P0 = 287.05, 900.0, 2e5

# gamma, Mach, T/T0, p/p0, A/A*
ISENTROPIC = [
    (1.4, 0.1, 0.998004, 0.993031, 5.821829),
    (1.4, 0.3, 0.982318, 0.939470, 2.035065),
    (1.4, 0.5, 0.952381, 0.843019, 1.339844),
    (1.4, 0.8, 0.886525, 0.656022, 1.038230),
    (1.33, 0.2, 0.993443, 0.973836, 2.984731),
    (1.33, 0.5, 0.960384, 0.849665, 1.345408),
    (1.3, 0.5, 0.963855, 0.852547, 1.347853),
]
# Mach ahead, Mach behind, pressure, density, temperature and total pressure ratios; gamma 1.4
SHOCKS = [
    (1.5, 0.70109, 2.45833, 1.86207, 1.32022, 0.92979),
    (2.0, 0.57735, 4.5, 2.66667, 1.6875, 0.72087),
    (3.0, 0.47519, 10.33333, 3.85714, 2.67901, 0.32834),
]
FIGURES = 1e-5  # the tables' last figure, on their smallest number


class Perfect:
    """A gas of constant heat capacity."""

    gas_constant = R

    def __init__(self, gamma):
        self.heat_capacity = gamma * R / (gamma - 1)

    def cp(self, temperature):
        return self.heat_capacity + 0 * temperature

    def enthalpy(self, temperature):
        return self.heat_capacity * temperature

    def temperature_at(self, enthalpy):
        return enthalpy / self.heat_capacity


def choked_flux(gamma):
    """Mass flux at Mach 1 [kg/s/m^2], by the report's equation for it."""
    power = -(gamma + 1) / (2 * (gamma - 1))
    return P0 * np.sqrt(gamma / (R * T0)) * ((gamma + 1) / 2) ** power


@pytest.mark.parametrize(("gamma", "mach", "cold", "static", "area"), ISENTROPIC)
def test_isentropic_rows(gamma, mach, cold, static, area):
    """A flux of 1/(A/A*) of the choked one, at the row's static pressure."""
    flux = choked_flux(gamma) / area
    thrust = np.asarray(flux * np.sqrt(R * T0))
    assert float(mach_from_total(thrust, P0, gamma)) == pytest.approx(mach, rel=FIGURES)
    assert float(mach_from_static(thrust, static * P0, gamma)) == pytest.approx(mach, rel=FIGURES)
    at = state(np.asarray(mach), thrust, T0, Gas(gamma, R))
    assert float(at.pressure) == pytest.approx(static * P0, rel=FIGURES)
    assert float(at.total_pressure) == pytest.approx(P0, rel=FIGURES)
    quick, choked = at_pressure(np.asarray(flux), static * P0, np.asarray(T0), Perfect(gamma))
    assert not choked
    assert float(quick.temperature) == pytest.approx(cold * T0, rel=FIGURES)
    assert float(mach_number(quick, Perfect(gamma))) == pytest.approx(mach, rel=FIGURES)
    assert float(total_pressure(quick, Perfect(gamma))) == pytest.approx(P0, rel=FIGURES)


@pytest.mark.parametrize(("ahead", "behind", "p", "rho", "T", "p0"), SHOCKS)
def test_the_slow_side_of_the_impulse_is_behind_a_normal_shock(ahead, behind, p, rho, T, p0):
    """Flux, impulse and total enthalpy pass a shock unchanged: the march's subsonic root of them,
    from the state ahead, is the state behind."""
    gamma = 1.4
    gas = Perfect(gamma)
    T1 = T0 / (1 + (gamma - 1) / 2 * ahead**2)
    u1 = ahead * np.sqrt(gamma * R * T1)
    impulse, enthalpy = np.array([R * T1 / u1 + u1]), np.array([gas.enthalpy(T0)])
    after = motion_at_impulse(impulse, enthalpy, gas)
    u2, T2 = float(after.velocity[0]), float(after.temperature[0])
    assert u2 / np.sqrt(gamma * R * T2) == pytest.approx(behind, rel=FIGURES)
    assert pytest.approx(T, rel=FIGURES) == T2 / T1
    assert u1 / u2 == pytest.approx(rho, rel=FIGURES)
    assert T2 / T1 * u1 / u2 == pytest.approx(p, rel=FIGURES)
    totals = p * ((T0 / T2) / (T0 / T1)) ** (gamma / (gamma - 1))
    assert totals == pytest.approx(p0, rel=3 * FIGURES)
