"""Ours beside published: compressible flow in ducts, alone with friction, heat or a wider bore."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from types import MappingProxyType
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from exhaust.flow.fanno import (
    Gas,
    fanno_loss,
    mach_before,
    mach_from_static,
    mach_from_total,
    state,
)
from exhaust.flow.friction import FloatArray
from exhaust.flow.impulse import motion_at_impulse
from exhaust.flow.local_loss import local_loss
from exhaust.flow.march import March, march
from exhaust.flow.moving import mach_number, total_pressure
from exhaust.flow.passage import Cone, Passage, Shape
from exhaust.flow.piece import Piece
from exhaust.flow.quick import Moving, at_pressure
from exhaust.published.gases import AIR_CONSTANT as R
from exhaust.published.gases import Perfect

T0, P0, OUT = 900.0, 2e5, 101325.0  # any will do: what is published are ratios
BORE, LENGTH = 0.06, 6.0
AREA = np.pi / 4 * BORE**2
BELOW_CHOKING = 1 - 1e-12  # so that rounding does not decide whether a duct chokes


def thrust(gamma: float, area_ratio: float) -> FloatArray:
    """Return m sqrt(R T0)/A [Pa] of the flux that fills `area_ratio` of what chokes."""
    power = -(gamma + 1) / (2 * (gamma - 1))
    return np.asarray(P0 * np.sqrt(gamma) * ((gamma + 1) / 2) ** power / area_ratio)


def isentropic(
    gamma: float, area_ratio: float, pressure_ratio: float
) -> tuple[Moving, NDArray[np.bool_]]:
    """Return the gas as the quick network has it from flux and static pressure, and if choked."""
    flux = thrust(gamma, area_ratio) / np.sqrt(R * T0)
    return at_pressure(flux, pressure_ratio * P0, np.asarray(T0), Perfect.of(gamma))


def _pressure_ratio(gamma: float, mach: float, area_ratio: float) -> float:
    flow = state(np.asarray(mach), thrust(gamma, area_ratio), T0, Gas(gamma, R))
    return float(flow.pressure) / P0


class Shock(NamedTuple):
    """The state behind a normal shock over that ahead of it."""

    mach: float
    pressure: float
    density: float
    temperature: float
    total_pressure: float


def shock(mach_ahead: float) -> Shock:
    """Return what lies behind a shock at gamma 1.4: the slow root of flux, impulse and enthalpy.

    >>> round(shock(2.0).pressure, 6)
    4.5
    """
    gas, gamma = Perfect.of(1.4), 1.4
    T1 = T0 / (1 + (gamma - 1) / 2 * mach_ahead**2)
    u1 = float(mach_ahead * np.sqrt(gamma * R * T1))
    impulse, enthalpy = np.array([R * T1 / u1 + u1]), np.array([gas.enthalpy(np.array(T0))])
    after = motion_at_impulse(impulse, enthalpy, gas)
    u2, T2 = float(after.velocity[0]), float(after.temperature[0])
    p, power = T2 / T1 * u1 / u2, gamma / (gamma - 1)
    totals = p * (T1 / T2) ** power
    return Shock(u2 / float(np.sqrt(gamma * R * T2)), p, u1 / u2, T2 / T1, totals)


def choking_pipe(friction_number: float) -> dict[str, float]:
    """Return a pipe that just chokes, at gamma 1.4: its start over its end.

    >>> round(choking_pipe(1.06906)["pressure"], 4)
    2.1381
    """
    air, total = Perfect.of(1.4), np.array(400.0)
    mass_flow = AREA * OUT * np.sqrt(1.4 * 1.2 / (R * total)) * BELOW_CHOKING  # Mach 1 at OUT
    pipe = Piece("pipe", AREA, AREA)
    start, end, choked = local_loss(pipe, mass_flow, (total, total), friction_number, OUT, air)
    return {
        "mach": float(mach_number(start, air)),
        "pressure": float(start.pressure) / OUT,
        "total pressure": float(total_pressure(start, air) / total_pressure(end, air)),
        "velocity": float(start.velocity / end.velocity),
        "choked": float(choked),
    }


class Straight(NamedTuple):
    """A bore whose area, not its diameter, runs straight to `ratio` times what it was."""

    ratio: float

    def area(self, share: float | FloatArray) -> FloatArray:
        """Return the flow area [m^2]."""
        return np.asarray(AREA * (1 + (self.ratio - 1) * share))

    def widening(self, share: float | FloatArray) -> FloatArray:
        """Return dA/d(share) [m^2]."""
        return np.asarray(AREA * (self.ratio - 1) + 0 * np.asarray(share))


class Duct(NamedTuple):
    """A duct by what its gas meets: total temperatures, and Mach number where it leaves."""

    gamma: float
    mach_out: float
    start_total: float  # [K]
    end_total: float  # [K]
    shape: Shape = Cone(BORE, BORE)
    friction_number: float = 0.0


def marched(duct: Duct) -> March:
    """Return the march through a duct, heated or cooled evenly on its way.

    >>> flow = marched(Duct(1.4, 0.5, 868.910, 691.358))
    >>> round(float(flow.mach[-1]), 3)
    0.5
    """
    gas, g = Perfect.of(duct.gamma), duct.gamma
    T = duct.end_total / (1 + (g - 1) / 2 * duct.mach_out**2)
    speed = duct.mach_out * np.sqrt(g * R * T)
    m = OUT / (R * T) * speed * float(duct.shape.area(1.0))
    loss = m * gas.heat_capacity * (duct.start_total - duct.end_total) / LENGTH

    def heat(
        distance: FloatArray, diameter: FloatArray, temperature: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        return temperature, np.full(np.shape(temperature), loss)

    run = Passage(duct.shape, LENGTH, friction=duct.friction_number * BORE / LENGTH)
    return march(run, gas, m, duct.start_total, OUT, heat)


@lru_cache(maxsize=32)
def heated(
    gamma: float, start_total: float, end_total: float = 1.0, mach_out: float = 1.0
) -> dict[str, float]:
    """Return heating alone, between two of Rayleigh's total temperatures: start over end."""
    flow = marched(Duct(gamma, mach_out, 1000.0 * start_total, 1000.0 * end_total))
    return {
        "mach": float(flow.mach[0]),
        "mach_out": float(flow.mach[-1]),
        "temperature": float(flow.temperature[0] / flow.temperature[-1]),
        "pressure": float(flow.pressure[0]) / OUT,
        "total pressure": float(flow.total_pressure[0] / flow.total_pressure[-1]),
        "choked": float(flow.choked),
    }


