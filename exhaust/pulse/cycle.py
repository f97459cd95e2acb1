"""An engine's network run over cycle after cycle, until each is like the one before."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from exhaust.errors import broken
from exhaust.pulse.arrays import FloatArray, Network, Run, State, Trace
from exhaust.pulse.solver import COURANT, advance, trace_of

DEGREES = 720  # samples of a four-stroke cycle, one to a degree of the crank
TOLERANCE = 100.0  # [Pa] root mean square, of one cycle's port pressures against another's
MOST_CYCLES = 40

STEADY, ALTERNATING, UNSETTLED = "steady", "alternating", "unsettled"


class Stop(NamedTuple):
    """When to stop: `tolerance` of the change [Pa], `most` cycles, number of `courant`."""

    tolerance: float = TOLERANCE
    most: int = MOST_CYCLES
    courant: float = COURANT


class Cycle(NamedTuple):
    """What the last cycle did.

    `outcome` "steady" (like the cycle before), "alternating" (like the last but one, as some
    engines really do) or "unsettled" (the most cycles were not enough); `cycles` run; `change`
    against the cycle it is like [Pa]; `trace` of density, velocity and pressure at each degree;
    `passed` [ends, 2] mass [kg] and energy [J] out of each pipe's end in this cycle; `residual`
    [cylinders] mass left as the valve closed [kg]; `work` [cylinders] on the piston the last
    time the valve was open [J], `stroke` of that from bottom to top dead centre; `stored` mass [kg]
    and energy [J] that the pipes gained in this cycle; `heat` taken by walls [J]; `unsolved`
    junction solutions that did not settle, of all cycles.
    """

    outcome: str
    cycles: int
    change: float
    trace: Trace
    passed: FloatArray
    residual: FloatArray
    work: FloatArray
    stroke: FloatArray
    stored: FloatArray
    heat: float
    unsolved: int


def settle(
    net: Network,
    state: State,
    speed: float,
    probes: list[int],
    stop: Stop | None = None,
    each: Callable[[int, float], bool | None] | None = None,
) -> Cycle:
    """Return the cycle that an engine's network settles to at one `speed` of the crank [rad/s].

    `probes` are cells to trace, those at the ports best: their pressures say when it has settled.
    `state` is written, and can start the next speed. `each` hears the number and the change [Pa]
    of each cycle; one that it answers False to is not the last, however steady. Raises
    ExhaustError where the gas runs away.

    >>> from exhaust.pulse.network import Fittings, Gas, filled, network
    >>> from exhaust.pulse.pipes import round_pipe
    >>> net = network(Gas(1.4, 287.0), [round_pipe(1.0, 0.05, 0.1)], Fittings(closed=[0, 1]))
    >>> cycle = settle(net, filled(net, 101325.0, 300.0), 600.0, [1])
    >>> cycle.outcome, cycle.cycles
    ('steady', 2)
    """
    stop = Stop() if stop is None else stop
    if not speed > 0:
        raise broken("must be more than zero", f"{speed:g} rad/s").named("speed")
    if not probes:
        raise broken("must list at least one cell", "none").named("probes")
    run = Run(4 * np.pi / speed, stop.courant, speed)
    times = np.linspace(0.0, run.duration, DEGREES + 1)
    seen: list[FloatArray] = []
    outcome, change = UNSETTLED, np.inf
    for count in range(1, stop.most + 1):
        before = (_contents(net, state), state.passed.copy(), float(state.lost[0]))
        trace = trace_of(probes, times)
        advance(net, state, run, trace)
        seen.append(trace.values[:, :, 2])
        outcome, change = _likeness(seen, stop.tolerance)
        more = each is not None and each(count, change) is False
        if outcome != UNSETTLED and not more:
            break
    return Cycle(
        outcome,
        count,
        change,
        trace,
        state.passed - before[1],
        state.held[:, 4].copy(),
        state.held[:, 6].copy(),
        state.held[:, 7].copy(),
        _contents(net, state) - before[0],
        float(state.lost[0]) - before[2],
        int(state.junction[:, 2].sum()),
    )


def _likeness(seen: list[FloatArray], tolerance: float) -> tuple[str, float]:
    """Return what the last cycle is like, and by how much it differs [Pa]; forget the oldest."""
    del seen[:-3]
    apart = [float(np.sqrt(np.mean((seen[-1] - other) ** 2))) for other in seen[-2::-1]]
    if apart and apart[0] < tolerance:
        return STEADY, apart[0]
    if len(apart) > 1 and apart[1] < tolerance:
        return ALTERNATING, apart[1]
    return UNSETTLED, apart[0] if apart else np.inf


def _contents(net: Network, state: State) -> FloatArray:
    """Return mass [kg] and energy [J] of the gas in all pipes."""
    real = net.mesh.per_volume > 0
    held = state.cells[[0, 2]][:, real] / net.mesh.per_volume[real]
    return np.asarray(held.sum(axis=1))
