"""Wave by wave: the pulses of an engine in a system, cycle after cycle until they repeat."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from exhaust.choices.doubts import Doubts, doubts, service
from exhaust.choices.headers import Headed, with_headers
from exhaust.choices.pulses import MOMENTUM, Pulses
from exhaust.choices.simulation import Balance, CylinderPulse, Simulation
from exhaust.choices.sweeping import bar, stop_if_called_off
from exhaust.choices.waves import FloatArray, over_cycle, probes, read_waves
from exhaust.describe import require
from exhaust.engine import Ambient, Engine, OperatingPoint
from exhaust.engine.flow import ExhaustFlow, exhaust_flow
from exhaust.engine.heat import PORT_DROP
from exhaust.errors import broken
from exhaust.flow.installed import installed
from exhaust.flow.network import network_flow
from exhaust.pulse.arrays import State
from exhaust.pulse.crossing import WINDOW_LOSS
from exhaust.pulse.cycle import DEGREES, Cycle, Stop, settle
from exhaust.pulse.firing import CYCLE, Charge, firing_angles
from exhaust.pulse.laid import Found, Grid, Laid, Outside, at_rest, laid, with_cylinders
from exhaust.system import System

STANDARD_AIR = Ambient()
USUAL = Pulses()
HOTTER_IN_CYLINDER = 1.35  # than at the port, to start from
CLOSED = 1e-3  # of the gas temperature, that the cycle's mean at the collectors may be off
STEERING = 0.8  # of what it is off by, taken back each cycle
LEAST, MOST = 0.8, 1.25  # factor in one cycle


class Aim(NamedTuple):
    """The mean total temperature [K] that the gas should have where it passes `ends`."""

    temperature: float
    ends: list[int]


def simulate(
    system: System,
    engine: Engine,
    duty: OperatingPoint,
    ambient: Ambient = STANDARD_AIR,
    pulses: Pulses = USUAL,
) -> Simulation:
    """Return the waves that the engine's pulses make in `system`, in a cycle that repeats.

    Unsteady flow in one dimension from each port to the open air. Friction and walls are those
    that the steady flow finds. The gas in a cylinder as its valve opens is as hot as makes the
    cycle's mean mass flow and enthalpy at the collectors those of `exhaust_flow`. Raises
    `ExhaustError` where the job does not say which cylinders fire when into which pipe, and behind
    a turbocharger. The first call on a machine compiles, once.

    >>> from exhaust import Run, Tube
    >>> pipe = System(runs=[Run(name="all", tube=Tube(od="2.5 in", wall="16 ga"), length="3 m")])
    >>> engine = Engine(displacement="2 L", cylinders=4, firing_order=(1, 3, 4, 2))
    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9, lambda_=0.88)
    >>> answer = simulate(pipe, engine, duty, pulses=Pulses(cell="40 mm"))
    >>> answer.outcome, round(answer.gas_temperature / answer.flow.gas_temperature, 2)
    ('steady', 1.0)
    """
    require(system, System, "system")
    require(pulses, Pulses, "pulses")
    flow = exhaust_flow(engine, duty, ambient)
    if duty.has_turbine:
        rule = "must not be behind a turbocharger"
        remedy = "its turbine takes the pulses out; steady flow answers for what follows it"
        raise broken(rule, None, remedy).named("a simulation")
    headed = with_headers(system, engine, pulses.primary)
    grid = Grid(float(pulses.cell), pulses.junction == MOMENTUM, WINDOW_LOSS)
    return _settled(system, flow, pulses, headed, ready(headed, flow, pulses, grid))


def ready(
    headed: Headed, flow: ExhaustFlow, pulses: Pulses, grid: Grid, inputs: Doubts | None = None
) -> Laid:
    """Return the network of a system with its cylinders, friction and walls as in steady flow.

    `inputs` are what the steady flow assumes of tube and air, arrays of one (none: the middle).
    """
    inputs = doubts(flow)[0] if inputs is None else inputs
    steady = installed([headed.system], flow.gas, service(flow, inputs), 1)
    outside = flow.ambient_temperature
    port = outside + (inputs.gas_temperature - outside) / (1 - PORT_DROP.middle)
    pressure = flow.ambient_pressure
    moving = network_flow(steady.network, flow.gas, inputs.mass_flow, port, pressure, "quick")
    found = Found(steady, moving, flow.gas, float(inputs.gas_temperature[0]))
    around = Outside(pressure, outside)
    net = laid(headed.system, found, headed.collectors, grid, around)
    mass = float(inputs.mass_flow[0]) / flow.engine.cylinders * CYCLE / flow.duty.speed
    charge = Charge(mass, HOTTER_IN_CYLINDER * float(port[0]))
    return with_cylinders(net, flow.engine, pulses.cam, charge)


class _Steered:
    """Hears each cycle, and makes the next one's gas as hot as the aim asks."""

    def __init__(self, one: Laid, state: State, aim: Aim) -> None:
        self.net, self.state, self.aim = one.network, state, aim
        self.before = state.passed[aim.ends].sum(axis=0)
        self.mass = self.temperature = math.nan  # of the last cycle: mass [kg], mean total [K]

    def hear(self) -> None:
        """Note what passed since it last heard."""
        passed = self.state.passed[self.aim.ends].sum(axis=0)
        self.mass, energy = passed - self.before
        self.before = passed
        g, R = self.net.gas
        self.temperature = float(energy / self.mass * (g - 1) / (g * R))

    def steer(self) -> bool:
        """Return whether the last cycle's flow was as it should be; else turn the next to it."""
        self.hear()
        off = self.aim.temperature / self.temperature
        if abs(off - 1) > CLOSED:
            self.net.cylinders.release_temperature[:] *= min(max(off**STEERING, LEAST), MOST)
            return False
        return bool(abs(self.mass / self.net.cylinders.charge.sum() - 1) <= CLOSED)


