"""Steady flow through several systems or merges at once, sample by sample."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from exhaust.bands import Band, band_of
from exhaust.choices.doubts import Doubts, breathing, service
from exhaust.engine.flow import ExhaustFlow
from exhaust.flow.balance import Link
from exhaust.flow.chain import Method
from exhaust.flow.cost import power_cost
from exhaust.flow.installed import Installed, installed
from exhaust.flow.junction import mean_loss, merge_losses
from exhaust.flow.moving import dynamic_head, mach_number, total_pressure
from exhaust.flow.network import NetworkFlow, network_flow
from exhaust.flow.quick import Moving
from exhaust.joints import Joint
from exhaust.system import Merge, System

FloatArray = NDArray[np.float64]


class Steady(NamedTuple):
    """Flow through one pipe of each system, arrays of shape (systems, samples...)."""

    installed: Installed
    flow: NetworkFlow
    start: Moving  # where gas first comes in
    end: Moving  # where it last leaves
    choked: NDArray[np.bool_]
    reynolds: FloatArray  # of the first run
    back_pressure: FloatArray  # gauge, static, where gas comes in: the mean of the inlets [Pa]
    leaving_head: FloatArray  # total pressure over still air where gas leaves, the mean [Pa]
    total_pressure_loss: FloatArray  # from the inlets to still air outside [Pa]
    power_cost: FloatArray  # share of brake power


def steady_flow(
    systems: Sequence[System], flow: ExhaustFlow, inputs: Doubts, method: Method = "full"
) -> Steady:
    """Return the steady flow through one pipe of each system, alike but for tube.

    The pipes of a system share the flow evenly. Raises `ExhaustError` where a kernel does.
    """
    gas, outside = flow.gas, flow.ambient_pressure
    laid = installed(systems, gas, service(flow, inputs), inputs.mass_flow.ndim)
    network = laid.network
    mass_flow = inputs.mass_flow / systems[0].pipes
    found = network_flow(network, gas, mass_flow, inputs.gas_temperature, outside, method)
    chains, flows = found.chains, found.mass_flow
    starts = {link.start for link in network.links}
    into = [link.name for link in network.links if link.start in network.sources]
    out = [link.name for link in network.links if link.end not in starts]

    def mean(names: Sequence[str], values: Sequence[FloatArray]) -> FloatArray:
        parts = [flows[name] * value for name, value in zip(names, values, strict=True)]
        return np.asarray(sum(parts) / mass_flow)

    lost = mean(into, [total_pressure(chains[one].start, gas) for one in into]) - outside
    return Steady(
        installed=laid,
        flow=found,
        start=chains[into[0]].start,
        end=chains[out[-1]].end,
        choked=found.choked,
        reynolds=chains[into[0]].pieces[0].warmth.reynolds,
        back_pressure=mean(into, [chains[one].start.pressure for one in into]) - outside,
        leaving_head=mean(out, [total_pressure(chains[one].end, gas) for one in out]) - outside,
        total_pressure_loss=lost,
        power_cost=power_cost(lost, breathing(flow, inputs)),
    )


class SteadyMerge(NamedTuple):
    """Two runs merged into each outlet, with all that follows; arrays (outlets, samples)."""

    velocity: FloatArray  # where the outlet starts [m/s]
    mach: FloatArray
    choked: NDArray[np.bool_]
    dynamic_head: FloatArray  # [Pa]
    loss_coefficient: FloatArray  # of an incompressible merge, on the outlet's dynamic head
    loss: FloatArray  # of total pressure in the merge [Pa]
    merge_cost: FloatArray  # of that loss, share of brake power
    back_pressure: FloatArray  # of the whole system, gauge [Pa]
    power_cost: FloatArray  # of the whole system, share of brake power


def merge_flow(
    systems: Sequence[System],
    place: str,
    flow: ExhaustFlow,
    inputs: Doubts,
    method: Method = "full",
) -> SteadyMerge:
    """Return the flow of systems that merge at a place, alike but for the tube behind it.

    The network's junction takes the legs' angle as described. Legs that run parallel to the
    outlet as cut come in at an angle in the car: what that and the spread of handbooks add to
    the loss, by `merge_losses`, is added on the outlet's head.
    """
    steady = steady_flow(systems, flow, inputs, method)
    links, chains = steady.installed.network.links, steady.flow.chains
    legs = [link for link in links if link.end == place]
    (outlet,) = (link for link in links if link.start == place)
    start, gas = chains[outlet.name].start, flow.gas
    share, ratio = _legs(steady, legs, outlet)
    angle = _leg_angle(systems[0], place)
    at_angle = inputs.merge_angle if angle == 0 else np.full_like(inputs.merge_angle, angle)
    described = mean_loss(share, merge_losses(share, ratio, np.full(len(legs), angle)))
    drawn = mean_loss(share, merge_losses(share, ratio, at_angle[..., None]))
    # The spread of handbooks must not make a merge that creates total pressure.
    coefficient = np.maximum(drawn + inputs.merge_loss, 0.0)
    head = dynamic_head(start, gas)
    arriving = np.stack([total_pressure(chains[leg.name].end, gas) for leg in legs], axis=-1)
    lost = mean_loss(share, arriving) - total_pressure(start, gas)
    loss = np.maximum(lost + (coefficient - described) * head, 0.0)
    price = breathing(flow, inputs)
    return SteadyMerge(
        velocity=start.velocity,
        mach=mach_number(start, gas),
        choked=steady.choked,
        dynamic_head=head,
        loss_coefficient=coefficient,
        loss=loss,
        merge_cost=power_cost(loss, price),
        back_pressure=steady.back_pressure + (loss - lost),
        power_cost=steady.power_cost + power_cost(loss - lost, price),
    )


def _legs(steady: Steady, legs: Sequence[Link], outlet: Link) -> tuple[FloatArray, FloatArray]:
    """Return the share of the flow and of the outlet's area of each leg, along the last axis."""
    flows = steady.flow.mass_flow
    area = np.asarray(outlet.pieces[0].start, float)
    shares = [flows[leg.name] / flows[outlet.name] for leg in legs]
    ratios = [np.asarray(leg.pieces[-1].end, float) / area for leg in legs]
    return np.stack(shares, axis=-1), np.stack(ratios, axis=-1)


def _leg_angle(system: System, place: str) -> float:
    """Return the angle at which legs meet, as described [rad]."""
    thing = system.graph.places[place]
    assert isinstance(thing, (Merge, Joint))
    return float(thing.angle if isinstance(thing, Merge) else thing.leg_angle)


def band_about(middle: FloatArray, samples: FloatArray) -> Band:
    """Return the band of `samples` about the `middle` that the full march gives, if it gives one.

    >>> band_about(np.array([2.0]), np.linspace(0.0, 5.0, 101))
    Band(low=0.25, middle=2.0, high=4.75)
    """
    low, median, high = band_of(samples)
    value = float(np.ravel(middle)[0])
    if not np.isfinite(value):  # the gas would pass Mach 1 on the way
        return Band(low, median, high)
    return Band(min(low, value), value, max(high, value))


def plain(index: int, **arrays: FloatArray) -> dict[str, float]:
    """Return the middle value (the first sample) of each array for one option."""
    return {name: float(array[index, 0]) for name, array in arrays.items()}
