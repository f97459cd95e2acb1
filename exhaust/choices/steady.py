"""Steady flow through several systems or merges at once, sample by sample."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from exhaust.choices.doubts import Doubts, breathing, service
from exhaust.choices.merged import LEGS
from exhaust.engine.flow import ExhaustFlow
from exhaust.flow.balance import Network
from exhaust.flow.chain import Method
from exhaust.flow.cost import power_cost
from exhaust.flow.installed import Layout
from exhaust.flow.junction import mean_loss, merge_losses
from exhaust.flow.moving import dynamic_head, mach_number, total_pressure
from exhaust.flow.network import NetworkFlow, network_flow
from exhaust.flow.quick import Moving
from exhaust.system import System

FloatArray = NDArray[np.float64]


class Steady(NamedTuple):
    """Flow through one pipe of each system, arrays of shape (systems, samples...)."""

    network: Network
    flow: NetworkFlow
    start: Moving  # where gas first comes in
    end: Moving  # where it last leaves
    choked: NDArray[np.bool_]
    reynolds: FloatArray  # of the first run
    back_pressure: FloatArray  # gauge, static, where gas comes in: the mean of the inlets [Pa]
    total_pressure_loss: FloatArray  # from there to still air outside [Pa]
    power_cost: FloatArray  # share of brake power


def steady_flow(
    systems: Sequence[System], flow: ExhaustFlow, inputs: Doubts, method: Method = "full"
) -> Steady:
    """Return the steady flow through one pipe of each system, alike but for tube.

    The pipes of a system share the flow evenly. Raises `ExhaustError` where a kernel does.
    """
    axes = inputs.mass_flow.ndim
    network = Layout(systems, flow.gas, service(flow, inputs), axes).network()
    mass_flow = inputs.mass_flow / systems[0].pipes
    found = network_flow(
        network, flow.gas, mass_flow, inputs.gas_temperature, flow.ambient_pressure, method
    )
    chains = found.chains
    inlets = [chains[link.name] for link in network.links if link.start in network.sources]
    shares = [
        network.sources[link.start] for link in network.links if link.start in network.sources
    ]

    def mean(values: Sequence[FloatArray]) -> FloatArray:
        return np.asarray(sum(np.asarray(s) * v for s, v in zip(shares, values, strict=True)))

    lost = mean([total_pressure(one.start, flow.gas) for one in inlets]) - flow.ambient_pressure
    return Steady(
        network=network,
        flow=found,
        start=inlets[0].start,
        end=chains[network.links[-1].name].end,
        choked=found.choked,
        reynolds=inlets[0].pieces[0].warmth.reynolds,
        back_pressure=mean([one.start.pressure for one in inlets]) - flow.ambient_pressure,
        total_pressure_loss=lost,
        power_cost=power_cost(lost, breathing(flow, inputs)),
    )


class SteadyMerge(NamedTuple):
    """Two pipes merged into each outlet, with all that follows; arrays (outlets, samples)."""

    velocity: FloatArray  # where the outlet starts [m/s]
    mach: FloatArray
    choked: NDArray[np.bool_]
    dynamic_head: FloatArray  # [Pa]
    loss_coefficient: FloatArray  # of the merge, on the outlet's dynamic head
    loss: FloatArray  # of total pressure in the merge [Pa]
    merge_cost: FloatArray  # of that loss, share of brake power
    back_pressure: FloatArray  # of the whole system, gauge [Pa]
    power_cost: FloatArray  # of the whole system, share of brake power


def merge_flow(
    systems: Sequence[System], flow: ExhaustFlow, inputs: Doubts, method: Method = "full"
) -> SteadyMerge:
    """Return the flow of systems with one merge, alike but for the tube behind it.

    The network takes the legs as parallel to the outlet and the loss as `merge_losses` has it;
    what the legs' angle and the spread of handbooks add to that is added on the outlet's head.
    """
    steady = steady_flow(systems, flow, inputs, method)
    outlet = next(link for link in steady.network.links if link.start in steady.network.junctions)
    gas, start = flow.gas, steady.flow.chains[outlet.name].start
    place, runs = outlet.start, systems[0].runs
    into = [line.run for line in systems[0].graph.into(place)]
    leg = runs[into[0]].tube.flow_area
    area = np.asarray(outlet.pieces[0].start, float)
    share = np.full(LEGS, 1 / LEGS)
    f = np.broadcast_to((leg / area)[..., None], (*area.shape, LEGS))
    straight = mean_loss(share, merge_losses(share, f, np.zeros(LEGS)))
    each = merge_losses(share, f, inputs.merge_angle[:, None])
    # The spread of handbooks must not make a merge that creates total pressure.
    coefficient = np.maximum(mean_loss(share, each) + inputs.merge_loss, 0.0)
    head = dynamic_head(start, gas)
    added = (coefficient - straight) * head
    price = breathing(flow, inputs)
    return SteadyMerge(
        velocity=start.velocity,
        mach=mach_number(start, gas),
        choked=steady.choked,
        dynamic_head=head,
        loss_coefficient=coefficient,
        loss=coefficient * head,
        merge_cost=power_cost(coefficient * head, price),
        back_pressure=steady.back_pressure + added,
        power_cost=steady.power_cost + power_cost(added, price),
    )


def plain(index: int, **arrays: FloatArray) -> dict[str, float]:
    """Return the middle value (the first sample) of each array for one option."""
    return {name: float(array[index, 0]) for name, array in arrays.items()}
