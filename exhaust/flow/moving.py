"""What can be said of gas at one place: Mach number, dynamic head, total pressure."""

from __future__ import annotations

import numpy as np

from exhaust.flow.friction import FloatArray
from exhaust.flow.impulse import Gas
from exhaust.flow.quick import Moving, total_pressure

__all__ = ["dynamic_head", "mach_number", "total_pressure"]


def mach_number(at: Moving, gas: Gas) -> FloatArray:
    """Return the Mach number: u/(gamma R T)^(1/2), gamma of its heat capacity."""
    R, cp = gas.gas_constant, at.heat_capacity
    return np.asarray(at.velocity / np.sqrt(cp / (cp - R) * R * at.temperature))


def dynamic_head(at: Moving, gas: Gas) -> FloatArray:
    """Return the dynamic head [Pa]: rho u^2/2, rho = p/(R T)."""
    return np.asarray(at.pressure * at.velocity**2 / (2 * gas.gas_constant * at.temperature))
