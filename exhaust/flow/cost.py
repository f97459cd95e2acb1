"""What back pressure costs: pumping and filling, first order."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from exhaust.bands import Band
from exhaust.flow.friction import FloatArray

MECHANICAL_EFFICIENCY = 0.85  # brake over gross indicated, full load; common practice, no source
CHARGE_GAMMA = 1.4  # of the cold charge, as the ideal cycle takes it
EXPANSION_RATIO = Band(1.5, 2.0, 2.5)  # across the turbine at full load; common practice, no source


class Breathing(NamedTuple):
    """What decides the price of back pressure; arrays broadcast."""

    mean_effective_pressure: ArrayLike  # brake [Pa]
    intake_pressure: ArrayLike  # absolute, in the manifold [Pa]
    compression_ratio: ArrayLike
    expansion_ratio: ArrayLike = 1.0  # of a turbine between engine and pipe; 1 for none


def ideal_volumetric_efficiency(
    compression_ratio: ArrayLike, pressure_ratio: ArrayLike, gamma: ArrayLike = CHARGE_GAMMA
) -> FloatArray:
    """Return the volumetric efficiency of the ideal cycle, one when both pressures are equal.

    eta = r/(r-1) - (p_e/p_i + g - 1)/(g (r-1)) [heywood, eq. 6.3].

    `compression_ratio` r [-], `pressure_ratio` exhaust over intake p_e/p_i [-], `gamma` [-].

    >>> round(float(ideal_volumetric_efficiency(10, 1.1)), 6)
    0.992063
    """
    r, x, g = (np.asarray(v, float) for v in (compression_ratio, pressure_ratio, gamma))
    return np.asarray(r / (r - 1) - (x + g - 1) / (g * (r - 1)))


def pumping_cost(back_pressure: ArrayLike, engine: Breathing) -> FloatArray:
    """Return the share of power that pushing the gas out costs: p ER / bmep [heywood].

    `back_pressure` at the start of the pipe [Pa]; a turbine ahead of it multiplies it.

    >>> float(pumping_cost(10e3, Breathing(1000e3, 100e3, 10)))
    0.01
    """
    ahead = np.asarray(back_pressure, float) * np.asarray(engine.expansion_ratio, float)
    return np.asarray(ahead / np.asarray(engine.mean_effective_pressure, float))


def filling_cost(back_pressure: ArrayLike, engine: Breathing) -> FloatArray:
    """Return the share of the charge lost to burnt gas held back: p ER / (p_i g (r-1)) [heywood].

    The slope of `ideal_volumetric_efficiency`; it acts on the gross indicated work.

    >>> round(float(filling_cost(10e3, Breathing(1000e3, 100e3, 10))), 5)
    0.00794
    """
    ahead = np.asarray(back_pressure, float) * np.asarray(engine.expansion_ratio, float)
    room = CHARGE_GAMMA * (np.asarray(engine.compression_ratio, float) - 1)
    return np.asarray(ahead / np.asarray(engine.intake_pressure, float) / room)


def power_cost(back_pressure: ArrayLike, engine: Breathing) -> FloatArray:
    """Return the share of brake power that back pressure costs, pumping and filling together.

    pumping + filling / (mechanical efficiency): filling acts on gross work, brake is less of it.
    First order: no wave, knock or mixture effect; beyond a tenth of the power it only says "far
    too much".

    >>> round(float(power_cost(10e3, Breathing(1000e3, 100e3, 10))), 4)
    0.0193
    """
    filling = filling_cost(back_pressure, engine) / MECHANICAL_EFFICIENCY
    return pumping_cost(back_pressure, engine) + filling
