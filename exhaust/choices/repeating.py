"""An engine's network made ready from the steady flow, and run over until its cycle repeats."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from exhaust.choices.doubts import Doubts, doubts, service
from exhaust.choices.headers import Headed
from exhaust.choices.pulses import MOMENTUM, Pulses
from exhaust.choices.sweeping import bar, stop_if_called_off
from exhaust.engine.flow import ExhaustFlow
from exhaust.engine.heat import PORT_DROP
from exhaust.errors import broken
from exhaust.flow.installed import installed
from exhaust.flow.network import network_flow
from exhaust.pulse.arrays import FloatArray, State
from exhaust.pulse.crossing import WINDOW_LOSS
from exhaust.pulse.cycle import Cycle, Stop, settle
from exhaust.pulse.firing import CYCLE, Charge
from exhaust.pulse.laid import Found, Grid, Laid, Outside, at_rest, laid, picked, with_cylinders
from exhaust.show import quantity

KEPT = 1 - PORT_DROP.middle  # of the heat over the air, from port to collector
HOTTER_IN_CYLINDER = 1.35  # than at the port, to start from
CLOSED = 1e-3  # of mass and of temperature, that a cycle's mean at the collectors may be off
STEERING = 0.8  # of what it is off by, taken back each cycle
LEAST, MOST = 0.8, 1.25  # factor in one cycle
LEAST_OUT = 0.25  # of what a cylinder holds: with more left behind no charge burns


def steady_gas(headed: Headed, flow: ExhaustFlow, inputs: Doubts) -> Found:
    """Return the steady gas in a system from its ports on, one for each sample of `inputs`."""
    steady = installed([headed.system], flow.gas, service(flow, inputs), 1)
    outside, hot = flow.ambient_temperature, inputs.gas_temperature
    port = outside + (hot - outside) / KEPT
    moving = network_flow(
        steady.network, flow.gas, inputs.mass_flow, port, flow.ambient_pressure, "quick"
    )
    return Found(steady, moving, flow.gas, hot)


def grid_of(pulses: Pulses, window: float = WINDOW_LOSS) -> Grid:
    """Return how fine the pipes are, and what the window of a crossover loses.

    >>> grid_of(Pulses(cell="20 mm"))
    Grid(cell=0.02, momentum=True, window=1.7)
    """
    return Grid(float(pulses.cell), pulses.junction == MOMENTUM, window)


def ready(headed: Headed, flow: ExhaustFlow, pulses: Pulses) -> Laid:
    """Return the network of a system with its cylinders, friction and walls as in steady flow."""
    found = picked(steady_gas(headed, flow, doubts(flow)[0]), 0)
    return manned(headed, flow, found, pulses, grid_of(pulses))


def manned(headed: Headed, flow: ExhaustFlow, found: Found, pulses: Pulses, grid: Grid) -> Laid:
    """Return a network with its cylinders, for the one sample of gas `found`.

    The engine turns as fast as the duty of `flow`; its mass flow is that of the gas.
    """
    air = Outside(flow.ambient_pressure, flow.ambient_temperature)
    net = laid(headed.system, found, (*headed.collectors, *headed.watched), grid, air)
    came = sum(float(found.flow.mass_flow[name]) for name in _sources(found))
    temperature = float(np.asarray(found.temperature))
    mass = came / flow.engine.cylinders * CYCLE / flow.duty.speed
    at_port = flow.ambient_temperature + (temperature - flow.ambient_temperature) / KEPT
    charge = Charge(mass, HOTTER_IN_CYLINDER * at_port)
    return with_cylinders(net, flow.engine, pulses.cam, charge)


def _sources(found: Found) -> list[str]:
    network = found.laid.network
    return [link.name for link in network.links if link.start in network.sources]


class Aim(NamedTuple):
    """The mean total `temperature` [K] that gas should have at the `collectors`, by name."""

    temperature: float
    collectors: Sequence[str]


class Repeated(NamedTuple):
    """The cycle that a network settles to, as `settle` found it, and the `last` one after it.

    `mass` [kg] and mean total `temperature` [K] that passed the collectors in the last.
    """

    cycle: Cycle
    last: Cycle
    mass: float
    temperature: float


def repeated(one: Laid, speed: float, aim: Aim, pulses: Pulses, cells: Sequence[int]) -> Repeated:
    """Return the cycle that repeats at a `speed` of the crank [rad/s], traced in `cells`.

    The gas of the cylinders is made as hot as the aim asks, cycle by cycle.
    """
    state, net = at_rest(one), one.network
    ports = [int(net.ends.cell[2 * pipe]) for pipe in one.ports.values()]
    steered = _Steered(one, state, aim)
    with bar(pulses.progress, pulses.most_cycles, "cycles") as step:

        def each(count: int, change: float) -> bool:
            stop_if_called_off()
            step(1)
            return steered.steer()

        cycle = settle(net, state, speed, ports, Stop(most=pulses.most_cycles), each)
    last = settle(net, state, speed, list(cells), Stop(most=1))
    steered.hear()
    _let_out(last.residual, net.cylinders.charge)
    return Repeated(cycle, last, float(steered.mass), steered.temperature)


def _let_out(residual: FloatArray, charge: FloatArray) -> None:
    """Refuse cylinders whose valves hardly open, or that breathe out through next to nothing."""
    out = float(np.min(charge / (charge + residual)))
    if out < LEAST_OUT:
        rule = f"must let out at least {quantity(LEAST_OUT, 'percent')} of what they hold"
        remedy = "check lift, valve and angles of the cam, and look for a tube far too small"
        raise broken(rule, quantity(out, "percent"), remedy).named("cylinders")


class _Steered:
    """Hears each cycle, and makes the next one's gas as hot as the aim asks."""

    def __init__(self, one: Laid, state: State, aim: Aim) -> None:
        self.net, self.state, self.target = one.network, state, aim.temperature
        self.ends = [2 * pipe + 1 for place in aim.collectors for pipe in one.arriving(place)]
        self.before = state.passed[self.ends].sum(axis=0)
        self.mass = self.temperature = math.nan  # of the last cycle: mass [kg], mean total [K]

    def hear(self) -> None:
        """Note what passed since it last heard."""
        passed = self.state.passed[self.ends].sum(axis=0)
        self.mass, energy = passed - self.before
        self.before = passed
        g, R = self.net.gas
        self.temperature = float(energy / self.mass * (g - 1) / (g * R))

    def steer(self) -> bool:
        """Return whether the last cycle's flow was as it should be; else turn the next to it."""
        self.hear()
        off = self.target / self.temperature
        if abs(off - 1) > CLOSED:
            self.net.cylinders.release_temperature[:] *= min(max(off**STEERING, LEAST), MOST)
            return False
        return bool(abs(self.mass / self.net.cylinders.charge.sum() - 1) <= CLOSED)
