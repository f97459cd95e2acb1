"""Steady flow of a real gas along one run, with friction, heat loss and a changing area.

Heat first: total enthalpy is marched down from the inlet, where it is known; what the wall takes
depends on total temperature and mass flow, hardly on pressure, so no second pass is needed. Then
the momentum balance is marched up from the outlet, where static pressure is known. Its unknown is
impulse over mass flow J = p A/m + u [m/s], for which the equations behind Shapiro's influence
coefficients [shapiro] stay finite at Mach 1; the gas follows from J and total enthalpy by algebra.

Both marches are of fourth order on one grid, fine at the entrance, where heat transfer peaks, and
at the outlet, where a gas near Mach 1 changes fastest. Steps are doubled until pressure at the
inlet and temperature at the outlet stay put.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from exhaust.errors import ExhaustError
from exhaust.flow.duct import Duct, Heated
from exhaust.flow.friction import FloatArray
from exhaust.flow.impulse import Gas
from exhaust.flow.passage import Heat, Passage, bore, check_passage, more_than_zero, no_heat

FEWEST_STEPS, MOST_STEPS = 8, 2048
TOLERANCE = 1e-7  # of inlet pressure and outlet temperature, by halving the step
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(6)


class March(NamedTuple):
    """The gas along a run, from start to end: arrays (places, samples...).

    Where a gas would have to pass Mach 1 the run is `choked`: at its outlet, the gas leaves at
    Mach 1 and at the pressure its mass flow needs; inside it, what lies upstream is nan.
    """

    position: FloatArray  # from the start of the run [m]
    pressure: FloatArray  # static, absolute [Pa]
    total_pressure: FloatArray  # absolute [Pa]
    mach: FloatArray
    velocity: FloatArray  # [m/s]
    temperature: FloatArray  # static [K]
    total_temperature: FloatArray  # [K]
    wall_temperature: FloatArray  # [K]
    loss: FloatArray  # heat lost per length [W/m]
    heat_lost: FloatArray  # from the start to here [W]
    choked: NDArray[np.bool_]  # (samples...)
    error: float  # of inlet pressure and outlet temperature, by halving the step [-]

    @property
    def total_pressure_loss(self) -> FloatArray:
        """Total pressure at the start less that at the end (samples...) [Pa]."""
        return np.asarray(self.total_pressure[0] - self.total_pressure[-1])


def march(
    run: Passage,
    gas: Gas,
    mass_flow: ArrayLike,
    total_temperature: ArrayLike,
    outlet_pressure: ArrayLike,
    heat: Heat = no_heat,
) -> March:
    """Return the flow along `run`: heat marched down from its start, pressure up from its end.

    d(h0)/dx = -q/m and dJ/dx = (R T/u) dA/(A dx) - (f/D + K/L) u/2 [shapiro], cp as the gas has it.

    Arrays broadcast to the samples: `mass_flow` [kg/s], `total_temperature` at the start [K],
    `outlet_pressure` static, absolute [Pa].

    Raises ExhaustError where an input is out of range, the gas leaves its table, or 2048 steps
    are still too few.

    >>> from exhaust.engine.species import gas_table
    >>> from exhaust.flow.heat import Surroundings, TubeHeat
    >>> from exhaust.flow.passage import Cone
    >>> from exhaust.gas.properties import Mixture
    >>> air = Mixture({"N2": 0.79, "O2": 0.21}, gas_table())
    >>> run = Passage(Cone(0.06, 0.06), length=3.0, friction=0.02, distance=0.5)
    >>> tube = TubeHeat(air, 0.1, 0.0016, Surroundings(air, 300.0))
    >>> flow = march(run, air, 0.1, 1100.0, 101325.0, tube)
    >>> round(float(flow.total_temperature[-1]), -1), bool(flow.choked)
    (990.0, False)
    """
    p = more_than_zero("outlet_pressure", outlet_pressure)
    return pressed(cooled(run, gas, mass_flow, total_temperature, heat), run, p)


class Cooling(NamedTuple):
    """The heat of a run with the mass flow it was marched for; arrays (samples...)."""

    gas: Gas
    heat: Heat
    mass_flow: FloatArray  # [kg/s]
    start: FloatArray  # total temperature [K]
    end: FloatArray  # [K]
    wall: FloatArray  # temperature in the middle [K]
    heated: Heated  # arrays (nodes, samples...)
    error: float  # of total temperature at the end, by halving the step [-]

    @property
    def steps(self) -> int:
        """Steps of its grid."""
        return len(self.heated.rate) - 1


def cooled(
    run: Passage, gas: Gas, mass_flow: ArrayLike, total_temperature: ArrayLike, heat: Heat
) -> Cooling:
    """Return the heat of `run`, marched down from its start; no pressure is needed.

    Arrays broadcast: `mass_flow` [kg/s], `total_temperature` at the start [K].
    """
    check_passage(run)
    m = more_than_zero("mass_flow", mass_flow)
    T0 = more_than_zero("total_temperature", total_temperature)
    samples = _samples(run, m, T0, heat)
    m, T0 = (np.broadcast_to(value, samples) for value in (m, T0))
    duct = Duct(run, gas, m, T0, np.ones(samples), heat)
    steps, coarse, error = _first_steps(duct), T0, np.inf
    fewest = steps
    while steps <= MOST_STEPS:
        down = duct.down(steps)
        end = gas.temperature_at(down.total_enthalpy[-1])
        error = float(np.max(np.abs(end / coarse - 1)))
        if error <= TOLERANCE and steps > fewest:
            half, middle = (
                np.asarray(run.length, float) / 2,
                gas.temperature_at(duct.half_way(down)),
            )
            wall, _ = heat(
                np.asarray(run.distance, float) + half, bore(run.shape.area(0.5)), middle
            )
            wall = np.broadcast_to(wall, samples)
            return Cooling(gas, heat, m, T0, end, wall, down, error)
        steps, coarse = 2 * steps, end
    raise ExhaustError(f"the heat along the run did not settle (off by {error:.1e})")


def _first_steps(duct: Duct) -> int:
    """Return steps that do not carry the gas past its surroundings."""
    steps, needed = FEWEST_STEPS, duct.stiffness()
    while steps < needed:
        steps *= 2
    if 2 * steps > MOST_STEPS:
        raise ExhaustError(
            f"the gas gives up its heat at once (within 1/{needed:.0f} of the run), which no "
            "march follows; is the mass flow far too small?"
        )
    return steps


def pressed(cooling: Cooling, run: Passage, outlet_pressure: ArrayLike) -> March:
    """Return the flow along `run` with its heat known, pressure marched up from its end.

    `run` is the one that was cooled, with any friction and losses; `outlet_pressure` [Pa].
    """
    p = more_than_zero("outlet_pressure", outlet_pressure)
    numbers = (*run[1:], run.shape.area(0.5), cooling.mass_flow, p)
    samples = np.broadcast_shapes(*(np.shape(number) for number in numbers))
    m, T0, p = (np.broadcast_to(v, samples) for v in (cooling.mass_flow, cooling.start, p))
    duct = Duct(run, cooling.gas, m, T0, p, cooling.heat)
    steps, heated = cooling.steps, _wider(cooling.heated, samples)
    coarse = _assembled(duct, Heated(*(part[::2] for part in heated)), steps // 2)
    while True:
        fine = _assembled(duct, heated, steps)
        error = max(cooling.error, _difference(coarse, fine))
        if error <= TOLERANCE:
            return fine._replace(error=error)
        if steps >= MOST_STEPS:
            break
        steps, coarse = 2 * steps, fine
        heated = duct.down(steps)
    raise ExhaustError(
        f"the march along the run did not settle (off by {error:.1e} with {steps} steps); "
        "is the gas near Mach 1 inside the run?"
    )


def _wider(heated: Heated, samples: tuple[int, ...]) -> Heated:
    """Return the heat of a run for more samples, alike along the new axes."""
    more = len(samples) - heated.rate.ndim + 1
    shape = (len(heated.rate), *(1,) * more, *heated.rate.shape[1:])
    return Heated(*(np.broadcast_to(part.reshape(shape), (shape[0], *samples)) for part in heated))


def _samples(
    run: Passage, mass_flow: FloatArray, temperature: FloatArray, heat: Heat
) -> tuple[int, ...]:
    """Return the shape of all samples together, those of the wall included."""
    distance, length = np.asarray(run.distance, float), np.asarray(run.length, float)
    area = run.shape.area(0.5)
    wall = heat(distance + length / 2, bore(area), temperature)
    parts = (*run[1:], mass_flow, area, *wall)
    return np.broadcast_shapes(*(np.shape(part) for part in parts))


def _difference(coarse: March, fine: March) -> float:
    """Return how far the inlet pressures of two marches differ [-]."""
    if np.any(coarse.choked != fine.choked):
        return np.inf
    change = np.abs(coarse.pressure[0] / fine.pressure[0] - 1)
    unknown = np.isnan(fine.pressure[0]) & np.isnan(coarse.pressure[0])
    return float(np.max(np.where(unknown, 0.0, change)))


def _assembled(duct: Duct, heated: Heated, steps: int) -> March:
    motions = duct.up(steps, heated)
    u, T, short = (np.stack(column) for column in zip(*motions, strict=True))
    places = [duct.place(i / (len(u) - 1))[0] for i in range(len(u))]
    areas = [duct.run.shape.area(place / duct.run.length) for place in places]
    x, area = (np.stack([np.broadcast_to(v, u.shape[1:]) for v in vs]) for vs in (places, areas))
    R, h0 = duct.gas.gas_constant, heated.total_enthalpy
    cp, T0 = duct.gas.cp(T), duct.gas.temperature_at(h0)
    p = duct.mass_flow * R * T / (area * u)
    mach = u / np.sqrt(cp / (cp - R) * R * T)
    p0 = p * np.exp(_isentropic(T, T0, duct.gas) / R)
    inside = short.copy()
    inside[-1] = False  # a gas that chokes at the outlet has an answer
    lost = np.logical_or.accumulate(inside[::-1])[::-1]
    p, p0, mach, u, T = (np.where(lost, np.nan, field) for field in (p, p0, mach, u, T))
    return March(
        position=x,
        pressure=p,
        total_pressure=p0,
        mach=mach,
        velocity=u,
        temperature=T,
        total_temperature=T0,
        wall_temperature=heated.wall,
        loss=heated.loss,
        heat_lost=duct.mass_flow * (h0[0] - h0),
        choked=np.asarray(np.any(short, axis=0)),
        error=np.inf,
    )


def _isentropic(temperature: FloatArray, total: FloatArray, gas: Gas) -> FloatArray:
    """Return the integral of cp/T from static to `total` temperature [J/kg/K].

    Gauss's rule of six points in ln T.
    """
    span = np.log(total / temperature)
    parts = [
        weight / 2 * gas.cp(temperature * np.exp(span * (1 + node) / 2))
        for node, weight in zip(_NODES, _WEIGHTS, strict=True)
    ]
    return np.asarray(span * sum(parts))
