"""Closed relations of a gas of one heat capacity without heat loss: Mach numbers and friction.

Friction and local losses count as one number N = f L/D + sum K on the dynamic head, by the Fanno
relation [shapiro, naca1135]: no steps, no grid, and no trouble near Mach 1.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from exhaust.errors import ExhaustError, broken
from exhaust.flow.friction import FloatArray

TOLERANCE = 1e-13
MOST_STEPS = 60


class Gas(NamedTuple):
    """An ideal gas: `gamma` [-] and `gas_constant` [J/kg/K]; arrays broadcast."""

    gamma: ArrayLike
    gas_constant: ArrayLike


class State(NamedTuple):
    """The gas at one place, arrays of one shape."""

    mach: FloatArray
    pressure: FloatArray  # static, absolute [Pa]
    total_pressure: FloatArray  # absolute [Pa]
    velocity: FloatArray  # [m/s]
    dynamic_head: FloatArray  # rho u^2 / 2 [Pa]


def fanno_loss(mach: ArrayLike, gamma: ArrayLike) -> FloatArray:
    """Return the loss number that takes a gas at `mach` to Mach 1.

    N = (1-M^2)/(g M^2) + (g+1)/(2g) ln[(g+1) M^2/(2+(g-1) M^2)] [naca1135], M above zero.

    >>> round(float(fanno_loss(0.5, 1.4)), 5)
    1.06906
    """
    M2, g = np.asarray(mach, float) ** 2, np.asarray(gamma, float)
    a = (g + 1) / 2
    z = (1 / M2 - 1) / a
    return np.asarray(a / g * (z - np.log1p(z)))


def mach_before(mach: ArrayLike, loss: ArrayLike, gamma: ArrayLike) -> FloatArray:
    """Return the Mach number ahead of a loss, from the one after it (up to 1).

    With z = 2 (1/M^2 - 1)/(g+1) the Fanno relation is z - ln(1+z) = t, whatever the gas. The left
    side is convex and t + sqrt(2t) lies above the root, so Newton's steps come down to it.

    >>> round(float(mach_before(1.0, 1.06906, 1.4)), 4)
    0.5
    """
    M2, N, g = np.broadcast_arrays(
        np.asarray(mach, float) ** 2, np.asarray(loss, float), np.asarray(gamma, float)
    )
    if not np.all((M2 > 0) & (M2 <= 1)):
        raise broken("must be above 0 and up to 1", f"{np.sqrt(np.max(M2)):g}").named("mach")
    if not np.all(N >= 0):
        raise broken("must not be less than zero", f"{np.min(N):g}").named("loss")
    a = (g + 1) / 2
    after = (1 / M2 - 1) / a
    t = after - np.log1p(after) + g * N / a
    z = t + np.sqrt(2 * t)
    for _ in range(MOST_STEPS):
        step = np.where(z > 0, (z - np.log1p(z) - t) * (1 + z) / np.where(z > 0, z, 1.0), 0.0)
        z = np.maximum(z - step, after)
        if np.all(np.abs(step) <= TOLERANCE * (1 + z)):
            return np.asarray(1 / np.sqrt(1 + a * z))
    raise ExhaustError(f"the Fanno relation did not settle (step {np.max(np.abs(step)):.1e})")


def mach_from_static(flux: ArrayLike, pressure: ArrayLike, gamma: ArrayLike) -> FloatArray:
    """Return the Mach number of a mass flux at a static pressure; it may exceed 1.

    x = flux/(p sqrt(g)), M^2 (1 + (g-1)/2 M^2) = x^2, solved in closed form.

    `flux` m sqrt(R T0)/A [Pa], `pressure` [Pa], `gamma` [-].

    >>> round(float(mach_from_static(100e3, 100e3, 1.4)), 4)
    0.7962
    """
    g = np.asarray(gamma, float)
    x2 = (np.asarray(flux, float) / np.asarray(pressure, float)) ** 2 / g
    return np.asarray(np.sqrt(2 * x2 / (1 + np.sqrt(1 + 2 * (g - 1) * x2))))


def mach_from_total(flux: ArrayLike, total_pressure: ArrayLike, gamma: ArrayLike) -> FloatArray:
    """Return the subsonic Mach number of a mass flux at a total pressure; nan where it chokes.

    flux/(p0 sqrt(g)) = M (1 + (g-1)/2 M^2)^(-(g+1)/(2(g-1))) [naca1135], concave and rising up to
    Mach 1, so Newton's steps climb to the root from below.

    >>> round(float(mach_from_total(100e3, 200e3, 1.4)), 4)
    0.4851
    """
    flux, p0, g = np.broadcast_arrays(
        np.asarray(flux, float), np.asarray(total_pressure, float), np.asarray(gamma, float)
    )
    power = (g + 1) / (2 * (g - 1))
    wanted = flux / (p0 * np.sqrt(g))
    fits = wanted < ((g + 1) / 2) ** -power
    M = np.where(fits, wanted, 0.5)
    for _ in range(MOST_STEPS):
        warm = 1 + (g - 1) / 2 * M**2
        slope = (1 - M**2) * warm ** (-power - 1)
        short = np.where(fits, wanted - M * warm**-power, 0.0)
        if np.all(np.abs(short) <= TOLERANCE * wanted):
            return np.where(fits, M, np.nan)
        M = np.minimum(M + short / slope, (1 + M) / 2)
    raise ExhaustError(f"the Mach number did not settle (off by {np.max(np.abs(short)):.1e})")


def state(mach: FloatArray, flux: FloatArray, total_temperature: ArrayLike, gas: Gas) -> State:
    """Return the gas at `mach`, carrying `flux` = m sqrt(R T0)/A [Pa].

    >>> air = Gas(1.4, 287.05)
    >>> round(float(state(np.array(1.0), np.array(1e5), 300.0, air).velocity), 1)
    317.0
    """
    g, R = np.asarray(gas.gamma, float), np.asarray(gas.gas_constant, float)
    warm = 1 + (g - 1) / 2 * mach**2  # total over static temperature
    pressure = flux / (mach * np.sqrt(g * warm))
    velocity = mach * np.sqrt(g * R * np.asarray(total_temperature, float) / warm)
    fields = np.broadcast_arrays(
        mach, pressure, pressure * warm ** (g / (g - 1)), velocity, g / 2 * pressure * mach**2
    )
    return State(*(np.asarray(field, float) for field in fields))
