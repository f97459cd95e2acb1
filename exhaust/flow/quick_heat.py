"""Heat along a piece of tube for thousands of samples at once, worked out at one place of it.

Properties of the gas and convection outside are polynomials. The wall is settled where gas comes
in, at the piece's mean entrance; from its slope there what the wall takes goes as a power of how
far the gas is above the air, which makes the way down a closed form: it nears the air and never
passes it. How far all this lies from the full march is measured in its tests and benchmark.
"""

from __future__ import annotations

from copy import copy
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from exhaust.flow.friction import FloatArray, reynolds_number
from exhaust.flow.heat import STEFAN_BOLTZMANN, TubeHeat, Wall, outside_loss, pipe_nusselt
from exhaust.flow.heat import Gas as HotGas
from exhaust.flow.passage import Heat
from exhaust.flow.quick import IdealGas

COLDEST, HOTTEST = 250.0, 1800.0  # that the polynomials hold to [K]
GAS_DEGREE, AIR_DEGREE = 6, 5
WARMER = 0.25  # power of temperature that the coefficient inside goes with (ours; air, burnt gas)


class QuickGas:
    """A gas whose properties are polynomials of temperature, from 250 to 1800 K.

    >>> from exhaust.engine.species import gas_table
    >>> from exhaust.gas.properties import Mixture
    >>> air = Mixture({"N2": 0.79, "O2": 0.21}, gas_table())
    >>> quick, T = QuickGas(air), np.array([400.0, 1000.0, 1600.0])
    >>> (quick.viscosity(T) / air.viscosity(T)).round(2).tolist()
    [1.0, 1.0, 1.0]
    """

    def __init__(self, gas: HotGas) -> None:
        """Fit the properties of `gas`."""
        self.gas_constant = gas.gas_constant
        nodes = _nodes(GAS_DEGREE)
        T = COLDEST + (nodes + 1) / 2 * (HOTTEST - COLDEST)
        table = np.vander(nodes, increasing=True)
        values = np.stack([gas.cp(T), gas.viscosity(T), gas.conductivity(T)], axis=-1)
        # highest power first, as numpy evaluates them
        self._cp, self._viscosity, self._conductivity = np.linalg.solve(table, values)[::-1].T

    def cp(self, temperature: FloatArray) -> FloatArray:
        """Return the heat capacity [J/kg/K]."""
        return self._at(self._cp, temperature)

    def viscosity(self, temperature: FloatArray) -> FloatArray:
        """Return the dynamic viscosity [Pa s]."""
        return self._at(self._viscosity, temperature)

    def conductivity(self, temperature: FloatArray) -> FloatArray:
        """Return the thermal conductivity [W/m/K]."""
        return self._at(self._conductivity, temperature)

    def _at(self, fit: FloatArray, temperature: FloatArray) -> FloatArray:
        z = (np.asarray(temperature, float) - COLDEST) * (2 / (HOTTEST - COLDEST)) - 1
        return np.asarray(np.polyval(fit, z), float)


class _Step(NamedTuple):
    """One of Newton's steps to the wall's temperature; arrays (samples...)."""

    wall: FloatArray  # after it [K]
    loss: FloatArray  # [W/m]
    rate: FloatArray  # d(loss)/dTw [W/m/K]
    held: FloatArray  # resistance inside, the wall as it is [K m/W]
    stiff: FloatArray  # fall of T - Tw - held loss with Tw [-]


class QuickCooling(NamedTuple):
    """The heat along a piece, arrays (samples...) [K]."""

    middle: FloatArray  # total temperature of the gas half way along
    end: FloatArray  # and at the end
    wall: FloatArray  # in the middle, by the coefficient inside that is the mean of the piece


