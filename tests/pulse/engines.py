"""Invented engines on invented pipes, for tests and benchmarks of unsteady flow."""

from __future__ import annotations

import numpy as np

from exhaust.pulse.arrays import Cylinders, Gas, Network
from exhaust.pulse.network import Fittings, Junction, Reservoir, network, no_windows
from exhaust.pulse.pipes import Pipe, round_pipe

BURNT = Gas(1.33, 289.0)
ORDER = (1, 8, 4, 3, 6, 5, 7, 2)
COLLECTOR = np.array([[-0.97, s * 0.24, t * 0.24] for s in (1, -1) for t in (1, -1)])
AXES = np.vstack([COLLECTOR / np.linalg.norm(COLLECTOR, axis=1)[:, None], [[1.0, 0.0, 0.0]]])
X_AXES = np.array([[-0.9, 0.436, 0], [-0.9, -0.436, 0], [0.9, -0.436, 0], [0.9, 0.436, 0]])
X_AXES /= np.linalg.norm(X_AXES, axis=1)[:, None]


def cylinders(ends: list[int], phases: np.ndarray, release: float = 1550.0) -> Cylinders:
    """Return 0.64 litre cylinders at wide-open throttle; lift as a half sine squared."""
    n = len(ends)
    lift = np.sin(np.linspace(0.0, np.pi, 281)) ** 2
    area = 0.7 * np.pi * 0.038 * 0.011 * lift
    swept = 0.64e-3
    one = np.ones(n)
    return Cylinders(
        np.array(ends, np.int64),
        swept * one,
        swept / 10 * one,
        0.29 * one,
        np.asarray(phases, float) % (4 * np.pi),
        np.radians(120.0) * one,
        np.radians(380.0) * one,
        np.tile(area, (n, 1)),
        0.62e-3 * one,
        release * one,
    )


def single(cell: float = 0.01, tail: float = 1.5) -> Network:
    """Return one cylinder on one pipe."""
    pipe = round_pipe(tail, 0.042, cell, 0.025)
    ends = Fittings(reservoirs=[Reservoir(1, 101325.0, 300.0)], cylinders=cylinders([0], [0.0]))
    return network(BURNT, [pipe], ends)


def v8(cell: float = 0.01, momentum: bool = True) -> Network:
    """Return a V8: four primaries to a collector on each bank, an X, two tails; 15 m of pipe."""
    hot = {"heat_coefficient": 120.0, "wall_temperature": 700.0}
    lengths = 0.80 + 0.03 * np.arange(8)
    pipes: list[Pipe] = [round_pipe(x, 0.042, cell, 0.025)._replace(**hot) for x in lengths]
    pipes += [round_pipe(1.4, (0.058, 0.07), cell, 0.03)._replace(**hot) for _ in range(2)]
    pipes += [round_pipe(2.2, 0.07, cell, 0.03)._replace(**hot) for _ in range(2)]
    merge, cross = (AXES, X_AXES) if momentum else (None, None)
    left, right = (0, 2, 4, 6), (1, 3, 5, 7)
    junctions = [
        Junction([*(2 * k + 1 for k in left), 16], merge),
        Junction([*(2 * k + 1 for k in right), 18], merge),
        Junction([17, 19, 20, 22], cross),
    ]
    phases = -np.pi / 2 * np.array([ORDER.index(k + 1) for k in range(8)])
    open_air = [Reservoir(e, 101325.0, 300.0) for e in (21, 23)]
    engine = cylinders([2 * k for k in range(8)], phases)
    fittings = Fittings([], open_air, junctions, no_windows(), engine)
    return network(BURNT, pipes, fittings)


def ports(net: Network) -> list[int]:
    """Return the cells behind the valves."""
    return [int(net.ends.cell[e]) for e in net.cylinders.end]
