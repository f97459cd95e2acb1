"""Wave by wave: the pulses of an engine in a system, cycle after cycle until they repeat."""

from __future__ import annotations

import math

import numpy as np

from exhaust.choices.headers import Headed, with_headers
from exhaust.choices.pulses import Pulses
from exhaust.choices.repeating import Aim, ready, repeated
from exhaust.choices.simulation import Balance, CylinderPulse, Simulation
from exhaust.choices.waves import FloatArray, over_cycle, probes, read_waves
from exhaust.describe import require
from exhaust.engine import Ambient, Engine, OperatingPoint
from exhaust.engine.flow import ExhaustFlow, exhaust_flow
from exhaust.errors import broken
from exhaust.pulse.cycle import DEGREES, Cycle
from exhaust.pulse.firing import CYCLE, firing_angles
from exhaust.pulse.laid import Laid
from exhaust.system import System

STANDARD_AIR = Ambient()
USUAL = Pulses()


def simulate(
    engine: Engine,
    system: System,
    duty: OperatingPoint,
    ambient: Ambient = STANDARD_AIR,
    pulses: Pulses = USUAL,
) -> Simulation:
    """Return the waves that the pulses of `engine` make in `system`, in a cycle that repeats.

    Unsteady flow in one dimension from each port to the open air. Friction and walls are those
    that the steady flow finds. The gas in a cylinder as its valve opens is as hot as makes the
    cycle's mean mass flow and enthalpy at the collectors those of `exhaust_flow`. Raises
    `ExhaustError` where the job does not say which cylinders fire when into which pipe, and behind
    a turbocharger. The first call on a machine compiles, once.

    >>> from exhaust import Run, Tube
    >>> pipe = System(runs=[Run(name="all", tube=Tube(od="2.5 in", wall="16 ga"), length="3 m")])
    >>> engine = Engine(displacement="2 L", cylinders=4, firing_order=(1, 3, 4, 2))
    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9, lambda_=0.88)
    >>> answer = simulate(engine, pipe, duty, pulses=Pulses(cell="40 mm"))
    >>> answer.outcome, round(answer.gas_temperature / answer.flow.gas_temperature, 2)
    ('steady', 1.0)
    """
    require(system, System, "system")
    require(pulses, Pulses, "pulses")
    flow = pulsing_flow(engine, duty, ambient)
    headed = with_headers(system, engine, pulses.primary)
    return _answer(system, flow, pulses, headed, ready(headed, flow, pulses))


def pulsing_flow(engine: Engine, duty: OperatingPoint, ambient: Ambient) -> ExhaustFlow:
    """Return the exhaust flow, or refuse an engine whose turbine takes its pulses out.

    >>> engine = Engine(displacement="2 L", cylinders=4, firing_order=(1, 3, 4, 2))
    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9)
    >>> round(pulsing_flow(engine, duty, Ambient()).mass_flow, 3)
    0.118
    """
    flow = exhaust_flow(engine, duty, ambient)
    if duty.has_turbine:
        rule = "must not be behind a turbocharger"
        remedy = "its turbine takes the pulses out; steady flow answers for what follows it"
        raise broken(rule, None, remedy).named("a simulation")
    return flow


def _answer(
    system: System, flow: ExhaustFlow, pulses: Pulses, headed: Headed, one: Laid
) -> Simulation:
    """Return the simulation of a network run over until its cycle repeats."""
    places, net = probes(headed.system, one, headed.collectors), one.network
    aim = Aim(flow.gas_temperature, headed.collectors)
    found = repeated(one, flow.duty.speed, aim, pulses, [place.cell for place in places])
    return Simulation(
        system=system,
        flow=flow,
        pulses=pulses,
        headers=headed.said,
        outcome=found.cycle.outcome,
        cycles=found.cycle.cycles + 1,
        change=found.cycle.change,
        waves=read_waves(places, found.last.trace, net.gas),
        cylinders=_cylinders(one, flow, found.last),
        mass_flow=found.mass * flow.duty.speed / CYCLE,
        gas_temperature=found.temperature,
        balance=_balance(one, found.last),
        cells=int(np.count_nonzero(net.mesh.per_volume)),
        stretched=tuple(
            (segment.name, pipe.stretched)
            for segment, pipe in zip(one.segments, one.pipes, strict=True)
            if pipe.stretched > 0
        ),
        unsolved=found.cycle.unsolved,
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
