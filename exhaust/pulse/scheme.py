"""Gas in pipes over one step of time: second order, shocks caught, gas at rest stays at rest.

MUSCL-Hancock with van Leer's limiter and the HLLC flux [toro]: five loops over all cells, which
know nothing of where one pipe ends. Faces at the ends of pipes are worked out as if two pipes
touched, and overwritten by `ends` and `junctions`. In conservation form, with A the flow area:

d/dt [rho A, rho u A, E A] + d/dx [rho u A, (rho u^2 + p) A, (E + p) u A]
= [0, p dA/dx - rho u|u| f A/(2 D), 4 h (T_wall - T) A/D]

The arrays W, left and right hold density, velocity and pressure, [3, N] or more; `left` and
`right` are the two sides of each cell half a step on.
"""

from __future__ import annotations

import numpy as np

from exhaust.pulse.arrays import Ends, FloatArray, Gas, Mesh
from exhaust.pulse.compiled import kernel

LEAST_SPARE = 0.2  # of the last cell's density and pressure that an extrapolated spare cell keeps


@kernel
def primitive(U: FloatArray, W: FloatArray, per_width: FloatArray, gamma: float) -> None:
    """Write density, velocity, pressure and the pace (|u| + a)/dx [1/s] of all cells into W."""
    rho, u, p, pace = W[0], W[1], W[2], W[3]
    mass, momentum, energy = U[0], U[1], U[2]
    for i in range(mass.size):
        v = 1.0 / mass[i]
        w = momentum[i] * v
        q = (gamma - 1.0) * (energy[i] - 0.5 * momentum[i] * w)
        rho[i] = mass[i]
        u[i] = w
        p[i] = q
        pace[i] = (abs(w) + np.sqrt(gamma * q * v)) * per_width[i]


@kernel
def largest(x: FloatArray) -> float:
    """Return the largest of x, which is spoilt: folded in half until one is left.

    >>> float(largest(np.array([1.0, 7.0, 3.0, 5.0, 2.0])))
    7.0
    """
    n = x.size
    while n > 1:
        half = (n + 1) // 2
        for i in range(n - half):
            x[i] = max(x[i], x[i + half])
        n = half
    return float(x[0])


@kernel
def fill_spares(W: FloatArray, ends: Ends) -> None:
    """Extrapolate each pipe into its spare cells, so that its last cells have a slope."""
    for e in range(ends.cell.size):
        step = 1 if ends.outward[e] > 0.0 else -1
        i = ends.cell[e]
        for row in range(3):
            near, far = W[row, i], W[row, i - step]
            spare = 2.0 * near - far
            W[row, i + step] = spare if row == 1 else max(spare, LEAST_SPARE * near)


@kernel
def reconstruct(
    W: FloatArray, left: FloatArray, right: FloatArray, mesh: Mesh, gas: Gas, half: float
) -> None:
    """Write both sides of each cell at `half` a step [s] on: limited slopes, moved by Hancock.

    A cell whose sides would run out of density or pressure is taken as even.
    """
    rho, u, p = W[0], W[1], W[2]
    rl, ul, pl = left[0], left[1], left[2]
    rr, ur, pr = right[0], right[1], right[2]
    per_width, widening, drag = mesh.per_width, mesh.widening, mesh.drag
    heating, wall = mesh.heating, mesh.wall_temperature
    g, per_R = gas.gamma, 1.0 / gas.gas_constant
    for i in range(1, rho.size - 1):
        r0, u0, p0 = rho[i], u[i], p[i]
        a, b = r0 - rho[i - 1], rho[i + 1] - r0
        ab = a * b
        dr = 2.0 * ab / (a + b) if ab > 0.0 else 0.0
        a, b = u0 - u[i - 1], u[i + 1] - u0
        ab = a * b
        du = 2.0 * ab / (a + b) if ab > 0.0 else 0.0
        a, b = p0 - p[i - 1], p[i + 1] - p0
        ab = a * b
        dp = 2.0 * ab / (a + b) if ab > 0.0 else 0.0
        k = half * per_width[i]
        v = 1.0 / r0
        stretch = du * k + half * u0 * widening[i]
        rub = half * drag[i] * u0 * abs(u0)
        warm = half * heating[i] * (wall[i] - p0 * v * per_R)
        rh = r0 - k * u0 * dr - r0 * stretch
        uh = u0 - k * (u0 * du + dp * v) - rub
        ph = p0 - k * u0 * dp - g * p0 * stretch + (g - 1.0) * (warm + r0 * u0 * rub)
        dr, du, dp = 0.5 * dr, 0.5 * du, 0.5 * dp
        good = min(rh - abs(dr), ph - abs(dp)) > 0.0
        rh, uh, ph = (rh, uh, ph) if good else (r0, u0, p0)
        dr, du, dp = (dr, du, dp) if good else (0.0, 0.0, 0.0)
        rl[i], ul[i], pl[i] = rh - dr, uh - du, ph - dp
        rr[i], ur[i], pr[i] = rh + dr, uh + du, ph + dp