class QuickHeat:
    """The wall of `TubeHeat` on tube of one `diameter`, its outside convection as a polynomial.

    >>> from exhaust.engine.species import gas_table
    >>> from exhaust.flow.heat import Surroundings
    >>> from exhaust.gas.properties import Mixture
    >>> air = Mixture({"N2": 0.79, "O2": 0.21}, gas_table())
    >>> tube = TubeHeat(air, 0.1, 0.0016, Surroundings(air, 300.0))
    >>> quick, whole = QuickHeat(tube, 0.06)(2.0, 0.06, 1000.0), tube(2.0, 0.06, 1000.0)
    >>> bool(abs(quick.temperature - whole.temperature) < 1.0)
    True
    """

    def __init__(self, tube: TubeHeat, diameter: ArrayLike) -> None:
        """Fit the convection of `tube`, `diameter` inside [m]."""
        self.tube, self.gas = tube, QuickGas(tube.gas)
        around = tube.around._replace(emissivity=0.0, convection=1.0)
        self.outside = np.asarray(diameter, float) + 2 * np.asarray(tube.wall, float)
        self.air = np.asarray(around.temperature, float)
        axes = max(np.ndim(value) for value in (self.outside, *around[1:4]))
        nodes = _nodes(AIR_DEGREE)
        z = nodes.reshape(-1, *(1,) * axes)
        warm = self.air + (z + 1) / 2 * (HOTTEST - self.air)
        per_kelvin = outside_loss(warm, self.outside, around) / (warm - self.air)
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
        gas = np.asarray(temperature, float)
        stirred = self._augmentation(np.asarray(distance, float), np.asarray(0.0))
        resistance = self._resistance(distance, diameter, gas, stirred)
        first = self._first_step(gas, resistance)
        found = self._step(gas, resistance, first.wall)
        return Wall(found.wall, found.loss)

    def cooling(
        self,
        places: tuple[ArrayLike, ArrayLike, ArrayLike],
        mass_flow: FloatArray,
        total_temperature: FloatArray,
    ) -> QuickCooling:
        """Return the heat along a piece.

        With y = T - Ta and q = q' (y/y')^n along it, y' about its middle, y is at x
        y1 (1 + (n-1) q1 x/(m cp y1))^(-1/(n-1)).
        `places` are distance of the start from the port, length, diameter [m].
        """
        distance, length, diameter = (np.asarray(value, float) for value in places)
        T, Ta, along = total_temperature, self.air, length / mass_flow
        warm = np.abs(T - Ta) > 1e-6  # gas as warm as the air stays so
        above = np.where(warm, T - Ta, 1.0)
        stirred = self._augmentation(distance, length)
        gas, at = self._about_middle((distance, length, diameter), stirred, along, Ta + above)
        share = (gas - Ta) / above
        inside = at.held * at.rate / at.stiff  # d(ln loss)/d(ln coefficient inside)
        wall_rate = (1 + self._power * at.held * at.loss / gas) / at.stiff
        power = at.rate * wall_rate / at.loss + WARMER / gas * inside
        power = np.maximum((gas - Ta) * power - 1, 1e-6)
        folds = power * at.loss * along / (self.gas.cp(gas) * (gas - Ta)) / share**power
        # each half at its own mean: the first is nearer the entrance and the engine
        early = self._augmentation(distance, length / 2) / stirred
        early = early * (
            (1 + _entrance(distance, length / 2, diameter))
            / (1 + _entrance(distance, length, diameter))
        )
        first = early**inside / 2
        parts = (first, first + (2 - early) ** inside / 2)
        half, whole = (np.exp(-np.log1p(part * folds) / power) for part in parts)
        middle, end = (np.where(warm, Ta + above * left, T) for left in (half, whole))
        wall = Ta + (at.wall - Ta) * (middle - Ta) / (gas - Ta)
        return QuickCooling(middle, end, np.where(warm, wall, T))

    def _about_middle(
        self,
        places: tuple[FloatArray, FloatArray, FloatArray],
        stirred: FloatArray,
        along: FloatArray,
        hot: FloatArray,
    ) -> tuple[FloatArray, _Step]:
        """Return about the temperature of the gas half way along, and its wall there.

        From a first step to the wall where the `hot` gas comes in; `along` is L/m [m s/kg].
        """
        distance, length, diameter = places
        Ta, above = self.air, hot - self.air
        first = self._first_step(hot, self._guessed(diameter, hot, stirred))
        folds = first.loss * along / (self.gas.cp(hot) * above)
        share = 1 / (1 + folds / 4) ** 2  # half way, for n = 3/2
        gas = np.asarray(Ta + share * above)
        roots = np.cbrt(distance), np.cbrt(distance + length)
        # where the entrance's 1 + (D/x)^(2/3)/3 has its mean along the piece
        mean = ((roots[0] ** 2 + roots[0] * roots[1] + roots[1] ** 2) / 3) ** 1.5
        resistance = self._resistance(mean, diameter, gas, stirred)
        return gas, self._step(gas, resistance, Ta + share * (first.wall - Ta))

    def _augmentation(self, distance: FloatArray, length: FloatArray) -> FloatArray:
        """Return the mean along a piece of what stirring adds; as `exhaust.flow.heat`'s."""
        near, far, decay = (np.asarray(value, float) for value in self.tube.stirring[:3])
        share = length / decay
        mean = -np.expm1(-share) / np.where(share > 0, share, 1.0) + (share == 0)
        return np.asarray(far + (near - far) * np.exp(-distance / decay) * mean)

    def _resistance(
        self, distance: ArrayLike, diameter: ArrayLike, gas: FloatArray, stirred: FloatArray
    ) -> FloatArray:
        """Return the resistance inside of a metre of tube, a wall as hot as the gas [K m/W]."""
        mu, k, cp = (f(gas) for f in (self.gas.viscosity, self.gas.conductivity, self.gas.cp))
        D = np.asarray(diameter, float)
        Re = reynolds_number(self.tube.mass_flow, D, mu)
        steady = pipe_nusselt(Re, cp * mu / k, np.asarray(distance, float) / D)
        return np.asarray(1 / (np.pi * stirred * steady * k))

    def _guessed(self, diameter: FloatArray, gas: FloatArray, stirred: FloatArray) -> FloatArray:
        """Return about that resistance: Nu = 0.023 Re^0.8 Pr^0.4, Pr 0.7."""
        Re = reynolds_number(self.tube.mass_flow, diameter, self.gas.viscosity(gas))
        return np.asarray(1 / (np.pi * stirred * self.gas.conductivity(gas) * 0.02 * Re**0.8))

    def _first_step(self, gas: FloatArray, resistance: FloatArray) -> _Step:
        """Return a step to the wall from about where it is, radiation taken as 0.7 e sigma T^3."""
        around = self.tube.around
        shine = np.pi * self.outside * np.asarray(around.emissivity) * STEFAN_BOLTZMANN
        outside = np.asarray(around.convection, float) * self.fit[0] + 0.7 * shine * gas**3
        wall = self.air + (gas - self.air) / (1 + resistance * outside)
        return self._step(gas, resistance, np.asarray(wall))

    @property
    def _power(self) -> FloatArray:
        return np.asarray(self.tube.stirring.cooling_power, float)

    def _step(self, gas: FloatArray, resistance: FloatArray, wall: FloatArray) -> _Step:
        """Return a step to where T - Tw = R (Tw/T)^p q(Tw); the loss is that after it."""
        around, Ta, p = self.tube.around, self.air, self._power
        shine = np.pi * self.outside * np.asarray(around.emissivity) * STEFAN_BOLTZMANN
        blow = np.asarray(around.convection, float)
        half = (HOTTEST - Ta) / 2
        h, slope = _value_and_slope(self.fit, (wall - Ta) / half - 1)
        square = wall * wall
        loss = blow * h * (wall - Ta) + shine * (square * square - Ta**4)
        rate = blow * (h + slope / half * (wall - Ta)) + 4 * shine * square * wall
        held = resistance * (wall / gas) ** p
        stiff = 1 + held * (rate + p * loss / wall)
        step = (gas - wall - held * loss) / stiff
        return _Step(wall + step, loss + step * rate, rate, held, stiff)


