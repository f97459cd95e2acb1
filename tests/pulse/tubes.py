"""Networks that several tests of unsteady flow use, and what they hold."""

from __future__ import annotations

import numpy as np

from exhaust.pulse.arrays import Gas, Network, Run, State
from exhaust.pulse.network import Fittings, Junction, cells_of, filled, network
from exhaust.pulse.pipes import Pipe
from exhaust.pulse.solver import COURANT, advance

AIR = Gas(1.4, 287.0)
P0, T0 = 101325.0, 300.0
SOUND = float(np.sqrt(1.4 * 287.0 * T0))
RHO = P0 / (287.0 * T0)


def even(length: float, cells: int, area: float = 1e-3) -> Pipe:
    """Return a pipe of one area."""
    return Pipe(length / cells, np.full(cells + 1, area))


def middles(net: Network, pipe: int, width: float) -> np.ndarray:
    """Return the middles of a pipe's cells from its start [m]."""
    cells = cells_of(net, pipe)
    return (np.arange(cells.stop - cells.start) + 0.5) * width


def primitives(state: State, gas: Gas) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return density, velocity and pressure of all cells."""
    rho, momentum, energy = state.cells
    u = momentum / rho
    return rho, u, (gas.gamma - 1) * (energy - 0.5 * rho * u**2)


def contents(net: Network, state: State) -> tuple[float, float]:
    """Return mass [kg] and energy [J] of the gas in all pipes."""
    real = net.mesh.per_volume > 0
    volume = 1 / net.mesh.per_volume[real]
    mass, energy = (state.cells[[0, 2]][:, real] * volume).sum(axis=1)
    return float(mass), float(energy)


def run(net: Network, state: State, duration: float) -> int:
    """March without an engine."""
    return advance(net, state, Run(duration, COURANT, 0.0))


def bell(x: np.ndarray, middle: float, width: float) -> np.ndarray:
    """Return a smooth pulse of height one."""
    return np.exp(-(((x - middle) / width) ** 2))


def simple_wave(net: Network, pipe: int, ratio: np.ndarray) -> State:
    """Return still gas with a wave towards the far end of one pipe, pressure over P0 `ratio`.

    Homentropic: u = 2 a0/(g - 1) (X - 1), X = (p/p0)^((g - 1)/2g).
    """
    g = net.gas.gamma
    full = np.ones(net.mesh.per_width.size)
    full[cells_of(net, pipe)] = ratio
    X = full ** ((g - 1) / (2 * g))
    velocity = 2 * SOUND / (g - 1) * (X - 1)
    return filled(net, P0 * full, T0 * X**2, velocity)


def star(areas: list[float], axes: object = None, cells: int = 200) -> Network:
    """Return pipes of 1 m that meet; the first runs into the junction, the rest out of it."""
    pipes = [even(1.0, cells, area * 1e-3) for area in areas]
    ends = [1, *(2 * k for k in range(1, len(areas)))]
    shut = [0, *(2 * k + 1 for k in range(1, len(areas)))]
    return network(AIR, pipes, Fittings(closed=shut, junctions=[Junction(ends, axes)]))
