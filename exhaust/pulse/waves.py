"""One wave that runs back into a pipe from its end: simple rarefaction or shock [toro].

A half state is density, velocity out of the pipe, pressure and speed of sound (rho, u, p, a) of
the gas that arrives at the end [kg/m^3, m/s, Pa, m/s].
"""

from __future__ import annotations

import numpy as np

from exhaust.pulse.compiled import kernel

Half = tuple[float, float, float, float]


@kernel
def behind(P: float, half: Half, g: float) -> tuple[float, float]:
    """Return velocity out of the pipe [m/s] and density [kg/m^3] behind a wave to pressure P [Pa].

    >>> [round(float(x), 3) for x in behind(202650.0, (1.2, 0.0, 101325.0, 343.8), 1.4)]
    [-180.211, 1.95]
    """
    rho, u, p, a = half
    r = P / p
    if r > 1.0:
        b = (g - 1.0) / (g + 1.0)
        v = u - (P - p) * np.sqrt(2.0 / (rho * p * ((g + 1.0) * r + g - 1.0)))
        return v, rho * (r + b) / (b * r + 1.0)
    x = r ** (0.5 * (g - 1.0) / g)
    return u - 2.0 * a / (g - 1.0) * (x - 1.0), rho * r / (x * x)


@kernel
def wall_pressure(half: Half, g: float) -> float:
    """Return the pressure [Pa] that stops the gas: what a wall at the end feels.

    Closed form both ways; gas that runs off too fast leaves a void.

    >>> round(float(wall_pressure((1.2, 0.0, 101325.0, 343.8), 1.4)))
    101325
    """
    rho, u, p, a = half
    if u > 0.0:
        A, B = 2.0 / ((g + 1.0) * rho), (g - 1.0) / (g + 1.0) * p
        return float(p + 0.5 * u / A * (u + np.sqrt(u * u + 4.0 * A * (p + B))))
    x = max(1.0 + 0.5 * (g - 1.0) * u / a, 0.0)
    return float(p * x ** (2.0 * g / (g - 1.0)))


@kernel
def sonic_pressure(half: Half, g: float) -> float:
    """Return the pressure [Pa] at which gas leaves the pipe at Mach 1; less cannot be felt.

    >>> round(float(sonic_pressure((1.2, 0.0, 101325.0, 343.8), 1.4)) / 101325.0, 4)
    0.2791
    """
    _, u, p, a = half
    if u >= a:
        return p
    x = 2.0 / (g + 1.0) + (g - 1.0) / (g + 1.0) * u / a
    return float(p * max(x, 0.0) ** (2.0 * g / (g - 1.0)))


@kernel
def leaving(P: float, half: Half, g: float) -> tuple[float, float, float]:
    """Return pressure, velocity and density of gas that leaves the pipe against P [Pa].

    >>> [round(float(x), 3) for x in leaving(0.01, (1.4, 0.0, 1.0, 1.0), 1.4)]
    [0.279, 0.833, 0.563]
    """
    rho, u, p, a = half
    if u >= a and u >= a * np.sqrt(0.5 * ((g + 1.0) * P / p + g - 1.0) / g):
        return p, u, rho
    v, r = behind(P, half, g)
    if v > 0.0 and v * v * r > g * P:
        P = sonic_pressure(half, g)
        v, r = behind(P, half, g)
    return P, v, r
