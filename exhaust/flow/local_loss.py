"""A loss at one place, and a change of area there: both sides of it in closed form."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from exhaust.flow.fanno import (
    Gas,
    State,
    mach_before,
    mach_from_static,
    mach_from_total,
    state,
)
from exhaust.flow.friction import FloatArray
from exhaust.flow.piece import Piece
from exhaust.flow.quick import IdealGas, Moving


def local_loss(
    piece: Piece,
    mass_flow: FloatArray,
    total_temperature: tuple[FloatArray, FloatArray],
    loss: ArrayLike,
    pressure: ArrayLike,
    gas: IdealGas,
) -> tuple[Moving, Moving, NDArray[np.bool_]]:
    """Return the gas on both sides of a loss at one place, and where it chokes.

    Up from the end: without loss into the smaller area, the Fanno relation there, and without
    loss into the area at the start. Arrays broadcast: `mass_flow` [kg/s], `total_temperature` at
    the start and at the end [K], `loss` on the smaller end's head [-], `pressure` static at the
    end [Pa].

    >>> from exhaust.engine.species import gas_table
    >>> from exhaust.gas.properties import Mixture
    >>> air = Mixture({"N2": 0.79, "O2": 0.21}, gas_table())
    >>> step, T0 = Piece("step", 0.002, 0.004), np.array(900.0)
    >>> start, end, choked = local_loss(step, np.array(0.1), (T0, T0), 0.25, 101325.0, air)
    >>> round(float(end.pressure - start.pressure)), bool(choked)  # it slows down
    (1627, False)
    """
    first_T0, last_T0 = total_temperature
    cp, ideal, thrust = _ideal(last_T0, mass_flow, gas)
    first, last = (np.asarray(area, float) for area in (piece.start, piece.end))
    mach, choked = _up_to_one(mach_from_static(thrust / last, pressure, ideal.gamma))
    end = state(mach, thrust / last, last_T0, ideal)
    least = thrust / np.minimum(first, last)
    if not piece.even:
        mach, more = _up_to_one(mach_from_total(least, end.total_pressure, ideal.gamma))
        choked = choked | more
    ahead = state(mach_before(mach, loss, ideal.gamma), least, last_T0, ideal)
    leaving = _from(end, last_T0, cp)
    if piece.even:
        return _from(ahead, last_T0, cp), leaving, choked
    cp, ideal, thrust = _ideal(first_T0, mass_flow, gas)
    mach, more = _up_to_one(mach_from_total(thrust / first, ahead.total_pressure, ideal.gamma))
    start = state(mach, thrust / first, first_T0, ideal)
    return _from(start, first_T0, cp), leaving, choked | more


def _ideal(
    T0: FloatArray, mass_flow: FloatArray, gas: IdealGas
) -> tuple[FloatArray, Gas, FloatArray]:
    """Return heat capacity, the gas of that alone, and m sqrt(R T0) [N]."""
    R, cp = gas.gas_constant, gas.cp(T0)
    return cp, Gas(cp / (cp - R), R), np.asarray(mass_flow * np.sqrt(R * T0))


def _up_to_one(mach: FloatArray) -> tuple[FloatArray, NDArray[np.bool_]]:
    """Return Mach numbers held at 1, and which of them were held there."""
    choked = ~(mach < 1)
    return np.where(choked, 1.0, mach), choked


def _from(at: State, T0: FloatArray, cp: FloatArray) -> Moving:
    T = T0 - at.velocity**2 / (2 * cp)
    return Moving(*np.broadcast_arrays(at.pressure, at.velocity, T, T0, cp))
