"""A second way down one straight run: heat and friction stepped by scipy, formulas written here.

Nothing of `exhaust.flow` is called. Only properties of gas and air, and the engine's gas flow and
temperature, are taken from the package. Correlations are named where they stand; textbooks from
memory.
"""

import math
from typing import NamedTuple

from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from exhaust.engine.species import gas_table
from exhaust.gas.properties import Mixture

ROUGH = 10e-6  # the middle of the roughness band [m]
AIR = Mixture({"N2": 0.7808, "O2": 0.2095, "Ar": 0.0097}, gas_table())
SIGMA = 5.670374419e-8
TIGHT = {"rtol": 1e-10, "atol": 1e-10}


class Marched(NamedTuple):
    """One place of the run, at first its start, and the total temperature where it ends."""

    pressure: float  # static [Pa]
    velocity: float  # [m/s]
    reynolds: float  # at the mean of the total temperatures
    end_temperature: float  # [K]


def wall_loss(gas, hot, x, D, wall, m, outside):
    """Return the heat lost per metre by bracketing the wall's temperature.

    Inside Gnielinski with (D/x)^(2/3)/3 for the entrance, turbulent; wall factor (Tw/Tg)^0.2;
    2.2 times steady at the port falling to 1.2 in 0.8 m. Outside Churchill-Chu and
    Churchill-Bernstein in air at 5 m/s, cubes added; emissivity 0.4. The middles of all bands.
    """
    ambient, pressure = outside
    mu, k, cp = gas.viscosity(hot), gas.conductivity(hot), gas.cp(hot)
    Re, Pr = 4 * m / (math.pi * D * mu), cp * mu / k
    f = (0.790 * math.log(Re) - 1.64) ** -2
    Nu = f / 8 * (Re - 1000) * Pr / (1 + 12.7 * math.sqrt(f / 8) * (Pr ** (2 / 3) - 1))
    Nu *= 1 + (D / x) ** (2 / 3) / 3
    inside = Nu * (1.2 + 1.0 * math.exp(-x / 0.8)) * k / D
    across = D + 2 * wall

    def lost(Tw):
        film = (Tw + ambient) / 2
        mu, k, cp = AIR.viscosity(film), AIR.conductivity(film), AIR.cp(film)
        Pr, nu = cp * mu / k, mu * AIR.gas_constant * film / pressure
        Ra = 9.80665 * (Tw - ambient) / film * across**3 / nu**2 * Pr
        still = (0.60 + 0.387 * Ra ** (1 / 6) / (1 + (0.559 / Pr) ** (9 / 16)) ** (8 / 27)) ** 2
        Re = 5.0 * across / nu
        wind = 0.3 + 0.62 * Re**0.5 * Pr ** (1 / 3) / (1 + (0.4 / Pr) ** (2 / 3)) ** 0.25 * (
            1 + (Re / 282000) ** (5 / 8)
        ) ** (4 / 5)
        h = (still**3 + wind**3) ** (1 / 3) * k / across
        return math.pi * across * (h * (Tw - ambient) + 0.4 * SIGMA * (Tw**4 - ambient**4))

    def short(Tw):
        return inside * math.pi * D * (hot - Tw) - (Tw / hot) ** 0.2 * lost(Tw)

    return lost(brentq(short, ambient + 1e-6, hot, xtol=1e-10))


def marched(flow, tube, length, loss, pipes, heated=True, distance=0.6, at=0.0):
    """Return the gas `at` a place of a straight run into the air, `loss` spread along it."""
    gas, m = flow.gas, flow.mass_flow / pipes
    D = float(tube.od) - 2 * float(tube.wall)
    area, R = math.pi / 4 * D**2, gas.gas_constant
    outside = (flow.ambient_temperature, flow.ambient_pressure)

    def cooling(x, h0):
        hot = gas.temperature_at(float(h0[0]))
        args = (gas, hot, distance + x, D, float(tube.wall), m, outside)
        return [-wall_loss(*args) / m if heated else 0.0]

    start, top = gas.enthalpy(flow.gas_temperature), flow.gas_temperature + 1.0
    down = solve_ivp(cooling, (0, length), [start], dense_output=True, **TIGHT).sol
    end = gas.temperature_at(float(down(length)[0]))
    Re = 4 * m / (math.pi * D * gas.viscosity((flow.gas_temperature + end) / 2))

    def colebrook(y):
        return y + 2 * math.log10(ROUGH / D / 3.7 + 2.51 * y / Re)

    f = brentq(colebrook, 1.0, 40.0, xtol=1e-13) ** -2

    def moving(x, p):  # continuity and energy: T from h(T) + (m R T/(p A))^2/2 = h0
        c, h0 = m * R / (p * area), float(down(x)[0])
        T = brentq(lambda T: gas.enthalpy(T) + (c * T) ** 2 / 2 - h0, 260.0, top)
        return T, c * T

    def pressing(x, y):
        """Shapiro's dp/dx with friction and heat, gamma where it stands."""
        T, u = moving(x, math.exp(y[0]))
        g = gas.gamma(T)
        M2 = u * u / (g * R * T)
        rubbing = (1 + (g - 1) * M2) * (f / D + loss / length) / 2
        warming = cooling(x, down(x))[0] / (gas.cp(T) * T)
        return [-g * M2 / (1 - M2) * (warming + rubbing)]

    there = [math.log(flow.ambient_pressure)]
    up = solve_ivp(pressing, (length, 0), there, dense_output=True, **TIGHT).sol
    p = math.exp(float(up(at)[0]))
    return Marched(p, moving(at, p)[1], Re, end)
