"""Gas that passes sideways through the opening between two tubes, cell by cell.

The gas in the opening swings to and fro under the difference of pressure, and loses `loss`
dynamic heads: path dv/dt = (p1 - p2)/rho - loss v|v|/2. What passes carries the mass, momentum
along the tube, and total enthalpy of the side it comes from.
"""

from __future__ import annotations

from exhaust.pulse.arrays import FloatArray, Mesh, Windows
from exhaust.pulse.compiled import kernel


@kernel
def exchange(
    U: FloatArray,
    half: tuple[FloatArray, FloatArray],
    windows: Windows,
    v: FloatArray,
    mesh: Mesh,
    step: tuple[float, float],
) -> None:
    """Move mass, momentum and energy between the cells of each window over one step.

    `half` both sides of each cell half a step on; `v` speed through each window [m/s], written;
    `step` gamma [-] and the time [s]. The swing is taken at the middle of the step, with the
    pressure that it evens out itself: stable however stiff the window, and it damps nothing.
    """
    left, right = half
    g, dt = step
    for w in range(v.size):
        i, j = windows.first[w], windows.second[w]
        ri, rj = 0.5 * (left[0, i] + right[0, i]), 0.5 * (left[0, j] + right[0, j])
        pi, pj = 0.5 * (left[2, i] + right[2, i]), 0.5 * (left[2, j] + right[2, j])
        rho = 0.5 * (ri + rj)
        swing = 0.5 * dt / (rho * windows.path[w])
        evened = g * 0.5 * (pi + pj) * windows.area[w] * (mesh.per_volume[i] + mesh.per_volume[j])
        damped = 0.5 * swing * windows.loss[w] * rho * abs(v[w])
        middle = (v[w] + swing * (pi - pj)) / (1.0 + damped + 0.5 * swing * dt * evened)
        v[w] = 2.0 * middle - v[w]
        k = i if middle > 0.0 else j
        r = ri if middle > 0.0 else rj
        p = pi if middle > 0.0 else pj
        u = 0.5 * (left[1, k] + right[1, k])
        m = dt * r * middle * windows.area[w]
        h = g / (g - 1.0) * p / r + 0.5 * u * u
        U[0, i] -= m * mesh.per_volume[i]
        U[1, i] -= m * u * mesh.per_volume[i]
        U[2, i] -= m * h * mesh.per_volume[i]
        U[0, j] += m * mesh.per_volume[j]
        U[1, j] += m * u * mesh.per_volume[j]
        U[2, j] += m * h * mesh.per_volume[j]
