"""The whole network carried through time: the scheme's loops, then the ends, then the windows."""

from __future__ import annotations

import numpy as np

from exhaust.pulse.arrays import Ends, FloatArray, Network, Run, State, Trace
from exhaust.pulse.compiled import kernel
from exhaust.pulse.cylinder import breathe
from exhaust.pulse.junctions import MOST_TRIES, kept_turn, meet
from exhaust.pulse.openings import Flow, opening
from exhaust.pulse.scheme import (
    faces,
    fill_spares,
    heat_taken,
    largest,
    primitive,
    reconstruct,
    update,
)
from exhaust.pulse.waves import Half, wall_pressure
from exhaust.pulse.windows import exchange

FOLLOW = 0.2  # of the way that a junction's k goes towards the flow's own each step
CYCLE = 4.0 * np.pi  # [rad] of the crank
SHORTEST = 1e-9  # of the duration; a shorter step means that the gas has run away

Sides = tuple[FloatArray, FloatArray]  # left and right of all cells, half a step on


@kernel
def arriving(e: int, ends: Ends, sides: Sides, gamma: float) -> Half:
    """Return the half state of the gas at end e: density, velocity outward, pressure, sound."""
    i = ends.cell[e]
    side = sides[1] if ends.outward[e] > 0.0 else sides[0]
    rho, p = side[0, i], side[2, i]
    return rho, side[1, i] * ends.outward[e], p, np.sqrt(gamma * p / rho)


@kernel
def let_pass(
    e: int, flow: Flow, ends: Ends, flux: FloatArray, passed: FloatArray, dt: float
) -> None:
    """Write the flux at end e of what leaves its pipe, and add it to what has passed."""
    P, m, u, power = flow
    i, s, A = ends.face[e], ends.outward[e], ends.area[e]
    flux[0, i] = s * m / A
    flux[1, i] = P + m * u / A
    flux[2, i] = s * power / A
    passed[e, 0] += dt * m
    passed[e, 1] += dt * power


@kernel
def close_ends(net: Network, state: State, sides: Sides, flux: FloatArray, dt: float) -> None:
    """Write the fluxes of walls and of openings to gas at rest."""
    ends, gas = net.ends, (net.gas.gamma, net.gas.gas_constant)
    for e in net.closed:
        P = wall_pressure(arriving(e, ends, sides, gas[0]), gas[0])
        let_pass(e, (P, 0.0, 0.0, 0.0), ends, flux, state.passed, dt)
    still = net.reservoirs
    for k in range(still.end.size):
        e = still.end[k]
        half = arriving(e, ends, sides, gas[0])
        rest = (still.pressure[k], still.temperature[k])
        flow = opening(half, rest, (ends.area[e], still.area[k]), state.end_pressure[e], gas)
        state.end_pressure[e] = flow[0]
        let_pass(e, flow, ends, flux, state.passed, dt)


@kernel
def breathe_all(
    net: Network,
    state: State,
    sides: Sides,
    flux: FloatArray,
    clock: tuple[float, float],
    dt: float,
) -> None:
    """Carry all cylinders over a step and write the fluxes at their valves.

    `clock` the time since the cycle started [s] and the speed of the crank [rad/s].
    """
    ends, gas = net.ends, (net.gas.gamma, net.gas.gas_constant)
    t, speed = clock
    for c in range(net.cylinders.end.size):
        e = net.cylinders.end[c]
        start = (speed * t + net.cylinders.phase[c]) % CYCLE
        angles = (start, (start + 0.5 * speed * dt) % CYCLE, start + speed * dt)
        half = arriving(e, ends, sides, gas[0])
        inside = (state.held, state.end_pressure[e], ends.area[e])
        flow = breathe(c, angles, dt, half, (net.cylinders, gas), inside)
        state.end_pressure[e] = flow[0]
        let_pass(e, flow, ends, flux, state.passed, dt)


@kernel
def meet_all(net: Network, state: State, sides: Sides, flux: FloatArray, dt: float) -> None:
    """Solve all junctions and write the fluxes at their legs."""
    ends, gas, junctions = net.ends, (net.gas.gamma, net.gas.gas_constant), net.junctions
    for j in range(junctions.momentum.size):
        a, b = junctions.start[j], junctions.start[j + 1]
        halves = np.empty((b - a, 4))
        area = np.empty(b - a)
        for k in range(a, b):
            half = arriving(junctions.end[k], ends, sides, gas[0])
            for i in range(4):
                halves[k - a, i] = half[i]
            area[k - a] = ends.area[junctions.end[k]]
        axis = junctions.axis[a : b if junctions.momentum[j] == 1 else a]
        legs = state.legs[a:b]
        turn = state.junction[j, 1]
        P, tries = meet(state.junction[j, 0], turn, (area, axis), halves, legs, gas)
        state.junction[j, 0] = P
        state.junction[j, 1] = turn + FOLLOW * (kept_turn(legs) - turn)
        state.junction[j, 2] += 1.0 if tries >= MOST_TRIES else 0.0
        for k in range(a, b):
            p, v, m, power = legs[k - a, 0], legs[k - a, 1], legs[k - a, 2], legs[k - a, 3]
            let_pass(junctions.end[k], (p, m, v, power), ends, flux, state.passed, dt)


@kernel
def record(
    trace: Trace, W: FloatArray, before: FloatArray, span: tuple[float, float], k: int
) -> int:
    """Write the samples that fall in `span` of time [s], by straight lines; return the next one.

    `before` [probes, 3] holds what the probes read at the start of the span, and is moved on.
    """
    t0, t1 = span
    while k < trace.times.size and trace.times[k] <= t1:
        share = (trace.times[k] - t0) / (t1 - t0) if t1 > t0 else 1.0
        for n in range(trace.cell.size):
            for row in range(3):
                a = before[n, row]
                trace.values[k, n, row] = a + share * (W[row, trace.cell[n]] - a)
        k += 1
    for n in range(trace.cell.size):
        for row in range(3):
            before[n, row] = W[row, trace.cell[n]]
    return k


@kernel
def march(net: Network, state: State, trace: Trace, run: Run) -> int:
    """Carry the network over `run.duration`; return how many steps it took, -1 if it ran away.

    `state` and `trace.values` are written. The time starts at nought.
    """
    U, mesh, gas = state.cells, net.mesh, net.gas
    n = U.shape[1]
    W = np.ones((4, n))
    left, right = np.ones((3, n)), np.ones((3, n))
    flux = np.zeros((3, n + 1))
    before = np.zeros((trace.cell.size, 3))
    t = was = 0.0
    steps = sample = 0
    warm = mesh.heating.max() > 0.0
    while True:
        primitive(U, W, mesh.per_width, gas.gamma)
        sample = record(trace, W, before, (was, t), sample)
        if t >= run.duration:
            return steps
        dt = run.courant / largest(W[3])
        if not dt > SHORTEST * run.duration:
            return -1
        dt = min(dt, run.duration - t)
        fill_spares(W, net.ends)
        reconstruct(W, left, right, mesh, gas, 0.5 * dt)
        faces(left, right, flux, gas.gamma)
        close_ends(net, state, (left, right), flux, dt)
        breathe_all(net, state, (left, right), flux, (t, run.speed), dt)
        meet_all(net, state, (left, right), flux, dt)
        update(U, (left, right), flux, mesh, gas.gas_constant, dt)
        exchange(U, net.windows, state.window_velocity, mesh, gas.gamma, dt)
        if warm:
            state.lost[0] += dt * heat_taken(left, right, mesh, gas.gas_constant)
        steps += 1
        was, t = t, t + dt if dt < run.duration - t else run.duration
