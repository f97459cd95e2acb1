"""A cylinder while its exhaust valve is open: piston, valve and the gas between them.

One state for all its gas; no heat through its walls. As the valve opens it holds its fresh charge
and what was left from the cycle before, at a given temperature; what is left as the valve closes
is the next cycle's residual. What happens while the valve is shut is not computed.
"""

from __future__ import annotations

import numpy as np

from exhaust.pulse.arrays import Cylinders, FloatArray
from exhaust.pulse.compiled import kernel
from exhaust.pulse.openings import Flow, Gas, opening
from exhaust.pulse.waves import Half

MASS, ENERGY, MASS_OUT, ENERGY_OUT, RESIDUAL, OPEN = range(6)  # columns of State.held
WORK, STROKE, WORK_SO_FAR, STROKE_SO_FAR = range(6, 10)


@kernel
def volume(angle: float, c: int, cylinders: Cylinders) -> float:
    """Return the volume [m^3] of cylinder c at its own crank `angle` from top dead centre [rad].

    V = Vc + Vd/2 (1 - cos t + (1 - sqrt(1 - l^2 sin^2 t))/l) [heywood, eq. 2.4].
    """
    ratio = cylinders.rod_ratio[c]
    sine = ratio * np.sin(angle)
    travel = 1.0 - np.cos(angle) + sine * sine / (ratio * (1.0 + np.sqrt(1.0 - sine * sine)))
    return float(cylinders.clearance[c] + 0.5 * cylinders.swept[c] * travel)


@kernel
def valve_area(angle: float, c: int, cylinders: Cylinders) -> float:
    """Return the flow area [m^2] of cylinder c's valve at its own crank `angle` [rad]."""
    opens, closes = cylinders.opens[c], cylinders.closes[c]
    last = cylinders.flow_area.shape[1] - 1
    x = (angle - opens) / (closes - opens) * last
    if not 0.0 <= x < last:
        return 0.0
    k = int(x)
    return float(cylinders.flow_area[c, k] * (k + 1 - x) + cylinders.flow_area[c, k + 1] * (x - k))


@kernel
def switch(angle: float, c: int, cylinders: Cylinders, held: FloatArray, gas: Gas) -> None:
    """Fill cylinder c as its valve opens; keep residual and work as it closes."""
    is_open = cylinders.opens[c] <= angle < cylinders.closes[c]
    if is_open and held[c, OPEN] == 0.0:
        mass = cylinders.charge[c] + held[c, RESIDUAL]
        held[c, MASS] = mass
        held[c, ENERGY] = mass * gas[1] / (gas[0] - 1.0) * cylinders.release_temperature[c]
        held[c, MASS_OUT] = held[c, ENERGY_OUT] = 0.0
        held[c, WORK_SO_FAR] = held[c, STROKE_SO_FAR] = 0.0
        held[c, OPEN] = 1.0
    elif not is_open and held[c, OPEN] == 1.0:
        held[c, RESIDUAL] = held[c, MASS]
        held[c, WORK] = held[c, WORK_SO_FAR]
        held[c, STROKE] = held[c, STROKE_SO_FAR]
        held[c, OPEN] = 0.0


@kernel
def breathe(
    c: int,
    angles: tuple[float, float, float],
    dt: float,
    half: Half,
    net: tuple[Cylinders, Gas],
    state: tuple[FloatArray, float, float],
) -> Flow:
    """Carry cylinder c over a step `dt` [s]; return what leaves the pipe at its valve.

    `angles` of the crank, its own, at the start, middle and end of the step [rad]. A valve that
    opens wider than its pipe lets through what the pipe does.
    """
    cylinders, gas = net
    held, guess, area = state
    start, middle, end = angles
    switch(middle, c, cylinders, held, gas)
    if held[c, OPEN] == 0.0:
        return opening(half, (1.0, 1.0), (area, 0.0), guess, gas)
    g, R = gas
    V0, V, V1 = (
        volume(start, c, cylinders),
        volume(middle, c, cylinders),
        volume(end, c, cylinders),
    )
    mass = held[c, MASS] - 0.5 * dt * held[c, MASS_OUT]
    E = held[c, ENERGY] - 0.5 * dt * held[c, ENERGY_OUT]
    E /= 1.0 + (g - 1.0) * (V - V0) / V
    p = (g - 1.0) * E / V
    T = E * (g - 1.0) / (mass * R)
    throat = min(valve_area(middle, c, cylinders), area)
    flow = opening(half, (p, T), (area, throat), guess, gas)
    held[c, MASS_OUT], held[c, ENERGY_OUT] = -flow[1], -flow[3]
    held[c, MASS] += dt * flow[1]
    held[c, ENERGY] += dt * flow[3] - p * (V1 - V0)
    held[c, WORK_SO_FAR] += p * (V1 - V0)
    if np.pi <= middle < 2.0 * np.pi:
        held[c, STROKE_SO_FAR] += p * (V1 - V0)
    return flow