def _settled(
    system: System, flow: ExhaustFlow, pulses: Pulses, headed: Headed, one: Laid
) -> Simulation:
    """Return the simulation of a network run over until its cycle repeats."""
    state, net = at_rest(one), one.network
    ports = [int(net.ends.cell[2 * pipe]) for pipe in one.ports.values()]
    ends = [2 * pipe + 1 for place in headed.collectors for pipe in one.arriving(place)]
    steered = _Steered(one, state, Aim(flow.gas_temperature, ends))
    with bar(pulses.progress, pulses.most_cycles, "cycles") as step:

        def each(count: int, change: float) -> bool:
            stop_if_called_off()
            step(1)
            return steered.steer()

        stop = Stop(most=pulses.most_cycles)
        cycle = settle(net, state, flow.duty.speed, ports, stop, each)
    places = probes(headed.system, one, headed.collectors)
    last = settle(net, state, flow.duty.speed, [place.cell for place in places], Stop(most=1))
    steered.hear()
    return Simulation(
        system=system,
        flow=flow,
        pulses=pulses,
        headers=headed.said,
        outcome=cycle.outcome,
        cycles=cycle.cycles + 1,
        change=cycle.change,
        waves=read_waves(places, last.trace, net.gas),
        cylinders=_cylinders(one, flow, last),
        mass_flow=float(steered.mass) * flow.duty.speed / CYCLE,
        gas_temperature=steered.temperature,
        balance=_balance(one, last),
        cells=int(np.count_nonzero(net.mesh.per_volume)),
        stretched=tuple(
            (segment.name, pipe.stretched)
            for segment, pipe in zip(one.segments, one.pipes, strict=True)
            if pipe.stretched > 0
        ),
        unsolved=cycle.unsolved,
    )


def _cylinders(one: Laid, flow: ExhaustFlow, last: Cycle) -> tuple[CylinderPulse, ...]:
    """Return what the last cycle did in each cylinder, in the order of their numbers."""
    made, angles = one.network.cylinders, firing_angles(flow.engine)
    outside = flow.ambient_pressure
    found = []
    for n, number in enumerate(one.ports):
        port = last.trace.values[:, n, 2] - outside
        residual = float(last.residual[n])
        found.append(
            CylinderPulse(
                number=number,
                fires=angles[number],
                port_pressure=over_cycle(port),
                exhaust_stroke_pressure=_in_stroke(port, angles[number]),
                pumping_pressure=-float(last.stroke[n] / made.swept[n]) - outside,
                residual=residual / (residual + float(made.charge[n])),
                work=float(last.work[n]),
            )
        )
    return tuple(sorted(found, key=lambda cylinder: cylinder.number))


def _in_stroke(port: FloatArray, fires: float) -> float:
    """Return the mean of samples, one to a degree, from bottom to top dead centre after firing."""
    own = (np.arange(DEGREES) - math.degrees(fires)) % DEGREES
    return float(np.mean(port[:-1][(own >= 180) & (own < 360)]))


def _balance(one: Laid, last: Cycle) -> Balance:
    """Return what the last cycle leaves over, in shares of what came in."""
    net = one.network
    outer = [*net.cylinders.end, *net.reservoirs.end]
    mass, energy = last.passed[outer].sum(axis=0)
    came = -last.passed[net.cylinders.end].sum(axis=0)
    return Balance(
        mass=float((last.stored[0] + mass) / came[0]),
        energy=float((last.stored[1] + energy + last.heat) / came[1]),
    )
