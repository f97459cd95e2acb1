"""The speed of a real gas in a duct, from its total enthalpy and one thing more (plain arrays).

Energy h(T) + u^2/2 = h0 ties temperature to speed, whatever cp does; impulse over mass flow
J = p A/m + u = R T/u + u has its least value at Mach 1, where p A/m = R T/u is mass conservation.
"""

from __future__ import annotations

from typing import NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

from exhaust.errors import ExhaustError
from exhaust.flow.friction import FloatArray

TOLERANCE = 1e-12
ROUNDING = 1e-14
MOST_STEPS = 60


class Gas(Protocol):
    """What a duct asks of a gas; `exhaust.gas` has one, `Mixture`."""

    @property
    def gas_constant(self) -> float:
        """Gas constant [J/kg/K]."""

    def cp(self, temperature: FloatArray, /) -> FloatArray:
        """Heat capacity at a temperature [K] [J/kg/K]."""

    def enthalpy(self, temperature: FloatArray, /) -> FloatArray:
        """Enthalpy at a temperature [K] [J/kg]: the integral of cp."""

    def temperature_at(self, enthalpy: FloatArray, /) -> FloatArray:
        """Temperature [K] at an enthalpy [J/kg]."""


class Motion(NamedTuple):
    """A gas on its way: `velocity` [m/s], static `temperature` [K].

    `short` [bool]: no speed has so little impulse; this is Mach 1, where it is least.
    """

    velocity: FloatArray
    temperature: FloatArray
    short: NDArray[np.bool_]


def motion_at_impulse(impulse: FloatArray, total_enthalpy: FloatArray, gas: Gas) -> Motion:
    """Return the subsonic motion with `impulse` J [m/s] and `total_enthalpy` [J/kg].

    R T/u + u = J with h(T) + u^2/2 = h0. Each step goes to the lesser root of the parabola through
    value, slope and curvature, so that Mach 1, a double root, costs no more; where the parabola
    has no root, to its lowest point.

    >>> from exhaust.engine.species import gas_table
    >>> from exhaust.gas.properties import Mixture
    >>> air = Mixture({"N2": 0.79, "O2": 0.21}, gas_table())
    >>> h0 = air.enthalpy(np.array([900.0]))
    >>> round(float(motion_at_impulse(np.array([2700.0]), h0, air).velocity[0]), 1)
    99.2
    """
    J, R = impulse, gas.gas_constant
    T0 = gas.temperature_at(total_enthalpy)
    a = 1 - R / (2 * gas.cp(T0))
    u = 2 * R * T0 / (np.maximum(J, 2 * np.sqrt(a * R * T0)) + _root(J**2 - 4 * a * R * T0))
    for _ in range(MOST_STEPS):
        T = gas.temperature_at(total_enthalpy - u**2 / 2)
        cp = gas.cp(T)
        over = R * T / u + u - J
        slope = 1 - R / cp - R * T / u**2
        bend = R / (cp * u) + 2 * R * T / u**3
        left = slope**2 - 2 * over * bend
        forward = (slope < 0) & (left > 0)
        steep = np.where(forward, -slope, 1.0) + _root(left)
        step = np.where(forward, 2 * over / steep, (-slope - _root(left)) / bend)
        close = (np.abs(step) <= TOLERANCE * u) | ((np.abs(over) <= ROUNDING * J) & (left >= 0))
        if np.all(close):
            return Motion(u, T, (left < 0) & (over > ROUNDING * J))
        u = u + step
    raise ExhaustError(f"the speed of the gas did not settle (step {np.max(np.abs(step)):.1e} m/s)")


def sonic_motion(total_enthalpy: FloatArray, gas: Gas) -> Motion:
    """Return the motion at Mach 1 of a gas with `total_enthalpy` [J/kg].

    >>> from exhaust.engine.species import gas_table
    >>> from exhaust.gas.properties import Mixture
    >>> air = Mixture({"N2": 0.79, "O2": 0.21}, gas_table())
    >>> round(float(sonic_motion(air.enthalpy(np.array([900.0])), air).velocity[0]))
    547
    """
    return motion_at_impulse(np.zeros_like(total_enthalpy), total_enthalpy, gas)


def motion_at_pressure(
    mass_velocity: FloatArray, pressure: FloatArray, total_enthalpy: FloatArray, gas: Gas
) -> Motion:
    """Return the motion at a static pressure; it may be supersonic.

    u = c T with c = G R/p, and h(T) + (c T)^2/2 = h0: convex, so Newton comes down to it.

    `mass_velocity` G = m/A [kg/m^2/s], `pressure` [Pa], `total_enthalpy` [J/kg].

    >>> from exhaust.engine.species import gas_table
    >>> from exhaust.gas.properties import Mixture
    >>> air = Mixture({"N2": 0.79, "O2": 0.21}, gas_table())
    >>> G, p, h0 = np.array([40.0]), np.array([101325.0]), air.enthalpy(np.array([900.0]))
    >>> round(float(motion_at_pressure(G, p, h0, air).velocity[0]), 1)
    101.9
    """
    c = mass_velocity * gas.gas_constant / pressure
    T = gas.temperature_at(total_enthalpy)
    for _ in range(MOST_STEPS):
        over = gas.enthalpy(T) + (c * T) ** 2 / 2 - total_enthalpy
        step = over / (gas.cp(T) + c**2 * T)
        T = T - step
        if np.all(np.abs(step) <= TOLERANCE * T):
            return Motion(c * T, T, np.zeros(np.shape(T), bool))
    raise ExhaustError(f"the temperature did not settle (step {np.max(np.abs(step)):.1e} K)")


def _root(squared: FloatArray) -> FloatArray:
    """Return the square root, nought of what is below nought."""
    return np.sqrt(np.maximum(squared, 0.0))
