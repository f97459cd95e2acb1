"""The exact solution of a Riemann problem, after Toro chapter 4: for tests to compare with."""

from __future__ import annotations

import numpy as np
from scipy.optimize import brentq

Side = tuple[float, float, float]  # density, velocity, pressure


def _change(P: float, side: Side, g: float) -> float:
    rho, _, p = side
    if p < P:
        return (P - p) * np.sqrt(2 / ((g + 1) * rho) / (P + (g - 1) / (g + 1) * p))
    return 2 * np.sqrt(g * p / rho) / (g - 1) * ((P / p) ** ((g - 1) / (2 * g)) - 1)


def middle(left: Side, right: Side, g: float) -> tuple[float, float]:
    """Return pressure and velocity between the waves."""

    def over(P: float) -> float:
        return _change(P, left, g) + _change(P, right, g) + right[1] - left[1]

    P = brentq(over, 1e-9, 1e5, xtol=1e-14, rtol=1e-14)
    u = 0.5 * (left[1] + right[1] + _change(P, right, g) - _change(P, left, g))
    return P, u


def sampled(left: Side, right: Side, g: float, s: np.ndarray) -> np.ndarray:
    """Return density, velocity, pressure [3, n] at speeds s = x/t."""
    P, u = middle(left, right, g)
    out = np.empty((3, s.size))
    for n, speed in enumerate(s):
        if speed < u:
            out[:, n] = _one(left, P, u, g, speed)
        else:
            rho, v, p = _one((right[0], -right[1], right[2]), P, -u, g, -speed)
            out[:, n] = rho, -v, p
    return out


def _one(side: Side, P: float, u: float, g: float, s: float) -> Side:
    """Return what lies left of the contact."""
    rho, v, p = side
    a = np.sqrt(g * p / rho)
    if p < P:
        if s < v - a * np.sqrt((g + 1) / (2 * g) * P / p + (g - 1) / (2 * g)):
            return side
        b = (g - 1) / (g + 1)
        return rho * (P / p + b) / (b * P / p + 1), u, P
    behind = a * (P / p) ** ((g - 1) / (2 * g))
    if s < v - a:
        return side
    if s > u - behind:
        return rho * (P / p) ** (1 / g), u, P
    c = 2 / (g + 1) + (g - 1) / ((g + 1) * a) * (v - s)
    return (
        rho * c ** (2 / (g - 1)),
        2 / (g + 1) * (a + 0.5 * (g - 1) * v + s),
        p * c ** (2 * g / (g - 1)),
    )
