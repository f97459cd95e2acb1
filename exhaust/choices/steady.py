"""Steady flow through several pipes or merges at once, sample by sample."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from exhaust.choices.doubts import Doubts, breathing, burnt_gas_at
from exhaust.engine.flow import ExhaustFlow
from exhaust.flow.cost import power_cost
from exhaust.flow.friction import darcy_factor, reynolds_number
from exhaust.flow.junction import mean_loss, merge_losses
from exhaust.flow.losses import bend_loss, narrowing_loss
from exhaust.flow.pipe import (
    PipeFlow,
    Section,
    State,
    adiabatic_pipe,
    mach_from_static,
    state,
)
from exhaust.stock import Tube
from exhaust.system import Run, System

LEGS = 2  # of a merge

FloatArray = NDArray[np.float64]


class Steady(NamedTuple):
    """Flow through one pipe of each system, arrays of shape (systems, samples)."""

    start: State
    end: State
    choked: NDArray[np.bool_]
    reynolds: FloatArray
    back_pressure: FloatArray  # gauge, static, where the pipe starts [Pa]
    total_pressure_loss: FloatArray  # from there to still air outside [Pa]
    power_cost: FloatArray  # share of brake power


def steady_flow(systems: Sequence[System], flow: ExhaustFlow, inputs: Doubts) -> Steady:
    """Return the steady adiabatic flow through one pipe of each system, alike but for tube.

    The pipes of a system share the flow evenly. Raises `ExhaustError` where a kernel does.
    """
    first = systems[0]
    mass_flow = inputs.mass_flow / first.pipes
    diameter = np.array([[system.tube.inside_diameter] for system in systems])
    viscosity = flow.gas.viscosity(inputs.gas_temperature)
    reynolds = reynolds_number(mass_flow, diameter, viscosity)
    friction = darcy_factor(reynolds, inputs.roughness / diameter)
    area = np.array([[system.tube.flow_area] for system in systems])
    sections = [
        Section(
            area,
            np.stack([_run_loss(s, i, f, inputs) for s, f in zip(systems, friction, strict=True)]),
        )
        for i in range(len(first.runs))
    ]
    pipe: PipeFlow = adiabatic_pipe(
        sections,
        mass_flow,
        inputs.gas_temperature,
        flow.ambient_pressure,
        burnt_gas_at(flow, inputs),
    )
    lost = pipe.start.total_pressure - flow.ambient_pressure
    return Steady(
        start=pipe.start,
        end=pipe.end,
        choked=pipe.choked,
        reynolds=reynolds,
        back_pressure=pipe.start.pressure - flow.ambient_pressure,
        total_pressure_loss=lost,
        power_cost=power_cost(lost, breathing(flow, inputs)),
    )


def _run_loss(system: System, index: int, friction: FloatArray, inputs: Doubts) -> FloatArray:
    """Return N = f L/D + sum K of one run (samples,); the first carries the joint's narrowing."""
    run: Run = system.runs[index]
    bore = run.tube.inside_diameter
    turns = np.zeros_like(friction)
    for bend in run.bends:
        turns = turns + bend_loss(bore, bend.clr, bend.angle, friction)
    if index == 0 and system.joint is not None:
        turns = turns + narrowing_loss(system.joint.narrowest_ratio)
    return np.asarray(
        friction * run.length / bore + inputs.bends * turns + inputs.silencers * run.loss
    )


class SteadyMerge(NamedTuple):
    """Two legs into each outlet, arrays of shape (outlets, samples)."""

    velocity: FloatArray  # in the outlet [m/s]
    mach: FloatArray
    choked: NDArray[np.bool_]
    dynamic_head: FloatArray  # [Pa]
    loss_coefficient: FloatArray  # on the outlet's dynamic head
    loss: FloatArray  # of total pressure in the merge [Pa]
    power_cost: FloatArray  # of that loss, share of brake power
    friction_per_length: FloatArray  # of the outlet [Pa/m]
    cost_per_length: FloatArray  # of that friction [1/m]


def merge_flow(
    leg: Tube, outlets: Sequence[Tube], pipes: int, flow: ExhaustFlow, inputs: Doubts
) -> SteadyMerge:
    """Return the flow of two of `pipes` legs in each outlet at ambient pressure, and its losses."""
    mass_flow = LEGS * inputs.mass_flow / pipes
    area = np.array([[tube.flow_area] for tube in outlets])
    bore = np.array([[tube.inside_diameter] for tube in outlets])
    gas, temperature = burnt_gas_at(flow, inputs), inputs.gas_temperature
    flux = mass_flow * np.sqrt(flow.gas.gas_constant * temperature) / area
    mach = mach_from_static(flux, flow.ambient_pressure, gas.gamma)
    choked = ~(mach < 1)
    inside = state(np.where(choked, 1.0, mach), flux, temperature, gas)
    share = np.full(LEGS, 1 / LEGS)
    each = merge_losses(share, (leg.flow_area / area)[..., None], inputs.merge_angle[:, None])
    # The spread of handbooks must not make a merge that creates total pressure.
    coefficient = np.maximum(mean_loss(share, each) + inputs.merge_loss, 0.0)
    reynolds = reynolds_number(mass_flow, bore, flow.gas.viscosity(temperature))
    friction = darcy_factor(reynolds, inputs.roughness / bore) / bore * inside.dynamic_head
    price = breathing(flow, inputs)
    return SteadyMerge(
        velocity=inside.velocity,
        mach=inside.mach,
        choked=choked,
        dynamic_head=inside.dynamic_head,
        loss_coefficient=coefficient,
        loss=coefficient * inside.dynamic_head,
        power_cost=power_cost(coefficient * inside.dynamic_head, price),
        friction_per_length=friction,
        cost_per_length=power_cost(friction, price),
    )


def plain(index: int, **arrays: FloatArray) -> dict[str, float]:
    """Return the middle value (the first sample) of each array for one option."""
    return {name: float(array[index, 0]) for name, array in arrays.items()}
