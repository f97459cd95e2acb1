"""A quick march along a piece of tube: the same balances as `march`, in few even steps.

For thousands of samples at once. Heat capacity is taken at the piece's middle, total temperature
falls in a straight line from end to end, and the wall's temperature comes from a fit of what the
outside gives away. How far it lies from the full march is measured in its tests and benchmark.
"""

from __future__ import annotations

from copy import copy
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from exhaust.flow.friction import FloatArray
from exhaust.flow.heat import STEFAN_BOLTZMANN, TubeHeat, Wall, outside_loss
from exhaust.flow.impulse import Gas
from exhaust.flow.passage import Heat

STEPS = 4  # of impulse along a piece
NEWTON_STEPS = 4  # of the wall's balance
HOTTEST = 1500.0  # wall that the fit of convection holds to [K]
DEGREE = 6


class QuickHeat:
    """The wall of `TubeHeat` on tube of one `diameter`, its outside convection as a polynomial.

    >>> from exhaust.engine.species import gas_table
    >>> from exhaust.flow.heat import Surroundings
    >>> from exhaust.gas.properties import Mixture
    >>> air = Mixture({"N2": 0.79, "O2": 0.21}, gas_table())
    >>> tube = TubeHeat(air, 0.1, 0.0016, Surroundings(air, 300.0))
    >>> quick, whole = QuickHeat(tube, 0.06)(2.0, 0.06, 1000.0), tube(2.0, 0.06, 1000.0)
    >>> bool(abs(quick.temperature - whole.temperature) < 0.5)
    True
    """

    def __init__(self, tube: TubeHeat, diameter: ArrayLike) -> None:
        """Fit the convection of `tube`, `diameter` inside [m]."""
        self.tube = tube
        around = tube.around
        self.outside = np.asarray(diameter, float) + 2 * np.asarray(tube.wall, float)
        self.air = float(np.asarray(around.temperature))
        still = around._replace(emissivity=0.0, convection=1.0)
        nodes = np.cos(np.pi * (np.arange(DEGREE + 1) + 0.5) / (DEGREE + 1))
        warm = self.air + (nodes + 1) / 2 * (HOTTEST - self.air)
        warm = warm.reshape(-1, *(1,) * self.outside.ndim)
        per_kelvin = outside_loss(warm, self.outside, still) / (warm - self.air)
        table = np.vander(nodes, increasing=True)
        flat = np.linalg.solve(table, per_kelvin.reshape(len(nodes), -1))
        self.fit = flat.reshape(per_kelvin.shape)

    def carrying(self, mass_flow: ArrayLike) -> QuickHeat:
        """Return the same wall with another mass flow of gas along it [kg/s]."""
        other = copy(self)
        other.tube = self.tube.carrying(mass_flow)
        return other

    def __call__(self, distance: ArrayLike, diameter: ArrayLike, temperature: ArrayLike) -> Wall:
        """Return the wall where gas of total `temperature` [K] passes, `distance` from the port."""
        around, Ta = self.tube.around, self.air
        gas = np.asarray(temperature, float)
        coefficient = self.tube.inside_coefficient(distance, diameter, gas)
        resistance = 1 / (coefficient * np.pi * np.asarray(diameter, float))
        power = np.asarray(self.tube.stirring.cooling_power, float)
        shine = np.pi * self.outside * np.asarray(around.emissivity) * STEFAN_BOLTZMANN
        blow = np.asarray(around.convection, float)
        wall = np.asarray(Ta + 0.85 * (gas - Ta))
        for _ in range(NEWTON_STEPS):
            h, slope = self._convection(wall)
            hot3 = wall**3
            loss = blow * h * (wall - Ta) + shine * (hot3 * wall - Ta**4)
            rate = blow * (h + slope * (wall - Ta)) + 4 * shine * hot3
            held = resistance * (wall / gas) ** power
            wall = wall + (gas - wall - held * loss) / (1 + held * (rate + power * loss / wall))
        h, _ = self._convection(wall)
        return Wall(wall, blow * h * (wall - Ta) + shine * (wall**4 - Ta**4))

    def _convection(self, wall: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return convection per kelvin [W/m/K] and its slope, by Horner's rule."""
        half = (HOTTEST - self.air) / 2
        z = (wall - self.air) / half - 1
        value: FloatArray = np.asarray(self.fit[-1])
        slope: FloatArray = np.zeros_like(value)
        for coefficient in self.fit[-2::-1]:
            slope = slope * z + value
            value = value * z + coefficient
        return value, slope / half


class Moving(NamedTuple):
    """The gas at one place, arrays (samples...)."""

    pressure: FloatArray  # static, absolute [Pa]
    velocity: FloatArray  # [m/s]
    temperature: FloatArray  # static [K]
    total_temperature: FloatArray  # [K]
    heat_capacity: FloatArray  # cp [J/kg/K]


def quick_cooling(
    heat: Heat,
    gas: Gas,
    places: tuple[ArrayLike, ArrayLike, ArrayLike],
    mass_flow: FloatArray,
    total_temperature: FloatArray,
) -> tuple[FloatArray, Wall]:
    """Return total temperature at the end of a piece [K], and the wall in its middle.

    The midpoint rule on dh0/dx = -q/m. `places` are distance of the start from the port, length,
    diameter [m].
    """
    distance, length, diameter = (np.asarray(value, float) for value in places)
    middle = distance + length / 2

    def fall(T0: FloatArray) -> tuple[FloatArray, Wall]:
        wall = Wall(*heat(middle, diameter, T0))
        return np.asarray(wall.loss * length / (mass_flow * gas.cp(T0))), wall

    first, _ = fall(total_temperature)
    second, wall = fall(np.asarray(total_temperature - first / 2))
    return np.asarray(total_temperature - second), wall


def at_pressure(
    flux: FloatArray, pressure: ArrayLike, total_temperature: FloatArray, gas: Gas
) -> tuple[Moving, NDArray[np.bool_]]:
    """Return gas that carries mass `flux` [kg/s/m^2] at a static `pressure` [Pa].

    Where it would be faster than sound it moves at Mach 1, at the pressure that its flux needs;
    the second array says where.
    """
    T0, R = total_temperature, gas.gas_constant
    cp = gas.cp(T0)
    g = cp / (cp - R)
    sonic_T = 2 * T0 / (g + 1)
    sonic_u = np.sqrt(g * R * sonic_T)
    p = np.asarray(pressure, float)
    b = flux * R * T0 / p
    u = 2 * b / (1 + np.sqrt(1 + 2 * b * b / (cp * T0)))
    choked = ~(u < sonic_u)
    u = np.where(choked, sonic_u, u)
    T = T0 - u * u / (2 * cp)
    return Moving(flux * R * T / u, u, T, *np.broadcast_arrays(T0, cp)), choked


def quick_start(
    end: Moving, loss: ArrayLike, flux: FloatArray, start_temperature: FloatArray, gas: Gas
) -> Moving:
    """Return the gas at the start of an even piece, from its `end`, `loss` f L/D + sum K.

    Impulse over mass flow J = p A/m + u by dJ/dN = -u/2, the midpoint rule; total temperature in
    a straight line.
    """
    R, cp = gas.gas_constant, end.heat_capacity
    a4 = 4 * (1 - R / (2 * cp)) * R
    T0, fall = end.total_temperature, (start_temperature - end.total_temperature) / STEPS
    N = np.asarray(loss, float) / (2 * STEPS)
    J, u = end.pressure / flux + end.velocity, end.velocity
    for step in range(STEPS):
        half = T0 + (step + 0.5) * fall
        u = _speed(J + N * u / 2, half, R, a4)
        J = J + N * u
        u = _speed(J, T0 + (step + 1) * fall, R, a4)
    T = start_temperature - u * u / (2 * cp)
    shape = np.broadcast_arrays(flux * (J - u), u, T, start_temperature, cp)
    return Moving(*shape)


def _speed(impulse: FloatArray, T0: FloatArray, R: float, a4: FloatArray) -> FloatArray:
    """Return the subsonic speed [m/s]: R T0/u + (1 - R/2cp) u = J."""
    root = np.sqrt(np.maximum(impulse * impulse - a4 * T0, 0.0))
    return np.asarray(2 * R * T0 / (impulse + root))


def total_pressure(at: Moving, gas: Gas) -> FloatArray:
    """Return total pressure [Pa]: p (T0/T)^(cp/R), cp half way between; nan where p is."""
    half = (at.temperature + at.total_temperature) / 2
    cp = gas.cp(np.where(np.isnan(half), at.total_temperature, half))
    ratio = at.total_temperature / at.temperature
    return np.asarray(at.pressure * ratio ** (cp / gas.gas_constant))
