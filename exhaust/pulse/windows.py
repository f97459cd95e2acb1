"""Gas that passes sideways through the opening between two tubes, cell by cell.

The gas in the opening swings to and fro under the difference of pressure, and loses `loss`
dynamic heads: path dv/dt = (p1 - p2)/rho - loss v|v|/2. What passes carries the mass, momentum
along the tube, and total enthalpy of the side it comes from.
"""

from __future__ import annotations

from exhaust.pulse.arrays import FloatArray, Mesh, Windows
from exhaust.pulse.compiled import kernel


@kernel
def still_state(U: FloatArray, i: int, g: float) -> tuple[float, float, float]:
    """Return density, velocity and pressure of cell i."""
    rho = U[0, i]
    u = U[1, i] / rho
    return rho, u, (g - 1.0) * (U[2, i] - 0.5 * rho * u * u)


@kernel
def exchange(
    U: FloatArray, windows: Windows, v: FloatArray, mesh: Mesh, g: float, dt: float
) -> None:
    """Move mass, momentum and energy between the cells of each window over `dt` [s].

    `v` speed through each window [m/s], written. The swing is taken at the middle of the step,
    with the pressure that it evens out itself: stable however stiff, and it damps nothing. The
    step follows one of the pipes alone; in turn, the two are second order but for a half step at
    the start.
    """
    for w in range(v.size):
        i, j = windows.first[w], windows.second[w]
        ri, ui, pi = still_state(U, i, g)
        rj, uj, pj = still_state(U, j, g)
        rho = 0.5 * (ri + rj)
        swing = 0.5 * dt / (rho * windows.path[w])
        evened = g * 0.5 * (pi + pj) * windows.area[w] * (mesh.per_volume[i] + mesh.per_volume[j])
        damped = 0.5 * swing * windows.loss[w] * rho * abs(v[w])
        middle = (v[w] + swing * (pi - pj)) / (1.0 + damped + 0.5 * swing * dt * evened)
        v[w] = 2.0 * middle - v[w]
        r, u, p = (ri, ui, pi) if middle > 0.0 else (rj, uj, pj)
        m = dt * r * middle * windows.area[w]
        h = g / (g - 1.0) * p / r + 0.5 * u * u
        for row, passed in enumerate((m, m * u, m * h)):
            U[row, i] -= passed * mesh.per_volume[i]
            U[row, j] += passed * mesh.per_volume[j]
