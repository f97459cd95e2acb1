"""The unsteady solver's front: compiles on first use, says so, and refuses gas that ran away."""

from __future__ import annotations

import logging
from collections.abc import Sequence

import numpy as np

from exhaust.errors import ExhaustError
from exhaust.pulse.arrays import FloatArray, Network, Run, State, Trace

COURANT = 0.9
COMPILING = "compiling the unsteady solver once (about ten seconds); it is kept for next time"

_log = logging.getLogger(__name__)


def no_trace() -> Trace:
    """Return a trace that samples nothing."""
    return Trace(np.empty(0, np.int64), np.empty(0), np.empty((0, 0, 3)))


def trace_of(cells: Sequence[int], times: FloatArray) -> Trace:
    """Return an empty trace of `cells` at `times` from the start of a march [s], to be filled.

    >>> trace_of([3, 8], np.linspace(0.0, 0.1, 11)).values.shape
    (11, 2, 3)
    """
    return Trace(
        np.array(cells, np.int64), np.asarray(times, float), np.zeros((len(times), len(cells), 3))
    )


def advance(net: Network, state: State, run: Run, trace: Trace | None = None) -> int:
    """Carry a network through time in place; return the number of steps.

    The first call on a machine compiles, and logs that it does. Raises ExhaustError if the gas
    ran away. Releases the interpreter's lock: runs on several threads are side by side.

    >>> from exhaust.pulse.network import Fittings, Gas, filled, network
    >>> from exhaust.pulse.pipes import round_pipe
    >>> net = network(Gas(1.4, 287.0), [round_pipe(1.0, 0.05, 0.1)], Fittings(closed=[0, 1]))
    >>> state = filled(net, 101325.0, 300.0)
    >>> advance(net, state, Run(0.01, COURANT, 0.0)) > 30
    True
    >>> round(float(np.ptp(state.cells[2, 1:-1])), 6)
    0.0
    """
    from exhaust.pulse.compiled import kept
    from exhaust.pulse.march import march

    if not kept(march):
        _log.warning(COMPILING)
    steps = march(net, state, no_trace() if trace is None else trace, run)
    rho, momentum, energy = state.cells
    if steps < 0 or not np.all(np.isfinite(state.cells)) or np.min(rho) <= 0:
        raise ExhaustError("the unsteady flow ran away; check areas, valve and pressures")
    if np.min(energy - 0.5 * momentum**2 / rho) <= 0:
        raise ExhaustError("the unsteady flow ran out of pressure; check valve and pressures")
    return steps