@kernel
def faces(left: FloatArray, right: FloatArray, flux: FloatArray, gamma: float) -> None:
    """Write the HLLC flux of mass, momentum and energy through each face, per area."""
    rl, ul, pl = right[0], right[1], right[2]
    rr, ur, pr = left[0], left[1], left[2]
    mass, push, power = flux[0], flux[1], flux[2]
    per_gm1 = 1.0 / (gamma - 1.0)
    for i in range(1, rl.size):
        ra, ua, pa = rl[i - 1], ul[i - 1], pl[i - 1]
        rb, ub, pb = rr[i], ur[i], pr[i]
        ca = np.sqrt(gamma * pa / ra)
        cb = np.sqrt(gamma * pb / rb)
        sa = min(ua - ca, ub - cb)
        sb = max(ua + ca, ub + cb)
        ma = ra * (sa - ua)
        mb = rb * (sb - ub)
        middle = (pb - pa + ma * ua - mb * ub) / (ma - mb)
        from_left = middle >= 0.0
        r, v, q = (ra, ua, pa) if from_left else (rb, ub, pb)
        s = sa if from_left else sb
        beyond = s > 0.0 if from_left else s < 0.0
        w = v if beyond else middle
        d = s - v
        m = r * d
        star = q + m * (w - v)
        x = w / (s - w)
        mass[i] = m * x
        push[i] = star + m * x * w
        power[i] = x * (d * (q * per_gm1 + 0.5 * r * v * v) - q * v + s * star)


@kernel
def update(
    U: FloatArray,
    half: tuple[FloatArray, FloatArray],
    flux: FloatArray,
    mesh: Mesh,
    R: float,
    dt: float,
) -> None:
    """Carry all cells over the step `dt` [s] with what passed through their faces and walls."""
    left, right = half
    rl, ul, pl = left[0], left[1], left[2]
    rr, ur, pr = right[0], right[1], right[2]
    m, f, e = U[0], U[1], U[2]
    mass, push, power = flux[0], flux[1], flux[2]
    drag, heating, wall = mesh.drag, mesh.heating, mesh.wall_temperature
    per_volume, area = mesh.per_volume, mesh.face_area
    for i in range(1, m.size - 1):
        a, b = area[i], area[i + 1]
        k = dt * per_volume[i]
        r = 0.5 * (rl[i] + rr[i])
        u = 0.5 * (ul[i] + ur[i])
        p = 0.5 * (pl[i] + pr[i])
        m[i] += k * (a * mass[i] - b * mass[i + 1])
        f[i] += k * (a * (push[i] - p) - b * (push[i + 1] - p)) - dt * drag[i] * r * u * abs(u)
        warm = heating[i] * (wall[i] - p / (r * R))
        e[i] += k * (a * power[i] - b * power[i + 1]) + dt * warm


@kernel
def heat_taken(left: FloatArray, right: FloatArray, mesh: Mesh, R: float) -> float:
    """Return the heat that all walls take [W], as `update` takes it from the gas."""
    total = 0.0
    for i in range(1, left.shape[1] - 1):
        if mesh.heating[i] > 0.0:
            T = (left[2, i] + right[2, i]) / ((left[0, i] + right[0, i]) * R)
            total += mesh.heating[i] * (T - mesh.wall_temperature[i]) / mesh.per_volume[i]
    return total
