"""Shapiro A.H. (1953), table 8.2: influence coefficients of one-dimensional flow (from memory).

dM^2/M^2 = (1+(g-1)/2 M^2)/(1-M^2) (-2 dA/A + (1+g M^2) dT0/T0 + g M^2 f dx/D)
dp0/p0 = -(g M^2/2) (dT0/T0 + f dx/D)

One combined case, integrated once to 1e-11 by a general solver and kept as numbers; and any other
by integrating the table here.
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from exhaust.flow.march import march
from exhaust.flow.passage import Passage

R, BORE, LENGTH, OUT = 287.05, 0.06, 6.0, 101325.0
AREA = np.pi / 4 * BORE**2


class Steady:
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


class Straight:
    """A bore whose area, not its diameter, runs straight from one end to the other."""

    def __init__(self, ratio):
        self.ratio = ratio

    def area(self, share):
        return np.asarray(AREA * (1 + (self.ratio - 1) * share))

    def widening(self, share):
        return np.asarray(AREA * (self.ratio - 1) + 0 * share)


def marched(gamma, mach_out, friction_number, warmth, ratio):
    """A run with T0 from 1000 K straight to `warmth` of it, leaving at `mach_out`."""
    gas, out = Steady(gamma), 1000.0 * warmth
    T = out / (1 + (gamma - 1) / 2 * mach_out**2)
    m = OUT / (R * T) * mach_out * np.sqrt(gamma * R * T) * AREA * ratio
    loss = m * gas.heat_capacity * (1000.0 - out) / LENGTH

    def heat(distance, diameter, temperature):
        return temperature, np.full(np.shape(temperature), loss)

    run = Passage(Straight(ratio), LENGTH, friction=friction_number * BORE / LENGTH)
    return march(run, gas, m, 1000.0, OUT, heat)


def integrated(gamma, mach_in, friction_number, warmth, ratio):
    """Mach number, p2/p1 and p02/p01 by Shapiro's table, over the share of length."""

    def slopes(share, y):
        M2, g = y[0], gamma
        dA = (ratio - 1) / (1 + (ratio - 1) * share)
        dT0 = (warmth - 1) / (1 + (warmth - 1) * share)
        f = friction_number / np.sqrt(1 + (ratio - 1) * share)
        rise = -2 * dA + (1 + g * M2) * dT0 + g * M2 * f
        return [M2 * (1 + (g - 1) / 2 * M2) / (1 - M2) * rise, -g * M2 / 2 * (dT0 + f)]

    M2, log_p0 = solve_ivp(slopes, (0, 1), [mach_in**2, 0.0], rtol=1e-11, atol=1e-13).y[:, -1]
    power = gamma / (gamma - 1)
    cooler = (1 + (gamma - 1) / 2 * mach_in**2) / (1 + (gamma - 1) / 2 * M2)
    return np.sqrt(M2), np.exp(log_p0) * cooler**power, np.exp(log_p0)


def test_friction_cooling_and_a_widening_bore_together():
    """Gamma 1.35, Mach 0.25 in, f L/D1 = 2, T0 falls straight to 0.8, area rises to 1.2."""
    flow = marched(1.35, 0.194326, 2.0, 0.8, 1.2)
    # six printed figures of the Mach number at the end; loss and Mach at the start follow
    assert float(flow.mach[0]) == pytest.approx(0.25, rel=2e-5)
    assert OUT / float(flow.pressure[0]) == pytest.approx(0.96096, rel=1e-5)
    total = float(flow.total_pressure[-1] / flow.total_pressure[0])
    assert total == pytest.approx(0.945185, rel=1e-5)


@pytest.mark.parametrize(
    ("gamma", "mach_in", "friction_number", "warmth", "ratio"),
    [
        (1.33, 0.15, 5.0, 0.7, 1.0),
        (1.33, 0.40, 1.0, 0.9, 1.3),
        (1.30, 0.30, 2.0, 0.6, 0.8),
        (1.40, 0.30, 0.5, 1.4, 0.9),  # heated
        (1.35, 0.60, 0.3, 0.95, 1.0),
    ],
)
def test_any_mixture_of_the_three(gamma, mach_in, friction_number, warmth, ratio):
    mach_out, pressure, total = integrated(gamma, mach_in, friction_number, warmth, ratio)
    flow = marched(gamma, mach_out, friction_number, warmth, ratio)
    # the march's own tolerance is 1e-7 of the inlet pressure; a Mach number moves as fast
    assert OUT / float(flow.pressure[0]) == pytest.approx(pressure, rel=3e-7)
    assert float(flow.mach[0]) == pytest.approx(mach_in, rel=5e-7)
    ends = float(flow.total_pressure[-1] / flow.total_pressure[0])
    assert ends == pytest.approx(total, rel=3e-7)
