"""Heat from hot gas through a tube's wall to the air around it, metre by metre.

Inside, the gas heats the wall as in a steady pipe, more where it has just entered and more still
near the engine, whose pulses stir it. Outside, the wall warms the air and shines on what stands
around. The wall takes the temperature at which the two agree; its own resistance and the heat
that runs along it are left out (each under a hundredth of the rest in thin tube).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple, Protocol

import attrs
import numpy as np
from numpy.typing import ArrayLike

from exhaust.bands import Band
from exhaust.errors import ExhaustError, broken
from exhaust.flow.friction import FloatArray, reynolds_number
from exhaust.flow.passage import more_than_zero

STEFAN_BOLTZMANN = 5.670374419e-8  # [W/m^2/K^4]
GRAVITY = 9.80665  # [m/s^2]
LAMINAR, TURBULENT = 2300.0, 3500.0  # Reynolds numbers; between them both laws are blended

# Heat taken up in a pulsing exhaust over that in a steady pipe. Near the engine: 0.07 Re^0.75
# [depcik] is 2.1 to 2.3 times steady; others find 2 to 3 there and 1 to 1.5 far down [wendland].
NEAR = Band(2.0, 2.2, 3.0)
FAR = Band(1.0, 1.2, 1.5)
DECAY = Band(0.4, 0.8, 1.6)  # [m] in which the excess falls to 1/e; common practice, no source
# Power of bulk over wall temperature. Books disagree for a gas that cools: 0.45 as for one that
# is heated [gnielinski], or none at all [kays]; the band spans both.
COOLING_POWER = Band(0.0, 0.2, 0.45)
# Bright stainless to heavily oxidised [incropera]; tube in service has turned brown.
EMISSIVITY = Band(0.25, 0.4, 0.8)

TOLERANCE = 1e-6  # of the wall's temperature, in its last step: that leaves 1e-11 of it
MOST_STEPS = 60
_NUDGE = 1e-5  # of the wall's temperature, to take the slope of its balance: a step is as far off
_GRAETZ, _ROUND = 1.077, 0.7  # laminar entrance [gnielinski13]
_DEVELOPED = 3.66  # laminar, even wall temperature


class Gas(Protocol):
    """What heat asks of a gas, each of a temperature [K]; `exhaust.gas` has one, `Mixture`."""

    @property
    def gas_constant(self) -> float:
        """Gas constant [J/kg/K]."""

    def cp(self, temperature: FloatArray, /) -> FloatArray:
        """Heat capacity [J/kg/K]."""

    def viscosity(self, temperature: FloatArray, /) -> FloatArray:
        """Dynamic viscosity [Pa s]."""

    def conductivity(self, temperature: FloatArray, /) -> FloatArray:
        """Thermal conductivity [W/m/K]."""


class Stirring(NamedTuple):
    """How much a pulsing flow adds inside; arrays broadcast.

    `near` and `far` augmentation at the engine and far down [-], `decay` length [m],
    `cooling_power` of bulk over wall temperature [-].
    """

    near: ArrayLike = NEAR.middle
    far: ArrayLike = FAR.middle
    decay: ArrayLike = DECAY.middle
    cooling_power: ArrayLike = COOLING_POWER.middle


PULSING = Stirring()
STEADY = Stirring(near=1.0, far=1.0, cooling_power=0.0)


class Surroundings(NamedTuple):
    """What the outside of the tube meets; arrays broadcast.

    `air` its properties, `temperature` of air and of what the tube shines on [K], `pressure` [Pa],
    `speed` of the air across the tube [m/s], `emissivity` of the tube [-], `convection` how many
    times the heat that the laws give passes to that air [-].
    """

    air: Gas
    temperature: ArrayLike
    pressure: ArrayLike = 101325.0
    speed: ArrayLike = 0.0
    emissivity: ArrayLike = EMISSIVITY.middle
    convection: ArrayLike = 1.0


class Wall(NamedTuple):
    """The wall at one place: its `temperature` [K] and the heat `loss` of a metre of it [W/m]."""

    temperature: FloatArray
    loss: FloatArray


def pipe_nusselt(reynolds: ArrayLike, prandtl: ArrayLike, diameters: ArrayLike) -> FloatArray:
    """Return the local Nusselt number of steady flow in a smooth pipe.

    Turbulent: (f/8)(Re-1000)Pr / (1+12.7 sqrt(f/8)(Pr^(2/3)-1)), f = (0.790 ln Re - 1.64)^-2, Re
    3500 to 5e6 [gnielinski], times 1 + (D/x)^(2/3)/3, whose mean over a length is the usual
    1 + (D/L)^(2/3). Laminar: (3.66^3 + 0.7^3 + (1.077 (Re Pr D/x)^(1/3) - 0.7)^3)^(1/3), Re up to
    2300 [gnielinski13]. Between them both at that Re, blended by a cubic step so that a march
    meets no kink; within a fifth of the straight line from 2300 to 4000 that the source draws.

    Arrays broadcast: `diameters` from the entrance, x/D, more than zero, inf where developed.

    >>> pipe_nusselt([1e3, 3e3, 3e4], 0.735, np.inf).round(2).tolist()
    [3.66, 7.73, 72.24]
    """
    Re, Pr = np.asarray(reynolds, float), np.asarray(prandtl, float)
    near = 1 / more_than_zero("diameters", diameters)
    quick, slow = np.maximum(Re, LAMINAR), np.minimum(Re, TURBULENT)
    f = (0.790 * np.log(quick) - 1.64) ** -2
    turbulent = f / 8 * (quick - 1000) * Pr / (1 + 12.7 * np.sqrt(f / 8) * (np.cbrt(Pr) ** 2 - 1))
    entering = _GRAETZ * np.cbrt(slow * Pr * near) - _ROUND
    laminar = np.cbrt(_DEVELOPED**3 + _ROUND**3 + entering**3)
    share = np.clip((Re - LAMINAR) / (TURBULENT - LAMINAR), 0.0, 1.0)
    share = share**2 * (3 - 2 * share)
    return np.asarray(laminar + share * (turbulent * (1 + np.cbrt(near) ** 2 / 3) - laminar))


def augmentation(distance: ArrayLike, stirring: Stirring = PULSING) -> FloatArray:
    """Return how many times a steady pipe's heat a pulsing exhaust takes up.

    far + (near - far) exp(-x/decay), x `distance` from the port [m]; the ends of `NEAR` and `FAR`
    bound what was measured [depcik, wendland], the decay is common practice.

    >>> augmentation([0.0, 0.8, 10.0]).round(2).tolist()
    [2.2, 1.57, 1.2]
    """
    near, far, decay = (np.asarray(v, float) for v in stirring[:3])
    fall = np.exp(-np.asarray(distance, float) / more_than_zero("decay", decay))
    return np.asarray(far + (near - far) * fall)


def free_nusselt(rayleigh: ArrayLike, prandtl: ArrayLike) -> FloatArray:
    """Return the Nusselt number of a level tube in still air.

    (0.60 + 0.387 Ra^(1/6) / (1 + (0.559/Pr)^(9/16))^(8/27))^2, Ra up to 1e12 [churchill-chu]

    >>> round(float(free_nusselt(1e6, 0.7)), 2)
    14.51
    """
    Ra, Pr = np.asarray(rayleigh, float), np.asarray(prandtl, float)
    return np.asarray(
        (0.60 + 0.387 * Ra ** (1 / 6) / (1 + (0.559 / Pr) ** (9 / 16)) ** (8 / 27)) ** 2
    )


def forced_nusselt(reynolds: ArrayLike, prandtl: ArrayLike) -> FloatArray:
    """Return the Nusselt number of a tube in a wind across it.

    0.3 + 0.62 Re^(1/2) Pr^(1/3) / (1 + (0.4/Pr)^(2/3))^(1/4) (1 + (Re/282000)^(5/8))^(4/5), Re Pr
    from 0.2 [churchill-bernstein]

    >>> round(float(forced_nusselt(6071, 0.7)), 2)
    40.64
    """
    Re, Pr = np.asarray(reynolds, float), np.asarray(prandtl, float)
    slow = 0.62 * np.sqrt(Re) * np.cbrt(Pr) / (1 + (0.4 / Pr) ** (2 / 3)) ** 0.25
    return np.asarray(0.3 + slow * (1 + (Re / 282000) ** 0.625) ** 0.8)


def outside_loss(wall: ArrayLike, diameter: ArrayLike, around: Surroundings) -> FloatArray:
    """Return the heat that a metre of tube at temperature `wall` gives to its surroundings [W/m].

    pi D (h (Tw - Ta) + e sigma (Tw^4 - Ta^4)); air at the mean of both temperatures; still air and
    wind together as the cube root of the sum of the cubes of their Nusselt numbers [incropera].

    Arrays broadcast: `wall` [K], `diameter` outside [m].

    >>> from exhaust.engine.species import gas_table
    >>> from exhaust.gas.properties import Mixture
    >>> still = Surroundings(Mixture({"N2": 0.79, "O2": 0.21}, gas_table()), 300.0, emissivity=0.8)
    >>> round(float(outside_loss(800.0, 0.0635, still)), -2)
    4500.0
    """
    Tw, D = np.asarray(wall, float), np.asarray(diameter, float)
    Ta, p, speed, e, blow = (np.asarray(v, float) for v in around[1:])
    film = (Tw + Ta) / 2
    mu, k, cp = (f(film) for f in (around.air.viscosity, around.air.conductivity, around.air.cp))
    Pr = cp * mu / k
    nu = mu * around.air.gas_constant * film / p
    rayleigh = GRAVITY * np.abs(Tw - Ta) / film * D**3 / nu**2 * Pr
    still, wind = free_nusselt(rayleigh, Pr), forced_nusselt(speed * D / nu, Pr)
    h = blow * np.cbrt(still**3 + wind**3) * k / D
    return np.asarray(np.pi * D * (h * (Tw - Ta) + e * STEFAN_BOLTZMANN * (Tw**4 - Ta**4)))


@attrs.frozen(eq=False)
class TubeHeat:
    """One tube in its surroundings: called along a run, it answers with the wall there.

    `mass_flow` [kg/s] of `gas`, `wall` thickness [m]; arrays broadcast.

    >>> from exhaust.engine.species import gas_table
    >>> from exhaust.gas.properties import Mixture
    >>> air = Mixture({"N2": 0.79, "O2": 0.21}, gas_table())
    >>> tube = TubeHeat(air, 0.1, 0.0016, Surroundings(air, 300.0))
    >>> round(float(tube(2.0, 0.06, 1000.0).temperature), -1)
    880.0
    """

    gas: Gas = attrs.field(repr=False)
    mass_flow: ArrayLike
    wall: ArrayLike
    around: Surroundings
    stirring: Stirring = PULSING

    def __attrs_post_init__(self) -> None:
        around, stirring = self.around, self.stirring
        more_than_zero("mass_flow", self.mass_flow)
        _checked("wall", self.wall)
        more_than_zero("temperature of the surroundings", around.temperature)
        more_than_zero("pressure of the surroundings", around.pressure)
        _checked("speed of the air", around.speed)
        _checked("emissivity", around.emissivity, most=1.0)
        more_than_zero("convection", around.convection)
        more_than_zero("near augmentation", stirring.near)
        more_than_zero("far augmentation", stirring.far)
        more_than_zero("decay", stirring.decay)
        _checked("cooling_power", stirring.cooling_power, most=1.0)

    def carrying(self, mass_flow: ArrayLike) -> TubeHeat:
        """Return the same tube with another mass flow of gas in it [kg/s]."""
        return attrs.evolve(self, mass_flow=mass_flow)

    def inside_coefficient(
        self, distance: ArrayLike, diameter: ArrayLike, temperature: ArrayLike
    ) -> FloatArray:
        """Return the heat transfer coefficient inside, a wall as hot as the gas [W/m^2/K].

        `distance` from the port [m], `diameter` inside [m], `temperature` of the gas [K].
        """
        D, T = np.asarray(diameter, float), np.asarray(temperature, float)
        x = more_than_zero("distance from the port", distance)
        mu, k, cp = (f(T) for f in (self.gas.viscosity, self.gas.conductivity, self.gas.cp))
        Re = reynolds_number(self.mass_flow, D, mu)
        steady = pipe_nusselt(Re, cp * mu / k, x / D)
        return np.asarray(augmentation(x, self.stirring) * steady * k / D)

    def __call__(self, distance: ArrayLike, diameter: ArrayLike, temperature: ArrayLike) -> Wall:
        """Return the wall where gas of total `temperature` [K] passes, `distance` from the port.

        Tg - Tw = R (Tw/Tg)^n q(Tw), R = 1/(h pi D), q the loss outside. The right side rises with
        Tw, so the root lies between air and gas: Newton's steps, halving where one would leave.

        `distance` [m], `diameter` inside [m].
        """
        D = np.asarray(diameter, float)
        around, power = self.around, np.asarray(self.stirring.cooling_power, float)
        gas, air, resistance, outside, *_ = np.broadcast_arrays(
            np.asarray(temperature, float),
            np.asarray(around.temperature, float),
            1 / (self.inside_coefficient(distance, D, temperature) * np.pi * D),
            D + 2 * np.asarray(self.wall, float),
            *(around.pressure, around.speed, around.emissivity, around.convection, power),
        )

        def short(wall: FloatArray) -> FloatArray:
            lost = outside_loss(wall, outside, around)
            return np.asarray(gas - wall - resistance * (wall / gas) ** power * lost)

        wall = _falling_root(short, np.minimum(air, gas), np.maximum(air, gas))
        return Wall(wall, outside_loss(wall, outside, around))


def _falling_root(
    short: Callable[[FloatArray], FloatArray], low: FloatArray, high: FloatArray
) -> FloatArray:
    """Return where `short`, which falls, is nought between `low` and `high` [K]."""
    x = low + 0.8 * (high - low)
    for _ in range(MOST_STEPS):
        here, there = short(np.stack([x, x * (1 + _NUDGE)]))
        slope = (there - here) / (x * _NUDGE)
        low, high = np.where(here >= 0, x, low), np.where(here <= 0, x, high)
        step = np.where(slope < 0, -here / np.where(slope < 0, slope, -1.0), np.inf)
        inside = (x + step >= low) & (x + step <= high)
        next_x = np.where(inside, x + step, (low + high) / 2)
        moved = np.abs(next_x - x)
        x = next_x
        if np.all(moved <= TOLERANCE * x):
            return np.asarray(x)
    raise ExhaustError(f"the wall temperature did not settle (step {np.max(moved):.1e} K)")


def _checked(name: str, value: ArrayLike, most: float = np.inf) -> None:
    """Raise ExhaustError, by name, unless all of `value` is from nought up to `most`."""
    array = np.asarray(value, float)
    if not np.all(array >= 0):
        raise broken("must not be less than zero", f"{np.min(array):g}").named(name)
    if not np.all(array <= most):
        raise broken(f"must be at most {most:g}", f"{np.max(array):g}").named(name)
