"""Shapiro A.H. (1953), table 8.2: influence coefficients of one-dimensional flow (from memory).

dM^2/M^2 = (1+(g-1)/2 M^2)/(1-M^2) (-2 dA/A + (1+g M^2) dT0/T0 + g M^2 f dx/D)
dp0/p0 = -(g M^2/2) (dT0/T0 + f dx/D)

One combined case, integrated once to 1e-11 by a general solver, lies in data/published; any other
is integrated here.
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from exhaust.published.ducts import OUT, Duct, Straight, marched


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
    bore = Straight(ratio)
    flow = marched(Duct(gamma, mach_out, 1000.0, 1000.0 * warmth, bore, friction_number))
    # the march's own tolerance is 1e-7 of the inlet pressure; a Mach number moves as fast
    assert OUT / float(flow.pressure[0]) == pytest.approx(pressure, rel=3e-7)
    assert float(flow.mach[0]) == pytest.approx(mach_in, rel=5e-7)
    ends = float(flow.total_pressure[-1] / flow.total_pressure[0])
    assert ends == pytest.approx(total, rel=3e-7)