def quick_cooling(
    heat: Heat,
    gas: IdealGas,
    places: tuple[ArrayLike, ArrayLike, ArrayLike],
    mass_flow: FloatArray,
    total_temperature: FloatArray,
) -> QuickCooling:
    """Return the heat along a piece; `places` as for `QuickHeat.cooling`.

    Of any wall but `QuickHeat` by the midpoint rule on dh0/dx = -q/m.
    """
    if isinstance(heat, QuickHeat):
        return heat.cooling(places, mass_flow, total_temperature)
    distance, length, diameter = (np.asarray(value, float) for value in places)
    T = total_temperature

    def fall(gas_there: FloatArray) -> tuple[FloatArray, FloatArray]:
        wall, loss = heat(distance + length / 2, diameter, gas_there)
        return np.asarray(loss * length / (mass_flow * gas.cp(gas_there))), np.asarray(wall)

    middle = np.asarray(T - fall(T)[0] / 2)
    whole, wall = fall(middle)
    return QuickCooling(middle, np.asarray(T - whole), wall)


def _entrance(distance: FloatArray, length: FloatArray, diameter: FloatArray) -> FloatArray:
    """Return the mean of (D/x)^(2/3)/3 along a piece."""
    rise = np.cbrt(distance + length) - np.cbrt(distance)
    return np.asarray(np.cbrt(diameter) ** 2 * rise / length)


def _nodes(degree: int) -> FloatArray:
    """Return the points, -1 to 1, through which a polynomial of `degree` is best laid."""
    return np.cos(np.pi * (np.arange(degree + 1) + 0.5) / (degree + 1))


def _value_and_slope(fit: FloatArray, z: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the polynomial of coefficients `fit` at `z`, and its slope, by Horner's rule."""
    value = fit[-1] * z + fit[-2]
    slope = fit[-1] + 0.0 * z
    for coefficient in fit[-3::-1]:
        slope = slope * z + value
        value = value * z + coefficient
    return np.asarray(value), np.asarray(slope)
