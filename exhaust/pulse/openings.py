"""Ends of pipes that are closed, or open to gas at rest: the air outside, or a cylinder.

Gas flows in through the opening without loss and then spreads over the pipe at one pressure;
it flows out without loss up to the opening, sonic there at most [benson].
"""

from __future__ import annotations

import numpy as np

from exhaust.pulse.compiled import kernel
from exhaust.pulse.waves import Half, behind, leaving, sonic_pressure, wall_pressure

MOST_TRIES = 80
SETTLED = 1e-14
NARROWEST = 1e-9  # of the pipe's area; less is shut

Rest = tuple[float, float]  # pressure [Pa] and temperature [K]
Bore = tuple[float, float]  # the pipe's area and the opening's [m^2]
Gas = tuple[float, float]  # gamma [-] and gas constant [J/kg/K]
# pressure [Pa], and out of the pipe: mass flow [kg/s], velocity [m/s], energy flow [W]
Flow = tuple[float, float, float, float]


@kernel
def orifice_flow(area: float, total: Rest, back: float, g: float, R: float) -> float:
    """Return the mass flow [kg/s] through `area` [m^2] from gas at rest to `back` pressure [Pa].

    m = A p0/sqrt(R T0) psi(p/p0), choked below the critical ratio [heywood, eqs. 6.20-6.21].

    >>> area = 0.7 * 3.141592653589793 * 0.035 * 0.006
    >>> round(float(orifice_flow(area, (3e5, 1200.0), 101325.0, 1.3, 288.0)), 6)
    0.157253
    """
    p0, T0 = total
    r = max(back / p0, (2.0 / (g + 1.0)) ** (g / (g - 1.0)))
    if r >= 1.0:
        return 0.0
    x = r ** ((g - 1.0) / g)
    psi = r / x * np.sqrt(2.0 * g / (g - 1.0) * (1.0 - x))
    return float(area * p0 / np.sqrt(R * T0) * psi)


@kernel
def _surplus_out(P: float, half: Half, rest: Rest, bore: Bore, gas: Gas) -> float:
    """Return what the pipe brings over what the opening lets out at pressure P [kg/s]; falls."""
    g, R = gas
    v, rho = behind(P, half, g)
    T = P / (rho * R)
    warm = 1.0 + 0.5 * (g - 1.0) * v * v / (g * R * T)
    total = (P * warm ** (g / (g - 1.0)), T * warm)
    return float(rho * v * bore[0] - orifice_flow(bore[1], total, rest[0], g, R))


@kernel
def _surplus_in(P: float, half: Half, rest: Rest, bore: Bore, gas: Gas) -> float:
    """Return the square of the speed that comes in at P, over the pipe's [m^2/s^2]; falls."""
    g, R = gas
    m = orifice_flow(bore[1], rest, P, g, R)
    b = P * bore[0]
    c = m * R
    u = 2.0 * c * rest[1] / (b + np.sqrt(b * b + 2.0 * c * c * rest[1] * (g - 1.0) / (g * R)))
    v = -behind(P, half, g)[0]
    return float(u * u - v * abs(v))


@kernel
def _surplus(P: float, out: bool, half: Half, rest: Rest, bore: Bore, gas: Gas) -> float:
    """Return what falls with P and is nought where pipe and opening agree."""
    if out:
        return _surplus_out(P, half, rest, bore, gas)
    return _surplus_in(P, half, rest, bore, gas)


@kernel
def _balance(
    span: tuple[float, float, float], out: bool, half: Half, rest: Rest, bore: Bore, gas: Gas
) -> float:
    """Return the pressure [Pa] with no surplus in `span` (low, high, first guess): secants,
    halved where they leave the bracket.
    """
    low, high, x = span
    if not low < x < high:
        x = 0.5 * (low + high)
    before = x + 1e-4 * (high - x)
    f_before = _surplus(before, out, half, rest, bore, gas)
    for _ in range(MOST_TRIES):
        f = _surplus(x, out, half, rest, bore, gas)
        if f > 0.0:
            low = x
        else:
            high = x
        new = x - f * (before - x) / (f_before - f)
        if not low <= new <= high:
            new = 0.5 * (low + high)
        before, f_before, x = x, f, new
        if abs(x - before) <= SETTLED * x:
            break
    return x


@kernel
def opening(half: Half, rest: Rest, bore: Bore, guess: float, gas: Gas) -> Flow:
    """Return pressure, mass, velocity and energy that leave a pipe through an opening.

    `rest` pressure and temperature of the gas beyond, `bore` areas of pipe and opening, `guess`
    a pressure to start from [Pa].

    Still gas at the pressure outside stays still:

    >>> gas, half = (1.4, 287.0), (1.2, 0.0, 101325.0, 343.8)
    >>> flow = opening(half, (101325.0, 294.0), (1.0, 1.0), 1e5, gas)
    >>> [round(abs(float(x)), 6) for x in flow]
    [101325.0, 0.0, 0.0, 0.0]
    """
    g, R = gas
    wall = wall_pressure(half, g)
    if bore[1] <= NARROWEST * bore[0]:
        return wall, 0.0, 0.0, 0.0
    if wall > rest[0]:
        P = max(rest[0], sonic_pressure(half, g))
        if bore[1] < bore[0] and _surplus(P, True, half, rest, bore, gas) > 0.0:
            P = _balance((P, wall, guess), True, half, rest, bore, gas)
        P, u, rho = leaving(P, half, g)
        total = P / rho * g / (g - 1.0) + 0.5 * u * u
        return P, rho * u * bore[0], u, rho * u * bore[0] * total
    sonic = bore[1] / bore[0] * rest[0] * (2.0 / (g + 1.0)) ** (g / (g - 1.0))
    if sonic > wall and _surplus(sonic, False, half, rest, bore, gas) <= 0.0:
        P = sonic
        u = np.sqrt(2.0 * g / (g + 1.0) * R * rest[1])
    else:
        P = _balance((max(sonic, wall), rest[0], guess), False, half, rest, bore, gas)
        u = -behind(P, half, g)[0]
    cp = g * R / (g - 1.0)
    m = P / (R * (rest[1] - 0.5 * u * u / cp)) * u * bore[0]
    return P, -m, -u, -m * cp * rest[1]
