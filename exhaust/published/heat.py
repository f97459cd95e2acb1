"""Ours beside published: heat from gas to tube and from tube to air."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache
from types import MappingProxyType

import numpy as np

from exhaust.flow.heat import (
    NEAR,
    STEADY,
    Surroundings,
    TubeHeat,
    forced_nusselt,
    free_nusselt,
    outside_loss,
    pipe_nusselt,
)
from exhaust.flow.march import cooled
from exhaust.flow.passage import Cone, Passage
from exhaust.flow.quick_heat import QuickHeat
from exhaust.published.gases import AIR_CONSTANT, Perfect, Sutherland

BORE, OUTSIDE, LENGTH = 0.0602, 0.0635, 3.0  # of the hot tube [m]
FAR = 1e5  # from any entrance [m]
FLOW, HOT, AROUND = 0.1, 1100.0, 300.0  # [kg/s], [K], [K]
EXHAUST = Perfect(1270.0, 4.1e-5, 0.07)
WALL, ROOM, PRANDTL = 438.0, 296.0, 0.697  # of the steam pipe and the air at its film


def _steam_pipe(emissivity: float) -> float:
    """Return the heat lost by 0.1 m of pipe at 165 °C in a room at 23 °C [W/m]."""
    k, density = 0.0313, 101325.0 / (AIR_CONSTANT * (WALL + ROOM) / 2)
    mu = 2.28e-5 * density
    around = Surroundings(Perfect(PRANDTL * k / mu, mu, k), ROOM, emissivity=emissivity)
    return float(outside_loss(WALL, 0.1, around))


def tube_of(speed_m_per_s: float, emissivity: float, augmentation: float = 1.0) -> TubeHeat:
    """Return the hot tube in a wind of air."""
    air = Surroundings(Sutherland(), AROUND, speed=speed_m_per_s, emissivity=emissivity)
    inside = STEADY._replace(near=augmentation, far=augmentation)
    return TubeHeat(EXHAUST, FLOW, (OUTSIDE - BORE) / 2, air, inside)


def _wall(gas_temperature_K: float, **around: float) -> float:
    return float(tube_of(**around)(FAR, BORE, gas_temperature_K).temperature)


@lru_cache(maxsize=16)
def gas_at_end(speed_m_per_s: float, emissivity: float, augmentation: float = 1.0) -> float:
    """Return the temperature of the gas after 3 m of tube [K], by the march."""
    tube = tube_of(speed_m_per_s, emissivity, augmentation)
    run = Passage(Cone(BORE, BORE), LENGTH, distance=FAR)
    return float(cooled(run, EXHAUST, FLOW, HOT, tube).end)


def _quick_fall(**around: float) -> float:
    quick = QuickHeat(tube_of(**around), BORE)
    end = quick.cooling((FAR, LENGTH, BORE), np.array(FLOW), np.array(HOT)).end
    return HOT - float(end)


OURS: MappingProxyType[str, Callable[..., float]] = MappingProxyType(
    {
        "Nusselt number, level tube in still air": lambda **at: float(free_nusselt(**at)),
        "Nusselt number, tube in a wind": lambda **at: float(forced_nusselt(**at)),
        "Nusselt number, inside a tube": lambda **at: float(pipe_nusselt(**at, diameters=math.inf)),
        "Nusselt number, inside, near the engine": lambda **at: (
            NEAR.middle * float(pipe_nusselt(**at, diameters=math.inf))
        ),
        "heat transfer of a rod in a wind": lambda conductivity_W_per_m_K, diameter_mm, **at: (
            float(forced_nusselt(**at)) * conductivity_W_per_m_K / diameter_mm * 1e3
        ),
        "steam pipe, heat by convection": lambda: _steam_pipe(0.0),
        "steam pipe, heat by radiation": lambda emissivity: (
            _steam_pipe(emissivity) - _steam_pipe(0.0)
        ),
        "steam pipe, heat by both": _steam_pipe,
        "hot tube, heat transfer inside": lambda: float(
            tube_of(0.0, 0.25).inside_coefficient(FAR, BORE, HOT)
        ),
        "hot tube, wall": _wall,
        "hot tube, gas at the end": gas_at_end,
        "hot tube, heat lost": lambda **at: FLOW * EXHAUST.heat_capacity * (HOT - gas_at_end(**at)),
        "hot tube, fall by the quick network": _quick_fall,
    }
)
