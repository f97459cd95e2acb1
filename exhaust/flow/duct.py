"""The two marches along one run, each on a grid of so many steps: heat down, impulse up."""

from __future__ import annotations

from typing import NamedTuple

import attrs
import numpy as np

from exhaust.flow.friction import FloatArray
from exhaust.flow.impulse import Gas, Motion, motion_at_impulse, motion_at_pressure, sonic_motion
from exhaust.flow.passage import Heat, Passage, Shape, bore


class Heated(NamedTuple):
    """What the way down leaves at each node of the grid, arrays (nodes, samples...)."""

    total_enthalpy: FloatArray  # [J/kg]
    rate: FloatArray  # of it with the grid's coordinate [J/kg]
    wall: FloatArray  # temperature [K]
    loss: FloatArray  # of heat per length [W/m]


class Measures(NamedTuple):
    """A run in arrays of numbers; as in `exhaust.flow.run.Passage`."""

    shape: Shape
    length: FloatArray
    friction: FloatArray
    local_loss: FloatArray
    distance: FloatArray


def _measures(run: Passage) -> Measures:
    return Measures(run.shape, *(np.asarray(value, float) for value in run[1:]))


@attrs.frozen(eq=False)
class Duct:
    """One run with all that is known of its ends, of one shape (samples...).

    `mass_flow` [kg/s], `total_temperature` at the start [K], `outlet_pressure` [Pa].

    >>> from exhaust.engine.species import gas_table
    >>> from exhaust.flow.passage import Cone, no_heat
    >>> from exhaust.gas.properties import Mixture
    >>> air = Mixture({"N2": 0.79, "O2": 0.21}, gas_table())
    >>> ends = (np.array([0.1]), np.array([900.0]), np.array([101325.0]))
    >>> duct = Duct(Passage(Cone(0.06, 0.06), 3.0, 0.02), air, *ends, no_heat)
    >>> down = duct.down(8)
    >>> [round(float(one.velocity[0]), 1) for one in duct.up(8, down)][::8]
    [88.8, 90.2]
    """

    run: Measures = attrs.field(converter=_measures)
    gas: Gas
    mass_flow: FloatArray
    total_temperature: FloatArray
    outlet_pressure: FloatArray
    heat: Heat

    def place(self, xi: float) -> tuple[FloatArray, FloatArray]:
        """Return the position [m] of the grid's coordinate, 0 to 1, and its rate with it.

        Even in (distance from the port)^(1/3), which straightens the entrance's peak, and drawn
        together towards the outlet as a square, which straightens the root at Mach 1.
        """
        start = self.run.distance
        first, last = np.cbrt(start), np.cbrt(start + self.run.length)
        s = first + (last - first) * xi * (2 - xi)
        return s**3 - start, 6 * s**2 * (last - first) * (1 - xi)

    def stiffness(self) -> float:
        """Return how fast the gas nears its surroundings: -d(rate)/d(total enthalpy), at most [-].

        Steps of the coordinate longer than one over it would carry the gas past them.
        """
        warm, cool = (self.gas.enthalpy(self.total_temperature * part) for part in (1.0, 0.999))
        folds = [
            (self._warmth(xi, cool)[0] - self._warmth(xi, warm)[0]) / (warm - cool)
            for xi in (0.0, 0.25, 0.5, 0.75)
        ]
        return float(np.max(folds))

    def down(self, steps: int) -> Heated:
        """Return total enthalpy and wall at each of `steps` + 1 nodes, start to end."""
        h0 = self.gas.enthalpy(self.total_temperature)
        d = 1 / steps
        nodes = []
        for i in range(steps):
            xi = i / steps
            k1, wall, loss = self._warmth(xi, h0)
            nodes.append((h0, k1, wall, loss))
            k2 = self._warmth(xi + d / 2, h0 + d / 2 * k1)[0]
            k3 = self._warmth(xi + d / 2, h0 + d / 2 * k2)[0]
            k4 = self._warmth((i + 1) / steps, h0 + d * k3)[0]
            h0 = h0 + d / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
        nodes.append((h0, *self._warmth(1.0, h0)))
        return Heated(*(np.stack(column) for column in zip(*nodes, strict=True)))

    def half_way(self, heated: Heated) -> FloatArray:
        """Return total enthalpy half the length along [J/kg]: the cubic of the step it lies in."""
        steps = len(heated.rate) - 1
        first, last = np.cbrt(self.run.distance), np.cbrt(self.run.distance + self.run.length)
        half = np.cbrt(self.run.distance + self.run.length / 2)
        xi = (1 - np.sqrt((last - half) / (last - first))) * steps
        xi = np.broadcast_to(xi, heated.rate.shape[1:])
        before = np.floor(xi).astype(int)
        h0, h1, k0, k1 = (
            np.take_along_axis(part, (before + more)[None], axis=0)[0]
            for part in (heated.total_enthalpy, heated.rate)
            for more in (0, 1)
        )
        t = xi - before
        ends = h0 + t * t * (3 - 2 * t) * (h1 - h0)
        return np.asarray(ends + t * (1 - t) * ((1 - t) * k0 - t * k1) / steps)

    def up(self, steps: int, heated: Heated) -> list[Motion]:
        """Return the motion at each node, start to end; `short` where the gas is choked.

        Half way along a step total enthalpy is that of the cubic through both ends and slopes. A
        trial inside a step may fall short of the impulse at Mach 1; nodes are what is judged.
        """
        h, slope, R, d = heated.total_enthalpy, heated.rate, self.gas.gas_constant, 1 / steps
        motions = [self._outlet(h[-1])]
        for i in range(steps - 1, -1, -1):
            after = motions[0]
            J = np.asarray(R * after.temperature / after.velocity + after.velocity)
            half = (h[i] + h[i + 1]) / 2 + d / 8 * (slope[i] - slope[i + 1])
            middle = (i + 0.5) / steps
            k1 = self._push((i + 1) / steps, after)
            k2 = self._push(middle, motion_at_impulse(J - d / 2 * k1, half, self.gas))
            k3 = self._push(middle, motion_at_impulse(J - d / 2 * k2, half, self.gas))
            k4 = self._push(i / steps, motion_at_impulse(J - d * k3, h[i], self.gas))
            J = J - d / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
            motions.insert(0, motion_at_impulse(J, h[i], self.gas))
        return motions

    def _warmth(
        self, xi: float, total_enthalpy: FloatArray
    ) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Return the rate of total enthalpy with the coordinate, and the wall there."""
        x, stretch = self.place(xi)
        diameter = bore(self.run.shape.area(x / self.run.length))
        T0 = self.gas.temperature_at(total_enthalpy)
        wall, loss = self.heat(self.run.distance + x, diameter, T0)
        rate = -loss * stretch / self.mass_flow
        rate, wall, loss, _ = np.broadcast_arrays(rate, wall, loss, self.mass_flow)
        return rate, wall, loss

    def _push(self, xi: float, motion: Motion) -> FloatArray:
        """Return the rate of impulse over mass flow with the coordinate [m/s]."""
        run, u = self.run, motion.velocity
        x, stretch = self.place(xi)
        area = run.shape.area(x / run.length)
        widening = run.shape.widening(x / run.length) / (area * run.length)
        loss = run.friction / bore(area) + run.local_loss / run.length
        wall = self.gas.gas_constant * motion.temperature / u * widening
        return np.asarray(stretch * (wall - loss * u / 2))

    def _outlet(self, total_enthalpy: FloatArray) -> Motion:
        """Return the motion at the outlet; `short` where it leaves at Mach 1."""
        G = np.asarray(self.mass_flow / self.run.shape.area(1.0))
        sonic = sonic_motion(total_enthalpy, self.gas)
        least = G * self.gas.gas_constant * sonic.temperature / sonic.velocity
        choked = np.asarray(self.outlet_pressure < least)
        pressure = np.where(choked, least, self.outlet_pressure)
        found = motion_at_pressure(G, pressure, total_enthalpy, self.gas)
        return Motion(
            np.where(choked, sonic.velocity, found.velocity),
            np.where(choked, sonic.temperature, found.temperature),
            choked,
        )