def _combined(gamma: float, mach_out: float, friction_number: float, **ends: float) -> March:
    total, bore = ends["total_temperature_ratio"], Straight(ends["area_ratio"])
    return marched(Duct(gamma, mach_out, 1000.0, 1000.0 * total, bore, friction_number))


OURS: MappingProxyType[str, Callable[..., float]] = MappingProxyType(
    {
        "Mach number from flux and total pressure": lambda gamma, area_ratio: float(
            mach_from_total(thrust(gamma, area_ratio), P0, gamma)
        ),
        "Mach number from flux and static pressure": lambda gamma, area_ratio, pressure_ratio: (
            float(mach_from_static(thrust(gamma, area_ratio), pressure_ratio * P0, gamma))
        ),
        "static over total pressure": _pressure_ratio,
        "static over total temperature, quick network": lambda **at: (
            float(isentropic(**at)[0].temperature) / T0
        ),
        "Mach number, quick network": lambda **at: float(
            mach_number(isentropic(**at)[0], Perfect.of(at["gamma"]))
        ),
        "Mach number behind a shock": lambda mach_ahead: shock(mach_ahead).mach,
        "pressure across a shock": lambda mach_ahead: shock(mach_ahead).pressure,
        "density across a shock": lambda mach_ahead: shock(mach_ahead).density,
        "temperature across a shock": lambda mach_ahead: shock(mach_ahead).temperature,
        "total pressure across a shock": lambda mach_ahead: shock(mach_ahead).total_pressure,
        "friction to Mach 1": lambda gamma, mach: float(fanno_loss(mach, gamma)),
        "Mach number ahead of friction": lambda gamma, friction_number: float(
            mach_before(1.0, friction_number, gamma)
        ),
        "choking pipe, Mach number in": lambda **at: choking_pipe(**at)["mach"],
        "choking pipe, pressure": lambda **at: choking_pipe(**at)["pressure"],
        "choking pipe, total pressure": lambda **at: choking_pipe(**at)["total pressure"],
        "choking pipe, velocity": lambda **at: choking_pipe(**at)["velocity"],
        "heating to Mach 1, Mach number in": lambda **at: heated(**at)["mach"],
        "heating to Mach 1, temperature": lambda **at: heated(**at)["temperature"],
        "heating to Mach 1, pressure": lambda **at: heated(**at)["pressure"],
        "heating to Mach 1, total pressure": lambda **at: heated(**at)["total pressure"],
        "friction, cooling and widening, Mach number in": lambda **at: float(
            _combined(**at).mach[0]
        ),
        "friction, cooling and widening, pressure": lambda **at: (
            OUT / float(_combined(**at).pressure[0])
        ),
        "friction, cooling and widening, total pressure": lambda **at: float(
            _combined(**at).total_pressure[-1] / _combined(**at).total_pressure[0]
        ),
    }
)
