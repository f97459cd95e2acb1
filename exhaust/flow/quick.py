"""A quick march up a piece of tube: the same balance of impulse as `march`, in few steps.

For thousands of samples at once. Heat capacity is that at total temperature, which falls along a
parabola. How far it lies from the full march is measured in its tests and benchmark.
"""

from __future__ import annotations

from typing import NamedTuple, Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from exhaust.flow.friction import FloatArray

STEPS = 4  # of impulse along a piece


class IdealGas(Protocol):
    """What a quick march asks of a gas."""

    @property
    def gas_constant(self) -> float:
        """Gas constant [J/kg/K]."""

    def cp(self, temperature: FloatArray, /) -> FloatArray:
        """Heat capacity at a temperature [K] [J/kg/K]."""


class Moving(NamedTuple):
    """The gas at one place, arrays (samples...)."""

    pressure: FloatArray  # static, absolute [Pa]
    velocity: FloatArray  # [m/s]
    temperature: FloatArray  # static [K]
    total_temperature: FloatArray  # [K]
    heat_capacity: FloatArray  # cp [J/kg/K]


def at_pressure(
    flux: FloatArray, pressure: ArrayLike, total_temperature: FloatArray, gas: IdealGas
) -> tuple[Moving, NDArray[np.bool_]]:
    """Return gas that carries mass `flux` [kg/s/m^2] at a static `pressure` [Pa].

    Where it would be faster than sound it moves at Mach 1, at the pressure that its flux needs;
    the second array says where.
    """
    T0, R = total_temperature, gas.gas_constant
    cp = gas.cp(T0)
    g = cp / (cp - R)
    sonic_T = 2 * T0 / (g + 1)
    sonic_u = np.sqrt(g * R * sonic_T)
    p = np.asarray(pressure, float)
    b = flux * R * T0 / p
    u = 2 * b / (1 + np.sqrt(1 + 2 * b * b / (cp * T0)))
    choked = ~(u < sonic_u)
    u = np.where(choked, sonic_u, u)
    T = T0 - u * u / (2 * cp)
    return Moving(flux * R * T / u, u, T, *np.broadcast_arrays(T0, cp)), choked


def quick_start(
    end: Moving,
    loss: ArrayLike,
    flux: FloatArray,
    warmth: tuple[FloatArray, FloatArray],
    gas: IdealGas,
) -> Moving:
    """Return the gas at the start of an even piece, from its `end`, `loss` N = f L/D + sum K.

    Impulse over mass flow J = p A/m + u by dJ/dN = -u/2, the midpoint rule over the root of the
    share of loss from the end, in which a gas near Mach 1 changes evenly. `warmth` is the total
    temperature at the start and half way [K]; a parabola joins them to that at the end.
    """
    R, N, T0 = gas.gas_constant, np.asarray(loss, float), end.total_temperature
    start, middle = warmth
    cp = gas.cp(start)
    slope, bend = 4 * middle - 3 * T0 - start, 2 * (T0 + start) - 4 * middle
    a4, more = (4 * (1 - R / (2 * value)) * R for value in (end.heat_capacity, cp))
    J, u, done = end.pressure / flux + end.velocity, end.velocity, 0.0
    for step in range(1, STEPS + 1):
        half, share = ((step - 0.5) / STEPS) ** 2, (step / STEPS) ** 2
        mean = (done + share) / 2  # of a temperature that falls evenly along the step
        a4_half, a4_then = (a4 + place * (more - a4) for place in (mean, share))
        T_half, T_then = (T0 + place * (slope + place * bend) for place in (mean, share))
        u = _speed(J + N * ((half - done) / 2) * u, T_half, R, a4_half)
        J = J + N * ((share - done) / 2) * u
        u = _speed(J, T_then, R, a4_then)
        done = share
    T = start - u * u / (2 * cp)
    return Moving(*np.broadcast_arrays(flux * (J - u), u, T, start, cp))


def _speed(impulse: FloatArray, T0: FloatArray, R: float, a4: FloatArray) -> FloatArray:
    """Return the subsonic speed [m/s]: R T0/u + (1 - R/2cp) u = J."""
    root = np.sqrt(np.maximum(impulse * impulse - a4 * T0, 0.0))
    return np.asarray(2 * R * T0 / (impulse + root))


def total_pressure(at: Moving, gas: IdealGas) -> FloatArray:
    """Return total pressure [Pa]: p (T0/T)^(cp/R), cp half way between; nan where p is."""
    half = (at.temperature + at.total_temperature) / 2
    cp = gas.cp(np.where(np.isnan(half), at.total_temperature, half))
    ratio = at.total_temperature / at.temperature
    return np.asarray(at.pressure * ratio ** (cp / gas.gas_constant))
